"""Rows of a list that only differ in how they look: the model behind a `RowList`.

In: rows, and how each looks; what else a row carries is its list's own business.
"""

from collections.abc import Callable
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QAbstractListModel, QObject, Qt

from fusemap.window.parts.row_list import LOOK, Index, RowLook

R = TypeVar("R")


class RowModel(QAbstractListModel, Generic[R]):
    """Rows that are shown anew only when they differ."""

    def __init__(self, look_of: Callable[[R], RowLook], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._look_of = look_of
        self.rows: tuple[R, ...] = ()

    def set_rows(self, rows: tuple[R, ...]) -> None:
        """Show these; nothing happens where they are the same."""
        if rows != self.rows:
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        """How many."""
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """A row's look and words."""
        if not index.isValid():
            return None
        look = self._look_of(self.rows[index.row()])
        if role == LOOK:
            return look
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return look.text
        return None
