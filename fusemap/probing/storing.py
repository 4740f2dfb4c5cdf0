"""What is stored and what is taken back: the edits a probing session asks for.

In: drafts of readings. Out: an `Outcome`, the session after it and the edit to be done. What is
taken back stays in the list of readings, marked as withdrawn.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.probing import conclusions, disbelief, plan
from fusemap.probing.drafts import replaced_by
from fusemap.probing.feeds import feed_of
from fusemap.probing.session import Entered, Session, begin, slot_in_hand
from fusemap.probing.walking import at_slot, gone_on
from fusemap.vehicle import Slot, Vehicle, look_up, reading_edits

Edit = Callable[[Vehicle], Vehicle]


@dataclass(frozen=True, slots=True)
class Outcome:
    """A session after a key; `edit` is to be done to the vehicle as a step called `text`."""

    session: Session
    edit: Edit | None = None
    text: str = ""


def stored(session: Session, vehicle: Vehicle, drafts: list[dict[str, Any]]) -> Outcome:
    """Store the drafts, with what they say of the slot, and go on."""
    touched = [one for one in (session.slot, session.fuse_out) if one is not None]

    replaced = replaced_by(session, vehicle, drafts)

    def edit(before: Vehicle) -> Vehicle:
        after = reading_edits.add_readings(before, drafts)
        for reading_id in replaced:
            after = reading_edits.withdraw_reading(after, reading_id, "read again")
        return conclusions.applied(before, after, touched)

    after = edit(vehicle)
    new = after.readings[len(vehicle.readings) :]
    entered = Entered(
        slot=session.slot,
        round=session.round,
        walk=session.walk,
        readings=tuple(one.id for one in new),
    )
    session = replace(
        session, typed="", doubted="", doubts=(), entered=(*session.entered, entered), said=""
    )
    slot = slot_in_hand(session, vehicle)
    name = "whole vehicle" if slot is None else look_up.slot_name(slot)
    return Outcome(_after(session, vehicle, after), edit, f"Read {name}")


def _after(session: Session, old: Vehicle, new: Vehicle) -> Session:
    """On to the next slot, or a word on what this one still lacks."""
    if session.round.kind == "whole":
        return replace(session, said="stored; Enter goes on")
    slot = slot_in_hand(session, new)
    if slot is not None and session.round.kind == "sweep" and session.slot not in session.visited:
        more = _asked(session, new, slot)
        if more:
            visited = (*session.visited, slot.id)
            return replace(session, visited=visited, said=more)
    return gone_on(session, old, new)


def _asked(session: Session, vehicle: Vehicle, slot: Slot) -> str:
    """What is asked at the same slot right away: live or dead, or the millivolts too."""
    last = {
        one.quantity
        for reading_id in session.entered[-1].readings
        for one in vehicle.readings
        if one.id == reading_id
    }
    if not plan.needs(vehicle, slot, session.round) or session.round.state == "awake":
        return ""
    if "live" not in last and not feed_of(vehicle, slot).known:
        return "no current to be seen: is it live? + or -"
    if last == {"live"} and session.round.state == "asleep":
        return "live. And the millivolts across its fuse?"
    return ""


def taken_back(session: Session, vehicle: Vehicle, last: Entered, ids: list[str]) -> Outcome:
    """Mark what was stored last as withdrawn, and go back to where it was."""
    touched = [one for one in (last.slot, session.fuse_out) if one is not None]

    def edit(before: Vehicle) -> Vehicle:
        after = before
        for reading_id in ids:
            after = reading_edits.withdraw_reading(after, reading_id, "taken back while probing")
        return conclusions.applied(before, after, touched)

    if last.round != session.round:
        session = begin(session, vehicle, last.round, walk=last.walk)
    visited = tuple(one for one in session.visited if one != last.slot)
    back = at_slot(replace(session, visited=visited, walk=last.walk), vehicle, last.slot)
    return Outcome(replace(back, said="taken back: read it again"), edit, "Take a reading back")


def pull(session: Session, vehicle: Vehicle, slot_id: str | None) -> Session:
    """The session reading the whole vehicle with this fuse out, or with `None` all in again."""
    one = plan.Round(kind="whole", state="asleep")
    if slot_id is None:
        return replace(begin(session, vehicle, one), said="all fuses in")
    slot = look_up.slot(vehicle, slot_id)
    minded = disbelief.caution(slot, "pull")
    if minded is not None:
        raise EditRefused(minded.text, remedy="read the millivolts across its fuse instead")
    said = f"pull {look_up.slot_name(slot)}, let the reading settle, type it"
    return replace(begin(session, vehicle, one), fuse_out=slot_id, said=said)
