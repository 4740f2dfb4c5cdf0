"""The two-well battery with a first-order leak, in closed form, and its constants.

Current is constant. Charge sits in two wells: an available one (width c) that feeds the load, and a
bound one (width 1 - c) that feeds the available one. State: q, charge in both wells [Ah]; d,
difference of the two heads [Ah]. In: current [A, drawn positive], leak s [1/h], well constants.
Out: state after a time [h], or the time until a level. u = q - (1 - c)·d is the height of the
available well ("surface charge" [Ah]): q1 = c·u, and a load stops when u = 0.

Every argument of these is a number or an array; arrays broadcast, so one call serves all draws of a
Monte Carlo. Nothing here knows volts or temperature: see battery.py.

The constants k [1/h], c [-] and r = qmax/C20 [-] follow from what is printed on a battery: capacity
at the 20-hour rate C20 [Ah] and reserve capacity [min at 25 A], with what was assumed in words. Two
capacities leave one constant free, so r is given, not fitted. All capacities are to 10.5 V.

Source: J. F. Manwell, J. G. McGowan, "Lead acid battery storage model for hybrid energy systems",
Solar Energy 50 (1993), section 2 and the fit of the constants to capacities; the first-order leak
on both wells is ours.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from fusemap.electrics.values import Floats, Values, plain, require_finite, require_positive
from fusemap.errors import InputProblem
from fusemap.text import Amount, Text, given, say, share

TINY = 1e-200
"""Stands for a leak of 0 [1/h], so that one formula serves all; its terms come out exactly."""


def mean_decay(x: Values) -> Floats:
    """Mean of e^(-y) over y from 0 to x [-], (1 - e^(-x))/x, 1 at x = 0; x is not negative.

    Source: the integral, common practice.

    >>> float(mean_decay(0.0)), round(float(mean_decay(1.0)), 6)
    (1.0, 0.632121)
    """
    x = np.maximum(x, TINY)
    return np.asarray(-np.expm1(-x) / x)


def charge_after(q: Values, current: Values, leak: Values, hours: Values) -> Floats:
    """Charge left [Ah] of q [Ah] after `hours` [h] at constant `current` [A] and `leak` [1/h].

    Source: dq/dt = -leak·q - current, solved exactly; leak 0 gives q - current·hours.

    >>> float(charge_after(70.0, 3.5, 0.0, 20.0))
    0.0
    """
    rate = np.maximum(leak, TINY)
    return np.asarray(q + np.expm1(-rate * hours) * (q + current / rate))


def head_after(d: Values, current: Values, rate: Values, c: Values, hours: Values) -> Floats:
    """Head difference [Ah] of d [Ah] after `hours` [h] at constant `current` [A].

    `rate` [1/h] is k + leak, `c` [-] the share of the available well.
    Source: dd/dt = -(k + leak)·d + current/c (Manwell and McGowan 1993, with the leak).

    >>> round(float(head_after(0.0, 5.0, 1.0, 0.5, 100.0)), 6)  # settles at current/(c·rate)
    10.0
    """
    rate = np.maximum(rate, TINY)
    return np.asarray(d + np.expm1(-rate * hours) * (d - current / (c * rate)))


def surface(q: Values, d: Values, c: Values) -> Floats:
    """Surface charge u, the head of the available well: q - (1 - c)·d.

    q, d [Ah]; c [-]. Source: Manwell and McGowan 1993, u = q1/c.
    """
    return np.asarray(q - (1.0 - np.asarray(c)) * d)


def surface_slope(
    q: Values, d: Values, current: Values, leak: Values, k: Values, c: Values
) -> Floats:
    """Rate of change of the surface charge [Ah/h = A] in a state q, d [Ah] at current [A].

    leak [1/h], k [1/h], c [-]. Source: the two equations of this module, differentiated.
    """
    c, leak = np.asarray(c), np.asarray(leak)
    return (1.0 - c) * (k + leak) * d - leak * q - np.asarray(current) / c


def time_to_charge(q: Values, target: Values, current: Values, leak: Values) -> Floats:
    """Hours [h] until the charge goes from `q` [Ah] to `target` [Ah]; inf if never.

    At constant `current` [A] and `leak` [1/h].
    Source: t = ln((s·q + I)/(s·target + I))/s, written so that a leak towards 0 loses no digits.

    >>> float(time_to_charge(70.0, 35.0, 0.05, 0.0))
    700.0
    >>> round(float(time_to_charge(70.0, 35.0, 0.0, 1e-3)), 6)  # leak alone: ln 2 / s
    693.147181
    """
    q, target = np.asarray(q, dtype=np.float64), np.asarray(target, dtype=np.float64)
    drop = q - target
    end_rate = np.asarray(leak * target + current, dtype=np.float64)
    reached = (drop * end_rate > TINY) | (drop == 0.0)
    rate = np.where(np.abs(end_rate) < TINY, 1.0, end_rate)
    x = np.where(reached, leak * drop / rate, 0.0)
    safe = np.where(x == 0.0, 1.0, x)
    shape = np.where(x == 0.0, 1.0, np.log1p(safe) / safe)
    return np.where(reached, drop / rate * shape, np.inf)


def current_between(q: Values, later: Values, leak: Values, hours: Values) -> Floats:
    """Constant current [A] that takes the charge from `q` [Ah] to `later` [Ah] in `hours` [h].

    leak [1/h]. Source: charge_after, solved for the current.

    >>> round(float(current_between(70.0, charge_after(70.0, 0.5, 1e-3, 24.0), 1e-3, 24.0)), 9)
    0.5
    """
    leak, hours = np.asarray(leak), np.asarray(hours)
    lost = q * np.exp(-leak * hours) - later
    return np.asarray(lost / (hours * mean_decay(leak * hours)))


class SurfaceCourse:
    """Surface charge over time at constant current: u0 + a·(e^(-s·t) - 1) + b·(e^(-r·t) - 1) [Ah].

    s is the leak, r = k + s [1/h]; a = q + I/s, b = -(1 - c)·(d - I/(c·r)) [Ah]. Every field is an
    array, all of one shape; from the closed forms of `charge_after` and `head_after`.
    """

    def __init__(
        self, q: Values, d: Values, current: Values, leak: Values, k: Values, c: Values
    ) -> None:
        share = 1.0 - np.asarray(c)
        self.s, self.k = np.maximum(leak, TINY), np.asarray(k)
        self.r = self.s + self.k
        self.start = q - share * d
        self.sa = self.s * q + current  # s·a, exact however small the leak
        self.a = self.sa / self.s
        self.b = share * (current / (c * self.r) - d)

    def at(self, hours: Values) -> Floats:
        """Surface charge [Ah] at `hours` [h]. Source: charge_after and head_after."""
        slow, fast = np.expm1(-self.s * hours), np.expm1(-self.r * hours)
        return np.asarray(self.start + self.a * slow + self.b * fast)

    def slope(self, hours: Values) -> Floats:
        """Its rate of change [Ah/h = A] at `hours` [h]. Source: as at, differentiated."""
        slow, fast = np.exp(-self.s * hours), np.exp(-self.r * hours)
        return np.asarray(-self.sa * slow - self.r * self.b * fast)

    def turn(self) -> Floats:
        """Hours [h] until it turns, its one extremum ahead; inf if it never does.

        There s·a·e^(-s·t) = -r·b·e^(-r·t), so k·t = ln(-r·b/(s·a)).
        """
        slow, fast = self.sa, -self.r * self.b
        turns = (fast * slow > 0.0) & (np.abs(fast) > np.abs(slow)) & (self.k > 0.0)
        if not turns.any():
            return np.full(turns.shape, np.inf)
        fast, slow = np.log(np.abs(np.where(turns, (fast, slow), 1.0)))
        return np.where(turns, (fast - slow) / np.where(self.k > 0.0, self.k, 1.0), np.inf)

    def first_time_at(self, level: Values, hours: Values, falling: bool = True) -> Floats:
        """First time [h] within `hours` at which it falls (or rises) to `level` [Ah]; inf if never.

        0 where it is already there or beyond. The two monotone stretches on either side of the
        turning point are tried in turn, so that a short dip is not missed. Source: ours.
        """
        sign = 1.0 if falling else -1.0
        turn = np.minimum(self.turn(), hours)
        there = sign * (self.start - level) <= 0.0
        late = sign * (self.at(hours) - level) <= 0.0
        early = sign * (self.at(turn) - level) <= 0.0
        result = np.where(there, 0.0, np.full(early.shape, np.inf))
        pick = (early | late) & ~there
        if pick.any():
            low, high = np.where(early, 0.0, turn)[pick], np.where(early, turn, hours)[pick]
            level = np.broadcast_to(level, pick.shape)[pick]
            result[pick] = self._part(pick)._solve(level, low, high)
        return result

    def _part(self, pick: NDArray[np.bool_]) -> SurfaceCourse:
        """The courses of some entries."""
        if pick.all():
            return self
        found = object.__new__(SurfaceCourse)
        for name, values in vars(self).items():
            setattr(found, name, np.broadcast_to(values, pick.shape)[pick])
        return found

    def _solve(self, level: Floats, low: Floats, high: Floats) -> Floats:
        """Root of surface = level in each bracket: Newton, halving where Newton would leave it.

        The surface is monotone in a bracket, so which side a trial lies on is known from its sign.
        """
        at_low, at_high = self.at(low) - level, self.at(high) - level
        t = low + (high - low) * at_low / np.where(at_low == at_high, 1.0, at_low - at_high)
        for _ in range(80):
            value, slope = self.at(t) - level, self.slope(t)
            same_side = value * at_low > 0.0
            low, high = np.where(same_side, t, low), np.where(same_side, high, t)
            step = t - value / np.where(np.abs(slope) < TINY, np.inf, slope)
            inside = (step >= low) & (step <= high)
            new = np.where(value == 0.0, t, np.where(inside, step, 0.5 * (low + high)))
            if (np.abs(new - t) <= 1e-11 * np.abs(t) + 1e-14).all():  # the next would move nothing
                return np.asarray(new)
            t = new
        return t


RATED_HOURS = 20.0
"""Hours of the rated capacity C20 [h]."""

RESERVE_CURRENT_A = 25.0
"""Current of the reserve-capacity test [A], 27 °C, to 10.5 V (a car maker's service text, 2002)."""

R_MIN, R_MAX, R_STEP = 1.0, 1.15, 0.02
"""Believable range of qmax/C20 [-] and the step by which the fit raises it."""

_LN_K_LOW, _LN_K_HIGH = np.log(1e-3), np.log(1e3)


class WellFit(Struct, frozen=True):
    """Constants of the two wells: k [1/h], c [-], r = qmax/C20 [-], C20 [Ah], what was assumed."""

    k_per_h: float
    c: float
    r: float
    capacity_ah: float
    assumed: tuple[Text, ...] = ()


class CapacityGuess(Struct, frozen=True):
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


def capacity_from_cca(
    cca_en_a: float, per_ah: tuple[float, float, float] = (7.5, 9.0, 12.0)
) -> CapacityGuess:
    """C20 [Ah] guessed from the cold-cranking amperes [A] by EN alone, with a band.

    `per_ah` [A/Ah] is the current over the capacity: least, usual, most. Source: 8 to 10 for
    flooded batteries and 10 to 12 for AGM, from memory, unverified: the weakest way to a capacity.
    Raises InputProblem for a current not above 0.

    >>> guess = capacity_from_cca(630.0)
    >>> guess.capacity_ah, guess.low_ah, guess.high_ah
    (70.0, 52.5, 84.0)
    """
    require_positive(cca_en_a, "cca_en_a", "A")
    least, usual, most = (cca_en_a / each for each in reversed(per_ah))
    assumed = say(
        "capacity taken as the cold-cranking amperes over {n}, from memory, unverified",
        n=Amount(per_ah[1]),
    )
    return CapacityGuess(usual, least, most, (assumed,))
