"""Where a walk along the slots goes next: to a place, a round, through what was read by half.

In: a session and the vehicle. Out: the session after the step. It goes along the slots in hand
order, to a neighbour by an arrow key, to the next round that is needed; no key is known here
(`fusemap.probing.keys`), and nothing is stored.
"""

from typing import Final, Literal

from msgspec.structs import replace

from fusemap.probing import disbelief, evidence, plan, to_be_sure
from fusemap.probing.plan import HandOrder, Round, Spot, beside
from fusemap.probing.session import (
    Session,
    Unit,
    is_visited,
    rounds_left,
    slot_in_hand,
    spot_in_hand,
    spots_left,
    spots_needed,
)
from fusemap.text import NOTHING, Text, many, run_on, say
from fusemap.vehicle import PARKED_STATES, Vehicle, look_up
from fusemap.vehicle.words import Quantity


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


def begin_only(session: Session, vehicle: Vehicle, slot_id: str) -> Session:
    """The session at the first reading that tells when this slot is live; no other is asked for."""
    alone = replace(session, only=(slot_id,), job=False, sure=False)
    left = rounds_left(alone, vehicle)
    return begin(alone, vehicle, left[0].round if left else Round())


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
    if is_visited(session, spot):
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


def following_round(session: Session, vehicle: Vehicle) -> Round | None:
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
