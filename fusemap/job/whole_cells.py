"""What is said of the whole vehicle: whether it holds, how long it stands, what is open.

In: a `Job`, and how long it stands. Out: `Cell`s, each a verdict, a figure with both its ends, and
two lines of words. Where nothing has a figure there is none: a nought is not made up.
"""

from collections.abc import Iterator
from math import isfinite
from typing import Final

import numpy as np
from msgspec import Struct

from fusemap.assess import Assessment
from fusemap.assess.currents import feeds_over
from fusemap.assess.hops.kind import HopFigures
from fusemap.assess.hops.limit import Limit
from fusemap.assess.result import HopKey
from fusemap.assess.sure_words import LINK_NAME
from fusemap.assess.verdict import Verdict, verdict_of
from fusemap.checks.finding import tap_words
from fusemap.checks.whole import NOT_KNOWN
from fusemap.job.standing_of import Job, Standing
from fusemap.text import (
    NOTHING,
    Amount,
    Argument,
    Duration,
    Text,
    Words,
    in_row,
    many,
    run_on,
    say,
    say_in,
    share,
)
from fusemap.vehicle import look_up

HOT: tuple[HopKey, ...] = ("live_contact", "host_fuse")
"""Hops that are those of a whole slot, with all that hangs there."""
TIMES = ("min", "h", "d")
"""Units of `brief`: one of them stands once behind both ends."""
NO_END: Final = say_in("end", "not known")
"""Stands for the end of a figure that nobody knows."""


class Cell(Struct, frozen=True):
    """A verdict in its shape, a figure or nothing, a title, and a line that says more.

    `short` says the same as `note` in fewer words, for where that has no room.
    """

    verdict: Verdict
    figure: Text
    title: Text
    note: Text
    short: Text = NOTHING


class Place(Struct, frozen=True):
    """Something in use held against its limit: `low` and `high` in its unit, ends of what it bears.

    `share` is the high end's share of the limit [-]; how far it is used by the worst of it.
    """

    verdict: Verdict
    name: Words
    low: Argument
    high: Argument
    share: float


# --- whether it holds -----------------------------------------------------------------------------


def holds_cell(job: Job) -> Cell:
    """Whether it holds, with the tightest place and its figure."""
    verdict = job.verdict
    place = tightest(job, verdict)
    title = {
        "holds": say("Holds"),
        "may_not_hold": say("May not hold"),
        "fails": say("Does not hold"),
        "unchecked": say("Cannot be checked yet"),
    }[verdict]
    if not job.vehicle.taps:
        return Cell(verdict, Text(""), title, say("nothing is placed yet"))
    figure = Text("") if place is None else span(place.low, place.high)
    return Cell(verdict, figure, title, *_holds_note(job, verdict, place))


def _holds_note(job: Job, verdict: Verdict, place: Place | None) -> tuple[Text, Text]:
    """Where, and how many places more; the same short."""
    where: list[Words] = [] if place is None else [place.name]
    if verdict == "fails":
        where += [each.where for each in job.found if each.severity == "stop"]
    elif verdict == "may_not_hold":
        where += [each.where for each in job.found if each.code.endswith("_may_not_hold")]
    elif verdict == "unchecked":
        where += [each.where for each in job.found if each.code in NOT_KNOWN]
    names = list(dict.fromkeys(where))
    if not names:
        return Text(""), Text("")
    if verdict == "holds":
        return say("tightest: {place}", place=names[0]), run_on(names[0])
    if len(names) == 1:
        return run_on(names[0]), Text("")
    more, all_ = len(names) - 1, many("{n} place", "{n} places", len(names))
    return many("{place}, and {n} more", "{place}, and {n} more", more, place=names[0]), all_


def span(low: Argument, high: Argument) -> Text:
    """A figure with both its ends, once where they are the same."""
    if str(low) == str(high):
        return run_on(high)
    if isinstance(low, Amount) and isinstance(high, Amount) and low.unit == high.unit == "%":
        low = Amount(round(low.value * 100), exact=True)
    elif isinstance(low, Amount) and isinstance(high, Amount) and low.unit == high.unit in TIMES:
        low = Amount(low.value, significant=low.significant, exact=low.exact)
    else:
        return say("{low} – {high}", low=low, high=high)
    return say("{low}–{high}", low=low, high=high)


def tightest(job: Job, verdict: Verdict) -> Place | None:
    """Of all that is in use and has this verdict the place that is nearest to, or past, its limit.

    What is reckoned in amperes comes before what is reckoned in volts, degrees or seconds.
    """
    found = [each for each in places(job) if each.verdict == verdict]
    return max(found, key=lambda each: (_in_per_cent(each), each.share), default=None)


def _in_per_cent(place: Place) -> bool:
    return isinstance(place.low, Amount) and place.low.unit == "%"


def places(job: Job) -> Iterator[Place]:
    """Everything in use that has a load and a limit."""
    yield from _feeds(job)
    yield from _slots(job)
    yield from _hops(job)
    yield from _beside(job)


def _feeds(job: Job) -> Iterator[Place]:
    a = job.a
    for column in np.flatnonzero(feeds_over(a.circuit).any(axis=1)).tolist():
        name = look_up.feed(job.vehicle, a.feeds.ids[column]).name
        known, most = (float(f.current_a[:, column].max()) for f in (a.feeds, a.most.feeds))
        limit, least = (float(f.limit_a[column]) for f in (a.feeds, a.most.feeds))
        yield from _in_share(name, known, most, limit, least)


def _slots(job: Job) -> Iterator[Place]:
    """Those that are tapped, and any that its own load is too much for."""
    a = job.a
    tapped = {int(at) for at in a.circuit.taps.slot if at >= 0}
    hot = np.flatnonzero(
        (a.slots.host_a > a.slots.host_limit_a).any(axis=0)
        | (a.slots.live_contact_a > a.slots.contact_limit_a).any(axis=0)
    )
    for column in sorted(tapped | set(hot.tolist())):
        slot = look_up.slot(job.vehicle, a.slots.ids[column])
        name = look_up.slot_with_circuit(slot)
        yield from _in_share(name, *_worst_of_slot(a, column), 1.0)


def _worst_of_slot(a: Assessment, column: int) -> tuple[float, float]:
    """Both ends of the largest share of a limit at a slot [-], as its card has them."""
    parts = []
    for current in ("host", "live_contact"):
        ends = (a.slots, a.most.slots)
        limits = [
            float((s.host_limit_a if current == "host" else s.contact_limit_a)[column])
            for s in ends
        ]
        loads = [float(getattr(s, f"{current}_a")[:, column].max()) for s in ends]
        if limits[1] > 0 and isfinite(limits[0]):
            parts.append([load / limit for load, limit in zip(loads, limits, strict=True)])
    if not parts:
        return float("nan"), float("nan")
    known, most = zip(*parts, strict=True)
    return max(known), max(most) if all(map(isfinite, most)) else float("nan")


def _hops(job: Job) -> Iterator[Place]:
    a = job.a
    for key, figures in a.hops.items():
        if key in HOT:
            continue
        for column in np.flatnonzero(figures.given).tolist():
            name = tap_words(a, look_up.tap(job.vehicle, a.taps.ids[column]))
            yield from _held(name, figures, column)


def _beside(job: Job) -> Iterator[Place]:
    """Cables of added feeds, leads behind converters, the link between two batteries."""
    a, vehicle = job.a, job.vehicle
    for figures in a.beside.feeds.values():
        for column in np.flatnonzero(figures.given).tolist():
            yield from _held(look_up.feed(vehicle, a.feeds.ids[column]).name, figures, column)
    named: list[tuple[Words, tuple[Limit, ...]]] = [
        (LINK_NAME, a.beside.link),
        *((look_up.accessory(vehicle, k).name, limits) for k, limits in a.beside.outputs.items()),
    ]
    for name, limits in named:
        for hop in (limit.hop for limit in limits):
            ends, bears = (hop.load, hop.end), (hop.limit, hop.hard)
            yield from _against(name, ends, bears, hop.unit, hop.at_most)


def _held(name: Words, figures: HopFigures, column: int) -> Iterator[Place]:
    ends = (float(figures.load[column]), float(figures.most[column]))
    limits = (float(figures.limit[column]), float(figures.hard[column]))
    return _against(name, ends, limits, figures.unit, figures.at_most)


def _against(
    name: Words, ends: tuple[float, float], limits: tuple[float, float], unit: str, at_most: bool
) -> Iterator[Place]:
    """Both ends of what one limit bears, and of that; a current as a share of it."""
    if at_most and unit == "A":
        yield from _in_share(name, *ends, *limits)
        return
    limit = limits[0]
    verdict = verdict_of(*ends, limit, at_most=at_most, least=limits[1])
    low, high = (_end(end, Amount(end, unit)) for end in sorted(ends, key=_last))
    used, bears = (ends[1], limit) if at_most else (limit, ends[1])
    part = used / bears if bears else float("inf")
    yield Place(verdict, name, low, high, part if isfinite(part) else float("inf"))


def _in_share(
    name: Words, known: float, most: float, limit: float, least: float | None = None
) -> Iterator[Place]:
    """A current as a share of its limit [%]; nothing where there is no limit."""
    if not (isfinite(limit) and limit > 0 and isfinite(known)):
        return
    most = max(known, most) if isfinite(most) else float("nan")
    hard = limit if least is None else least
    verdict = verdict_of(known, most, limit, least=hard)
    shares = (known / limit, most / hard if hard > 0 else float("inf"))
    low, high = (_end(each, share(each)) for each in shares)
    yield Place(verdict, name, low, high, shares[1] if isfinite(most) else float("inf"))


def _end(value: float, said: Argument) -> Argument:
    """An end as it is said; where nobody knows it, that."""
    return said if isfinite(value) else NO_END


def _last(value: float) -> tuple[bool, float]:
    """What is not known stands behind what is."""
    return (not isfinite(value), value)


# --- how long it stands ---------------------------------------------------------------------------


def days_cell(standing: Standing) -> Cell:
    """How long it starts, both ends, against the time planned."""
    verdict, days = standing.verdict, standing.planned_days
    if verdict == "unchecked":
        if not standing.battery_said:
            return no_days_cell(say("nobody said which battery it has"))
        return no_days_cell(say("for how long it is to stand was not said"))
    if standing.never:
        title = say("May not start even now")
        return Cell("fails", Text(""), title, *_counted(standing))
    title = {
        "holds": many("Stands {n} day", "Stands {n} days", days),
        "may_not_hold": many("May not stand {n} day", "May not stand {n} days", days),
        "fails": many("Will not stand {n} day", "Will not stand {n} days", days),
    }[verdict]
    return Cell(verdict, stands_for(standing), title, *_counted(standing))


def no_days_cell(why: Text) -> Cell:
    """What keeps anybody from saying how long it stands."""
    return Cell("unchecked", Text(""), say("How long it stands is not known"), why)


def stands_for(standing: Standing) -> Text:
    """For how long: “5–26 h”, “40 min–9 h”, from so long on where there is no other end."""
    low, high = standing.low_h, standing.high_h
    if not isfinite(low):
        return say("over {time}", time=brief(standing.horizon_h))
    if not isfinite(high) and low <= 0:
        return say("0 to over {time}", time=brief(standing.horizon_h))
    if not isfinite(high):
        return say("{time} or more", time=brief(low))
    last = brief(high)
    return span(brief(low) if low > 0 else Amount(0, last.unit, exact=True), last)


def brief(hours: float) -> Amount:
    """A time [h] with the symbol of its unit; minutes under two hours, days from two days on.

    >>> [str(brief(hours)) for hours in (0.66, 9.04, 287)]
    ['40\u202fmin', '9\u202fh', '12\u202fd']
    """
    if hours < 2:
        return Amount(round(hours * 60), "min", exact=True)
    if hours < 48:
        return Amount(hours, "h", significant=2)
    return Amount(hours / 24, "d", significant=2)


def _counted(standing: Standing) -> tuple[Text, Text]:
    """What is counted although it has no source yet; else how long half of such vehicles start.

    With it the same short.
    """
    if standing.unplaced:
        names = in_row(standing.unplaced, "and")
        few = many("with {n} unplaced", "with {n} unplaced", len(standing.unplaced))
        if not isfinite(standing.placed_h):
            return say("with unplaced {names}", names=names), few
        time = Duration(standing.placed_h)
        words = say("with unplaced {names}; else usually {time}", names=names, time=time)
        return words, say("{counted}; else usually {time}", counted=few, time=time)
    if standing.never or not isfinite(standing.middle_h):
        return Text(""), Text("")
    time = Duration(standing.middle_h)
    return say("half of such vehicles {time}", time=time), say("half: {time}", time=time)


# --- what is open ---------------------------------------------------------------------------------


def open_cell(job: Job) -> Cell:
    """How much is not said, not placed and not measured that matters."""
    told, left, read = len(job.unanswered), len(job.unplaced), len(job.asked)
    parts = []
    if told:
        parts.append(many("{n} to name", "{n} to name", told))
    if left:
        parts.append(many("{n} to place", "{n} to place", left))
    if read:
        parts.append(many("{n} to measure", "{n} to measure", read))
    if not parts and not job.vehicle.taps:
        return Cell("unchecked", Text(""), say("Nothing to ask yet"), say("nothing is placed yet"))
    if not parts:
        return Cell("holds", Text(""), say("Nothing open"), say("nothing left to ask that matters"))
    figure = run_on(Amount(told + left + read))
    return Cell("unchecked", figure, say_in("left to do", "Open"), in_row(parts))
