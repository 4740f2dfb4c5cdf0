"""The vehicle's own name, voltage and note; and those of one of its panels."""

from typing import TYPE_CHECKING

from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.vehicle.validity import MOST_ROWS
from fusemap.window.document import Document, Selection
from fusemap.window.forms import choices
from fusemap.window.forms.fields import NoteField
from fusemap.window.forms.part_form import PartForm

if TYPE_CHECKING:
    from fusemap.vehicle import Panel


class VehicleForm(PartForm):
    """Name, system voltage and note."""

    def __init__(self, document: Document) -> None:
        super().__init__(
            document,
            "vehicle",
            self.tr("Vehicle"),
            lambda: document.vehicle,
            edits.change_vehicle,
        )
        self.section(self.tr("Vehicle"))
        self.text("name", self.tr("Name"))
        self.choice("system_v", self.tr("System voltage"), choices.system_voltages())
        note = NoteField(
            document,
            lambda: document.vehicle.note,
            lambda text: self.write("note", self.tr("Note"), text),
            name=self.tr("Note"),
            key="vehicle_note",
            placeholder=self.tr("for instance: what was fitted when, and by whom"),
            lines=6,
        )
        self.add(self.tr("Note"), note)


class PanelForm(PartForm):
    """Name, size and place of the panel that was selected last."""

    def __init__(self, document: Document) -> None:
        self._panel_id = ""
        super().__init__(document, "panel", self.tr("Panel"), self._panel, self._change_panel)
        self.section(self.tr("Panel"))
        self.text("name", self.tr("Name"))
        self.number("rows", self.tr("Rows"), whole=True, least=1, most=MOST_ROWS)
        self.number("columns", self.tr("Columns"), whole=True, least=1, most=MOST_ROWS)
        self.choice("place", self.tr("Where it sits"), choices.places())
        self.number(
            "ambient_c",
            self.tr("Warmest air there"),
            "°C",
            optional=True,
            placeholder=self.tr("by its place"),
        )
        self.note(self.tr("The air at the panel sets what its fuses may carry."))
        document.selected.connect(self._selected)
        self._selected(document.selection)

    def called(self) -> str:
        """The panel by name."""
        return self._panel().name

    def _panel(self) -> "Panel":
        panels = self.document.vehicle.panels
        if not any(panel.id == self._panel_id for panel in panels) and panels:
            self._panel_id = panels[0].id
        if not panels:
            from fusemap.vehicle import Panel

            return Panel(id="", name="", rows=1, columns=1)
        return look_up.panel(self.document.vehicle, self._panel_id)

    def _change_panel(self, vehicle: Vehicle, **changes: object) -> Vehicle:
        return edits.change_panel(vehicle, self._panel().id, **changes)

    def _selected(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "panel":
            self._panel_id = selection.id
            self.refresh()
