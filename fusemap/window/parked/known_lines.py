"""What the answer takes into account, a line each; a click opens where its details are.

In: `Known` lines. Out: `wanted` with the line that was clicked. None takes room where it says
nothing.
"""

from itertools import zip_longest
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from fusemap.window.parked.known_words import Known
from fusemap.window.parked.links import link_button, link_sheet
from fusemap.window.parts.layouts import WrappingButton
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

MOST: Final = 4


class KnownLines(QWidget):
    """Up to four quiet lines under the answer."""

    wanted = Signal(object)
    """The details of this `Known`."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.shown: tuple[Known, ...] = ()
        self.setObjectName("parkedKnown")
        self.setStyleSheet(link_sheet(theme))
        self.setAccessibleName(self.tr("What the answer takes into account"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.lines = [self._line(number) for number in range(MOST)]
        for line in self.lines:
            column.addWidget(line)
        self.hide()

    def _line(self, number: int) -> WrappingButton:
        line = link_button()
        line.setProperty("link", "quiet")
        line.setObjectName(f"parkedKnown{number}")
        line.setAccessibleName(self.tr("What the answer takes into account"))
        line.clicked.connect(lambda: self.wanted.emit(self.shown[number]))
        line.hide()
        return line

    def show_known(self, found: tuple[Known, ...]) -> None:
        """Show these; nothing while it is reckoned."""
        self.shown = found
        details = {
            "reckoned": self.tr("How it is reckoned"),
            "parking": self.tr("Change how it is parked"),
        }
        for each, line in zip_longest(found, self.lines):
            line.setVisible(each is not None)
            if each is not None:
                line.show_words(self._theme.style.show(each.words))
                line.setToolTip(plain_tip(details[each.form]))
                line.setAccessibleDescription(details[each.form])
        self.setVisible(bool(found))
