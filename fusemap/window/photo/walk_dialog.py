"""The box in which a panel is read off its photo slot by slot."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from fusemap.window.document import Document
from fusemap.window.photo.walk import SlotBySlot
from fusemap.window.style.theme import Theme, space


class WalkDialog(QDialog):
    """Walks the slots; what was typed is stored already when it is closed."""

    def __init__(self, parent: QWidget, document: Document, theme: Theme, panel_id: str) -> None:
        super().__init__(parent)
        self._document = document
        self.setObjectName("walkDialog")
        self.setWindowTitle(self.tr("Slot by slot from the photo"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.walk = SlotBySlot(document, theme, panel_id)
        self.walk.finished.connect(self.accept)
        buttons = QDialogButtonBox()
        done = buttons.addButton(self.tr("&Done"), QDialogButtonBox.ButtonRole.AcceptRole)
        done.setObjectName("walkDone")
        done.setAutoDefault(False)
        buttons.accepted.connect(self.accept)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addWidget(self.walk, 1)
        column.addWidget(buttons)
        room, em = self.screen().availableSize(), self.fontMetrics().height()
        self.resize(min(em * 62, room.width() * 19 // 20), min(em * 40, room.height() * 19 // 20))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter is the line's alone."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
