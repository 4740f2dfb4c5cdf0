"""Which of two fuses in series opens first, and how sure that is.

In: both ratings [A], published times, melting I²t [A²s], the fault current [A]. Out: the first to
open with "certain", "likely" or "open". Asked for a reversed tap, a splice, and an accessory fuse
below a slot's.

Source: fuse makers' data sheets for the figures (given by the caller). Only melting I²t is
published for these fuses, not clearing I²t, so the order is often no more than likely.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fusemap.electrics.operating_time import TimePoints
from fusemap.electrics.values import Floats, require_positive

LIKELY_RATIO = 2.0
"""Melting I²t of the one fuse over the other's [-] from which the order counts as likely; ours:
the arc of the smaller one adds to its melting I²t and is not published."""

CLEAR_OVERLOAD = 2.0
"""Current over the larger rating [-] below which melting I²t tells nothing: heat has time to leave
the element; ours."""


@dataclass(frozen=True, eq=False)
class SeriesFuse:
    """One of two fuses in series: rating [A], published times, melting I²t [A²s] if known."""

    rating_a: float
    points: TimePoints
    melting_i2t_a2s: float | None = None


@dataclass(frozen=True, eq=False)
class SeriesOrder:
    """Which of two fuses in series opens first, how sure that is, and the figures behind it.

    first: "lower", "upper" or "" if nothing tells; sureness: "certain" (their published times do
    not overlap), "likely" (melting I²t lie far enough apart) or "open". Times [s]; ratio of the
    melting I²t, upper over lower [-].
    """

    first: str
    sureness: str
    lower_s: tuple[float, float]
    upper_s: tuple[float, float]
    melting_ratio: float | None


def series_order(lower: SeriesFuse, upper: SeriesFuse, fault_a: float) -> SeriesOrder:
    """Which of two fuses in series opens first at a fault current [A], and how sure that is.

    lower: the one nearer the fault. Certain only where one must have opened before the other can;
    likely where the melting I²t of one is at least twice the other's and the current is above
    twice both ratings (below, I²t says nothing); else open. Raises InputProblem for bad figures.
    Source: published time points; the factor 2 is ours, as clearing I²t is not published.

    >>> points = TimePoints([1.35, 2.0, 3.5, 6.0], [0.75, 0.15, 0.08, 0.03], [600, 5, 0.5, 0.1])
    >>> order = series_order(SeriesFuse(5.0, points, 25.0), SeriesFuse(15.0, points, 270.0), 150.0)
    >>> order.first, order.sureness
    ('lower', 'likely')
    """
    current = float(require_positive(fault_a, "fault_a", "A"))
    low, high = (_times(fuse, current) for fuse in (lower, upper))
    ratio = _melting_ratio(lower, upper)
    first, sureness = "", "open"
    hard = current >= CLEAR_OVERLOAD * max(lower.rating_a, upper.rating_a)
    if low[1] < high[0]:
        first, sureness = "lower", "certain"
    elif high[1] < low[0]:
        first, sureness = "upper", "certain"
    elif hard and ratio is not None and ratio >= LIKELY_RATIO:
        first, sureness = "lower", "likely"
    elif hard and ratio is not None and ratio <= 1.0 / LIKELY_RATIO:
        first, sureness = "upper", "likely"
    return SeriesOrder(first, sureness, low, high, ratio)


def _times(fuse: SeriesFuse, current: float) -> tuple[float, float]:
    rating = require_positive(fuse.rating_a, "rating_a", "A")
    band = fuse.points.band(current / rating)
    return float(np.asarray(band.min_s)), float(np.asarray(band.max_s))


def _melting_ratio(lower: SeriesFuse, upper: SeriesFuse) -> float | None:
    """Melting I²t of the upper fuse over the lower one's [-], if both are known."""
    if lower.melting_i2t_a2s is None or upper.melting_i2t_a2s is None:
        return None
    top: Floats = require_positive(upper.melting_i2t_a2s, "melting_i2t_a2s", "A²s")
    return float(top / require_positive(lower.melting_i2t_a2s, "melting_i2t_a2s", "A²s"))
