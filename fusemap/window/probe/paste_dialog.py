"""Paste a table: see at once which column is what, what each row would do, and why one cannot.

In: text from a spreadsheet or a CSV file. Out: one undoable edit. Nothing changes before the
button; rows that cannot be used are named, and the first of them kept in the vehicle's
history.
"""

from collections.abc import Callable
from datetime import datetime

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QPlainTextEdit,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.probing import paste
from fusemap.probing.paste_columns import COLUMN_WORDS, split
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.parts.choice import Choice
from fusemap.window.style.theme import Theme, severity_icon, space
from fusemap.window.texts.plain import plain_label


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
        self.text.setPlaceholderText("F1\t10\tRadio\nF2\t15\tHorn")
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
