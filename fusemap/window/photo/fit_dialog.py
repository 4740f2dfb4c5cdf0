"""Asks where on a photo the four corners of a panel's grid are.

In: a picture, the panel, the corners so far. Out: `fitted` with the four corners, when it is done.
"""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from fusemap.text import Style
from fusemap.vehicle import Panel
from fusemap.window.photo.fit_view import Corners, FitView
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label


class FitDialog(QDialog):
    """The photo with the grid over it, and what can be done to it."""

    fitted = Signal(object)

    def __init__(
        self, parent: QWidget, image: QImage, panel: Panel, corners: Corners, style: Style
    ) -> None:
        super().__init__(parent)
        self.setObjectName("fitDialog")
        self.setWindowTitle(self.tr("Fit the photo"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.view = FitView(image, corners, style)
        labels = {(slot.row, slot.column): slot.label for slot in panel.slots}
        self.view.show_grid(panel.rows, panel.columns, labels)
        self.where = plain_label("fitWhere")
        self.where.setProperty("muted", True)
        self.view.moved.connect(self._show)
        hint = plain_label(
            "fitHint",
            self.tr(
                "Drag each corner of the grid onto the outer corner of the panel’s corner slot, "
                "also outside the picture. By keyboard: Tab from corner to corner, arrow keys, "
                "with Shift in larger steps."
            ),
        )
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        done = buttons.addButton(self.tr("&Done"), QDialogButtonBox.ButtonRole.AcceptRole)
        done.setObjectName("fitDone")
        turn = buttons.addButton(self.tr("&Turn the grid"), QDialogButtonBox.ButtonRole.ActionRole)
        turn.setObjectName("fitTurn")
        turn.setToolTip(self.tr("A quarter: for a photo that was taken from another side"))
        turn.clicked.connect(self.view.turn)
        buttons.accepted.connect(self._done)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addWidget(hint)
        column.addWidget(self.view, 1)
        column.addWidget(self.where)
        column.addWidget(buttons)
        self._show()
        room, em = self.screen().availableSize(), self.fontMetrics().height()
        self.resize(min(em * 56, room.width() * 9 // 10), min(em * 44, room.height() * 9 // 10))
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show(self) -> None:
        self.where.setText(self.view.corner_words())

    def _done(self) -> None:
        self.fitted.emit(self.view.corners)
        self.accept()
