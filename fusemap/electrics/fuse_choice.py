"""The accessory fuse: the smallest standard rating that does.

In: the load [A] and its inrush [A²s], the ratings of a family [A] with their continuous limits [A]
and melting I²t [A²s], the ceilings that cable, tap and host set [A]. Out: the rating or none, the
reason, and every found value with its limit.

Source: continuous_limit and inrush_check of fuses.py; choosing the smallest that passes is ours.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.comparison import Comparison
from fusemap.electrics.fuses import inrush_check
from fusemap.electrics.values import (
    Floats,
    TruthArray,
    plain,
    require_fit,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import say


@dataclass(frozen=True, eq=False)
class FuseChoice:
    """The accessory fuse, or none, with all the figures behind it.

    rating_a [A], None if none does; reason: why not the next smaller one, or why none: "load",
    "inrush", or the name of the ceiling in the way ("" if the smallest on offer does); load: load
    [A] against the continuous limit of each rating, shape (n,); inrush: I²t against limit, if it
    was asked for; ceilings: the ratings against each ceiling [A]; inrush_unknown: the chosen fuse
    has no published melting I²t, so the inrush could not be checked.
    """

    rating_a: float | None
    reason: str
    load: Comparison
    inrush: Comparison | None
    ceilings: dict[str, Comparison]
    inrush_unknown: bool


def choose_fuse(
    load_a: float,
    ratings_a: ArrayLike,
    limits_a: ArrayLike,
    *,
    inrush_i2t_a2s: float = 0.0,
    melting_i2t_a2s: ArrayLike | None = None,
    pulses: float = 100_000,
    ceilings: Mapping[str, float] | None = None,
) -> FuseChoice:
    """The smallest standard rating [A] that carries a load [A] for good and bears its inrush.

    ratings_a [A] rising, limits_a: continuous limit of each at its ambient [A], melting_i2t_a2s
    [A²s] with NaN where it is not published, all of shape (n,); inrush_i2t_a2s [A²s], so many
    pulses [-]; ceilings: the highest ratings [A] that cable, tap and host allow, by name, inf for
    none. A rating
    without a published melting I²t is not held back by the inrush, but marked. Raises InputProblem
    for bad figures. Source: fuses.continuous_limit, fuses.inrush_check; choosing is ours.

    >>> ratings, limits = [5, 7.5, 10, 15], [3.75, 5.625, 7.5, 11.25]
    >>> choose_fuse(7.5, ratings, limits, ceilings={"tap": 10.0}).rating_a
    10.0
    >>> choice = choose_fuse(9.0, ratings, limits, ceilings={"tap": 10.0})
    >>> choice.rating_a, choice.reason
    (None, 'tap')
    """
    ratings = require_positive(ratings_a, "ratings_a", "A")
    if ratings.ndim != 1 or np.any(np.diff(ratings) <= 0.0):
        raise InputProblem(say("the ratings must rise"), "ratings_a")
    found = float(require_not_negative(load_a, "load_a", "A"))
    limits = require_not_negative(limits_a, "limits_a", "A")
    load = Comparison(found, require_fit(limits, ratings, "limits_a"), "at_most", "A")
    require_not_negative(inrush_i2t_a2s, "inrush_i2t_a2s", "A²s")
    inrush, known = _inrush(inrush_i2t_a2s, melting_i2t_a2s, pulses, ratings)
    caps = {
        name: Comparison(ratings, plain(require_not_negative(cap, name, "A", True)), "at_most", "A")
        for name, cap in (ceilings or {}).items()
    }
    strong = np.asarray(load.passed) & (True if inrush is None else inrush.passed)
    fits = strong.copy()
    for cap in caps.values():
        fits &= cap.passed
    index = int(np.argmax(fits)) if fits.any() else None
    return FuseChoice(
        rating_a=None if index is None else float(ratings[index]),
        reason=_reason(index, load, strong, caps),
        load=load,
        inrush=inrush,
        ceilings=caps,
        inrush_unknown=inrush_i2t_a2s > 0.0 and index is not None and not known[index],
    )


def _inrush(
    i2t_a2s: float, melting_a2s: ArrayLike | None, pulses: float, ratings: Floats
) -> tuple[Comparison | None, TruthArray]:
    """The inrush comparison, infinite limit where nothing is published, and where it is known."""
    melting = np.asarray(np.nan if melting_a2s is None else melting_a2s, dtype=np.float64)
    melting = require_fit(melting, ratings, "melting_i2t_a2s")
    known = np.isfinite(melting)
    if i2t_a2s == 0.0:
        return None, known
    check = inrush_check(i2t_a2s, np.where(known, melting, 1.0), pulses)
    limit = np.where(known, check.limit, np.inf)  # nothing published holds nothing back
    return Comparison(check.found, limit, "at_most", "A²s"), known


def _reason(
    index: int | None,
    load: Comparison,
    strong: TruthArray,
    caps: dict[str, Comparison],
) -> str:
    """What held back the next smaller rating, or all of them."""
    carries = np.asarray(load.passed)
    if index is not None:
        if index == 0:
            return ""
        return "inrush" if carries[index - 1] else "load"
    if not strong.any():
        return "inrush" if carries.any() else "load"
    lowest_strong = int(np.argmax(strong))
    blocked = {name: cap.at(lowest_strong) for name, cap in caps.items()}
    return min((cap.limit, name) for name, cap in blocked.items() if not cap.passed)[1]
