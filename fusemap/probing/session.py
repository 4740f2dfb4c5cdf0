"""One walk along the slots with a meter: where it stands, and its timers, as plain data.

A session is a frozen value that can be written to a file at every key and taken up again where it
was left. It never reads a clock: the time is handed in. `fusemap.probing.keys` says what a key does
to it. Times are ISO 8601 texts; minutes count from locking.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from msgspec.structs import replace

from fusemap.assess.rules import resolve
from fusemap.probing import plan
from fusemap.probing.entry import LONGEST, can_follow
from fusemap.probing.order import HandOrder
from fusemap.probing.plan import REREAD_MIN, Round, Step
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Slot, State, Vehicle, look_up
from fusemap.vehicle.value import Value
from fusemap.vehicle.words import Quantity

Unit = Literal["mV", "mA", "A", "V"]

UNITS: tuple[Unit, ...] = ("mV", "mA", "A", "V")
"""What a bare number may be in; the unit key goes round."""


class Entered(Value, frozen=True, kw_only=True):
    """What one Enter stored: where, in which round and pass, and the ids of the readings."""

    slot: str | None
    round: Round
    walk: int
    readings: tuple[str, ...]


class Session(Value, frozen=True, kw_only=True):
    """A walk along the slots.

    `slot` is under the cursor, `None` at the end of a round or where the whole vehicle is read.
    `visited` are those read or skipped since the round, or this walk of it, began. `doubted` is
    what was typed and asked about. `only` limits the walk to these slots, `job` to the fewest
    readings that verify what the job's taps stand on. `fuse_out` is the fuse that is out while the
    whole vehicle is read. `clear_at` is when the wait at a critical slot,
    `waiting`, is over.
    """

    round: Round = Round()
    order: HandOrder = HandOrder()
    slot: str | None = None
    typed: str = ""
    unit: Unit = "mV"
    doubted: str = ""
    doubts: tuple[str, ...] = ()
    visited: tuple[str, ...] = ()
    walk: int = 1
    entered: tuple[Entered, ...] = ()
    locked_at: str | None = None
    only: tuple[str, ...] = ()
    job: bool = False
    fuse_out: str | None = None
    waiting: str | None = None
    clear_at: str | None = None
    instrument: Literal["meter", "lamp"] = "meter"
    current_by: Quantity = "inline_current"
    meter: str | None = None
    by: str = ""
    said: str = ""


def after_lock_min(session: Session, now: datetime) -> float | None:
    """Minutes since locking, in whole tenths; `None` while it is not known to be locked."""
    if session.locked_at is None:
        return None
    locked = datetime.fromisoformat(session.locked_at)
    return max(0.0, round((now - locked).total_seconds() / 60, 1))


def sleep_wait_min(vehicle: Vehicle) -> float:
    """How long to wait after locking before the vehicle is taken to sleep [min]."""
    return float(resolve(vehicle.rules)["sleep_wait_min"].value)


def state_now(session: Session, vehicle: Vehicle, now: datetime) -> State:
    """The state a reading is noted with: a parked vehicle is awake until its time has passed."""
    if session.round.state not in ("asleep", "awake"):
        return session.round.state
    minutes = after_lock_min(session, now)
    if minutes is None:
        return session.round.state
    return "asleep" if minutes >= sleep_wait_min(vehicle) else "awake"


def slot_in_hand(session: Session, vehicle: Vehicle) -> Slot | None:
    """The slot under the cursor."""
    if session.slot is None:
        return None
    return next((s for s in look_up.slots(vehicle) if s.id == session.slot), None)


def asked(session: Session, vehicle: Vehicle, one: Round) -> tuple[str, ...]:
    """The slots a round still needs in this session, in hand order."""
    if session.job:
        steps = plan.shortest_pass(vehicle, session.order)
        return next((step.slots for step in steps if step.round == one), ())
    slots = plan.in_question(vehicle, one, session.order)
    return tuple(slot_id for slot_id in slots if not session.only or slot_id in session.only)


def rounds_left(session: Session, vehicle: Vehicle) -> tuple[Step, ...]:
    """The rounds that are still needed in this session, in the order of the job."""
    if session.job:
        return plan.shortest_pass(vehicle, session.order)
    return plan.rounds_left(vehicle, session.order)


def slots_left(session: Session, vehicle: Vehicle) -> tuple[str, ...]:
    """The slots of this round that were neither read nor skipped yet, in hand order."""
    return tuple(
        slot_id
        for slot_id in asked(session, vehicle, session.round)
        if slot_id not in session.visited
    )


@dataclass(frozen=True, slots=True)
class Timer:
    """Something that is due: when, how long that is [s], and what then."""

    kind: Literal["sleep", "reread", "wait"]
    due: datetime
    left_s: float
    words: str

    @property
    def over(self) -> bool:
        """Whether it is due now."""
        return self.left_s <= 0

    @property
    def clock(self) -> str:
        """The time left as minutes and seconds.

        >>> Timer("sleep", datetime(2025, 5, 17), 125.0, "").clock
        '2:05'
        """
        left = max(0, round(self.left_s))
        return f"{left // 60}:{left % 60:02}"


def timers(session: Session, vehicle: Vehicle, now: datetime) -> tuple[Timer, ...]:
    """What is running: time to sleep, time to read again after locking, wait at a critical slot."""
    found = []
    if session.locked_at is not None:
        locked = datetime.fromisoformat(session.locked_at)
        wait = sleep_wait_min(vehicle)
        due = locked + timedelta(minutes=wait)
        found.append(Timer("sleep", due, (due - now).total_seconds(), "asleep"))
        if session.round.state == "awake" and session.walk <= len(REREAD_MIN):
            minute = REREAD_MIN[session.walk - 1]
            due = locked + timedelta(minutes=minute)
            words = f"read again at {minute:g}{NARROW_SPACE}min"
            found.append(Timer("reread", due, (due - now).total_seconds(), words))
    if session.clear_at is not None:
        due = datetime.fromisoformat(session.clear_at)
        found.append(Timer("wait", due, (due - now).total_seconds(), "wait before unplugging"))
    return tuple(found)


def start(vehicle: Vehicle, order: HandOrder = HandOrder(), *, by: str = "") -> Session:  # noqa: B008
    """A new session at the first round that is still needed."""
    left = plan.rounds_left(vehicle, order)
    first = left[0].round if left else Round()
    return begin(Session(order=order, by=by, meter=_last_meter(vehicle)), vehicle, first)


def _last_meter(vehicle: Vehicle) -> str | None:
    used = [reading.meter for reading in vehicle.readings if reading.meter is not None]
    return used[-1] if used else (vehicle.meters[-1].id if vehicle.meters else None)


def begin(session: Session, vehicle: Vehicle, one: Round, *, walk: int = 1) -> Session:
    """The session at the beginning of a round; a key turned means the vehicle is not locked."""
    fresh = replace(
        session,
        round=one,
        walk=walk,
        visited=(),
        typed="",
        doubted="",
        doubts=(),
        waiting=None,
        clear_at=None,
        fuse_out=None,
        unit=unit_of(one),
        locked_at=session.locked_at if one.state in ("asleep", "awake") else None,
        slot=None,
        said=plan.how_to(one),
    )
    if one.kind == "whole" or (one.state == "awake" and fresh.locked_at is None):
        return fresh
    left = slots_left(fresh, vehicle)
    return replace(fresh, slot=left[0] if left else None)


def unit_of(one: Round) -> Unit:
    """What a bare number is in at the beginning of a round."""
    return "A" if one.kind == "whole" else "mV"


def resumed(session: Session, vehicle: Vehicle) -> Session:
    """A session read back from a file, as far as the vehicle still has what it names."""
    slots = {slot.id for slot in look_up.slots(vehicle) if slot.kind == "fuse"}
    meters = {meter.id for meter in vehicle.meters}
    readings = {reading.id for reading in vehicle.readings}
    return replace(
        session,
        slot=session.slot if session.slot in slots else None,
        visited=tuple(one for one in session.visited if one in slots),
        only=tuple(one for one in session.only if one in slots),
        fuse_out=session.fuse_out if session.fuse_out in slots else None,
        waiting=session.waiting if session.waiting in slots else None,
        meter=session.meter if session.meter in meters else None,
        entered=tuple(one for one in session.entered if set(one.readings) <= readings),
    )


def impossible(session: Session, vehicle: Vehicle) -> tuple[str, ...]:
    """What in a session does not fit its vehicle or itself; nothing in one that is sound."""
    found = []
    if session != resumed(session, vehicle):
        found.append("it names slots, meters or readings that are not there")
    if session.typed and not can_follow(session.typed[:-1], session.typed[-1]):
        found.append(f"“{session.typed}” cannot have been typed")
    if len(session.typed) > LONGEST:
        found.append("more is typed than any reading has")
    if session.round.kind == "whole" and session.slot is not None:
        found.append("the whole vehicle has no slot")
    if session.locked_at is not None and session.round.state not in ("asleep", "awake"):
        found.append("the key is turned in a locked vehicle")
    if bool(session.doubts) != bool(session.doubted):
        found.append("something is asked about that was not typed")
    if session.unit not in UNITS:
        found.append("no such unit")
    return tuple(found)
