"""Hops of a tap's cable at its load: is it strong enough to last, and cool enough."""

from collections.abc import Iterator
from typing import Final, Literal

import numpy as np

from fusemap.assess import facts
from fusemap.assess.cables import CableArrays
from fusemap.assess.hops.cable_limits import COOLER, HEAT_RULE, HEAT_SUM, heat_source
from fusemap.assess.hops.kind import Breach, Held, HopKind, Input, Setting, View
from fusemap.assess.result import Basis, worst
from fusemap.assess.runs import Runs
from fusemap.assess.verdict import Ground
from fusemap.assess.words import cable_words, turn_words
from fusemap.text import Amount, Text, given, say
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
            HEAT_SUM,
            (
                (say("Ambient"), Amount(float(run.ambient_c[v.column]), "°C")),
                (
                    say("Resistance at {temperature}", temperature=given(20, "°C")),
                    Amount(wire.r20_mohm_per_m, "mΩ/m"),
                ),
                (say("Insulation"), cable.insulation.upper()),
                *self._warming(v),
            ),
            heat_source(wire),
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
            HEAT_RULE,
            COOLER,
        )


HOPS: Final = (
    Section("out"),
    Section("back"),
    Heat("out"),
    Heat("back"),
)
