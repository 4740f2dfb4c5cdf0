"""What a load draws: from watts, at another voltage, and at the end of a resistance.

In: watts [W], amperes [A] at a rated voltage [V], the kind of load. Out: current [A], voltage [V];
a load that its cable cannot feed is told by a mask, never by a NaN.

Source: the load laws named at LOAD_EXPONENTS and at each function.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.values import (
    Truths,
    Values,
    plain,
    plain_truth,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import in_row, say

LOAD_EXPONENTS = {
    "constant_power": -1.0,
    "constant_current": 0.0,
    "resistive": 1.0,
    "filament": 0.55,
    "motor": 0.0,
}
"""p in I = I0·(V/V0)^p [-]. The first three by definition. Filament: lamp rerating, Standard
Handbook for Electrical Engineers, 11th ed., p. 22-8, as quoted in an encyclopaedia. Motor: what it
turns asks for a torque, and a direct-current machine gives torque in proportion to its current
(T = k·Φ·I): at a lower voltage it turns slower at the same current. Its inrush is given apart."""


def watts_to_amperes(watts: ArrayLike, volts: ArrayLike, efficiency: ArrayLike = 1.0) -> Values:
    """Current [A] of an appliance: watts over volts; efficiency [-] if the watts are its output.

    Raises InputProblem for negative watts, or volts or efficiency of zero. Source: P = V·I.

    >>> watts_to_amperes(90.0, 12.0)
    7.5
    """
    power = require_not_negative(watts, "watts", "W")
    share = require_positive(efficiency, "efficiency", "-")
    return plain(power / share / require_positive(volts, "volts", "V"))


def load_current(
    rated_a: ArrayLike, volts: ArrayLike, rated_v: ArrayLike, kind: str | ArrayLike
) -> Values:
    """Current [A] of a load at a voltage [V], from its current [A] at its rated voltage [V].

    kind: a word of LOAD_EXPONENTS, or the exponent p [-] itself (number or array). Good within
    some 20 % of the rated voltage. Raises InputProblem for an unknown word or zero volts.
    Source: I = I0·(V/V0)^p, see LOAD_EXPONENTS.

    >>> round(load_current(5.0, 10.8, 12.0, "constant_power"), 2)
    5.56
    """
    if isinstance(kind, str) and kind not in LOAD_EXPONENTS:
        raise InputProblem(
            say("no load of kind '{kind}'", kind=kind), "kind", in_row(LOAD_EXPONENTS)
        )
    power = LOAD_EXPONENTS[kind] if isinstance(kind, str) else np.asarray(kind, dtype=np.float64)
    ratio = require_positive(volts, "volts", "V") / require_positive(rated_v, "rated_v", "V")
    return plain(require_not_negative(rated_a, "rated_a", "A") * ratio**power)


@dataclass(frozen=True, eq=False)
class PowerBranch:
    """A constant-power load at the end of a resistance; numbers or arrays.

    Where `collapsed` is set there is no working point: the voltage falls until the load gives up.
    voltage_v and current_a then are those of the last point that holds (half the voltage), so that
    nothing downstream is taken for unloaded. limit_w is the most the branch can deliver.
    """

    voltage_v: Values
    current_a: Values
    collapsed: Truths
    limit_w: Values


def constant_power(emf_v: ArrayLike, ohm: ArrayLike, watts: ArrayLike) -> PowerBranch:
    """Voltage [V] and current [A] of a constant-power load [W] behind a resistance [Ω].

    emf_v: voltage of the source before the resistance [V]. Numbers or arrays that broadcast. The
    upper of the two solutions, which is the stable one. Raises InputProblem for bad figures.
    Source: V = (E + √(E² - 4·R·P))/2; none above P = E²/(4·R).

    >>> branch = constant_power(12.0, 0.2, 100.0)
    >>> branch.voltage_v, branch.current_a
    (10.0, 10.0)
    >>> constant_power(12.0, 0.2, 200.0).collapsed
    True
    """
    emf = require_positive(emf_v, "emf_v", "V")
    resistance = require_not_negative(ohm, "ohm", "Ω")
    power = require_not_negative(watts, "watts", "W")
    discriminant = emf**2 - 4.0 * resistance * power
    voltage = (emf + np.sqrt(np.maximum(discriminant, 0.0))) / 2.0
    divisor = np.where(resistance > 0.0, 4.0 * resistance, 1.0)
    with np.errstate(over="ignore"):  # next to no resistance: no limit either
        limit = np.where(resistance > 0.0, emf**2 / divisor, np.inf)
    return PowerBranch(
        voltage_v=plain(voltage),
        current_a=plain(np.minimum(power, limit) / voltage),
        collapsed=plain_truth(discriminant < 0.0),
        limit_w=plain(limit),
    )
