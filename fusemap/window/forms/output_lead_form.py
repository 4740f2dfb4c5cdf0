"""The lead between a converter's output and what hangs on it: its fuse, its cable, its way back.

In: the accessory as the document has it. Out: one edit per finished field. Shown only where the
accessory hangs on a converter.
"""

from typing import Final, Literal

from fusemap.text import Text, say
from fusemap.vehicle import Accessory, Cable, Fuse, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.cable_fields import FIRST_CABLE, CableFields
from fusemap.window.forms.form import MayBeAbsent, PartForm
from fusemap.window.forms.fuse_fields import FIRST_FUSE, FuseFields
from fusemap.window.style.theme import Theme

NOBODY: Final = Accessory(id="", name="")


class OutputLeadForm(PartForm):
    """Fuse and cables behind a converter."""

    def __init__(self, document: Document, theme: Theme) -> None:
        self._accessory_id = ""
        name = theme.style.show(say("Behind the converter"))
        super().__init__(document, theme, "outputLead", name, self._accessory, self._change_it)
        self.section(name)
        part: MayBeAbsent[Fuse] = MayBeAbsent(
            lambda: self._accessory().lead_fuse,
            lambda label, fuse: self.write("lead_fuse", label, fuse),
            lambda: FIRST_FUSE,
        )
        self._fuse = FuseFields(self, self.tr("Fuse at the output"), part, "outputLead_")
        self._out = self._cable("lead_cable", say("Cable to the accessory"))
        self._back = self._cable("lead_back", say("Return"))

    def _cable(self, which: Literal["lead_cable", "lead_back"], title: Text) -> CableFields:
        part: MayBeAbsent[Cable] = MayBeAbsent(
            lambda: getattr(self._accessory(), which),
            lambda label, cable: self.write(which, label, cable),
            lambda: self._accessory().lead_cable or FIRST_CABLE,
        )
        there = self.tr("Its cable is known")
        if which == "lead_back":
            there = self.tr("By its own cable, not by the body")
        return CableFields(self, title, there, part, f"outputLead_{which}")

    @property
    def wanted(self) -> bool:
        """Whether the accessory hangs on a converter."""
        return self._accessory().supplied_by is not None

    def show_accessory(self, accessory_id: str) -> None:
        """Show another accessory's lead."""
        self._accessory_id = accessory_id
        self.refresh()

    def part_name(self) -> str:
        """The accessory by name."""
        return self._accessory().name

    def refresh(self) -> None:
        """Show the lead as it is now."""
        self._fuse.offer()
        super().refresh()
        self._out.show_rows(True)
        self._back.show_rows(self._accessory().lead_cable is not None)

    def _accessory(self) -> Accessory:
        found = (a for a in self.document.vehicle.accessories if a.id == self._accessory_id)
        return next(found, NOBODY)

    def _change_it(self, vehicle: Vehicle, **changes: object) -> Vehicle:
        return edits.change_accessory(vehicle, self._accessory_id, **changes)
