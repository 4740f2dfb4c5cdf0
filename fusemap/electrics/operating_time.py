"""When a fuse opens, and which of two in series opens first: brackets, never a single time.

In: current over rating [-], the published operating times of a fuse family [s]; for two fuses both
ratings [A], melting I²t [A²s] and the fault current [A]. Out: no sooner than / no later than [s],
the I²t let through [A²s]; the first to open with "certain", "likely" or "open". The order is asked
for a reversed tap, a splice, and an accessory fuse below a slot's.

Source: fuse makers' data sheets and ISO 8820 test points for the figures (given by the caller).
Only melting I²t is published for these fuses, not clearing I²t, so the order is often no more than
likely.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from fusemap.electrics.values import (
    Floats,
    Values,
    plain,
    require_fit,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import say


class Band(NamedTuple):
    """The fuse opens no sooner than min_s and no later than max_s [s]; 0 and inf where unknown."""

    min_s: Values
    max_s: Values


class TimePoints(Struct, frozen=True, eq=False):
    """The published operating times of a fuse family.

    multiple: current over rating [-]; min_s, max_s [s]: the bounds at each, 0 or inf where none is
    published; arrays of shape (n,), multiples rising. Raises InputProblem if they do not rise, or a
    latest time lies before its soonest.

    >>> mini = TimePoints([1.1, 1.35, 2.0, 3.5, 6.0], [360e3, 0.75, 0.15, 0.08, 0.03],
    ...                   [float("inf"), 600, 5, 0.5, 0.1])
    >>> mini.band(1.89)
    Band(min_s=0.15, max_s=600.0)
    """

    multiple: ArrayLike
    min_s: ArrayLike
    max_s: ArrayLike

    def __post_init__(self) -> None:
        multiple = require_positive(self.multiple, "multiple", "-")
        if np.any(np.diff(multiple) <= 0.0):
            raise InputProblem(say("the multiples must rise"), "multiple")
        low = require_fit(require_not_negative(self.min_s, "min_s", "s"), multiple, "min_s")
        high = require_positive(self.max_s, "max_s", "s", endless=True)
        if np.any(low > require_fit(high, multiple, "max_s")):
            raise InputProblem(say("the latest lies before the soonest"), "max_s")

    def band(self, multiple: ArrayLike) -> Band:
        """Bracket of the operating time [s] at a current over rating, number or array.

        multiple: current over rating [-]. A larger current opens the fuse sooner. So it is no
        sooner than the min of the next higher point, no later than the max of the next lower one;
        nothing is read in between. Above the highest point the min is 0, below the lowest the max
        is inf. Raises InputProblem for a negative multiple.
        Source: the published points and monotony.
        """
        x = require_not_negative(multiple, "multiple", "-")
        points, low, high = self._arrays()
        sooner = np.append(np.maximum.accumulate(low[::-1])[::-1], 0.0)
        later = np.insert(np.minimum.accumulate(high), 0, np.inf)
        above = np.searchsorted(points, x, side="left")
        below = np.searchsorted(points, x, side="right")
        return Band(plain(sooner[above]), plain(later[below]))

    def let_through_i2t(self, rating_a: ArrayLike, longest_s: float = 5.0) -> Values:
        """Largest I²t [A²s] at a published point that opens within longest_s [s].

        rating_a [A]. Points that may take longer are no short circuit: see the overload gap. 0 if
        no point opens that fast. Between two points no more is let through than at the lower one,
        because the I²t that opens a fuse falls as the current rises. Raises InputProblem for a
        rating of zero or less. Source: (multiple × rating)² × longest time of each point.

        >>> mini = TimePoints([2.0, 3.5, 6.0], [0.15, 0.08, 0.03], [5, 0.5, 0.1])
        >>> mini.let_through_i2t(10.0)  # twice the rating for 5 s
        2000.0
        """
        rating = require_positive(rating_a, "rating_a", "A")
        points, _, high = self._arrays()
        fast = high <= longest_s
        worst = float((points[fast] ** 2 * high[fast]).max(initial=0.0))
        return plain(rating**2 * worst)

    def _arrays(self) -> tuple[Floats, Floats, Floats]:
        multiple = np.asarray(self.multiple, dtype=np.float64)
        low = require_fit(self.min_s, multiple, "min_s")
        return multiple, low, require_fit(self.max_s, multiple, "max_s")


LIKELY_RATIO = 2.0
"""Melting I²t of the one fuse over the other's [-] from which the order counts as likely; ours:
the arc of the smaller one adds to its melting I²t and is not published."""

CLEAR_OVERLOAD = 2.0
"""Current over the larger rating [-] below which melting I²t tells nothing: heat has time to leave
the element; ours."""


class SeriesFuse(Struct, frozen=True, eq=False):
    """One of two fuses in series: rating [A], published times, melting I²t [A²s] if known."""

    rating_a: float
    points: TimePoints
    melting_i2t_a2s: float | None = None


class SeriesOrder(Struct, frozen=True, eq=False):
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
