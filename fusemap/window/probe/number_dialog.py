"""Number the slots of a panel as its lid does: prefix, first number, along which way, from where.

In: the panel on which the selection is. Out: one undoable edit. The preview shows the panel with
the labels it would get; slots whose label repeats, or that have none, are left out by a click.
"""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHeaderView,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.probing.plan import HandOrder, number_slots
from fusemap.vehicle import Panel, look_up
from fusemap.window.document import Document
from fusemap.window.parts.choice import Choice
from fusemap.window.probe.options import CORNERS
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label


class NumberDialog(QDialog):
    """Asks how the lid numbers its slots, and shows the labels at once."""

    def __init__(self, parent: QWidget, document: Document, panel_id: str) -> None:
        super().__init__(parent)
        self._document = document
        self._panel_id = panel_id
        self._skipped: set[str] = set()
        self.setObjectName("numberDialog")
        self.setWindowTitle(self.tr("Number the slots"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._build()
        self._lay_out()
        self._show()

    def _build(self) -> None:
        self.prefix = QLineEdit("F")
        self.prefix.setObjectName("numberPrefix")
        self.prefix.setMaxLength(12)
        self.prefix.textChanged.connect(self._show)
        self.first = QSpinBox()
        self.first.setObjectName("numberFirst")
        self.first.setRange(0, 9999)
        self.first.setValue(1)
        self.first.valueChanged.connect(self._show)
        self.along = self._combo("numberAlong", (self.tr("along the rows"),
                                                 self.tr("down the columns")))  # fmt: skip
        self.corner = self._combo("numberCorner", (
            self.tr("top left"), self.tr("top right"), self.tr("bottom left"),
            self.tr("bottom right"),
        ))  # fmt: skip
        self.fro = QPushButton(self.tr("to and fro"))
        self.fro.setObjectName("numberToAndFro")
        self.fro.setCheckable(True)
        self.fro.toggled.connect(self._show)
        self.table = QTableWidget()
        self.table.setObjectName("numberPreview")
        self.table.setAccessibleName(self.tr("The labels; click a slot to leave it out"))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.table.horizontalHeader().hide()
        self.table.verticalHeader().hide()
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.cellClicked.connect(self._skip)
        self.table.cellActivated.connect(self._skip)

    def _combo(self, key: str, words: tuple[str, ...]) -> QComboBox:
        box = Choice()
        box.setObjectName(key)
        box.addItems(list(words))
        box.currentIndexChanged.connect(self._show)
        return box

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(self.tr("&Before the number"), self.prefix)
        form.addRow(self.tr("&First number"), self.first)
        form.addRow(self.tr("&Runs"), self.along)
        form.addRow(self.tr("Fr&om"), self.corner)
        form.addRow("", self.fro)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        give = buttons.addButton(self.tr("&Number them"), QDialogButtonBox.ButtonRole.AcceptRole)
        give.setObjectName("numberGive")
        buttons.accepted.connect(self._give)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addLayout(form)
        column.addWidget(plain_label("numberHint", self.tr(
            "Click a slot to leave it out: one whose label repeats, or that has none."
        )))  # fmt: skip
        column.addWidget(self.table, 1)
        column.addWidget(buttons)
        em = self.fontMetrics().height()
        self.resize(em * 34, em * 30)

    def order(self) -> HandOrder:
        """The walk that is chosen."""
        right, bottom = CORNERS[self.corner.currentIndex()]
        return HandOrder(
            along="rows" if self.along.currentIndex() == 0 else "columns",
            from_right=right,
            from_bottom=bottom,
            to_and_fro=self.fro.isChecked(),
        )

    def _numbered_panel(self) -> Panel:
        made = number_slots(
            self._document.vehicle, self._panel_id, self.order(),
            prefix=self.prefix.text().strip(), first=self.first.value(),
            skipping=tuple(self._skipped),
        )  # fmt: skip
        return look_up.panel(made, self._panel_id)

    def _show(self) -> None:
        panel = self._numbered_panel()
        self.table.setRowCount(panel.rows)
        self.table.setColumnCount(panel.columns)
        self.table.clearContents()
        for slot in panel.slots:
            item = QTableWidgetItem(slot.label)
            item.setTextAlignment(Qt.AlignmentFlag.AlignCenter)
            font = item.font()
            font.setStrikeOut(slot.id in self._skipped)
            item.setFont(font)
            if slot.kind != "fuse":
                item.setFlags(Qt.ItemFlag.NoItemFlags)
            self.table.setItem(slot.row, slot.column, item)

    def _skip(self, row: int, column: int) -> None:
        """Leave a slot out of the numbering, or take it in again."""
        panel = look_up.panel(self._document.vehicle, self._panel_id)
        slot = look_up.slot_at(panel, row, column)
        if slot is not None and slot.kind == "fuse":
            self._skipped ^= {slot.id}
            self._show()

    def _give(self) -> None:
        if self._document.apply(
            self.tr("Number the slots"), number_slots, self._panel_id, self.order(),
            prefix=self.prefix.text().strip(), first=self.first.value(),
            skipping=tuple(self._skipped),
        ):  # fmt: skip
            self.accept()
