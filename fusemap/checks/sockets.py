"""Checks at sockets: what is plugged in where, and each pin of a tow socket by itself."""

from collections.abc import Iterator

import numpy as np

from fusemap import tables
from fusemap.assess import Assessment, facts
from fusemap.assess.gather import rated_current
from fusemap.assess.hops.sockets import TRAILER_INSULATION
from fusemap.assess.sources import ambient
from fusemap.checks.finding import ASLEEP, PRACTICE, Finding, Said, amperes, tap_finding
from fusemap.electrics.cable_heat import conductor_temperature
from fusemap.tables import SocketPin
from fusemap.text import Amount, Section, Text, given, say
from fusemap.vehicle import Pin, Socket, Tap, Vehicle
from fusemap.vehicle.words import TOW


def _finding(socket: Socket, **said: object) -> Finding:
    return Finding(place="socket", place_id=socket.id, where=socket.name, **said)  # type: ignore[arg-type]


def _in(vehicle: Vehicle, socket: Socket) -> list[tuple[int, Tap]]:
    """The power leads that are in a socket, with their columns."""
    return [
        (column, tap)
        for column, tap in enumerate(vehicle.taps)
        if tap.socket == socket.id and tap.lead == "power"
    ]


def _tow(vehicle: Vehicle) -> Iterator[tuple[Socket, dict[int, SocketPin]]]:
    for socket in vehicle.sockets:
        if socket.kind in TOW:
            yield socket, dict(tables.socket_pins(socket.kind))


def _lamps(socket: Socket, pins: dict[int, SocketPin]) -> list[tuple[Pin, SocketPin]]:
    """The pins with lamps of which the watts are known."""
    return [
        (pin, pins[pin.number])
        for pin in socket.pins
        if pin.watts is not None and pin.number in pins and pins[pin.number].role == "lamp"
    ]


def in_the_diagnosis_socket(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Something that stays plugged into the socket for testers."""
    for socket in vehicle.sockets:
        if socket.kind != "diagnosis":
            continue
        for column, tap in _in(vehicle, socket):
            yield tap_finding(
                a,
                tap,
                code="in_diagnosis_socket",
                severity="caution",
                what=say("Nothing that stays belongs into the diagnosis socket."),
                sum=say(
                    "at work up to {load}, parked {rest}",
                    load=amperes(float(a.taps.current_a[:, column].max())),
                    rest=amperes(float(a.taps.current_a[ASLEEP, column])),
                ),
                rule=say("the diagnosis socket is for testers, and kept free for them"),
                source=PRACTICE,
                remedy=say(
                    "Take its supply elsewhere. In that socket it may keep control units awake or "
                    "set off a theft alarm; ask the vehicle’s maker."
                ),
            )


def pin_of_another_use(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A supply at a pin that the standard gives to something else."""
    for socket, pins in _tow(vehicle):
        for _, tap in _in(vehicle, socket):
            pin = pins.get(tap.pin)
            if pin is not None and pin.role in ("permanent", "switched"):
                continue
            own = say("no pin is said") if pin is None else Text(pin.function)
            yield tap_finding(
                a,
                tap,
                code="wrong_pin",
                severity="stop",
                what=say("The standard gives this pin of the tow socket to something else."),
                sum=say("pin {pin}: {function}", pin=tap.pin, function=own),
                rule=say(
                    "of 13 pins 9 and 10 are supplies, 12 is kept free; of 15 pins 9 is one; of 7 "
                    "none"
                ),
                source=next(iter(pins.values())).source.text,
                remedy=say("Use pin 9 of a socket with 15 pins.")
                if socket.kind == "tow_15"
                else say("Use pin 9 or 10 of a socket with 13 pins."),
            )


def pin_of_another_feed(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Pin 10 that stays live while parked, or pin 9 that does not."""
    for socket, pins in _tow(vehicle):
        for column, tap in _in(vehicle, socket):
            role = pins[tap.pin].role if tap.pin in pins else "free"
            live = bool(a.taps.live[ASLEEP, column])
            if (role, live) not in (("switched", True), ("permanent", False)):
                continue
            drawn = float(a.taps.current_a[ASLEEP, column])
            yield tap_finding(
                a,
                tap,
                code="pin_live_parked" if live else "pin_dead_parked",
                severity="caution",
                what=say("Pin 10 stays live while parked: the trailer goes on drawing by it.")
                if live
                else say("Pin 9 is dead while parked: the trailer counts on it."),
                sum=say(
                    "asleep {load}, {charge} a day",
                    load=amperes(drawn),
                    charge=Amount(drawn * 24, "Ah"),
                )
                if live
                else say("parked and asleep: dead"),
                rule=say("pin 9 is the permanent supply, pin 10 the one with the ignition"),
                source=say("ISO 11446; a caravan maker’s manual (2022)"),
                remedy=say("Put a relay into it that the ignition drives.")
                if live
                else say("Take it from a permanent source."),
            )


def trailer_draws_parked(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """What a coupled trailer takes while parked: the forecast counts it as coupled all the time."""
    for socket, pins in _tow(vehicle):
        for column, tap in _in(vehicle, socket):
            drawn = float(a.taps.current_a[ASLEEP, column])
            if drawn <= 0 or tap.pin not in pins or pins[tap.pin].role != "permanent":
                continue
            yield tap_finding(
                a,
                tap,
                code="trailer_draws_parked",
                severity="note",
                what=say("The forecast counts the trailer as coupled while parked."),
                sum=say(
                    "asleep {load}, {charge} a day",
                    load=amperes(drawn),
                    charge=Amount(drawn * 24, "Ah"),
                ),
                rule=say("what is coupled draws on the vehicle’s battery"),
                source=PRACTICE,
                remedy=say("Uncouple it, or switch its 12 V off, before it is left standing."),
            )


def returns_joined(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Supplies whose current may go back by the lamps' return."""
    for socket, pins in _tow(vehicle):
        there = [(c, t) for c, t in _in(vehicle, socket) if t.pin in (9, 10) and t.pin in pins]
        if not there or socket.kind != "tow_13" or socket.returns_joined == "no":
            continue
        joined = socket.returns_joined == "yes"
        parts = [float(a.taps.current_a[:, column].max()) for column, _ in there]
        lamps = sum((pin.watts or 0.0) / vehicle.system_v for pin, _ in _lamps(socket, pins))
        yield _finding(
            socket,
            code="returns_joined" if joined else "returns_not_looked_at",
            severity="caution" if joined else "note",
            what=say(
                "The trailer joins its returns: what the supplies draw goes back by the lamps’ "
                "earth too, and shifts them."
            )
            if joined
            else say("Whether the trailer joins its returns was not looked at."),
            sum=say(
                "supplies {supplies} + lamps {lamps} = {load} on a return of {section}",
                supplies=amperes(sum(parts)),
                lamps=amperes(lamps),
                load=amperes(sum(parts) + lamps),
                section=Section(2.5),
            ),
            rule=say("pins 3, 11 and 13 are not joined in the trailer"),
            source=say("ISO 11446, note a"),
            remedy=say("Part them in the trailer: 3 for the lamps, 11 for pin 10, 13 for pin 9.")
            if joined
            else say("Measure between pins 3, 11 and 13 of the trailer’s plug: there is no way."),
        )


def lamps_joined(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """The two sides of the tail lamps bridged in the trailer."""
    for socket, _ in _tow(vehicle):
        if socket.lamps_joined == "yes":
            low, high = (5, 6) if socket.kind == "tow_15" else (5, 7)
            yield _finding(
                socket,
                code="tail_lamps_joined",
                severity="caution",
                what=say("The trailer bridges its tail lamps: one side feeds the other’s fuse."),
                sum=say("pins {low} and {high} joined", low=low, high=high),
                rule=say("no lamp lies between the pins of the two sides"),
                source=PRACTICE if socket.kind == "tow_15" else say("ISO 11446, note b"),
                remedy=say("Part them in the trailer, the plate lamp on one of the two."),
            )


def lamp_pins(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A pin whose lamps warm the trailer's core too much, or pass what a pin carries."""
    warm = ambient("trailer", a.rule_values)
    for socket, pins in _tow(vehicle):
        limit = a.rule("socket_tow_a") if socket.limit_a is None else socket.limit_a
        for pin, usual in _lamps(socket, pins):
            load = (pin.watts or 0.0) / vehicle.system_v
            wire = facts.wire(pin.section_mm2 or usual.section_mm2 or 1.5, TRAILER_INSULATION)
            hot = float(
                np.asarray(
                    conductor_temperature(
                        load, wire.r20_mohm_per_m, wire.area_mm2, wire.od_mm, warm
                    )
                )
            )
            if load <= limit * (1 + 1e-9) and hot <= wire.limit_c:
                continue
            yield _finding(
                socket,
                code="lamp_pin_overloaded",
                severity="stop",
                what=say(
                    "Pin {pin} ({function}) carries more than it may.",
                    pin=pin.number,
                    function=Text(usual.function),
                ),
                sum=say(
                    "{watts} ÷ {volts} = {load}, at most {limit}; core {section}, {hot}",
                    watts=given(pin.watts or 0.0, "W"),
                    volts=given(vehicle.system_v, "V"),
                    load=amperes(load),
                    limit=amperes(limit),
                    section=Section(wire.area_mm2),
                    hot=Amount(hot, "°C"),
                ),
                rule=a.rules["socket_tow_a"].label,
                source=a.rules["socket_tow_a"].source,
                remedy=say("Fit lamps that take less, or have them switched in the trailer."),
            )


def module_of_lamps(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Lamps that no module switches, or a module entered with less than they take."""
    by_id = {each.id: each for each in vehicle.accessories}
    for socket, pins in _tow(vehicle):
        lamps = _lamps(socket, pins)
        together = sum((pin.watts or 0.0) / vehicle.system_v for pin, _ in lamps)
        module = by_id.get(socket.module or "")
        if not lamps or (module is not None and rated_current(module) >= together * (1 - 1e-9)):
            continue
        yield _finding(
            socket,
            **_module_said(socket, together) if module is None else Said(
                code="module_light",
                severity="caution",
                what=say("The module of this socket is entered with less than its lamps take."),
                sum=say(
                    "lamps together {load} > {entered}",
                    load=amperes(together),
                    entered=amperes(rated_current(module)),
                ),
                rule=say("a module takes from its feed what its pins give"),
                source=PRACTICE,
                remedy=say("Enter what the lamps take, and check the module’s own limit."),
            ),
        )  # fmt: skip


def _module_said(socket: Socket, together: float) -> Said:
    return Said(
        code="lamps_without_module",
        severity="caution",
        what=say("Nothing is said of what switches the trailer’s lamps."),
        sum=say("lamps together {load}", load=amperes(together)),
        rule=say(
            "the vehicle watches its lamps: a trailer’s are switched by a module of their own"
        ),
        source=PRACTICE,
        remedy=say(
            "Fit the module that is made for the vehicle, on a feed of its own, and name it here."
        ),
    )
