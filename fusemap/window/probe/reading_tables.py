"""Every reading ever taken, raw: what, where, when, with what, by whom; none is ever removed.

In: the document. Out: a table, newest first, of all slots or the one selected; a reading that does
not hold is withdrawn and stays in the list. Exports to CSV.
"""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from fusemap.files.atomic import write_whole
from fusemap.probing import evidence, table_export
from fusemap.probing.evidence import error_of
from fusemap.text import Amount, Style
from fusemap.vehicle import Reading, Vehicle, look_up, reading_edits
from fusemap.window.document import Document, Selection
from fusemap.window.parts.export import ask_where, file_name
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label

Index = QModelIndex | QPersistentModelIndex


class ReadingsModel(QAbstractTableModel):
    """The readings as rows, newest first."""

    def __init__(self, document: Document, style: Style) -> None:
        super().__init__()
        self._style = style
        self._document = document
        self.only = ""
        self._rows: list[Reading] = []
        self._corrected: set[str | None] = set()
        self.refresh()

    def refresh(self) -> None:
        """Show the readings as they are now."""
        self.beginResetModel()
        vehicle = self._document.vehicle
        shown = [
            reading
            for reading in vehicle.readings
            if not self.only or reading.target_id == self.only
        ]
        self._rows = shown[::-1]
        self._corrected = {
            reading.corrects for reading in vehicle.readings if not reading.withdrawn
        }
        self._names = {
            slot.id: self._style.show(look_up.slot_words(slot)) for slot in look_up.slots(vehicle)
        }
        self._taps = {
            tap.id: look_up.accessory(vehicle, tap.accessory).name for tap in vehicle.taps
        }
        self.endResetModel()

    def reading(self, row: int) -> Reading:
        """The reading of a row."""
        return self._rows[row]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The readings."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """When, where, in which state, what, how sure, by whom, what became of it."""
        return 0 if parent.isValid() else 7

    def headerData(
        self, section: int, way: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """What the columns are."""
        if role != Qt.ItemDataRole.DisplayRole or way != Qt.Orientation.Horizontal:
            return None
        return [
            self.tr("When"), self.tr("Where"), self.tr("State"), self.tr("Read"),
            self.tr("Meter ±"), self.tr("By"), self.tr("Remark"),
        ][section]  # fmt: skip

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The words; struck out where a reading does not count."""
        reading = self._rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return self._cells(reading)[index.column()]
        if role == Qt.ItemDataRole.FontRole and not self._counts(reading):
            font = QFont()
            font.setStrikeOut(index.column() != 6)
            return font
        return None

    def _counts(self, reading: Reading) -> bool:
        return not reading.withdrawn and reading.id not in self._corrected

    def _cells(self, reading: Reading) -> tuple[str, ...]:
        show = self._style.show
        error = Amount(error_of(self._document.vehicle, reading), reading.unit, significant=2)
        return (
            reading.when.replace("T", " "),
            self._where(reading),
            show(evidence.when_words(reading)),
            show(evidence.value_words(reading)),
            show(error) if reading.unit else "",
            reading.by,
            self._remark(reading),
        )

    def _where(self, reading: Reading) -> str:
        if reading.target == "vehicle":
            if reading.fuse_out is not None:
                name = self._names.get(reading.fuse_out, reading.fuse_out)
                return self.tr("whole vehicle, {slot} out").format(slot=name)
            return self.tr("whole vehicle")
        gone = self.tr("{id} (gone)").format(id=reading.target_id)
        return (self._taps if reading.target == "tap" else self._names).get(reading.target_id, gone)

    def _remark(self, reading: Reading) -> str:
        parts = []
        if reading.withdrawn:
            parts.append(self.tr("withdrawn"))
        elif reading.id in self._corrected:
            parts.append(self.tr("corrected by a later one"))
        if not reading.verified:
            parts.append(self.tr("somebody else’s word"))
        if reading.repeated:
            parts.append(self.tr("asked twice"))
        if reading.purpose == "check":
            parts.append(self.tr("check"))
        parts += [self._style.show(evidence.note_words(reading))] if reading.note else []
        return ", ".join(parts)


class ReadingsList(QWidget):
    """The table with what can be done to it."""

    def __init__(self, document: Document, style: Style) -> None:
        super().__init__()
        self._document = document
        self.setObjectName("readingsList")
        self.setAccessibleName(self.tr("Readings"))
        self.setWindowTitle(self.tr("Readings"))
        self.model = ReadingsModel(document, style)
        self.table = QTableView()
        self.table.setObjectName("readingsTable")
        self.table.setAccessibleName(self.tr("Readings, newest first"))
        self.table.setModel(self.model)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setWordWrap(True)
        self.table.verticalHeader().hide()
        self.table.setTabKeyNavigation(False)
        self.table.horizontalHeader().setStretchLastSection(True)
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.empty = plain_label("readingsEmpty", self.tr("Nothing was read yet."))
        self.only = QCheckBox(self.tr("Only the selected slot"))
        self.only.setObjectName("readingsOnly")
        self.only.toggled.connect(self._refresh)
        self.withdraw = self._button("readingsWithdraw", self.tr("&Withdraw"), self._withdraw)
        self.export = self._button("readingsExport", self.tr("&Export…"), self._export)
        self._lay_out()
        selection = self.table.selectionModel()
        selection.currentRowChanged.connect(self._name_button)
        document.changed.connect(self._vehicle_changed)
        document.selected.connect(self._selected)
        self._refresh()

    def _button(self, key: str, text: str, do: Any) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(do)
        return button

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.addWidget(self.only)
        row.addStretch(1)
        row.addWidget(self.withdraw)
        row.addWidget(self.export)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "small"))
        column.addWidget(self.empty)
        column.addWidget(self.table, 1)
        column.addLayout(row)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._refresh()

    def _selected(self, selection: Selection | None) -> None:
        if self.only.isChecked():
            self._refresh()

    def _refresh(self) -> None:
        row = self.table.currentIndex().row()
        selection = self._document.selection
        wanted = self.only.isChecked() and selection is not None and selection.kind == "slot"
        self.model.only = selection.id if wanted and selection is not None else ""
        self.model.refresh()
        count = self.model.rowCount()
        self.empty.setVisible(count == 0)
        if count:
            self.table.selectRow(min(max(0, row), count - 1))
        self._name_button()

    def _current(self) -> Reading | None:
        row = self.table.currentIndex().row()
        return self.model.reading(row) if 0 <= row < self.model.rowCount() else None

    def _name_button(self) -> None:
        reading = self._current()
        self.withdraw.setEnabled(reading is not None)
        back = reading is not None and reading.withdrawn
        self.withdraw.setText(self.tr("&Take as valid") if back else self.tr("&Withdraw"))

    def _withdraw(self) -> None:
        """Withdraw the reading, or take it as valid again; what it said is concluded anew."""
        # loaded when it is first needed: the start stays short
        from fusemap.probing.conclusions import conclude

        reading = self._current()
        if reading is None:
            return
        change = (
            reading_edits.restore_reading if reading.withdrawn else reading_edits.withdraw_reading
        )
        touched = [slot_id for slot_id in (reading.target_id, reading.fuse_out) if slot_id]

        def edit(before: Vehicle) -> Vehicle:
            return conclude(before, change(before, reading.id), touched)

        words = self.tr("Restore a reading") if reading.withdrawn else self.tr("Withdraw a reading")
        self._document.apply(words, edit)

    def _export(self) -> None:
        name = file_name(self._document.vehicle.name, self.tr("readings"), ".csv")
        ask_where(
            self, self._document, self.tr("Export the readings"), name, self.tr("Tables (*.csv)"),
            lambda path: write_whole(
                path, table_export.export_history(self._document.vehicle).encode("utf-8-sig")
            ),
        )  # fmt: skip
