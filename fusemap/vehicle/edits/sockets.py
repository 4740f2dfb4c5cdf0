"""Edits of sockets and of what is plugged into them."""

from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import many, say
from fusemap.vehicle import look_up, validity
from fusemap.vehicle.edits.accessories import place
from fusemap.vehicle.edits.shared import free_id, keeps_id, refuse, swap, without
from fusemap.vehicle.model import Tap, Vehicle
from fusemap.vehicle.parts import Pin, Socket
from fusemap.vehicle.words import TOW


def add_socket(vehicle: Vehicle, name: str, **fields: Any) -> Vehicle:
    """Add a socket."""
    taken = (*(each.id for each in vehicle.sockets), *look_up.read_ids(vehicle, "socket"))
    return _with(vehicle, Socket(id=free_id(taken, "socket"), name=name, **fields))


def change_socket(vehicle: Vehicle, socket_id: str, **changes: Any) -> Vehicle:
    """Change a socket's fields; what is plugged in comes along to another slot.

    Raises `EditRefused` where it cannot: nothing stays plugged into a socket that no slot feeds.
    """
    keeps_id(changes)
    old = look_up.socket(vehicle, socket_id)
    new = replace(old, **changes)
    plugged = [tap for tap in _in(vehicle, old) if tap.kind == "plug"]
    if plugged and (new.slot is None or new.kind in TOW):
        raise EditRefused(
            many("{n} lead is plugged in", "{n} leads are plugged in", len(plugged)),
            remedy=say("take what is plugged in off first"),
        )
    changed = _with(vehicle, new)
    for tap in plugged:
        if tap.slot != new.slot:
            changed = plug_in(changed, tap.accessory, socket_id)
    return changed


def set_pin(vehicle: Vehicle, socket_id: str, number: int, **changes: Any) -> Vehicle:
    """Say something of a tow socket's pin; one of which nothing is known is left out."""
    socket = look_up.socket(vehicle, socket_id)
    old = next((pin for pin in socket.pins if pin.number == number), Pin(number=number))
    pin = replace(old, **changes)
    others = (each for each in socket.pins if each.number != number)
    kept = others if pin == Pin(number=number) else (*others, pin)
    pins = tuple(sorted(kept, key=lambda each: each.number))
    return change_socket(vehicle, socket_id, pins=pins)


def remove_socket(vehicle: Vehicle, socket_id: str) -> Vehicle:
    """Remove a socket; raises `EditRefused` while a lead is in it."""
    socket = look_up.socket(vehicle, socket_id)
    there = len(_in(vehicle, socket))
    if there:
        raise EditRefused(
            many("{n} lead is plugged in", "{n} leads are plugged in", there),
            remedy=say("take what is plugged in off first"),
        )
    return replace(vehicle, sockets=without(vehicle.sockets, socket_id))


def plug_in(
    vehicle: Vehicle, accessory_id: str, socket_id: str, pin: int = 0, **fields: Any
) -> Vehicle:
    """Connect an accessory's power lead by a socket.

    What is plugged into a socket hangs behind the fuse of the slot that feeds it. To a pin of a tow
    socket goes a lead of its own, from the battery where `fields` name no feed and it had none.
    Raises `EditRefused` for a socket of which nobody said which slot feeds it.
    """
    socket = look_up.socket(vehicle, socket_id)
    if socket.kind in TOW:
        old = look_up.tap_of(vehicle, accessory_id)
        own = old is not None and old.slot is None
        fields.setdefault("feed", old.feed if own and old is not None else None)
        return place(vehicle, accessory_id, socket=socket_id, pin=pin, **fields)
    if socket.slot is None:
        raise EditRefused(
            say("which slot feeds “{name}” is not said", name=socket.name),
            remedy=say("choose its slot at the socket first"),
        )
    where = {"slot": socket.slot, "kind": "plug", "socket": socket_id, "pin": 0}
    return place(vehicle, accessory_id, **(fields | where))


def _in(vehicle: Vehicle, socket: Socket) -> tuple[Tap, ...]:
    """The leads that are in a socket."""
    return tuple(tap for tap in vehicle.taps if tap.socket == socket.id)


def _with(vehicle: Vehicle, socket: Socket) -> Vehicle:
    """The vehicle with a socket that is new or changed."""
    refuse(validity.number_faults(socket, ""))
    if socket.slot is not None:
        look_up.slot(vehicle, socket.slot)
    if socket.module is not None:
        look_up.accessory(vehicle, socket.module)
    if any(each.id == socket.id for each in vehicle.sockets):
        return replace(vehicle, sockets=swap(vehicle.sockets, socket))
    return replace(vehicle, sockets=(*vehicle.sockets, socket))
