"""What a fuse carries for good, what inrush it bears, and the smallest standard rating that does.

In: ratings [A], ambient [°C], the published figures of a fuse family (temperature table, rerating
line, melting I²t [A²s]); the load [A] with its inrush [A²s], and the ceilings that cable, tap and
host set [A]. Out: continuous limits [A], inrush against limit [A²s], the rating or none with the
reason and every found value with its limit. When a fuse opens: operating_time.py.

Source: fuse makers' data sheets for the figures (given by the caller); the rules are named at each
function; choosing the smallest that passes is ours.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from fusemap.electrics.values import (
    Comparison,
    Floats,
    TruthArray,
    Values,
    plain,
    require_finite,
    require_fit,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import in_row, say

CONTINUOUS_SHARE = 0.75
"""Share of the rating for a lasting load at 23 to 25 °C [-] (Littelfuse, Fuseology)."""

PULSE_SHARES = {100: 0.48, 1_000: 0.38, 10_000: 0.29, 100_000: 0.22}
"""Pulses over the life of the fuse: the share of its melting I²t one pulse may have [-] (Littelfuse
fuse catalogue 2017, chart 2; pulses 10 s or more apart). Drawn for other fuses: by analogy."""

LONGEST_PULSE_S = 1.0
"""A start that takes longer is no pulse for a fuse, but load [s]; ours."""

PULSE_SHAPES = ("constant", "slope", "half_sine", "parabola", "decay")
"""Forms of an inrush that pulse_i2t knows."""


class ReratingLine(Struct, frozen=True, eq=False):
    """How the rating of a fuse family changes with ambient: a straight line through two points.

    cold_c, hot_c [°C]; cold_factor, hot_factor [-]; hottest_c: the highest ambient the family is
    made for [°C]. Numbers, or arrays with one item per fuse. No margin is inside.

    >>> mini = ReratingLine(-39.85, 1.0997, 123.12, 0.8528)  # series 297 data sheet, line read off
    >>> round(mini.factor(76.25), 4)
    0.9238
    """

    cold_c: Values
    cold_factor: Values
    hot_c: Values
    hot_factor: Values
    hottest_c: Values = 125.0

    def factor(self, ambient_c: ArrayLike) -> Values:
        """Rating at this ambient [°C] over the nominal one [-]; 0 above hottest_c.

        Raises InputProblem for no number. Source: straight line between the two points, carried on
        past them.
        """
        ambient = require_finite(ambient_c, "ambient_c", "°C")
        slope = (np.asarray(self.hot_factor) - self.cold_factor) / (
            np.asarray(self.hot_c) - self.cold_c
        )
        factor = self.cold_factor + slope * (ambient - self.cold_c)
        return plain(np.where(ambient > self.hottest_c, 0.0, np.maximum(factor, 0.0)))


NO_LINE = ReratingLine(-40.0, 1.0, 125.0, 1.0)
"""For a family whose rerating line is not published: factor 1 up to 125 °C."""


def share_limit(
    rating_a: ArrayLike,
    ambient_c: ArrayLike,
    share: ArrayLike = CONTINUOUS_SHARE,
    line: ReratingLine = NO_LINE,
) -> Values:
    """Lasting load [A] by the share rule: share × rating × rerating line at the ambient [°C].

    rating_a [A], ambient_c [°C], share [-]; numbers or arrays that broadcast. Raises InputProblem
    for a rating or share of zero or less. Source: Littelfuse, Fuseology (75 % at 25 °C).

    >>> share_limit(10.0, 25.0)
    7.5
    """
    rating = require_positive(rating_a, "rating_a", "A")
    factor = np.asarray(line.factor(ambient_c))
    return plain(require_positive(share, "share", "-") * rating * factor)


def table_limit(columns_c: ArrayLike, allowed_a: ArrayLike, ambient_c: ArrayLike) -> Values:
    """Lasting load [A] by a maker's temperature table, read at the next higher column.

    columns_c: the table's ambients, rising [°C], shape (columns,); allowed_a [A], shape
    (..., columns); ambient_c [°C], a number or shape (...). The table has its margin inside: no
    share on top. Above the hottest column nothing is published, so 0 A. Raises InputProblem for
    columns that do not rise. Source: the caller's table, e.g. Littelfuse ATOF 287 data sheet.

    >>> table_limit([20, 65, 85], [23, 19, 18], 60.0)  # regular 25 A
    19.0
    """
    columns = require_finite(columns_c, "columns_c", "°C")
    if np.any(np.diff(columns) <= 0.0):
        raise InputProblem(say("the table's ambients must rise"), "columns_c")
    allowed = require_not_negative(allowed_a, "allowed_a", "A")
    ambient = require_finite(ambient_c, "ambient_c", "°C")
    padded = np.concatenate([allowed, np.zeros((*allowed.shape[:-1], 1))], axis=-1)
    column = np.searchsorted(columns, ambient, side="left")
    shape = np.broadcast_shapes(padded.shape[:-1], column.shape)
    rows = np.broadcast_to(padded, (*shape, padded.shape[-1]))
    index = np.broadcast_to(column, shape)[..., None]
    return plain(np.take_along_axis(rows, index, axis=-1)[..., 0])


def continuous_limit(
    rating_a: ArrayLike,
    ambient_c: ArrayLike,
    share: ArrayLike = CONTINUOUS_SHARE,
    line: ReratingLine = NO_LINE,
    table_a: ArrayLike = np.inf,
) -> Values:
    """Lasting load [A] that a fuse carries for good at an ambient [°C].

    The smaller of share_limit and the table's value table_a [A] (infinite where there is no table);
    the share is never put on the table's value, which has its margin inside. Numbers or arrays that
    broadcast. Raises InputProblem as share_limit.
    Source: Littelfuse, Fuseology; the maker's temperature table.

    >>> continuous_limit(10.0, 65.0, table_a=8.0)
    7.5
    >>> continuous_limit(10.0, 125.0, table_a=5.0)
    5.0
    """
    table = require_not_negative(table_a, "table_a", "A", endless=True)
    return plain(np.minimum(share_limit(rating_a, ambient_c, share, line), table))


def pulse_share(pulses: ArrayLike) -> Values:
    """Share of the melting I²t [-] that each of so many pulses [-] may have.

    Between two published numbers of pulses the stricter one holds. Raises InputProblem above
    100 000, where nothing is published. Source: Littelfuse fuse catalogue 2017, chart 2.

    >>> pulse_share([1, 100, 101, 100_000])
    array([0.48, 0.48, 0.38, 0.22])
    """
    count = require_not_negative(pulses, "pulses", "-")
    steps = np.array(list(PULSE_SHARES))
    if np.any(count > steps[-1]):
        raise InputProblem(say("more than 100 000 pulses: nothing published"), "pulses")
    shares = np.array(list(PULSE_SHARES.values()))
    return plain(shares[np.searchsorted(steps, count, side="left")])


def pulse_i2t(
    shape: str, peak_a: ArrayLike, duration_s: ArrayLike, base_a: ArrayLike = 0.0
) -> Values:
    """I²t [A²s] of an inrush of a plain form.

    shape: one of PULSE_SHAPES; peak_a [A]; duration_s [s], for "decay" the time constant; base_a:
    where a "slope" ends or starts [A], else without meaning. Raises InputProblem for an unknown
    shape or negative figures. Source: Littelfuse fuse catalogue 2017, chart 1.

    >>> round(pulse_i2t("parabola", 8.0, 0.004), 6)
    0.0512
    """
    peak = require_not_negative(peak_a, "peak_a", "A")
    base = require_not_negative(base_a, "base_a", "A")
    seconds = require_not_negative(duration_s, "duration_s", "s")
    mean_square = {
        "constant": peak**2,
        "slope": (peak**2 + peak * base + base**2) / 3.0,
        "half_sine": peak**2 / 2.0,
        "parabola": peak**2 / 5.0,
        "decay": peak**2 / 2.0,
    }
    if shape not in mean_square:
        raise InputProblem(
            say("no pulse of shape '{shape}'", shape=shape), "shape", in_row(PULSE_SHAPES)
        )
    return plain(mean_square[shape] * seconds)


def inrush_check(
    i2t_a2s: ArrayLike, melting_i2t_a2s: ArrayLike, pulses: ArrayLike = 100_000
) -> Comparison:
    """The I²t of an inrush [A²s] against what the fuse bears so many times [A²s].

    melting_i2t_a2s: typical melting I²t of the fuse [A²s]; pulses over its life [-]. Numbers or
    arrays. The shares were published for other fuses and hold here by analogy. Raises InputProblem
    for bad figures. Source: Littelfuse fuse catalogue 2017, chart 2.

    >>> inrush = inrush_check(20.0, 93.0)  # mini 10 A
    >>> round(inrush.limit, 2), inrush.passed
    (20.46, True)
    """
    found = require_not_negative(i2t_a2s, "i2t_a2s", "A²s")
    melting = require_positive(melting_i2t_a2s, "melting_i2t_a2s", "A²s")
    return Comparison(plain(found), plain(melting * pulse_share(pulses)), "at_most", "A²s")


class FuseChoice(Struct, frozen=True, eq=False):
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
