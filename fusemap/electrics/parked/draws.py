"""What draws current from a parked vehicle, and the low-voltage cut-offs that stop it.

In: currents [A] with the hours [h] in which they run, volts [V], delays [s]. Out: checked values
that the forecast reads. A current, voltage, delay or resistance may be an array of shape (draws,)
for a Monte Carlo.

Source: bookkeeping only.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import inf

import numpy as np

from fusemap.electrics.values import Values, require_finite, require_not_negative
from fusemap.errors import InputProblem

CurrentRow = tuple[float, float, Values]
"""From [h], to [h], current [A]."""

DAY_H = 24.0


@dataclass(frozen=True, eq=False)
class CutOff:
    """Low-voltage cut-off of a draw: off below v_off [V] for delay_s [s], on again from v_on [V].

    The voltage is that at the device: cable_ohm [Ω] is its cable, plus and return together.
    Raises InputProblem that names the field.
    """

    v_off: Values
    v_on: Values
    delay_s: Values = 0.0
    cable_ohm: Values = 0.0

    def __post_init__(self) -> None:
        for name, unit in (("v_off", "V"), ("v_on", "V"), ("delay_s", "s"), ("cable_ohm", "Ω")):
            require_not_negative(getattr(self, name), name, unit)


@dataclass(frozen=True, eq=False)
class Draw:
    """One draw on the parked battery: the sum of its phases and daily rows, each (from, to, A).

    phases count hours since locking; daily rows are clock hours and pass midnight when to <= from.
    until_h [h] ends everything (after-run timer). duty [-] averages the current; with
    duty_period_s [s] given, a cut-off whose delay the on-time outlasts looks at the full current.
    A negative current is a source, such as a solar maintainer.
    Raises InputProblem that names the field.
    """

    name: str
    phases: tuple[CurrentRow, ...] = ()
    daily: tuple[CurrentRow, ...] = ()
    until_h: float = inf
    duty: float = 1.0
    duty_period_s: float = 0.0
    cut_off: CutOff | None = None

    @staticmethod
    def constant(
        name: str,
        current_a: Values,
        *,
        until_h: float = inf,
        duty: float = 1.0,
        duty_period_s: float = 0.0,
        cut_off: CutOff | None = None,
    ) -> Draw:
        """A draw that runs from locking on.

        current_a [A], until_h [h], duty [-], duty_period_s [s]. Source: common practice.
        Raises InputProblem that names the field.

        >>> Draw.constant("alarm", 0.02).phases
        ((0.0, inf, 0.02),)
        """
        return Draw(name, ((0.0, inf, current_a),), (), until_h, duty, duty_period_s, cut_off)

    def __post_init__(self) -> None:
        if not 0.0 <= self.duty <= 1.0:
            raise InputProblem(f"{self.duty:g} given, a share of 0 to 1 needed", "duty")
        require_not_negative(self.duty_period_s, "duty_period_s", "s")
        require_not_negative(self.until_h, "until_h", "h", endless=True)
        for start, end, current in self.phases:
            require_finite(current, "phases", "A")
            if not 0.0 <= start < end:
                raise InputProblem(f"phase from {start:g} h to {end:g} h", "phases")
        for start, end, current in self.daily:
            require_finite(current, "daily", "A")
            if not (0.0 <= start <= DAY_H and 0.0 <= end <= DAY_H):
                raise InputProblem(f"clock hours {start:g} to {end:g}, 0 to 24 needed", "daily")
        if self.cut_off is not None and self.has_source:
            raise InputProblem("a source cannot have a low-voltage cut-off", "cut_off")

    @cached_property
    def has_source(self) -> bool:
        """Whether any of its rows charges the battery."""
        return any((np.asarray(row[2]) < 0.0).any() for row in (*self.phases, *self.daily))

    @property
    def on_time_s(self) -> float:
        """Seconds for which the full current runs in each duty cycle [s]; 0 when not given."""
        return self.duty * self.duty_period_s
