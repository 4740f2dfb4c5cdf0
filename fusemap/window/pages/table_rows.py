"""The rows of one table as a model: a published one's as they stand, an own one's in words."""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QObject, Qt
from PySide6.QtGui import QFont

from fusemap.text import Style
from fusemap.window.pages.own_tables import Place
from fusemap.window.pages.table_words import YES_OR_NO, cell_words, column_words
from fusemap.window.parts.figure_table import Index


class RowsModel(QAbstractTableModel):
    """Rows of one table as they stand in it, the status in words; an own table's are words.

    `places` are what the rows of an own table are about, empty for a published one.
    """

    def __init__(self, style: Style, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.columns: tuple[str, ...] = ()
        self.rows: tuple[tuple[str, ...], ...] = ()
        self.places: tuple[Place, ...] = ()

    def show_rows(
        self,
        columns: tuple[str, ...],
        rows: tuple[tuple[str, ...], ...],
        places: tuple[Place, ...] = (),
    ) -> None:
        """Show these."""
        self.beginResetModel()
        self.columns, self.rows, self.places = columns, rows, places
        self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        """How many rows."""
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index | None = None) -> int:
        """How many columns."""
        return 0 if parent is not None and parent.isValid() else len(self.columns)

    def headerData(
        self, section: int, way: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """The columns with their units, each above the edge that its cells stand at."""
        if way != Qt.Orientation.Horizontal:
            return None
        key = self.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return key if self.places else column_words(key, self._style)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            cells = [row[section] for row in self.rows if row[section]]
            return _side(numbers=bool(cells) and all(self._is_number(key, each) for each in cells))
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words; numbers to the right; what is from memory slanted."""
        key, value = self.columns[index.column()], self.rows[index.row()][index.column()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return value if self.places else cell_words(key, value, self._style)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(numbers=self._is_number(key, value))
        if role == Qt.ItemDataRole.FontRole and self._recalled(index.row()):
            font = QFont()
            font.setItalic(True)
            return font
        return None

    def _is_number(self, key: str, value: str) -> bool:
        return key not in YES_OR_NO and _is_number(value)

    def _recalled(self, row: int) -> bool:
        if self.places:
            return False
        return self.rows[row][self.columns.index("status")] == "memory"


def _side(*, numbers: bool) -> int:
    """Where a cell's words stand in it."""
    side = Qt.AlignmentFlag.AlignRight if numbers else Qt.AlignmentFlag.AlignLeft
    return int(side | Qt.AlignmentFlag.AlignVCenter)


def _is_number(value: str) -> bool:
    try:
        float(value)
    except ValueError:
        return False
    return True
