"""What a load draws at another voltage than its rated one.

In: amperes [A] at a rated voltage [V], the kind of load. Out: current [A].

Source: the load laws named at LOAD_EXPONENTS.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.values import (
    Values,
    plain,
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
