"""Hops that say whether a fuse protects its cable: in an overload, in a short, at the far end."""

from math import isfinite
from typing import Final

import numpy as np

from fusemap.assess.cables import Runs, thinner
from fusemap.assess.hops.cable import cable_inputs
from fusemap.assess.hops.kind import Breach, Held, HopKind, Input, Setting, View
from fusemap.assess.result import Basis, Floats
from fusemap.electrics.cable_heat import temperature_in_turns
from fusemap.electrics.protection import (
    FAULT_CABLE_C,
    adiabatic_k,
    far_end,
    overload_gap,
    short_check,
)
from fusemap.text import Amount, Text, Words, given, in_row, say, say_in

THICKER: Final = say(
    "Use a thicker cable, a smaller accessory fuse if the load allows, or a shorter run."
)
RATINGS: Final = say_in("unit", "× rating")
"""The unit of a current as a multiple of a fuse's rating."""


def overload_points(s: Setting) -> tuple[Floats, Floats]:
    """Multiples [-] and longest times [s] of every tap's protecting fuse [(points, taps)].

    Shorter lists are filled up with NaN; a time is infinite where the fuse may carry it for good.
    """
    lists = [() if guard is None else guard.overloads for guard in s.protection]
    table = np.full((max(map(len, lists), default=0), s.count, 2), np.nan)
    for column, points in enumerate(lists):
        table[: len(points), column] = np.reshape(points, (-1, 2))
    return table[..., 0], table[..., 1]


def _thinner(s: Setting) -> Runs:
    return thinner(s.a.circuit.cables.out, s.a.circuit.cables.back)


def _fuse_source(v: View) -> Words:
    return "" if v.protection is None else v.protection.source


class Overload(HopKind):
    """The hottest a cable gets at any overload that its fuse may carry."""

    key = "overload"
    quantity = say("conductor temperature")
    unit = "°C"
    code = "cable_overload_gap"
    own = protects = True

    def figures(self, s: Setting) -> Held:
        run = _thinner(s)
        multiples, seconds = overload_points(s)
        load, limit = s.blank(), s.blank()
        point, column = np.nonzero(run.given & ~np.isnan(seconds))
        if column.size:
            gap = overload_gap(
                s.a.circuit.cables.rating_a[column],
                seconds[point, column],
                run.overload_limit_c[column],
                run.r20_mohm_per_m[column],
                run.area_mm2[column],
                run.od_mm[column],
                run.ambient_c[column],
                multiple=multiples[point, column],
                start_c=self._before_c(s, run)[column],
            )
            load[column] = -np.inf
            np.maximum.at(load, column, np.asarray(gap.found))
            limit[column] = np.asarray(gap.limit)
        return Held(load, limit)

    def _before_c(self, s: Setting, run: Runs) -> Floats:
        """How warm each conductor is before a fault, were it to lie by itself [°C, (taps,)]."""
        taps, at, found = s.a.circuit.taps, run.given, s.blank()
        found[at] = temperature_in_turns(
            s.peak_a[at],
            taps.heat_share[at],
            taps.on_s[at],
            run.r20_mohm_per_m[at],
            run.area_mm2[at],
            run.od_mm[at],
            run.ambient_c[at],
        )
        return found

    def title(self, v: View) -> Text:
        return say("Cable while its fuse lets an overload pass")

    def basis(self, v: View) -> Basis:
        return Basis(
            say(
                "a fuse may carry so many times its rating for so long; the conductor's temperature"
                " at the worst of these points"
            ),
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


class HardShort(HopKind):
    """What the fuse lets through in a short against what the copper takes up."""

    key = "short"
    quantity = say("I²t")
    unit = "A²s"
    code = "cable_short"
    own = protects = True

    def figures(self, s: Setting) -> Held:
        run = _thinner(s)
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
            say("I²t the fuse lets through ≤ (k × section)², no heat leaving the copper"),
            (v.protected_by(), *cable_inputs(v)),
            say("IEC 60364-4-43; {source}", source=_fuse_source(v)),
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("A short circuit overheats this cable before its fuse has opened."),
            say("I²t the fuse lets through ≤ (k × section)²"),
            THICKER,
        )


class FarEnd(HopKind):
    """A short at the far end of the cable: does the fuse open?"""

    key = "far_end"
    quantity = say("fault current")
    unit = RATINGS.template
    at_most = False
    code = "cable_far_end"
    own = protects = printed = True

    def figures(self, s: Setting) -> Held:
        cables = s.a.circuit.cables
        at = cables.out.given & ~np.isnan(cables.rating_a)
        load, limit = s.blank(), s.blank()
        if at.any():
            end = far_end(
                s.a.circuit.fault_v,
                cables.rating_a[at],
                cables.fault_ohm()[at],
                s.a.upstream_ohm[at],
                wanted=s.rules["far_end_multiple"],
                least=s.rules["far_end_multiple_least"],
            )
            load[at], limit[at] = end.wanted.found, end.wanted.limit
        return Held(load, limit)

    def title(self, v: View) -> Text:
        return say("Short at the far end: does the fuse open?")

    def basis(self, v: View) -> Basis:
        ohm = float(v.a.circuit.cables.fault_ohm()[v.column])
        return Basis(
            say(
                "voltage of a low battery ÷ (source + feeds + slot + every fuse on the way + cables"
                " at {warm} + return), as a multiple of the fuse's rating",
                warm=given(FAULT_CABLE_C, "°C"),
            ),
            (
                (say("Voltage"), Amount(v.a.circuit.fault_v, "V")),
                (say("Warm cables"), Amount(ohm, "Ω")),
                (say("Everything else"), Amount(float(v.a.upstream_ohm[v.column]), "Ω")),
                v.protected_by(),
            ),
            v.a.rules["far_end_multiple"].source,
        )

    def breach(self, v: View) -> Breach:
        never = v.load(self.key) < v.a.rule("far_end_multiple_least")
        return Breach(
            "stop" if never else "caution",
            say(
                "A short circuit at the far end may never open the fuse: the cable burns with the "
                "fuse whole."
            )
            if never
            else say("A short circuit at the far end opens the fuse late."),
            v.a.rules["far_end_multiple"].label,
            THICKER,
        )


HOPS: Final = (Overload(), HardShort(), FarEnd())
