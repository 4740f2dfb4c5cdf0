"""The number types that the formulas share, the checks on what goes in, and the comparison.

Every formula takes a number or an array and gives back the same kind: a float for floats, an array
for arrays that broadcast together. A comparison is one figure held against its limit, so that a
person can redo the sum: ratio, margin, passed; the words follow from them elsewhere. Units are
those of the two figures and are carried along as text. Nothing here is physics: no source applies.
"""

from __future__ import annotations

from collections.abc import Callable
from math import isfinite
from typing import Any, Literal

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike, NDArray

from fusemap.errors import InputProblem
from fusemap.text import Amount, Text, given, say

Floats = NDArray[np.float64]
Values = float | Floats
"""A number, or an array of numbers."""
TruthArray = NDArray[np.bool_]
Truths = bool | TruthArray
"""Yes or no, or an array of them."""


def plain(values: ArrayLike) -> Values:
    """A float if there is only one value without an axis, else the array itself.

    >>> plain(np.asarray(2))
    2.0
    """
    array = np.asarray(values, dtype=np.float64)
    return float(array) if array.ndim == 0 else array


def plain_truth(values: ArrayLike) -> Truths:
    """A bool if there is only one answer without an axis, else the array of answers.

    >>> plain_truth(np.asarray(3) > 2)
    True
    """
    array = np.asarray(values, dtype=np.bool_)
    return bool(array) if array.ndim == 0 else array


def require_positive(values: ArrayLike, where: str, unit: str, endless: bool = False) -> Floats:
    """The values as an array, all above zero; `endless` also lets infinity pass.

    Raises InputProblem that names the argument.

    >>> require_positive(-1.0, "rating_a", "A")
    Traceback (most recent call last):
    fusemap.errors.InputProblem: rating_a: −1 A given, more than 0 A needed
    """
    if isinstance(values, float) and values > 0.0 and (endless or isfinite(values)):
        return np.asarray(values)  # one number, as nearly all are: asked in plain Python
    return _require(values, where, unit, _positive, lambda x: (x > 0.0) & _real(x, endless))


def require_not_negative(values: ArrayLike, where: str, unit: str, endless: bool = False) -> Floats:
    """The values as an array, none below zero; `endless` also lets infinity pass.

    Raises InputProblem that names the argument.

    >>> require_not_negative(float("nan"), "load_a", "A")
    Traceback (most recent call last):
    fusemap.errors.InputProblem: load_a: ? A given, at least 0 A needed
    """
    if isinstance(values, float) and values >= 0.0 and (endless or isfinite(values)):
        return np.asarray(values)
    return _require(values, where, unit, _not_negative, lambda x: (x >= 0.0) & _real(x, endless))


def require_finite(values: ArrayLike, where: str, unit: str) -> Floats:
    """The values as an array, each an ordinary number (a temperature may be below zero).

    Raises InputProblem that names the argument.

    >>> float(require_finite(-40, "ambient_c", "°C"))
    -40.0
    """
    if isinstance(values, float) and isfinite(values):
        return np.asarray(values)
    return _require(values, where, unit, _finite, np.isfinite)


def require_fit(values: ArrayLike, like: Floats, where: str) -> Floats:
    """The values stretched to the shape of other ones that they belong to.

    Raises InputProblem that names the argument if there are too many or too few.

    >>> require_fit([3.75, 7.5, 11.25], np.array([5.0, 10.0]), "limits_a")
    Traceback (most recent call last):
    fusemap.errors.InputProblem: limits_a: shape (3,) given, (2,) needed
    """
    array = np.asarray(values, dtype=np.float64)
    try:
        return np.broadcast_to(array, like.shape)
    except ValueError:
        what = say(
            "shape {shape} given, {wanted} needed",
            shape=str(array.shape),
            wanted=str(like.shape),
        )
        raise InputProblem(what, where) from None


def _real(values: Floats, endless: bool) -> TruthArray:
    return ~np.isnan(values) if endless else np.isfinite(values)


def _positive(found: Amount, unit: str) -> Text:
    return say("{found} given, more than {limit} needed", found=found, limit=given(0.0, unit))


def _not_negative(found: Amount, unit: str) -> Text:
    return say("{found} given, at least {limit} needed", found=found, limit=given(0.0, unit))


def _finite(found: Amount, unit: str) -> Text:
    return say("{found} given, a number in {unit} needed", found=found, unit=unit)


def _require(
    values: ArrayLike,
    where: str,
    unit: str,
    wanted: Callable[[Amount, str], Text],
    good: Callable[[Floats], TruthArray],
) -> Floats:
    array = np.asarray(values, dtype=np.float64)
    fits = np.asarray(good(array))
    if not fits.all():
        culprit = float(array[~fits].flat[0])
        raise InputProblem(wanted(given(culprit, unit), unit), where)
    return array


Direction = Literal["at_most", "at_least"]


class Comparison(Struct, frozen=True, eq=False):
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
