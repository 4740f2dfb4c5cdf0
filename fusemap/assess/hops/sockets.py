"""Hops of sockets: the contact that a lead is plugged into, and the trailer's core behind it."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from fusemap import tables
from fusemap.assess import facts
from fusemap.assess.hops.kind import Breach, Held, HopKind, Input, Setting, View
from fusemap.assess.hops.protection import overload_points, stand_in
from fusemap.assess.result import Basis
from fusemap.assess.sources import ambient
from fusemap.assess.verdict import Ground
from fusemap.electrics.cable_heat import conductor_temperature
from fusemap.electrics.protection import overload_gap
from fusemap.text import Amount, Argument, Section, Text, given, say
from fusemap.vehicle import Socket, Tap, Vehicle, look_up
from fusemap.vehicle.words import SOCKET, TOW, SocketKind

RULES: Final[dict[SocketKind, str]] = {
    "lighter": "socket_lighter_a",
    "harness": "socket_harness_a",
    "diagnosis": "socket_diagnosis_a",
    "tow_13": "socket_tow_a",
    "tow_7": "socket_tow_a",
    "tow_15": "socket_tow_a",
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
    """The trailer's core behind a pin at its load."""

    key = "trailer_core"
    quantity = say("conductor temperature")
    unit = "°C"
    code = "trailer_core_too_hot"

    def figures(self, s: Setting) -> Held:
        load, limit = s.blank(), s.blank()
        for i, wire in _cores(s):
            load[i], limit[i] = _at_load(s, i, wire), wire.limit_c
        return Held(load, limit, s.peak_state)

    def title(self, v: View) -> Text:
        return say("Trailer’s core behind pin {pin}, {section}", **_core_words(v))

    def basis(self, v: View) -> Basis:
        return Basis(say("how warm the trailer’s core gets by its load"), (_air(v),), _standard(v))

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("The trailer’s core behind this pin gets hotter than its insulation bears."),
            say("conductor temperature at the lasting load ≤ the insulation’s limit"),
            say("Take less from this pin, or have a thicker core laid in the trailer."),
        )


class TrailerOverload(HopKind):
    """The same while the fuse in front of the pin lets an overload pass."""

    key = "trailer_overload"
    quantity = say("conductor temperature")
    unit = "°C"
    code = "trailer_core_unprotected"

    def figures(self, s: Setting) -> Held:
        load, limit = s.blank(), s.blank()
        multiples, seconds = overload_points(s)
        for i, wire in _cores(s):
            guard = s.circuit.cables.protecting[i]
            there = np.flatnonzero(~np.isnan(seconds[:, i]))
            if guard is None or not there.size:
                continue
            gap = overload_gap(
                guard.rating,
                seconds[there, i],
                wire.overload_limit_c,
                wire.r20_mohm_per_m,
                wire.area_mm2,
                wire.od_mm,
                ambient("trailer", s.rules),
                multiple=multiples[there, i],
                start_c=_at_load(s, i, wire),
            )
            load[i], limit[i] = float(np.max(gap.found)), wire.overload_limit_c
        return Held(load, limit)

    def blind(self, s: Setting) -> np.ndarray:
        found = np.zeros(s.count, dtype=bool)
        found[[i for i, _ in _cores(s)]] = True
        return found

    def missing(self, v: View) -> Text:
        return say("no fuse protects this core")

    def title(self, v: View) -> Text:
        return say("Trailer’s core behind pin {pin} while its fuse waits", pin=v.tap.pin)

    def ground(self, v: View) -> Ground:
        return stand_in(v)

    def basis(self, v: View) -> Basis:
        return Basis(
            say("how warm the trailer’s core gets at the worst overload that its fuse lets pass"),
            (_air(v), v.protected_by()),
            _standard(v),
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("The fuse in front of this pin lets the trailer’s core overheat."),
            say("a fuse protects the thinnest core behind it, the trailer’s too"),
            say("Fit a smaller fuse in front of this pin, or a thicker core in the trailer."),
        )


def _cores(s: Setting) -> Iterator[tuple[int, facts.Wire]]:
    """The trailer's cores behind taps, by the taps' columns."""
    for i, tap in enumerate(s.circuit.taps.taps):
        area = core_mm2(s.a.vehicle, tap)
        if area is not None:
            yield i, facts.wire(area, TRAILER_INSULATION)


def _at_load(s: Setting, column: int, wire: facts.Wire) -> float:
    """How warm such a core gets by what a tap carries for long [°C]."""
    warm = ambient("trailer", s.rules)
    sizes = (wire.r20_mohm_per_m, wire.area_mm2, wire.od_mm)
    return float(np.asarray(conductor_temperature(s.peak_a[column], *sizes, warm)))


def _air(v: View) -> Input:
    return say("Ambient"), given(v.a.rule("ambient_trailer_c"), "°C")


def _standard(v: View) -> Text:
    """Where the uses of the socket's pins are from."""
    socket = socket_of(v.a.vehicle, v.tap)
    assert socket is not None  # the hop exists only with one
    return next(iter(tables.socket_pins(socket.kind).values())).source.text


def _core_words(v: View) -> dict[str, Argument]:
    return {"pin": v.tap.pin, "section": Section(core_mm2(v.a.vehicle, v.tap) or 0.0)}


HOPS: Final = (SocketContact(), TrailerCore(), TrailerOverload())
