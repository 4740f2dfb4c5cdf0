"""What each key does to a probing session: the session after it, and the edit it asks for.

In: a session, the vehicle, a key and the time. Out: an `Outcome`. Characters are what they are;
other keys are words (`NAMED`). Nothing is computed here that is not in `entry`, `disbelief`,
`plan` or `conclusions`, and nothing is stored but through the outcome's edit.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused, InputProblem
from fusemap.probing import conclusions, disbelief, plan
from fusemap.probing.drafts import doubts_of, drafts_of, entry_of, replaced_by, said_again
from fusemap.probing.entry import can_follow
from fusemap.probing.feeds import feed_of
from fusemap.probing.order import beside
from fusemap.probing.session import (
    UNITS,
    Entered,
    Session,
    asked,
    begin,
    rounds_left,
    slot_in_hand,
    slots_left,
)
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Slot, Vehicle, look_up, reading_edits

Edit = Callable[[Vehicle], Vehicle]

NAMED = (
    "enter", "skip", "undo", "back", "clear", "up", "down", "left", "right", "home",
    "next_round", "previous_round", "unit", "lock", "instrument", "job",
)  # fmt: skip
"""Keys that are no characters."""

_WAYS = {"up": (-1, 0), "down": (1, 0), "left": (0, -1), "right": (0, 1)}


@dataclass(frozen=True, slots=True)
class Outcome:
    """A session after a key; `edit` is to be done to the vehicle as a step called `text`."""

    session: Session
    edit: Edit | None = None
    text: str = ""


def press(session: Session, vehicle: Vehicle, key: str, now: datetime) -> Outcome:
    """What a key does."""
    handler = _HANDLERS.get(key)
    if handler is not None:
        return handler(session, vehicle, now)
    if key in _WAYS:
        return Outcome(_moved(session, vehicle, *_WAYS[key]))
    if len(key) == 1 and key not in "*/":
        return Outcome(_typed(session, vehicle, key.lower()))
    return Outcome(replace(session, said=f"“{key}” does nothing here"))


# --- typing ---------------------------------------------------------------------------------------


def _typed(session: Session, vehicle: Vehicle, key: str) -> Session:
    if session.slot is None and session.round.kind != "whole":
        return replace(session, said="press Enter to go on, or choose a slot with the arrow keys")
    if session.round.kind == "contacts":
        fits = key in "+-2468" and not session.typed
        return replace(session, typed=key, said="") if fits else session
    slot = slot_in_hand(session, vehicle)
    if session.instrument == "lamp" and slot is not None and slot.critical:
        return replace(session, said="no test lamp on a critical circuit: take the meter")
    if not can_follow(session.typed, key):
        return session
    return replace(session, typed=session.typed + key, said="")


def _back(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    return Outcome(replace(session, typed=session.typed[:-1]))


def _clear(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    return Outcome(replace(session, typed="", doubted="", doubts=(), said=""))


def _unit(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """The next unit for a bare number."""
    units = ("A", "mA") if session.round.kind == "whole" else UNITS
    at = units.index(session.unit) if session.unit in units else -1
    return Outcome(replace(session, unit=units[(at + 1) % len(units)], said=""))


def _job(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """Only what this job needs, in the fewest readings, or all again."""
    other = replace(session, job=not session.job, only=())
    left = rounds_left(other, vehicle)
    if not left:
        said = "this job's slots are all verified" if other.job else "nothing is left in question"
        return Outcome(replace(session, said=said))
    count = sum(len(step.slots) for step in left)
    begun = begin(other, vehicle, left[0].round)
    said = f"only what this job needs: {count} readings" if other.job else "all that is open"
    return Outcome(replace(begun, said=f"{said}. {plan.how_to(left[0].round)}"))


def _instrument(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """Meter or test lamp: the lamp draws some 120 mA and is kept off critical circuits."""
    lamp = session.instrument == "meter"
    said = (
        f"a test lamp draws about {disbelief.probe_current_a(disbelief.LAMP_OHM) * 1000:.0f}"
        f"{NARROW_SPACE}mA: never on a critical circuit"
        if lamp
        else "digital meter"
    )
    return Outcome(replace(session, instrument="lamp" if lamp else "meter", said=said))


# --- moving ---------------------------------------------------------------------------------------


def _moved(session: Session, vehicle: Vehicle, down: int, right: int) -> Session:
    if session.round.kind == "whole" or not vehicle.panels:
        return session
    slot_id = session.slot
    panel = look_up.panel_of(vehicle, slot_id) if slot_id else vehicle.panels[0]
    there = beside(panel, slot_id, session.order, down, right)
    return at_slot(session, vehicle, there)


def at_slot(session: Session, vehicle: Vehicle, slot_id: str | None) -> Session:
    """The session with its cursor on a slot, and what is to be minded there."""
    if slot_id == session.slot and slot_id is not None:
        return session
    fresh = replace(session, slot=slot_id, typed="", doubted="", doubts=(), waiting=None,
                    clear_at=None, said="")  # fmt: skip
    slot = slot_in_hand(fresh, vehicle)
    if slot is None:
        return fresh
    minded = disbelief.caution(slot, "pull" if session.round.kind == "contacts" else "probe")
    return replace(fresh, said=minded.text) if minded is not None else fresh


def _home(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """Once more through what this round still needs, skipped slots too."""
    return Outcome(begin(session, vehicle, session.round, walk=session.walk))


def _skip(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    if session.slot is None:
        return Outcome(_to_next_round(session, vehicle))
    return Outcome(_gone_on(session, vehicle, vehicle))


def _gone_on(session: Session, old: Vehicle, new: Vehicle) -> Session:
    """On to the next slot of this round, from where the cursor was."""
    here = session.slot
    done = session.visited if here in session.visited else (*session.visited, here or "")
    session = replace(session, visited=tuple(one for one in done if one))
    left = slots_left(session, new)
    order = list(asked(session, old, session.round))
    behind = order[order.index(here) + 1 :] if here in order else []
    following = next((one for one in behind if one in left), left[0] if left else None)
    session = at_slot(session, new, following)
    return session if following is not None else replace(session, said=_round_done(session, new))


def _round_done(session: Session, vehicle: Vehicle) -> str:
    open_ones = [
        slot_id
        for slot_id in asked(session, vehicle, session.round)
        if session.round.state != "awake"
    ]
    following = _following(session, vehicle)
    skipped = f"{len(open_ones)} still open, Home goes through them. " if open_ones else ""
    if session.round.state == "awake":
        return "Round done. Enter starts the next one when it is time."
    return f"{skipped}Round done. Enter: {plan.title(following) if following else 'all done'}."


def _following(session: Session, vehicle: Vehicle) -> plan.Round | None:
    """The next round that is needed after this one."""
    at = plan.ROUNDS.index(session.round) if session.round in plan.ROUNDS else -1
    left = {step.round for step in rounds_left(session, vehicle)}
    return next((one for one in plan.ROUNDS[at + 1 :] if one in left), None)


def _to_next_round(session: Session, vehicle: Vehicle) -> Session:
    following = _following(session, vehicle)
    if following is None:
        return replace(session, said="Nothing is left in question.")
    return begin(session, vehicle, following)


def _step_round(session: Session, vehicle: Vehicle, step: int) -> Outcome:
    at = plan.ROUNDS.index(session.round) if session.round in plan.ROUNDS else 0
    there = min(max(0, at + step), len(plan.ROUNDS) - 1)
    return Outcome(begin(session, vehicle, plan.ROUNDS[there]))


def _next_round(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    return _step_round(session, vehicle, 1)


def _previous_round(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    return _step_round(session, vehicle, -1)


def _lock(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """The vehicle is locked at this moment: its times begin."""
    if session.round.state not in ("asleep", "awake"):
        return Outcome(replace(session, said="the key is turned in this round"))
    locked = replace(session, locked_at=now.isoformat(timespec="seconds"), walk=1, visited=())
    if session.round.kind == "whole":
        return Outcome(replace(locked, said="locked: the times run"))
    left = slots_left(locked, vehicle)
    return Outcome(replace(at_slot(locked, vehicle, left[0] if left else None), said="locked"))


# --- Enter ----------------------------------------------------------------------------------------


def _enter(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    if not session.typed:
        return _enter_nothing(session, vehicle, now)
    waits = _must_wait(session, vehicle, now)
    if waits:
        return Outcome(replace(session, typed="", said=waits))
    try:
        entry = entry_of(session)
        drafts = drafts_of(session, vehicle, entry, now)
        doubts = doubts_of(session, vehicle, drafts)
        if doubts and not said_again(session, entry):
            return Outcome(
                replace(session, typed="", doubted=session.typed, doubts=doubts, said="")
            )
        if doubts:
            drafts = [draft | {"repeated": True} for draft in drafts]
        return _stored(session, vehicle, drafts)
    except (InputProblem, EditRefused) as problem:
        return Outcome(replace(session, typed="", doubted="", doubts=(), said=str(problem)))


def _enter_nothing(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    if session.round.state == "awake" and session.round.kind == "sweep":
        if session.locked_at is None:
            return _lock(session, vehicle, now)
        if session.slot is None:
            return Outcome(_next_walk(session, vehicle))
    if session.slot is None:
        return Outcome(_to_next_round(session, vehicle))
    slot = slot_in_hand(session, vehicle)
    if session.round.kind == "contacts" and slot is not None and slot.critical:
        return Outcome(_begin_wait(session, slot, now))
    return Outcome(_gone_on(session, vehicle, vehicle))


def _next_walk(session: Session, vehicle: Vehicle) -> Session:
    """Once more through what is still live after locking; with nothing left, the next round."""
    if not asked(session, vehicle, session.round):
        return _to_next_round(session, vehicle)
    return begin(session, vehicle, session.round, walk=session.walk + 1)


def _begin_wait(session: Session, slot: Slot, now: datetime) -> Session:
    """At a critical slot whose fuse is to come out: the wait begins with the first Enter."""
    minded = disbelief.caution(slot, "pull")
    assert minded is not None
    if session.waiting == slot.id:
        return replace(session, said=minded.text)
    clear = now + timedelta(minutes=minded.wait_min)
    said = (
        f"{minded.text} Better leave it: * goes on. The wait of {minded.wait_min:.0f}"
        f"{NARROW_SPACE}minutes begins now."
    )
    return replace(
        session, waiting=slot.id, clear_at=clear.isoformat(timespec="seconds"), said=said
    )


def _must_wait(session: Session, vehicle: Vehicle, now: datetime) -> str:
    """Why nothing may be stored here yet; empty where it may."""
    slot = slot_in_hand(session, vehicle)
    if session.round.kind != "contacts" or slot is None or not slot.critical:
        return ""
    if session.waiting != slot.id or session.clear_at is None:
        return "critical circuit: Enter alone begins the wait, * goes on without it"
    left = (datetime.fromisoformat(session.clear_at) - now).total_seconds()
    return f"wait another {left / 60:.0f}{NARROW_SPACE}minutes" if left > 0 else ""


# --- storing and taking back ----------------------------------------------------------------------


def _stored(session: Session, vehicle: Vehicle, drafts: list[dict[str, Any]]) -> Outcome:
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
    return _gone_on(session, old, new)


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


def _undo(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """Take back what is typed, else what was stored last: that stays in the list, withdrawn."""
    if session.typed or session.doubted:
        return _clear(session, vehicle, now)
    there = {one.id for one in vehicle.readings if not one.withdrawn}
    for at in range(len(session.entered) - 1, -1, -1):
        last = session.entered[at]
        ids = [reading_id for reading_id in last.readings if reading_id in there]
        if ids:
            return _taken_back(session, vehicle, last, ids)
    return Outcome(replace(session, said="there is nothing to take back"))


def _taken_back(session: Session, vehicle: Vehicle, last: Entered, ids: list[str]) -> Outcome:
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


_HANDLERS: dict[str, Callable[[Session, Vehicle, datetime], Outcome]] = {
    "enter": _enter,
    "skip": _skip,
    "*": _skip,
    "undo": _undo,
    "/": _undo,
    "back": _back,
    "clear": _clear,
    "home": _home,
    "next_round": _next_round,
    "previous_round": _previous_round,
    "unit": _unit,
    "lock": _lock,
    "instrument": _instrument,
    "job": _job,
}
