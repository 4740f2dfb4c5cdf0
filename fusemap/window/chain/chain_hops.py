"""The hops of a chain as a list: each opens how its numbers came about.

In: a `Chain` and the words at its two ends. Out: rows; Right or Enter opens a hop, Left closes it,
and a menu leads to the tables behind it.
"""

from typing import Any

from PySide6.QtCore import QAbstractListModel, QObject, Qt
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QKeySequence, QMouseEvent, QShortcut
from PySide6.QtWidgets import QApplication, QMenu

from fusemap.assess.result import Chain
from fusemap.window.chain.chain_look import chain_looks, draw_hop_mark
from fusemap.window.parts.row_list import LOOK, Index, RowList, RowLook
from fusemap.window.style.theme import Theme


def _rows(chain: Chain) -> tuple[tuple[str, ...], int]:
    """What makes two chains have the same rows: their hops, and how many are unchecked."""
    return tuple(hop.id for hop in chain.hops), len(chain.unchecked)


class ChainModel(QAbstractListModel):
    """The rows of one chain; which hops are open is kept by their keys."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.chain: Chain | None = None
        self.opened: set[str] = set()
        self._ends = ("", "")
        self._looks: tuple[RowLook, ...] = ()

    def set_chain(self, chain: Chain | None, start: str = "", end: str = "") -> None:
        """Show this chain; rows that look the same are left alone."""
        same = chain is not None and self.chain is not None and _rows(self.chain) == _rows(chain)
        self._ends = (start, end)
        if same:
            self.chain = chain
            self._redo()
        else:
            self.beginResetModel()
            self.chain = chain
            self._looks = self._made()
            self.endResetModel()

    def _made(self) -> tuple[RowLook, ...]:
        if self.chain is None:
            return ()
        return chain_looks(self.chain, *self._ends, opened=self.opened)

    def _redo(self) -> None:
        old, self._looks = self._looks, self._made()
        for row, (before, after) in enumerate(zip(old, self._looks, strict=True)):
            if before != after:
                self.dataChanged.emit(self.index(row, 0), self.index(row, 0))

    def key(self, row: int) -> str | None:
        """Which hop a row is; the ends are none."""
        hops = () if self.chain is None else self.chain.hops
        return hops[row - 1].id if 0 < row <= len(hops) else None

    def set_open(self, row: int, on: bool) -> bool:
        """Open or close how a hop's numbers came about; whether that was a change."""
        key = self.key(row)
        if key is None or (key in self.opened) == on:
            return False
        (self.opened.add if on else self.opened.discard)(key)
        self._redo()
        return True

    def rowCount(self, parent: Index | None = None) -> int:
        """How many."""
        return 0 if parent is not None and parent.isValid() else len(self._looks)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """A row's look and its words."""
        if not index.isValid():
            return None
        look = self._looks[index.row()]
        if role == LOOK:
            return look
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return look.text
        if role == Qt.ItemDataRole.AccessibleDescriptionRole and self.key(index.row()):
            return self.tr("Right or Enter shows how it came about")
        return None


class Hops(RowList):
    """Right or Enter opens a hop, Left closes it, a click on its mark does either."""

    def __init__(self, theme: Theme, model: ChainModel) -> None:
        super().__init__(theme, draw_hop_mark, ruled=False)
        self.hops = model
        self.setObjectName("chainHops")
        self.setAccessibleName(self.tr("Hops of the chain"))
        self.setModel(model)
        copy = QShortcut(QKeySequence.StandardKey.Copy, self)
        copy.setContext(Qt.ShortcutContext.WidgetShortcut)
        copy.activated.connect(self._copy_one)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open and close by keyboard."""
        row = self.currentIndex().row()
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.toggle(row)
        elif key in (Qt.Key.Key_Right, Qt.Key.Key_Plus):
            self.hops.set_open(row, True)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Minus):
            self.hops.set_open(row, False)
        else:
            super().keyPressEvent(event)

    def source_here(self) -> str:
        """The source of the hop the cursor is on."""
        key = self.hops.key(self.currentIndex().row())
        chain = self.hops.chain
        hops = () if chain is None else chain.hops
        return next((str(hop.basis.source) for hop in hops if hop.id == key), "")

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done with the hop under the mouse, or under the cursor."""
        index = self.indexAt(event.pos())
        if index.isValid():
            self.setCurrentIndex(index)
        menu = self.hop_menu()
        if not menu.isEmpty():
            menu.popup(event.globalPos())

    def hop_menu(self) -> QMenu:
        """Open or close, copy, the tables behind; empty where the cursor is on no hop."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        row = self.currentIndex().row()
        key = self.hops.key(row)
        if key is None:
            return menu
        words = self.tr("Close") if key in self.hops.opened else self.tr("How it came about")
        menu.addAction(words, lambda: self.toggle(row)).setObjectName("hopToggle")
        menu.addAction(self.tr("Copy"), self._copy_one).setObjectName("hopCopy")
        menu.addAction(self.tr("The tables behind it"), self._show_tables).setObjectName(
            "hopTables"
        )
        return menu

    def _show_tables(self) -> None:
        from fusemap.window.pages.tables_page import open_tables

        open_tables(self, self.source_here())

    def toggle(self, row: int) -> None:
        """Open what is closed, close what is open."""
        if not self.hops.set_open(row, True):
            self.hops.set_open(row, False)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A click on the mark opens or closes."""
        super().mouseReleaseEvent(event)
        index = self.indexAt(event.position().toPoint())
        if not index.isValid() or event.button() != Qt.MouseButton.LeftButton:
            return
        rect = self.visualRect(index)
        place = self.painter_of_rows.mark_place(index.data(LOOK), self.font(), rect)
        if event.position().x() <= place.right() + place.width() / 2:
            self.toggle(index.row())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """So does a double click anywhere on a hop."""
        super().mouseDoubleClickEvent(event)
        index = self.indexAt(event.position().toPoint())
        if index.isValid():
            self.toggle(index.row())

    def _copy_one(self) -> None:
        look = self.current_look()
        if look is not None:
            QApplication.clipboard().setText(look.text)
