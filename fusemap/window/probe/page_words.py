"""What stands on the probing page: how far it is, what is known, what was read last, the timer.

In: the session and the vehicle. Out: texts; no widgets.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from fusemap.assess import Assessment
from fusemap.assess.sure_words import order, settles
from fusemap.assess.verdict import Verdict
from fusemap.checks import Finding, verdict_words
from fusemap.errors import InputProblem
from fusemap.probing import (
    conclusions,
    evidence,
    feed_loads,
    loads,
    plan,
    remainder,
    to_be_sure,
)
from fusemap.probing.session import (
    Session,
    Timer,
    after_lock_min,
    feed_in_hand,
    rounds_left,
    slot_in_hand,
    spot_in_hand,
    spots_left,
    spots_needed,
)
from fusemap.probing.storing import HOW_A_FEED, entry_of
from fusemap.text import NOTHING, Amount, Argument, Text, Words, given, many, run_on, say
from fusemap.vehicle import Reading, Vehicle, look_up
from fusemap.vehicle.words import FEED, NO_FEED


def progress(session: Session, vehicle: Vehicle) -> Text:
    """How many slots are left, on which panel."""
    if session.round.kind == "whole":
        return NOTHING
    left = say("{n} left in this round", n=len(spots_left(session, vehicle)))
    if session.sure:
        count = sum(len(step.spots) for step in rounds_left(session, vehicle))
        asked = many("to be sure: {n} reading", "to be sure: {n} readings", count)
        return asked if count else NOTHING
    return left


def how(session: Session, vehicle: Vehicle) -> Text:
    """What to do in this round; before it the panel, where there are several."""
    words = plan.how_to(session.round)
    if session.slot is None or len(vehicle.panels) < 2:
        return words
    return run_on(look_up.panel_of(vehicle, session.slot).name, words, between=" · ")


def known(session: Session, vehicle: Vehicle) -> Text:
    """What is known of the slot or feed in hand; with none in hand, the rounds that are left."""
    return run_on(*_known_lines(session, vehicle), between="\n")


def _known_lines(session: Session, vehicle: Vehicle) -> Iterator[Argument]:
    if session.round.kind == "whole":
        yield from remainder.tracing_words(vehicle)
        return
    feed = feed_in_hand(session, vehicle)
    if feed is not None:
        yield from feed_loads.evidence_lines(vehicle, feed)
        return
    slot = slot_in_hand(session, vehicle)
    if slot is None:
        yield from _rounds_left(session, vehicle)
        return
    found = conclusions.of_slot(vehicle, slot)
    if slot.borrowed is not None and not found.feed.known:
        claimed = FEED[plan.claimed_class(vehicle, slot)].label
        yield say("{by} says: {claimed}", by=slot.borrowed.by, claimed=claimed)
    yield from found.lines
    if session.sure:
        return  # asked are loads alone
    for what in found.feed.open:
        yield say("Open: {what}", what=what)
    if slot.feed is None and look_up.taps_on(vehicle, slot.id):
        yield say("Open: {what}", what=NO_FEED)


def _rounds_left(session: Session, vehicle: Vehicle) -> Iterator[Text]:
    for step in rounds_left(session, vehicle):
        title = plan.title(step.round)
        yield run_on(title, len(step.spots), between=": ") if step.spots else title


def where_to(session: Session) -> Text:
    """Between which places the meter is held."""
    if session.feed is not None:
        return HOW_A_FEED.capital()
    return plan.where_to(session.round)


def facts_line(session: Session, vehicle: Vehicle) -> Text:
    """Rating and feed of the slot in hand, in a few words."""
    slot = slot_in_hand(session, vehicle)
    if slot is None:
        return NOTHING
    parts: list[Argument] = []
    if slot.fuse is not None:
        parts.append(given(slot.fuse.rating, "A"))
    parts.append(FEED[slot.feed_class].feed)
    return run_on(*parts, between=", ")


def in_hand(session: Session, vehicle: Vehicle) -> Text:
    """What is read now: slot and circuit, feed, the whole vehicle, or nothing any more."""
    feed, slot = feed_in_hand(session, vehicle), slot_in_hand(session, vehicle)
    if feed is not None:
        return run_on(feed.name)
    if slot is not None:
        return (
            run_on(look_up.slot_words(slot), slot.circuit)
            if slot.circuit
            else run_on(look_up.slot_words(slot))
        )
    return say("Current at rest") if session.round.kind == "whole" else NOTHING


def next_spot(session: Session, vehicle: Vehicle) -> tuple[Words, Words]:
    """Label and circuit of what comes after the place in hand; empty at the end of a round."""
    here = spot_in_hand(session)
    left = [spot for spot in spots_left(session, vehicle) if spot != here]
    order_ = list(spots_needed(session, vehicle, session.round))
    behind = order_[order_.index(here) + 1 :] if here in order_ else []
    following = next((spot for spot in behind if spot in left), left[0] if left else None)
    if following is None or here is None:
        return "", ""
    kind, place = following
    if kind == "feed":
        return look_up.feed(vehicle, place).name, ""
    slot = look_up.slot(vehicle, place)
    return look_up.slot_words(slot), slot.circuit


def would_say(session: Session, vehicle: Vehicle) -> Text:
    """What the figure that is being typed would mean: the current with its band."""
    slot, feed = slot_in_hand(session, vehicle), feed_in_hand(session, vehicle)
    fuse = slot.fuse if slot is not None else None if feed is None else feed.fuse
    if fuse is None or session.round.kind != "sweep":
        return NOTHING
    try:
        entry = entry_of(session)
    except InputProblem:
        return NOTHING
    if entry.value is None or entry.quantity != "millivolts":
        return NOTHING
    load = loads.load_through(vehicle, fuse, Reading(
        id="typed", when="2000-01-01", quantity="millivolts", value=entry.value,
        highest=entry.highest, meter=session.meter,
    ))  # fmt: skip
    return NOTHING if load is None else _load_words(load)


def _load_words(load: loads.Load) -> Text:
    if load.below_floor:
        return say("below {current}", current=Amount(load.high_a, "A", significant=2))
    return loads.band_words(load.current_a, load.low_a, load.high_a, "A")


def last_rows(vehicle: Vehicle) -> tuple[tuple[Words, Words, Words], ...]:
    """The last three readings, newest first: where, what was read, what it means."""
    return rows_of(vehicle, [reading for reading in vehicle.readings if reading.purpose == "probe"])


def rows_of(
    vehicle: Vehicle, readings: Sequence[Reading]
) -> tuple[tuple[Words, Words, Words], ...]:
    """The last three of these, newest first: where, what was read, what it means."""
    rows = []
    for reading in reversed(readings[-3:]):
        value: Words = evidence.value_words(reading)
        means: Words = ""
        if reading.withdrawn:
            means = say("taken back")
        elif reading.quantity == "millivolts" and reading.target == "slot":
            slot = next((s for s in look_up.slots(vehicle) if s.id == reading.target_id), None)
            load = None if slot is None else loads.load_of(vehicle, slot, reading)
            means = "" if load is None else _load_words(load)
        rows.append((_where(vehicle, reading), value, means))
    return tuple(rows)


def _where(vehicle: Vehicle, reading: Reading) -> Words:
    slots = {slot.id: look_up.slot_words(slot) for slot in look_up.slots(vehicle)}
    if reading.target == "panel":
        return evidence.fed_words(vehicle, reading.target_id)
    feeds = {feed.id: feed.name for feed in vehicle.feeds}
    names: Mapping[str, Words] = feeds if reading.target == "feed" else slots
    return names.get(reading.target_id, say("whole vehicle"))


def done_of(session: Session, vehicle: Vehicle) -> tuple[int, int]:
    """How many places of this round were read or skipped, of how many."""
    if session.round.kind == "whole":
        return 0, 0
    done = len(session.visited) + len(session.visited_feeds)
    return done, done + len(spots_left(session, vehicle))


def asked_here(session: Session, vehicle: Vehicle) -> tuple[Text, ...]:
    """What is to be read at the place in hand to be sure, and which doubts that settles."""
    spot = spot_in_hand(session)
    wanted = None if spot is None else to_be_sure.asked_at(vehicle, session.round, spot)
    if wanted is None:
        return () if spot is None else (where_to(session),)
    why = settles(to_be_sure.assessed(vehicle), wanted)
    return order(vehicle, wanted), why.capital()


def outcome(
    vehicle: Vehicle, a: Assessment, found: Sequence[Finding], verdict: Verdict
) -> tuple[Text, ...]:
    """The verdict once nothing is left to be read, and what else would have to be answered."""
    words = verdict_words(vehicle, a, found, verdict)
    left = to_be_sure.besides(vehicle)
    return (words, *(order(vehicle, each) for each in left[:MOST_ANSWERS]))


MOST_ANSWERS = 2
"""So many answers that need no reading are named at the end."""


def clock(session: Session, running: tuple[Timer, ...], now: datetime) -> tuple[Text, bool]:
    """The timer that matters most, and whether it is due."""
    minutes = after_lock_min(session, now)
    for kind in ("wait", "reread", "sleep"):
        for timer in running:
            if timer.kind != kind:
                continue
            if kind == "reread" and session.slot is not None:
                continue  # this walk is being read
            if not timer.over:
                return run_on(timer.clock, timer.words, between=" ▸ "), False
            if kind == "reread":
                return say("READ AGAIN NOW"), True
            if kind == "wait":
                return say("WAIT IS OVER"), True
            return say("asleep by now"), timer.left_s > -60
    if minutes is None:
        return NOTHING, False
    return say("locked {time} ago", time=given(round(minutes), "min")), False
