"""What draws current from a parked vehicle, and the low-voltage cut-offs that stop it.

In: currents [A] with the hours [h] in which they run, volts [V], delays [s]. Out: checked values
that the forecast reads; two of the same figures are equal. A current, voltage, delay or resistance
may be an array of shape (draws,) for a Monte Carlo, which compares with nothing.

Source: bookkeeping only.
"""

from __future__ import annotations

from functools import cached_property
from math import inf

import numpy as np
from msgspec import Struct

from fusemap.electrics.values import Values, require_finite, require_not_negative
from fusemap.errors import InputProblem
from fusemap.text import given, say

CurrentRow = tuple[float, float, Values]
"""From [h], to [h], current [A]."""

Way = tuple[tuple[int, float], ...]
"""The branches between the battery's terminals and a device: number, resistance [Ω]."""

DAY_H = 24.0


class CutOff(Struct, frozen=True):
    """Low-voltage cut-off of a draw: off below v_off [V] for delay_s [s], on again from v_on [V].

    The voltage is that at the device: cable_ohm [Ω] is its cable, plus and return together, on top
    of its draw's way; lost_v [V] is what that way loses to currents that are no draws.
    Raises InputProblem that names the field.
    """

    v_off: Values
    v_on: Values
    delay_s: Values = 0.0
    cable_ohm: Values = 0.0
    lost_v: Values = 0.0

    def __post_init__(self) -> None:
        fields = (
            ("v_off", "V"),
            ("v_on", "V"),
            ("delay_s", "s"),
            ("cable_ohm", "Ω"),
            ("lost_v", "V"),
        )
        for name, unit in fields:
            require_not_negative(getattr(self, name), name, unit)


class Draw(Struct, frozen=True, dict=True):
    """One draw on the parked battery: the sum of its phases and daily rows, each (from, to, A).

    phases count hours since locking; daily rows are clock hours and pass midnight when to <= from.
    until_h [h] ends everything (after-run timer). duty [-] averages the current; with
    duty_period_s [s] given, a cut-off whose delay the on-time outlasts looks at the full current.
    Draws whose ways share branches lower each other's voltage there, where a cut-off looks.
    A negative current is a source, such as a solar maintainer. The currents are those at the
    battery's voltage when locked, and follow it by `exponent` [-]: −1 at constant power.
    Raises InputProblem that names the field.
    """

    name: str
    phases: tuple[CurrentRow, ...] = ()
    daily: tuple[CurrentRow, ...] = ()
    until_h: float = inf
    duty: float = 1.0
    duty_period_s: float = 0.0
    cut_off: CutOff | None = None
    way: Way = ()
    exponent: float = 0.0

    @staticmethod
    def constant(
        name: str,
        current_a: Values,
        *,
        until_h: float = inf,
        duty: float = 1.0,
        duty_period_s: float = 0.0,
        cut_off: CutOff | None = None,
        way: Way = (),
    ) -> Draw:
        """A draw that runs from locking on.

        current_a [A], until_h [h], duty [-], duty_period_s [s], way [Ω]. Source: common practice.
        Raises InputProblem that names the field.

        >>> Draw.constant("alarm", 0.02).phases
        ((0.0, inf, 0.02),)
        """
        return Draw(name, ((0.0, inf, current_a),), (), until_h, duty, duty_period_s, cut_off, way)

    def __post_init__(self) -> None:
        if not 0.0 <= self.duty <= 1.0:
            raise InputProblem(
                say("{duty} given, a share of 0 to 1 needed", duty=given(self.duty)), "duty"
            )
        require_not_negative(self.duty_period_s, "duty_period_s", "s")
        require_not_negative(self.until_h, "until_h", "h", endless=True)
        for start, end, current in self.phases:
            require_finite(current, "phases", "A")
            if not 0.0 <= start < end:
                raise InputProblem(
                    say(
                        "phase from {start} to {end}", start=given(start, "h"), end=given(end, "h")
                    ),
                    "phases",
                )
        for start, end, current in self.daily:
            require_finite(current, "daily", "A")
            if not (0.0 <= start <= DAY_H and 0.0 <= end <= DAY_H):
                raise InputProblem(
                    say(
                        "clock hours {start} to {end}, 0 to 24 needed",
                        start=given(start),
                        end=given(end),
                    ),
                    "daily",
                )
        for _, ohm in self.way:
            require_not_negative(ohm, "way", "Ω")
        if self.cut_off is not None and self.has_source:
            raise InputProblem(say("a source cannot have a low-voltage cut-off"), "cut_off")

    @cached_property
    def has_source(self) -> bool:
        """Whether any of its rows charges the battery."""
        currents = [row[2] for row in (*self.phases, *self.daily)]
        return any(bool(np.min(each) < 0.0) if np.ndim(each) else each < 0.0 for each in currents)

    @property
    def on_time_s(self) -> float:
        """Seconds for which the full current runs in each duty cycle [s]; 0 when not given."""
        return self.duty * self.duty_period_s

    def shares_ohm(self, other: Draw) -> float:
        """Resistance [Ω] of the branches that the ways of both have in common.

        Source: what two ways in a tree share, as in network.py.

        >>> box = Draw.constant("box", 5.0, way=((0, 0.02), (1, 0.01)))
        >>> box.shares_ohm(Draw.constant("lamp", 1.0, way=((0, 0.02), (2, 0.05))))
        0.02
        """
        there = {number for number, _ in other.way}
        return sum(ohm for number, ohm in self.way if number in there)
