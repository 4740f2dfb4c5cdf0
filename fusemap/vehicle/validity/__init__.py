"""What makes a vehicle impossible, said with the path to the field.

`faults(vehicle)` yields every fault as (path, what is wrong, what to do), for instance
``("panels[0].slots[7].row", "9 is outside the panel's 4 rows", …)``. The edits ask the same
functions about the one part they change: `bounds` about each field alone, `parts` about the fields
of one part together, `references` about what refers to another part. Whether a fuse family or an
insulation exists is for the tables and is asked where files are read.
"""

from collections.abc import Callable, Iterator
from typing import Any, Final

from fusemap.text import say
from fusemap.vehicle.model import Vehicle
from fusemap.vehicle.parts import Cable
from fusemap.vehicle.validity.bounds import (
    COLDEST_C,
    EITHER_SIGN,
    LARGEST,
    MOST,
    MOST_OTHERS,
    MOST_ROWS,
    MOST_SLOTS,
    SMALLEST,
    Fault,
    count_faults,
    number_faults,
    span,
    text_faults,
)
from fusemap.vehicle.validity.parts import (
    FARTHEST_CORNERS,
    LONGEST_DRIVE_MIN,
    MOST_READ,
    RANGE_OF,
    RANGES,
    accessory_faults,
    cut_off_faults,
    feed_faults,
    is_grid,
    is_time,
    panel_faults,
    parking_faults,
    photo_faults,
    range_faults,
    reading_faults,
    slot_faults,
    switched_faults,
    tap_faults,
)
from fusemap.vehicle.validity.references import (
    feed_id_faults,
    given_twice,
    parent_cycle,
    reading_reference_faults,
    reference_faults,
    rules_twice,
    socket_faults,
    supply_faults,
)
from fusemap.vehicle.validity.starts import (
    LEAST_DROP_V,
    battery_faults,
    crank_reading_faults,
    stand_reading_faults,
)

__all__ = [
    "COLDEST_C",
    "EITHER_SIGN",
    "FARTHEST_CORNERS",
    "LARGEST",
    "LEAST_DROP_V",
    "LONGEST_DRIVE_MIN",
    "MOST",
    "MOST_OTHERS",
    "MOST_READ",
    "MOST_ROWS",
    "MOST_SLOTS",
    "RANGES",
    "RANGE_OF",
    "SMALLEST",
    "Fault",
    "accessory_faults",
    "battery_faults",
    "cables_of",
    "count_faults",
    "crank_reading_faults",
    "cut_off_faults",
    "faults",
    "feed_faults",
    "is_grid",
    "is_time",
    "new_parts",
    "number_faults",
    "panel_faults",
    "parent_cycle",
    "parking_faults",
    "photo_faults",
    "range_faults",
    "reading_faults",
    "slot_faults",
    "socket_faults",
    "span",
    "stand_reading_faults",
    "supply_faults",
    "switched_faults",
    "tap_faults",
    "text_faults",
]


def faults(vehicle: Vehicle, known: Vehicle | None = None) -> Iterator[Fault]:
    """Everything that makes this vehicle impossible, as (path, what is wrong, what to do).

    `known` is a vehicle without faults that shares parts with it, as the one before an edit does:
    what is the very same part in both is not looked at again.
    """
    yield from count_faults(vehicle)
    yield from number_faults(vehicle, "", known)
    yield from rules_twice(vehicle)
    for name in (
        "panels",
        "feeds",
        "earths",
        "accessories",
        "taps",
        "sockets",
        "meters",
        "readings",
    ):
        if _differs(vehicle, known, name):
            yield from given_twice(getattr(vehicle, name), name)
    yield from feed_id_faults(vehicle.feeds)
    yield from battery_faults(vehicle.battery, "battery")
    yield from parking_faults(vehicle.parking, "parking")
    for name, part_faults in PART_FAULTS.items():
        for index, part in new_parts(vehicle, known, name):
            yield from part_faults(part, f"{name}[{index}]")
    yield from reference_faults(vehicle)
    yield from socket_faults(vehicle)
    yield from supply_faults(vehicle.accessories)
    if _differs(vehicle, known, "meters") or _differs(vehicle, known, "readings"):
        yield from reading_reference_faults(vehicle)
    looped = parent_cycle(vehicle.feeds)
    if looped is not None:
        yield Fault(
            "feeds",
            say("feed “{id}” is above itself", id=looped),
            say("give it another parent"),
        )


PART_FAULTS: Final[dict[str, Callable[[Any, str], Iterator[Fault]]]] = {
    "panels": panel_faults,
    "feeds": feed_faults,
    "accessories": accessory_faults,
    "taps": tap_faults,
    "readings": reading_faults,
}
"""What the fields of a part cannot be together, by the list it stands in."""


def _differs(vehicle: Vehicle, known: Vehicle | None, name: str) -> bool:
    return known is None or getattr(vehicle, name) is not getattr(known, name)


def new_parts(vehicle: Vehicle, known: Vehicle | None, name: str) -> Iterator[tuple[int, Any]]:
    """The parts of a list that are not the very same in `known`, with their places."""
    if not _differs(vehicle, known, name):
        return
    seen = set() if known is None else {id(part) for part in getattr(known, name)}
    for index, part in enumerate(getattr(vehicle, name)):
        if id(part) not in seen:
            yield index, part


def cables_of(vehicle: Vehicle) -> Iterator[tuple[str, Cable]]:
    """Every cable with its path."""
    for index, tap in enumerate(vehicle.taps):
        for name in ("cable_out", "cable_back"):
            cable = getattr(tap, name)
            if cable is not None:
                yield f"taps[{index}].{name}", cable
    for index, feed in enumerate(vehicle.feeds):
        if feed.cable is not None:
            yield f"feeds[{index}].cable", feed.cable
    second = vehicle.second_battery
    if second is not None and second.link_cable is not None:
        yield "second_battery.link_cable", second.link_cable
