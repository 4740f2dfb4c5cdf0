"""A page that uses the whole room, under the frame: the way back at its head, its view below.

In: the view, made when the page is first shown. Out: `back_wanted`; without a title
it is a stage of the job, which one leaves by the rail.
"""

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

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
        self._make = make
        self._view: QWidget | None = None
        self.setObjectName(f"wholePage_{name}")
        self.setAccessibleName(title)
        self.back = QToolButton()
        self.back.setObjectName(f"back_{name}")
        self.back.setAccessibleName(self.tr("Back"))
        self.back.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        size = px(self, 14)
        self.back.setIcon(icons.icon("back", theme.colour("accent"), size))
        self.back.setIconSize(QSize(size, size))
        self.back.setAutoRaise(True)
        self.back.setMinimumHeight(px(self, 28))
        self.back.clicked.connect(self.back_wanted)
        self.title = plain_label(f"title_{name}", title, wrap=False)
        self.title.setFont(letters(self, strong=True))
        head = QHBoxLayout()
        head.setContentsMargins(px(self, 8), 0, px(self, 8), 0)
        head.addWidget(self.back)
        head.addSpacing(px(self, 12))  # the way back and the title are no sentence
        head.addWidget(self.title)
        head.addStretch(1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addLayout(head)
        if not title:
            self.back.hide()
            self.title.hide()

    def say_title(self, title: str) -> None:
        """Say what the page shows."""
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
            area = scrolled(self._view)
            self._column.addWidget(area, 1)
            area.show()
        return self._view
