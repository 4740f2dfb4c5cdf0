"""The vehicle's own tables, and all published ones with their sources.

In: a text to look for, such as the source that a number names. Out: the rows, the clipboard, CSV
files; `place_wanted` for what an own row is about. A page of the main window; while no vehicle is
in hand it is a window beside that one.
"""

from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QShowEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSplitter,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from fusemap import tables
from fusemap.tables import TableInfo
from fusemap.text import NOTHING, Argument, Text, many, run_on, say
from fusemap.window.document import Document
from fusemap.window.pages.own_tables import OwnTable, fitting_rows, own_tables
from fusemap.window.pages.table_rows import RowsModel
from fusemap.window.pages.table_words import (
    counted,
    fitting,
    status_words,
)
from fusemap.window.parts import export
from fusemap.window.parts.figure_table import Index
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme, space

ROW: Final = 28
"""So high is a row that is clicked [px of the design]."""
KEY: Final = Qt.ItemDataRole.UserRole


def open_beside(
    window: QWidget, document: Document, theme: Theme, source: str = ""
) -> "TablesPage":
    """The tables in a window beside this one, on the rows that a source text cites."""
    page = window.findChild(TablesPage, "tablesPage")
    if page is not None and page.theme != theme:
        page.close()
        page.setParent(None)
        page = None
    if page is None:
        page = TablesPage(document, theme, window)
        page.setWindowFlag(Qt.WindowType.Window)
    page.look_for_source(source)
    page.show()
    page.raise_()
    page.activateWindow()
    page.list.setFocus()
    return page


class TablesPage(QWidget):
    """The list of tables, and the rows of one of them."""

    place_wanted = Signal(str, str)
    """This place is to be shown: its kind and id."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self.theme, self.shown_in = theme, theme.style
        self._own: dict[str, OwnTable] = {}
        self._stale = True
        self.setObjectName("tablesPage")
        self.setWindowTitle(self.tr("Tables and sources"))
        self.setAccessibleName(self.tr("Tables and sources"))
        self.search = QLineEdit()
        self.search.setObjectName("tablesSearch")
        self.search.setAccessibleName(self.tr("Look for"))
        self.search.setPlaceholderText(self.tr("Look for: fuse, 1.5, a source…"))
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self.refresh)
        self.memory = QCheckBox(self.tr("Only what is from memory, unverified"))
        self.memory.setObjectName("tablesMemory")
        self.memory.toggled.connect(self.refresh)
        self.list = QListWidget()
        self.list.setObjectName("tablesList")
        self.list.setAccessibleName(self.tr("Tables"))
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.currentItemChanged.connect(self._show_table)
        self.model = RowsModel(theme, self.fontMetrics().height(), self)
        self.view = _Rows(self)
        self.view.setModel(self.model)
        self.view.activated.connect(self._go)
        self.view.selectionModel().currentRowChanged.connect(self._show_source)
        self.model.modelReset.connect(self._show_source)
        self.source = QLabel()
        self.source.setObjectName("tablesSource")
        self.source.setWordWrap(True)
        self.source.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.title = QLabel()
        self.title.setObjectName("tablesTitle")
        self.title.setWordWrap(True)
        self.nothing = QLabel(self.tr("No table has such a row."))
        self.nothing.setObjectName("tablesNothing")
        self.nothing.setProperty("muted", True)
        self._lay_out()
        self.document.changed.connect(self._changed)
        self.document.opened.connect(self._changed)
        self.refresh()

    def _lay_out(self) -> None:
        gap = space(self, "medium")
        top = QHBoxLayout()
        top.addWidget(self.search, 1)
        top.addWidget(self.memory)
        right = QWidget()
        inside = QVBoxLayout(right)
        inside.setContentsMargins(gap, 0, 0, 0)
        inside.addWidget(self.title)
        inside.addWidget(self.nothing)
        inside.addWidget(self.view, 1)
        inside.addWidget(self.source)
        inside.addLayout(self._buttons())
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setObjectName("tablesSplit")
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(self.list)
        self.split.addWidget(right)
        em = self.fontMetrics().height()
        self.split.setSizes([em * 21, em * 45])
        self.split.setStretchFactor(1, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.addLayout(top)
        column.addWidget(self.split, 1)
        self.resize(em * 62, em * 38)

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        for key, text, do in (
            ("tablesCopy", self.tr("Copy table"), self.copy),
            ("tablesSave", self.tr("Save as CSV…"), self.save),
        ):
            button = QPushButton(text)
            button.setObjectName(key)
            button.clicked.connect(do)
            row.addWidget(button)
        row.addStretch(1)
        return row

    # --- what is shown --------------------------------------------------------------------------

    def look_for(self, text: str) -> None:
        """Look for this in all tables, recalled or not."""
        self.memory.setChecked(False)
        self.search.setText(text)
        self.refresh()

    def look_for_source(self, source: str) -> None:
        """Look for the rows that a source text cites; all of them where it cites none."""
        title = tables.cited(source)
        self.look_for(f"“{title}”" if title else "")

    @property
    def home(self) -> QWidget:
        """Where the keyboard goes: the list of tables."""
        return self.list

    def refresh(self, *_: object) -> None:
        """List the tables that have rows that fit, and show the one the cursor is on."""
        kept = self.key
        self._take_own()
        self.list.blockSignals(True)
        self.list.clear()
        for own in self._own.values():
            count = len(fitting_rows(own, self.search.text(), self.shown_in))
            if count and not self.memory.isChecked():
                self._add(own.key, own.title, count, len(own.rows))
        for info in tables.all_tables():
            rows = self._fitting(info)
            if rows:
                self._add(info.key, info.title, len(rows), len(info.rows), counted(info))
        keys = [self.list.item(row).data(KEY) for row in range(self.list.count())]
        if keys:
            self.list.setCurrentRow(keys.index(kept) if kept in keys else 0)
        self.list.blockSignals(False)
        self._show_table()

    def _add(
        self, key: str, title: Argument, count: int, whole: int, tip: Argument = NOTHING
    ) -> None:
        said = self.shown_in.show(title)
        item = QListWidgetItem(f"{said} ({count})" if count != whole else said)
        item.setData(KEY, key)
        item.setToolTip("\n".join(filter(None, (item.text(), self.shown_in.show(tip)))))
        item.setSizeHint(QSize(0, px(self.list, ROW)))
        self.list.addItem(item)

    def _take_own(self) -> None:
        """The vehicle's own tables as they are now; reckoned anew only after a change."""
        if self._stale:
            self._stale = False
            vehicle = self.document.vehicle
            a = self.document.assessment
            made = own_tables(vehicle, a, self.shown_in) if vehicle.panels else ()
            self._own = {each.key: each for each in made if each.rows}

    def _changed(self, *_: object) -> None:
        self._stale = True
        if self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self._stale:
            self.refresh()

    def _fitting(self, info: TableInfo) -> tuple[tuple[str, ...], ...]:
        return fitting(info, self.search.text(), self.shown_in, memory=self.memory.isChecked())

    @property
    def key(self) -> str:
        """The table shown; empty when none is."""
        item = self.list.currentItem()
        return "" if item is None else str(item.data(KEY))

    def show_table(self, key: str) -> None:
        """Show a table by its key, where it has rows that fit."""
        for row in range(self.list.count()):
            if self.list.item(row).data(KEY) == key:
                self.list.setCurrentRow(row)

    def _show_table(self, *_: object) -> None:
        there = bool(self.key)
        for widget in (self.view, self.title, self.source):
            widget.setVisible(there)
        self.nothing.setVisible(not there)
        if not there:
            self.model.show_rows((), ())
            return
        if self.key in self._own:
            self._show_own(self._own[self.key])
            return
        info = tables.table(self.key)
        title = self.shown_in.show(info.title)
        self.title.setText(self.shown_in.show(run_on(title, counted(info), between=": ")))
        self.model.show_rows(info.columns, self._fitting(info))
        # a row that has a name is not shown by the key it has in the files as well
        self._lay_rows_out(hidden="key" if "name" in info.columns else "")

    def _show_own(self, own: OwnTable) -> None:
        shown = fitting_rows(own, self.search.text(), self.shown_in)
        rows = many("{n} row", "{n} rows", len(shown))
        self.title.setText(self.shown_in.show(run_on(own.title, rows, between=": ")))
        columns = tuple(map(self.shown_in.show, own.columns))
        self.model.show_rows(columns, tuple(shown.values()), tuple(shown))
        self._lay_rows_out()

    def _lay_rows_out(self, hidden: str = "") -> None:
        columns = self.model.columns
        for column, key in enumerate(columns):
            self.view.setColumnHidden(column, key == hidden)
        self.view.fit()
        first = 1 if columns[0] == hidden else 0
        self.view.setCurrentIndex(self.model.index(0, first))

    def _go(self, index: Index) -> None:
        """Show what an own row is about."""
        if self.model.places and 0 <= index.row() < len(self.model.places):
            self.place_wanted.emit(*self.model.places[index.row()])

    def _show_source(self, *_: object) -> None:
        """The whole source of the row the cursor is on, and how it is known."""
        row = self.view.currentIndex().row()
        if not 0 <= row < len(self.model.rows):
            self.source.setText(self.tr("Choose a row to read its source."))
            return
        if self.model.places:
            self.source.setText(self.tr("Enter or a double click shows it on the panel."))
            return
        told = dict(zip(self.model.columns, self.model.rows[row], strict=True))
        words = say(
            "Source: {source} ({status})",
            source=Text(told["source"]),
            status=status_words(told["status"]),
        )
        self.source.setText(self.shown_in.show(words))

    # --- files ----------------------------------------------------------------------------------

    def copy(self) -> None:
        """Put the rows shown on the clipboard as a table."""
        export.copy_table(self.model.columns, self.model.rows)

    def save(self) -> None:
        """Ask where to save the rows shown."""
        if not self.key:
            return
        columns, rows = self.model.columns, self.model.rows
        export.ask_where(
            self,
            self.document,
            self.tr("Save the table"),
            f"{self.key}.csv",
            self.tr("Tables (*.csv)"),
            lambda path: export.write_csv(path, columns, rows),
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape closes, Ctrl+F looks for something."""
        if event.key() == Qt.Key.Key_Escape and self.isWindow():
            self.close()
        elif event.matches(QKeySequence.StandardKey.Find):
            self.search.setFocus()
            self.search.selectAll()
        else:
            super().keyPressEvent(event)


class _Rows(QTableView):
    """The rows; Ctrl+C copies the whole table."""

    def __init__(self, page: TablesPage) -> None:
        super().__init__()
        self._page = page
        self.setObjectName("tablesRows")
        self.setAccessibleName(page.tr("Rows of the table"))
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setDefaultSectionSize(px(self, ROW))

    def fit(self) -> None:
        """Columns as wide as their words, none wider than a third of the view."""
        self.resizeColumnsToContents()
        most = max(self.viewport().width() // 3, self.fontMetrics().averageCharWidth() * 30)
        for column in range(self.model().columnCount()):
            self.setColumnWidth(column, min(self.columnWidth(column), most))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl+C copies the whole table."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self._page.copy()
        else:
            super().keyPressEvent(event)
