"""How the current that the cursor is on came about, below the currents of a slot.

In: the table of currents, the slot it shows. Out: a line that opens the sum, its parts, its source.
The cursor starts on the current whose limit is tightest: the one that the slot's card shows.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTableView

from fusemap.text import Style
from fusemap.vehicle import STATES
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.parts.basis_view import BasisView, basis_text

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
        from fusemap.assess.slot_basis import current_basis, limit_basis

        a, figure = self._document.assessment, self._figures[column]
        if self._slot_id not in a.slots.index:
            return None
        if row == len(STATES):
            return limit_basis(a, self._slot_id, figure)
        return current_basis(a, self._slot_id, figure, STATES[row])

    def _title(self, row: int, column: int) -> str:
        states = [words for _, words in choices.states(self._style)]
        when = states[row] if row < len(states) else self.tr("Limit")
        head = self._view.model().headerData(column, Qt.Orientation.Horizontal)
        words = self.tr("How it came about: {what}, {when}")
        return words.format(what=str(head).replace("\n", " "), when=when.lower())


def tightest(
    figures: "SlotFigures", slot_id: str, columns: "tuple[Figure, ...]"
) -> tuple[int, int]:
    """Row and column of the current that uses most of its limit: the one the card shows."""
    column = figures.index[slot_id]
    row = STATES.index(figures.worst_state(slot_id))
    contact = figures.live_contact_a[row, column] / figures.contact_limit_a[column]
    host = figures.host_a[row, column] / figures.host_limit_a[column]
    return row, columns.index("host_a" if host > contact else "live_contact_a")
