"""How far a meter's reading may be off.

In: the reading, the last digit of the range and what the meter's leaflet states, a share of the
reading and a number of last digits ("counts"). Out: limits of the true value, in the same unit.

Source: the way makers of digital meters state accuracy, ± (share of reading + counts).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.values import Values, plain, require_finite, require_not_negative


def meter_error(
    value: ArrayLike, resolution: ArrayLike, share: ArrayLike = 0.0, counts: ArrayLike = 3.0
) -> Values:
    """How far a reading may be off, in the reading's unit.

    value [V, A, mV …] and resolution [the same unit], the last digit of the range; share [-] of the
    reading and counts [-] of the last digit, both off at worst. Numbers or arrays that broadcast.
    Raises InputProblem for a negative share, count or resolution.
    Source: ± (share of reading + counts), as makers of digital meters state accuracy.

    >>> round(meter_error(100.0, 0.1, share=0.01, counts=2), 3)
    1.2
    """
    size = np.abs(require_finite(value, "value", "-"))
    digit = require_not_negative(resolution, "resolution", "-")
    return plain(
        size * require_not_negative(share, "share", "-")
        + digit * require_not_negative(counts, "counts", "-")
    )


def share_as_counts(
    value: ArrayLike, resolution: ArrayLike, share: ArrayLike = 0.0, counts: ArrayLike = 3.0
) -> Values:
    """Counts [-] that alone allow the same error at this reading, for what knows only counts.

    Arguments as in meter_error; a resolution of zero is refused. Raises InputProblem.
    Source: meter_error over the last digit.

    >>> round(share_as_counts(10.0, 0.1, share=0.01, counts=3), 6)
    4.0
    """
    digit = require_not_negative(resolution, "resolution", "-")
    return plain(meter_error(value, digit, share, counts) / np.maximum(digit, 1e-12))
