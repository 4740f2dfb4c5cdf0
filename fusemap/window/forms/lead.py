"""One lead of an accessory, as the document has it now."""

from typing import Final

from fusemap.vehicle import Tap, look_up
from fusemap.vehicle.words import LeadName
from fusemap.window.document import Document

NO_TAP: Final = Tap(id="", accessory="")


class Lead:
    """Which lead it is, of which accessory; everything else is asked of the document."""

    def __init__(self, document: Document, lead: LeadName, name: str) -> None:
        self._document = document
        self._name = name
        self.lead = lead
        self.accessory_id = ""

    def tap(self) -> Tap:
        """The lead's tap; an empty one while it is not placed."""
        return look_up.tap_of(self._document.vehicle, self.accessory_id, self.lead) or NO_TAP

    @property
    def placed(self) -> bool:
        """Whether the lead is joined to something."""
        return bool(self.tap().id)

    @property
    def supplied_by(self) -> str | None:
        """The converter a power lead hangs on, `None` where it hangs on none."""
        if self.lead != "power":
            return None
        found = (a for a in self._document.vehicle.accessories if a.id == self.accessory_id)
        return next((a.supplied_by for a in found), None)

    def called(self) -> str:
        """The accessory by name, or the lead's own name while there is none."""
        found = (a for a in self._document.vehicle.accessories if a.id == self.accessory_id)
        return next((a.name for a in found), self._name)
