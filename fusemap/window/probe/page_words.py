"""What stands on the probing page: how far it is, what is known, what was read last, the timer.

In: the session and the vehicle. Out: texts; no widgets.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from fusemap.assess import Assessment
from fusemap.assess.sure_words import order, settles
from fusemap.assess.verdict import Verdict
from fusemap.checks import Finding, verdict_words
from fusemap.probing import conclusions, evidence, feed_loads, loads, plan, to_be_sure
from fusemap.probing.session import (
    NOTHING,
    Session,
    Timer,
    after_lock_min,
    feed_in_hand,
    rounds_left,
    slot_in_hand,
    spot_in_hand,
    spots_left,
)
from fusemap.probing.storing import HOW_A_FEED
from fusemap.text import Argument, Text, Words, given, many, run_on, say
from fusemap.vehicle import Vehicle, look_up
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
    if session.slot is None or len(vehicle.panels) < 2:
        return left
    return run_on(look_up.panel_of(vehicle, session.slot).name, left, between=" · ")


def known(session: Session, vehicle: Vehicle) -> Text:
    """What is known of the slot or feed in hand; with none in hand, the rounds that are left."""
    return run_on(*_known_lines(session, vehicle), between="\n")


def _known_lines(session: Session, vehicle: Vehicle) -> Iterator[Argument]:
    if session.round.kind == "whole":
        yield from loads.tracing_words(vehicle)
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


def read_last(vehicle: Vehicle) -> Text:
    """The last readings, newest first."""
    slots = {slot.id: look_up.slot_words(slot) for slot in look_up.slots(vehicle)}
    feeds = {feed.id: feed.name for feed in vehicle.feeds}
    lines = []
    probed = [reading for reading in vehicle.readings if reading.purpose == "probe"]
    for reading in reversed(probed[-3:]):
        names: Mapping[str, Words] = feeds if reading.target == "feed" else slots
        name = names.get(reading.target_id, say("whole vehicle"))
        value: Argument = evidence.value_words(reading)
        if reading.withdrawn:
            value = say("{value} (taken back)", value=value)
        lines.append(run_on(reading.when[11:16], run_on(name, value, between=": "), between="  "))
    return run_on(*lines, between="\n")


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
