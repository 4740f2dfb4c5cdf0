"""What refers to what: ids given once, and nothing that refers to a part that is not there.

Also what would go round in a circle: feeds above themselves, converters that supply themselves.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from fusemap.vehicle import supply
from fusemap.vehicle.model import Accessory, Feed, Slot, Tap, Vehicle
from fusemap.vehicle.validity.bounds import Fault


def given_twice(parts: Iterable[Any], path: str) -> Iterator[Fault]:
    """Ids that are empty, or the same as an earlier one's."""
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


def rules_twice(vehicle: Vehicle) -> Iterator[Fault]:
    """Rules with two values."""
    seen: set[str] = set()
    for index, rule in enumerate(vehicle.rules):
        if rule.key in seen:
            yield Fault(f"rules[{index}].key", "this rule is given twice", "leave one of them out")
        seen.add(rule.key)


def _no(what: str, wanted: str, path: str) -> Fault:
    """A reference to something that is not in the vehicle."""
    return Fault(path, f"there is no {what} “{wanted}”", f"name a {what} that is in the vehicle")


def reference_faults(vehicle: Vehicle) -> Iterator[Fault]:
    """Slots, feeds and taps that name what is not there; slots and leads that are there twice."""
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


def reading_reference_faults(vehicle: Vehicle) -> Iterator[Fault]:
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
