"""A page that uses the whole room, under the frame: the way back at its head, its view below.

In: the view; it is made, and the head with it, when the page is first shown. Out: `back_wanted`;
without a title it is a stage of the job, which one leaves by the rail.
"""

from collections.abc import Callable
from functools import cached_property

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from fusemap.window.forms.form import scrolled
from fusemap.window.style import icons
from fusemap.window.style.letters import letters
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_label, plain_tip


class WholePage(QWidget):
    """Its title, the way back, and what `make` makes."""

    back_wanted = Signal()

    def __init__(
        self,
        name: str,
        title: str,
        theme: Theme,
        make: Callable[[], QWidget],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._name = name
        self._titled = title
        self._theme = theme
        self._make = make
        self._view: QWidget | None = None
        self.setObjectName(f"wholePage_{name}")
        self.setAccessibleName(title)

    @cached_property
    def back(self) -> QToolButton:
        """The way back."""
        back = QToolButton(self)
        back.setObjectName(f"back_{self._name}")
        back.setAccessibleName(self.tr("Back"))
        back.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        size = px(self, 14)
        back.setIcon(icons.icon("back", self._theme.colour("accent"), size))
        back.setIconSize(QSize(size, size))
        back.setAutoRaise(True)
        back.setMinimumHeight(px(self, 28))
        back.clicked.connect(self.back_wanted)
        return back

    @cached_property
    def title(self) -> QLabel:
        """What the page shows, in words."""
        title = plain_label(f"title_{self._name}", self._titled, wrap=False)
        title.setParent(self)
        title.setFont(letters(self, strong=True))
        return title

    def _lay_out(self, view: QWidget) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(px(self, 8), 0, px(self, 8), 0)
        head.addWidget(self.back)
        head.addSpacing(px(self, 12))  # the way back and the title are no sentence
        head.addWidget(self.title)
        head.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        self.back.setVisible(bool(self._titled))
        self.title.setVisible(bool(self._titled))
        area = scrolled(view)
        column.addWidget(area, 1)
        area.show()

    def say_title(self, title: str) -> None:
        """Say what the page shows."""
        self._titled = title
        self.title.setText(title)
        self.title.show()
        self.setAccessibleName(title)

    def say_back(self, where: str) -> None:
        """Say where the way back leads."""
        self.back.setText(where)
        said = self.tr("Back to {where}").format(where=where)
        self.back.setAccessibleName(said)
        self.back.setToolTip(plain_tip(f"{said} (Esc)"))

    @property
    def made(self) -> bool:
        """Whether its view was made."""
        return self._view is not None

    @property
    def view(self) -> QWidget:
        """What the page shows; made when it is first asked for."""
        if self._view is None:
            self._view = self._make()
            self._lay_out(self._view)
        return self._view
