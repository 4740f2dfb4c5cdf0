"""One walk along the slots with a meter: where it stands, and its timers, as plain data.

A session is a frozen value that can be written to a file at every key and taken up again where it
was left. It never reads a clock: the time is handed in. `fusemap.probing.keys` says what a key does
to it, `fusemap.probing.walking` where it goes next. Times are ISO 8601 texts; minutes count from
locking.
"""

from datetime import datetime, timedelta
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from fusemap.assess.facts import resolve
from fusemap.probing import plan, to_be_sure
from fusemap.probing.entry import LONGEST, can_follow
from fusemap.probing.plan import REREAD_MIN, HandOrder, Round, Spot, Step
from fusemap.text import NOTHING, Text, given, say
from fusemap.vehicle import PARKED_STATES, Feed, Slot, State, Vehicle, look_up
from fusemap.vehicle.parts import Value
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
    feed: str | None = None


class Session(Value, frozen=True, kw_only=True):
    """A walk along the slots.

    `slot` is under the cursor, `None` at the end of a round or where the whole vehicle is read, or
    `feed` is, where one is read as a whole. `visited` and `visited_feeds` are those read or skipped
    since the round, or this walk of it, began. `doubted` is what was typed and asked about. `only`
    limits the walk to these slots until it is known when they are live, `job` to the fewest
    readings that verify what the job's taps stand on, `sure` to those that settle what may not
    hold. `fuse_out` is the fuse that is out while the whole vehicle is read. `clear_at` is when the
    wait at a critical slot, `waiting`, is over. `message` is what the last key brought about or
    what is asked now (kept sessions have it as `said`); what to do in a round is told by
    `plan.how_to` and does not stand there.
    """

    round: Round = Round()
    order: HandOrder = HandOrder()
    slot: str | None = None
    typed: str = ""
    unit: Unit = "mV"
    doubted: str = ""
    doubts: tuple[Text, ...] = ()
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
    message: Text = field(default=NOTHING, name="said")
    feed: str | None = None
    visited_feeds: tuple[str, ...] = ()
    sure: bool = False


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
    if session.round.state not in PARKED_STATES:
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


def feed_in_hand(session: Session, vehicle: Vehicle) -> Feed | None:
    """The feed under the cursor."""
    return next((feed for feed in vehicle.feeds if feed.id == session.feed), None)


def spot_in_hand(session: Session) -> Spot | None:
    """What is under the cursor, a slot or a feed."""
    if session.feed is not None:
        return "feed", session.feed
    return None if session.slot is None else ("slot", session.slot)


def spots_needed(session: Session, vehicle: Vehicle, round_: Round) -> tuple[Spot, ...]:
    """What a round still needs in this session, in hand order."""
    if session.job or session.sure:
        steps = rounds_left(session, vehicle)
        return next((step.spots for step in steps if step.round == round_), ())
    slots = plan.in_question(vehicle, round_, session.order)
    return tuple(("slot", each) for each in slots if not session.only or each in session.only)


def rounds_left(session: Session, vehicle: Vehicle) -> tuple[Step, ...]:
    """The rounds that are still needed in this session, in the order of the job."""
    if session.sure:
        return to_be_sure.steps(vehicle, session.order)
    if session.job:
        return plan.shortest_pass(vehicle, session.order)
    steps = plan.rounds_left(vehicle, session.order)
    if not session.only:
        return steps
    mine = (Step(s.round, tuple(one for one in s.slots if one in session.only)) for s in steps)
    return tuple(step for step in mine if step.slots)


def is_settled(session: Session, vehicle: Vehicle) -> bool:
    """Whether it is known when all those are live that alone were to be read."""
    if not session.only or spot_in_hand(session) is not None:
        return False
    return all(look_up.slot(vehicle, each).feed_class != "unknown" for each in session.only)


def spots_left(session: Session, vehicle: Vehicle) -> tuple[Spot, ...]:
    """What of this round was neither read nor skipped yet, in hand order."""
    needed = spots_needed(session, vehicle, session.round)
    return tuple(spot for spot in needed if not is_visited(session, spot))


def is_visited(session: Session, spot: Spot) -> bool:
    """Whether a place was read or skipped in this walk of the round."""
    kind, place = spot
    return place in (session.visited if kind == "slot" else session.visited_feeds)


class Timer(Struct, frozen=True):
    """Something that is due: when, how long that is [s], and what then."""

    kind: Literal["sleep", "reread", "wait"]
    due: datetime
    left_s: float
    words: Text

    @property
    def over(self) -> bool:
        """Whether it is due now."""
        return self.left_s <= 0

    @property
    def clock(self) -> str:
        """The time left as minutes and seconds.

        >>> Timer("sleep", datetime(2025, 5, 17), 125.0, say("asleep")).clock
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
        found.append(Timer("sleep", due, (due - now).total_seconds(), say("asleep")))
        if session.round.state == "awake" and session.walk <= len(REREAD_MIN):
            minute = REREAD_MIN[session.walk - 1]
            due = locked + timedelta(minutes=minute)
            words = say("read again at {minutes}", minutes=given(minute, "min"))
            found.append(Timer("reread", due, (due - now).total_seconds(), words))
    if session.clear_at is not None:
        due = datetime.fromisoformat(session.clear_at)
        words = say("wait before unplugging")
        found.append(Timer("wait", due, (due - now).total_seconds(), words))
    return tuple(found)


def resume(session: Session, vehicle: Vehicle) -> Session:
    """Take up a session read back from a file, as far as the vehicle still has what it names."""
    slots = {slot.id for slot in look_up.slots(vehicle) if slot.kind == "fuse"}
    feeds = {feed.id for feed in vehicle.feeds}
    meters = {meter.id for meter in vehicle.meters}
    readings = {reading.id for reading in vehicle.readings}
    return replace(
        session,
        slot=session.slot if session.slot in slots else None,
        feed=session.feed if session.feed in feeds else None,
        visited=tuple(slot for slot in session.visited if slot in slots),
        visited_feeds=tuple(feed for feed in session.visited_feeds if feed in feeds),
        only=tuple(slot for slot in session.only if slot in slots),
        fuse_out=session.fuse_out if session.fuse_out in slots else None,
        waiting=session.waiting if session.waiting in slots else None,
        meter=session.meter if session.meter in meters else None,
        entered=tuple(past for past in session.entered if set(past.readings) <= readings),
    )


def impossible(session: Session, vehicle: Vehicle) -> tuple[str, ...]:
    """What in a session does not fit its vehicle or itself; nothing in one that is sound."""
    found = []
    if session != resume(session, vehicle):
        found.append("it names slots, meters or readings that are not there")
    if session.typed and not can_follow(session.typed[:-1], session.typed[-1]):
        found.append(f"“{session.typed}” cannot have been typed")
    if len(session.typed) > LONGEST:
        found.append("more is typed than any reading has")
    if session.round.kind == "whole" and spot_in_hand(session) is not None:
        found.append("the whole vehicle has no slot")
    if session.slot is not None and session.feed is not None:
        found.append("a slot and a feed are in hand at once")
    if session.feed is not None and session.round.kind != "sweep":
        found.append("a feed has no contacts to read")
    if session.locked_at is not None and session.round.state not in PARKED_STATES:
        found.append("the key is turned in a locked vehicle")
    if bool(session.doubts) != bool(session.doubted):
        found.append("something is asked about that was not typed")
    if session.unit not in UNITS:
        found.append("no such unit")
    return tuple(found)
