"""One figure held against its limit, so that a person can redo the sum.

In: what was found, the limit, which side is good. Out: ratio, margin, passed; the words follow from
them elsewhere. Units are those of the two figures and are carried along as text. A definition of
ours; no source applies.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from fusemap.electrics.values import Truths, Values, plain, plain_truth

Direction = Literal["at_most", "at_least"]


@dataclass(frozen=True, eq=False)
class Comparison:
    """A found value [unit] against its limit [unit]; numbers or arrays that broadcast.

    `direction` says how the found value must lie to the limit. The ratio reads the same both ways:
    up to 1 is good, and 0.8 leaves a fifth in hand.

    >>> voltage = Comparison(found=11.4, limit=10.8, direction="at_least", unit="V")
    >>> voltage.passed, round(voltage.margin, 3), round(voltage.ratio, 3)
    (True, 0.6, 0.947)
    """

    found: Values
    limit: Values
    direction: Direction
    unit: str

    @property
    def ratio(self) -> Values:
        """Share of the limit that is used up [-]; inf where a limit of nothing is asked too much.

        >>> Comparison(7.0, 0.0, "at_most", "A").ratio
        inf
        """
        found, limit = np.asarray(self.found), np.asarray(self.limit)
        top, bottom = (found, limit) if self.direction == "at_most" else (limit, found)
        both_endless = np.isinf(top) & np.isinf(bottom)
        safe = np.where((bottom == 0.0) | both_endless, 1.0, bottom)
        with np.errstate(over="ignore"):  # a limit of next to nothing: endless, not a warning
            share = np.where(both_endless, 1.0, top) / safe
        usual = np.where(np.isinf(bottom), 0.0, share)
        usual = np.where(both_endless, 1.0, usual)
        return plain(np.where(bottom == 0.0, np.where(top == 0.0, 1.0, np.inf), usual))

    @property
    def passed(self) -> Truths:
        """Whether the found value keeps the limit; being exactly on it passes."""
        found, limit = np.asarray(self.found), np.asarray(self.limit)
        return plain_truth(found <= limit if self.direction == "at_most" else found >= limit)

    @property
    def margin(self) -> Values:
        """What is left to the limit [unit]; negative where it is broken."""
        found, limit = np.asarray(self.found), np.asarray(self.limit)
        alike = found == limit  # infinite both: nothing left, not a NaN
        found, limit = np.where(alike, 0.0, found), np.where(alike, 0.0, limit)
        return plain(limit - found if self.direction == "at_most" else found - limit)

    def at(self, index: Any) -> Comparison:
        """The comparison of one item of an array; a figure common to all stays itself.

        >>> both = Comparison(np.array([0.2, 0.5]), 0.36, "at_most", "V")
        >>> both.at(1).found, both.at(1).limit, both.at(1).passed
        (0.5, 0.36, False)
        """
        found, limit = np.broadcast_arrays(self.found, self.limit)
        return Comparison(plain(found[index]), plain(limit[index]), self.direction, self.unit)
