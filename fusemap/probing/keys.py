"""What each key does to a probing session: the session after it, and the vehicle with it.

In: a session, the vehicle, a key and the time. Out: an `Outcome`. A key is a `Key`: characters are
what they are, the others have names (`NAMED`). Nothing is computed here that is not in `entry`,
`disbelief`, `plan` or `conclusions`, and nothing is stored but in the outcome's vehicle.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial
from typing import Final, Literal, get_args

from msgspec.structs import replace

from fusemap.circuits import counts_critical
from fusemap.errors import EditRefused, InputProblem
from fusemap.probing import disbelief, plan
from fusemap.probing.entry import can_follow
from fusemap.probing.session import (
    UNITS,
    Session,
    Unit,
    rounds_left,
    slot_in_hand,
    spot_in_hand,
    spots_left,
    spots_needed,
)
from fusemap.probing.storing import (
    Outcome,
    doubts_of,
    drafts_of,
    entry_of,
    is_said_again,
    store,
    take_back,
)
from fusemap.probing.walking import (
    WAYS,
    Way,
    begin,
    begin_sure,
    go_on,
    go_to_spot,
    move,
    to_next_round,
    walk_again,
)
from fusemap.text import NOTHING, Amount, Text, given, many, run_on, say
from fusemap.vehicle import Slot, Vehicle

Character = Literal[
    "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", ",", ".", "+", "-", "m", "v", "a"
]  # fmt: skip
"""What a reading is typed with."""

Command = Literal[
    "enter", "skip", "*", "undo", "/", "back", "clear", "home",
    "next_round", "previous_round", "unit", "lock", "instrument", "job", "sure",
]  # fmt: skip
Named = Command | Way
Key = Character | Named
Handler = Callable[[Session, Vehicle, datetime], Outcome]

CHARACTERS: Final[tuple[Character, ...]] = get_args(Character)
NAMED: Final[tuple[Named, ...]] = (*get_args(Command), *get_args(Way))
"""Keys that are no characters."""


def press(session: Session, vehicle: Vehicle, key: Key, now: datetime) -> Outcome:
    """What a key does."""
    handler = _HANDLERS.get(key)
    if handler is not None:
        return handler(session, vehicle, now)
    if key in CHARACTERS:
        return Outcome(_typed(session, vehicle, key))
    return Outcome(replace(session, message=say("“{key}” does nothing here", key=key)))


# --- typing ---------------------------------------------------------------------------------------


def _typed(session: Session, vehicle: Vehicle, key: Key) -> Session:
    if spot_in_hand(session) is None and session.round.kind != "whole":
        return replace(
            session, message=say("press Enter to go on, or choose a slot with the arrow keys")
        )
    if session.round.kind == "contacts":
        fits = key in "+-2468" and not session.typed
        return replace(session, typed=key, message=NOTHING) if fits else session
    slot = slot_in_hand(session, vehicle)
    if session.instrument == "lamp" and slot is not None and counts_critical(slot):
        return replace(session, message=say("no test lamp on a critical circuit: take the meter"))
    if not can_follow(session.typed, key):
        return session
    return replace(session, typed=session.typed + key, message=NOTHING)


def _back(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    return Outcome(replace(session, typed=session.typed[:-1]))


def _clear(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    return Outcome(replace(session, typed="", doubted="", doubts=(), message=NOTHING))


def _unit(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """The next unit for a bare number."""
    units: tuple[Unit, ...] = ("A", "mA") if session.round.kind == "whole" else UNITS
    if session.feed is not None:
        units = ("mV", "mA", "A")
    at = units.index(session.unit) if session.unit in units else -1
    return Outcome(replace(session, unit=units[(at + 1) % len(units)], message=NOTHING))


def _job(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """Only what this job needs, in the fewest readings, or all again."""
    other = replace(session, job=not session.job, sure=False, only=())
    left = rounds_left(other, vehicle)
    if not left:
        done = say("this job's slots are all verified")
        return Outcome(
            replace(session, message=done if other.job else say("nothing is left in question"))
        )
    needed = many(
        "only what this job needs: {n} reading",
        "only what this job needs: {n} readings",
        sum(len(step.slots) for step in left),
    )
    begun = begin(other, vehicle, left[0].round)
    return Outcome(replace(begun, message=needed if other.job else say("all that is open")))


def _sure(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """Only what settles what may not hold, or all again."""
    if not session.sure:
        return Outcome(begin_sure(session, vehicle))
    other = replace(session, sure=False)
    left = rounds_left(other, vehicle)
    begun = begin(other, vehicle, left[0].round if left else session.round)
    return Outcome(replace(begun, message=say("all that is open")))


def _instrument(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """Meter or test lamp: the lamp draws some 120 mA and is kept off critical circuits."""
    lamp = session.instrument == "meter"
    if not lamp:
        return Outcome(replace(session, instrument="meter", message=say("digital meter")))
    drawn = Amount(disbelief.probe_current_a(disbelief.LAMP_OHM) * 1000, "mA")
    warning = say("a test lamp draws about {current}: never on a critical circuit", current=drawn)
    return Outcome(replace(session, instrument="lamp", message=warning))


# --- moving ---------------------------------------------------------------------------------------


def _move(way: Way, session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    return Outcome(move(session, vehicle, way))


def _home(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """Once more through what this round still needs, skipped slots too."""
    return Outcome(begin(session, vehicle, session.round, walk=session.walk))


def _skip(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    if spot_in_hand(session) is None:
        return Outcome(to_next_round(session, vehicle))
    return Outcome(go_on(session, vehicle, vehicle))


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
        return Outcome(replace(session, message=say("the key is turned in this round")))
    locked = replace(
        session,
        locked_at=now.isoformat(timespec="seconds"),
        walk=1,
        visited=(),
        visited_feeds=(),
    )
    if session.round.kind == "whole":
        return Outcome(replace(locked, message=say("locked: the times run")))
    left = spots_left(locked, vehicle)
    there = go_to_spot(locked, vehicle, left[0] if left else None)
    return Outcome(replace(there, message=say("locked")))


# --- Enter ----------------------------------------------------------------------------------------


def _enter(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    if not session.typed:
        return _enter_nothing(session, vehicle, now)
    why_not = _must_wait(session, vehicle, now)
    if why_not:
        return Outcome(replace(session, typed="", message=why_not))
    try:
        entry = entry_of(session)
        drafts = drafts_of(session, vehicle, entry, now)
        doubts = doubts_of(session, vehicle, drafts)
        if doubts and not is_said_again(session, entry):
            return Outcome(
                replace(session, typed="", doubted=session.typed, doubts=doubts, message=NOTHING)
            )
        if doubts:
            drafts = [draft | {"repeated": True} for draft in drafts]
        return store(session, vehicle, drafts)
    except (InputProblem, EditRefused) as problem:
        return Outcome(replace(session, typed="", doubted="", doubts=(), message=problem.text))


def _enter_nothing(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    if session.round.state == "awake" and session.round.kind == "sweep":
        if session.locked_at is None:
            return _lock(session, vehicle, now)
        if spot_in_hand(session) is None:
            return Outcome(_next_walk(session, vehicle))
    if spot_in_hand(session) is None:
        return Outcome(walk_again(session, vehicle) or to_next_round(session, vehicle))
    slot = slot_in_hand(session, vehicle)
    if session.round.kind == "contacts" and slot is not None and counts_critical(slot):
        return Outcome(_begin_wait(session, slot, now))
    return Outcome(go_on(session, vehicle, vehicle))


def _next_walk(session: Session, vehicle: Vehicle) -> Session:
    """Once more through what is still live after locking; with nothing left, the next round."""
    if not spots_needed(session, vehicle, session.round):
        return to_next_round(session, vehicle)
    return begin(session, vehicle, session.round, walk=session.walk + 1)


def _begin_wait(session: Session, slot: Slot, now: datetime) -> Session:
    """At a critical slot whose fuse is to come out: the wait begins with the first Enter."""
    warning = disbelief.caution(slot, "pull")
    assert warning is not None
    if session.waiting == slot.id:
        return replace(session, message=warning.text)
    clear = now + timedelta(minutes=warning.wait_min)
    begins = say(
        "Better leave it: * goes on. The wait of {minutes} begins now.",
        minutes=given(warning.wait_min, "min"),
    )
    return replace(
        session,
        waiting=slot.id,
        clear_at=clear.isoformat(timespec="seconds"),
        message=run_on(warning.text, begins),
    )


def _must_wait(session: Session, vehicle: Vehicle, now: datetime) -> Text:
    """Why nothing may be stored here yet; empty where it may."""
    slot = slot_in_hand(session, vehicle)
    if session.round.kind != "contacts" or slot is None or not counts_critical(slot):
        return NOTHING
    if session.waiting != slot.id or session.clear_at is None:
        return say("critical circuit: Enter alone begins the wait, * goes on without it")
    left = (datetime.fromisoformat(session.clear_at) - now).total_seconds()
    if left <= 0:
        return NOTHING
    return say("wait another {minutes}", minutes=given(max(1, round(left / 60)), "min"))


def _undo(session: Session, vehicle: Vehicle, now: datetime) -> Outcome:
    """Take back what is typed, else what was stored last: that stays in the list, withdrawn."""
    if session.typed or session.doubted:
        return _clear(session, vehicle, now)
    there = {reading.id for reading in vehicle.readings if not reading.withdrawn}
    for at in range(len(session.entered) - 1, -1, -1):
        last = session.entered[at]
        ids = [reading_id for reading_id in last.readings if reading_id in there]
        if ids:
            return take_back(session, vehicle, last, ids)
    return Outcome(replace(session, message=say("there is nothing to take back")))


_HANDLERS: Final[dict[Key, Handler]] = {
    **{way: partial(_move, way) for way in WAYS},
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
    "sure": _sure,
}
