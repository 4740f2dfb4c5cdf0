"""A fuse's band and its cable's curve in words and rows. No Qt widgets.

In: a `TapBand`, the tap's `Chain`, a `Moment`. Out: a headline, what a current does, rows for CSV.
"""

from collections.abc import Iterator
from math import isfinite
from typing import Final

import numpy as np

from fusemap.assess.band import FuseBand, Moment, TapBand
from fusemap.assess.hops import PROTECTING
from fusemap.assess.result import Chain
from fusemap.electrics.operating_time import SeriesOrder
from fusemap.text import Amount, Text, run_on, say


def headline(band: TapBand, chain: Chain) -> Text:
    """Whether the fuse protects the cable, or what is missing to tell."""
    if band.missing:
        return say("This cannot be told: {missing}.", missing=run_on(*band.missing, between="; "))
    broken = [hop for hop in chain.hops if hop.key in PROTECTING and not hop.passed]
    if not broken:
        return say("The fuse protects this cable.")
    worst = max(broken, key=lambda hop: hop.share)
    return say("The fuse does not protect this cable. Worst: {hop}.", hop=worst.title)


def holds(band: TapBand, chain: Chain) -> bool:
    """Whether everything that can be told holds, and everything can be told."""
    return not band.missing and all(h.passed for h in chain.hops if h.key in PROTECTING)


_OPENS_FIRST: Final = {
    ("lower", "certain"): say("the accessory fuse opens first, for certain"),
    ("lower", "likely"): say("the accessory fuse probably opens first"),
    ("upper", "certain"): say("the host fuse opens first, for certain"),
    ("upper", "likely"): say("the host fuse probably opens first"),
}


def order_words(order: SeriesOrder | None, fault_a: float | None) -> Text | None:
    """Which of two fuses in series opens first, only as surely as it is known."""
    if order is None:
        return None
    first = _OPENS_FIRST.get(
        (order.first, order.sureness), say("which of the two fuses opens first is open")
    )
    if fault_a is None:
        return say("In a short at the accessory {first}.", first=first)
    current = Amount(fault_a, "A")
    return say("In a short at the accessory of {current} {first}.", current=current, first=first)


def reading(band: TapBand, moment: Moment) -> Text:
    """What one current does to fuse and cable."""
    parts = [_current_words(band, moment)]
    if moment.fuse_s is not None:
        parts.append(say("The fuse {opens}.", opens=opens_words(moment.fuse_s)))
    if moment.host_s is not None:
        parts.append(say("The host fuse {opens}.", opens=opens_words(moment.host_s)))
    if moment.cable_s is not None:
        parts.append(_bears_words(moment.cable_s))
    if moment.cable_s is None or isfinite(moment.cable_s):
        parts.append(_VERDICT.get(moment.verdict, Text("")))
    return run_on(*parts)


def _current_words(band: TapBand, moment: Moment) -> Text:
    current = Amount(moment.current_a, "A")
    if band.fuse is None:
        return say("At {current}:", current=current)
    times = Amount(moment.current_a / band.fuse.rating_a, significant=2)
    return say("At {current}, {times} times the fuse’s rating:", current=current, times=times)


def opens_words(seconds: tuple[float, float]) -> Text:
    """When a fuse opens, from what is published: “opens after 0.15 s to 5 s”."""
    soonest, latest = seconds
    if not isfinite(latest):
        if soonest <= 0:
            return say("may carry this for good or open, nothing is published")
        return say("carries this for at least {soonest}", soonest=short_time(soonest))
    if soonest <= 0:
        return say("opens within {latest}", latest=short_time(latest))
    return say(
        "opens after {soonest} to {latest}", soonest=short_time(soonest), latest=short_time(latest)
    )


def _bears_words(seconds: float) -> Text:
    if not isfinite(seconds):
        return say("The cable bears it for good.")
    return say("The cable bears it for {time}.", time=short_time(seconds))


_VERDICT: Final = {
    "fuse_first": say("The fuse opens before the cable is harmed."),
    "open": say("Which comes first is not known: the cable’s time lies within the fuse’s."),
    "cable_first": say("The cable is harmed before the fuse opens."),
}


def short_time(seconds: float) -> Amount:
    """A short time: “30 ms”, “0.75 s”, “10 min”, “1 h”.

    >>> [str(short_time(s)).replace("\\u202f", " ") for s in (0.03, 0.75, 5, 60, 3600, 360000)]
    ['30 ms', '0.75 s', '5 s', '1 min', '1 h', '100 h']
    """
    if seconds < 0.1:
        return Amount(seconds * 1000, "ms", significant=2)
    if seconds < 60:
        return Amount(seconds, "s", significant=2)
    if seconds < 3600:
        return Amount(seconds / 60, "min", significant=2)
    return Amount(seconds / 3600, "h")


HEADER = (
    "Current [A]",
    "Fuse opens no sooner than [s]",
    "Fuse opens no later than [s]",
    "Host fuse no sooner than [s]",
    "Host fuse no later than [s]",
    "Cable bears it for [s]",
)


def rows(band: TapBand) -> Iterator[tuple[float | None, ...]]:
    """The course for a CSV file; blank where nothing is published or it lasts for good."""
    for current in _currents(band):
        moment = band.at(float(current))
        fuse = moment.fuse_s or (None, None)
        host = moment.host_s or (None, None)
        yield (round(float(current), 4), *map(_cell, (*fuse, *host, moment.cable_s)))


def _currents(band: TapBand) -> np.ndarray:
    """Currents worth a row: the published points, those the tap has, and some in between."""
    low, high = band.span_a
    found = [*np.geomspace(low, high, 40), band.load_a]
    found += [] if band.fault_a is None else [band.fault_a]
    for each in (band.fuse, band.host):
        found += [] if each is None else _points(each, low, high)
    return np.unique(np.round([current for current in found if current > 0], 9))


def _points(band: FuseBand, low: float, high: float) -> list[float]:
    return [float(current) for current in band.point_a if low <= current <= high]


def _cell(seconds: float | None) -> float | None:
    if seconds is None or not isfinite(seconds) or seconds <= 0:
        return None
    return float(f"{seconds:.6g}")
