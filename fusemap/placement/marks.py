"""What circuit names give away: proposals to mark slots critical or monitored.

In: a vehicle whose slots have circuit names; what a name proposes says `leave_alone`, in several
languages. Out: `Proposal`s for a person to confirm or to turn down in writing; `mark` and `clear`
are the edits. Nothing is ever marked by itself, and a slot without a proposal may be critical all
the same.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from fusemap.circuits import Mark, unanswered
from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.vehicle import Slot, Vehicle, edits, look_up
from fusemap.vehicle.texts import tells


@dataclass(frozen=True, slots=True)
class Proposal:
    """A slot that its name suggests to mark, which way, and why."""

    slot_id: str
    mark: Mark
    reason: str


def proposals(vehicle: Vehicle, slot_ids: Iterable[str] | None = None) -> tuple[Proposal, ...]:
    """Marks for slots that nobody has answered for, all of them or some."""
    wanted = None if slot_ids is None else set(slot_ids)
    fuses = (s for s in look_up.slots(vehicle) if s.kind == "fuse")
    slots = (s for s in fuses if wanted is None or s.id in wanted)
    return tuple(each for slot in slots for each in _propose(slot))


def _propose(slot: Slot) -> Iterator[Proposal]:
    for mark, reason in unanswered(slot).items():
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


def clear(vehicle: Vehicle, slot_ids: Iterable[str], what: str) -> Vehicle:
    """Write down for some slots what they feed, since they are not what their names suggest.

    Raises `EditRefused` where that says nothing.
    """
    if not tells(what):
        raise EditRefused(
            say("it is not said what the circuit really feeds"),
            remedy=say("write it in a few words"),
        )
    return edits.change_slots(vehicle, dict.fromkeys(slot_ids), harmless=what)
