"""Hops at the far end: what is lost on the way, what is left, what a converter's output may give.

What passes the limit of a converter is told once for each converter, with all that hangs on it, by
the checks of converters.
"""

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from fusemap import tables
from fusemap.assess.cables import WayPart, way_parts
from fusemap.assess.converters import Supplied
from fusemap.assess.hops.cable import NO_CABLE, cable_inputs, no_cable
from fusemap.assess.hops.kind import Breach, Held, HopKind, Input, Setting, View
from fusemap.assess.result import Basis, worst
from fusemap.assess.supply import RUNNING
from fusemap.assess.verdict import Ground
from fusemap.text import Amount, Text, say, share
from fusemap.vehicle import STATES
from fusemap.vehicle.words import STATE

SAME_V: Final = 0.001
"""Two voltages this near are the same on a meter [V]."""
PART_WORDS: Final = {
    "joint": say("Joint"),
    "fuse": say("Accessory fuse"),
    "out": say("Cable out"),
    "back": say("Cable back"),
    "earth": say("Earth joint"),
    "body": say("Return by the body"),
}


class Drop(HopKind):
    """What the way from slot to accessory and back costs."""

    key = "drop"
    quantity = say("voltage drop")
    unit = "V"
    code = "cable_drop"
    dangerous = False
    own = printed = True

    def figures(self, s: Setting) -> Held:
        taps = s.taps
        dropped = s.power & s.circuit.cables.out.given
        allowed = np.full(s.count, s.rules["allowed_drop_share"] * s.a.vehicle.system_v)
        drop = taps.drop_v
        return Held(np.where(dropped, worst(drop), np.nan), allowed, drop.argmax(axis=0))

    def title(self, v: View) -> Text:
        return say("Voltage drop, slot to accessory and back")

    def blind(self, s: Setting) -> np.ndarray:
        return np.asarray(s.power & no_cable(s))

    def missing(self, v: View) -> Text:
        return NO_CABLE

    def ground(self, v: View) -> Ground:
        return v.rule_ground("allowed_drop_share")

    def basis(self, v: View) -> Basis:
        drawn = float(v.a.taps.current_a[v.worst_row(self.key), v.column])
        return Basis(
            say("current × (joint + fuse + cable out + return), cables at working temperature"),
            (
                *cable_inputs(v),
                (say("Current"), Amount(drawn, "A")),
                *self._parts(v, drawn),
                v.rule("allowed_drop_share"),
            ),
            v.a.rules["allowed_drop_share"].source,
        )

    def _parts(self, v: View, drawn_a: float) -> Iterator[Input]:
        """What each part of the way costs: “3 mV (0.6 mΩ)”."""
        warm = v.a.circuit.conductor_ohm[:, v.column]
        earth = float(v.a.circuit.taps.earth_mohm[v.column])
        for part in way_parts(v.tap, warm, v.a.rule_values, earth):
            unknown = part.key == "fuse" and v.tap.fuse is not None and part.ohm == 0.0
            yield (
                self._part_name(v, part),
                say("resistance not published")
                if unknown
                else say(
                    "{drop} ({resistance})",
                    drop=Amount(part.ohm * drawn_a, "V"),
                    resistance=Amount(part.ohm, "Ω"),
                ),
            )

    def _part_name(self, v: View, part: WayPart) -> Text:
        name, joint = PART_WORDS[part.key], tables.joints().get(v.tap.joint)
        if part.key != "joint" or joint is None:
            return name
        return say("{part}, {kind}", part=name, kind=Text(joint.name))

    def breach(self, v: View) -> Breach:
        return Breach(
            "caution",
            say("Too much voltage is lost on the way to the accessory."),
            v.a.rules["allowed_drop_share"].label,
            say("Use a thicker or shorter cable, or return by a cable to a good earth point."),
        )


class AtAccessory(HopKind):
    """The voltage at the accessory while it works."""

    key = "voltage"
    quantity = say("voltage")
    unit = "V"
    at_most = False
    code = "low_voltage"
    dangerous = False
    own = printed = True

    def figures(self, s: Setting) -> Held:
        taps = s.taps
        lowest = np.where(taps.works, taps.voltage_v, np.inf)
        assumed = s.rules["least_voltage_v"] * s.a.vehicle.system_v / 12
        least = np.array(
            [
                assumed if it.min_voltage_v is None else it.min_voltage_v
                for it in s.circuit.taps.accessories
            ],
            dtype=float,
        )
        load = np.where(self._at_work(s), lowest.min(axis=0), np.nan)
        # without the cable it may be less: that it holds cannot be said, only that it does not
        said = s.circuit.cables.out.given | (load < least)
        return Held(load, np.where(said, least, np.nan), lowest.argmin(axis=0))

    def _at_work(self, s: Setting) -> np.ndarray:
        return np.asarray(s.power & s.taps.works.any(axis=0))

    def blind(self, s: Setting) -> np.ndarray:
        return self._at_work(s)

    def missing(self, v: View) -> Text:
        return NO_CABLE

    def title(self, v: View) -> Text:
        return say("Voltage at the accessory")

    def basis(self, v: View) -> Basis:
        a, row = v.a, v.worst_row(self.key)
        battery, before = float(a.battery_v[row]), float(a.taps.source_v[row, v.column])
        at = float(a.taps.voltage_v[row, v.column])
        return Basis(
            say("source voltage less every drop on the way, in the state where it is lowest"),
            (
                (say("Battery or alternator"), Amount(battery, "V")),
                *self._beyond(v, row),
                (say("Feeds and slot"), Amount(battery - before, "V")),
                (say("From there and back"), Amount(before - at, "V")),
                *self._at_worst(v, at),
            ),
            say("the accessory's own minimum, as entered")
            if self.ground(v) == "user"
            else a.rules["least_voltage_v"].source,
        )

    def _at_worst(self, v: View, known_v: float) -> Iterator[Input]:
        """The same sum for the other end, where that is lower: all that was not measured flows."""
        end, column = v.a.most, v.column
        volts = np.where(end.taps.works[:, column], end.taps.voltage_v[:, column], np.inf)
        row = int(volts.argmin())
        battery, before = float(end.currents.battery_v[row]), float(end.taps.source_v[row, column])
        if not float(volts[row]) < known_v - SAME_V:
            return
        yield (
            say("At worst"),
            say(
                "{battery} − {feeds} − {way} = {left}, {state}",
                battery=Amount(battery, "V", significant=4),
                feeds=Amount(battery - before, "V"),
                way=Amount(before - float(volts[row]), "V"),
                left=Amount(float(volts[row]), "V", significant=4),
                state=STATE[STATES[row]].label,
            ),
        )

    def _beyond(self, v: View, row: int) -> Iterator[Input]:
        """What alternator and battery give, where the alternator alone gives too little."""
        if row != RUNNING or not v.a.currents.limited:
            return
        yield say("Alternator, at most"), Amount(v.a.currents.limit_a, "A")
        yield say("Out of the battery"), Amount(v.a.currents.from_battery_a, "A")

    def ground(self, v: View) -> Ground:
        return "assumed" if v.accessory.min_voltage_v is None else "user"

    def breach(self, v: View) -> Breach:
        if self.ground(v) == "assumed":
            return Breach(
                "note",
                say(
                    "The accessory may get less voltage than it needs; what it needs is not known."
                ),
                v.a.rules["least_voltage_v"].label,
                say("Look up the least voltage it works at and enter it at the accessory."),
            )
        if v.worst_row(self.key) == RUNNING and v.a.currents.limited:
            return Breach(
                "caution",
                say(
                    "It gets less voltage than it needs, the engine running or not: more is asked "
                    "than the alternator gives."
                ),
                say("the accessory's own minimum voltage"),
                say("Use a thicker cable or a stronger battery, and pull in short runs."),
            )
        return Breach(
            "caution",
            say("The accessory gets less voltage than it needs."),
            say("the accessory's own minimum voltage"),
            say("Use a thicker or shorter cable."),
        )


class ConverterOutput(HopKind):
    """The output of a converter that has a tap and something hanging on it."""

    key = "converter"

    def figures(self, s: Setting) -> Held:
        load, limit = s.blank(), s.blank()
        state = np.full(s.count, -1, dtype=np.intp)
        for output in s.circuit.taps.behind.outputs:
            column = output.column
            if s.circuit.taps.accessories[column].id == output.converter.id:
                load[column], limit[column] = output.current_a.max(), output.limit_a
                state[column] = output.current_a.argmax()
        return Held(load, limit, state)

    def title(self, v: View) -> Text:
        converter = v.accessory.converter
        assert converter is not None  # the hop exists only with a converter
        return say("Converter output, {volts}", volts=Amount(converter.output_v, "V"))

    def blind(self, s: Setting) -> np.ndarray:
        return ~np.isnan(self.figures(s).load)

    def missing(self, v: View) -> Text:
        return say("the rating of its output is not entered")

    def ground(self, v: View) -> Ground:
        return "user"

    def basis(self, v: View) -> Basis:
        converter = v.accessory.converter
        assert converter is not None  # the hop exists only with a converter
        behind = v.a.circuit.taps.behind.of(v.column)
        direct = [each for each in behind if each.converter.id == v.tap.accessory]
        drawn = ((each.accessory.name, Amount(float(each.drawn_a.max()), "A")) for each in direct)
        return Basis(
            say(
                "everything that hangs on the output, summed; its input takes the output's watts ÷ "
                "efficiency, and its own draw"
            ),
            (
                *drawn,
                (say("Efficiency"), share(converter.efficiency)),
                (say("Lost in the leads behind it"), Amount(_lost_w(direct), "W")),
            ),
            say("rating as entered for this converter; sum: energy balance"),
        )


def _lost_w(direct: Sequence[Supplied]) -> float:
    """What the leads from an output lose together, where it gives most [W]."""
    lost = [each.drawn_a * (each.volts - each.left_v) for each in direct]
    return float(np.sum(lost, axis=0).max()) if lost else 0.0


HOPS: Final = (Drop(), AtAccessory(), ConverterOutput())
