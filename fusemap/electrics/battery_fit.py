"""From what is printed on a battery to the constants of the two-well model.

In: capacity at the 20-hour rate C20 [Ah], reserve capacity [min at 25 A]. Out: k [1/h],
c [-] and r = qmax/C20 [-], and in words what was assumed. Two capacities leave one constant free,
so r is given, not fitted. All capacities are to 10.5 V.

Source: J. F. Manwell, J. G. McGowan, Solar Energy 50 (1993), fit of the constants to capacities.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from fusemap.electrics.two_well import mean_decay
from fusemap.electrics.values import Floats, Values, plain, require_finite, require_positive
from fusemap.errors import InputProblem
from fusemap.text import Text, given, say, share

RATED_HOURS = 20.0
"""Hours of the rated capacity C20 [h]."""

RESERVE_CURRENT_A = 25.0
"""Current of the reserve-capacity test [A], 27 °C, to 10.5 V (a car maker's service text, 2002)."""

R_MIN, R_MAX, R_STEP = 1.0, 1.15, 0.02
"""Believable range of qmax/C20 [-] and the step by which the fit raises it."""

_LN_K_LOW, _LN_K_HIGH = np.log(1e-3), np.log(1e3)


@dataclass(frozen=True)
class WellFit:
    """Constants of the two wells: k [1/h], c [-], r = qmax/C20 [-], C20 [Ah], what was assumed."""

    k_per_h: float
    c: float
    r: float
    capacity_ah: float
    assumed: tuple[Text, ...] = ()


@dataclass(frozen=True)
class CapacityGuess:
    """A capacity [Ah] guessed from another figure on the label, its band [Ah], what was assumed."""

    capacity_ah: float
    low_ah: float
    high_ah: float
    assumed: tuple[Text, ...]


def c_from_k(k_per_h: Values, r: Values) -> Values:
    """Share c of the available well with which C20 comes out exactly, for k_per_h [1/h] and r [-].

    Source: q1 = 0 after 20 h at C20/20 (Manwell and McGowan 1993). r = 1 gives 1: no bound well.
    Raises InputProblem for k not above 0 or r below 1.

    >>> round(c_from_k(1.0, 1.06), 4)
    0.4545
    """
    k = require_positive(k_per_h, "k_per_h", "1/h")
    r_array = require_finite(r, "r", "-")
    if (r_array < 1.0).any():
        raise InputProblem(
            say("{found} given, qmax cannot be below C20", found=given(float(r_array.min()))), "r"
        )
    return plain(1.0 / (1.0 + (r_array - 1.0) / mean_decay(RATED_HOURS * k)))


def load_factor(k_per_h: Values, c: Values, hours: Values) -> Floats:
    """qmax over the charge taken out when a constant current empties the battery in `hours` [h].

    k_per_h [1/h], c [-].
    Source: F = 1 + (1 - c)/c·(1 - e^(-k·t))/(k·t) (Manwell and McGowan 1993).

    >>> round(float(load_factor(1.0, c_from_k(1.0, 1.06), 20.0)), 6)
    1.06
    """
    c = np.asarray(c, dtype=np.float64)
    factor: Floats = 1.0 + (1.0 - c) / c * mean_decay(np.asarray(k_per_h) * hours)
    return factor


def default_wells(capacity_ah: float, k_per_h: float, r: float) -> WellFit:
    """Constants when the label gives C20 alone: k_per_h [1/h] and r [-] of the chemistry.

    capacity_ah [Ah]. Source: as c_from_k. Raises InputProblem as c_from_k does.

    >>> round(default_wells(70.0, 1.0, 1.06).c, 4)
    0.4545
    """
    require_positive(capacity_ah, "capacity_ah", "Ah")
    assumed = say(
        "high currents take out less, as usual for the chemistry; a very slow one gives {more} "
        "more than the 20-hour capacity",
        more=share(r - 1.0),
    )
    return WellFit(k_per_h, float(c_from_k(k_per_h, r)), r, capacity_ah, (assumed,))


def counting_wells(capacity_ah: float) -> WellFit:
    """Constants that make the model count the ampere-hours of capacity_ah [Ah]: one well (LiFePO4).

    Source: common practice for LiFePO4. Raises InputProblem for a capacity not above 0.

    >>> counting_wells(100.0).c
    1.0
    """
    require_positive(capacity_ah, "capacity_ah", "Ah")
    return WellFit(1.0, 1.0, 1.0, capacity_ah, (say("counts ampere-hours, no rate loss"),))


def fit_reserve(capacity_ah: float, reserve_min: float, r: float = 1.06) -> WellFit:
    """Constants from C20 and reserve capacity; r [-] is raised until a k fits.

    capacity_ah [Ah]; reserve_min at 25 A [min].
    Source: F(c(k), k, RC/60) = qmax/(25·RC/60); both labels then come out exactly.
    Limits: two labels do not fix r; a larger r lengthens slow discharges by as much.
    Raises InputProblem when no r up to 1.15 fits: the labels contradict each other.

    >>> fit = fit_reserve(70.0, 115.0)
    >>> round(fit.k_per_h, 4), round(fit.c, 4), fit.r
    (1.0896, 0.4334, 1.06)
    """
    require_positive(capacity_ah, "capacity_ah", "Ah")
    require_positive(reserve_min, "reserve_min", "min")
    hours = reserve_min / 60.0
    taken = RESERVE_CURRENT_A * hours
    trial = min(max(r, R_MIN + R_STEP), R_MAX)
    assumed = say(
        "a very slow discharge gives {more} more than the 20-hour capacity: capacity and reserve "
        "capacity leave it open",
        more=share(trial - 1.0),
    )
    while True:
        k = _k_for_reserve(hours, trial * capacity_ah / taken, trial)
        if k is not None:
            return WellFit(k, float(c_from_k(k, trial)), trial, capacity_ah, (assumed,))
        if trial >= R_MAX:
            raise InputProblem(
                say(
                    "{reserve} at 25 A cannot belong to {capacity} at 20 h",
                    reserve=given(float(reserve_min), "min"),
                    capacity=given(float(capacity_ah), "Ah"),
                ),
                "reserve_min",
                say("check both figures on the label, or leave the reserve out"),
            )
        trial = min(round(trial + R_STEP, 10), R_MAX)
        assumed = say(
            "a very slow discharge gives {more} more than the 20-hour capacity: with less the "
            "label's two do not fit",
            more=share(trial - 1.0),
        )


def _k_for_reserve(hours: float, wanted: float, r: float) -> float | None:
    """k [1/h] at which the load factor over the reserve time is `wanted`; None if there is none."""

    def miss(ln_k: float) -> float:
        k = float(np.exp(ln_k))
        return float(load_factor(k, c_from_k(k, r), hours)) - wanted

    grid = np.linspace(_LN_K_LOW, _LN_K_HIGH, 57)
    misses = np.array([miss(x) for x in grid])
    changes = np.flatnonzero(misses[:-1] * misses[1:] <= 0.0)
    if not len(changes):
        return None
    first = int(changes[0])
    return float(np.exp(_root(miss, float(grid[first]), float(grid[first + 1]))))


def _root(miss: Callable[[float], float], low: float, high: float) -> float:
    """Where `miss` changes its sign between `low` and `high`, by halving.

    scipy's solver needs fewer steps, but every window would wait for scipy at its start.
    """
    below = miss(low) < 0.0
    while high - low > 1e-13 * max(1.0, abs(low)):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        if (miss(middle) < 0.0) == below:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


AH_PER_RESERVE_MIN = 0.6
"""Charge for each minute of reserve [Ah/min] (a car maker's service bulletin on battery drain)."""


def capacity_from_reserve(reserve_min: float) -> CapacityGuess:
    """C20 guessed from the reserve capacity alone, reserve_min at 25 A [min], with a band.

    Source: total charge is about 0.6·RC (a car maker's service bulletin on battery drain). The
    band reaches to the other published rule of thumb, C20 = RC/2 + 16, and at least 10 % up and
    20 % down: a deep-cycle data sheet with both figures (225 Ah, 447 min) lies 16 % below the rule.
    Raises InputProblem for a reserve not above 0.

    >>> guess = capacity_from_reserve(115.0)
    >>> guess.capacity_ah, round(guess.low_ah, 1), round(guess.high_ah, 1)
    (69.0, 55.2, 75.9)
    """
    require_positive(reserve_min, "reserve_min", "min")
    guess, other = AH_PER_RESERVE_MIN * reserve_min, 0.5 * reserve_min + 16.0
    each = given(AH_PER_RESERVE_MIN, "Ah")
    return CapacityGuess(
        guess,
        min(0.8 * guess, other),
        max(1.1 * guess, other),
        (say("capacity taken as {charge} per minute of reserve", charge=each),),
    )


def capacity_from_cca(cca_en_a: float) -> CapacityGuess:
    """C20 [Ah] guessed from the cold-cranking amperes [A] by EN alone, ± 20 %.

    Source: C20 ≈ CCA/9, from memory, unverified: the weakest way to a capacity.
    Raises InputProblem for a current not above 0.

    >>> guess = capacity_from_cca(630.0)
    >>> guess.capacity_ah, round(guess.low_ah, 6), round(guess.high_ah, 6)
    (70.0, 56.0, 84.0)
    """
    require_positive(cca_en_a, "cca_en_a", "A")
    guess = cca_en_a / 9.0
    assumed = say("capacity taken as the cold-cranking amperes over 9, from memory, unverified")
    return CapacityGuess(guess, 0.8 * guess, 1.2 * guess, (assumed,))
