"""What makes a vehicle impossible, said with the path to the field.

`faults(vehicle)` yields every fault as (path, what is wrong), for instance
``("panels[0].slots[7].row", "9 is outside the panel's 4 rows")``. The edits ask the same functions
about the one part they change. Whether a fuse family or an insulation exists is for the tables and
is asked where files are read.
"""

from collections.abc import Iterable, Iterator
from math import isfinite
from typing import Any

from msgspec import Struct

from fusemap.vehicle.model import Accessory, Cable, Feed, Panel, Slot, Tap, Vehicle, VoltageCutOff

Fault = tuple[str, str]

MOST_ROWS = 60
"""More rows or columns than any fuse panel has; a file that asks for more is not a vehicle."""

# Largest believable figure by the unit a field's name ends in; all are at least zero unless here.
LARGEST = {
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
    "_days": 3650.0,
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
}
ABOVE_ZERO = {"section_mm2", "rating", "capacity_ah", "reserve_min", "cca_a", "rated_v", "soh",
              "every_h", "bundle", "parallel", "watts", "amperes", "off_v", "on_v"}  # fmt: skip


def number_faults(part: Struct, path: str) -> Iterator[Fault]:
    """Numbers in a part and the parts inside it that are not finite, negative or beyond belief."""
    for name in part.__struct_fields__:
        value = getattr(part, name)
        where = f"{path}.{name}" if path else name
        if isinstance(value, Struct):
            yield from number_faults(value, where)
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            yield from _number_fault(name, value, where)
        elif isinstance(value, tuple):
            for index, item in enumerate(value):
                if isinstance(item, Struct):
                    yield from number_faults(item, f"{where}[{index}]")


def _number_fault(name: str, value: float, where: str) -> Iterator[Fault]:
    if not isfinite(value):
        yield where, f"{value} is not a number"
        return
    least = -60.0 if name.endswith("_c") else float("-inf") if name == "value" else 0.0
    most = next((top for end, top in LARGEST.items() if name.endswith(end)), float("inf"))
    if value < least:
        yield where, f"{value:g} is below {least:g}"
    elif value > most:
        yield where, f"{value:g} is above {most:g}, more than this can be"
    elif name in ABOVE_ZERO and value == 0:
        yield where, "it cannot be zero; leave it out where it is not known"


def slot_faults(slot: Slot, panel: Panel, path: str) -> Iterator[Fault]:
    """A slot outside its panel, with a fuse it cannot hold, or that cannot hold one."""
    if not 0 <= slot.row < panel.rows:
        yield f"{path}.row", f"{slot.row} is outside the panel's {panel.rows} rows"
    if not 0 <= slot.column < panel.columns:
        yield f"{path}.column", f"{slot.column} is outside the panel's {panel.columns} columns"
    if slot.fuse is not None and slot.kind != "fuse":
        yield f"{path}.fuse", f"a place of kind {slot.kind} holds no fuse"
    if slot.fuse is not None and slot.fuse.family != slot.family:
        yield (
            f"{path}.fuse.family",
            f"{slot.fuse.family} does not fit a slot for the {slot.family} family",
        )


def panel_faults(panel: Panel, path: str) -> Iterator[Fault]:
    """Impossible sizes, and two slots on one place."""
    for name, value in (("rows", panel.rows), ("columns", panel.columns)):
        if not 1 <= value <= MOST_ROWS:
            yield f"{path}.{name}", f"{value} is not between 1 and {MOST_ROWS}"
    taken: dict[tuple[int, int], int] = {}
    for index, slot in enumerate(panel.slots):
        where = f"{path}.slots[{index}]"
        first = taken.setdefault((slot.row, slot.column), index)
        if first != index:
            yield where, f"it is on the same place as slots[{first}]"
        yield from slot_faults(slot, panel, where)


def accessory_faults(accessory: Accessory, path: str) -> Iterator[Fault]:
    """Not exactly one of watts and amperes; leads that are named twice or miss the power lead."""
    if (accessory.watts is None) == (accessory.amperes is None):
        yield f"{path}.watts", "give either watts or amperes, not both and not neither"
    if "power" not in accessory.leads or len(set(accessory.leads)) != len(accessory.leads):
        yield f"{path}.leads", "it needs one power lead, and each lead once"
    if accessory.cut_off is not None:
        yield from cut_off_faults(accessory.cut_off, f"{path}.cut_off")


def cut_off_faults(cut_off: VoltageCutOff, path: str) -> Iterator[Fault]:
    """A cut-off that would reconnect below the voltage at which it disconnects."""
    if cut_off.on_v < cut_off.off_v:
        yield f"{path}.on_v", f"{cut_off.on_v:g} V is below off_v, {cut_off.off_v:g} V"


def tap_faults(tap: Tap, path: str) -> Iterator[Fault]:
    """A tap with two sources, or an own feed on a slot, or a relay where none can be."""
    if tap.kind == "own_feed" and tap.slot is not None:
        yield f"{path}.slot", "an own feed comes from a feed or the battery, not from a slot"
    if tap.kind != "own_feed" and tap.slot is None:
        yield f"{path}.slot", f"a tap of kind {tap.kind} needs a slot"
    if tap.kind != "own_feed" and tap.feed is not None:
        yield f"{path}.feed", "only an own feed comes from a feed"
    if tap.relay and tap.kind != "own_feed":
        yield f"{path}.relay", "a relay belongs into an own feed"


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
            yield f"{path}[{index}].id", "it is empty"
        first = seen.setdefault(part.id, index)
        if first != index:
            yield f"{path}[{index}].id", f"“{part.id}” is already the id of {path}[{first}]"


def _references(vehicle: Vehicle) -> Iterator[Fault]:
    feeds = {feed.id for feed in vehicle.feeds}
    slots: dict[str, Slot] = {}
    for p, panel in enumerate(vehicle.panels):
        for s, slot in enumerate(panel.slots):
            if slot.id in slots:
                yield f"panels[{p}].slots[{s}].id", f"“{slot.id}” is already another slot's id"
            slots[slot.id] = slot
            if slot.feed is not None and slot.feed not in feeds:
                yield f"panels[{p}].slots[{s}].feed", f"there is no feed “{slot.feed}”"
    for f, feed in enumerate(vehicle.feeds):
        if feed.parent is not None and feed.parent not in feeds:
            yield f"feeds[{f}].parent", f"there is no feed “{feed.parent}”"
    accessories = {accessory.id: accessory for accessory in vehicle.accessories}
    placed: set[tuple[str, str]] = set()
    for t, tap in enumerate(vehicle.taps):
        yield from _tap_references(tap, f"taps[{t}]", slots, feeds, accessories)
        if (tap.accessory, tap.lead) in placed:
            yield f"taps[{t}].lead", "this lead has a tap already"
        placed.add((tap.accessory, tap.lead))


def _tap_references(
    tap: Tap,
    path: str,
    slots: dict[str, Slot],
    feeds: set[str],
    accessories: dict[str, Accessory],
) -> Iterator[Fault]:
    accessory = accessories.get(tap.accessory)
    if accessory is None:
        yield f"{path}.accessory", f"there is no accessory “{tap.accessory}”"
    elif tap.lead not in accessory.leads:
        yield f"{path}.lead", f"“{accessory.name}” has no {tap.lead} lead"
    if tap.slot is not None and tap.slot not in slots:
        yield f"{path}.slot", f"there is no slot “{tap.slot}”"
    elif tap.slot is not None and slots[tap.slot].kind != "fuse":
        yield f"{path}.slot", f"“{tap.slot}” is a place of kind {slots[tap.slot].kind}, not a slot"
    if tap.feed is not None and tap.feed not in feeds:
        yield f"{path}.feed", f"there is no feed “{tap.feed}”"


def faults(vehicle: Vehicle) -> Iterator[Fault]:
    """Everything that makes this vehicle impossible, as (path to the field, what is wrong)."""
    yield from number_faults(vehicle, "")
    for name in ("panels", "feeds", "accessories", "taps"):
        yield from _twice(getattr(vehicle, name), name)
    for index, panel in enumerate(vehicle.panels):
        yield from panel_faults(panel, f"panels[{index}]")
    for index, accessory in enumerate(vehicle.accessories):
        yield from accessory_faults(accessory, f"accessories[{index}]")
    for index, tap in enumerate(vehicle.taps):
        yield from tap_faults(tap, f"taps[{index}]")
    yield from _references(vehicle)
    looped = parent_cycle(vehicle.feeds)
    if looped is not None:
        yield "feeds", f"feed “{looped}” is above itself"


def cables_of(vehicle: Vehicle) -> Iterator[tuple[str, Cable]]:
    """Every cable with its path."""
    for index, tap in enumerate(vehicle.taps):
        for name in ("cable_out", "cable_back"):
            cable = getattr(tap, name)
            if cable is not None:
                yield f"taps[{index}].{name}", cable
