"""How warm a cable gets in still air, alone or in a bundle, for good and on the way there.

In: current [A], resistance per metre at 20 °C [mΩ/m], copper section [mm²], outside diameter [mm],
ambient [°C]. Out: conductor temperature [°C] or the current for a temperature [A]. Copper melts at
1083 °C: a cable that would get there counts as infinitely hot (its insulation goes long before).

Source: heat balance of a cylinder (heat_balance.py), insulation as in IEC 60287.
Against published current tables the mean of model over table lies at 0.80 to 1.26 by column, 1.03
over all: treat it as good to 20 %, and show the table beside it. Free air only: in a pipe, in foam
or against a hot engine it gets hotter. A bundle is one cylinder, evenly heated inside; its two
constants are ours, chosen so that the like-loaded bundle agrees with the usual grouping factors;
within 20 % at best.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from fusemap.electrics.cable import ALPHA20
from fusemap.electrics.heat_balance import (
    COPPER_MELTS_C,
    add_rise,
    behind,
    growth,
    heat_loss,
    surface_temperature,
    watts_at_limit,
)
from fusemap.electrics.values import (
    Floats,
    Values,
    plain,
    require_finite,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import given, say

COPPER_HEAT = 3.45
"""Volumetric heat capacity of copper [J/(K·cm³)] (IEC 60364-5-54, constants of the k formula)."""

INSULATION_W_PER_M_K = 0.17
"""Heat conductivity of soft PVC [W/(m·K)]: from memory, unverified; a little on the warm side, more
so for cross-linked insulation, which conducts better."""

STRAND_FILL = 0.73
"""Copper share of a stranded conductor's circle [-], from the diameters in the table of JIS C 3406
AV cable (0.72 to 0.78)."""


def conductor_temperature(
    current_a: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
) -> Values:
    """Conductor temperature [°C] of a single cable that carries a current [A] for good.

    r20_mohm_per_m [mΩ/m], area_mm2: copper [mm²], od_mm: outside diameter [mm], ambient_c [°C];
    numbers or arrays that broadcast. inf where the copper would melt. Horizontal cable in still,
    free air. Raises InputProblem for figures that make no cable.
    Source: I²·R(Tc) = (Tc - Ts)/Rins = heat_loss(Ts), Rins = ln(D/d)/(2π·k) (IEC 60287).

    >>> round(conductor_temperature(24.0, 13.3, 1.5, 3.0, 30.0))  # 1.5 mm² at its table current
    81
    """
    heat, diameter, insulation, ambient = checked_cable(
        current_a, r20_mohm_per_m, area_mm2, od_mm, ambient_c
    )
    seen = behind(heat, insulation)
    surface = surface_temperature(seen, diameter, ambient)
    return plain(add_rise(surface, seen, insulation))


def ampacity(
    limit_c: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
) -> Values:
    """Lasting current [A] that brings a single cable to a conductor temperature [°C].

    The exact inverse of conductor_temperature; arguments as there. 0 A where the ambient is at the
    limit or above. Raises InputProblem for a limit at or above the melting point of copper.
    Source: heat balance as conductor_temperature.

    >>> round(ampacity(70.0, 13.3, 1.5, 3.0, 30.0), 1)
    21.2
    """
    heat, diameter, insulation, ambient = checked_cable(
        1.0, r20_mohm_per_m, area_mm2, od_mm, ambient_c
    )
    watts = watts_at_limit(limit_c, insulation, diameter, ambient)
    return plain(np.sqrt(watts / (heat * growth(np.asarray(limit_c)))))


def temperature_after(
    seconds: ArrayLike,
    current_a: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
    start_c: ArrayLike | None = None,
) -> Values:
    """Conductor temperature [°C] of a single cable after so many seconds [s] at a current [A].

    seconds may be infinite, for good; start_c: conductor temperature before [°C], the ambient if
    not given; the rest as conductor_temperature. Copper alone stores heat (the insulation's heat
    left out, on the warm side). Exact at the start and in the end; in between within 1 % of the
    rise of the full integration. Where the copper would melt in the end, no heat leaves at all.
    Cooling is not told: a warmer start stays. Raises InputProblem as conductor_temperature.
    Source: heat balance as conductor_temperature, its surplus taken as a parabola of the
    temperature, ours; without cooling as IEC 60364-5-54.

    >>> end = conductor_temperature(30.0, 13.3, 1.5, 3.0, 30.0)
    >>> after = temperature_after([10.0, 30.0, 600.0], 30.0, 13.3, 1.5, 3.0, 30.0)
    >>> [round(float(t)) for t in after], round(end)
    ([51, 80, 110], 110)
    """
    asked = require_not_negative(seconds, "seconds", "s", endless=True)
    for_good = np.isinf(asked)
    time = np.where(for_good, 0.0, asked)
    heat, diameter, insulation, ambient = checked_cable(
        current_a, r20_mohm_per_m, area_mm2, od_mm, ambient_c
    )
    start = ambient if start_c is None else checked_start(start_c)
    store = COPPER_HEAT * np.asarray(area_mm2)  # J/(K·m): mm² times J/(K·cm³)
    kept = _without_cooling(time, heat, store, start)
    seen = behind(heat, insulation)
    surface = surface_temperature(seen, diameter, ambient)
    end = add_rise(surface, seen, insulation)
    endless = np.isinf(end)
    goal = np.where(endless, start, end)
    cooling = _cooling(np.where(endless, ambient, surface), insulation, diameter, ambient)
    below = _still_below(time / store, goal, start, heat, cooling - heat * ALPHA20, ambient)
    # from a start in the cold the air heats too, so its bound does not hold
    most = np.where(start < ambient, np.inf, kept)
    heated = np.minimum(np.maximum(goal - below, start), np.maximum(most, start))
    return plain(np.where(for_good, np.maximum(end, start), np.where(endless, kept, heated)))


def temperature_in_turns(
    current_a: ArrayLike,
    mean_share: ArrayLike,
    on_s: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
) -> Values:
    """The warmest a conductor gets [°C] under a load that is on for so many seconds [s] at a time.

    current_a: while it is on [A]; mean_share: root of the mean square over that [-], √duty; on_s: 0
    where the turns are so short that only the mean counts, or the load is on for good (share 1);
    the rest as conductor_temperature. Every turn is reckoned to start from what the mean heat makes
    of the cable for good; in truth it starts from the coolest point of the turn, below that. Raises
    InputProblem as conductor_temperature.
    Source: temperature_after; the bound from above is ours.

    >>> winch = temperature_in_turns(200.0, 0.2**0.5, 12.0, 0.527, 35.0, 10.4, 80.0)
    >>> round(winch), round(conductor_temperature(200.0, 0.527, 35.0, 10.4, 80.0))
    (94, 135)
    """
    cable = (r20_mohm_per_m, area_mm2, od_mm, ambient_c)
    current = require_not_negative(current_a, "current_a", "A")
    share = require_not_negative(mean_share, "mean_share", "-")
    mean = np.asarray(conductor_temperature(current * share, *cable))
    if not np.any(on_s):
        return plain(mean)
    melts = np.isinf(mean)
    start = np.where(melts, np.asarray(ambient_c, dtype=np.float64), mean)
    after = temperature_after(on_s, current, *cable, start_c=start)
    return plain(np.where(melts, np.inf, after))


def _cooling(surface: Floats, insulation: Floats, diameter: Floats, ambient: Floats) -> Floats:
    """Heat that leaves the copper per kelvin that it gets warmer [W/(K·m)]."""
    steepness = heat_loss(surface, diameter, ambient)[1]
    return np.asarray(steepness / (1.0 + steepness * insulation))


def _still_below(
    time_over_store: Floats, goal: Floats, start: Floats, heat: Floats, slope: Floats, air: Floats
) -> Floats:
    """Kelvin still missing to the steady temperature.

    The surplus of heat is N = s·y - q·y², y the kelvin missing: s its slope at the steady
    temperature, q so that at the ambient all heat is surplus. That makes dy/dt = -N/store a
    logistic equation.
    """
    missing = np.maximum(goal - start, 0.0)
    whole = np.where(goal > air, goal - air, np.inf)
    bend = np.maximum(slope - heat * growth(air) / whole, 0.0) / whole
    slope = np.maximum(slope, 1e-12)
    left = np.exp(-slope * time_over_store)
    # a start below the ambient lies off the parabola: held to it, or the surplus would turn over
    held = np.minimum(missing, whole)
    return np.asarray(slope * missing * left / (slope - bend * held * (1.0 - left)))


def _without_cooling(time: Floats, heat: Floats, store: Floats, start: Floats) -> Floats:
    """Temperature [°C] if no heat left the copper; inf once it melts."""
    exponent = np.minimum(heat * ALPHA20 * time / store, 50.0)
    hot = start + (1.0 / ALPHA20 + start - 20.0) * np.expm1(exponent)
    return np.where(hot < COPPER_MELTS_C, hot, np.inf)


def checked_cable(
    current_a: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
) -> tuple[Floats, Floats, Floats, Floats]:
    """Heat at 20 °C [W/m], outside diameter [m], insulation [K·m/W], ambient [°C]; all checked.

    Arguments as conductor_temperature. Raises InputProblem for figures that make no cable.
    Source: Rins = ln(D/d)/(2π·k), IEC 60287.
    """
    current = require_not_negative(current_a, "current_a", "A")
    r20 = require_positive(r20_mohm_per_m, "r20_mohm_per_m", "mΩ/m")
    area = require_positive(area_mm2, "area_mm2", "mm²")
    od = require_positive(od_mm, "od_mm", "mm")
    ratio = od / np.sqrt(4.0 * area / (np.pi * STRAND_FILL))
    if np.any(ratio < 1.0):
        raise InputProblem(say("the copper does not fit into this outside diameter"), "od_mm")
    insulation = np.log(ratio) / (2.0 * np.pi * INSULATION_W_PER_M_K)
    return current**2 * r20 / 1000.0, od / 1000.0, insulation, checked_ambient(ambient_c)


def checked_ambient(ambient_c: ArrayLike) -> Floats:
    """Ambient [°C] as an array.

    Raises InputProblem outside -60 to 200 °C. Source: the range is ours.
    """
    ambient = require_finite(ambient_c, "ambient_c", "°C")
    if np.any(np.abs(ambient - 70.0) > 130.0):
        raise InputProblem(
            say("ambient outside {low} to {high}", low=given(-60.0, "°C"), high=given(200.0, "°C")),
            "ambient_c",
        )
    return ambient


def checked_start(start_c: ArrayLike) -> Floats:
    """Conductor temperature [°C] that heating starts from, as an array.

    Raises InputProblem outside -60 to 1083 °C. Source: the range is ours.
    """
    start = require_finite(start_c, "start_c", "°C")
    if np.any((start < -60.0) | (start >= COPPER_MELTS_C)):
        raise InputProblem(
            say("start outside {low} to the melting point of copper", low=given(-60.0, "°C")),
            "start_c",
        )
    return start


BUNDLE_W_PER_M_K = 0.20
"""Effective heat conductivity across a bundle of cables [W/(m·K)]; ours, derived."""

BUNDLE_FILL = 0.70
"""Share of the bundle's circle that its cables fill [-]; ours, derived."""


class BundleHeat(Struct, frozen=True, eq=False):
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


def among_alike_temperature(
    current_a: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
    count: ArrayLike,
) -> Values:
    """Conductor temperature [°C] of a cable that lies among others like it, loaded as it is.

    count: how many they are with it [-], 1 where it lies alone; the rest as conductor_temperature,
    which it is for one, as for more it is bundle_temperature. All of them are reckoned at once.
    Source: as these two.

    >>> warm = among_alike_temperature(10.0, 13.3, 1.5, 3.0, 30.0, [1.0, 3.0])
    >>> [round(float(each), 1) for each in warm]
    [39.6, 47.7]
    """
    heat, diameter, insulation, ambient = checked_cable(
        current_a, r20_mohm_per_m, area_mm2, od_mm, ambient_c
    )
    each, many = behind(heat, insulation), require_positive(count, "count", "-")
    inside = np.where(many > 1.0, 1.0 / (4.0 * np.pi * BUNDLE_W_PER_M_K), 0.0)
    circle = np.where(many > 1.0, diameter * np.sqrt(many / BUNDLE_FILL), diameter)
    endless = np.isinf(each)
    total = np.where(endless, np.inf, behind(np.where(endless, 0.0, each) * many, inside))
    core = add_rise(surface_temperature(total, circle, ambient), total, inside)
    return plain(add_rise(core, each, insulation))
