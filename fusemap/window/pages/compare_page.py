"""Two plans side by side: the vehicle now, as last saved, before the last step, or another file.

In: the document's history and files. Out: a table of places, margins, days, findings and parts;
what is the same can be left out. Nothing is changed here.
"""

from pathlib import Path
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
)

from fusemap.assess import assess
from fusemap.errors import FileProblem
from fusemap.files import read_vehicle
from fusemap.placement.variants import Row, compare
from fusemap.vehicle import Vehicle
from fusemap.window.asking import choose_file
from fusemap.window.document import Document, Edit
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.later import CatchingUp, Later
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import embolden, plain_label

NOW: Final = "now"
SAVED: Final = "saved"
BEFORE: Final = "before"
FIRST: Final = "first"
FILE: Final = "file"
CHOOSER: Final = 480
"""How wide a chooser gets at most, at a usual font [px]: it holds a file's name."""


class ComparePage(CatchingUp):
    """Two choosers over a table of three columns."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document)
        self._style = theme.style
        self._files: dict[str, Vehicle] = {}
        self.setObjectName("comparePage")
        self.setAccessibleName(self.tr("Two plans side by side"))
        heading = plain_label("compareTitle", self.tr("Two plans side by side"))
        embolden(heading)
        self.left = self._chooser("compareLeft", self.tr("Left"))
        self.right = self._chooser("compareRight", self.tr("Right"))
        self.differing = QCheckBox(self.tr("Only what differs"))
        self.differing.setObjectName("compareDiffering")
        self.differing.setChecked(True)
        self.differing.toggled.connect(self.refresh)
        self.nothing = plain_label("compareNothing", self.tr("Nothing differs."))
        self._fit = Later(lambda: self.table.resizeRowsToContents(), self)
        self.table = self._make_table()
        rows = QFormLayout()
        rows.addRow(self.tr("Left"), self.left)
        rows.addRow(self.tr("Right"), self.right)
        column = QVBoxLayout(self)
        edge = space(self, "medium")
        column.setContentsMargins(edge, edge, edge, edge)
        column.setSpacing(space(self, "small"))
        column.addWidget(heading)
        column.addLayout(rows)
        column.addWidget(self.differing)
        column.addWidget(self.nothing)
        column.addWidget(self.table, 1)
        column.addStretch()  # takes the room where there is no table
        self._choose(self.left, SAVED)
        self._choose(self.right, NOW)
        for chooser in (self.left, self.right):
            chooser.activated.connect(self._chosen)

    def _chooser(self, key: str, name: str) -> QComboBox:
        offered = (
            (NOW, self.tr("As it is now")),
            (SAVED, self.tr("As last saved")),
            (BEFORE, self.tr("Before the last step")),
            (FIRST, self.tr("As opened")),
            (FILE, self.tr("Another file…")),
        )
        chooser = Choice.among(key, name, offered)
        chooser.setMaximumWidth(px(self, CHOOSER))
        return chooser

    def _choose(self, chooser: QComboBox, value: str) -> None:
        chooser.setCurrentIndex(chooser.findData(value))

    def _make_table(self) -> QTableWidget:
        table = QTableWidget(0, 3)
        table.setObjectName("compareTable")
        table.setAccessibleName(self.tr("What differs"))
        table.verticalHeader().hide()
        table.verticalHeader().setMinimumSectionSize(self.fontMetrics().height())
        table.setWordWrap(True)
        table.setShowGrid(False)
        table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        table.setTabKeyNavigation(False)
        table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        table.horizontalHeader().sectionResized.connect(self._fit.start)
        return table

    # --- which vehicles ---------------------------------------------------------------------------

    def vehicle(self, chooser: QComboBox) -> Vehicle:
        """The vehicle a chooser means."""
        value = str(chooser.currentData())
        stack = self.document.stack
        now = self.document.vehicle
        if value in self._files:
            return self._files[value]
        if value == SAVED:
            return self._at(max(stack.cleanIndex(), 0))
        if value == BEFORE:
            return self._at(max(0, stack.index() - 1))
        return self._at(0) if value == FIRST else now

    def _at(self, index: int) -> Vehicle:
        """The vehicle after so many steps of the history."""
        stack = self.document.stack
        now = self.document.vehicle
        if index == stack.index():
            return now
        behind = index < stack.index()
        step = stack.command(index if behind else index - 1)
        if not isinstance(step, Edit):
            return now
        return step.before if behind else step.after

    def _chosen(self, index: int) -> None:
        chooser = self.sender()
        if isinstance(chooser, QComboBox) and chooser.itemData(index) == FILE:
            self._ask_file(chooser)
        else:
            self.refresh()

    def _ask_file(self, chooser: QComboBox) -> None:
        path = self.document.path
        folder = Path.home() if path is None else path.parent
        self._choose(chooser, NOW)
        choose_file(self, self.tr("Compare with"), folder, lambda path: self.take(chooser, path))

    def take(self, chooser: QComboBox, path: Path) -> None:
        """Compare with the vehicle in a file."""
        try:
            self._files[str(path)] = read_vehicle(path)
        except FileProblem as problem:
            self.document.refused.emit(problem)
            return
        if chooser.findData(str(path)) < 0:
            for each in (self.left, self.right):
                each.insertItem(each.count() - 1, path.name, str(path))
        self._choose(chooser, str(path))
        self.refresh()

    # --- what is shown ----------------------------------------------------------------------------

    def fill(self) -> None:
        """Compare the vehicles that are chosen."""
        both = [self.vehicle(chooser) for chooser in (self.left, self.right)]
        made = [
            self.document.assessment if each is self.document.vehicle else assess(each)
            for each in both
        ]
        titles = [chooser.currentText() for chooser in (self.left, self.right)]
        self.table.clearSpans()
        self.table.setRowCount(0)
        self.table.setHorizontalHeaderLabels(["", *titles])
        for title, rows in compare(*made).groups():
            shown = [row for row in rows if not (self.differing.isChecked() and row.same)]
            if shown:
                self._add_group(self._style.show(title), shown)
        empty = self.table.rowCount() == 0
        self.table.setVisible(not empty)
        self.nothing.setVisible(empty)
        self._fit.start()

    def _add_group(self, title: str, rows: list[Row]) -> None:
        self._add_row([title], strong=(0,))
        self.table.setSpan(self.table.rowCount() - 1, 0, 1, 3)
        for row in rows:
            words = [self._style.show(text) for text in (row.what, row.left, row.right)]
            self._add_row(words, strong=() if row.same else (2,))

    def _add_row(self, words: list[str], strong: tuple[int, ...]) -> None:
        at = self.table.rowCount()
        self.table.insertRow(at)
        bold = self.font()
        bold.setBold(True)
        for column, text in enumerate(words):
            item = QTableWidgetItem(text)
            item.setTextAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
            if column in strong:
                item.setFont(bold)
            self.table.setItem(at, column, item)

    def came_into_view(self) -> None:
        """Compare after what is there was painted."""
        self._later.start()
