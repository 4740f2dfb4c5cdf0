"""Edits of what is added to the vehicle beside accessories: fuse blocks and earth points."""

from itertools import product
from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import many, say
from fusemap.vehicle import look_up, validity
from fusemap.vehicle.edits.panels import taken_slot_ids
from fusemap.vehicle.edits.shared import free_id, free_ids, keeps_id, refuse, swap, without
from fusemap.vehicle.model import EarthPoint, Feed, Panel, Slot, StateLoads, Vehicle
from fusemap.vehicle.words import STATES, FeedClass

NOTHING: StateLoads = StateLoads(**dict.fromkeys(STATES, 0.0))
"""What hangs on a way of a block before anything is put there."""


def add_block(
    vehicle: Vehicle,
    name: str,
    ways: int,
    *,
    family: str = "regular",
    feed_class: FeedClass = "permanent",
    parent: str | None = None,
    columns: int = 1,
    feed: dict[str, Any] | None = None,
    **fields: Any,
) -> Vehicle:
    """Add a fuse block of so many ways with a feed of its own.

    Nothing of the vehicle's hangs on it: each way is known to be empty, and is there to be used.
    `feed` has fields of its feed: cable, fuse, unfused length.
    """
    taken = (*(f.id for f in vehicle.feeds), *look_up.read_ids(vehicle, "feed"))
    own = Feed(
        id=free_id(taken, "feed"),
        name=name,
        parent=parent,
        added=True,
        other_load=NOTHING,
        **(feed or {}),
    )
    refuse(validity.number_faults(own, "feed"))
    if parent is not None:
        look_up.feed(vehicle, parent)
    rows = -(-ways // columns) if columns > 0 else ways
    panel = Panel(
        id=free_id((p.id for p in vehicle.panels), "panel"),
        name=name,
        rows=rows,
        columns=columns,
        kind="block",
        **fields,
    )
    refuse(validity.number_faults(panel, ""))
    refuse(validity.panel_faults(panel, ""))
    ids = free_ids(taken_slot_ids(vehicle), "slot")
    places = list(product(range(rows), range(columns)))[:ways]
    slots = tuple(
        Slot(
            id=next(ids),
            row=row,
            column=column,
            label=str(number),
            family=family,
            feed=own.id,
            feed_class=feed_class,
            own_load=NOTHING,
            function="added",
        )
        for number, (row, column) in enumerate(places, 1)
    )
    panels = (*vehicle.panels, replace(panel, slots=slots))
    return replace(vehicle, feeds=(*vehicle.feeds, own), panels=panels)


def add_earth(vehicle: Vehicle, name: str, **fields: Any) -> Vehicle:
    """Add an earth point."""
    taken = (*(e.id for e in vehicle.earths), *look_up.read_ids(vehicle, "earth"))
    point = EarthPoint(id=free_id(taken, "earth"), name=name, **fields)
    refuse(validity.number_faults(point, ""))
    return replace(vehicle, earths=(*vehicle.earths, point))


def name_earth(vehicle: Vehicle, tap_id: str) -> Vehicle:
    """Make of the earth that a tap only names a point of the vehicle; one of that name is taken.

    Raises `EditRefused` where it names none.
    """
    tap = look_up.tap(vehicle, tap_id)
    name = tap.earth_point.strip()
    if not name:
        raise EditRefused(
            say("no earth point is named here"), remedy=say("write where the current goes back")
        )
    there = next((point for point in vehicle.earths if point.name == name), None)
    if there is None:
        vehicle = add_earth(vehicle, name)
        there = vehicle.earths[-1]
    named = replace(tap, earth=there.id, earth_point="")
    return replace(vehicle, taps=swap(vehicle.taps, named))


def change_earth(vehicle: Vehicle, earth_id: str, **changes: Any) -> Vehicle:
    """Change an earth point's fields."""
    keeps_id(changes)
    point = replace(look_up.earth(vehicle, earth_id), **changes)
    refuse(validity.number_faults(point, ""))
    return replace(vehicle, earths=swap(vehicle.earths, point))


def remove_earth(vehicle: Vehicle, earth_id: str) -> Vehicle:
    """Remove an earth point; raises `EditRefused` while something goes back by it."""
    point = look_up.earth(vehicle, earth_id)
    there = sum(tap.earth == earth_id for tap in vehicle.taps)
    if there:
        raise EditRefused(
            many(
                "{n} accessory has its earth at “{name}”",
                "{n} accessories have their earth at “{name}”",
                there,
                name=point.name,
            ),
            remedy=say("give them another earth point first"),
        )
    return replace(vehicle, earths=without(vehicle.earths, earth_id))
