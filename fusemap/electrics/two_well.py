"""The two-well battery with a first-order leak, in closed form at constant current.

Charge sits in two wells: an available one (width c) that feeds the load, and a bound one (width
1 - c) that feeds the available one. State: q, charge in both wells [Ah]; d, difference of the two
heads [Ah]. In: current [A, drawn positive], leak s [1/h], well constants. Out: state after a time
[h], or the time until a level. u = q - (1 - c)·d is the height of the available well ("surface
charge" [Ah]): q1 = c·u, and a load stops when u = 0.

Every argument is a number or an array; arrays broadcast, so one call serves all draws of a
Monte Carlo. Nothing here knows volts, temperature or labels: see battery.py.

Source: J. F. Manwell, J. G. McGowan, "Lead acid battery storage model for hybrid energy systems",
Solar Energy 50 (1993), section 2; the first-order leak on both wells is ours.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fusemap.electrics.values import Floats, Values

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
