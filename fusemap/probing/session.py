"""One walk along the slots with a meter: where it stands, and its timers, as plain data.

A session is a frozen value that can be written to a file at every key and taken up again where it
was left. It never reads a clock: the time is handed in. `fusemap.probing.keys` says what a key does
to it. Times are ISO 8601 texts; minutes count from locking. Here too is where it goes next: along
the slots in hand order, to a neighbour, to a round.
"""

from datetime import datetime, timedelta
from typing import Final, Literal

from msgspec import Struct, field
from msgspec.structs import replace

from fusemap.assess.facts import resolve
from fusemap.probing import disbelief, evidence, plan, to_be_sure
from fusemap.probing.entry import LONGEST, can_follow
from fusemap.probing.plan import REREAD_MIN, HandOrder, Round, Spot, Step, beside
from fusemap.text import Text, given, many, run_on, say
from fusemap.vehicle import PARKED_STATES, Feed, Slot, State, Vehicle, look_up
from fusemap.vehicle.parts import Value
from fusemap.vehicle.words import Quantity

Unit = Literal["mV", "mA", "A", "V"]

NOTHING = Text("")

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
    limits the walk to these slots, `job` to the fewest readings that verify what the job's taps
    stand on, `sure` to those that settle what may not hold. `fuse_out` is the fuse that is out
    while the whole vehicle is read. `clear_at` is when the wait at a critical slot, `waiting`, is
    over. `message` is what the last key brought about or what is asked now (kept sessions have it
    as `said`); what to do in a round is told by `plan.how_to` and does not stand there.
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
    return plan.rounds_left(vehicle, session.order)


def spots_left(session: Session, vehicle: Vehicle) -> tuple[Spot, ...]:
    """What of this round was neither read nor skipped yet, in hand order."""
    needed = spots_needed(session, vehicle, session.round)
    return tuple(spot for spot in needed if not _is_visited(session, spot))


def _is_visited(session: Session, spot: Spot) -> bool:
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


def start(vehicle: Vehicle, order: HandOrder = HandOrder(), *, by: str = "") -> Session:  # noqa: B008
    """A new session at the first round that is still needed."""
    left = plan.rounds_left(vehicle, order)
    first = left[0].round if left else Round()
    return begin(Session(order=order, by=by, meter=_last_meter(vehicle)), vehicle, first)


def start_needed(vehicle: Vehicle) -> Session:
    """A new session at what the plan still needs; where it needs nothing, at what is open at all.

    First what would settle a verdict that is in doubt, then what the taps of the job stand on.
    """
    session = start(vehicle)
    if not vehicle.taps:
        return session
    sure = begin_sure(session, vehicle)
    if rounds_left(sure, vehicle):
        return replace(sure, message=say("Only what the plan needs. S: all that is open."))
    job = replace(session, job=True)
    left = rounds_left(job, vehicle)
    if not left:
        return session
    asked = say("Only what the plan needs. J: all that is open.")
    return replace(begin(job, vehicle, left[0].round), message=asked)


def _last_meter(vehicle: Vehicle) -> str | None:
    used = [reading.meter for reading in vehicle.readings if reading.meter is not None]
    return used[-1] if used else (vehicle.meters[-1].id if vehicle.meters else None)


def begin(session: Session, vehicle: Vehicle, round_: Round, *, walk: int = 1) -> Session:
    """The session at the beginning of a round; a key turned means the vehicle is not locked."""
    fresh = replace(
        session,
        round=round_,
        walk=walk,
        visited=(),
        visited_feeds=(),
        typed="",
        doubted="",
        doubts=(),
        waiting=None,
        clear_at=None,
        fuse_out=None,
        unit=unit_of(round_),
        locked_at=session.locked_at if round_.state in PARKED_STATES else None,
        slot=None,
        feed=None,
        message=NOTHING,
    )
    if round_.kind == "whole" or (round_.state == "awake" and fresh.locked_at is None):
        return fresh
    left = spots_left(fresh, vehicle)
    return _cautioned(_put(fresh, vehicle, left[0]), vehicle) if left else fresh


def begin_sure(session: Session, vehicle: Vehicle) -> Session:
    """The session at the first reading that would settle what may not hold."""
    other = replace(session, sure=True, job=False, only=())
    left = rounds_left(other, vehicle)
    return begin(other, vehicle, left[0].round if left else Round())


def _put(session: Session, vehicle: Vehicle, spot: Spot | None) -> Session:
    """The cursor on a place, with the unit a number there is likely to be in."""
    kind, place = spot if spot is not None else ("slot", None)
    there = replace(
        session,
        slot=place if kind == "slot" else None,
        feed=place if kind == "feed" else None,
    )
    if spot is None or not (session.sure or session.feed is not None or kind == "feed"):
        return there
    across = to_be_sure.across_its_fuse(vehicle, spot)
    return replace(there, unit=unit_of(session.round) if across else "A")


def unit_of(round_: Round) -> Unit:
    """What a bare number is in at the beginning of a round."""
    return "A" if round_.kind == "whole" else "mV"


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


# --- where it goes next ---------------------------------------------------------------------------

Way = Literal["up", "down", "left", "right"]
WAYS: Final[dict[Way, tuple[int, int]]] = {
    "up": (-1, 0),
    "down": (1, 0),
    "left": (0, -1),
    "right": (0, 1),
}
"""Arrow keys as steps down and to the right, as seen."""


def move(session: Session, vehicle: Vehicle, key: Way) -> Session:
    """Go to the slot next to the one in hand, by an arrow key."""
    if session.round.kind == "whole" or not vehicle.panels:
        return session
    slot_id = session.slot
    panel = look_up.panel_of(vehicle, slot_id) if slot_id else vehicle.panels[0]
    there = beside(panel, slot_id, session.order, *WAYS[key])
    return go_to(session, vehicle, there)


def go_to(session: Session, vehicle: Vehicle, slot_id: str | None) -> Session:
    """Put the cursor on a slot, and say what is to be minded there."""
    return go_to_spot(session, vehicle, None if slot_id is None else ("slot", slot_id))


def go_to_spot(session: Session, vehicle: Vehicle, spot: Spot | None) -> Session:
    """Put the cursor on a slot or a feed, and say what is to be minded there."""
    if spot is not None and spot == spot_in_hand(session):
        return session
    fresh = replace(_put(session, vehicle, spot), typed="", doubted="", doubts=(), waiting=None,
                    clear_at=None, message=NOTHING)  # fmt: skip
    return _cautioned(fresh, vehicle)


def _cautioned(session: Session, vehicle: Vehicle) -> Session:
    """The session saying what is to be minded at the slot in hand."""
    slot = slot_in_hand(session, vehicle)
    if slot is None:
        return session
    warning = disbelief.caution(slot, "pull" if session.round.kind == "contacts" else "probe")
    return replace(session, message=warning.text) if warning is not None else session


def go_on(session: Session, old: Vehicle, new: Vehicle) -> Session:
    """On to the next place of this round, from where the cursor was."""
    here = spot_in_hand(session)
    if here is not None:
        session = visit(session, here)
    left = spots_left(session, new)
    order = list(spots_needed(session, old, session.round))
    behind = order[order.index(here) + 1 :] if here in order else []
    following = next((spot for spot in behind if spot in left), left[0] if left else None)
    session = go_to_spot(session, new, following)
    return session if following is not None else replace(session, message=_round_done(session, new))


def visit(session: Session, spot: Spot) -> Session:
    """Note that a place was read or skipped."""
    kind, place = spot
    if _is_visited(session, spot):
        return session
    if kind == "feed":
        return replace(session, visited_feeds=(*session.visited_feeds, place))
    return replace(session, visited=(*session.visited, place))


def lacking(session: Session, vehicle: Vehicle) -> Text:
    """What a slot read in this round still lacks; nothing where all is read, or none of it."""
    slot = slot_in_hand(session, vehicle)
    if slot is None or session.round.kind != "sweep" or session.sure:
        return NOTHING
    if session.round.state == "awake" or not plan.needs(vehicle, slot, session.round):
        return NOTHING
    read = _read_here(session, vehicle, slot.id)
    if read == {"live"} and session.round.state == "asleep":
        return say("live. And the millivolts across its fuse?")
    if read and "live" not in read:
        return say("no current to be seen: is it live? + or -")
    return NOTHING


def _read_here(session: Session, vehicle: Vehicle, slot_id: str) -> set[Quantity]:
    """The quantities read at a slot in this round, in any of its walks."""
    there = {reading.id: reading for reading in evidence.standing(vehicle.readings)}
    return {
        there[reading_id].quantity
        for past in session.entered
        if past.slot == slot_id and past.round == session.round
        for reading_id in past.readings
        if reading_id in there
    }


def half_read(session: Session, vehicle: Vehicle) -> tuple[Spot, ...]:
    """What was read in this round and still lacks something, in hand order."""
    here = replace(session, feed=None)
    return tuple(
        spot
        for spot in spots_needed(session, vehicle, session.round)
        if spot[0] == "slot" and lacking(replace(here, slot=spot[1]), vehicle)
    )


def walk_again(session: Session, vehicle: Vehicle) -> Session | None:
    """A second walk through what was read by halves, `None` where there is nothing or no first."""
    if session.walk > 1 or session.round.state == "awake":
        return None
    halves = half_read(session, vehicle)
    if not halves:
        return None
    again = begin(session, vehicle, session.round, walk=2)
    kept = {place for _, place in halves}
    others = [place for kind, place in spots_left(again, vehicle)
              if kind == "slot" and place not in kept]  # fmt: skip
    return go_to_spot(replace(again, visited=tuple(others)), vehicle, halves[0])


def _round_done(session: Session, vehicle: Vehicle) -> Text:
    halves = len(half_read(session, vehicle)) if session.walk == 1 else 0
    if halves and session.round.state != "awake":
        return many(
            "Round done but for {n} read by half: Enter goes there.",
            "Round done but for {n} read by half: Enter goes through them.",
            halves,
        )  # fmt: skip
    if session.sure and not rounds_left(session, vehicle):
        return NOTHING  # what came of it is said in the place of this
    if session.round.state == "awake" and spots_needed(session, vehicle, session.round):
        return say("Round done. Enter starts the next one when it is time.")
    following = following_round(session, vehicle)
    done = say("Round done. Enter: all done.")
    if following is not None:
        done = say("Round done. Enter: {round}.", round=plan.title(following))
    still_open = len(spots_needed(session, vehicle, session.round))
    if not still_open:
        return done
    skipped = many(
        "{n} still open, Home goes through it.", "{n} still open, Home goes through them.",
        still_open,
    )  # fmt: skip
    return run_on(skipped, done)


def following_round(session: Session, vehicle: Vehicle) -> plan.Round | None:
    """The next round that is needed after this one."""
    at = plan.ROUNDS.index(session.round) if session.round in plan.ROUNDS else -1
    left = {step.round for step in rounds_left(session, vehicle)}
    order = plan.ROUNDS[at + 1 :]
    if session.sure:  # a reading may have put a question to a state that was done
        order += plan.ROUNDS[: max(0, at)]
    return next((later for later in order if later in left), None)


def to_next_round(session: Session, vehicle: Vehicle) -> Session:
    """Go to the beginning of the next round that is needed."""
    following = following_round(session, vehicle)
    if following is None:
        return replace(session, message=say("Nothing is left in question."))
    return begin(session, vehicle, following)


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
