"""Hops of sockets: the contact that a lead is plugged into, and the trailer's core behind it."""

from typing import Final

import numpy as np

from fusemap import tables
from fusemap.assess import facts
from fusemap.assess.gather import ambient
from fusemap.assess.hops.cable import overload_points, stand_in
from fusemap.assess.hops.kind import Breach, Held, HopKind, Input, Setting, View
from fusemap.assess.result import Basis
from fusemap.assess.verdict import Ground
from fusemap.electrics.cable_heat import conductor_temperature
from fusemap.electrics.protection import overload_gap
from fusemap.text import Amount, Section, Text, given, say
from fusemap.vehicle import Socket, Tap, Vehicle, look_up
from fusemap.vehicle.words import SOCKET, TOW, SocketKind

RULES: Final[dict[SocketKind, str]] = {
    "lighter": "socket_lighter_a",
    "harness": "socket_harness_a",
    "diagnosis": "socket_diagnosis_a",
    "tow_13": "socket_tow_a",
    "tow_7": "socket_tow_a",
}
"""The rule that says what a socket carries for long, where it does not say so itself."""
TRAILER_INSULATION: Final = "pvc"
"""What a trailer's cores are covered with, as far as anybody knows: it bears least."""


def socket_of(vehicle: Vehicle, tap: Tap) -> Socket | None:
    """The socket that a lead is in."""
    return None if tap.socket is None else look_up.socket(vehicle, tap.socket)


def core_mm2(vehicle: Vehicle, tap: Tap) -> float | None:
    """The section of the trailer's core behind a tap's pin [mm²]: entered, or the standard's.

    `None` where it is in no tow socket, or at a pin that the standard gives no core.
    """
    socket = socket_of(vehicle, tap)
    if socket is None or socket.kind not in TOW:
        return None
    own = next((pin.section_mm2 for pin in socket.pins if pin.number == tap.pin), None)
    usual = tables.socket_pins(socket.kind).get(tap.pin)
    return own if own is not None or usual is None else usual.section_mm2


class SocketContact(HopKind):
    """What a socket or a pin of it carries for long."""

    key = "socket"
    code = "socket_overloaded"

    def figures(self, s: Setting) -> Held:
        limit = s.blank()
        for i, tap in enumerate(s.circuit.taps.taps):
            socket = socket_of(s.a.vehicle, tap)
            if socket is not None:
                rule = s.rules[RULES[socket.kind]]
                limit[i] = rule if socket.limit_a is None else socket.limit_a
        return Held(np.where(np.isnan(limit), np.nan, s.peak_a), limit, s.peak_state)

    def _socket(self, v: View) -> Socket:
        socket = socket_of(v.a.vehicle, v.tap)
        assert socket is not None  # the hop exists only with one
        return socket

    def title(self, v: View) -> Text:
        socket = self._socket(v)
        if socket.kind in TOW:
            return say("Pin {pin} of {socket}", pin=v.tap.pin, socket=socket.name)
        return say("Contact of {socket}", socket=socket.name)

    def ground(self, v: View) -> Ground:
        socket = self._socket(v)
        return v.rule_ground(RULES[socket.kind]) if socket.limit_a is None else "user"

    def basis(self, v: View) -> Basis:
        socket = self._socket(v)
        rule = RULES[socket.kind]
        own = socket.limit_a is not None
        limit: Input = (say("Carries for long"), Amount(socket.limit_a or 0.0, "A"))
        return Basis(
            say("the lead's current against what its contact carries for long"),
            ((say("Socket"), SOCKET[socket.kind]), limit if own else v.rule(rule)),
            say("as entered for this socket") if own else v.a.rules[rule].source,
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("The contact of this socket carries more than it may for long."),
            v.a.rules[RULES[self._socket(v).kind]].label,
            say("Use a lead of its own, or a socket that is made for this current."),
        )


class TrailerCore(HopKind):
    """The trailer's core behind a pin: how warm it gets by its load, and while its fuse waits."""

    key = "trailer_core"
    quantity = say("conductor temperature")
    unit = "°C"
    code = "trailer_core_too_hot"

    def figures(self, s: Setting) -> Held:
        load, limit = s.blank(), s.blank()
        multiples, seconds = overload_points(s)
        warm = ambient("trailer", s.rules)
        for i, tap in enumerate(s.circuit.taps.taps):
            area = core_mm2(s.a.vehicle, tap)
            guard = s.circuit.cables.protecting[i]
            if area is None:
                continue
            wire = facts.wire(area, TRAILER_INSULATION)
            sizes = (wire.r20_mohm_per_m, wire.area_mm2, wire.od_mm, warm)
            load[i] = float(np.asarray(conductor_temperature(s.peak_a[i], *sizes)))
            limit[i] = wire.limit_c
            there = ~np.isnan(seconds[:, i]) if guard is not None else np.zeros(0, dtype=bool)
            if guard is not None and there.any() and load[i] <= limit[i]:
                gap = overload_gap(
                    guard.rating, seconds[there, i], wire.overload_limit_c, *sizes,
                    multiple=multiples[there, i], start_c=load[i],
                )  # fmt: skip
                load[i] = max(load[i], float(np.max(gap.found)))
                limit[i] = wire.overload_limit_c
        return Held(load, limit, s.peak_state)

    def title(self, v: View) -> Text:
        area = core_mm2(v.a.vehicle, v.tap) or 0.0
        return say(
            "Trailer’s core behind pin {pin}, {section}", pin=v.tap.pin, section=Section(area)
        )

    def ground(self, v: View) -> Ground:
        return stand_in(v)

    def basis(self, v: View) -> Basis:
        return Basis(
            say(
                "how warm the trailer’s core gets by its load, and at the worst overload that the "
                "fuse in front of it lets pass"
            ),
            (
                (say("Ambient"), given(v.a.rule("ambient_trailer_c"), "°C")),
                v.protected_by(),
            ),
            "ISO 11446",
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("The trailer’s core behind this pin gets hotter than its insulation bears."),
            say("a fuse protects the thinnest core behind it, the trailer’s too"),
            say("Fit a smaller fuse in front of this pin, or a thicker core in the trailer."),
        )


HOPS: Final = (SocketContact(), TrailerCore())
