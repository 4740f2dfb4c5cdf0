"""Hops of what protects a tap's cable: in an overload, in a hard short, in one at the far end."""

from functools import lru_cache
from math import isfinite, nan
from typing import Final

import numpy as np

from fusemap.assess.hops.cable import NO_CABLE, cable_inputs
from fusemap.assess.hops.cable_limits import (
    FAR_END_SUM,
    OVERLOAD_SUM,
    SHORT_RULE,
    SHORT_SUM,
    far_end_breach,
)
from fusemap.assess.hops.kind import Breach, Held, HopKind, Input, Setting, View
from fusemap.assess.result import Basis, Floats
from fusemap.assess.verdict import Ground
from fusemap.electrics.protection import (
    adiabatic_k,
    far_end,
    overload_gap,
    short_check,
)
from fusemap.text import Amount, Text, Words, given, in_row, say, say_in


def unprotected(v: View) -> Text:
    """Why it cannot be said whether a fuse protects the cable of a tap."""
    return NO_CABLE if v.tap.cable_out is None else say("no fuse protects this cable")


def stand_in(v: View) -> Ground:
    """Where the times of the fuse that protects a cable are from."""
    if v.protection is None:
        return "none"
    return "published" if v.protection.published else "analogy"


THICKER: Final = say(
    "Use a thicker cable, a smaller accessory fuse if the load allows, or a shorter run."
)


NO_POINT: Final = (nan, nan)
"""Stands where a list of a fuse's points is shorter than others."""

RATINGS: Final = say_in("unit", "× rating")
"""The unit of a current as a multiple of a fuse's rating."""


def overload_points(s: Setting) -> tuple[Floats, Floats]:
    """Multiples [-] and longest times [s] of every tap's protecting fuse [(points, taps)].

    Shorter lists are filled up with NaN; a time is infinite where the fuse may carry it for good.
    """
    table = _points(tuple(() if guard is None else guard.overloads for guard in s.protection))
    return table[..., 0], table[..., 1]


@lru_cache(maxsize=8)
def _points(lists: tuple[tuple[tuple[float, float], ...], ...]) -> Floats:
    """These lists of pairs as a table [(points, lists, 2)]: the same at both ends of a vehicle."""
    longest = max(map(len, lists), default=0)
    rows = [(*points, *[NO_POINT] * (longest - len(points))) for points in lists]
    table = np.array(rows, dtype=float).reshape(len(lists), longest, 2).swapaxes(0, 1)
    table.setflags(write=False)
    return table


def _fuse_source(v: View) -> Words:
    return "" if v.protection is None else v.protection.source


class Protected(HopKind):
    """Whether a fuse protects the cable: asked of every tap, of one without a fuse, too."""

    own = protects = True

    def blind(self, s: Setting) -> np.ndarray:
        return np.ones(s.count, dtype=bool)

    def missing(self, v: View) -> Text:
        return unprotected(v)

    def ground(self, v: View) -> Ground:
        return stand_in(v)


class Overload(Protected):
    """The hottest a cable gets at any overload that its fuse may carry."""

    key = "overload"
    quantity = say("conductor temperature")
    unit = "°C"
    code = "cable_overload_gap"

    def figures(self, s: Setting) -> Held:
        return self._held((s,))[0]

    def both(self, known: Setting, most: Setting) -> tuple[Held, Held]:
        at_known, at_most = self._held((known, most))
        return at_known, at_most

    def _held(self, ends: tuple[Setting, ...]) -> list[Held]:
        """The hottest of all points of each tap's fuse, at each of these ends."""
        asked = [self._asked(s) for s in ends]
        columns = np.concatenate(
            [column + n * ends[0].count for n, (column, _) in enumerate(asked)]
        )
        load, limit = (np.full(len(ends) * ends[0].count, np.nan) for _ in range(2))
        if columns.size:
            rating, longest, most_c, r20, area, od, ambient, times, start_c = np.concatenate(
                [figures for _column, figures in asked], axis=1
            )
            gap = overload_gap(
                *(rating, longest, most_c, r20, area, od, ambient), multiple=times, start_c=start_c
            )
            load[columns] = -np.inf
            np.maximum.at(load, columns, np.asarray(gap.found))
            limit[columns] = np.asarray(gap.limit)
        shape = len(ends), ends[0].count
        return [Held(*each) for each in zip(load.reshape(shape), limit.reshape(shape), strict=True)]

    def _asked(self, s: Setting) -> tuple[np.ndarray, Floats]:
        """Every point of every tap's fuse: which tap [(points,)], and what it is reckoned from."""
        run = s.circuit.cables.thinner
        multiples, seconds = overload_points(s)
        point, column = np.nonzero(run.given & ~np.isnan(seconds))
        figures = (
            s.circuit.cables.rating_a[column],
            seconds[point, column],
            run.overload_limit_c[column],
            run.r20_mohm_per_m[column],
            run.area_mm2[column],
            run.od_mm[column],
            run.ambient_c[column],
            multiples[point, column],
            s.warmth.before_c[int(s.at_most), column],
        )
        return column, np.stack(figures)

    def title(self, v: View) -> Text:
        return say("Cable while its fuse lets an overload pass")

    def basis(self, v: View) -> Basis:
        return Basis(
            OVERLOAD_SUM,
            (v.protected_by(), self._points(v), *cable_inputs(v)),
            _fuse_source(v),
        )

    def _points(self, v: View) -> Input:
        """The points of the fuse that were reckoned with: “1.35 × for 600 s, 2 × for 5 s”."""
        known = v.protection
        points = in_row(
            say("{times} × for {time}", times=given(times), time=Amount(seconds, "s"))
            if isfinite(seconds)
            else say("{times} × for good", times=given(times))
            for times, seconds in (() if known is None else known.overloads)
        )
        if known is None or known.published:
            return say("Published points"), points
        return say("Not published, reckoned with"), points

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("The fuse lets an overload pass long enough to overheat this cable."),
            v.a.rules["overload_multiple"].label,
            THICKER,
        )


class HardShort(Protected):
    """What the fuse lets through in a short against what the copper takes up."""

    key = "short"
    quantity = say("I²t")
    unit = "A²s"
    code = "cable_short"

    def figures(self, s: Setting) -> Held:
        run = s.circuit.cables.thinner
        through = np.array([np.nan if g is None else g.let_through_a2s for g in s.protection])
        at = run.given & (np.nan_to_num(through) > 0)
        load, limit = s.blank(), s.blank()
        if at.any():
            k = adiabatic_k(run.limit_c[at], run.short_end_c[at])
            check = short_check(through[at], run.area_mm2[at], k)
            load[at], limit[at] = check.found, check.limit
        return Held(load, limit)

    def title(self, v: View) -> Text:
        return say("Cable in a hard short")

    def basis(self, v: View) -> Basis:
        return Basis(
            SHORT_SUM,
            (v.protected_by(), *cable_inputs(v)),
            say("IEC 60364-4-43; {source}", source=_fuse_source(v)),
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("A short circuit overheats this cable before its fuse has opened."),
            SHORT_RULE,
            THICKER,
        )


class FarEnd(Protected):
    """A short at the far end of the cable: does the fuse open?"""

    key = "far_end"
    quantity = say("fault current")
    unit = RATINGS.template
    at_most = False
    code = "cable_far_end"
    printed = True

    def figures(self, s: Setting) -> Held:
        cables = s.circuit.cables
        at = cables.out.given & ~np.isnan(cables.rating_a)
        load, limit = s.blank(), s.blank()
        if at.any():
            end = far_end(
                s.circuit.fault_v_at(s.circuit.tap_roots)[at],
                cables.rating_a[at],
                cables.fault_ohm[at],
                s.upstream_ohm[at],
                wanted=s.rules["far_end_multiple"],
                least=s.rules["far_end_multiple_least"],
            )
            load[at], limit[at] = end.wanted.found, end.wanted.limit
        return Held(load, limit)

    def title(self, v: View) -> Text:
        return say("Short at the far end: does the fuse open?")

    def ground(self, v: View) -> Ground:
        return v.rule_ground("far_end_multiple")

    def basis(self, v: View) -> Basis:
        ohm = float(v.a.circuit.cables.fault_ohm[v.column])
        return Basis(
            FAR_END_SUM,
            (
                (
                    say("Voltage"),
                    Amount(float(v.a.circuit.fault_v_at(v.a.circuit.tap_roots)[v.column]), "V"),
                ),
                (say("Warm cables"), Amount(ohm, "Ω")),
                (say("Everything else"), Amount(float(v.a.upstream_ohm[v.column]), "Ω")),
                v.protected_by(),
            ),
            v.a.rules["far_end_multiple"].source,
        )

    def breach(self, v: View) -> Breach:
        least, rule = v.a.rule("far_end_multiple_least"), v.a.rules["far_end_multiple"]
        return far_end_breach(v.load(self.key), least, rule, THICKER)


HOPS: Final = (
    Overload(),
    HardShort(),
    FarEnd(),
)
