"""How warm the cables of a bundle get in still air.

In: the current [A] and the figures of each cable as in cable_heat.py, ambient [°C]. Out: conductor
temperatures [°C].

Source: the bundle as one cylinder, evenly heated inside; its two constants are ours, chosen so that
the like-loaded bundle agrees with the usual grouping factors; within 20 % at best.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.cable_heat import checked_ambient, checked_cable
from fusemap.electrics.heat_balance import (
    add_rise,
    behind,
    surface_temperature,
)
from fusemap.electrics.values import Values, plain

BUNDLE_W_PER_M_K = 0.20
"""Effective heat conductivity across a bundle of cables [W/(m·K)]; ours, derived."""

BUNDLE_FILL = 0.70
"""Share of the bundle's circle that its cables fill [-]; ours, derived."""


@dataclass(frozen=True, eq=False)
class BundleHeat:
    """How warm a bundle gets: conductor of each cable [°C], its surface [°C], its diameter [mm]."""

    conductor_c: Values
    surface_c: Values
    diameter_mm: Values


def bundle_temperature(
    currents_a: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
) -> BundleHeat:
    """Conductor temperatures [°C] of the cables of a bundle in free air, each as if at its core.

    currents_a [A], r20_mohm_per_m [mΩ/m], area_mm2 [mm²], od_mm [mm]: shape (..., cables);
    ambient_c [°C], shape (...). A cable that lies outside runs cooler than told. inf where the
    copper would melt. Raises InputProblem as conductor_temperature.
    Source: a cylinder evenly heated inside, core = surface + W/(4π·k), k 0.20, filled to 0.70
    (ours); then as a single cable.

    >>> loaded = bundle_temperature([10.0, 0.0, 0.0], 13.3, 1.5, 3.0, 30.0)
    >>> [round(float(t), 1) for t in loaded.conductor_c], round(loaded.diameter_mm, 2)
    ([36.9, 36.1, 36.1], 6.21)
    """
    heat, diameter, insulation, _ = checked_cable(currents_a, r20_mohm_per_m, area_mm2, od_mm, 20.0)
    each = behind(heat, insulation)
    squares = np.broadcast_to(diameter**2, each.shape).sum(axis=-1)
    circle = np.sqrt(squares / BUNDLE_FILL)
    inside = 1.0 / (4.0 * np.pi * BUNDLE_W_PER_M_K)
    total = behind(each.sum(axis=-1), inside)
    surface = surface_temperature(total, circle, checked_ambient(ambient_c))
    core = add_rise(surface, total, inside)
    conductor = add_rise(core[..., None], each, insulation)
    return BundleHeat(plain(conductor), plain(surface), plain(circle * 1000.0))
