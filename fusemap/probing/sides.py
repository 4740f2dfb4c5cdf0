"""Which contact of a slot is the live side: both read with the fuse out.

In: the contact readings of a slot that count. Out: the side, the evidence in words, and what does
not fit: both live is a slot fed from both sides, or something behind it that holds a voltage.
"""

from dataclasses import dataclass

from fusemap.probing import evidence
from fusemap.vehicle import Reading, Slot, Vehicle
from fusemap.vehicle.readings import CONTACTS
from fusemap.vehicle.words import LiveSide

OPPOSITE: dict[LiveSide, LiveSide] = {
    "left": "right",
    "right": "left",
    "top": "bottom",
    "bottom": "top",
}


@dataclass(frozen=True, slots=True)
class SideConclusion:
    """The live side with its evidence; `unknown` where the readings do not give it."""

    side: LiveSide = "unknown"
    evidence: str = ""
    contradictions: tuple[str, ...] = ()

    @property
    def known(self) -> bool:
        """Whether the readings give a side."""
        return self.side != "unknown"


def side_of(vehicle: Vehicle, slot: Slot, *, verified: bool = True) -> SideConclusion:
    """The live side of a slot from its contact readings, the latest of each contact."""
    latest: dict[LiveSide, Reading] = {}
    for one in evidence.of_slot(vehicle, slot.id, verified=verified):
        side = CONTACTS.get(one.quantity)
        if side is not None:
            latest[side] = one
    live = [side for side, one in latest.items() if one.yes]
    dead = [side for side, one in latest.items() if not one.yes]
    words = ", ".join(evidence.value_words(one) for one in latest.values())
    if len(live) == 1:
        side = live[0]
        if OPPOSITE[side] in dead:
            return SideConclusion(side, f"fuse out, {words}: live side {side}")
        return SideConclusion(
            side, f"fuse out, {words}, the other not read: live side {side} if it is dead"
        )
    if len(live) > 1:
        found = (
            "both contacts are live with the fuse out: it is fed from both sides, or something "
            "behind it holds a voltage (an accessory with a source of its own, a second feed)",
        )
        return SideConclusion("unknown", f"fuse out, {words}", found)
    if dead:
        return SideConclusion("unknown", f"fuse out, {words}: read it in a state that feeds it")
    return SideConclusion()
