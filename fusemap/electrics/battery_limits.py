"""The limits that a parked battery meets before it is empty, cranking and ice.

In: temperature [°C], state of charge [-]. Out: the state of charge below which the engine will not
crank, or the electrolyte freezes. Both are rules with numbers given from outside, not physics.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from fusemap.electrics.values import (
    Floats,
    Values,
    plain,
)
from fusemap.errors import InputProblem
from fusemap.text import say


@dataclass(frozen=True, eq=False)
class CrankLimit:
    """Least state of charge [-] that cranks the engine: base plus slope times the cold.

    base_soc at and above `reference_c` [°C], slope_per_k [1/K] below it; base_soc may be (draws,).
    by_voltage: it is a voltage under load that decides (contactors): the charge at the surface of
    the plates is looked at then, which the voltage follows, and not the whole charge.
    Source: 0.50 lies between a maker's bulletin (about 0.60) and one absorbent-glass-mat maker
    (0.30); the slope 0.007/K is a proposal from memory, unverified. Show it as 0.40 to 0.60.
    """

    base_soc: Values = 0.50
    slope_per_k: float = 0.007
    reference_c: float = 25.0
    by_voltage: bool = False

    def soc(self, temperature_c: Values) -> Values:
        """Least state of charge [-] at `temperature_c` [°C].

        Source: proposal of ours, see the class.

        >>> round(CrankLimit().soc(-5.0), 3)
        0.71
        """
        cold = np.maximum(0.0, self.reference_c - np.asarray(temperature_c))
        return plain(self.base_soc + self.slope_per_k * cold)


def rising_points(
    x: Sequence[float] | Floats, y: Sequence[float] | Floats, where: str, sign: float = 1.0
) -> tuple[Floats, Floats]:
    """Two arrays of points of any unit, x rising, y rising (sign 1) or falling (sign -1).

    x [-], y [-], sign [-]. Source: ours. Raises InputProblem that names `where`.
    """
    xs, ys = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    if xs.ndim != 1 or xs.shape != ys.shape or len(xs) < 2:
        raise InputProblem(
            say("two lists of the same length, two points or more, are needed"), where
        )
    if not ((np.diff(xs) > 0).all() and (sign * np.diff(ys) > 0).all()):
        raise InputProblem(say("the points must follow each other in one direction"), where)
    return xs, ys


@dataclass(frozen=True, eq=False)
class FreezingPoints:
    """Freezing temperature [°C] of the electrolyte at states of charge [-], both lists in order.

    Between the points it is interpolated; beyond them the end value holds, so give a point for the
    empty battery: there water freezes first.
    """

    soc: Sequence[float] | Floats
    temperature_c: Sequence[float] | Floats
    _points: tuple[Floats, Floats] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        points = rising_points(self.soc, self.temperature_c, "freezing", sign=-1.0)
        object.__setattr__(self, "_points", points)

    def temperature(self, soc: Values) -> Values:
        """Freezing temperature [°C] at a state of charge soc [-].

        Source: the points given, straight between them.

        >>> FreezingPoints((0.25, 0.5), (-16.0, -26.0)).temperature(0.375)
        -21.0
        """
        return plain(np.interp(soc, *self._points))

    def soc_below_which_ice(self, temperature_c: Values) -> Values:
        """State of charge below which it freezes at temperature_c [°C]; inf always, -inf never.

        Source: the points given, straight between them.

        >>> points = FreezingPoints((0.25, 0.5), (-16.0, -26.0))
        >>> points.soc_below_which_ice(-21.0), points.soc_below_which_ice(-10.0)
        (0.375, -inf)
        """
        soc, cold = self._points
        temperature = np.asarray(temperature_c, dtype=np.float64)
        found = np.interp(-temperature, -cold, soc)
        found = np.where(temperature < cold[-1], np.inf, found)
        return plain(np.where(temperature >= cold[0], -np.inf, found))
