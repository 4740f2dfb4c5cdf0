"""What circuit names give away: proposals to mark slots critical or monitored.

In: a vehicle whose slots have circuit names; what a name proposes says `tables.circuit_marks`, in
several languages. Out: `Proposal`s for a person to confirm; `mark` is the edit. Nothing is ever
marked by itself, and a slot without a proposal may be critical all the same.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from fusemap import tables
from fusemap.vehicle import Slot, Vehicle, edits, look_up

Mark = Literal["critical", "monitored"]


@dataclass(frozen=True, slots=True)
class Proposal:
    """A slot that its name suggests to mark, which way, and why."""

    slot_id: str
    mark: Mark
    reason: str


def marks_of(circuit: str) -> dict[Mark, str]:
    """The marks that a circuit's name suggests, each with its reasons.

    >>> marks_of("Fuel pump relay")
    {'critical': 'fuel supply'}
    >>> marks_of("Espresso machine")
    {}
    """
    found: dict[Mark, list[str]] = {}
    for word in tables.circuit_marks(circuit):
        found.setdefault("critical" if word.mark == "critical" else "monitored", []).append(
            word.reason
        )
    return {mark: "; ".join(dict.fromkeys(reasons)) for mark, reasons in found.items()}


def proposals(vehicle: Vehicle, slot_ids: Iterable[str] | None = None) -> tuple[Proposal, ...]:
    """Marks for slots that do not have them yet, for all slots or for some."""
    wanted = None if slot_ids is None else set(slot_ids)
    fuses = (s for s in look_up.slots(vehicle) if s.kind == "fuse")
    slots = (s for s in fuses if wanted is None or s.id in wanted)
    return tuple(each for slot in slots for each in _proposed(slot))


def _proposed(slot: Slot) -> Iterator[Proposal]:
    for mark, reason in marks_of(slot.circuit).items():
        if not (slot.critical if mark == "critical" else slot.monitored):
            yield Proposal(slot.id, mark, reason)


def mark(vehicle: Vehicle, chosen: Iterable[Proposal]) -> Vehicle:
    """Set the chosen marks; a reason that was written before stays."""
    for each in chosen:
        slot = look_up.slot(vehicle, each.slot_id)
        changes: dict[str, Any] = {each.mark: True}
        if each.mark == "critical" and not slot.critical_reason:
            changes["critical_reason"] = each.reason
        vehicle = edits.change_slot(vehicle, slot.id, **changes)
    return vehicle
