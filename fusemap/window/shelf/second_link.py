"""A second battery, offered to who searches the shelf for one: it is in no library of accessories.

In: what was typed. Out: the battery's form, with a second battery in it; `wanted` once it is there
to be shown.
"""

from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QPushButton, QWidget

from fusemap.text import say
from fusemap.vehicle import edits
from fusemap.vehicle.parts import SecondBattery
from fusemap.window.document import Document
from fusemap.window.forms.found_by import SECOND_BATTERY
from fusemap.window.style.theme import Theme
from fusemap.window.texts.folded import folded

LEAST_LETTERS: Final = 3
"""From so many on a word may mean a battery."""
ITSELF: Final = say("Second battery")


class SecondBatteryLink(QPushButton):
    """Adds one, or leads to the one there is; hidden while something else is searched for."""

    wanted = Signal()
    left = Signal()
    """Up or Escape: back to the search."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._document = document
        self._style = theme.style
        self.setObjectName("shelf_secondBattery")
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.clicked.connect(self._show)
        self.look("")

    def look(self, typed: str) -> None:
        """Be there where that is a word for it, in English or in the user's language."""
        show = self._style.show
        there = self._document.vehicle.second_battery is not None
        self.setText(show(ITSELF) if there else self.tr("Add second battery"))
        known = [folded(f"{each} {show(each)}") for each in (SECOND_BATTERY, ITSELF)]
        begins = " ".join(known).replace(",", " ").split()
        words = folded(typed).split()
        meant = len(folded(typed).strip()) >= LEAST_LETTERS and all(
            any(each.startswith(word) for each in begins) for word in words
        )
        self.setVisible(meant)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses it, Up and Escape leave it; Down goes on to the kinds."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Escape):
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def _show(self) -> None:
        if self._document.vehicle.second_battery is None:
            added = self._document.apply(
                self.tr("Add second battery"), edits.set_second_battery, SecondBattery()
            )
            if not added:
                return
        self._document.select("battery")
        self.wanted.emit()
