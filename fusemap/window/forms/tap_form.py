"""How the selected accessory is connected: for each of its leads source, tap, fuse, cable, joint.

In: the taps as the document has them. Out: one edit per finished field; a lead that is not placed
can be given an own feed or a slot from the list. A cable that is not there has one box to tick;
without a cable back the current returns by the body.
"""

from typing import Any, Final, Literal

from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from fusemap.text import Text, say
from fusemap.vehicle import SEATED, Tap, Vehicle, edits, look_up
from fusemap.vehicle.words import CLOSED_BY, TOW, LeadName
from fusemap.window.document import Document, Selection
from fusemap.window.forms import choices
from fusemap.window.forms.cable_fields import FIRST_CABLE, CableFields
from fusemap.window.forms.fields import CheckField, ChoiceField
from fusemap.window.forms.form import MayBeAbsent, PartForm
from fusemap.window.forms.fuse_fields import FIRST_FUSE, FuseFields
from fusemap.window.forms.lead_source import Lead, LeadSource
from fusemap.window.forms.output_lead_form import OutputLeadForm
from fusemap.window.help.help_pages import LearnButton
from fusemap.window.style.theme import Theme, space

LEAD: Final[dict[LeadName, Text]] = {"power": say("Power lead"), "sense": say("Sense lead")}


class LeadForm(PartForm):
    """The tap of one lead."""

    def __init__(self, document: Document, theme: Theme, lead: LeadName) -> None:
        name = theme.style.show(LEAD[lead])
        self.at = Lead(document, lead, name)
        super().__init__(document, theme, f"{lead}Lead", name, self.tap, self._change_tap)
        self.section(name)
        self.source = LeadSource(self, self.at)
        self._add_tap()
        self._ends = ChoiceField(
            lambda: (self.tap().socket, self.tap().pin),
            self._write_end,
            [],
            name=self.tr("Ends at"),
            key=f"{self.objectName()}_ends",
        )
        self.add(
            self.tr("Ends at"),
            self._ends,
            follow=lambda: self._ends.set_choices(
                choices.tow_pins(document.vehicle, self.theme.style)
            ),
        )
        self._ends.keep_narrow()
        self.fuse = FuseFields(
            self,
            self.tr("Accessory fuse"),
            MayBeAbsent(
                lambda: self.tap().fuse,
                lambda label, fuse: self.write("fuse", label, fuse),
                lambda: FIRST_FUSE,
            ),
            f"{self.objectName()}_",
        )
        self._switch = self.choice(
            "switch",
            self.tr("Switch in it"),
            choices.switches(theme.style),
            hint=self.tr("In this lead; for a relay, in the wire to its coil"),
        )
        self._switch.keep_narrow()
        self._switch_limit = self.number(
            "switch_limit_a",
            self.tr("The switch carries"),
            "A",
            optional=True,
            placeholder=self.tr("usual"),
            hint=self.tr("What is printed on the switch; blank for the usual figure of the rules"),
        )
        self._timer = self.number(
            "timer_min",
            self.tr("Opens after"),
            "min",
            least=0,
            optional=True,
            placeholder=self.tr("not known"),
            hint=self.tr("How long after the ignition goes off the timer keeps this lead closed"),
        )
        self._joint = self.choice("joint", self.tr("Joint"), choices.joints(self.theme.style))
        self.out = self._cable(
            "cable_out", say("Cable to the accessory"), self.tr("A cable of its own")
        )
        self.back = self._cable(
            "cable_back", say("Return"), self.tr("By its own cable, not by the body")
        )
        self._earth = self.text(
            "earth_point",
            self.tr("Earth point"),
            placeholder=self.tr("bolt behind the side trim"),
        )
        self._point = self.choice("earth", self.tr("Goes back at"), [])
        self._make_point = QPushButton(self.tr("Make it an earth point of the vehicle"))
        self._make_point.setObjectName(f"{lead}Lead_makeEarth")
        self._make_point.clicked.connect(self._new_point)
        self.rows.addRow(self._make_point)
        self._off = QPushButton(self.tr("Take off"))
        self._off.setObjectName(f"{lead}Lead_takeOff")
        off = say("Take the {lead} off", lead=LEAD[lead].small())
        self._off.setAccessibleName(theme.style.show(off))
        self._off.clicked.connect(self.take_off)
        self.rows.addRow(self._off)

    def _cable(
        self, which: Literal["cable_out", "cable_back"], title: Text, there: str
    ) -> CableFields:
        """The fields of one cable; a first cable back is like the cable out."""
        part = MayBeAbsent(
            lambda: getattr(self.tap(), which),
            lambda label, cable: self.write(which, label, cable),
            lambda: self.tap().cable_out or FIRST_CABLE,
        )
        return CableFields(self, title, there, part, f"{self.objectName()}_{which}")

    def _add_tap(self) -> None:
        self._kind = self.choice("kind", self.tr("By"), choices.tap_kinds())
        self._way = self.choice(
            "way_round",
            self.tr("Way round"),
            choices.ways_round(),
            hint=self.tr(
                "On the live side the host fuse carries only its own circuit; reversed it carries "
                "the accessory too, and takes the circuit along when it opens"
            ),
        )
        self._learn = LearnButton("live_side", self.theme.style)
        self.add("", self._learn)
        self._ceiling = self.number(
            "ceiling_a",
            self.tr("May carry"),
            "A",
            optional=True,
            placeholder=self.tr("usual"),
            hint=self.tr("What is printed on the fuse tap; blank for the usual ceiling"),
        )
        self._relay = CheckField(
            lambda: self.tap().relay,
            lambda on: self.write("relay", self.tr("relay"), on),
            text=self.tr("Through a relay, switched by the sense lead"),
            key=f"{self.objectName()}_relay",
        )
        self.add("", self._relay)
        self._contact = self.number(
            "relay_limit_a",
            self.tr("Its contact carries"),
            "A",
            optional=True,
            placeholder=self.tr("usual"),
            hint=self.tr("What is printed on the relay; blank for the usual figure of the rules"),
        )
        self._coil = self.number(
            "relay_coil_a",
            self.tr("Its coil draws"),
            "mA",
            scale=0.001,
            optional=True,
            placeholder=self.tr("usual"),
            hint=self.tr("The coil hangs on the sense lead; blank for the usual figure"),
        )

    # --- the tap --------------------------------------------------------------------------------

    def tap(self) -> Tap:
        """The lead's tap as it is now; an empty one while it is not placed."""
        return self.at.tap()

    def part_name(self) -> str:
        """The accessory by name."""
        return self.at.part_name()

    def show_accessory(self, accessory_id: str) -> None:
        """Show the lead of another accessory."""
        self.at.accessory_id = accessory_id
        self.source.forget()
        self.refresh()

    def _change_tap(self, vehicle: Vehicle, **changes: Any) -> Vehicle:
        return edits.change_tap(vehicle, self.tap().id, **changes)

    def refresh(self) -> None:
        """Show the tap as it is now, and only the fields it has."""
        self.source.offer()
        self.fuse.offer()
        self._point.set_choices(choices.earths(self.document.vehicle))
        super().refresh()
        tap = self.tap()
        power = self.at.lead == "power"
        kit = tap.slot is not None and tap.kind in SEATED
        self.source.show_rows()
        self.out.show_rows(self.at.placed)
        self.back.show_rows(self.at.placed and power)
        shown: dict[QWidget, bool] = {
            self._kind: tap.slot is not None and tap.kind != "plug",
            self._ends: self.at.placed and power and tap.kind != "plug" and self._has_tow(),
            self._way: kit,
            self._learn: kit,
            self._ceiling: kit,
            self._relay: self.at.placed and tap.slot is None and power,
            self._contact: tap.relay,
            self._coil: tap.relay,
            self.fuse.row: self.at.placed,
            self._switch: self.at.placed,
            self._switch_limit: self.at.placed and tap.switch in CLOSED_BY,
            self._timer: self.at.placed and tap.switch == "timer",
            self._joint: self.at.placed,
            self._earth: self.at.placed and power and tap.earth is None,
            self._point: self.at.placed and power and bool(self.document.vehicle.earths),
            self._make_point: self.at.placed and power and bool(tap.earth_point.strip()),
            self._off: self.at.placed or self.at.supplied_by is not None,
        }
        for widget, on in shown.items():
            self.rows.setRowVisible(widget, on)

    def _has_tow(self) -> bool:
        return any(each.kind in TOW for each in self.document.vehicle.sockets)

    def _write_end(self, end: tuple[str | None, int]) -> bool:
        text = self.tr("{name}: where its lead ends").format(name=self.part_name())
        socket, pin = end
        change = edits.change_tap
        return self.document.apply(text, change, self.tap().id, socket=socket, pin=pin)

    def _new_point(self) -> None:
        """The earth point that was only named becomes one that others can share."""
        text = self.tr("{name}: earth point").format(name=self.part_name())
        self.document.apply(text, edits.name_earth, self.tap().id)

    def take_off(self) -> None:
        """Take the lead off its source."""
        tap = self.tap()
        text = self.tr("Take {name} off").format(name=self.part_name())
        if tap.id:
            self.document.apply(text, edits.unplace, tap.id)
        elif self.at.supplied_by is not None:
            change = edits.change_accessory
            self.document.apply(text, change, self.at.accessory_id, supplied_by=None)


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
        self.behind = OutputLeadForm(document, theme)
        self.hint = QLabel(self.tr("Select an accessory to see how it is connected."))
        self.hint.setWordWrap(True)
        self.hint.setProperty("muted", True)
        self.hint.setMargin(space(self, "medium"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.hint)
        for form in self.leads.values():
            column.addWidget(form)
            if form.at.lead == "power":
                column.addWidget(self.behind)
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
        self.behind.show_accessory(accessory_id)
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
        self.behind.setVisible(self.behind.wanted)
