"""A lead-acid (or LiFePO4) battery as equations: charge, voltage, leak, cold, starts, ice, runtime.

In: label data and constants (two_well.py), state of charge [-], current [A, drawn positive],
temperature [°C], time [h]. Out: charge [Ah], rest voltage [V], hours, the state of charge below
which the engine will not crank or the electrolyte freezes. Every quantity of the battery may be a
number or an array of shape (draws,). Charging voltage is not modelled: charge is counted in.

Source: two-well model of Manwell and McGowan, Solar Energy 50 (1993), see two_well.py; the rules
for leak, cold, cranking and ice are named where they stand. The limits (`CrankLimit`, ice) are
numbers given from outside; what a start needs is reckoned in starting.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from fusemap.electrics.values import (
    Floats,
    Values,
    plain,
    require_finite,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import say

CCA_C: Final = -18.0
"""Temperature of the cold-cranking test [°C]."""


class CrankLimit(Struct, frozen=True):
    """Least state of charge [-] that cranks the engine: base plus slope times the cold.

    base_soc at and above `reference_c` [°C], slope_per_k [1/K] below it; base_soc may be (draws,).
    by_voltage: it is a voltage under load that decides (contactors): the charge at the surface of
    the plates is looked at then, which the voltage follows, and not the whole charge.
    Source: none of its own; what a start needs is reckoned outside (starting.py), the defaults are
    those of a rule of thumb from memory.
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


class FreezingPoints(Struct, frozen=True, eq=False, dict=True):
    """Freezing temperature [°C] of the electrolyte at states of charge [-], both lists in order.

    Between the points it is interpolated; beyond them the end value holds, so give a point for the
    empty battery: there water freezes first.
    """

    soc: Sequence[float] | Floats
    temperature_c: Sequence[float] | Floats

    def __post_init__(self) -> None:
        _ = self._points  # whatever is wrong with them is said at once

    @cached_property
    def _points(self) -> tuple[Floats, Floats]:
        return rising_points(self.soc, self.temperature_c, "freezing", sign=-1.0)

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


__all__ = ["CrankLimit", "FreezingPoints", "TwoWell"]

EMPTY_V = 10.5
"""Voltage of an empty 12 V battery under load [V]: the end of the capacity test."""

LEAK_REFERENCE_C = 20.0
"""Temperature [°C] at which self-discharge is stated."""

COLD_REFERENCE_C = 25.0
"""Temperature [°C] below which less can be taken out."""

HOURS_30_DAYS = 720.0


class TwoWell(Struct, frozen=True, eq=False, dict=True):
    """A battery: capacity, health, well constants, leak, rest-voltage curve and resistance.

    capacity_ah [Ah], new, at the 20-hour rate (parallel batteries: the sum; two in series: the
    weaker). emf_soc [-] and emf_v [V]: rest voltage of one 12 V battery at 25 °C, both rising.
    soh [-] scales the capacity. r, c [-] and k_per_h [1/h] from battery_fit. Share lost in 30 days
    at 20 °C [-], doubling every doubling_k [K]. series 1, or 2 for 24 V. resistance_ohm [Ω] of one
    12 V battery (constant: neither cold nor low charge raises it). cold_loss_per_k [1/K].
    Raises InputProblem that names the field.
    """

    capacity_ah: Values
    emf_soc: Sequence[float] | Floats
    emf_v: Sequence[float] | Floats
    soh: Values = 1.0
    r: Values = 1.06
    c: Values = 0.4545
    k_per_h: Values = 1.0
    self_discharge_share_30d_20c: Values = 0.04
    doubling_k: float = 10.0
    series: int = 1
    resistance_ohm: Values = 0.005
    cold_loss_per_k: float = 0.007

    def __post_init__(self) -> None:
        _ = self._emf  # whatever is wrong with it is said at once
        for name, unit in (
            ("capacity_ah", "Ah"),
            ("soh", "-"),
            ("k_per_h", "1/h"),
            ("doubling_k", "K"),
            ("c", "-"),
        ):
            require_positive(getattr(self, name), name, unit)
        for name, unit in (
            ("self_discharge_share_30d_20c", "-"),
            ("resistance_ohm", "Ω"),
            ("cold_loss_per_k", "1/K"),
        ):
            require_not_negative(getattr(self, name), name, unit)
        if self.series not in (1, 2):
            raise InputProblem(
                say("{series} given, 1 (12 V) or 2 (24 V) possible", series=self.series), "series"
            )
        if (np.asarray(self.r) < 1.0).any():
            raise InputProblem(say("qmax cannot be below C20"), "r")
        if (np.asarray(self.c) > 1.0).any():
            raise InputProblem(say("the share of one well cannot be above 1"), "c")

    @cached_property
    def _emf(self) -> tuple[Floats, Floats]:
        return rising_points(self.emf_soc, self.emf_v, "emf_v")

    # charge

    @property
    def scaled_ah(self) -> Values:
        """Capacity at the 20-hour rate today [Ah]: C20 times health."""
        return self.capacity_ah * self.soh

    @property
    def full_ah(self) -> Values:
        """Charge in both wells when full [Ah], qmax = r·C20·SoH."""
        return self.r * self.scaled_ah

    @property
    def terminal_ohm(self) -> Values:
        """Resistance between the terminals of the whole battery [Ω]."""
        return self.series * self.resistance_ohm

    def charge_at(self, soc: Values) -> Values:
        """Charge [Ah] at a state of charge soc [-]: qmax - (1 - SoC)·C20·SoH. Source: ours."""
        return self.full_ah - (1.0 - soc) * self.scaled_ah

    def start(self, soc: Values) -> tuple[Values, Values]:
        """Rested state (q, d) [Ah] at a state of charge soc [-]: both heads the same.

        Source: Manwell and McGowan 1993. Raises InputProblem outside 0 to 1.
        """
        if not ((np.asarray(soc) >= 0.0) & (np.asarray(soc) <= 1.0)).all():
            raise InputProblem(say("a state of charge lies between 0 and 1"), "start_soc")
        charge = self.charge_at(soc)
        return charge, plain(np.zeros_like(np.asarray(charge)))

    def soc(self, q: Values) -> Values:
        """State of charge [-] that charge q [Ah] means; below 0 in a slow discharge past C20.

        Source: ours, 1 when full and 0 when C20 is taken.
        """
        return 1.0 - (self.full_ah - q) / self.scaled_ah

    def surface_soc(self, q: Values, d: Values) -> Values:
        """State of charge [-] at the plates' surface, from q, d [Ah]; the voltage follows it.

        Source: ours, the head of the available well read as a state of charge.
        """
        return self.soc(q - (1.0 - self.c) * d)

    def leak_per_h(self, temperature_c: Values) -> Values:
        """Self-discharge rate [1/h] at a temperature [°C].

        Source: share over 720 h, doubling per 10 K (a battery maker's data sheet for
        valve-regulated batteries); the charge left decays with it exponentially.

        >>> battery = TwoWell(70.0, (0.0, 1.0), (11.8, 12.6))
        >>> round(battery.leak_per_h(30.0) * 720, 6)
        0.08
        """
        doublings = (np.asarray(temperature_c) - LEAK_REFERENCE_C) / self.doubling_k
        return plain(np.asarray(self.self_discharge_share_30d_20c) / HOURS_30_DAYS * 2.0**doublings)

    # the empty end

    def empty_level_ah(self, temperature_c: Values) -> Values:
        """Surface charge [Ah] that the cold keeps inside at 10.5 V; 0 from 25 °C up.

        temperature_c [°C].
        Source: 0.6 to 0.7 % per kelvin for slow discharges, at 0.6 within 1 % of a
        battery maker's table from 0 to 15 °C. The charge is still there when it is warm again.
        """
        cold = np.maximum(0.0, COLD_REFERENCE_C - np.asarray(temperature_c))
        return plain(np.minimum(1.0, self.cold_loss_per_k * cold) * self.full_ah)

    # voltage

    def ocv(self, surface_soc: Values, which: NDArray[np.intp] | slice = slice(None)) -> Values:
        """Open-circuit voltage of the whole battery [V] at a surface state of charge.

        surface_soc [-]; `which` [-] names the draws that the values belong to, when not all. Below
        the first point of the curve it runs straight to 10.5 V at the empty well.
        Source: the battery's rest-voltage curve; its tail is ours.
        """
        soc, volts = self._emf
        slope = np.asarray(self._tail_slope)
        slope = slope[which] if slope.size > 1 else slope
        found = np.interp(surface_soc, soc, volts)
        below = np.minimum(np.asarray(surface_soc) - soc[0], 0.0)
        found = np.maximum(found + below * slope, min(EMPTY_V, volts[0]))
        return plain(self.series * found)

    def surface_soc_at(
        self, volts: Values, which: NDArray[np.intp] | slice = slice(None)
    ) -> Values:
        """Surface state of charge [-] at an open-circuit voltage, volts [V], of the whole battery.

        The inverse of `ocv`: inf above the curve, -inf below its end. `which` [-] names the draws
        that the voltages belong to, when they are not all. Source: as ocv.
        """
        soc, curve = self._emf
        each = np.asarray(volts, dtype=np.float64) / self.series
        slope = np.asarray(self._tail_slope)
        slope = slope[which] if slope.size > 1 else slope
        tail = np.minimum(each - curve[0], 0.0) / np.where(slope > 0.0, slope, 1.0)
        tail = np.where((slope == 0.0) & (each < curve[0]), -np.inf, tail)
        found = np.interp(each, curve, soc) + tail
        found = np.where(each < min(EMPTY_V, curve[0]), -np.inf, found)
        return plain(np.where(each > curve[-1], np.inf, found))

    @property
    def _tail_slope(self) -> Values:
        """Volts per state of charge between the first point of the curve and the empty well."""
        soc, volts = self._emf
        room = soc[0] - (1.0 - np.asarray(self.r))
        drop = max(volts[0] - EMPTY_V, 0.0)
        return plain(np.where(room > 0.0, drop / np.where(room > 0.0, room, 1.0), 0.0))

    def soc_from_rest_voltage(self, volts: Values) -> Values:
        """State of charge [-], 0 to 1, from the voltage of the rested whole battery [V].

        Source: the battery's rest-voltage curve. Raises InputProblem for no number.
        Limits: after hours without load or charge; 80 mV are about 10 % of a flooded battery, and
        a LiFePO4 battery cannot be read this way between 20 and 90 %.

        >>> battery = TwoWell(70.0, (0.0, 0.5, 1.0), (11.8, 12.2, 12.6), series=2)
        >>> round(battery.soc_from_rest_voltage(24.4), 6)
        0.5
        """
        require_finite(volts, "volts", "V")
        soc, curve = self._emf
        return plain(np.clip(np.interp(np.asarray(volts) / self.series, curve, soc), 0.0, 1.0))
