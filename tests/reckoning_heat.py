"""How warm a cable gets, reckoned a second time: balances solved by a bracket, times by quadrature.

Nothing of the program is imported. A copper core of α = 0.00393 1/K behind its insulation, which
gives its heat to still air by convection and radiation. Source of the laws: S. W. Churchill,
H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1049; US Standard Atmosphere 1976, equations 51
and 53; IEC 60028; IEC 60287 for the insulation.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

Floats = NDArray[np.float64]
ALPHA, MELTS_C = 0.00393, 1083.0
COPPER_J_PER_K_CM3 = 3.45


class Core(NamedTuple):
    """A conductor: resistance [mΩ/m at 20 °C], section [mm²], outside diameter [mm], ambient [°C]."""

    r20: float
    area: float
    od: float
    air_c: float

    @property
    def inside(self) -> float:
        """Thermal resistance of the insulation [K·m/W]."""
        bare = (4 * self.area / (np.pi * 0.73)) ** 0.5
        return float(np.log(self.od / bare) / (2 * np.pi * 0.17))


def _gives_off(surface_c: Floats | float, width_m: float, air_c: float) -> Floats:
    """Heat a horizontal cylinder gives to the air [W/m]."""
    over = np.maximum(np.asarray(surface_c) - air_c, 1e-12)
    surface, air = air_c + over + 273.15, air_c + 273.15
    film = (surface + air) / 2
    conducts = 2.64638e-3 * film**1.5 / (film + 245.4 * np.exp(-27.631021 / film))
    viscous = 1.458e-6 * film**1.5 / (film + 110.4) * film * 287.05 / 101325.0
    rayleigh = 9.80665 / film * over * width_m**3 * 0.707 / viscous**2
    root = 0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / 0.707) ** (9 / 16)) ** (8 / 27)
    radiates = np.pi * width_m * 0.9 * 5.670374e-8 * (surface**4 - air**4)
    return np.asarray(np.pi * conducts * root**2 * over + radiates)


def _copper(temperature_c: Floats | float) -> Floats:
    return np.asarray(1 + ALPHA * (np.asarray(temperature_c) - 20))


def _steady(watts20: float, inside: float, width_m: float, air_c: float) -> float:
    """Core temperature [°C] at which it gives off what it makes; inf where it melts first."""
    if watts20 <= 0.0:
        return air_c

    def surplus(surface_c: float) -> float:
        given = float(_gives_off(surface_c, width_m, air_c))
        return watts20 * float(_copper(surface_c + given * inside)) - given

    if surplus(MELTS_C) >= 0:
        return float("inf")
    surface = brentq(surplus, air_c, MELTS_C, xtol=1e-10, rtol=1e-14)
    core = surface + float(_gives_off(surface, width_m, air_c)) * inside
    return core if core < MELTS_C else float("inf")


@lru_cache(maxsize=20000)
def for_good(current_a: float, core: Core) -> float:
    """Core temperature [°C] of a single cable at a lasting current [A]."""
    return _steady(current_a**2 * core.r20 / 1000, core.inside, core.od / 1000, core.air_c)


@lru_cache(maxsize=20000)
def in_bundle(current_a: float, count: int, core: Core) -> float:
    """The same of one of so many alike that lie together, as a cylinder evenly heated."""
    watts20 = current_a**2 * core.r20 / 1000
    each = 1 - ALPHA * watts20 * core.inside
    if each <= 0:
        return float("inf")
    width = core.od / 1000 * (count / 0.70) ** 0.5
    middle = _steady(count * watts20 / each, 1 / (4 * np.pi * 0.20), width, core.air_c)
    core_c = middle + watts20 / each * float(_copper(middle)) * core.inside
    return core_c if core_c < MELTS_C else float("inf")


@lru_cache(maxsize=20000)
def after(seconds: float, current_a: float, core: Core, start_c: float) -> float:
    """Core temperature [°C] so many seconds [s] after the current began, by quadrature."""
    end = for_good(current_a, core)
    if seconds == float("inf") or start_c >= end:
        return max(end, start_c)
    surface = np.linspace(core.air_c, MELTS_C, 600)
    given = _gives_off(surface, core.od / 1000, core.air_c)
    at = surface + given * core.inside
    if end < float("inf"):
        left = (end - start_c) * np.geomspace(1.0, 1e-7, 400)
        core_c = end - left
    else:
        core_c = np.linspace(start_c, MELTS_C, 800)
    net = current_a**2 * core.r20 / 1000 * _copper(core_c) - np.interp(core_c, at, given)
    pace = COPPER_J_PER_K_CM3 * core.area / np.maximum(net, 1e-12)
    steps = np.diff(core_c) * (pace[1:] + pace[:-1]) / 2
    passed = np.concatenate([[0.0], np.cumsum(steps)])
    if seconds >= passed[-1]:
        return end
    return float(np.interp(seconds, passed, core_c))


def in_turns(current_a: float, share: float, on_s: float, core: Core) -> float:
    """The warmest [°C] in turns: one turn on top of what the mean heat makes of it for good."""
    mean = for_good(current_a * share, core)
    if on_s <= 0 or mean == float("inf"):
        return mean
    return after(on_s, current_a, core, mean)
