"""How the selected accessory is connected: for each of its leads source, tap, fuse, cable, joint.

In: the taps as the document has them. Out: one edit per finished field; a lead that is not placed
can be given an own feed or a slot from the list.
"""

from typing import Any

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from fusemap.vehicle import Vehicle, look_up
from fusemap.vehicle.words import LeadName
from fusemap.window.document import Document, Selection
from fusemap.window.forms.lead_form import LEAD, LeadForm
from fusemap.window.style.theme import Theme, space


class TapForm(QWidget):
    """A form for the power lead and, where the accessory has one, for the sense lead."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.document = document
        self.accessory_id = ""
        self.setObjectName("tapForm")
        self.setAccessibleName(self.tr("How it is connected"))
        self.leads: dict[LeadName, LeadForm] = {
            lead: LeadForm(document, theme, lead) for lead in LEAD
        }
        self.hint = QLabel(self.tr("Select an accessory to see how it is connected."))
        self.hint.setWordWrap(True)
        self.hint.setProperty("muted", True)
        self.hint.setMargin(space(self, "medium"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.hint)
        for form in self.leads.values():
            column.addWidget(form)
        column.addStretch(1)
        document.selected.connect(self._selected)
        document.changed.connect(self._vehicle_changed)
        self._selected(document.selection)
        self._show_leads()

    def show_accessory(self, accessory_id: str) -> None:
        """Show how another accessory is connected."""
        self.accessory_id = accessory_id
        for form in self.leads.values():
            form.show_accessory(accessory_id)
        self._show_leads()

    def _selected(self, selection: Selection | None) -> None:
        if selection is None:
            return
        if selection.kind == "accessory":
            self.show_accessory(selection.id)
        elif selection.kind == "tap":
            self.show_accessory(look_up.tap(self.document.vehicle, selection.id).accessory)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._show_leads()

    def _show_leads(self) -> None:
        found: Any = {each.id: each for each in self.document.vehicle.accessories}
        accessory = found.get(self.accessory_id)
        self.hint.setVisible(accessory is None)
        for lead, form in self.leads.items():
            form.setVisible(accessory is not None and lead in accessory.leads)
