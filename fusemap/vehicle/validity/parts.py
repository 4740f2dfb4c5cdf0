"""What one part of a vehicle cannot be: its fields held against each other.

Each function takes the part and the path to it, and yields a `Fault` for everything wrong with it.
Single figures are looked at in `bounds`, what refers to another part in `references`.
"""

from collections.abc import Iterator
from datetime import datetime
from math import isfinite

from fusemap.vehicle.model import (
    Accessory,
    Battery,
    Panel,
    Parking,
    Slot,
    Tap,
    VoltageCutOff,
)
from fusemap.vehicle.readings import UNITS, YES_NO, Reading
from fusemap.vehicle.validity.bounds import MOST_ROWS, Fault, shown
from fusemap.vehicle.validity.photos import photo_faults

MOST_READ = {"mV": 60_000.0, "A": 5000.0, "V": 100.0}
"""Largest reading that can be, by its unit; meters show the sign, so it may also be negative."""

RANGE_OF = {
    "soh": ("low_soh", "high_soh"),
    "start_soc": ("low_soc", "high_soc"),
    "temperature_c": ("low_temperature_c", "high_temperature_c"),
    "rest_current_a": ("low_rest_current_a", "high_rest_current_a"),
}
"""The two ends of the range of a figure of the battery or the parking, by the figure."""

RANGES = tuple(RANGE_OF.values())

LONGEST_DRIVE_MIN = 1440.0


def slot_faults(slot: Slot, panel: Panel, path: str) -> Iterator[Fault]:
    """A slot outside its panel, with a fuse it cannot hold, or that cannot hold one."""
    for name, value, count in (
        ("row", slot.row, panel.rows),
        ("column", slot.column, panel.columns),
    ):
        if not 0 <= value < count:
            yield Fault(
                f"{path}.{name}",
                f"{value} is outside the panel's {count} {name}s",
                f"{name}s are counted from 0 to {count - 1}",
            )
    if slot.fuse is None:
        return
    if slot.kind != "fuse":
        yield Fault(
            f"{path}.fuse",
            f"a place of kind {slot.kind} holds no fuse",
            "take the fuse out, or make the place a fuse slot",
        )
    if slot.fuse.family != slot.family:
        yield Fault(
            f"{path}.fuse.family",
            f"{slot.fuse.family} does not fit a slot for the {slot.family} family",
            f"enter a fuse of the {slot.family} family, or change the slot's family",
        )


def panel_faults(panel: Panel, path: str) -> Iterator[Fault]:
    """Impossible sizes, two slots on one place, a photo that is none."""
    for name, value in (("rows", panel.rows), ("columns", panel.columns)):
        if not 1 <= value <= MOST_ROWS:
            yield Fault(
                f"{path}.{name}",
                f"{shown(value)} is not between 1 and {MOST_ROWS}",
                f"a panel has 1 to {MOST_ROWS} {name}",
            )
    taken: dict[tuple[int, int], int] = {}
    for index, slot in enumerate(panel.slots):
        where = f"{path}.slots[{index}]"
        first = taken.setdefault((slot.row, slot.column), index)
        if first != index:
            yield Fault(where, f"it is on the same place as slots[{first}]", "move one of them")
        yield from slot_faults(slot, panel, where)
    if panel.photo is not None:
        yield from photo_faults(panel.photo, f"{path}.photo")


def accessory_faults(accessory: Accessory, path: str) -> Iterator[Fault]:
    """Not exactly one of watts and amperes; leads that are named twice or miss the power lead."""
    if accessory.watts is None and accessory.amperes is None:
        yield Fault(f"{path}.watts", "neither watts nor amperes are given", "enter one of the two")
    if accessory.watts is not None and accessory.amperes is not None:
        yield Fault(f"{path}.watts", "both watts and amperes are given", "leave one of them out")
    if "power" not in accessory.leads or len(set(accessory.leads)) != len(accessory.leads):
        yield Fault(
            f"{path}.leads", "it needs a power lead, and each lead once", "name each lead once"
        )
    if accessory.cut_off is not None:
        yield from cut_off_faults(accessory.cut_off, f"{path}.cut_off")


def cut_off_faults(cut_off: VoltageCutOff, path: str) -> Iterator[Fault]:
    """A cut-off that would reconnect below the voltage at which it disconnects."""
    if cut_off.on_v < cut_off.off_v:
        yield Fault(
            f"{path}.on_v",
            f"{cut_off.on_v:g} V is below off_v, {cut_off.off_v:g} V",
            "it has to come on again at the same voltage or above",
        )


def range_faults(part: Battery | Parking, path: str) -> Iterator[Fault]:
    """Ranges whose low end lies above their high end."""
    for low, high in RANGES:
        ends = getattr(part, low, None), getattr(part, high, None)
        if ends[0] is not None and ends[1] is not None and ends[0] > ends[1]:
            yield Fault(
                f"{path}.{low}",
                f"{ends[0]:g} is above {high}, {ends[1]:g}",
                "the low end lies below the high end",
            )


def parking_faults(parking: Parking, path: str) -> Iterator[Fault]:
    """Ranges that are upside down, and drives of no length or on no day."""
    yield from range_faults(parking, path)
    for index, drive in enumerate(parking.drives):
        where = f"{path}.drives[{index}]"
        if not 0 < drive.minutes <= LONGEST_DRIVE_MIN:
            yield Fault(f"{where}.minutes", f"a drive of {drive.minutes:g} minutes",
                        f"enter more than 0 and at most {LONGEST_DRIVE_MIN:g}")  # fmt: skip
        if not drive.weekdays:
            yield Fault(f"{where}.weekdays", "a drive on no day", "name a day, or take it out")


def tap_faults(tap: Tap, path: str) -> Iterator[Fault]:
    """A tap with two sources, or an own feed on a slot, or a relay where none can be."""
    own = tap.kind == "own_feed"
    if own and tap.slot is not None:
        yield Fault(
            f"{path}.slot",
            "an own feed comes from a feed or the battery, not from a slot",
            "leave the slot out, or choose a kind of tap",
        )
    if not own and tap.slot is None:
        yield Fault(f"{path}.slot", f"a tap of kind {tap.kind} needs a slot", "choose a slot")
    if not own and tap.feed is not None:
        yield Fault(f"{path}.feed", "only an own feed comes from a feed", "leave the feed out")
    if tap.relay and not own:
        yield Fault(f"{path}.relay", "a relay belongs into an own feed", "leave the relay out")


def reading_faults(reading: Reading, path: str) -> Iterator[Fault]:
    """A reading at no time, of no such answer, or beyond what a meter could show."""
    if not is_time(reading.when):
        yield Fault(
            f"{path}.when",
            f"“{reading.when[:40]}” is no date or time",
            "write it like 2025-05-17T18:30",
        )
    for name in ("value", "highest"):
        value = getattr(reading, name)
        if value is not None:
            yield from _read_faults(reading, value, f"{path}.{name}")
    if reading.highest is not None and reading.highest < reading.value:
        yield Fault(f"{path}.highest", "it is below value", "write the higher one here")


def _read_faults(reading: Reading, value: float, where: str) -> Iterator[Fault]:
    if reading.quantity in YES_NO:
        if value not in (0, 1):
            yield Fault(where, f"{value:g} is neither yes nor no", "write 1 for yes, 0 for no")
        return
    unit = UNITS[reading.quantity]
    if not isfinite(value) or abs(value) > MOST_READ[unit]:
        yield Fault(
            where,
            f"{value:g} {unit} is more than can be read here",
            f"a meter shows at most {MOST_READ[unit]:g} {unit}",
        )


def is_time(text: str) -> bool:
    """Whether a text is an ISO 8601 date, or date and time.

    >>> is_time("2025-05-17T18:30:05"), is_time("17.5.25")
    (True, False)
    """
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True
