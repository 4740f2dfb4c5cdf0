"""Hops of a tap's cable: is it strong and cool enough at its load, and does a fuse protect it.

First the cable at its load, then whether a fuse protects it: in an overload, in a short, at the far
end.
"""

from collections.abc import Iterator
from math import isfinite
from typing import Final, Literal

import numpy as np

from fusemap.assess import facts
from fusemap.assess.cables import CableArrays
from fusemap.assess.hops.kind import Breach, Held, HopKind, Input, Setting, View
from fusemap.assess.result import Basis, Floats, worst
from fusemap.assess.runs import Runs, thinner
from fusemap.assess.verdict import Ground
from fusemap.assess.words import cable_words, turn_words
from fusemap.electrics.protection import (
    FAULT_CABLE_C,
    adiabatic_k,
    far_end,
    overload_gap,
    short_check,
)
from fusemap.text import Amount, Text, Words, given, in_row, say, say_in
from fusemap.vehicle import Cable

Side = Literal["out", "back"]


def run_of(cables: CableArrays, side: Side) -> Runs:
    """The conductors out, or back."""
    return cables.out if side == "out" else cables.back


def cable_of(v: View, side: Side) -> Cable:
    """The tap's cable out, or back; for a hop that exists only with it."""
    cable = v.tap.cable_out if side == "out" else v.tap.cable_back
    assert cable is not None
    return cable


NO_CABLE: Final = say("section and length of the cable are not entered")


def no_cable(s: Setting) -> np.ndarray:
    """Which taps have no cable out entered [(taps,)]."""
    return ~s.circuit.cables.out.given


def unprotected(v: View) -> Text:
    """Why it cannot be said whether a fuse protects the cable of a tap."""
    return NO_CABLE if v.tap.cable_out is None else say("no fuse protects this cable")


def stand_in(v: View) -> Ground:
    """Where the times of the fuse that protects a cable are from."""
    if v.protection is None:
        return "none"
    return "published" if v.protection.published else "analogy"


def cable_inputs(v: View) -> tuple[Input, ...]:
    """Both ways of the current as inputs of a sum."""
    out, back = (
        say("by the body") if cable is None else cable_words(cable)
        for cable in (v.tap.cable_out, v.tap.cable_back)
    )
    return (say("Out"), out), (say("Back"), back)


class Section(HopKind):
    """Strong enough for a vehicle, whatever it carries."""

    quantity = say("section")
    unit = "mm²"
    at_most = False
    own = chosen = True

    def __init__(self, side: Side) -> None:
        self.side = side
        self.key = "section" if side == "out" else "section_back"
        self.code = "cable_too_thin_to_last" if side == "out" else "cable_back_too_thin_to_last"

    def figures(self, s: Setting) -> Held:
        run = run_of(s.circuit.cables, self.side)
        return Held(run.area_mm2, np.where(run.given, s.rules["mechanical_floor_mm2"], np.nan))

    def title(self, v: View) -> Text:
        if self.side == "out":
            return say("Cable, mechanical strength")
        return say("Cable back, mechanical strength")

    def blind(self, s: Setting) -> np.ndarray:
        return no_cable(s) if self.side == "out" else super().blind(s)

    def missing(self, v: View) -> Text:
        return NO_CABLE

    def ground(self, v: View) -> Ground:
        return v.rule_ground("mechanical_floor_mm2")

    def basis(self, v: View) -> Basis:
        return Basis(
            say("thinner cable breaks in a vehicle before it gets warm"),
            (*cable_inputs(v), v.rule("mechanical_floor_mm2")),
            v.a.rules["mechanical_floor_mm2"].source,
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "caution",
            say("The cable is so thin that it breaks rather than wears.")
            if self.side == "out"
            else say("The cable back is so thin that it breaks rather than wears."),
            v.a.rules["mechanical_floor_mm2"].label,
            say("Use a thicker cable."),
        )


class Heat(HopKind):
    """A conductor at its load against what its insulation bears."""

    quantity = say("conductor temperature")
    unit = "°C"
    own = printed = True

    def __init__(self, side: Side) -> None:
        self.side = side
        self.key = "heat_out" if side == "out" else "heat_back"
        self.code = f"cable_too_hot_{side}"

    def figures(self, s: Setting) -> Held:
        run = run_of(s.circuit.cables, self.side)
        warm = s.warmth.loaded_c[int(s.at_most), ("out", "back").index(self.side)]
        return Held(warm, run.limit_c, s.peak_state)

    def title(self, v: View) -> Text:
        if self.side == "out" and v.tap.cable_out is None:
            return say("Cable out, its warmth")
        cable = cable_of(v, self.side)
        words = cable_words(cable)
        if cable.bundle > 1:
            words = say("{cable}, {count} loaded together", cable=words, count=cable.bundle)
        if self.side == "out":
            return say("Cable out, {cable}", cable=words)
        return say("Cable back, {cable}", cable=words)

    def blind(self, s: Setting) -> np.ndarray:
        return no_cable(s) if self.side == "out" else super().blind(s)

    def missing(self, v: View) -> Text:
        return NO_CABLE

    def basis(self, v: View) -> Basis:
        cable, run = cable_of(v, self.side), run_of(v.a.circuit.cables, self.side)
        wire = facts.wire(cable.section_mm2, cable.insulation)
        return Basis(
            say(
                "I²R(T) = (T − T surface)/R insulation = heat given off by convection and radiation"
                "; good to ±20 %"
            ),
            (
                (say("Ambient"), Amount(float(run.ambient_c[v.column]), "°C")),
                (
                    say("Resistance at {temperature}", temperature=given(20, "°C")),
                    Amount(wire.r20_mohm_per_m, "mΩ/m"),
                ),
                (say("Insulation"), cable.insulation.upper()),
                *self._warming(v),
            ),
            say(
                "conductor: {source}; heat: Churchill–Chu, horizontal cylinder in still air",
                source=wire.source,
            ),
        )

    def _warming(self, v: View) -> Iterator[Input]:
        """The current that warms it, and for a load that goes on and off why it is that one."""
        taps, column, it = v.a.circuit.taps, v.column, v.accessory
        peak = float(worst(v.a.taps.current_a)[column])
        share, on_s = float(taps.heat_share[column]), float(taps.on_s[column])
        amount = Amount(peak, "A")
        yield say("Current that warms it"), Amount(peak * share, "A")
        if v.tap.lead != "power" or (it.duty >= 1.0 and it.short_s is None):
            return
        rest = v.a.rule("short_rest_min")
        if share < 1.0:
            mean = say("{peak} × √duty, {turn}", peak=amount, turn=turn_words(it, rest))
            yield say("Root of the mean square"), mean
        else:
            lasting = say("{peak} (the cable follows turns of unknown length)", peak=amount)
            yield say("Peak"), lasting
        if on_s > 0:
            turn = say("{peak}, {time} long", peak=amount, time=Amount(on_s, "s"))
            yield say("Then one turn on top"), turn

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("The cable out gets hotter than its insulation bears.")
            if self.side == "out"
            else say("The cable back gets hotter than its insulation bears."),
            say("conductor temperature at the lasting load ≤ the insulation's limit"),
            say("Use a thicker cable, fewer loaded cables together, or a cooler place."),
        )


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
    return thinner(s.circuit.cables.out, s.circuit.cables.back)


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
        run = _thinner(s)
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

    def blind(self, s: Setting) -> np.ndarray:
        return np.ones(s.count, dtype=bool)

    def missing(self, v: View) -> Text:
        return unprotected(v)

    def ground(self, v: View) -> Ground:
        return stand_in(v)

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

    def blind(self, s: Setting) -> np.ndarray:
        return np.ones(s.count, dtype=bool)

    def missing(self, v: View) -> Text:
        return unprotected(v)

    def ground(self, v: View) -> Ground:
        return stand_in(v)

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
        cables = s.circuit.cables
        at = cables.out.given & ~np.isnan(cables.rating_a)
        load, limit = s.blank(), s.blank()
        if at.any():
            end = far_end(
                s.circuit.fault_v_at(s.circuit.tap_roots)[at],
                cables.rating_a[at],
                cables.fault_ohm()[at],
                s.upstream_ohm[at],
                wanted=s.rules["far_end_multiple"],
                least=s.rules["far_end_multiple_least"],
            )
            load[at], limit[at] = end.wanted.found, end.wanted.limit
        return Held(load, limit)

    def title(self, v: View) -> Text:
        return say("Short at the far end: does the fuse open?")

    def blind(self, s: Setting) -> np.ndarray:
        return np.ones(s.count, dtype=bool)

    def missing(self, v: View) -> Text:
        return unprotected(v)

    def ground(self, v: View) -> Ground:
        return v.rule_ground("far_end_multiple")

    def basis(self, v: View) -> Basis:
        ohm = float(v.a.circuit.cables.fault_ohm()[v.column])
        return Basis(
            say(
                "voltage of a low battery ÷ (source + feeds + slot + every fuse on the way + cables"
                " at {warm} + return), as a multiple of the fuse's rating",
                warm=given(FAULT_CABLE_C, "°C"),
            ),
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


HOPS: Final = (
    Section("out"),
    Section("back"),
    Heat("out"),
    Heat("back"),
    Overload(),
    HardShort(),
    FarEnd(),
)
