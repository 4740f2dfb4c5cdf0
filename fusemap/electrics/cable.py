"""Resistance and gauge of a cable.

In: resistance per metre at 20 °C from a conductor table [mΩ/m], lengths [m], temperatures [°C],
sections [mm²]. Out: resistance [Ω], AWG. Take the resistance from the table, not from the section:
stranded cable lies 5 to 11 % above resistivity over area.

Source: copper constants of IEC 60028; gauge geometry of ASTM B258.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.values import (
    Values,
    plain,
    require_finite,
    require_not_negative,
    require_positive,
)

ALPHA20 = 0.00393
"""Temperature coefficient of annealed copper at 20 °C [1/K] (IEC 60028)."""


def resistance_factor(temperature_c: ArrayLike, alpha20: float = ALPHA20) -> Values:
    """Resistance of copper at a temperature [°C] over that at 20 °C [-].

    alpha20 [1/K]. Holds from about -50 to 200 °C. Raises InputProblem where it would be zero or
    less (below -234 °C). Source: IEC 60028, 1 + α20·(T - 20).

    >>> round(resistance_factor(85.0), 4)
    1.2554
    """
    factor = 1.0 + alpha20 * (require_finite(temperature_c, "temperature_c", "°C") - 20.0)
    return plain(require_positive(factor, "temperature_c", "times the resistance at 20 °C"))


def resistance_ohm(
    r20_mohm_per_m: ArrayLike, length_m: ArrayLike, temperature_c: ArrayLike = 20.0
) -> Values:
    """Resistance [Ω] of a length [m] of conductor at a temperature [°C].

    r20_mohm_per_m: from a conductor table [mΩ/m]. Numbers or arrays that broadcast. Raises
    InputProblem for bad figures. Source: IEC 60228 (table), IEC 60028 (temperature).

    >>> round(resistance_ohm(12.7, 10.0, 85.0), 4)  # 1.5 mm², hot
    0.1594
    """
    r20 = require_positive(r20_mohm_per_m, "r20_mohm_per_m", "mΩ/m")
    length = require_not_negative(length_m, "length_m", "m")
    return plain(r20 * length / 1000.0 * resistance_factor(temperature_c))


def loop_resistance(
    r20_mohm_per_m: ArrayLike,
    plus_m: ArrayLike,
    return_m: ArrayLike,
    temperature_c: ArrayLike = 20.0,
    fixed_ohm: ArrayLike = 0.0,
    return_r20_mohm_per_m: ArrayLike | None = None,
) -> Values:
    """Resistance [Ω] there and back: plus cable, return cable, and what does not grow with length.

    r20_mohm_per_m [mΩ/m]; plus_m, return_m: lengths [m], the return 0 where the body carries it;
    temperature_c: of the conductor [°C]; fixed_ohm: joints, earth points, body [Ω];
    return_r20_mohm_per_m [mΩ/m] if the return is another cable. Raises InputProblem for bad
    figures. Source: series resistances.

    >>> round(loop_resistance(12.7, 4.0, 0.5, fixed_ohm=0.005), 5)
    0.06215
    """
    back = r20_mohm_per_m if return_r20_mohm_per_m is None else return_r20_mohm_per_m
    there = resistance_ohm(r20_mohm_per_m, plus_m, temperature_c)
    fixed = require_not_negative(fixed_ohm, "fixed_ohm", "Ω")
    return plain(there + resistance_ohm(back, return_m, temperature_c) + fixed)


def awg_from_area(area_mm2: ArrayLike) -> Values:
    """AWG number, with decimals, of a copper section [mm²].

    Raises InputProblem for a section of zero or less. Source: ASTM B258, inverted.

    >>> round(awg_from_area(2.081), 2)  # AWG 14 by the table
    14.0
    """
    diameter = np.sqrt(4.0 / np.pi * require_positive(area_mm2, "area_mm2", "mm²"))
    return plain(36.0 - 39.0 * np.log(diameter / 0.127) / np.log(92.0))


def nearest_awg(area_mm2: ArrayLike) -> Values:
    """Whole AWG number nearest in copper section [mm²] (by ratio). Source: ASTM B258.

    >>> nearest_awg([0.75, 1.5, 2.5, 6.0])
    array([18., 15., 13.,  9.])
    """
    return plain(np.round(awg_from_area(area_mm2)))


def awg_name(awg: float) -> str:
    """How the trade writes an AWG number, awg [-]: 1/0 for 0, 2/0 for -1. Source: ASTM B258.

    >>> awg_name(14), awg_name(0), awg_name(-1)
    ('14', '1/0', '2/0')
    """
    whole = round(awg)
    return str(whole) if whole > 0 else f"{1 - whole}/0"
