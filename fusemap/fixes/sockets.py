"""What to do about a socket or what is in it: edits that are tried on the vehicle."""

from collections.abc import Iterator
from functools import partial

from fusemap.fixes.fix import Case, Fix
from fusemap.fixes.source import taps_at
from fusemap.placement.suggest import with_sense
from fusemap.text import Amount, say
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.vehicle.words import TOW


def use_the_right_pin(case: Case) -> Iterator[Fix]:
    """The pin that the standard has for what is permanent, or for what the ignition switches."""
    for tap in taps_at(case):
        if tap.socket is None or look_up.socket(case.vehicle, tap.socket).kind != "tow_13":
            continue
        permanent = look_up.accessory(case.vehicle, tap.accessory).needs != "switched"
        for pin in (9, 10) if permanent else (10, 9):
            edit = partial(edits.change_tap, tap_id=tap.id, pin=pin)
            yield Fix(say("Put it on pin {pin}", pin=pin), edit)


def switch_the_pin(case: Case) -> Iterator[Fix]:
    """A relay in the lead to the pin: its coil is then to be put where the ignition is."""
    for tap in taps_at(case):
        if tap.slot is None and not tap.relay:
            title = say("Put a relay into it, driven by a lead of its own from an ignition slot")
            yield Fix(title, partial(_relayed, tap_id=tap.id))


def _relayed(vehicle: Vehicle, tap_id: str) -> Vehicle:
    tap = look_up.tap(vehicle, tap_id)
    sensed = with_sense(look_up.accessory(vehicle, tap.accessory))
    works = tuple(s for s in sensed.works_in if s in ("ignition", "running")) or ("running",)
    changed = edits.change_accessory(
        vehicle, sensed.id, leads=sensed.leads, sense_a=sensed.sense_a, works_in=works
    )
    return edits.change_tap(changed, tap_id, relay=True)


def unplug(case: Case) -> Iterator[Fix]:
    """Take it out of the socket: it stays on the shelf until it has a place."""
    for tap in taps_at(case):
        if tap.socket is not None:
            edit = partial(edits.unplace, tap_id=tap.id)
            yield Fix(say("Take it out, and give it another source"), edit)


def part_in_the_trailer(case: Case) -> Iterator[Fix]:
    """The trailer rewired as the standard has it."""
    socket = look_up.socket(case.vehicle, case.place_id)
    if socket.kind in TOW:
        edit = partial(edits.change_socket, socket_id=socket.id, returns_joined="no")
        if case.finding.code == "tail_lamps_joined":
            edit = partial(edits.change_socket, socket_id=socket.id, lamps_joined="no")
        yield Fix(say("Part them in the trailer, and say so here"), edit)


def enter_the_lamps(case: Case) -> Iterator[Fix]:
    """The module entered with what the lamps of its socket take together."""
    socket = look_up.socket(case.vehicle, case.place_id)
    if socket.module is None:
        return
    together = sum(pin.watts or 0.0 for pin in socket.pins) / case.vehicle.system_v
    amperes = round(together + 0.005, 2)
    edit = partial(edits.change_accessory, accessory_id=socket.module, watts=None, amperes=amperes)
    yield Fix(say("Enter {current} at the module", current=Amount(amperes, "A")), edit)
