"""The vehicle's own name, voltage and note; its panels; its battery.

In: the vehicle, the panel, what the battery's label and a meter say, as the document has them. Out:
one edit per finished field.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, SignalInstance
from PySide6.QtWidgets import QHBoxLayout, QPushButton

from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.vehicle.validity import MOST_ROWS
from fusemap.window.document import Document, Selection
from fusemap.window.forms import choices
from fusemap.window.forms.crank_reading_form import CrankReadingForm
from fusemap.window.forms.fields import NoteField
from fusemap.window.forms.form import Following, PartForm, between
from fusemap.window.forms.second_battery_form import SecondBatteryForm
from fusemap.window.forms.stand_reading_form import StandReadingForm
from fusemap.window.style.theme import Theme

if TYPE_CHECKING:
    from fusemap.vehicle import Panel


class VehicleForm(PartForm):
    """Name, system voltage and note."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(
            document,
            theme,
            "vehicle",
            self.tr("Vehicle"),
            lambda: document.vehicle,
            edits.change_vehicle,
        )
        self.section(self.tr("Vehicle"))
        self.text("name", self.tr("Name"))
        self.choice("system_v", self.tr("System voltage"), choices.system_voltages())
        note = NoteField(
            lambda: document.vehicle.note,
            lambda text: self.write("note", self.tr("Note"), text),
            name=self.tr("Note"),
            key="vehicle_note",
            placeholder=self.tr("for instance: what was fitted when, and by whom"),
            lines=6,
        )
        self.add(self.tr("Note"), note)


class PanelForm(PartForm):
    """Name, size, place and photo of the panel that was selected last."""

    choose_photo = Signal(str)
    """A picture is to be chosen for this panel."""
    fit_photo = Signal(str)
    """The grid of this panel is to be laid onto its photo."""
    remove_photo = Signal(str)
    """The photo of this panel is to be taken away."""

    def __init__(self, document: Document, theme: Theme) -> None:
        self._panel_id = ""
        super().__init__(
            document, theme, "panel", self.tr("Panel"), self._panel, self._change_panel
        )
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
        self._add_photo()
        document.selected.connect(self._selected)
        self._selected(document.selection)

    def _add_photo(self) -> None:
        self.section(self.tr("Photo of the lid"))
        self.note(
            self.tr(
                "A picture of the lid or of the panel, behind the slots. It is kept small in the "
                "vehicle’s file, without place or camera, and is not given away with the map."
            )
        )
        self._photo_buttons = [
            self._photo_button("choose", self.tr("Photo of the lid…"), self.choose_photo),
            self._photo_button("fit", self.tr("Fit the photo…"), self.fit_photo),
            self._photo_button("remove", self.tr("Remove the photo"), self.remove_photo),
        ]
        for button in self._photo_buttons:
            line = QHBoxLayout()
            line.addWidget(button)
            line.addStretch(1)
            self.rows.addRow(line)
        self.watch(Following(self._show_photo_buttons))

    def _photo_button(self, name: str, text: str, wanted: SignalInstance) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(f"panelPhoto_{name}")
        button.clicked.connect(lambda: wanted.emit(self._panel().id))
        return button

    def _show_photo_buttons(self) -> None:
        """A photo that is not there can be neither fitted nor removed."""
        there = self._panel().photo is not None
        for button in self._photo_buttons[1:]:
            button.setEnabled(there)

    def part_name(self) -> str:
        """The panel by name."""
        return self._panel().name

    def _panel(self) -> "Panel":
        panels = self.document.vehicle.panels
        if not any(panel.id == self._panel_id for panel in panels) and panels:
            self._panel_id = panels[0].id
        if not panels:
            # loaded when it is first needed: the start stays short
            from fusemap.vehicle import Panel

            return Panel(id="", name="", rows=1, columns=1)
        return look_up.panel(self.document.vehicle, self._panel_id)

    def _change_panel(self, vehicle: Vehicle, **changes: object) -> Vehicle:
        return edits.change_panel(vehicle, self._panel().id, **changes)

    def _selected(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "panel":
            self._panel_id = selection.id
            self.refresh()


class BatteryForm(PartForm):
    """The battery; blank fields are reckoned from the others or from its kind."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(
            document,
            theme,
            "battery",
            self.tr("Battery"),
            lambda: document.vehicle.battery,
            edits.change_battery,
        )
        self._add_label()
        self._add_condition()
        self._add_readings()
        self.section(self.tr("One start, followed with a meter"))
        self.crank_reading = CrankReadingForm(document, theme)
        self.rows.addRow(self.crank_reading)
        self.section(self.tr("What a standing showed"))
        self.stand_reading = StandReadingForm(document, theme)
        self.rows.addRow(self.stand_reading)
        self._add_ranges()
        self.section(self.tr("Second battery"))
        self.second = SecondBatteryForm(document, theme)
        self.rows.addRow(self.second)
        self._show_hint()

    def _add_label(self) -> None:
        self.section(self.tr("On its label"))
        self._pair = self.note(
            self.tr("With 24 V enter the figures of one of the two 12 V batteries in series.")
        )
        self.choice("chemistry", self.tr("Kind"), choices.chemistries())
        self.number("capacity_ah", self.tr("Capacity (20 h)"), "Ah", optional=True)
        self.number("reserve_min", self.tr("Reserve capacity"), "min", optional=True)
        self.number("cca_a", self.tr("Cold cranking current"), "A", optional=True)
        self.choice(
            "label_standard",
            self.tr("Meant as"),
            choices.label_standards(),
            hint=self.tr("The standard beside the cold cranking current; DIN says far more"),
        )
        self.number(
            "parallel", self.tr("Alike in parallel"), whole=True, least=1, hint=self.tr("usually 1")
        )

    def _add_condition(self) -> None:
        self.section(self.tr("Its condition"))
        self.number(
            "age_years",
            self.tr("Age"),
            "years",
            optional=True,
            hint=self.tr("Where its health is not known it is reckoned from this"),
        )
        self.number(
            "soh",
            self.tr("Health"),
            "%",
            scale=0.01,
            optional=True,
            least=1,
            most=150,
            hint=self.tr("Capacity left, as a share of the label's; a tester may say"),
        )
        self.number(
            "start_soc",
            self.tr("Charge when parked"),
            "%",
            scale=0.01,
            optional=True,
            least=0,
            most=100,
            hint=self.tr("Where blank, what the usual drives or this alternator leave is taken"),
        )
        self.choice("charged_by", self.tr("Charged by"), choices.charged_by())

    def _add_readings(self) -> None:
        self.section(self.tr("Measured"))
        self.number(
            "rest_v",
            self.tr("Rest voltage"),
            "V",
            optional=True,
            hint=self.tr("Of the whole system, after hours without charge or load"),
        )
        self.number("resistance_mohm", self.tr("Internal resistance"), "mΩ", optional=True)
        self.number(
            "measured_cca_a",
            self.tr("Cold cranking, tested"),
            "A",
            optional=True,
            hint=self.tr("What a tester says today; it tells of cranking, not of capacity"),
        )

    def _add_ranges(self) -> None:
        self.section(self.tr("How sure is that?"))
        self.note(self.tr("Blank takes a usual range; it is said beside the parked forecast."))
        between(self, "low_soh", "high_soh", self.tr("Health between"), "%", 0.01)
        between(self, "low_soc", "high_soc", self.tr("Charge between"), "%", 0.01)

    def refresh(self) -> None:
        """Show the battery as it is now."""
        super().refresh()
        self._show_hint()

    def _show_hint(self) -> None:
        self.rows.setRowVisible(self._pair, self.document.vehicle.system_v == 24)
