"""The balance between the heat a copper core makes and the heat its surface gives to the air.

In: heat per metre at 20 °C [W/m], thermal resistances [K·m/W], diameter [m], ambient [°C]; arrays
that broadcast. Out: temperatures [°C], heat [W/m]. Shared by cable_heat.py and bundle_heat.py.

Source: I²·R(Tc) = (Tc - Ts)/Rins = heat_loss(Ts), copper resistance linear in temperature (IEC
60028), heat_loss of free_air.py.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.cable import ALPHA20
from fusemap.electrics.free_air import heat_loss
from fusemap.electrics.values import Floats, Values, require_finite
from fusemap.errors import InputProblem
from fusemap.text import say

COPPER_MELTS_C = 1083.0
"""Melting point of copper [°C]."""


def growth(temperature_c: Floats) -> Floats:
    """Resistance of copper at a temperature [°C] over that at 20 °C [-]. Source: IEC 60028."""
    return np.asarray(1.0 + ALPHA20 * (temperature_c - 20.0))


def behind(heat20: Floats, resistance: Values) -> Floats:
    """Heat at 20 °C [W/m] as seen from the cool side of a thermal resistance [K·m/W].

    heat20: what the copper would make at 20 °C [W/m]; resistance [K·m/W]. The warm side is
    W·resistance hotter and its copper resists the more, so W = h·(1 + α·(T - 20)) with T of the
    cool side and h = heat20/(1 - α·heat20·resistance); inf where that runs away.
    Source: copper's resistance linear in temperature, IEC 60028.
    """
    left = 1.0 - ALPHA20 * heat20 * resistance
    return np.where(left > 0.0, heat20 / np.where(left > 0.0, left, 1.0), np.inf)


def add_rise(cool_c: Floats, behind: Floats, resistance: Values) -> Floats:
    """Temperature [°C] on the warm side of a thermal resistance; inf once the copper melts.

    cool_c [°C]; behind: heat as the function of that name gives it [W/m]; resistance [K·m/W].
    Source: Ohm's law of heat.
    """
    safe = np.where(np.isfinite(behind), behind, 0.0)
    finite = np.where(np.isfinite(cool_c), cool_c, 0.0)
    warm = finite + safe * growth(finite) * resistance
    melts = ~np.isfinite(cool_c) | ~np.isfinite(behind) | (warm >= COPPER_MELTS_C)
    return np.where(melts, np.inf, warm)


def surface_temperature(heat20: Floats, diameter_m: Floats, ambient: Floats) -> Floats:
    """Surface [°C] where the heat loss meets heat20·(1 + α·(Ts - 20)); inf where it never does.

    heat20 [W/m], diameter_m [m], ambient [°C]; arrays that broadcast.
    Source: heat balance at the surface, loss as free_air.heat_loss.
    """
    top = np.full(np.broadcast_shapes(heat20.shape, ambient.shape), COPPER_MELTS_C)
    most = heat_loss(top, diameter_m, ambient)[0]
    melts = most <= heat20 * growth(top)
    heat = np.where(melts, 0.0, heat20)
    start = ambient + heat * growth(ambient) / (60.0 * diameter_m)
    surface = _meet(heat * (1.0 - 20.0 * ALPHA20), heat * ALPHA20, start, top, diameter_m, ambient)
    return np.where(melts, np.inf, surface)


def watts_at_limit(
    limit_c: ArrayLike, inside: Values, diameter_m: Floats, ambient: Floats
) -> Floats:
    """Heat [W/m] that brings the copper behind a thermal resistance to a limit [°C].

    inside: the thermal resistance [K·m/W]; diameter_m [m], ambient [°C]; arrays that broadcast.
    0 W/m where the ambient is at the limit or above. Raises InputProblem for a limit at or above
    the melting point of copper. Source: heat balance at the surface, loss as free_air.heat_loss.
    """
    limit = require_finite(limit_c, "limit_c", "°C")
    if np.any(limit >= COPPER_MELTS_C):
        raise InputProblem(say("a limit at or above the melting point of copper"), "limit_c")
    limit = np.maximum(limit, ambient)
    # a cable without insulation still needs a number to divide by: a millionth of a kelvin per watt
    slope = 1.0 / np.maximum(inside, 1e-6)
    surface = _meet(limit * slope, -slope, limit, limit, diameter_m, ambient)
    return np.where(limit > ambient, heat_loss(surface, diameter_m, ambient)[0], 0.0)


def _meet(
    offset: Floats, slope: Floats, start: Floats, top: Floats, diameter_m: Floats, ambient: Floats
) -> Floats:
    """Surface temperature [°C] between ambient and top where heat_loss = offset + slope·Ts.

    Newton, and a halving where it would leave the bracket. The loss grows ever faster and the line
    does not, so there is one crossing.
    """
    shape = np.broadcast_shapes(offset.shape, top.shape, diameter_m.shape, ambient.shape)
    low, high = np.broadcast_to(ambient, shape), np.broadcast_to(top, shape)
    surface = np.clip(np.broadcast_to(start, shape), low, 0.5 * (low + high))
    for _ in range(100):
        loss, steepness = heat_loss(surface, diameter_m, ambient)
        excess = loss - offset - slope * surface
        low, high = np.where(excess < 0.0, surface, low), np.where(excess < 0.0, high, surface)
        steps = steepness > slope  # else Newton would go the wrong way: halve
        step = np.where(steps, surface - excess / np.where(steps, steepness - slope, 1.0), np.inf)
        new = np.where((step >= low) & (step <= high), step, 0.5 * (low + high))
        if np.all(np.abs(new - surface) < 1e-7):
            return new
        surface = new
    return surface
