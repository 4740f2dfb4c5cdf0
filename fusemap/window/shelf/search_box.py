"""The search of the shelf: where what is to be fitted is typed."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QLineEdit

from fusemap.window.style.icons import icon
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme


class SearchBox(QLineEdit):
    """Down and Enter leave for what was found; Escape shows all again, then closes the library."""

    looked = Signal()
    """Somebody types or clicks here: the library is wanted."""
    left = Signal(bool)
    """To the first row found; whether by Enter."""
    given_up = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("shelfSearch")
        self.setPlaceholderText(self.tr("Camera, cool box, lamp…"))
        self.setAccessibleName(self.tr("Search the accessories"))
        self.setClearButtonEnabled(True)
        lens = icon("search", theme.colour("muted_text"), px(self, 18))
        self.addAction(lens, QLineEdit.ActionPosition.LeadingPosition)
        self.textEdited.connect(self.looked)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Who clicks here wants to search."""
        super().mousePressEvent(event)
        self.looked.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Down, Enter, Escape; the rest as in any field."""
        key = event.key()
        if key in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.left.emit(key != Qt.Key.Key_Down)
        elif key == Qt.Key.Key_Escape and self.text():
            self.clear()
        elif key == Qt.Key.Key_Escape:
            self.given_up.emit()
        else:
            super().keyPressEvent(event)
