"""What is selected, hop by hop from the battery to the accessory and back.

In: `document.selection` and the assessment's chains. Each hop shows load, limit and margin; Right
or Enter opens how they came about, Left closes it. Where several taps belong to what is selected,
they are chosen from above the list.
"""

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractListModel, QObject, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QShortcut,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from fusemap.assess.result import Chain
from fusemap.vehicle import Tap, Vehicle, look_up
from fusemap.window import export
from fusemap.window.chain_look import chain_looks, draw_hop_mark, verdict
from fusemap.window.chain_words import end_words, start_words, taps_of, title_words
from fusemap.window.document import Document, Selection
from fusemap.window.form import scrolled
from fusemap.window.later import Later
from fusemap.window.learn import LearnButton
from fusemap.window.row_list import LOOK, Index, RowList, RowLook
from fusemap.window.theme import Theme, space

if TYPE_CHECKING:
    from fusemap.window.advice_view import AdviceView

HEADER = ("Hop", "Quantity", "Load", "Limit", "Margin", "Unit", "State", "Formula", "Source")


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
        keys = None if self.chain is None else [hop.key for hop in self.chain.hops]
        same = chain is not None and keys == [hop.key for hop in chain.hops]
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
        return hops[row - 1].key if 0 < row <= len(hops) else None

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


class ChainView(QWidget):
    """The verdict, the chooser where there are several taps, and the hops.

    `band_wanted` asks for the chart of fuse and cable of the tap shown.
    """

    band_wanted = Signal(str)

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.document = document
        self._theme = theme
        self._stale = True
        self._taps: tuple[Tap, ...] = ()
        self._chosen = ""
        self.setObjectName("chainView")
        self.setAccessibleName(self.tr("Chain from battery to accessory and back"))
        self.model = ChainModel(self)
        self.list = _Hops(theme, self.model)
        self.tabs = QTabWidget()
        self._advice_place = QWidget()
        self.advice: AdviceView | None = None
        self.verdict = QLabel()
        self.verdict.setObjectName("chainVerdict")
        self.verdict.setWordWrap(True)
        self.chooser = QComboBox()
        self.chooser.setObjectName("chainChooser")
        self.chooser.setAccessibleName(self.tr("Which tap"))
        self.chooser.activated.connect(self._choose)
        self.copy_button = QPushButton(self.tr("Copy"))
        self.copy_button.setObjectName("chainCopy")
        self.copy_button.setAccessibleName(self.tr("Copy the chain as a table"))
        self.copy_button.clicked.connect(self.copy)
        self.band_button = QPushButton(self.tr("Fuse and cable"))
        self.band_button.setObjectName("chainBand")
        self.band_button.setToolTip(self.tr("The fuse’s band against the cable’s damage curve"))
        self.band_button.clicked.connect(lambda: self.band_wanted.emit(self.tap_id))
        self._lay_out()
        self._later = Later(self._catch_up, self)
        document.changed.connect(self._vehicle_changed)
        document.selected.connect(self._selection_changed)

    def _lay_out(self) -> None:
        gap = space(self, "medium")
        head = QHBoxLayout()
        head.setContentsMargins(gap, gap, gap, gap)
        head.setSpacing(gap)
        words = QVBoxLayout()
        words.addWidget(self.chooser)
        words.addWidget(self.verdict)
        head.addLayout(words, 1)
        head.addWidget(LearnButton("order"), 0, Qt.AlignmentFlag.AlignTop)
        head.addWidget(self.band_button, 0, Qt.AlignmentFlag.AlignTop)
        head.addWidget(self.copy_button, 0, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.tabs.setDocumentMode(True)
        self.tabs.setObjectName("chainTabs")
        self.tabs.setAccessibleName(self.tr("Chain"))
        self.tabs.addTab(self.list, self.tr("Hop by hop"))
        self.tabs.addTab(self._advice_place, self.tr("What would be right"))
        QVBoxLayout(self._advice_place).setContentsMargins(0, 0, 0, 0)
        self.tabs.currentChanged.connect(self._show_advice)
        column.addLayout(head)
        column.addWidget(self.tabs, 1000)
        column.addStretch(1)  # what there is to say stays at the top when there is no list

    @property
    def tap_id(self) -> str:
        """The tap whose chain is shown; empty when there is none."""
        return "" if self.model.chain is None else self.model.chain.tap_id

    def show_tap(self, tap_id: str) -> None:
        """Show the chain of this tap, where it is among those of what is selected."""
        self._chosen = tap_id
        self.refresh()

    def refresh(self) -> None:
        """Show the chain as it is now."""
        self._stale = False
        self._taps = taps_of(self.document.vehicle, self.document.selection)
        ids = [tap.id for tap in self._taps]
        if self._chosen not in ids:
            self._chosen = ids[0] if ids else ""
        self._fill_chooser(ids)
        self._show_chain()

    def _fill_chooser(self, ids: list[str]) -> None:
        several = self._taps if len(ids) > 1 else ()
        titles = [title_words(self.document.assessment, tap) for tap in several]
        if titles != [self.chooser.itemText(row) for row in range(self.chooser.count())]:
            self.chooser.clear()
            self.chooser.addItems(titles)
        self.chooser.setVisible(len(ids) > 1)
        if titles:
            self.chooser.setCurrentIndex(ids.index(self._chosen))

    def _show_chain(self) -> None:
        there = bool(self._chosen)
        self.tabs.setVisible(there)
        self.copy_button.setVisible(there)
        self.band_button.setVisible(there)
        if not there:
            self.model.set_chain(None)
            self.verdict.setText(self._empty_words())
            return
        chain = self.document.assessment.chains[self._chosen]
        tap = look_up.tap(self.document.vehicle, self._chosen)
        other = chain.tap_id != self.tap_id
        self.model.set_chain(chain, start_words(self.document.assessment), end_words(tap))
        if other:
            self.list.scrollToTop()
        self.verdict.setText(verdict(chain))
        self._show_advice()

    def show_advice(self) -> None:
        """Show what would be right instead of the hops."""
        self.tabs.setCurrentWidget(self._advice_place)

    def _show_advice(self, *_: object) -> None:
        """Say what would be right, if anybody looks: every section is tried for it."""
        if self.tabs.currentWidget() is not self._advice_place or not self.tap_id:
            return
        if self.advice is None:
            from fusemap.window.advice_view import AdviceView

            self.advice = AdviceView(self.document, self._theme)
            layout = self._advice_place.layout()
            assert layout is not None
            area = scrolled(self.advice)
            layout.addWidget(area)
            area.show()
        self.advice.show_tap(self.tap_id)

    def _empty_words(self) -> str:
        if self.document.selection is None:
            return self.tr("Select a slot or an accessory to see its chain.")
        return self.tr("Nothing is tapped here yet. Put an accessory on it to see its chain.")

    def _choose(self, row: int) -> None:
        self.show_tap(self._taps[row].id)

    def _selection_changed(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "tap":
            self._chosen = selection.id
        self._show_soon()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._show_soon()

    def _show_soon(self) -> None:
        self._stale = True
        self._later.start()

    def _catch_up(self) -> None:
        """Show what changed, if anybody can see it."""
        if self._stale and self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        self._catch_up()

    def copy(self) -> None:
        """Put the chain on the clipboard as a table."""
        if self.model.chain is not None:
            export.copy_table(HEADER, map(_cells, self.model.chain.hops))


def _cells(hop: Any) -> tuple[object, ...]:
    return (
        hop.title,
        hop.quantity,
        round(hop.load, 6),
        round(hop.limit, 6),
        round(hop.margin, 6),
        hop.unit,
        hop.state or "",
        hop.basis.formula,
        hop.basis.source,
    )


class _Hops(RowList):
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
        return next((hop.basis.source for hop in hops if hop.key == key), "")

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
        from fusemap.window.tables_page import open_tables

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
