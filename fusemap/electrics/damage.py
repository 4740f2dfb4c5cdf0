"""How long a cable bears a current before it is harmed: the curve a fuse is held against.

In: current [A], copper section [mm²], resistance per metre at 20 °C [mΩ/m], outside diameter [mm],
ambient and start temperature [°C], the temperatures the insulation bears [°C]. Out: time [s].

Source: IEC 60364-4-43 up to 5 s (no heat leaves the copper), the heat balance of cable_heat.py
beyond. Single cable in free air; good to 20 % as that is.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.cable_heat import temperature_after
from fusemap.electrics.values import (
    Floats,
    TruthArray,
    Values,
    plain,
    require_finite,
    require_not_negative,
    require_positive,
)

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
