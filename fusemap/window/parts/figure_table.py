"""A small table of figures that copies and saves itself as CSV; what is wrong has a mark, too.

In: column titles and rows of cells, each with its words and its plain value. Out: a table as high
as its rows (up to some), the clipboard, a file. Where it is narrow, words wrap, and the columns are
shown that fit, from the first on; “All columns” shows the others, too, to be scrolled to.
"""

from collections.abc import Sequence
from typing import Any, Final

from msgspec import Struct
from PySide6.QtCore import (
    QAbstractTableModel,
    QItemSelectionModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from fusemap.window.document import Document
from fusemap.window.parts import export
from fusemap.window.parts.later import Later
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_label

Index = QModelIndex | QPersistentModelIndex
LEAST_EM: Final = 7
"""A column of words is made no narrower than this, in heights of the font."""
STRONG: Final = 1.12
"""How much wider bold letters are, at most."""
WRONG: Final = "✗"
"""Stands before a figure that passes its limit: not told by colour alone."""


class Cell(Struct, frozen=True):
    """One cell: its words, its plain value for files, whether it is wrong or stands out."""

    words: str
    value: object = None
    wrong: bool = False
    strong: bool = False
    number: bool = True

    @property
    def shown(self) -> str:
        """The words with the mark of what is wrong."""
        return f"{WRONG} {self.words}" if self.wrong else self.words


class Column(Struct, frozen=True):
    """One column: its title on the screen, its title in files, what it is."""

    title: str
    file_title: str
    hint: str = ""


class FigureModel(QAbstractTableModel):
    """Rows of cells."""

    def __init__(self, theme: Theme, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.columns: tuple[Column, ...] = ()
        self.cells: tuple[tuple[Cell, ...], ...] = ()

    def show_cells(self, columns: Sequence[Column], cells: Sequence[tuple[Cell, ...]]) -> None:
        """Show these; nothing happens where they are the same."""
        if (tuple(columns), tuple(cells)) != (self.columns, self.cells):
            self.beginResetModel()
            self.columns, self.cells = tuple(columns), tuple(cells)
            self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        """How many rows."""
        return 0 if parent is not None and parent.isValid() else len(self.cells)

    def columnCount(self, parent: Index | None = None) -> int:
        """How many columns."""
        return 0 if parent is not None and parent.isValid() else len(self.columns)

    def headerData(
        self, section: int, way: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """The titles."""
        if way != Qt.Orientation.Horizontal:
            return None
        column = self.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.title
        if role == Qt.ItemDataRole.ToolTipRole:
            return column.hint or None
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words, colour, weight."""
        cell = self.cells[index.row()][index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.shown
        if role == Qt.ItemDataRole.AccessibleTextRole:
            words = self.tr("{words}, does not hold") if cell.wrong else "{words}"
            return words.format(words=cell.words)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if cell.number else Qt.AlignmentFlag.AlignLeft
            return int(side | Qt.AlignmentFlag.AlignVCenter)
        if role == Qt.ItemDataRole.ForegroundRole and cell.wrong:
            return self._theme.colour("stop")
        if role == Qt.ItemDataRole.FontRole and cell.strong:
            font = QFont()
            font.setBold(True)
            return font
        return None

    def header(self) -> list[str]:
        """The titles for a file."""
        return [column.file_title for column in self.columns]

    def rows(self) -> list[list[object]]:
        """The plain values for a file."""
        return [[cell.value for cell in row] for row in self.cells]


class FigureTable(QWidget):
    """The table over its buttons to copy and to save it."""

    def __init__(
        self, document: Document, theme: Theme, key: str, name: str, most: int = 9
    ) -> None:
        super().__init__()
        self._document = document
        self._name = name
        self.setObjectName(key)
        self.setAccessibleName(name)
        self.model = FigureModel(theme, self)
        self.view = _View(self, most)
        self.view.setModel(self.model)
        self.view.setObjectName(f"{key}View")
        self.view.setAccessibleName(name)
        buttons = QHBoxLayout()
        for part, text, do in (
            ("Copy", self.tr("Copy table"), self.copy),
            ("Save", self.tr("Save as CSV…"), self.save),
        ):
            button = QPushButton(text)
            button.setObjectName(f"{key}{part}")
            button.setAccessibleName(f"{text}: {name}")
            button.clicked.connect(do)
            buttons.addWidget(button)
        self.all_button = QPushButton(self.tr("All columns"))
        self.all_button.setObjectName(f"{key}All")
        self.all_button.setAccessibleName(f"{self.all_button.text()}: {name}")
        self.all_button.setCheckable(True)
        self.all_button.toggled.connect(self.view.show_all)
        buttons.addWidget(self.all_button)
        buttons.addStretch(1)
        self.missing = plain_label(f"{key}Missing")
        self.missing.setProperty("muted", True)
        self.view.fitted.connect(self._tell_missing)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.view)
        column.addWidget(self.missing)
        column.addLayout(buttons)

    def show_cells(
        self, columns: Sequence[Column], cells: Sequence[tuple[Cell, ...]], *, first: int = 0
    ) -> None:
        """Show these, with row `first` among the first that are seen; the keyboard begins there."""
        self.model.show_cells(columns, cells)
        self.view.fit()
        if cells:
            index = self.model.index(min(first, len(cells) - 1), 0)
            still = QItemSelectionModel.SelectionFlag.NoUpdate
            self.view.selectionModel().setCurrentIndex(index, still)
            self.view.scrollTo(index, QTableView.ScrollHint.PositionAtTop)

    def _tell_missing(self, columns: list[int]) -> None:
        """Name the columns there is no room for."""
        names = ", ".join(self.model.columns[n].title.split("\n")[0] for n in columns)
        self.missing.setText(self.tr("No room for: {columns}.").format(columns=names))
        self.missing.setVisible(bool(columns))
        self.all_button.setVisible(bool(columns) or self.all_button.isChecked())

    def copy(self) -> None:
        """Put the table on the clipboard."""
        export.copy_table(self.model.header(), self.model.rows())

    def save(self) -> None:
        """Ask for a file and write the table there."""
        header, rows = self.model.header(), self.model.rows()
        export.ask_where(
            self,
            self._document,
            self._name,
            export.file_name(self._document.vehicle.name, self._name.lower(), ".csv"),
            self.tr("Tables (*.csv)"),
            lambda path: export.write_csv(path, header, rows),
        )


class _View(QTableView):
    """As high as its rows, up to `most` of them; Ctrl+C copies the whole table.

    `fitted` tells the columns that there is no room for.
    """

    fitted = Signal(list)

    def __init__(self, table: FigureTable, most: int) -> None:
        super().__init__()
        self._table = table
        self._most = most
        self._all = False
        self._soon = Later(self.fit, self)
        self.setSelectionMode(QTableView.SelectionMode.SingleSelection)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.verticalHeader().hide()

    def show_all(self, on: bool) -> None:
        """Show every column as wide as its words, or those that fit."""
        self._all = on
        self.fit()

    def fit(self) -> None:
        """Show the columns there is room for, and be as high as the rows, up to the most."""
        model = self._table.model
        bar = self.verticalScrollBar().sizeHint().width()
        room = self.width() - 2 * self.frameWidth()
        room -= bar if model.rowCount() > self._most else 0
        wanted = self._wanted()
        widths = [most for _, most in wanted] if self._all else shared_out(wanted, room)
        for column in range(len(wanted)):
            self.setColumnHidden(column, column >= len(widths))
        for column, width in enumerate(widths):
            self.setColumnWidth(column, width)
        self.resizeRowsToContents()
        rows = sum(self.rowHeight(row) for row in range(min(self._most, model.rowCount())))
        below = self.horizontalScrollBar().sizeHint().height() if sum(widths) > room else 0
        lines = max((each.title.count("\n") for each in model.columns), default=0) + 1
        metrics = self.horizontalHeader().fontMetrics()
        # its own hint is of the columns that were there before
        head = lines * metrics.lineSpacing() + metrics.height()
        self.horizontalHeader().setFixedHeight(head)
        self.setFixedHeight(head + rows + below + 2 * self.frameWidth())
        self.fitted.emit(list(range(len(widths), len(wanted))))

    def _wanted(self) -> list[tuple[int, int]]:
        """The least and the usual width of every column [px], its head whole in the style there is.

        A hidden column has no head to ask, so all are shown while they are asked.
        """
        model = self._table.model
        found = []
        for column, (least, usual) in enumerate(
            column_widths(model.columns, model.cells, self.fontMetrics())
        ):
            self.setColumnHidden(column, False)
            head = self.horizontalHeader().sectionSizeHint(column)
            found.append((max(least, head), max(usual, head)))
        return found

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Other columns fit into another width: found when all round it have taken theirs."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._soon.start()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl+C copies the whole table."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self._table.copy()
        else:
            super().keyPressEvent(event)


def column_widths(
    columns: Sequence[Column], cells: Sequence[tuple[Cell, ...]], metrics: QFontMetrics
) -> list[tuple[int, int]]:
    """The least and the usual width of every column [px]: figures are whole, words may wrap."""
    edge, least = metrics.height(), metrics.height() * LEAST_EM
    found = []
    for number, column in enumerate(columns):
        below = [row[number] for row in cells]
        texts = [*column.title.split("\n"), *(cell.shown for cell in below)]
        usual = max(map(metrics.horizontalAdvance, texts))
        if any(cell.strong for cell in below):
            usual = round(usual * STRONG)
        wraps = bool(below) and not below[0].number
        found.append((min(usual, least) + edge if wraps else usual + edge, usual + edge))
    return found


def shared_out(wanted: Sequence[tuple[int, int]], room: int) -> list[int]:
    """The widths of as many columns, from the first on, as fit into this room [px].

    What is left over goes to those that would like to be wider, in equal parts: one that needs
    little more has its words in a line, and two with sentences have about as many lines.

    >>> shared_out([(60, 90), (40, 40), (50, 50)], 120)
    [80, 40]
    >>> shared_out([(60, 90), (60, 400), (60, 300)], 380)
    [90, 145, 145]
    """
    taken = 0
    widths: list[int] = []
    for least, _ in wanted:
        if widths and taken + least > room:
            break
        widths.append(least)
        taken += least
    short = {column: wanted[column][1] - width for column, width in enumerate(widths)}
    for done, column in enumerate(sorted(short, key=lambda each: (short[each], each))):
        more = max(0, min(short[column], (room - taken) // (len(short) - done)))
        widths[column] += more
        taken += more
    return widths
