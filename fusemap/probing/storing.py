"""From what was typed to what is stored, and what is taken back.

In: a session, the vehicle, what was typed and the time. Out: drafts of readings, each as the
fields of a reading with the state it was taken in and what it corrects; why one may be hard to
believe; and an `Outcome`, the session and the vehicle after it. What is taken back stays in the
list of readings, marked as withdrawn.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, Final

from msgspec import Struct
from msgspec.structs import replace

from fusemap.errors import EditRefused, InputProblem
from fusemap.probing import conclusions, disbelief, evidence, plan, to_be_sure
from fusemap.probing.disbelief import shows_live
from fusemap.probing.entry import Entry, read_entry
from fusemap.probing.evidence import range_of
from fusemap.probing.session import (
    Entered,
    Session,
    after_lock_min,
    feed_in_hand,
    slot_in_hand,
    spot_in_hand,
    state_now,
)
from fusemap.probing.walking import begin, go_on, go_to_spot
from fusemap.text import NOTHING, Text, given, say
from fusemap.vehicle import Feed, Reading, Slot, Vehicle, look_up, reading_edits
from fusemap.vehicle.parts import CURRENTS
from fusemap.vehicle.words import LiveSide, Quantity

# --- drafts ---------------------------------------------------------------------------------------

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
    # a feed's cable, and what is asked for to be sure, is read without parting it
    clamped = session.sure or session.feed is not None
    current_by: Quantity = "clamp_current" if clamped else session.current_by
    quantity, scale = _SCALES[session.unit]
    if quantity == "inline_current":
        quantity = current_by
    return read_entry(session.typed, quantity, scale, current_by)


def is_said_again(session: Session, entry: Entry) -> bool:
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
    feed = feed_in_hand(session, vehicle)
    if feed is not None:
        return [_correcting(session, _of_feed(session, entry, base, feed), vehicle)]
    slot = slot_in_hand(session, vehicle)
    if slot is None:
        raise InputProblem(say("no slot is chosen"), remedy=say("choose one with the arrow keys"))
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
        raise InputProblem(say("nothing was read"), remedy=say("type + or -, or a number"))
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
        raise InputProblem(
            say("the whole vehicle is read in amperes"),
            remedy=say(
                "type {amperes}, or {milliamperes}",
                amperes=0.03,
                milliamperes=given(30, "mA"),
            ),
        )
    if entry.live is False and entry.value == 0:
        raise InputProblem(say("a current is not dead"), remedy=say("type a number"))
    fields = base | _measured(session, entry) | {"target": "vehicle"}
    return fields | ({} if session.fuse_out is None else {"fuse_out": session.fuse_out})


HOW_A_FEED: Final = say("a feed is read in amperes, or in millivolts across its fuse")


def _of_feed(session: Session, entry: Entry, base: dict[str, Any], feed: Feed) -> dict[str, Any]:
    """A feed as a whole: by clamp, or across its fuse where that says something."""
    if entry.value is None or entry.quantity not in (*CURRENTS, "millivolts"):
        raise InputProblem(
            HOW_A_FEED,
            remedy=say("type a number"),
        )
    if entry.quantity == "millivolts" and not to_be_sure.across_its_fuse_of(feed.fuse):
        raise InputProblem(
            say("no resistance is known of its fuse: millivolts say nothing here"),
            remedy=say("take the clamp, and type amperes"),
        )
    return base | _measured(session, entry) | {"target": "feed", "target_id": feed.id}


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
        if (past.slot, past.feed, past.round, past.walk)
        == (session.slot, session.feed, session.round, session.walk)
        for reading_id in past.readings
    ]
    return [each for wanted in ids for each in vehicle.readings if each.id == wanted]


def _correcting(session: Session, draft: dict[str, Any], vehicle: Vehicle) -> dict[str, Any]:
    """The draft, naming the reading of this very walk that it takes the place of."""
    if session.round.kind == "whole":
        return draft
    for old in _of_this_walk(session, vehicle):
        if old.quantity == draft["quantity"]:
            return draft | {"corrects": old.id}
    return draft


def replaced_readings(
    session: Session, vehicle: Vehicle, drafts: Iterable[Mapping[str, Any]]
) -> tuple[str, ...]:
    """Ids of what was read here in this very walk and does not go with what is read now."""
    slot = slot_in_hand(session, vehicle)
    if slot is None:
        return ()
    drafts = tuple(drafts)
    now = {shows_live(vehicle, slot, Reading(id="new", **draft)) for draft in drafts} - {None}
    corrected = {draft.get("corrects") for draft in drafts}
    return tuple(
        old.id
        for old in _of_this_walk(session, vehicle)
        if not old.withdrawn
        and old.id not in corrected
        and (live := shows_live(vehicle, slot, old)) is not None
        and now
        and live not in now
    )


def doubts_of(
    session: Session, vehicle: Vehicle, drafts: Iterable[Mapping[str, Any]]
) -> tuple[Text, ...]:
    """Why any of these is hard to believe."""
    drafts = tuple(drafts)
    besides = {str(draft.get("corrects")) for draft in drafts}
    besides.update(replaced_readings(session, vehicle, drafts))
    found: dict[Text, None] = {}
    for draft in drafts:
        reading = Reading(id="new", **draft)
        found |= dict.fromkeys(disbelief.doubts(vehicle, reading, besides))
    return tuple(found)


# --- storing and taking back ----------------------------------------------------------------------


class Outcome(Struct, frozen=True):
    """A session after a key, and the vehicle after it where the key changed it.

    `text` is what that step is called.
    """

    session: Session
    vehicle: Vehicle | None = None
    text: Text = NOTHING


def store(session: Session, vehicle: Vehicle, drafts: list[dict[str, Any]]) -> Outcome:
    """Store the drafts, with what they say of the slot, and go on."""
    touched = [slot_id for slot_id in (session.slot, session.fuse_out) if slot_id is not None]
    replaced = replaced_readings(session, vehicle, drafts)
    after = reading_edits.add_readings(vehicle, drafts)
    for reading_id in replaced:
        after = reading_edits.withdraw_reading(after, reading_id, str(evidence.READ_AGAIN))
    after = conclusions.conclude(vehicle, after, touched)
    new = after.readings[len(vehicle.readings) :]
    entered = Entered(
        slot=session.slot,
        feed=session.feed,
        round=session.round,
        walk=session.walk,
        readings=tuple(reading.id for reading in new),
    )
    session = replace(
        session,
        typed="",
        doubted="",
        doubts=(),
        entered=(*session.entered, entered),
        message=NOTHING,
    )
    slot, feed = slot_in_hand(session, vehicle), feed_in_hand(session, vehicle)
    text = say("Read whole vehicle")
    if slot is not None:
        text = say("Read {slot}", slot=look_up.slot_words(slot))
    elif feed is not None:
        text = say("Read feed “{feed}”", feed=feed.name)
    return Outcome(_after(session, vehicle, after), after, text)


def _after(session: Session, old: Vehicle, new: Vehicle) -> Session:
    """On to the next place; what this one still lacks is asked in the next walk."""
    if session.round.kind == "whole":
        return replace(session, message=say("stored; Enter goes on"))
    return go_on(session, old, new)


def take_back(session: Session, vehicle: Vehicle, last: Entered, ids: list[str]) -> Outcome:
    """Mark what was stored last as withdrawn, and go back to where it was."""
    touched = [slot_id for slot_id in (last.slot, session.fuse_out) if slot_id is not None]
    after = vehicle
    for reading_id in ids:
        after = reading_edits.withdraw_reading(after, reading_id, str(evidence.TAKEN_BACK))
    after = conclusions.conclude(vehicle, after, touched)
    if last.round != session.round:
        session = begin(session, vehicle, last.round, walk=last.walk)
    visited = tuple(slot_id for slot_id in session.visited if slot_id != last.slot)
    feeds = tuple(feed_id for feed_id in session.visited_feeds if feed_id != last.feed)
    again = replace(session, visited=visited, visited_feeds=feeds, walk=last.walk)
    there = spot_in_hand(replace(session, slot=last.slot, feed=last.feed))
    back = go_to_spot(again, vehicle, there)
    back = replace(back, message=say("taken back: read it again"))
    return Outcome(back, after, say("Take a reading back"))


def pull(session: Session, vehicle: Vehicle, slot_id: str | None) -> Session:
    """The session reading the whole vehicle with this fuse out, or with `None` all in again."""
    whole = plan.Round(kind="whole", state="asleep")
    if slot_id is None:
        return replace(begin(session, vehicle, whole), message=say("all fuses in"))
    slot = look_up.slot(vehicle, slot_id)
    warning = disbelief.caution(slot, "pull")
    if warning is not None:
        raise EditRefused(warning.text, remedy=say("read the millivolts across its fuse instead"))
    message = say("pull {slot}, let the reading settle, type it", slot=look_up.fuse_words(slot))
    return replace(begin(session, vehicle, whole), fuse_out=slot_id, message=message)
