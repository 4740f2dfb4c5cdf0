"""What can be done to a vehicle: one pure function per action.

Each takes a vehicle and returns a new one, sharing what did not change, or raises `EditRefused`
and leaves everything as it was. Ids of new parts are given here.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import count, product
from typing import Any, TypeVar

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.vehicle import look_up, supply, validity
from fusemap.vehicle.model import (
    Accessory,
    Battery,
    Feed,
    LogEntry,
    Panel,
    Parking,
    RuleChoice,
    Slot,
    Tap,
    Vehicle,
)
from fusemap.vehicle.standing import SecondBattery
from fusemap.vehicle.words import LeadName

P = TypeVar("P", Panel, Feed, Accessory, Tap, Slot)


def free_ids(taken: Iterable[str], stem: str) -> Iterator[str]:
    """Those of `stem-1`, `stem-2`, … that are not taken."""
    used = set(taken)
    numbered = (f"{stem}-{number}" for number in count(1))
    return (name for name in numbered if name not in used)


def free_id(taken: Iterable[str], stem: str) -> str:
    """The first of `stem-1`, `stem-2`, … that is not taken.

    >>> free_id(["tap-1", "tap-3"], "tap")
    'tap-2'
    """
    return next(free_ids(taken, stem))


def _refuse(found: Iterator[validity.Fault]) -> None:
    """Raise the first fault found."""
    for path, what, remedy in found:
        raise EditRefused(what, where=path.lstrip("."), remedy=remedy)


def _keeps_id(changes: dict[str, Any]) -> None:
    """An id is how others refer to a part: no edit changes it."""
    if "id" in changes:
        raise TypeError("an id never changes")


def _swap(parts: tuple[P, ...], new: P) -> tuple[P, ...]:
    """The parts with `new` for the one of its id; an equal one stays the very same object."""
    return tuple(new if part.id == new.id and part != new else part for part in parts)


def _without(parts: tuple[P, ...], gone: str) -> tuple[P, ...]:
    return tuple(part for part in parts if part.id != gone)


# --- the vehicle itself -------------------------------------------------------------------------


def change_vehicle(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """Change the name, the note or the system voltage."""
    wrong = set(changes) - {"name", "note", "system_v"}
    if wrong:
        raise TypeError(f"not a field of this edit: {sorted(wrong)}")
    changed = replace(vehicle, **changes)
    _refuse(validity.text_faults(changed.name, "name"))
    _refuse(validity.text_faults(changed.note, "note"))
    return changed


def change_battery(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """Change fields of the battery. The ends of a range go that no longer hold the new figure."""
    battery: Battery = replace(vehicle.battery, **_with_ends(vehicle.battery, changes))
    _refuse(validity.number_faults(battery, "battery"))
    _refuse(validity.range_faults(battery, "battery"))
    return replace(vehicle, battery=battery)


def change_parking(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """Change fields of the parking habits; ends of ranges as in `change_battery`."""
    parking: Parking = replace(vehicle.parking, **_with_ends(vehicle.parking, changes))
    _refuse(validity.number_faults(parking, "parking"))
    _refuse(validity.parking_faults(parking, "parking"))
    return replace(vehicle, parking=parking)


def _with_ends(part: Battery | Parking, changes: dict[str, Any]) -> dict[str, Any]:
    """The changes, and nothing for both ends of a range that does not hold a changed figure."""
    found = dict(changes)
    for name, ends in validity.RANGE_OF.items():
        value = changes.get(name)
        if value is None or any(end in changes for end in ends):
            continue
        low, high = (getattr(part, end, None) for end in ends)
        if (low is not None and value < low) or (high is not None and value > high):
            found |= dict.fromkeys(ends)
    return found


def set_second_battery(vehicle: Vehicle, battery: SecondBattery | None) -> Vehicle:
    """Give the vehicle a second battery, or take it away; what hung on it goes to the starter's."""
    if battery is not None:
        _refuse(validity.number_faults(battery, "second_battery"))
        return replace(vehicle, second_battery=battery)
    back = tuple(
        replace(each, battery="starter") if each.battery != "starter" else each
        for each in vehicle.accessories
    )
    return replace(vehicle, second_battery=None, accessories=back)


def change_second_battery(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """Change fields of the second battery; there is one from the first change on."""
    old = vehicle.second_battery or SecondBattery()
    return set_second_battery(vehicle, replace(old, **changes))


def set_rule(vehicle: Vehicle, key: str, value: float | None) -> Vehicle:
    """Give a named rule this vehicle's own value, or with `None` its default again."""
    others = tuple(rule for rule in vehicle.rules if rule.key != key)
    if value is None:
        return replace(vehicle, rules=others)
    choice = RuleChoice(key=key, value=value)
    _refuse(validity.number_faults(choice, f"rule {key}"))
    return replace(vehicle, rules=(*others, choice))


def add_log(vehicle: Vehicle, when: str, text: str) -> Vehicle:
    """Add a line to the vehicle's history."""
    entry = LogEntry(when=when, text=text)
    _refuse(validity.number_faults(entry, ""))
    return replace(vehicle, log=(*vehicle.log, entry))


# --- panels -------------------------------------------------------------------------------------


def add_panel(
    vehicle: Vehicle, name: str, rows: int, columns: int, *, family: str = "mini", **fields: Any
) -> Vehicle:
    """Add a panel with a slot on every place, numbered on from the highest `F` label there is."""
    panel_id = free_id((p.id for p in vehicle.panels), "panel")
    numbers = [s.label[1:] for s in look_up.slots(vehicle) if s.label.startswith("F")]
    number = max((int(n) for n in numbers if n.isascii() and n.isdigit() and len(n) < 6), default=0)
    empty = Panel(id=panel_id, name=name, rows=rows, columns=columns, **fields)
    _refuse(validity.number_faults(empty, ""))
    _refuse(validity.panel_faults(empty, ""))
    ids = free_ids(_taken_slot_ids(vehicle), "slot")
    slots = tuple(
        Slot(id=next(ids), row=row, column=column, label=f"F{label}", family=family)
        for label, (row, column) in enumerate(product(range(rows), range(columns)), number + 1)
    )
    return replace(vehicle, panels=(*vehicle.panels, replace(empty, slots=slots)))


def change_panel(vehicle: Vehicle, panel_id: str, **changes: Any) -> Vehicle:
    """Change a panel's fields; it cannot shrink over slots that are there."""
    _keeps_id(changes)
    if "slots" in changes:
        raise TypeError("slots have edits of their own")
    return _put_panel(vehicle, replace(look_up.panel(vehicle, panel_id), **changes))


def _put_panel(vehicle: Vehicle, panel: Panel) -> Vehicle:
    _refuse(validity.number_faults(panel, ""))
    _refuse(validity.panel_faults(panel, ""))
    return replace(vehicle, panels=_swap(vehicle.panels, panel))


def remove_panel(vehicle: Vehicle, panel_id: str) -> Vehicle:
    """Remove a panel on which nothing is tapped."""
    panel = look_up.panel(vehicle, panel_id)
    _refuse_tapped(vehicle, panel.slots, f"the panel “{panel.name}”")
    return replace(vehicle, panels=_without(vehicle.panels, panel_id))


def _refuse_tapped(vehicle: Vehicle, slots: Sequence[Slot], what: str) -> None:
    gone = {slot.id: slot for slot in slots}
    for tap in vehicle.taps:
        if tap.slot in gone:
            name = look_up.accessory(vehicle, tap.accessory).name
            raise EditRefused(
                f"{what} cannot go: “{name}” is on {look_up.slot_name(gone[tap.slot])}",
                remedy="take the accessory off first",
            )


def _line_axis(axis: str) -> tuple[str, str]:
    return ("row", "rows") if axis == "row" else ("column", "columns")


def insert_line(vehicle: Vehicle, panel_id: str, axis: str, at: int) -> Vehicle:
    """Insert an empty row or column (`axis`) before index `at`; what follows moves on by one."""
    field, lines = _line_axis(axis)
    panel = look_up.panel(vehicle, panel_id)
    if not 0 <= at <= getattr(panel, lines):
        raise _no_line(panel, field, lines, at)
    moved = tuple(
        replace(s, **{field: getattr(s, field) + 1}) if getattr(s, field) >= at else s
        for s in panel.slots
    )
    return _put_panel(vehicle, replace(panel, slots=moved, **{lines: getattr(panel, lines) + 1}))


def remove_line(vehicle: Vehicle, panel_id: str, axis: str, at: int) -> Vehicle:
    """Remove the row or column (`axis`) at index `at` with its slots, if none of them is tapped."""
    field, lines = _line_axis(axis)
    panel = look_up.panel(vehicle, panel_id)
    if not 0 <= at < getattr(panel, lines):
        raise _no_line(panel, field, lines, at)
    _refuse_tapped(
        vehicle, [s for s in panel.slots if getattr(s, field) == at], f"{field} {at + 1}"
    )
    kept = tuple(
        replace(s, **{field: getattr(s, field) - 1}) if getattr(s, field) > at else s
        for s in panel.slots
        if getattr(s, field) != at
    )
    return _put_panel(vehicle, replace(panel, slots=kept, **{lines: getattr(panel, lines) - 1}))


def _no_line(panel: Panel, field: str, lines: str, at: int) -> EditRefused:
    return EditRefused(
        f"the panel “{panel.name}” has no {field} {at + 1}",
        remedy=f"its {lines} are 1 to {getattr(panel, lines)}",
    )


# --- slots --------------------------------------------------------------------------------------


def add_slot(vehicle: Vehicle, panel_id: str, row: int, column: int, **fields: Any) -> Vehicle:
    """Put a slot on a free place of a panel."""
    panel = look_up.panel(vehicle, panel_id)
    slot_id = free_id(_taken_slot_ids(vehicle), "slot")
    slot = Slot(id=slot_id, row=row, column=column, **fields)
    _refuse_slot(vehicle, slot, panel)
    return _put_panel(vehicle, replace(panel, slots=(*panel.slots, slot)))


def _taken_slot_ids(vehicle: Vehicle) -> Iterator[str]:
    """Ids of the slots there are, and of those that are gone but have readings."""
    yield from (slot.id for slot in look_up.slots(vehicle))
    yield from look_up.read_ids(vehicle, "slot")


def change_slot(vehicle: Vehicle, slot_id: str, **changes: Any) -> Vehicle:
    """Change a slot's fields; a new family empties the slot unless a fuse comes with it."""
    _keeps_id(changes)
    panel = look_up.panel_of(vehicle, slot_id)
    old = look_up.find(panel.slots, slot_id, "slot")
    if changes.get("family", old.family) != old.family and "fuse" not in changes:
        changes["fuse"] = None
    slot = replace(old, **changes)
    _refuse_slot(vehicle, slot, panel)
    swapped = replace(panel, slots=_swap(panel.slots, slot))
    return replace(vehicle, panels=_swap(vehicle.panels, swapped))


def _refuse_slot(vehicle: Vehicle, slot: Slot, panel: Panel) -> None:
    _refuse(validity.number_faults(slot, ""))
    _refuse(validity.slot_faults(slot, panel, ""))
    there = look_up.slot_at(panel, slot.row, slot.column)
    if there is not None and there.id != slot.id:
        raise EditRefused(
            f"the place is taken by {look_up.slot_name(there)}", remedy="choose a free place"
        )
    if slot.feed is not None:
        look_up.feed(vehicle, slot.feed)
    if slot.kind != "fuse":
        _refuse_tapped(vehicle, [slot], f"the slot {look_up.slot_name(slot)}")


def change_slots(vehicle: Vehicle, slot_ids: Iterable[str], **changes: Any) -> Vehicle:
    """The same change for several slots; all of it or none."""
    for slot_id in slot_ids:
        vehicle = change_slot(vehicle, slot_id, **changes)
    return vehicle


def remove_slot(vehicle: Vehicle, slot_id: str) -> Vehicle:
    """Leave a gap where this slot was; refused while something is tapped there."""
    panel = look_up.panel_of(vehicle, slot_id)
    slot = look_up.slot(vehicle, slot_id)
    _refuse_tapped(vehicle, [slot], f"the slot {look_up.slot_name(slot)}")
    return _put_panel(vehicle, replace(panel, slots=_without(panel.slots, slot_id)))


# --- feeds --------------------------------------------------------------------------------------


def add_feed(vehicle: Vehicle, name: str, **fields: Any) -> Vehicle:
    """Add a feed."""
    taken = (*(f.id for f in vehicle.feeds), *look_up.read_ids(vehicle, "feed"))
    feed = Feed(id=free_id(taken, "feed"), name=name, **fields)
    return _with_feeds(vehicle, (*vehicle.feeds, feed), feed)


def change_feed(vehicle: Vehicle, feed_id: str, **changes: Any) -> Vehicle:
    """Change a feed's fields; its parent may not lie below it."""
    _keeps_id(changes)
    feed = replace(look_up.feed(vehicle, feed_id), **changes)
    return _with_feeds(vehicle, _swap(vehicle.feeds, feed), feed)


def _with_feeds(vehicle: Vehicle, feeds: tuple[Feed, ...], feed: Feed) -> Vehicle:
    _refuse(validity.number_faults(feed, ""))
    if feed.parent is not None:
        look_up.find(feeds, feed.parent, "feed")
    if validity.parent_cycle(feeds) is not None:
        raise EditRefused(
            f"“{feed.name}” would be above itself", where="parent", remedy="choose another parent"
        )
    return replace(vehicle, feeds=feeds)


def remove_feed(vehicle: Vehicle, feed_id: str) -> Vehicle:
    """Remove a feed; what hung below it hangs on its parent from now on."""
    gone = look_up.feed(vehicle, feed_id)
    feeds = tuple(
        replace(f, parent=gone.parent) if f.parent == feed_id else f
        for f in _without(vehicle.feeds, feed_id)
    )
    panels = tuple(_without_feed(panel, gone) for panel in vehicle.panels)
    taps = tuple(replace(t, feed=gone.parent) if t.feed == feed_id else t for t in vehicle.taps)
    return replace(vehicle, feeds=feeds, panels=panels, taps=taps)


def _without_feed(panel: Panel, gone: Feed) -> Panel:
    """The panel with its slots on the feed above the gone one; itself when none hung there."""
    if all(slot.feed != gone.id for slot in panel.slots):
        return panel
    return replace(
        panel,
        slots=tuple(replace(s, feed=gone.parent) if s.feed == gone.id else s for s in panel.slots),
    )


# --- accessories --------------------------------------------------------------------------------


def add_accessory(vehicle: Vehicle, name: str, **fields: Any) -> Vehicle:
    """Add an accessory to the shelf, not placed yet."""
    new_id = free_id((a.id for a in vehicle.accessories), "accessory")
    accessory = Accessory(id=new_id, name=name, **fields)
    _refuse_accessory(accessory)
    return _with_accessories(vehicle, (*vehicle.accessories, accessory), accessory)


def change_accessory(vehicle: Vehicle, accessory_id: str, **changes: Any) -> Vehicle:
    """Change an accessory's fields. A lead that goes takes its tap along.

    One that is hung on a converter (`supplied_by`) leaves the tap of its power lead.
    """
    _keeps_id(changes)
    accessory = replace(look_up.accessory(vehicle, accessory_id), **changes)
    _refuse_accessory(accessory)
    changed = _with_accessories(vehicle, _swap(vehicle.accessories, accessory), accessory)
    hangs = accessory.supplied_by is not None
    taps = tuple(
        t
        for t in vehicle.taps
        if t.accessory != accessory_id
        or (t.lead in accessory.leads and not (hangs and t.lead == "power"))
    )
    return replace(changed, taps=taps)


def _refuse_accessory(accessory: Accessory) -> None:
    _refuse(validity.number_faults(accessory, ""))
    _refuse(validity.accessory_faults(accessory, ""))


def _with_accessories(
    vehicle: Vehicle, accessories: tuple[Accessory, ...], changed: Accessory
) -> Vehicle:
    """The vehicle with these accessories; refused where `changed` breaks what hangs on what."""
    if changed.converter is None:
        for hanging in supply.hanging_on(vehicle, changed.id):
            raise EditRefused(
                f"“{hanging.name}” hangs on “{changed.name}”",
                where="converter",
                remedy="hang it elsewhere first",
            )
    _refuse(validity.supply_faults(accessories))
    before = next((a.supplied_by for a in vehicle.accessories if a.id == changed.id), None)
    for each in supply.converters(vehicle):
        if each.id == changed.supplied_by != before and each.converter is not None:
            _refuse_voltage(changed, each.converter.output_v)
    return replace(vehicle, accessories=accessories)


def _refuse_voltage(accessory: Accessory, supply_v: float) -> None:
    """An accessory made for another voltage than it would get."""
    wrong = supply.misfit(accessory.rated_v, supply_v)
    if not wrong:
        return
    remedy = "use one that is made for this voltage"
    if wrong == "too_low":
        remedy = f"hang it on a converter, or {remedy}; {supply.NEVER_THE_MIDDLE}"
    raise EditRefused(
        f"“{accessory.name}”, rated {accessory.rated_v:g} V, is not made for {supply_v:g} V",
        remedy=remedy,
    )


def remove_accessory(vehicle: Vehicle, accessory_id: str) -> Vehicle:
    """Remove an accessory with its taps; what hung on it stays on the shelf."""
    look_up.accessory(vehicle, accessory_id)
    taps = tuple(t for t in vehicle.taps if t.accessory != accessory_id)
    left = tuple(
        replace(each, supplied_by=None) if each.supplied_by == accessory_id else each
        for each in _without(vehicle.accessories, accessory_id)
    )
    return replace(vehicle, accessories=left, taps=taps)


# --- taps ---------------------------------------------------------------------------------------


def place(
    vehicle: Vehicle,
    accessory_id: str,
    lead: LeadName = "power",
    *,
    slot: str | None = None,
    **fields: Any,
) -> Vehicle:
    """Put a lead of an accessory on a slot or, with no slot, on an own feed.

    A lead that is placed already moves, and keeps its fuse, cables and joint unless `fields` say
    otherwise; one that hung on a converter leaves it. Raises `EditRefused` for a critical slot
    without a written justification, and for an accessory made for another voltage.
    """
    accessory = look_up.accessory(vehicle, accessory_id)
    _refuse_voltage(accessory, vehicle.system_v)
    if lead == "power" and accessory.supplied_by is not None:
        loose = _swap(vehicle.accessories, replace(accessory, supplied_by=None))
        vehicle = replace(vehicle, accessories=loose)
    old = look_up.tap_of(vehicle, accessory_id, lead)
    if old is None:
        taken = (*(t.id for t in vehicle.taps), *look_up.read_ids(vehicle, "tap"))
        old = Tap(id=free_id(taken, "tap"), accessory=accessory_id, lead=lead)
        taps = (*vehicle.taps, old)
    else:
        taps = vehicle.taps
        if old.slot != slot:
            fields.setdefault("justification", "")
    if slot is None:
        fields.setdefault("kind", "own_feed")
    else:
        fields.setdefault("feed", None)
        fields.setdefault("relay", False)
        fields.setdefault("relay_limit_a", None)
        fields.setdefault("relay_coil_a", None)
        fields.setdefault("kind", "two_fuse" if old.kind == "own_feed" else old.kind)
    tap = replace(old, slot=slot, **fields)
    _refuse_tap(vehicle, tap)
    return replace(vehicle, taps=_swap(taps, tap))


def change_tap(vehicle: Vehicle, tap_id: str, **changes: Any) -> Vehicle:
    """Change a tap's fields.

    One that sat on a slot before that was marked critical may be mended without a justification.
    """
    _keeps_id(changes)
    old = look_up.tap(vehicle, tap_id)
    tap = replace(old, **changes)
    _refuse_tap(vehicle, tap, moved=(tap.slot, tap.justification) != (old.slot, old.justification))
    return replace(vehicle, taps=_swap(vehicle.taps, tap))


def _refuse_tap(vehicle: Vehicle, tap: Tap, *, moved: bool = True) -> None:
    accessory = look_up.accessory(vehicle, tap.accessory)
    _refuse(validity.number_faults(tap, ""))
    _refuse(validity.tap_faults(tap, ""))
    if tap.lead not in accessory.leads:
        raise EditRefused(
            f"“{accessory.name}” has no {tap.lead} lead",
            remedy="add the lead to the accessory first",
        )
    if tap.lead == "power" and accessory.supplied_by is not None:
        raise EditRefused(
            f"“{accessory.name}” hangs on a converter", remedy="take it off the converter first"
        )
    there = look_up.tap_of(vehicle, tap.accessory, tap.lead)
    if there is not None and there.id != tap.id:
        raise EditRefused(
            f"the {tap.lead} lead of “{accessory.name}” is placed already",
            remedy="move that tap, or take it off first",
        )
    if tap.feed is not None:
        look_up.feed(vehicle, tap.feed)
    if tap.slot is not None and moved:
        _refuse_place(look_up.slot(vehicle, tap.slot), tap)


def _refuse_place(slot: Slot, tap: Tap) -> None:
    name = look_up.slot_name(slot)
    if slot.kind != "fuse":
        raise EditRefused(f"{name} is not a fuse slot ({slot.kind})", remedy="choose a fuse slot")
    if slot.critical and not tap.justification.strip():
        raise EditRefused(
            f"{name} feeds a circuit that must be left alone"
            + (f" ({slot.critical_reason})" if slot.critical_reason else ""),
            remedy="choose another slot, or state in writing why it has to be this one",
        )


def unplace(vehicle: Vehicle, tap_id: str) -> Vehicle:
    """Take a lead off its source; the accessory stays on the shelf."""
    look_up.tap(vehicle, tap_id)
    return replace(vehicle, taps=_without(vehicle.taps, tap_id))
