"""What makes a vehicle impossible, said with the path to the field.

`faults(vehicle)` yields every fault as (path, what is wrong, what to do), for instance
``("panels[0].slots[7].row", "9 is outside the panel's 4 rows", …)``. The edits ask the same
functions about the one part they change. Whether a fuse family or an insulation exists is for the
tables and is asked where files are read.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from functools import cache
from math import isfinite
from sys import float_info
from typing import Any, NamedTuple

from msgspec import Struct

from fusemap.vehicle import supply, texts
from fusemap.vehicle.model import (
    Accessory,
    Battery,
    Cable,
    Feed,
    Panel,
    Parking,
    Slot,
    Tap,
    Vehicle,
    VoltageCutOff,
)
from fusemap.vehicle.readings import UNITS, YES_NO, Reading


class Fault(NamedTuple):
    """One thing that makes a vehicle impossible: path to the field, what is wrong, what to do."""

    path: str
    what: str
    remedy: str = ""


MOST_ROWS = 60
"""More rows or columns than any fuse panel has; a file that asks for more is not a vehicle."""

MOST_SLOTS = 500
"""Slots of all panels together; a coach has some 300."""
MOST: dict[str, int] = {
    "panels": 40,
    "slots": MOST_SLOTS,
    "feeds": 100,
    "accessories": 120,
    "taps": 300,
    "readings": 20_000,
    "log": 10_000,
    "sign_offs": 1000,
    "timetable": 12,
    "wake_ups": 12,
    "drives": 21,
}
"""How many of something there may be, by the name of the list."""
MOST_OTHERS = 100
"""How many there may be of what is not in `MOST`."""

# Largest believable figure by the end of a field's name, the first that fits.
LARGEST = {
    "locked_at_h": 24.0,
    "start_h": 23.999,
    "_spread": 0.99,
    "from_h": 24.0,
    "to_h": 24.0,
    "minutes": 100_000.0,
    "_a": 5000.0,
    "_v": 60.0,
    "_m": 200.0,
    "_mm2": 400.0,
    "_mohm": 1e6,
    "_ah": 5000.0,
    "_min": 100_000.0,
    "_h": 10_000.0,
    "_s": 1e6,
    "_c": 150.0,
    "_days": 730.0,
    "_years": 100.0,
    "watts": 50_000.0,
    "amperes": 5000.0,
    "rating": 1000.0,
    "duty": 1.0,
    "soh": 1.5,
    "_soc": 1.0,
    "_multiple": 100.0,
    "bundle": 200,
    "parallel": 20,
    "share": 0.99,
    "efficiency": 1.0,
    "counts": 10_000.0,
}
COLDEST_C = -60.0
LARGEST_FLOAT = float_info.max
# Least believable figure of what cannot be zero; what is not known is left out.
SMALLEST = {
    "section_mm2": 0.01,
    "rating": 0.1,
    "capacity_ah": 0.5,
    "reserve_min": 1.0,
    "cca_a": 1.0,
    "rated_v": 1.0,
    "soh": 0.01,
    "low_soh": 0.01,
    "high_soh": 0.01,
    "measured_cca_a": 1.0,
    "cranking_a": 1.0,
    "every_h": 0.01,
    "bundle": 1,
    "parallel": 1,
    "watts": 1e-6,
    "amperes": 1e-6,
    "off_v": 1.0,
    "on_v": 1.0,
    "resolution": 1e-9,
    "output_v": 1.0,
    "efficiency": 0.1,
}
MOST_READ = {"mV": 60_000.0, "A": 5000.0, "V": 100.0}
"""Largest reading that can be, by its unit; meters show the sign, so it may also be negative."""


def number_faults(part: Struct, path: str) -> Iterator[Fault]:
    """What cannot be in a part and the parts inside it, looked at field by field.

    Numbers that are not finite, negative or beyond belief, and text that no file can hold.
    """
    for name in part.__struct_fields__:
        value = getattr(part, name)
        if value is None or value is True or value is False or _is_fine(name, value):
            continue
        where = f"{path}.{name}" if path else name
        if isinstance(value, Struct):
            yield from number_faults(value, where)
        elif isinstance(value, tuple):
            for index, item in enumerate(value):
                if isinstance(item, Struct):
                    yield from number_faults(item, f"{where}[{index}]")
        elif isinstance(value, str):
            yield from text_faults(value, where)
        else:
            yield from _number_fault(name, value, where)


def _is_fine(name: str, value: Any) -> bool:
    """Whether a value is plain text or a believable number: nearly all are, and a file has many."""
    if isinstance(value, str):
        return texts.is_plain(name, value)
    if isinstance(value, (int, float)):
        least, most = span(name)
        return least <= value <= most
    return False


def text_faults(text: str, path: str) -> Iterator[Fault]:
    """Text that is too long for the field it is in, or has signs in it that nobody sees."""
    for what, remedy in texts.text_faults(path.rpartition(".")[2], text):
        yield Fault(path, what, remedy)


def count_faults(vehicle: Vehicle) -> Iterator[Fault]:
    """More of something than any vehicle has: it could not be computed in a reasonable time."""
    yield from _too_many(vehicle, "")
    slots = 0
    for index, panel in enumerate(vehicle.panels):
        slots += len(panel.slots)
        if slots > MOST_SLOTS:
            yield _too_long(f"panels[{index}].slots", slots, MOST_SLOTS, "slots of all panels")
            return
    for index, accessory in enumerate(vehicle.accessories):
        yield from _too_many(accessory, f"accessories[{index}].")
    yield from _too_many(vehicle.parking, "parking.")
    for index, meter in enumerate(vehicle.meters):
        yield from _too_many(meter, f"meters[{index}].")


def _too_many(part: Struct, path: str) -> Iterator[Fault]:
    for name in part.__struct_fields__:
        value = getattr(part, name)
        if type(value) is tuple and len(value) > MOST.get(name, MOST_OTHERS):
            most = MOST.get(name, MOST_OTHERS)
            yield _too_long(f"{path}{name}", len(value), most, name.replace("_", " "))


def _too_long(path: str, count: int, most: int, what: str) -> Fault:
    return Fault(path, f"{count} {what} are more than can be here", f"there may be {most}")


@cache
def span(name: str) -> tuple[float, float]:
    """The least and the largest believable figure for a field of this name.

    >>> span("length_m"), span("soh")
    ((0.0, 200.0), (0.01, 1.5))
    """
    most = next((top for end, top in LARGEST.items() if name.endswith(end)), LARGEST_FLOAT)
    if name in ("value", "highest"):  # of a rule or a reading: these know their own bounds
        return -LARGEST_FLOAT, most
    return (COLDEST_C if name.endswith("_c") else SMALLEST.get(name, 0.0)), most


def _number_fault(name: str, value: float, where: str) -> Iterator[Fault]:
    least, most = span(name)
    if isinstance(value, float) and not isfinite(value):
        yield Fault(where, f"{value} is not a number", "enter a number, or leave it out")
    elif value == 0 and least > 0:
        yield Fault(where, "it cannot be zero", "leave it out where it is not known")
    elif value < least:
        what = f"{_shown(value)} is below {least:g}, less than this can be"
        yield Fault(where, what, f"enter {least:g} or more")
    elif value > most:
        what = f"{_shown(value)} is above {most:g}, more than this can be"
        yield Fault(where, what, f"enter {most:g} or less")


def _shown(value: float) -> str:
    """A number for a message; a whole number may be too large to be a float."""
    return f"{value:g}" if isinstance(value, float) or abs(value) < 1e15 else "a huge number"


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
    """Impossible sizes, and two slots on one place."""
    for name, value in (("rows", panel.rows), ("columns", panel.columns)):
        if not 1 <= value <= MOST_ROWS:
            yield Fault(
                f"{path}.{name}",
                f"{_shown(value)} is not between 1 and {MOST_ROWS}",
                f"a panel has 1 to {MOST_ROWS} {name}",
            )
    taken: dict[tuple[int, int], int] = {}
    for index, slot in enumerate(panel.slots):
        where = f"{path}.slots[{index}]"
        first = taken.setdefault((slot.row, slot.column), index)
        if first != index:
            yield Fault(where, f"it is on the same place as slots[{first}]", "move one of them")
        yield from slot_faults(slot, panel, where)


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


RANGE_OF = {
    "soh": ("low_soh", "high_soh"),
    "start_soc": ("low_soc", "high_soc"),
    "temperature_c": ("low_temperature_c", "high_temperature_c"),
    "rest_current_a": ("low_rest_current_a", "high_rest_current_a"),
}
"""The two ends of the range of a figure of the battery or the parking, by the figure."""
RANGES = tuple(RANGE_OF.values())
LONGEST_DRIVE_MIN = 1440.0


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


def parent_cycle(feeds: Iterable[Feed]) -> str | None:
    """The id of a feed that is, over its parents, above itself; `None` when there is none."""
    parent = {feed.id: feed.parent for feed in feeds}
    for start in parent:
        seen = {start}
        above = parent[start]
        while above is not None and above in parent:
            if above in seen:
                return start
            seen.add(above)
            above = parent[above]
    return None


def _twice(parts: Iterable[Any], path: str) -> Iterator[Fault]:
    seen: dict[str, int] = {}
    for index, part in enumerate(parts):
        if not part.id:
            yield Fault(f"{path}[{index}].id", "it is empty", "give it an id of its own")
        first = seen.setdefault(part.id, index)
        if first != index:
            yield Fault(
                f"{path}[{index}].id",
                f"“{part.id}” is already the id of {path}[{first}]",
                "give each an id of its own",
            )


def _rules_twice(vehicle: Vehicle) -> Iterator[Fault]:
    seen: set[str] = set()
    for index, rule in enumerate(vehicle.rules):
        if rule.key in seen:
            yield Fault(f"rules[{index}].key", "this rule is given twice", "leave one of them out")
        seen.add(rule.key)


def _no(what: str, wanted: str, path: str) -> Fault:
    """A reference to something that is not in the vehicle."""
    return Fault(path, f"there is no {what} “{wanted}”", f"name a {what} that is in the vehicle")


def _slots_by_id(vehicle: Vehicle, clashes: list[Fault]) -> dict[str, Slot]:
    found: dict[str, Slot] = {}
    for p, panel in enumerate(vehicle.panels):
        for s, slot in enumerate(panel.slots):
            path = f"panels[{p}].slots[{s}].id"
            if not slot.id:
                clashes.append(Fault(path, "it is empty", "give it an id of its own"))
            if slot.id in found:
                clashes.append(
                    Fault(
                        path,
                        f"“{slot.id}” is already another slot's id",
                        "give each an id of its own",
                    )
                )
            found[slot.id] = slot
    return found


def _references(vehicle: Vehicle) -> Iterator[Fault]:
    feeds = {feed.id for feed in vehicle.feeds}
    clashes: list[Fault] = []
    slots = _slots_by_id(vehicle, clashes)
    yield from clashes
    for p, panel in enumerate(vehicle.panels):
        for s, slot in enumerate(panel.slots):
            if slot.feed is not None and slot.feed not in feeds:
                yield _no("feed", slot.feed, f"panels[{p}].slots[{s}].feed")
    for f, feed in enumerate(vehicle.feeds):
        if feed.parent is not None and feed.parent not in feeds:
            yield _no("feed", feed.parent, f"feeds[{f}].parent")
    accessories = {accessory.id: accessory for accessory in vehicle.accessories}
    placed: set[tuple[str, str]] = set()
    for t, tap in enumerate(vehicle.taps):
        yield from _tap_references(tap, f"taps[{t}]", slots, feeds, accessories)
        if (tap.accessory, tap.lead) in placed:
            yield Fault(f"taps[{t}].lead", "this lead has a tap already", "leave one of them out")
        placed.add((tap.accessory, tap.lead))


def _reading_references(vehicle: Vehicle) -> Iterator[Fault]:
    """Readings of meters and other readings that are not there.

    What was read may be gone from the vehicle by now; the reading stays.
    """
    meters = {meter.id for meter in vehicle.meters}
    earlier: set[str] = set()
    for index, reading in enumerate(vehicle.readings):
        if reading.meter is not None and reading.meter not in meters:
            yield _no("meter", reading.meter, f"readings[{index}].meter")
        if reading.corrects is not None and reading.corrects not in earlier:
            yield _no("earlier reading", reading.corrects, f"readings[{index}].corrects")
        earlier.add(reading.id)


def _tap_references(
    tap: Tap,
    path: str,
    slots: dict[str, Slot],
    feeds: set[str],
    accessories: dict[str, Accessory],
) -> Iterator[Fault]:
    accessory = accessories.get(tap.accessory)
    if accessory is None:
        yield _no("accessory", tap.accessory, f"{path}.accessory")
    elif tap.lead not in accessory.leads:
        yield Fault(
            f"{path}.lead",
            f"“{accessory.name}” has no {tap.lead} lead",
            "add the lead to the accessory, or take this tap off",
        )
    if tap.slot is not None and tap.slot not in slots:
        yield _no("slot", tap.slot, f"{path}.slot")
    elif tap.slot is not None and slots[tap.slot].kind != "fuse":
        yield Fault(
            f"{path}.slot",
            f"“{tap.slot}” is a place of kind {slots[tap.slot].kind}, not a fuse slot",
            "choose a fuse slot",
        )
    if tap.feed is not None and tap.feed not in feeds:
        yield _no("feed", tap.feed, f"{path}.feed")
    if accessory is not None and tap.lead == "power" and accessory.supplied_by is not None:
        yield Fault(
            f"{path}.accessory",
            f"“{accessory.name}” hangs on a converter and has a tap of its own",
            "leave one of the two out",
        )


def supply_faults(accessories: Sequence[Accessory]) -> Iterator[Fault]:
    """Accessories that hang on something that is no converter, or on themselves."""
    by_id = {accessory.id: accessory for accessory in accessories}
    for index, accessory in enumerate(accessories):
        path, wanted = f"accessories[{index}].supplied_by", accessory.supplied_by
        if wanted is None:
            continue
        if wanted not in by_id:
            yield _no("accessory", wanted, path)
        elif by_id[wanted].converter is None:
            yield Fault(
                path,
                f"“{by_id[wanted].name}” is no converter and supplies nothing",
                "name a converter, or say what its output gives",
            )
    looped = supply.loop(accessories)
    if looped is not None:
        yield Fault(
            "accessories",
            f"“{by_id[looped].name}” would supply itself",
            "hang one of the converters on a slot or a feed",
        )


def faults(vehicle: Vehicle) -> Iterator[Fault]:
    """Everything that makes this vehicle impossible, as (path, what is wrong, what to do)."""
    yield from count_faults(vehicle)
    yield from number_faults(vehicle, "")
    yield from _rules_twice(vehicle)
    for name in ("panels", "feeds", "accessories", "taps", "meters", "readings"):
        yield from _twice(getattr(vehicle, name), name)
    yield from range_faults(vehicle.battery, "battery")
    yield from parking_faults(vehicle.parking, "parking")
    for index, panel in enumerate(vehicle.panels):
        yield from panel_faults(panel, f"panels[{index}]")
    for index, accessory in enumerate(vehicle.accessories):
        yield from accessory_faults(accessory, f"accessories[{index}]")
    for index, tap in enumerate(vehicle.taps):
        yield from tap_faults(tap, f"taps[{index}]")
    for index, reading in enumerate(vehicle.readings):
        yield from reading_faults(reading, f"readings[{index}]")
    yield from _references(vehicle)
    yield from supply_faults(vehicle.accessories)
    yield from _reading_references(vehicle)
    looped = parent_cycle(vehicle.feeds)
    if looped is not None:
        yield Fault("feeds", f"feed “{looped}” is above itself", "give it another parent")


def cables_of(vehicle: Vehicle) -> Iterator[tuple[str, Cable]]:
    """Every cable with its path."""
    for index, tap in enumerate(vehicle.taps):
        for name in ("cable_out", "cable_back"):
            cable = getattr(tap, name)
            if cable is not None:
                yield f"taps[{index}].{name}", cable
