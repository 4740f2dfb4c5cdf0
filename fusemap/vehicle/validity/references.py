"""What refers to what: ids given once, and nothing that refers to a part that is not there.

Also what would go round in a circle: feeds above themselves, converters that supply themselves.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

from fusemap.text import say
from fusemap.vehicle import look_up
from fusemap.vehicle.model import Accessory, Feed, Slot, Tap, Vehicle
from fusemap.vehicle.validity.bounds import Fault
from fusemap.vehicle.words import BATTERY, KIND, LEAD, TOW

EMPTY: Final = say("it is empty")
OWN_ID: Final = say("give it an id of its own")
OWN_IDS: Final = say("give each an id of its own")
LEAVE_ONE_OUT: Final = say("leave one of them out")


def given_twice(parts: Iterable[Any], path: str) -> Iterator[Fault]:
    """Ids that are empty, or the same as an earlier one's."""
    seen: dict[str, int] = {}
    for index, part in enumerate(parts):
        if not part.id:
            yield Fault(f"{path}[{index}].id", EMPTY, OWN_ID)
        first = seen.setdefault(part.id, index)
        if first != index:
            yield Fault(
                f"{path}[{index}].id",
                say("“{id}” is already the id of {part}", id=part.id, part=f"{path}[{first}]"),
                OWN_IDS,
            )


def feed_id_faults(feeds: Sequence[Feed]) -> Iterator[Fault]:
    """A feed with the id that stands for the battery itself."""
    for index, feed in enumerate(feeds):
        if feed.id == BATTERY:
            what = say("“{id}” means the battery itself and is no feed's id", id=feed.id)
            yield Fault(f"feeds[{index}].id", what, OWN_ID)


def rules_twice(vehicle: Vehicle) -> Iterator[Fault]:
    """Rules with two values."""
    seen: set[str] = set()
    for index, rule in enumerate(vehicle.rules):
        if rule.key in seen:
            yield Fault(f"rules[{index}].key", say("this rule is given twice"), LEAVE_ONE_OUT)
        seen.add(rule.key)


def _no_slot(wanted: str, path: str) -> Fault:
    return Fault(
        path,
        say("there is no slot “{id}”", id=wanted),
        say("name a slot that is in the vehicle"),
    )


def _no_feed(wanted: str, path: str) -> Fault:
    return Fault(
        path,
        say("there is no feed “{id}”", id=wanted),
        say("name a feed that is in the vehicle"),
    )


def _no_accessory(wanted: str, path: str) -> Fault:
    return Fault(
        path,
        say("there is no accessory “{id}”", id=wanted),
        say("name an accessory that is in the vehicle"),
    )


def reference_faults(vehicle: Vehicle) -> Iterator[Fault]:
    """Slots, feeds and taps that name what is not there; slots and leads that are there twice."""
    feeds = {feed.id for feed in vehicle.feeds}
    clashes: list[Fault] = []
    slots = _slots_by_id(vehicle, clashes)
    yield from clashes
    for p, panel in enumerate(vehicle.panels):
        for s, slot in enumerate(panel.slots):
            if slot.feed not in (None, BATTERY) and slot.feed not in feeds:
                yield _no_feed(slot.feed, f"panels[{p}].slots[{s}].feed")
    for f, feed in enumerate(vehicle.feeds):
        if feed.parent is not None and feed.parent not in feeds:
            yield _no_feed(feed.parent, f"feeds[{f}].parent")
    accessories = {accessory.id: accessory for accessory in vehicle.accessories}
    placed: set[tuple[str, str]] = set()
    earths = {point.id for point in vehicle.earths}
    for t, tap in enumerate(vehicle.taps):
        if tap.earth is not None and tap.earth not in earths:
            yield Fault(
                f"taps[{t}].earth",
                say("there is no earth point “{id}”", id=tap.earth),
                say("name an earth point that is in the vehicle"),
            )
        yield from _tap_references(tap, f"taps[{t}]", slots, feeds, accessories)
        if (tap.accessory, tap.lead) in placed:
            yield Fault(f"taps[{t}].lead", say("this lead has a tap already"), LEAVE_ONE_OUT)
        placed.add((tap.accessory, tap.lead))


def _slots_by_id(vehicle: Vehicle, clashes: list[Fault]) -> dict[str, Slot]:
    found: dict[str, Slot] = {}
    for p, panel in enumerate(vehicle.panels):
        for s, slot in enumerate(panel.slots):
            path = f"panels[{p}].slots[{s}].id"
            if not slot.id:
                clashes.append(Fault(path, EMPTY, OWN_ID))
            if slot.id in found:
                what = say("“{id}” is already another slot's id", id=slot.id)
                clashes.append(Fault(path, what, OWN_IDS))
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
        yield _no_accessory(tap.accessory, f"{path}.accessory")
    elif tap.lead not in accessory.leads:
        yield Fault(
            f"{path}.lead",
            say("“{name}” has no {lead} lead", name=accessory.name, lead=LEAD[tap.lead]),
            say("add the lead to the accessory, or take this tap off"),
        )
    if tap.slot is not None and tap.slot not in slots:
        yield _no_slot(tap.slot, f"{path}.slot")
    elif tap.slot is not None and slots[tap.slot].kind not in ("fuse", "module"):
        yield Fault(
            f"{path}.slot",
            say(
                "{slot} is not a fuse slot ({kind})",
                slot=tap.slot,
                kind=KIND[slots[tap.slot].kind],
            ),
            say("choose a fuse slot"),
        )
    if tap.feed is not None and tap.feed not in feeds:
        yield _no_feed(tap.feed, f"{path}.feed")
    if accessory is not None and tap.lead == "power" and accessory.supplied_by is not None:
        yield Fault(
            f"{path}.accessory",
            say("“{name}” hangs on a converter and has a tap of its own", name=accessory.name),
            say("leave one of the two out"),
        )


def reading_reference_faults(vehicle: Vehicle) -> Iterator[Fault]:
    """Readings of meters and other readings that are not there.

    What was read may be gone from the vehicle by now; the reading stays.
    """
    meters = {meter.id for meter in vehicle.meters}
    earlier: set[str] = set()
    for index, reading in enumerate(vehicle.readings):
        if reading.meter is not None and reading.meter not in meters:
            yield Fault(
                f"readings[{index}].meter",
                say("there is no meter “{id}”", id=reading.meter),
                say("name a meter that is in the vehicle"),
            )
        if reading.corrects is not None and reading.corrects not in earlier:
            yield Fault(
                f"readings[{index}].corrects",
                say("there is no earlier reading “{id}”", id=reading.corrects),
                say("name an earlier reading that is in the vehicle"),
            )
        earlier.add(reading.id)


def socket_faults(vehicle: Vehicle) -> Iterator[Fault]:
    """Sockets on slots or modules that are not there; leads in sockets that are not, or elsewhere.

    A lead that is plugged in hangs on the slot of its socket, and none hangs so on a tow socket.
    """
    slots = {slot.id for slot in look_up.slots(vehicle)} if vehicle.sockets else set()
    accessories = {accessory.id for accessory in vehicle.accessories}
    by_id = {each.id: each for each in vehicle.sockets}
    for index, each in enumerate(vehicle.sockets):
        path = f"sockets[{index}]"
        if each.slot is not None and each.slot not in slots:
            yield _no_slot(each.slot, f"{path}.slot")
        if each.module is not None and each.module not in accessories:
            yield _no_accessory(each.module, f"{path}.module")
        if len({pin.number for pin in each.pins}) != len(each.pins):
            yield Fault(f"{path}.pins", say("a pin is given twice"), LEAVE_ONE_OUT)
    for index, tap in enumerate(vehicle.taps):
        there = None if tap.socket is None else by_id.get(tap.socket)
        if tap.socket is not None and there is None:
            yield Fault(
                f"taps[{index}].socket",
                say("there is no socket “{id}”", id=tap.socket),
                say("name a socket that is in the vehicle"),
            )
        plugged = tap.kind == "plug"
        if plugged and (there is None or there.slot != tap.slot or there.kind in TOW):
            yield Fault(
                f"taps[{index}].kind",
                say("it is plugged into no socket of its slot"),
                say("name the socket, or say how it is joined"),
            )


def supply_faults(accessories: Sequence[Accessory]) -> Iterator[Fault]:
    """Accessories that hang on something that is no converter, or on themselves."""
    by_id = {accessory.id: accessory for accessory in accessories}
    for index, accessory in enumerate(accessories):
        path, wanted = f"accessories[{index}].supplied_by", accessory.supplied_by
        if wanted is None:
            continue
        if wanted not in by_id:
            yield _no_accessory(wanted, path)
        elif by_id[wanted].converter is None:
            yield Fault(
                path,
                say("“{name}” is no converter and supplies nothing", name=by_id[wanted].name),
                say("name a converter, or say what its output gives"),
            )
    looped = look_up.loop(accessories)
    if looped is not None:
        yield Fault(
            "accessories",
            say("“{name}” would supply itself", name=by_id[looped].name),
            say("hang one of the converters on a slot or a feed"),
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
