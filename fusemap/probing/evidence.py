"""Which readings count, and what they say in words.

A reading counts while it is not withdrawn and no reading that counts corrects it. What was taken
over from somebody else (`verified` false) is kept apart: nothing is decided on it alone.
"""

from collections import deque
from collections.abc import Callable, Iterator
from typing import TypeVar

from fusemap.units import NARROW_SPACE, digits, quantity
from fusemap.vehicle import Reading, Slot, State, Vehicle
from fusemap.vehicle.words import Purpose

IN_STATE: dict[State, str] = {
    "asleep": "asleep",
    "awake": "locked, still awake",
    "accessory": "key at accessory",
    "ignition": "ignition on",
    "running": "engine running",
}

LIVE = {
    "live": ("dead", "live"),
    "live_left": ("left contact dead", "left contact live"),
    "live_right": ("right contact dead", "right contact live"),
    "live_top": ("top contact dead", "top contact live"),
    "live_bottom": ("bottom contact dead", "bottom contact live"),
}
"""What a reading without a figure says, dead or live."""

Found = TypeVar("Found")
Readings = tuple[Reading, ...]


def _kept(make: Callable[[Readings], Found]) -> Callable[[Readings], Found]:
    """Keep what was made of the last few tuples, known by being the very same ones.

    To look a tuple of a thousand readings up by its content would cost more than it saves.
    """
    kept: deque[tuple[Readings, Found]] = deque(maxlen=6)

    def found(readings: Readings) -> Found:
        for there, result in kept:
            if there is readings:
                return result
        kept.append((readings, make(readings)))
        return kept[-1][1]

    found.__doc__ = make.__doc__
    return found


@_kept
def standing(readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """The readings that count, in the order they were taken."""
    corrected = {one.corrects for one in readings if not one.withdrawn}
    return tuple(one for one in readings if not one.withdrawn and one.id not in corrected)


def of_slot(
    vehicle: Vehicle, slot_id: str, *, verified: bool = True, purpose: Purpose = "probe"
) -> tuple[Reading, ...]:
    """The readings of one slot that count."""
    return tuple(
        one
        for one in _by_slot(vehicle.readings).get(slot_id, ())
        if one.verified is verified and one.purpose == purpose
    )


@_kept
def _by_slot(readings: tuple[Reading, ...]) -> dict[str, tuple[Reading, ...]]:
    found: dict[str, list[Reading]] = {}
    for one in standing(readings):
        if one.target == "slot":
            found.setdefault(one.target_id, []).append(one)
    return {slot_id: tuple(those) for slot_id, those in found.items()}


def of_vehicle(vehicle: Vehicle, *, purpose: Purpose = "probe") -> tuple[Reading, ...]:
    """The verified whole-car currents that count, in the order they were taken."""
    return tuple(
        one
        for one in standing(vehicle.readings)
        if one.target == "vehicle"
        and one.verified
        and one.purpose == purpose
        and one.quantity in ("clamp_current", "inline_current")
    )


def fuse_slots(vehicle: Vehicle) -> Iterator[Slot]:
    """Every slot that is for a fuse, in the panels' order."""
    for panel in vehicle.panels:
        yield from (slot for slot in panel.slots if slot.kind == "fuse")


def when_words(reading: Reading) -> str:
    """In which state a reading was taken: “12 min after locking”, “key at accessory”."""
    lamps = " with the lamps on" if reading.lamps_on else ""
    if reading.state in ("asleep", "awake") and reading.after_lock_min is not None:
        return f"{minutes_words(reading.after_lock_min)} after locking{lamps}"
    return IN_STATE[reading.state] + lamps


def minutes_words(minutes: float) -> str:
    """A time after locking in whole minutes.

    >>> minutes_words(12.3).replace(NARROW_SPACE, " ")
    '12 min'
    """
    return f"{minutes:.0f}{NARROW_SPACE}min"


def value_words(reading: Reading) -> str:
    """What a reading said: “live”, “0.4 mV”, “40 to 65 mA”."""
    if reading.quantity.startswith("live"):
        return LIVE[reading.quantity][bool(reading.yes)]
    if not reading.unit:
        return "yes" if reading.yes else "no"
    if reading.unit == "mV":
        low, high = digits(reading.value), _high(reading)
        return f"{low}{high and f' to {high}'}{NARROW_SPACE}mV"
    if reading.highest is None:
        return quantity(reading.value, reading.unit)
    return f"{quantity(reading.value, reading.unit)} to {quantity(reading.highest, reading.unit)}"


def _high(reading: Reading) -> str:
    return "" if reading.highest is None else digits(reading.highest)
