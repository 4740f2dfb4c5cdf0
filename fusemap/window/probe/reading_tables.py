"""Readings as tables: every reading ever taken, raw; and a pasted table of new ones.

`ReadingsList` has what, where, when, with what and by whom, newest first, of all slots or the one
selected. None is ever removed: a reading that does not hold is withdrawn and stays in the list.
Exports to CSV.

`PasteDialog` takes text from a spreadsheet or a CSV file and shows at once which column is what,
what each row would do, and why one cannot. Out: one undoable edit. Nothing changes before the
button; rows that cannot be used are named, and the first of them kept in the vehicle's history.
"""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont, QGuiApplication
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QHeaderView,
    QPlainTextEdit,
    QPushButton,
    QSplitter,
    QTableView,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.files.atomic import write_whole
from fusemap.probing import evidence, paste
from fusemap.probing.evidence import error_of
from fusemap.probing.paste_columns import COLUMN_WORDS, split
from fusemap.text import Amount, Style
from fusemap.vehicle import Reading, Vehicle, look_up, reading_edits
from fusemap.window.document import Document, Selection
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.export import ask_where, file_name
from fusemap.window.style.theme import Theme, severity_icon, space
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
        self._feeds = {feed.id: feed.name for feed in vehicle.feeds}
        self._earths = {point.id: point.name for point in vehicle.earths}
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
            self._style.forms.noted(reading.when),
            self._where(reading),
            show(evidence.when_words(reading)),
            show(evidence.value_words(reading)),
            show(error) if reading.unit else "",
            reading.by,
            self._remark(reading),
        )

    def _where(self, reading: Reading) -> str:
        if reading.target == "vehicle":
            out = [each for each in (reading.fuse_out, *reading.fuses_out) if each is not None]
            if out:
                name = ", ".join(self._names.get(each, each) for each in out)
                return self.tr("whole vehicle, {slot} out").format(slot=name)
            return self.tr("whole vehicle")
        if reading.target == "panel":
            return self._style.show(evidence.fed_words(self._document.vehicle, reading.target_id))
        gone = self.tr("{id} (gone)").format(id=reading.target_id)
        if reading.target == "socket":
            sockets = {each.id: each for each in self._document.vehicle.sockets}
            there = sockets.get(reading.target_id)
            words = None if there is None else evidence.pin_words(there, reading.pin)
            return gone if words is None else self._style.show(words)
        those = {"tap": self._taps, "feed": self._feeds, "earth": self._earths}
        names = those.get(reading.target, self._names)
        return names.get(reading.target_id, gone)

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
        if reading.purpose == "hunt":
            parts.append(self.tr("hunt for what draws"))
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
                path, paste.export_history(self._document.vehicle).encode("utf-8-sig")
            ),
        )  # fmt: skip


class PasteDialog(QDialog):
    """A place to paste into, and the preview below it."""

    def __init__(
        self,
        parent: QWidget,
        document: Document,
        theme: Theme,
        now: Callable[[], datetime] = datetime.now,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self._now = now
        self._columns: dict[str, int] | None = None
        self.pasted: paste.Pasted | None = None
        self.setObjectName("pasteDialog")
        self.setWindowTitle(self.tr("Paste a table"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._build()
        self._lay_out()
        document.changed.connect(self._vehicle_changed)
        text = QGuiApplication.clipboard().text()
        if len(split(text)) > 1:
            self.text.setPlainText(text)
        self._look()

    def _build(self) -> None:
        self.intro = plain_label("pasteIntro", self.tr(
            "Copy the rows in your spreadsheet and paste them here: slot, rating, circuit, feed "
            "class, live or dead by state, millivolts. A heading helps and is not needed."
        ))  # fmt: skip
        self.text = QPlainTextEdit()
        self.text.setObjectName("pasteText")
        self.text.setAccessibleName(self.tr("The table as text"))
        radio, horn = self.tr("Radio"), self.tr("Horn")
        self.text.setPlaceholderText(f"F1\t10\t{radio}\nF2\t15\t{horn}")
        self.text.setTabChangesFocus(True)
        self.text.textChanged.connect(self._typed)
        self.table = QTableWidget()
        self.table.setObjectName("pastePreview")
        self.table.setAccessibleName(self.tr("What would be taken in"))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setTabKeyNavigation(False)
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.count = plain_label("pasteCount")
        buttons = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(buttons.Cancel)
        self.take = self.buttons.addButton(
            self.tr("&Take in"), QDialogButtonBox.ButtonRole.AcceptRole
        )
        self.take.setObjectName("pasteTake")
        self.buttons.accepted.connect(self._take_in)
        self.buttons.rejected.connect(self.reject)

    def _lay_out(self) -> None:
        splitter = QSplitter(Qt.Orientation.Vertical)
        splitter.setChildrenCollapsible(False)
        splitter.addWidget(self.text)
        splitter.addWidget(self.table)
        splitter.setStretchFactor(0, 1)
        splitter.setStretchFactor(1, 3)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addWidget(self.intro)
        column.addWidget(splitter, 1)
        column.addWidget(self.count)
        column.addWidget(self.buttons)
        em = self.fontMetrics().height()
        self.resize(em * 54, em * 36)

    # --- looking --------------------------------------------------------------------------------

    def _typed(self) -> None:
        self._columns = None
        self._look()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if self.isVisible():
            self._look()

    def _when(self) -> str:
        return self._now().isoformat(timespec="seconds")

    def _look(self) -> None:
        """Look at the text again, with the columns as they were chosen or found."""
        text = self.text.toPlainText()
        self.pasted = paste.preview(self._document.vehicle, text, self._when(), self._columns)
        self._fill(self.pasted)
        usable = len(self.pasted.rows) - len(self.pasted.unusable)
        self.take.setEnabled(usable > 0)
        partly = sum(bool(row.partly) for row in self.pasted.rows if row.usable)
        self.count.setText(
            self.tr("{use} rows to take in, {partly} of them in part; {bad} cannot be used").format(
                use=usable, partly=partly, bad=len(self.pasted.unusable)
            )
            if self.pasted.rows
            else ""
        )

    def _fill(self, pasted: paste.Pasted) -> None:
        width = max((len(row.cells) for row in pasted.rows), default=0)
        self.table.clear()
        self.table.setColumnCount(width + 1 if width else 0)
        self.table.setRowCount(len(pasted.rows) + 1 if width else 0)
        if not width:
            return
        heads = [*pasted.heading, *[""] * (width - len(pasted.heading))][:width]
        self.table.setHorizontalHeaderLabels([self.tr("What it does, or why not"), *heads])
        labels = [self.tr("is"), *(str(row.number) for row in pasted.rows)]
        self.table.setVerticalHeaderLabels(labels)
        for column in range(width):
            self.table.setCellWidget(0, column + 1, self._chooser(pasted, column))
        for at, row in enumerate(pasted.rows, start=1):
            self._fill_row(at, row)
        self.table.resizeRowsToContents()

    def _fill_row(self, at: int, row: paste.PastedRow) -> None:
        for column, cell in enumerate(row.cells):
            self.table.setItem(at, column + 1, QTableWidgetItem(cell))
        show = self._theme.style.show
        parts = (show(row.does), *(f"⚠ {show(why)}" for why in row.partly))
        item = QTableWidgetItem(show(row.problem) if row.problem else "; ".join(parts))
        size = self.fontMetrics().height()
        if not row.usable:
            item.setIcon(severity_icon("stop", self._theme, size))
        elif row.partly:
            item.setIcon(severity_icon("caution", self._theme, size))
        self.table.setItem(at, 0, item)

    def _chooser(self, pasted: paste.Pasted, column: int) -> QComboBox:
        """What a column is; choosing changes it."""
        box = Choice()
        box.setObjectName(f"pasteColumn{column}")
        box.setAccessibleName(self.tr("Column {n} is").format(n=column + 1))
        box.addItem("–", "")
        for name, words in COLUMN_WORDS.items():
            box.addItem(self._theme.style.show(words), name)
        here = next((name for name, at in pasted.columns.items() if at == column), "")
        box.setCurrentIndex(max(0, box.findData(here)))
        box.activated.connect(lambda index: self._choose(column, str(box.itemData(index))))
        return box

    def _choose(self, column: int, name: str) -> None:
        assert self.pasted is not None
        columns = {
            key: at for key, at in self.pasted.columns.items() if at != column and key != name
        }
        if name:
            columns[name] = column
        self._columns = columns
        self._look()

    def _take_in(self) -> None:
        pasted = self.pasted
        if pasted is None:
            return
        if self._document.apply(self.tr("Paste a table"), paste.take_in, pasted, self._when()):
            self.accept()
