"""A fuse's band and its cable's curve in words and rows. No Qt widgets.

In: a `TapBand`, the tap's `Chain`, a `Moment`. Out: a headline, what a current does, rows for CSV.
"""

from collections.abc import Iterator
from math import isfinite

import numpy as np
from PySide6.QtCore import QCoreApplication

from fusemap.assess.band import FuseBand, Moment, TapBand
from fusemap.assess.hops import PROTECTING
from fusemap.assess.result import Chain
from fusemap.electrics.fuse_order import SeriesOrder
from fusemap.window.texts.languages import said
from fusemap.window.texts.numbers import digits, quantity


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("BandView", text)


def headline(band: TapBand, chain: Chain) -> str:
    """Whether the fuse protects the cable, or what is missing to tell."""
    if band.missing:
        words = "; ".join(said(each) for each in band.missing)
        return tr("This cannot be told: {missing}.").format(missing=words)
    broken = [hop for hop in chain.hops if hop.key in PROTECTING and not hop.passed]
    if not broken:
        return tr("The fuse protects this cable.")
    worst = max(broken, key=lambda hop: hop.share)
    return tr("The fuse does not protect this cable. Worst: {hop}.").format(hop=said(worst.title))


def holds(band: TapBand, chain: Chain) -> bool:
    """Whether everything that can be told holds, and everything can be told."""
    return not band.missing and all(h.passed for h in chain.hops if h.key in PROTECTING)


def order_words(order: SeriesOrder | None, fault_a: float | None) -> str:
    """Which of two fuses in series opens first, only as surely as it is known."""
    if order is None:
        return ""
    at = "" if fault_a is None else tr(" of {current}").format(current=quantity(fault_a, "A"))
    first = {
        ("lower", "certain"): tr("the accessory fuse opens first, for certain"),
        ("lower", "likely"): tr("the accessory fuse probably opens first"),
        ("upper", "certain"): tr("the host fuse opens first, for certain"),
        ("upper", "likely"): tr("the host fuse probably opens first"),
    }.get((order.first, order.sureness))
    if first is None:
        first = tr("which of the two fuses opens first is open")
    return tr("In a short at the accessory{at} {first}.").format(at=at, first=first)


def reading(band: TapBand, moment: Moment) -> str:
    """What one current does to fuse and cable."""
    parts = [_current_words(band, moment)]
    if moment.fuse_s is not None:
        parts.append(tr("The fuse {opens}.").format(opens=opens_words(moment.fuse_s)))
    if moment.host_s is not None:
        parts.append(tr("The host fuse {opens}.").format(opens=opens_words(moment.host_s)))
    if moment.cable_s is not None:
        parts.append(_bears_words(moment.cable_s))
    if moment.cable_s is None or isfinite(moment.cable_s):
        parts.append(_verdict_words(moment))
    return " ".join(part for part in parts if part)


def _current_words(band: TapBand, moment: Moment) -> str:
    current = quantity(moment.current_a, "A")
    if band.fuse is None:
        return tr("At {current}:").format(current=current)
    times = digits(moment.current_a / band.fuse.rating_a, 2)
    return tr("At {current}, {times} times the fuse’s rating:").format(current=current, times=times)


def opens_words(seconds: tuple[float, float]) -> str:
    """When a fuse opens, from what is published: “opens after 0.15 s to 5 s”."""
    soonest, latest = seconds
    if not isfinite(latest):
        if soonest <= 0:
            return tr("may carry this for good or open, nothing is published")
        return tr("carries this for at least {soonest}").format(soonest=time_words(soonest))
    if soonest <= 0:
        return tr("opens within {latest}").format(latest=time_words(latest))
    return tr("opens after {soonest} to {latest}").format(
        soonest=time_words(soonest), latest=time_words(latest)
    )


def _bears_words(seconds: float) -> str:
    if not isfinite(seconds):
        return tr("The cable bears it for good.")
    return tr("The cable bears it for {time}.").format(time=time_words(seconds))


def _verdict_words(moment: Moment) -> str:
    return {
        "fuse_first": tr("The fuse opens before the cable is harmed."),
        "open": tr("Which comes first is not known: the cable’s time lies within the fuse’s."),
        "cable_first": tr("The cable is harmed before the fuse opens."),
        "unknown": "",
    }[moment.verdict]


def time_words(seconds: float) -> str:
    """A short time: “30 ms”, “0.75 s”, “10 min”, “1 h”.

    >>> [time_words(s).replace("\\u202f", " ") for s in (0.03, 0.75, 5, 60, 600, 3600, 360000)]
    ['30 ms', '0.75 s', '5 s', '1 min', '10 min', '1 h', '100 h']
    """
    if seconds < 0.1:
        return quantity(seconds * 1000, "ms", 2)
    if seconds < 60:
        return quantity(seconds, "s", 2)
    if seconds < 3600:
        return quantity(seconds / 60, "min", 2)
    return quantity(seconds / 3600, "h", 3)


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
