"""From ranges of what is not known to a band of the answer, and to what is worth measuring.

In: for each uncertain input its lowest, typical and highest value (any unit). Out: draws for a
Monte Carlo, quantiles of the answer, and how much each input matters, by rank over all draws. The
formulas between are the caller's: they take arrays of shape (draws,).

The distribution of a `Range` is triangular: its ends are bounds that a person can name, physical
limits (a charge of 1) hold without clipping, and three numbers fix it. `Tenths` are for a figure
of which is known between which values eight of ten cases lie, and no bounds: a normal distribution
of two halves, which the two tenths fix; it is cut where one case in two hundred lies.

Source: triangular distribution by its inverse; one draw from each of n equal parts of each input
(Latin hypercube: McKay, Beckman and Conover, Technometrics 21 (1979)); Spearman's rank correlation.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from statistics import NormalDist
from typing import Final, NamedTuple
from zlib import crc32

import numpy as np
from msgspec import Struct

from fusemap.electrics.values import Floats, require_finite
from fusemap.errors import InputProblem
from fusemap.text import in_row, say

Range = tuple[float, float, float]
"""Lowest, typical, highest value of one input."""

TENTH: Final = -NormalDist().inv_cdf(0.1)
CUT: Final = -NormalDist().inv_cdf(0.005)


class Tenths(NamedTuple):
    """Below `low` and above `high` lies a tenth of the cases each, below `typical` half of them."""

    low: float
    typical: float
    high: float


def draws(ranges: Mapping[str, Range], n: int = 1000, seed: int = 1) -> dict[str, Floats]:
    """n [-] values of every input (n,), triangular between its ends, its peak at the typical value;
    those of `Tenths` as this module's text says.

    Each input's n values come one from each n-th of its probability, in random order; inputs are
    independent. The same seed [-] gives the same draws, to each name its own whatever else is
    asked: so what an added input changes is its effect and no noise (common random numbers).
    ranges: [any unit]. Source: McKay, Beckman and Conover 1979. Raises InputProblem that names the
    input.

    >>> found = draws({"soh": (0.6, 0.85, 1.0), "rest_a": (0.02, 0.02, 0.02)}, n=200)
    >>> float(found["soh"].min()) > 0.6, round(float(found["soh"].mean()), 3)
    (True, 0.817)
    >>> set(found["rest_a"].tolist())
    {0.02}
    """
    if n < 1:
        raise InputProblem(say("{n} draws wanted, one at least is needed", n=n), "n")
    found = {}
    for name, each in ranges.items():
        rng = np.random.default_rng((seed, crc32(name.encode())))
        low, typical, high = _checked(name, each)
        width = high - low
        if width == 0.0:
            found[name] = np.full(n, typical)
            continue
        if isinstance(each, Tenths):
            found[name] = _split_normal(each, _normal_points(n)[rng.permutation(n)])
            continue
        share = (rng.permutation(n) + rng.random(n)) / n
        below = share * width <= typical - low
        # roots apart: the product of two absurd widths would be beyond any number
        from_low = low + np.sqrt(share * width) * np.sqrt(typical - low)
        from_high = high - np.sqrt((1.0 - share) * width) * np.sqrt(high - typical)
        found[name] = np.where(below, from_low, from_high)
    return found


@lru_cache(maxsize=8)
def _normal_points(n: int) -> Floats:
    """The middles of n equal parts of a normal distribution, cut at both ends."""
    normal = NormalDist()
    return np.clip([normal.inv_cdf((i + 0.5) / n) for i in range(n)], -CUT, CUT)


def _split_normal(each: Tenths, z: Floats) -> Floats:
    below, above = each.typical - each.low, each.high - each.typical
    return each.typical + z / TENTH * np.where(z < 0.0, below, above)


def _checked(name: str, values: Range) -> Range:
    low, typical, high = (float(value) for value in require_finite(values, name, "-"))
    if not low <= typical <= high:
        raise InputProblem(say("{values} do not rise", values=in_row([low, typical, high])), name)
    return low, typical, high


class Band(Struct, frozen=True):
    """Values that 5, 50 and 95 % of the draws stay below, in the answer's unit."""

    low: float
    middle: float
    high: float


def quantiles(values: Floats, shares: tuple[float, ...]) -> list[float]:
    """The values that these shares [-] of the draws stay below or at; each is one of the draws.

    values (draws,) [any unit]; not a number sorts last. Source: inverse of the sample's
    distribution, common practice (numpy's `quantile` by `inverted_cdf`, which takes longer).

    >>> quantiles(np.array([3.0, 1.0, np.inf, 2.0]), (0.05, 0.5, 0.95))
    [1.0, 2.0, inf]
    """
    ordered = np.sort(values)
    # what a product of floats is too large by must not take the next draw
    places = np.ceil(np.multiply(shares, len(ordered)) - 1e-9).astype(int) - 1
    return [float(value) for value in ordered[np.clip(places, 0, len(ordered) - 1)]]


def band(values: Floats) -> Band:
    """The 5, 50 and 95 % quantiles of an answer; each is one of the draws, so inf may be.

    values (draws,) [any unit]. Source: quantiles of the sample, common practice.
    Raises InputProblem where there are none.

    >>> band(np.array([1.0, 2.0, 3.0, np.inf]))
    Band(low=1.0, middle=2.0, high=inf)
    """
    if not np.size(values):
        raise InputProblem(say("no draws given"), "values")
    return Band(*quantiles(values, (0.05, 0.5, 0.95)))


class Share(Struct, frozen=True):
    """How much one input matters: its share of the whole [-], and whether it lifts the answer."""

    name: str
    share: float
    lifts: bool


def what_matters_most(inputs: Mapping[str, Floats], answer: Floats) -> tuple[Share, ...]:
    """Shares of the inputs in the spread of an answer, the largest first.

    inputs, answer: (draws,) [any unit]. Source: Spearman's rank correlation.
    Each is the square of the rank correlation between input and answer over the sum of all; ranks
    need no straight line and take inf as the largest. Shares of a few per cent are noise at 1,000
    draws. All are 0 where the answer does not vary. Raises InputProblem where lengths differ.

    >>> found = draws({"big": (0.0, 1.0, 2.0), "small": (0.0, 0.1, 0.2)})
    >>> shares = what_matters_most(found, found["big"] - found["small"])
    >>> [(each.name, round(each.share, 1), each.lifts) for each in shares]
    [('big', 1.0, True), ('small', 0.0, False)]
    """
    answer_ranks = _ranks(answer)
    found = {}
    for name, values in inputs.items():
        if np.shape(values) != np.shape(answer):
            raise InputProblem(say("as many values as answers are needed"), name)
        found[name] = _correlation(_ranks(values), answer_ranks)
    whole = sum(each**2 for each in found.values()) or 1.0
    shares = (Share(name, each**2 / whole, each > 0.0) for name, each in found.items())
    return tuple(sorted(shares, key=lambda share: -share.share))


def _ranks(values: Floats) -> Floats:
    """Rank of each value from 0, equal values sharing the mean of theirs, less the mean rank."""
    _, group, counts = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(counts)
    return np.asarray((last - (counts + 1) / 2.0)[group] - (len(group) - 1) / 2.0)


def _correlation(x: Floats, y: Floats) -> float:
    scale = float(np.sqrt((x @ x) * (y @ y)))
    return float(x @ y) / scale if scale > 0.0 else 0.0
