"""Find a part of a vehicle by its id, and what hangs on which converter.

Each finder raises `EditRefused` when there is no such part. In for what hangs: a vehicle, or its
accessories. Out: what hangs on what, and whether a rated voltage [V] suits the voltage [V] offered.
"""

from collections.abc import Iterable, Iterator
from typing import Final, Literal, Protocol, TypeVar

from fusemap.errors import EditRefused
from fusemap.text import Text, Words, run_on, say
from fusemap.vehicle.model import (
    Accessory,
    EarthPoint,
    Feed,
    Panel,
    Slot,
    Tap,
    Vehicle,
    VoltageCutOff,
)
from fusemap.vehicle.parts import Meter, Reading, Socket
from fusemap.vehicle.words import (
    BATTERY,
    NO_FEED,
    STRAIGHT,
    BatteryName,
    LeadName,
    TargetKind,
)


class HasId(Protocol):
    """Anything with an id."""

    @property
    def id(self) -> str: ...


Part = TypeVar("Part", bound=HasId)


_SORT: Final = {
    "slot": say("slot"),
    "panel": say("panel"),
    "feed": say("feed"),
    "earth": say("earth point"),
    "socket": say("socket"),
    "accessory": say("accessory"),
    "tap": say("tap"),
    "meter": say("meter"),
    "reading": say("reading"),
}
"""What is looked for, in words."""


def find(parts: Iterable[Part], wanted: str, what: str) -> Part:
    """The part with id `wanted`; `what` names the sort of thing in the error."""
    for part in parts:
        if part.id == wanted:
            return part
    raise _missing(wanted, what)


def _missing(wanted: str, what: str) -> EditRefused:
    return EditRefused(
        say("not in this vehicle: {what} “{id}”", what=_SORT[what], id=wanted),
        remedy=say("choose another"),
    )


def slots(vehicle: Vehicle) -> Iterator[Slot]:
    """Every slot of every panel, in the panels' order."""
    for panel in vehicle.panels:
        yield from panel.slots


class _Index:
    """The slots of the vehicle last asked about by id: a vehicle never changes, so they hold."""

    def __init__(self) -> None:
        self._last: tuple[tuple[Panel, ...], dict[str, Slot]] = ((), {})

    def of(self, vehicle: Vehicle) -> dict[str, Slot]:
        panels, found = self._last
        if panels is not vehicle.panels:
            # of two with one id the first is meant, as everywhere
            found = {
                each.id: each
                for panel in reversed(vehicle.panels)
                for each in reversed(panel.slots)
            }
            self._last = (vehicle.panels, found)
        return found


_INDEX = _Index()


def slot(vehicle: Vehicle, slot_id: str) -> Slot:
    """The slot with this id."""
    return _INDEX.of(vehicle).get(slot_id) or find(slots(vehicle), slot_id, "slot")


def panel(vehicle: Vehicle, panel_id: str) -> Panel:
    """The panel with this id."""
    return find(vehicle.panels, panel_id, "panel")


def panel_of(vehicle: Vehicle, slot_id: str) -> Panel:
    """The panel on which this slot sits."""
    for candidate in vehicle.panels:
        if any(s.id == slot_id for s in candidate.slots):
            return candidate
    raise _missing(slot_id, "slot")


def slot_at(panel: Panel, row: int, column: int) -> Slot | None:
    """The slot at a place of the panel, if there is one."""
    for candidate in panel.slots:
        if candidate.row == row and candidate.column == column:
            return candidate
    return None


def feed(vehicle: Vehicle, feed_id: str) -> Feed:
    """The feed with this id."""
    return find(vehicle.feeds, feed_id, "feed")


def battery_of(vehicle: Vehicle, accessory: Accessory) -> BatteryName:
    """The battery an accessory takes its power from: by where it is placed, else as is said."""
    if vehicle.second_battery is None:
        return "starter"
    tap = tap_of(vehicle, accessory.id)
    return accessory.battery if tap is None else battery_of_tap(vehicle, tap)


def battery_of_tap(vehicle: Vehicle, tap: Tap) -> BatteryName:
    """The battery a lead's current comes from: that of its feed, else as its accessory says."""
    if vehicle.second_battery is None:
        return "starter"
    if tap.slot is None and tap.feed is None:
        return accessory(vehicle, tap.accessory).battery
    at = tap.feed if tap.slot is None else slot(vehicle, tap.slot).feed
    if at is None or at == BATTERY:
        return "starter"
    return list(feeds_above(vehicle, at))[-1].battery


def cut_off_of(vehicle: Vehicle, accessory: Accessory) -> VoltageCutOff | None:
    """The low-voltage cut-off that switches an accessory off first: its own, or one in a feed."""
    feed = cutting_feed(vehicle, accessory)
    return accessory.cut_off if feed is None else feed.cut_off


def cutting_feed(vehicle: Vehicle, accessory: Accessory) -> Feed | None:
    """The feed above an accessory whose cut-off trips before its own; `None` where none does."""
    tap = tap_of(vehicle, accessory.id)
    at = None if tap is None else tap.feed if tap.slot is None else slot(vehicle, tap.slot).feed
    with_one = [feed for feed in feeds_above(vehicle, at) if feed.cut_off is not None]
    own = 0.0 if accessory.cut_off is None else accessory.cut_off.off_v
    first = max(
        with_one, key=lambda feed: feed.cut_off.off_v if feed.cut_off else 0.0, default=None
    )
    return first if first is not None and first.cut_off and first.cut_off.off_v > own else None


def feeds_above(vehicle: Vehicle, feed_id: str | None) -> Iterator[Feed]:
    """A feed and its parents, upwards; none for the battery, and where the feed is not known."""
    while feed_id is not None and feed_id != BATTERY:
        above = feed(vehicle, feed_id)
        yield above
        feed_id = above.parent


def feed_of(vehicle: Vehicle, slot: Slot) -> Feed | None:
    """The feed that a slot hangs on; `None` for the battery, and where it is not known."""
    return None if slot.feed in (None, BATTERY) else feed(vehicle, str(slot.feed))


def earth(vehicle: Vehicle, earth_id: str) -> EarthPoint:
    """The earth point with this id."""
    return find(vehicle.earths, earth_id, "earth")


def socket(vehicle: Vehicle, socket_id: str) -> Socket:
    """The socket with this id."""
    return find(vehicle.sockets, socket_id, "socket")


def accessory(vehicle: Vehicle, accessory_id: str) -> Accessory:
    """The accessory with this id."""
    return find(vehicle.accessories, accessory_id, "accessory")


def tap(vehicle: Vehicle, tap_id: str) -> Tap:
    """The tap with this id."""
    return find(vehicle.taps, tap_id, "tap")


def tap_of(vehicle: Vehicle, accessory_id: str, lead: LeadName = "power") -> Tap | None:
    """The tap that supplies one lead of an accessory, if it is placed."""
    for candidate in vehicle.taps:
        if candidate.accessory == accessory_id and candidate.lead == lead:
            return candidate
    return None


def taps_on(vehicle: Vehicle, slot_id: str) -> tuple[Tap, ...]:
    """The taps that sit on a slot."""
    return tuple(t for t in vehicle.taps if t.slot == slot_id)


def meter(vehicle: Vehicle, meter_id: str) -> Meter:
    """The meter with this id."""
    return find(vehicle.meters, meter_id, "meter")


def reading(vehicle: Vehicle, reading_id: str) -> Reading:
    """The reading with this id."""
    return find(vehicle.readings, reading_id, "reading")


def read_ids(vehicle: Vehicle, target: TargetKind) -> Iterator[str]:
    """Ids that readings speak of, of things that may be gone: no new thing may take one."""
    for each in vehicle.readings:
        if each.target == target:
            yield each.target_id
        if target == "slot" and each.fuse_out is not None:
            yield each.fuse_out
        if target == "slot":
            yield from each.fuses_out


def slot_name(slot: Slot) -> str:
    """What people call a slot: its label, else its place.

    >>> slot_name(Slot(id="a", row=0, column=2, label="F3"))
    'F3'
    >>> slot_name(Slot(id="a", row=0, column=2))
    'row 1, column 3'
    """
    return slot.label or f"row {slot.row + 1}, column {slot.column + 1}"


def slot_words(slot: Slot) -> Words:
    """The same for people: a label is a name, a place is said in any language.

    >>> str(slot_words(Slot(id="a", row=0, column=2)))
    'row 1, column 3'
    """
    place = say("row {row}, column {column}", row=slot.row + 1, column=slot.column + 1)
    return slot.label or place


def place_words(slot: Slot) -> Words:
    """A slot in a sentence: a label that is a number alone needs the word before it.

    >>> str(place_words(Slot(id="a", row=0, column=2, label="7")))
    'slot 7'
    >>> place_words(Slot(id="a", row=0, column=2, label="F7"))
    'F7'
    """
    return _unless_a_number(slot, say("slot {name}", name=slot.label))


def fuse_words(slot: Slot) -> Words:
    """A fuse by its slot, in a sentence: a label that is a number alone needs the word before it.

    >>> str(fuse_words(Slot(id="a", row=0, column=2, label="7")))
    'fuse 7'
    >>> fuse_words(Slot(id="a", row=0, column=2, label="F7"))
    'F7'
    """
    return _unless_a_number(slot, say("fuse {label}", label=slot.label))


def _unless_a_number(slot: Slot, said: Text) -> Words:
    """A slot's own label, or what is `said` of one that is a number alone."""
    return said if slot.label.isdecimal() else slot_words(slot)


def slot_and_circuit(slot: Slot) -> str:
    """A slot with what it feeds, where that is known.

    >>> slot_and_circuit(Slot(id="a", row=0, column=2, label="F12", circuit="Radio"))
    'F12 Radio'
    """
    return " ".join(part for part in (slot_name(slot), slot.circuit) if part)


def slot_with_circuit(slot: Slot) -> Words:
    """The same for people: where a slot has no label its place is said in any language."""
    if slot.label and slot.circuit:
        return slot_and_circuit(slot)
    return run_on(slot_words(slot), slot.circuit) if slot.circuit else place_words(slot)


def source_words(vehicle: Vehicle, tap: Tap) -> Words:
    """Where a tap takes its current from, as people say it."""
    if tap.slot is not None:
        return slot_with_circuit(slot(vehicle, tap.slot))
    if tap.feed is not None:
        return feed(vehicle, tap.feed).name
    return say("second battery") if battery_of_tap(vehicle, tap) == "second" else say("battery")


def supply_words(vehicle: Vehicle, slot: Slot) -> Words:
    """What supplies a slot, as people say it: a feed's name, the battery, or that nobody knows."""
    if slot.feed is None:
        return NO_FEED
    return STRAIGHT if slot.feed == BATTERY else feed(vehicle, slot.feed).name


Misfit = Literal["", "too_low", "too_high"]
TOO_LOW: Final = 0.67
TOO_HIGH: Final = 1.5
"""Rated voltage over the supply's from which on an accessory is made for another supply [-]: a
12 V accessory is rated up to 16 V, one for 24 V from 18 V on."""

NEVER_THE_MIDDLE: Final = say(
    "never take 12 V from the middle of two batteries: one of them is overcharged, the other runs "
    "flat"
)


def misfit(rated_v: float, supply_v: float) -> Misfit:
    """Whether an accessory's rated voltage [V] is far off the supply's [V].

    >>> misfit(13.8, 24.0), misfit(27.6, 24.0), misfit(24.0, 12.0)
    ('too_low', '', 'too_high')
    """
    ratio = rated_v / supply_v
    return "too_low" if ratio <= TOO_LOW else "too_high" if ratio >= TOO_HIGH else ""


def converters(vehicle: Vehicle) -> tuple[Accessory, ...]:
    """The accessories that can supply others."""
    return tuple(each for each in vehicle.accessories if each.converter is not None)


def hanging_on(vehicle: Vehicle, converter_id: str) -> tuple[Accessory, ...]:
    """The accessories whose power comes straight from a converter."""
    return tuple(each for each in vehicle.accessories if each.supplied_by == converter_id)


def above(vehicle: Vehicle, accessory: Accessory) -> Iterator[Accessory]:
    """The converters above an accessory, the nearest first; it ends where a link leads nowhere."""
    by_id = {each.id: each for each in vehicle.accessories}
    seen = {accessory.id}
    while accessory.supplied_by in by_id and accessory.supplied_by not in seen:
        accessory = by_id[accessory.supplied_by]
        seen.add(accessory.id)
        yield accessory


def loop(accessories: Iterable[Accessory]) -> str | None:
    """The id of a converter that would, over others, supply itself; `None` when there is none."""
    parent = {each.id: each.supplied_by for each in accessories if each.supplied_by is not None}
    for start in parent:
        at = parent.get(start)
        seen = {start}
        while at is not None and at not in seen:
            seen.add(at)
            at = parent.get(at)
        if at == start:
            return start
    return None
