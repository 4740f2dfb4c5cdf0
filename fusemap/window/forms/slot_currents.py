"""The currents of one slot in every vehicle state, as a small table that copies as CSV.

In: the assessment of the document's vehicle; out: amperes of own load, accessories, host fuse and
both contacts, with their limits. Where the own load was not measured the cell says so. Below the
table stands how the current that the cursor is on came about; the cursor starts on the one whose
limit is tightest, which the slot's card shows.
"""

from collections.abc import Callable
from math import isfinite
from operator import gt
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import (
    QAbstractTableModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QFont, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QSizePolicy,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from fusemap.text import Amount, Style, say
from fusemap.vehicle import STATES
from fusemap.vehicle.words import STATE, own_words
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.parts.export import ask_where, copy_table, file_name, write_csv
from fusemap.window.parts.headline import BasisView, basis_text
from fusemap.window.parts.later import Later
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme

if TYPE_CHECKING:
    from fusemap.assess.result import Basis, SlotFigures
    from fusemap.assess.slot_basis import Figure


class SlotWhy(BasisView):
    """Follows the cursor of the table `view`, whose columns are these figures."""

    def __init__(
        self, document: Document, style: Style, view: QTableView, figures: "tuple[Figure, ...]"
    ) -> None:
        super().__init__(document, style, "", "slotWhy")
        self._view = view
        self._figures = figures
        self._slot_id = ""
        self._at: tuple[int, int] | None = None
        view.selectionModel().currentChanged.connect(self.refresh)
        self.button.toggled.connect(self.refresh)

    def show_slot(self, slot_id: str) -> None:
        """Another slot starts at its tightest current; the same one keeps the cursor."""
        other, self._slot_id = slot_id != self._slot_id, slot_id
        slots = self._document.assessment.slots
        self.setVisible(slot_id in slots.index)
        if slot_id not in slots.index:
            return
        # figures shown anew take the cursor away: it is put back
        at = tightest(slots, slot_id, self._figures) if other or self._at is None else self._at
        self._view.setCurrentIndex(self._view.model().index(*at))
        self.refresh()

    def refresh(self, *_: object) -> None:
        """Say which current it is; how it came about only where that is open."""
        index = self._view.currentIndex()
        if not index.isValid() or not self._slot_id:
            return
        self._at = index.row(), index.column()
        self.set_title(self._title(index.row(), index.column()))
        if self.button.isChecked():
            basis = self._basis(index.row(), index.column())
            self.show_text("" if basis is None else basis_text(basis, self._style),
                           "" if basis is None else str(basis.source))  # fmt: skip

    def source_here(self) -> str:
        """The source of the current the cursor is on."""
        index = self._view.currentIndex()
        basis = self._basis(index.row(), index.column()) if index.isValid() else None
        return "" if basis is None else str(basis.source)

    def _basis(self, row: int, column: int) -> "Basis | None":
        # loaded when it is first needed: the start stays short
        from fusemap.assess.slot_basis import current_basis, limit_basis

        a, figure = self._document.assessment, self._figures[column]
        if self._slot_id not in a.slots.index:
            return None
        if row == len(STATES):
            return limit_basis(a, self._slot_id, figure)
        return current_basis(a, self._slot_id, figure, STATES[row])

    def _title(self, row: int, column: int) -> str:
        when = STATE[STATES[row]].label if row < len(STATES) else say("Limit").small()
        head = self._view.model().headerData(column, Qt.Orientation.Horizontal)
        words = self.tr("How it came about: {what}, {when}")
        return words.format(what=str(head).replace("\n", " "), when=self._style.show(when))


def tightest(
    figures: "SlotFigures", slot_id: str, columns: "tuple[Figure, ...]"
) -> tuple[int, int]:
    """Row and column of the current that uses most of its limit: the one the card shows."""
    column = figures.index[slot_id]
    row = STATES.index(figures.worst_state(slot_id))
    contact = figures.live_contact_a[row, column] / figures.contact_limit_a[column]
    host = figures.host_a[row, column] / figures.host_limit_a[column]
    return row, columns.index("host_a" if host > contact else "live_contact_a")


Index = QModelIndex | QPersistentModelIndex
COLUMNS: "Final[tuple[Figure, ...]]" = (
    "own_a",
    "accessory_a",
    "host_a",
    "live_contact_a",
    "load_contact_a",
)


class CurrentsModel(QAbstractTableModel):
    """States down, currents [A] across, the limits in the last row."""

    def __init__(self, document: Document, theme: Theme, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self._slot_id = ""
        self._figures: SlotFigures | None = None
        self._most_figures: SlotFigures | None = None
        self.words: list[list[str]] = []
        """What stands in the cells, row by row; none for a place without a fuse."""

    def show_slot(self, slot_id: str) -> None:
        """Show the figures of a slot as they are now; nothing for a place without a fuse."""
        self.beginResetModel()
        self._slot_id = slot_id
        a = self._document.assessment
        there = slot_id in a.slots.index
        # kept together: those of the vehicle as it is by the time they are asked may lack the slot
        self._figures, self._most_figures = (a.slots, a.most.slots) if there else (None, None)
        cells = [
            self.index(*divmod(n, len(COLUMNS))) for n in range(self.rowCount() * len(COLUMNS))
        ]
        words = [self._words(cell) for cell in cells]
        self.words = [words[n : n + len(COLUMNS)] for n in range(0, len(words), len(COLUMNS))]
        self.endResetModel()

    def headers(self) -> list[str]:
        """What the columns are."""
        return [
            self.tr("Own load"),
            self.tr("Tapped"),
            self.tr("Host fuse"),
            self.tr("Live contact"),
            self.tr("Load contact"),
        ]

    def rows(self) -> list[list[float | str | None]]:
        """The numbers [A] for a CSV file, a state per row, then the limits."""
        figures = self._figures
        if figures is None:
            return []
        rows: list[list[float | str | None]] = [
            [words, *(self._cell(row, column) for column in range(len(COLUMNS)))]
            for row, (_, words) in enumerate(choices.states(self._theme.style))
        ]
        limits = [self._limit(column) for column in range(len(COLUMNS))]
        return [*rows, [self.tr("Limit"), *limits]]

    # --- what Qt asks ---------------------------------------------------------------------------

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The states and the limits."""
        return 0 if self._figures is None or parent.isValid() else len(STATES) + 1

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The currents."""
        return 0 if parent.isValid() else len(COLUMNS)

    def headerData(
        self, section: int, way: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Names of currents and states."""
        if role == Qt.ItemDataRole.DisplayRole:
            if way == Qt.Orientation.Horizontal:
                return self.headers()[section].replace(" ", "\n")
            states = [words for _, words in choices.states(self._theme.style)]
            return states[section] if section < len(states) else self.tr("Limit")
        if role == Qt.ItemDataRole.ToolTipRole and way == Qt.Orientation.Horizontal:
            return self._hints()[section]
        return None

    def _hints(self) -> list[str]:
        return [
            self.tr("What the vehicle's own circuit draws, as measured or entered"),
            self.tr("What is tapped here, all accessories together"),
            self.tr("Through the host fuse: a tap on the live side does not load it"),
            self.tr("Through the slot's live contact: own load and accessories together"),
            self.tr("Through the slot's load contact"),
        ]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Amperes; where a limit is passed a word and a colour."""
        if self._figures is None:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.words[index.row()][index.column()]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.words[index.row()][index.column()].replace("\n", " ")
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        if role == Qt.ItemDataRole.ForegroundRole and self._over(index):
            return self._theme.colour("stop")
        if role == Qt.ItemDataRole.ForegroundRole and self._unsure(index):
            return self._theme.colour("caution")
        if role == Qt.ItemDataRole.FontRole and (self._over(index) or self._is_limit(index)):
            font = QFont()
            font.setBold(True)
            return font
        return None

    def _words(self, index: Index) -> str:
        if self._is_limit(index):
            limit = self._limit(index.column())
            return "–" if limit is None else self._theme.style.show(Amount(limit, "A"))
        value = self._value(index.row(), index.column())
        if value is None:
            return self.tr("not measured").replace(" ", "\n")
        most = self._most(index.row(), index.column())
        words = self._theme.style.show(own_words(value, most))
        if self._over(index):
            return self.tr("{load}\nover!").format(load=words)
        return self.tr("{load}\nmay be over").format(load=words) if self._unsure(index) else words

    def _is_limit(self, index: Index) -> bool:
        return index.row() == len(STATES)

    def _over(self, index: Index) -> bool:
        if self._is_limit(index):
            return False
        value, limit = self._value(index.row(), index.column()), self._limit(index.column())
        return value is not None and limit is not None and value > limit + 1e-9

    def _unsure(self, index: Index) -> bool:
        """Whether a limit is not passed by what is known, and may be."""
        limit = None if self._is_limit(index) else self._limit(index.column())
        if limit is None or self._over(index):
            return False
        return self._most(index.row(), index.column()) > limit * (1 + 1e-9)

    def _value(self, row: int, column: int) -> float | None:
        figures = self._figures
        assert figures is not None
        slot = figures.index[self._slot_id]
        if COLUMNS[column] == "own_a" and not figures.own_known[row, slot]:
            return None
        return float(getattr(figures, COLUMNS[column])[row, slot])

    def _cell(self, row: int, column: int) -> float | str | None:
        """A number [A]; both ends in words where there is no one number."""
        value = self._value(row, column)
        most = self._most(row, column)
        if value is None or most <= value * (1 + 1e-9):
            return value
        return self._theme.style.show(own_words(value, most))

    def _most(self, row: int, column: int) -> float:
        """The most that a current may be [A]."""
        figures = self._most_figures
        assert figures is not None
        return float(getattr(figures, COLUMNS[column])[row, figures.index[self._slot_id]])

    def _limit(self, column: int) -> float | None:
        figures = self._figures
        assert figures is not None
        slot = figures.index[self._slot_id]
        limits = {2: figures.host_limit_a, 3: figures.contact_limit_a, 4: figures.contact_limit_a}
        if column not in limits or not isfinite(limits[column][slot]):
            return None
        return float(limits[column][slot])


class CurrentsTable(QWidget):
    """The table with its buttons to copy and save it; `came` where it had to wait for figures."""

    came = Signal()

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self.model = CurrentsModel(document, theme, self)
        self.view = _Table(self.model, self.copy)
        self.view.setObjectName("slotCurrents")
        self.view.setAccessibleName(self.tr("Currents of the slot"))
        self._name = ""
        self._slot_id = ""
        self.why = SlotWhy(document, theme.style, self.view, COLUMNS)
        self._soon = Later(self._show_late, self)
        buttons = QHBoxLayout()
        for key, text, do in (
            ("slotCurrentsCopy", self.tr("Copy table"), self.copy),
            ("slotCurrentsSave", self.tr("Save as CSV…"), self.save),
        ):
            button = QPushButton(text)
            button.setObjectName(key)
            button.clicked.connect(do)
            buttons.addWidget(button)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.view)
        column.addWidget(self.why)
        column.addLayout(buttons)

    def show_slot(self, slot_id: str, name: str) -> None:
        """Show the figures of a slot."""
        self._name = name
        if not self._document.numbers_ready:
            self._slot_id = slot_id
            self._soon.start_when_painted(self.view.viewport())
            return
        self.model.show_slot(slot_id)
        self.view.fit_if_needed()
        self.why.show_slot(slot_id)

    def source_here(self) -> str:
        """The source of the current the cursor is on."""
        return self.why.source_here()

    def _show_late(self) -> None:
        """The panel is painted first; then the figures are loaded."""
        _ = self._document.assessment
        self.show_slot(self._slot_id, self._name)
        self.came.emit()

    def header(self) -> list[str]:
        """The header of the CSV file, with units."""
        return [self.tr("State"), *(f"{name} [A]" for name in self.model.headers())]

    def copy(self) -> None:
        """Put the table on the clipboard."""
        copy_table(self.header(), self.model.rows())

    def save(self) -> None:
        """Ask for a file and write the table there."""
        name = file_name(self._document.vehicle.name, f"{self._name} currents", ".csv")
        ask_where(
            self,
            self._document,
            self.tr("Save the currents of {slot}").format(slot=self._name),
            name,
            self.tr("Tables (*.csv)"),
            lambda path: write_csv(path, self.header(), self.model.rows()),
        )


class _Table(QTableView):
    """A table as high as its rows, that copies on Ctrl+C; it scrolls sideways where it must."""

    def __init__(self, model: CurrentsModel, copy: Callable[[], None]) -> None:
        super().__init__()
        self._copy = copy
        self._model = model
        self._lengths: tuple[int, ...] = ()
        self.setModel(model)
        self.setSelectionMode(QTableView.SelectionMode.ContiguousSelection)
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        for header in (self.horizontalHeader(), self.verticalHeader()):
            header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def fit_if_needed(self) -> None:
        """Fit again when a column or a row has got larger: measuring takes long."""
        texts = self._model.words
        across = (max(map(len, column)) for column in zip(*texts, strict=True))
        down = (max(text.count("\n") for text in row) for row in texts)
        lengths = (*across, *down)
        if len(lengths) != len(self._lengths) or any(map(gt, lengths, self._lengths)):
            self._lengths = lengths
            self.fit()

    def fit(self) -> None:
        """Be as high as the rows are now, and at most as wide as the columns."""
        self.resizeColumnsToContents()
        self.resizeRowsToContents()
        across, down = self.horizontalHeader(), self.verticalHeader()
        lines = max(words.count(" ") for words in self._model.headers()) + 1
        across.setMinimumHeight(lines * across.fontMetrics().lineSpacing() + px(self, 10))
        frame = 2 * self.frameWidth()
        wide = down.sizeHint().width() + across.length() + frame
        bar = self.horizontalScrollBar().sizeHint().height() if self.width() < wide else 0
        head = max(across.sizeHint().height(), across.minimumHeight())
        self.setFixedHeight(head + down.length() + frame + bar)
        self.setMaximumWidth(wide)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """A scroll bar comes or goes with the width."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit()

    def changeEvent(self, event: QEvent) -> None:
        """Another font makes other cells."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl+C copies the whole table."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self._copy()
        else:
            super().keyPressEvent(event)
