"""One lead of an accessory: where it takes its current from, through which fuse, cable and joint.

In: the lead's tap, if there is one. Out: edits of the tap.
"""

from typing import Any, Final

from PySide6.QtWidgets import QPushButton, QWidget

from fusemap.vehicle import SEATED, Tap, Vehicle, edits, look_up
from fusemap.vehicle.words import LeadName
from fusemap.window.document import Document
from fusemap.window.forms.accessory_choices import joints, tap_kinds, ways_round
from fusemap.window.forms.cable_fields import CableFields
from fusemap.window.forms.fields import CheckField
from fusemap.window.forms.fuse_fields import FuseFields
from fusemap.window.forms.lead_source import LeadSource
from fusemap.window.forms.part_form import PartForm
from fusemap.window.help.learn import LearnButton

NO_TAP: Final = Tap(id="", accessory="")


class LeadForm(PartForm):
    """The tap of one lead."""

    def __init__(self, document: Document, lead: LeadName, name: str) -> None:
        self.accessory_id = ""
        self.lead = lead
        super().__init__(document, f"{lead}Lead", name, self.tap, self._change_tap)
        self.section(name)
        self.source = LeadSource(self)
        self._add_tap()
        self.fuse = FuseFields(self)
        self._joint = self.choice("joint", self.tr("Joint"), joints())
        self.out = CableFields(self, "cable_out", self.tr("Cable to the accessory"))
        self.back = CableFields(self, "cable_back", self.tr("Return"))
        self._earth = self.text(
            "earth_point",
            self.tr("Earth point"),
            placeholder=self.tr("bolt behind the side trim"),
        )
        self._off = QPushButton(self.tr("Take off"))
        self._off.setObjectName(f"{lead}Lead_takeOff")
        self._off.setAccessibleName(self.tr("Take the {lead} off").format(lead=name.lower()))
        self._off.clicked.connect(self.take_off)
        self.rows.addRow(self._off)

    def _add_tap(self) -> None:
        self._kind = self.choice("kind", self.tr("By"), tap_kinds())
        self._way = self.choice(
            "way_round",
            self.tr("Way round"),
            ways_round(),
            hint=self.tr(
                "On the live side the host fuse carries only its own circuit; reversed it carries "
                "the accessory too, and takes the circuit along when it opens"
            ),
        )
        self._learn = LearnButton("live_side")
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
            self.document,
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
        return look_up.tap_of(self.document.vehicle, self.accessory_id, self.lead) or NO_TAP

    @property
    def placed(self) -> bool:
        """Whether the lead is joined to something."""
        return bool(self.tap().id)

    @property
    def supplied_by(self) -> str | None:
        """The converter a power lead hangs on, `None` where it hangs on none."""
        if self.lead != "power":
            return None
        found = (a for a in self.document.vehicle.accessories if a.id == self.accessory_id)
        return next((a.supplied_by for a in found), None)

    def called(self) -> str:
        """The accessory by name."""
        found = [a.name for a in self.document.vehicle.accessories if a.id == self.accessory_id]
        return found[0] if found else self.accessibleName()

    def show_accessory(self, accessory_id: str) -> None:
        """Show the lead of another accessory."""
        self.accessory_id = accessory_id
        self.source.forget()
        self.refresh()

    def _change_tap(self, vehicle: Vehicle, **changes: Any) -> Vehicle:
        return edits.change_tap(vehicle, self.tap().id, **changes)

    def refresh(self) -> None:
        """Show the tap as it is now, and only the fields it has."""
        self.source.offer()
        self.fuse.offer()
        super().refresh()
        tap = self.tap()
        power = self.lead == "power"
        kit = tap.slot is not None and tap.kind in SEATED
        self.source.show_rows()
        self.out.show_rows(self.placed)
        self.back.show_rows(self.placed and power)
        shown: dict[QWidget, bool] = {
            self._kind: tap.slot is not None,
            self._way: kit,
            self._learn: kit,
            self._ceiling: kit,
            self._relay: self.placed and tap.slot is None and power,
            self._contact: tap.relay,
            self._coil: tap.relay,
            self.fuse.row: self.placed,
            self._joint: self.placed,
            self._earth: self.placed and power,
            self._off: self.placed or self.supplied_by is not None,
        }
        for widget, on in shown.items():
            self.rows.setRowVisible(widget, on)

    def take_off(self) -> None:
        """Take the lead off its source."""
        tap = self.tap()
        text = self.tr("Take {name} off").format(name=self.called())
        if tap.id:
            self.document.apply(text, edits.unplace, tap.id)
        elif self.supplied_by is not None:
            change = edits.change_accessory
            self.document.apply(text, change, self.accessory_id, supplied_by=None)
