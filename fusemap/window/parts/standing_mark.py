"""A line at the head of the window that stays as long as something is amiss.

The message bar tells what happened and goes with the next step; this is for what goes on: it takes
room of its own, so that nothing is covered, on every page. In: the trouble, or `None` once it is
over. It takes no focus and stops nothing.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel

from fusemap.errors import FusemapError
from fusemap.window.parts.message_bar import error_words
from fusemap.window.style.theme import Theme, severity_icon, space
from fusemap.window.texts.plain import plain_label


class StandingMark(QFrame):
    """Shows one trouble, or nothing."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("standingMark")
        self._theme = theme
        self._trouble: FusemapError | None = None
        self._icon = QLabel()
        self._words = plain_label("standingWords")
        row = QHBoxLayout(self)
        row.setContentsMargins(*(space(self, "medium"),) * 4)
        row.setSpacing(space(self, "medium"))
        row.addWidget(self._icon, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        self._draw()
        self._say()
        self.hide()

    @property
    def text(self) -> str:
        """What is amiss; empty when nothing is."""
        return "" if self.isHidden() else self._words.text()

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme, and say it in the language there is now."""
        self._theme = theme
        self._draw()
        self._say()

    def show_trouble(self, trouble: FusemapError | None) -> None:
        """Say what is amiss, or with `None` that nothing is any more."""
        self._trouble = trouble
        self._say()
        self.setVisible(trouble is not None)
        if trouble is not None:
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def _say(self) -> None:
        words = error_words(self._trouble) if self._trouble is not None else ""
        self._words.setText(words)
        self.setAccessibleName(self.tr("Not in order"))
        self.setAccessibleDescription(words)

    def _draw(self) -> None:
        size = self.fontMetrics().height()
        icon = severity_icon("stop", self._theme, size, self.devicePixelRatioF())
        self._icon.setPixmap(icon.pixmap(size, size))
