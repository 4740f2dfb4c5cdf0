"""Resistance, voltage drop and gauge of a cable.

In: resistance per metre at 20 °C from a conductor table [mΩ/m], lengths [m], temperatures [°C],
currents [A]. Out: resistance [Ω], drop [V], length [m], section [mm²], AWG. Take the resistance
from the table, not from the section: stranded cable lies 5 to 11 % above resistivity over area.

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

RESISTIVITY20 = 0.017241
"""Resistivity of annealed copper at 20 °C [Ω·mm²/m], 58 MS/m (IEC 60028)."""


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


def voltage_drop(current_a: ArrayLike, ohm: ArrayLike) -> Values:
    """Voltage drop [V] of a current [A] over a resistance [Ω].

    Raises InputProblem for negative figures. Source: Ohm's law.

    >>> round(voltage_drop(20.0, 0.0471), 3)
    0.942
    """
    current = require_not_negative(current_a, "current_a", "A")
    return plain(current * require_not_negative(ohm, "ohm", "Ω"))


def allowed_length(
    drop_v: ArrayLike,
    current_a: ArrayLike,
    r20_mohm_per_m: ArrayLike,
    temperature_c: ArrayLike = 20.0,
    fixed_ohm: ArrayLike = 0.0,
) -> Values:
    """Longest conductor [m], plus and return together, for an allowed drop [V] at a current [A].

    r20_mohm_per_m [mΩ/m], temperature_c: of the conductor [°C]; fixed_ohm: joints and body [Ω]; 0 m
    where they alone use the drop up. Raises InputProblem for bad figures.
    Source: Ohm's law solved for the length.

    >>> round(allowed_length(0.36, 5.0, 7.6), 2)  # 2.5 mm², 3 % of 12 V
    9.47
    """
    current = require_positive(current_a, "current_a", "A")
    left_ohm = require_not_negative(drop_v, "drop_v", "V") / current
    left_ohm = left_ohm - require_not_negative(fixed_ohm, "fixed_ohm", "Ω")
    return plain(np.maximum(left_ohm, 0.0) / resistance_ohm(r20_mohm_per_m, 1.0, temperature_c))


def section_for_drop(
    length_m: ArrayLike,
    current_a: ArrayLike,
    drop_v: ArrayLike,
    resistivity: ArrayLike = RESISTIVITY20,
) -> Values:
    """Section [mm²], standard or not, that keeps an allowed drop [V] over a conductor length [m].

    length_m: plus and return together; current_a [A]; resistivity [Ω·mm²/m]. A rough figure from
    resistivity over area: the choice goes by table resistances. Raises InputProblem for bad
    figures.
    Source: S = ρ·L·I/ΔU.

    >>> round(section_for_drop(36.0, 2.1, 0.6, 1 / 56), 2)
    2.25
    """
    length = require_not_negative(length_m, "length_m", "m")
    current = require_not_negative(current_a, "current_a", "A")
    rho = require_positive(resistivity, "resistivity", "Ω·mm²/m")
    return plain(rho * length * current / require_positive(drop_v, "drop_v", "V"))


def awg_diameter_mm(awg: ArrayLike) -> Values:
    """Diameter [mm] of a solid wire of an AWG number.

    awg [-]: 1/0 is 0, 2/0 is -1. Raises InputProblem for no number. Source: ASTM B258.

    >>> round(awg_diameter_mm(10), 3)
    2.588
    """
    gauge = require_finite(awg, "awg", "-")
    return plain(0.127 * 92.0 ** ((36.0 - gauge) / 39.0))


def awg_area_mm2(awg: ArrayLike) -> Values:
    """Copper section [mm²] of an AWG number, solid wire.

    awg [-] as awg_diameter_mm, which also raises. Source: ASTM B258.

    >>> round(awg_area_mm2(16), 2)
    1.31
    """
    return plain(np.pi / 4.0 * np.asarray(awg_diameter_mm(awg)) ** 2)


def awg_from_area(area_mm2: ArrayLike) -> Values:
    """AWG number, with decimals, of a copper section [mm²].

    Raises InputProblem for a section of zero or less. Source: ASTM B258, inverted.

    >>> round(awg_from_area(awg_area_mm2(14)), 9)
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
