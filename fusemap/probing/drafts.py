"""From what was typed to readings: the drafts of an entry, each as the fields of a reading.

In: a session, the vehicle, the entry and the time. Out: drafts, with the state they were taken in,
what they correct, and why one may be hard to believe. `fusemap.probing.keys` stores them.
"""

from datetime import datetime
from typing import Any

from msgspec.structs import replace

from fusemap.errors import InputProblem
from fusemap.probing import disbelief
from fusemap.probing.disbelief import shows_live
from fusemap.probing.entry import Entry, read_entry
from fusemap.probing.meters import range_of
from fusemap.probing.session import Session, after_lock_min, slot_in_hand, state_now
from fusemap.vehicle import Reading, Slot, Vehicle
from fusemap.vehicle.words import LiveSide, Quantity

_SCALES: dict[str, tuple[Quantity, float]] = {
    "mV": ("millivolts", 1.0),
    "mA": ("inline_current", 1e-3),
    "A": ("inline_current", 1.0),
    "V": ("volts", 1.0),
}
_SIDES: dict[str, LiveSide] = {"8": "top", "2": "bottom", "4": "left", "6": "right"}


def entry_of(session: Session) -> Entry:
    """What is typed, in the unit that is set. Raises `InputProblem` for what is no reading."""
    if session.round.kind == "contacts":
        return Entry(live={"+": True, "-": False}.get(session.typed))
    quantity, scale = _SCALES[session.unit]
    if quantity == "inline_current":
        quantity = session.current_by
    return read_entry(session.typed, quantity, scale, session.current_by)


def said_again(session: Session, entry: Entry) -> bool:
    """Whether this is what was asked about: the same answer, and a value as near as a meter is."""
    if not session.doubted:
        return False
    try:
        before = entry_of(replace(session, typed=session.doubted))
    except InputProblem:
        return False
    if (before.live, before.quantity) != (entry.live, entry.quantity):
        return False
    if before.value is None or entry.value is None:
        return before.value == entry.value and session.typed == session.doubted
    digit = range_of(None, entry.quantity, entry.value).resolution
    return abs(before.value - entry.value) <= max(0.1 * abs(before.value), 3 * digit)


def drafts_of(
    session: Session, vehicle: Vehicle, entry: Entry, now: datetime
) -> list[dict[str, Any]]:
    """The readings that an entry is, as fields."""
    state = state_now(session, vehicle, now)
    base: dict[str, Any] = {
        "when": now.isoformat(timespec="seconds"),
        "state": state,
        "lamps_on": session.round.lamps_on,
        "by": session.by,
    }
    if state in ("asleep", "awake"):
        base["after_lock_min"] = after_lock_min(session, now)
    if session.round.kind == "whole":
        return [_whole(session, entry, base)]
    slot = slot_in_hand(session, vehicle)
    if slot is None:
        raise InputProblem("no slot is chosen", remedy="choose one with the arrow keys")
    base["target_id"] = slot.id
    found = []
    if session.round.kind == "contacts":
        found = _contacts(session, slot, base)
    else:
        if entry.live is not None:
            found.append(base | {"quantity": "live", "value": float(entry.live)})
        if entry.value is not None:
            found.append(base | _measured(session, entry))
    if not found:
        raise InputProblem("nothing was read", remedy="type + or -, or a number")
    return [_correcting(session, draft, vehicle) for draft in found]


def _measured(session: Session, entry: Entry) -> dict[str, Any]:
    fields: dict[str, Any] = {"quantity": entry.quantity, "value": entry.value}
    if entry.highest is not None:
        fields["highest"] = entry.highest
    if session.meter is not None:
        fields["meter"] = session.meter
    return fields


def _whole(session: Session, entry: Entry, base: dict[str, Any]) -> dict[str, Any]:
    if entry.value is None or not entry.quantity.endswith("current"):
        raise InputProblem("the whole vehicle is read in amperes", remedy="type 0.03, or 30 mA")
    if entry.live is False and entry.value == 0:
        raise InputProblem("a current is not dead", remedy="type a number")
    fields = base | _measured(session, entry) | {"target": "vehicle"}
    return fields | ({} if session.fuse_out is None else {"fuse_out": session.fuse_out})


def _contacts(session: Session, slot: Slot, base: dict[str, Any]) -> list[dict[str, Any]]:
    """Both contacts, from the number pad's own geometry: 8 top, 2 bottom, 4 left, 6 right."""
    key = session.typed
    across = key in "46" or (key in "+-" and slot.orientation == "lying")
    pair: tuple[LiveSide, LiveSide] = ("left", "right") if across else ("top", "bottom")
    seen = _SIDES.get(key)
    if seen is not None and session.order.mirrored and across:
        seen = "right" if seen == "left" else "left"
    return [
        base | {"quantity": f"live_{side}", "value": float(key == "+" or side == seen)}
        for side in pair
    ]


def _of_this_walk(session: Session, vehicle: Vehicle) -> list[Reading]:
    """What was read at this slot in this very walk, the newest first."""
    ids = [
        reading_id
        for past in reversed(session.entered)
        if (past.slot, past.round, past.walk) == (session.slot, session.round, session.walk)
        for reading_id in past.readings
    ]
    return [one for wanted in ids for one in vehicle.readings if one.id == wanted]


def _correcting(session: Session, draft: dict[str, Any], vehicle: Vehicle) -> dict[str, Any]:
    """The draft, naming the reading of this very walk that it takes the place of."""
    if session.round.kind == "whole":
        return draft
    for old in _of_this_walk(session, vehicle):
        if old.quantity == draft["quantity"]:
            return draft | {"corrects": old.id}
    return draft


def replaced_by(
    session: Session, vehicle: Vehicle, drafts: list[dict[str, Any]]
) -> tuple[str, ...]:
    """Ids of what was read here in this very walk and does not go with what is read now."""
    slot = slot_in_hand(session, vehicle)
    if slot is None:
        return ()
    now = {shows_live(vehicle, slot, Reading(id="new", **draft)) for draft in drafts} - {None}
    corrected = {draft.get("corrects") for draft in drafts}
    return tuple(
        old.id
        for old in _of_this_walk(session, vehicle)
        if not old.withdrawn
        and old.id not in corrected
        and (said := shows_live(vehicle, slot, old)) is not None
        and now
        and said not in now
    )


def doubts_of(session: Session, vehicle: Vehicle, drafts: list[dict[str, Any]]) -> tuple[str, ...]:
    """Why any of these is hard to believe."""
    besides = {str(draft.get("corrects")) for draft in drafts}
    besides.update(replaced_by(session, vehicle, drafts))
    found: dict[str, None] = {}
    for draft in drafts:
        reading = Reading(id="new", **draft)
        found |= dict.fromkeys(disbelief.doubts(vehicle, reading, besides))
    return tuple(found)
