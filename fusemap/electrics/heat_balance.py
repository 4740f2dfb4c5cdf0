"""The balance between the heat a copper core makes and the heat its surface gives to the air.

In: heat per metre at 20 °C [W/m], thermal resistances [K·m/W], diameter [m], ambient [°C]; arrays
that broadcast. Out: temperatures [°C], heat [W/m] and its steepness [W/(m·K)]. Still, free air at
1013 hPa around a horizontal cylinder. Shared by single cables and bundles.

Source: I²·R(Tc) = (Tc - Ts)/Rins = heat_loss(Ts), copper resistance linear in temperature (IEC
60028); S. W. Churchill, H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, free convection
of a horizontal cylinder; air after US Standard Atmosphere 1976, equations 51 and 53; Stefan-
Boltzmann law.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.cable import ALPHA20
from fusemap.electrics.values import Floats, Values, require_finite
from fusemap.errors import InputProblem
from fusemap.text import say

STEFAN_BOLTZMANN = 5.670374e-8
"""[W/(m²·K⁴)] (CODATA)."""

EMISSIVITY = 0.9
"""Emissivity of plastic insulation [-]: 0.85 to 0.95 by the table of a Triplett AM320 manual."""

GRAVITY = 9.80665
"""[m/s²] (standard gravity)."""

PRANDTL = 0.707
"""Prandtl number of air [-], its value at 300 K; within 2 % from 220 to 850 K."""

AIR_DENSITY_KELVIN = 101325.0 / 287.05
"""Density times temperature of dry air at 1013 hPa [kg·K/m³]."""


def air(film_k: Floats) -> tuple[Floats, Floats, Floats]:
    """Heat conductivity [W/(m·K)], kinematic viscosity [m²/s], Prandtl number [-] of air.

    film_k: temperature [K]. Good to 3 % from 220 to 700 K.
    Source: US Standard Atmosphere 1976, equations 51 (viscosity) and 53 (conductivity).

    >>> conductivity, viscosity, prandtl = air(np.asarray(300.0))
    >>> print(f"{conductivity:.4f} {viscosity:.3e} {prandtl:.3f}")
    0.0263 1.569e-05 0.707
    """
    power = film_k * np.sqrt(film_k)
    conductivity = 2.64638e-3 * power / (film_k + 245.4 * np.exp(-27.631021 / film_k))
    dynamic = 1.458e-6 * power / (film_k + 110.4)
    return conductivity, dynamic * film_k / AIR_DENSITY_KELVIN, np.full_like(film_k, PRANDTL)


def nusselt(rayleigh: Floats, prandtl: Floats) -> tuple[Floats, Floats]:
    """Nusselt number [-] of a horizontal cylinder in free convection, and d ln Nu / d ln Ra [-].

    rayleigh: on the diameter [-], 1e-5 to 1e12; prandtl [-].
    Source: Churchill and Chu 1975, √Nu = 0.60 + 0.387·Ra^(1/6)/(1 + (0.559/Pr)^(9/16))^(8/27).

    >>> round(float(nusselt(np.asarray(1e6), np.asarray(0.7))[0]), 2)
    14.51
    """
    part = 0.387 * rayleigh ** (1.0 / 6.0) / (1.0 + (0.559 / prandtl) ** 0.5625) ** (8.0 / 27.0)
    root = 0.60 + part
    return root * root, part / (3.0 * root)


def heat_loss(surface_c: Floats, diameter_m: Floats, air_c: Floats) -> tuple[Floats, Floats]:
    """Heat per metre [W/m] that a cable gives to the air, and its steepness [W/(m·K)].

    surface_c, air_c [°C], surface not below the air; diameter_m [m]; arrays that broadcast. The
    steepness leaves out that air itself changes: good to a few per cent, enough to step by.
    Source: Churchill and Chu 1975 for convection, Stefan-Boltzmann for radiation (surroundings at
    air temperature).

    >>> loss, _ = heat_loss(np.asarray(60.0), np.asarray(0.003), np.asarray(30.0))
    >>> round(float(loss), 2)  # a 3 mm cable, 30 K above the air
    5.82
    """
    rise = np.maximum(surface_c - air_c, 1e-12)
    surface_k, air_k = air_c + rise + 273.15, air_c + 273.15
    film_k = 0.5 * (surface_k + air_k)
    conductivity, viscosity, prandtl = air(film_k)
    rayleigh = GRAVITY / film_k * rise * diameter_m**3 * prandtl / viscosity**2
    number, power = nusselt(rayleigh, prandtl)
    convection = np.pi * conductivity * number
    radiation = np.pi * diameter_m * EMISSIVITY * STEFAN_BOLTZMANN
    loss = convection * rise + radiation * (surface_k**4 - air_k**4)
    return loss, convection * (1.0 + power) + 4.0 * radiation * surface_k**3


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
    Source: heat balance at the surface, loss as heat_loss.
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
    the melting point of copper. Source: heat balance at the surface, loss as heat_loss.
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
