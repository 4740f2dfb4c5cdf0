"""What differs between two vehicles: which parts came, went or changed, and in which fields.

In: a vehicle before and after. Out: `Difference`s in the order of the document: the vehicle itself,
battery and parking, then panels, slots, feeds, accessories, taps, rules and the rest. Parts are the
same when they have the same id. New fields of the document are taken in by themselves.
"""

from collections import Counter
from collections.abc import Iterator
from typing import Any, Literal

from msgspec import Struct

from fusemap.vehicle.field_words import PART_OF_LIST
from fusemap.vehicle.model import Panel, Slot, Tap, Vehicle

Change = Literal["added", "removed", "changed"]


class FieldChange(Struct, frozen=True):
    """A field of a part with another value; `name` is the way to it, as ``fuse.rating``."""

    name: str
    before: Any
    after: Any


class Difference(Struct, frozen=True):
    """A part that came, went or changed. `name` is what people call it."""

    part: str
    change: Change
    name: str
    fields: tuple[FieldChange, ...] = ()


def differences(before: Vehicle, after: Vehicle) -> tuple[Difference, ...]:
    """Everything that differs; nothing for equal vehicles.

    >>> changed = differences(Vehicle(name="Van"), Vehicle(name="Van", system_v=24))
    >>> [(d.part, d.change, d.fields[0].name, d.fields[0].after) for d in changed]
    [('vehicle', 'changed', 'system_v', 24)]
    """
    if before == after:
        return ()
    return tuple(_vehicle(before, after))


def _vehicle(before: Vehicle, after: Vehicle) -> Iterator[Difference]:
    own = tuple(_own_fields(before, after))
    if own:
        yield Difference("vehicle", "changed", after.name, own)
    for name in before.__struct_fields__:
        old, new = getattr(before, name), getattr(after, name)
        if old == new:
            continue
        if isinstance(old, Struct) and isinstance(new, Struct):
            yield Difference(name, "changed", "", tuple(_fields(old, new)))
        elif isinstance(old, Struct) or isinstance(new, Struct):
            yield Difference(name, "removed" if new is None else "added", "")
        elif isinstance(old, tuple):
            yield from _lists(name, old, new, before, after)


def _own_fields(before: Struct, after: Struct) -> Iterator[FieldChange]:
    for name in before.__struct_fields__:
        old, new = getattr(before, name), getattr(after, name)
        if old != new and not isinstance(old, (Struct, tuple)) and not isinstance(new, Struct):
            yield FieldChange(name, old, new)


def _lists(
    list_name: str, old: tuple[Any, ...], new: tuple[Any, ...], before: Vehicle, after: Vehicle
) -> Iterator[Difference]:
    part = PART_OF_LIST.get(list_name, list_name)
    olds, news = _by_key(old), _by_key(new)
    for key, thing in olds.items():
        if key not in news:
            yield Difference(part, "removed", name_of(thing, before))
            yield from _slots_of(thing, "removed", before)
    for key, thing in news.items():
        if key not in olds:
            yield Difference(part, "added", name_of(thing, after))
            yield from _slots_of(thing, "added", after)
        elif thing != olds[key]:
            yield from _changed(part, olds[key], thing, before, after)
    both = [key for key in olds if key in news]
    if both != [key for key in news if key in olds]:
        yield Difference(part, "changed", "", (FieldChange("order", None, None),))


def _changed(
    part: str, old: Struct, new: Struct, before: Vehicle, after: Vehicle
) -> Iterator[Difference]:
    nested = isinstance(old, Panel) and isinstance(new, Panel)
    fields = tuple(change for change in _fields(old, new) if not nested or change.name != "slots")
    if fields:
        yield Difference(part, "changed", name_of(new, after), fields)
    if isinstance(old, Panel) and isinstance(new, Panel) and old.slots != new.slots:
        yield from _lists("slots", old.slots, new.slots, before, after)


def _slots_of(thing: Any, change: Change, vehicle: Vehicle) -> Iterator[Difference]:
    """The slots that come and go with a panel, if something is known of them."""
    if isinstance(thing, Panel):
        for slot in thing.slots:
            if slot.circuit or slot.fuse:
                yield Difference("slot", change, name_of(slot, vehicle))


def _fields(old: Struct, new: Struct, way: str = "") -> Iterator[FieldChange]:
    """The fields in which two structs of one kind differ, those inside them one by one."""
    for name in old.__struct_fields__:
        was, now = getattr(old, name), getattr(new, name)
        if was == now:
            continue
        if isinstance(was, Struct) and isinstance(now, Struct):
            yield from _fields(was, now, f"{way}{name}.")
        else:
            yield FieldChange(f"{way}{name}", was, now)


def _by_key(parts: tuple[Any, ...]) -> dict[Any, Any]:
    """Parts by their id, else by their key, else (lines of a history) by what they are."""
    found: dict[Any, Any] = {}
    seen: Counter[Any] = Counter()
    for part in parts:
        key = getattr(part, "id", None) or getattr(part, "key", None)
        if key is None:
            seen[part] += 1
            key = (part, seen[part])
        found[key] = part
    return found


def name_of(part: Any, vehicle: Vehicle) -> str:
    """What people call a part of a vehicle."""
    if isinstance(part, Slot):
        return " ".join(word for word in (part.label, part.circuit) if word) or part.id
    if isinstance(part, Tap):
        return _tap_name(part, vehicle)
    for name in ("name", "text", "key", "when", "id"):
        word = getattr(part, name, "")
        if word:
            return str(word)
    return ""


def _tap_name(tap: Tap, vehicle: Vehicle) -> str:
    """The accessory and the place it is tapped at."""
    accessory = next((a.name for a in vehicle.accessories if a.id == tap.accessory), tap.accessory)
    slots = (slot for panel in vehicle.panels for slot in panel.slots)
    slot = next((slot for slot in slots if slot.id == tap.slot), None)
    return f"{accessory} → {name_of(slot, vehicle)}" if slot is not None else accessory
