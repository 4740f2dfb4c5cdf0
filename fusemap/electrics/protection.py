"""Whether a fuse protects its cable: hard short, overload gap, short at the far end.

In: fuse rating [A], the I²t it lets through [A²s] and its longest times [s]; current [A] and cable
figures as in cable.py and cable_heat.py, the temperatures the insulation bears [°C], voltages [V]
and resistances [Ω]. Out: how long [s] a cable bears a current before it is harmed, comparisons of
found against limit, lengths [m]. Which of two fuses in series opens: operating_time.py.

Source: IEC 60364-5-54 for the hard short; IEC 60364-4-43 for what a cable bears up to 5 s (no heat
leaves the copper), the heat balance of cable_heat.py beyond (single cable in free air, good to 20 %
as that is); the published points of blade fuses for the rest.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from fusemap.electrics.cable import resistance_ohm
from fusemap.electrics.cable_heat import conductor_temperature, temperature_after
from fusemap.electrics.values import (
    Comparison,
    Floats,
    TruthArray,
    Values,
    plain,
    require_finite,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import say

ADIABATIC_S = 5.0
"""Up to this time no heat leaves the copper [s] (IEC 60364-4-43, clause 434.5.2)."""

_FIRST, _LAST = -4.0, 7.0
_HALVINGS = 44


def heating_time(
    limit_c: ArrayLike,
    current_a: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
    start_c: ArrayLike | None = None,
) -> Values:
    """Time [s] in which a current [A] heats a single cable to a conductor temperature [°C].

    r20_mohm_per_m [mΩ/m], area_mm2 [mm²], od_mm [mm], ambient_c [°C], start_c: conductor before
    [°C], the ambient if not given; numbers or arrays that broadcast. inf where it never gets so
    warm, 0 where it is so warm already. Raises InputProblem as temperature_after.
    Source: the inverse of cable_heat.temperature_after.

    >>> round(heating_time(110.0, 40.0, 13.3, 1.5, 3.0, 30.0))
    24
    """
    limit = require_finite(limit_c, "limit_c", "°C")
    cable = (r20_mohm_per_m, area_mm2, od_mm, ambient_c)

    def hot(seconds: Floats) -> TruthArray:
        after = temperature_after(seconds, current_a, *cable, start_c=start_c)
        return np.asarray(after) >= limit

    shape = np.shape(hot(np.asarray(0.0)))
    low, high = np.full(shape, _FIRST), np.full(shape, _LAST)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        reached = hot(10.0**middle)
        low, high = np.where(reached, low, middle), np.where(reached, middle, high)
    never = ~hot(np.asarray(10.0**_LAST))
    found = np.where(hot(np.asarray(0.0)), 0.0, 10.0**high)
    return plain(np.where(never, np.inf, found))


def damage_time(
    current_a: ArrayLike,
    k: ArrayLike,
    limit_c: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
    start_c: ArrayLike | None = None,
) -> Values:
    """Time [s] for which a cable bears a current [A] unharmed.

    k: of a hard short [A·√s/mm²]; limit_c: what the insulation takes in an overload [°C]; the rest
    as heating_time. Up to 5 s that is (k·S/I)², beyond the time of heating to limit_c, never below
    5 s there: each limit holds in its own span. inf where the cable bears the current for good.
    Raises InputProblem for bad figures. Source: IEC 60364-4-43, heat balance of cable_heat.

    >>> cable = (87.0, 130.0, 12.7, 1.5, 2.4, 25.0)  # 1.5 mm², vehicle PVC
    >>> damage_time(130.5, *cable)  # (87 × 1.5 ÷ 130.5)²
    1.0
    >>> damage_time(10.0, *cable)
    inf
    """
    current = require_not_negative(current_a, "current_a", "A")
    bears = require_positive(k, "k", "A·√s/mm²") * require_positive(area_mm2, "area_mm2", "mm²")
    with np.errstate(divide="ignore"):
        short = (bears / current) ** 2
    slow = heating_time(limit_c, current, r20_mohm_per_m, area_mm2, od_mm, ambient_c, start_c)
    return plain(np.where(short <= ADIABATIC_S, short, np.maximum(slow, ADIABATIC_S)))


def knee_current(k: ArrayLike, area_mm2: ArrayLike) -> Values:
    """Current [A] at which the two limits of damage_time meet: k·S/√5.

    k [A·√s/mm²], area_mm2 [mm²]. Raises InputProblem for zero or less. Source: IEC 60364-4-43.

    >>> round(knee_current(87.0, 1.5), 1)
    58.4
    """
    bears = require_positive(k, "k", "A·√s/mm²") * require_positive(area_mm2, "area_mm2", "mm²")
    return plain(bears / ADIABATIC_S**0.5)


BETA = 234.5
"""Temperature below 0 °C at which the line of copper's resistance meets zero [K] (IEC 60949)."""

K_FACTOR = 226.0
"""√(heat capacity × (β + 20)/resistivity) of copper [A·√s/mm²] (IEC 60949; 225.7 unrounded)."""

OVERLOAD_MULTIPLE = 1.35
"""Current over rating [-] that a fuse may carry for its longest published time (ISO 8820-3)."""

WANTED_MULTIPLE = 3.5
"""Far-end fault current over rating [-] at which a blade fuse clears within 0.5 s (Littelfuse MINI
blade fuse 32 V, series 297 data sheet; large blade fuses take up to 7 s there)."""

LEAST_MULTIPLE = 2.0
"""The same for 5 s, the very least (same data sheet)."""

FAULT_CABLE_C = 85.0
"""Conductor temperature at which the far-end short is reckoned [°C]; ours, a warm cable."""


def adiabatic_k(start_c: ArrayLike, end_c: ArrayLike) -> Values:
    """k of a copper cable for a short [A·√s/mm²], from start and end temperature [°C].

    Holds up to 5 s, while no heat leaves the copper. Raises InputProblem if the end is not above
    the start. Source: IEC 60364-5-54 annex A, k = 226·√(ln((234.5 + end)/(234.5 + start))).

    >>> round(adiabatic_k(70.0, 160.0))  # PVC 70 °C
    115
    """
    start = require_finite(start_c, "start_c", "°C")
    end = require_finite(end_c, "end_c", "°C")
    if np.any(end <= start) or np.any(start <= -BETA):
        raise InputProblem(say("the end temperature must lie above the start"), "end_c")
    return plain(K_FACTOR * np.sqrt(np.log((BETA + end) / (BETA + start))))


def short_check(i2t_a2s: ArrayLike, area_mm2: ArrayLike, k: ArrayLike) -> Comparison:
    """The I²t a fuse lets through [A²s] against what the cable bears, (k·S)² [A²s].

    area_mm2 [mm²], k [A·√s/mm²] from adiabatic_k. Raises InputProblem for bad figures.
    Source: IEC 60364-4-43, I²t ≤ (k·S)².

    >>> short_check(2000.0, 0.5, 87.4).passed  # 10 A fuse, twice its rating for 5 s
    False
    """
    area = require_positive(area_mm2, "area_mm2", "mm²")
    bears = (require_positive(k, "k", "A·√s/mm²") * area) ** 2
    found = require_not_negative(i2t_a2s, "i2t_a2s", "A²s", endless=True)
    return Comparison(plain(found), plain(bears), "at_most", "A²s")


def overload_gap(
    rating_a: ArrayLike,
    longest_s: ArrayLike,
    limit_c: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    area_mm2: ArrayLike,
    od_mm: ArrayLike,
    ambient_c: ArrayLike,
    load_a: ArrayLike = 0.0,
    multiple: ArrayLike = OVERLOAD_MULTIPLE,
    start_c: ArrayLike | None = None,
) -> Comparison:
    """Conductor temperature [°C] at the overload that its fuse may carry, against a limit [°C].

    rating_a [A]; longest_s: longest published time [s] at multiple [-] of the rating (600 s for
    most blade fuses, 1800 s for the large ones), infinite where it may last for good; load_a: what
    the cable carried before [A]; start_c: or how warm it was then [°C], infinite where its load
    melts it; the rest as conductor_temperature. Numbers or arrays that broadcast. One point of the
    fuse is told, not the whole of its curve: in sections up to 2 mm²
    more current for a shorter time can be hotter, so ask for every published point. Raises
    InputProblem for bad figures.
    Source: heating of cable_heat.temperature_after; fuse point of ISO 8820-3.

    >>> gap = overload_gap(15.0, 600.0, 105.0, 12.7, 1.5, 2.4, 25.0)
    >>> round(gap.found), gap.passed
    (63, True)
    """
    cable = (r20_mohm_per_m, area_mm2, od_mm, ambient_c)
    overload = require_positive(rating_a, "rating_a", "A") * require_positive(
        multiple, "multiple", "-"
    )
    before = np.asarray(conductor_temperature(load_a, *cable) if start_c is None else start_c)
    # a load that melts the copper needs no overload on top: the heat criterion tells it
    start = np.where(np.isfinite(before), before, np.asarray(ambient_c))
    after = temperature_after(longest_s, overload, *cable, start_c=start)
    found = np.where(np.isfinite(before), after, np.inf)
    return Comparison(
        plain(found), plain(require_finite(limit_c, "limit_c", "°C")), "at_most", "°C"
    )


class FarEnd(Struct, frozen=True, eq=False):
    """A short at the far end of a cable: fault current [A] and multiple of the rating [-].

    wanted: the multiple against the one that clears at once; least: against the very least.
    """

    fault_a: Values
    wanted: Comparison
    least: Comparison


def far_end(
    u_min_v: ArrayLike,
    rating_a: ArrayLike,
    cable_ohm: ArrayLike,
    other_ohm: ArrayLike,
    wanted: ArrayLike = WANTED_MULTIPLE,
    least: ArrayLike = LEAST_MULTIPLE,
) -> FarEnd:
    """Fault current [A] of a short at the far end, and whether it opens the fuse.

    u_min_v: lowest voltage of the source [V]; cable_ohm: plus and return at 85 °C [Ω]; other_ohm:
    source, feed, fuse, body [Ω]; wanted, least: multiples of the rating [-]. Numbers or arrays that
    broadcast. Raises InputProblem if there is no resistance at all.
    Source: Ohm's law; multiples as at WANTED_MULTIPLE.

    >>> short = far_end(11.0, 10.0, cable_ohm=0.2, other_ohm=0.02)
    >>> short.fault_a, short.wanted.passed
    (50.0, True)
    """
    ohm = require_not_negative(cable_ohm, "cable_ohm", "Ω")
    ohm = require_positive(ohm + require_not_negative(other_ohm, "other_ohm", "Ω"), "ohm", "Ω")
    fault = require_positive(u_min_v, "u_min_v", "V") / ohm
    multiple = plain(fault / require_positive(rating_a, "rating_a", "A"))
    return FarEnd(
        fault_a=plain(fault),
        wanted=Comparison(
            multiple, plain(require_positive(wanted, "wanted", "-")), "at_least", "× rating"
        ),
        least=Comparison(
            multiple, plain(require_positive(least, "least", "-")), "at_least", "× rating"
        ),
    )


def longest_length(
    u_min_v: ArrayLike,
    rating_a: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    other_ohm: ArrayLike,
    multiple: ArrayLike = WANTED_MULTIPLE,
    temperature_c: ArrayLike = FAULT_CABLE_C,
) -> Values:
    """Longest conductor [m], plus and return together, at whose end a short still opens the fuse.

    Arguments as far_end; r20_mohm_per_m [mΩ/m]; multiple: of the rating [-]; temperature_c [°C].
    0 m where the rest of the loop alone is too much. Raises InputProblem for bad figures.
    Source: far_end solved for the length.

    >>> round(longest_length(11.0, 10.0, 18.5, 0.02), 2)  # 1 mm², body return
    12.67
    """
    voltage = require_positive(u_min_v, "u_min_v", "V")
    needed = require_positive(multiple, "multiple", "-") * require_positive(
        rating_a, "rating_a", "A"
    )
    left = voltage / needed - require_not_negative(other_ohm, "other_ohm", "Ω")
    return plain(np.maximum(left, 0.0) / resistance_ohm(r20_mohm_per_m, 1.0, temperature_c))
