"""The questions about the lid of a further panel, in a dialog.

In: the document. Out: the panel, as one step; `added` tells its id.
"""

from itertools import pairwise

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.text import Style
from fusemap.vehicle import edits
from fusemap.vehicle.texts import clean
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.form import scrolled
from fusemap.window.panel.lid_questions import LidQuestions
from fusemap.window.panel.slot_entry import next_label
from fusemap.window.parts.choice import Choice
from fusemap.window.style.theme import space


class AddPanelDialog(QDialog):
    """Asks what the lid of the panel shows; its labels count on from those there are."""

    added = Signal(str)

    def __init__(self, parent: QWidget, document: Document, style: Style) -> None:
        super().__init__(parent)
        self._document = document
        self.setObjectName("addPanelDialog")
        self.setWindowTitle(self.tr("Add panel"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.questions = LidQuestions(style, next_label(document.vehicle))
        number = len(document.vehicle.panels) + 1
        self.name = QLineEdit(self.tr("Panel {n}").format(n=number))
        self.name.setObjectName("addPanelName")
        self.name.setAccessibleName(self.tr("Name of the panel"))
        self.name.setMinimumWidth(self.fontMetrics().height() * 16)
        self.place = Choice()
        self.place.setObjectName("addPanelPlace")
        self.place.setAccessibleName(self.tr("Where the panel sits"))
        for value, words in choices.places():
            self.place.addItem(words, value)
        self._lay_out()
        self.questions.finished.connect(self._add)
        self.questions.rows.setFocus(Qt.FocusReason.TabFocusReason)
        self.questions.rows.selectAll()

    def _lay_out(self) -> None:
        self.questions.add_row(self.tr("&Name"), self.name)
        self.questions.add_row(self.tr("&Where it sits"), self.place)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        add = buttons.addButton(self.tr("&Add panel"), QDialogButtonBox.ButtonRole.AcceptRole)
        add.setObjectName("addPanelAdd")
        buttons.accepted.connect(self._add)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        area = scrolled(self.questions)
        area.setObjectName("addPanelScroll")
        column.addWidget(area, 1)
        column.addWidget(buttons)
        order = (*self.questions.in_order(), self.name, self.place, *self.questions.lid_fields(),
                 add, *buttons.buttons())  # fmt: skip
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)
        em = self.fontMetrics().height()
        room = self.screen().availableSize()
        self.resize(min(em * 46, room.width() * 9 // 10), min(em * 42, room.height() * 9 // 10))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter is for the field it is pressed in: a box would take it for “Add” at once."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
        elif isinstance(button := self.focusWidget(), QPushButton):
            button.click()

    def _add(self) -> None:
        if self.questions.problem():
            self.questions.show_problem()
            return
        name = clean(self.name.text()) or self.tr("Panel {n}").format(n=1)
        document, lid = self._document, self.questions.lid()
        where = {"place": self.place.currentData()}
        if document.apply(self.tr("Add panel"), edits.add_lid, name, lid, **where):
            self.added.emit(document.vehicle.panels[-1].id)
            self.accept()
