"""Edits of panels and the slots on them.

A panel keeps to its rows and columns, two slots never share a place, and nothing goes that an
accessory is tapped to. Lines, rows and columns are counted from 0.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import Text, say
from fusemap.vehicle import look_up, validity
from fusemap.vehicle.edits.shared import free_id, free_ids, keeps_id, refuse, swap, without
from fusemap.vehicle.model import Panel, Slot, Vehicle
from fusemap.vehicle.texts import tells


def add_panel(
    vehicle: Vehicle, name: str, rows: int, columns: int, *, family: str = "mini", **fields: Any
) -> Vehicle:
    """Add a panel with a slot on every place, numbered on from the highest `F` label there is."""
    panel_id = free_id((p.id for p in vehicle.panels), "panel")
    numbers = [s.label[1:] for s in look_up.slots(vehicle) if s.label.startswith("F")]
    number = max((int(n) for n in numbers if n.isascii() and n.isdigit() and len(n) < 6), default=0)
    empty = Panel(id=panel_id, name=name, rows=rows, columns=columns, **fields)
    refuse(validity.number_faults(empty, ""))
    refuse(validity.panel_faults(empty, ""))
    ids = free_ids(taken_slot_ids(vehicle), "slot")
    slots = tuple(
        Slot(id=next(ids), row=row, column=column, label=f"F{label}", family=family)
        for label, (row, column) in enumerate(product(range(rows), range(columns)), number + 1)
    )
    return replace(vehicle, panels=(*vehicle.panels, replace(empty, slots=slots)))


def change_panel(vehicle: Vehicle, panel_id: str, **changes: Any) -> Vehicle:
    """Change a panel's fields; it cannot shrink over slots that are there."""
    keeps_id(changes)
    if "slots" in changes:
        raise TypeError("slots have edits of their own")
    return _put_panel(vehicle, replace(look_up.panel(vehicle, panel_id), **changes))


def _put_panel(vehicle: Vehicle, panel: Panel) -> Vehicle:
    """The vehicle with this panel for the one of its id, if it can be."""
    refuse(validity.number_faults(panel, ""))
    refuse(validity.panel_faults(panel, ""))
    return replace(vehicle, panels=swap(vehicle.panels, panel))


def remove_panel(vehicle: Vehicle, panel_id: str) -> Vehicle:
    """Remove a panel on which nothing is tapped."""
    panel = look_up.panel(vehicle, panel_id)
    _refuse_tapped(vehicle, panel.slots, say("the panel “{name}”", name=panel.name))
    return replace(vehicle, panels=without(vehicle.panels, panel_id))


def _refuse_tapped(vehicle: Vehicle, slots: Sequence[Slot], what: Text) -> None:
    """Refuse that `what` goes while something is tapped on one of these slots."""
    gone = {slot.id: slot for slot in slots}
    for tap in vehicle.taps:
        if tap.slot in gone:
            name = look_up.accessory(vehicle, tap.accessory).name
            raise EditRefused(
                say(
                    "{what} cannot go: “{name}” is on {slot}",
                    what=what,
                    name=name,
                    slot=look_up.slot_words(gone[tap.slot]),
                ),
                remedy=say("take the accessory off first"),
            )


def _line_axis(axis: str) -> tuple[str, str]:
    return ("row", "rows") if axis == "row" else ("column", "columns")


def insert_line(vehicle: Vehicle, panel_id: str, axis: str, at: int) -> Vehicle:
    """Insert an empty row or column (`axis`) before index `at`; what follows moves on by one."""
    field, lines = _line_axis(axis)
    panel = look_up.panel(vehicle, panel_id)
    if not 0 <= at <= getattr(panel, lines):
        raise _no_line(panel, field, at)
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
        raise _no_line(panel, field, at)
    going = [s for s in panel.slots if getattr(s, field) == at]
    line = say("column {n}", n=at + 1)
    if field == "row":
        line = say("row {n}", n=at + 1)
    _refuse_tapped(vehicle, going, line)
    kept = tuple(
        replace(s, **{field: getattr(s, field) - 1}) if getattr(s, field) > at else s
        for s in panel.slots
        if getattr(s, field) != at
    )
    return _put_panel(vehicle, replace(panel, slots=kept, **{lines: getattr(panel, lines) - 1}))


def _no_line(panel: Panel, field: str, at: int) -> EditRefused:
    if field == "row":
        return EditRefused(
            say("the panel “{name}” has no row {n}", name=panel.name, n=at + 1),
            remedy=say("its rows are 1 to {n}", n=panel.rows),
        )
    return EditRefused(
        say("the panel “{name}” has no column {n}", name=panel.name, n=at + 1),
        remedy=say("its columns are 1 to {n}", n=panel.columns),
    )


def add_slot(vehicle: Vehicle, panel_id: str, row: int, column: int, **fields: Any) -> Vehicle:
    """Put a slot on a free place of a panel."""
    panel = look_up.panel(vehicle, panel_id)
    slot_id = free_id(taken_slot_ids(vehicle), "slot")
    slot = Slot(id=slot_id, row=row, column=column, **fields)
    _refuse_slot(vehicle, slot, panel)
    return _put_panel(vehicle, replace(panel, slots=(*panel.slots, slot)))


def taken_slot_ids(vehicle: Vehicle) -> Iterator[str]:
    """Ids of the slots there are, and of those that are gone but have readings."""
    yield from (slot.id for slot in look_up.slots(vehicle))
    yield from look_up.read_ids(vehicle, "slot")


def change_slot(vehicle: Vehicle, slot_id: str, **changes: Any) -> Vehicle:
    """Change a slot's fields; a new family empties the slot unless a fuse comes with it.

    What was written about a circuit that looks like one to leave alone goes with another name of
    it. Raises `EditRefused` for such an answer that says nothing.
    """
    keeps_id(changes)
    panel = look_up.panel_of(vehicle, slot_id)
    old = look_up.find(panel.slots, slot_id, "slot")
    if changes.get("family", old.family) != old.family and "fuse" not in changes:
        changes["fuse"] = None
    if changes.get("circuit", old.circuit) != old.circuit:
        changes.setdefault("harmless", "")
    slot = replace(old, **changes)
    if slot.harmless.strip() and slot.harmless != old.harmless and not tells(slot.harmless):
        raise EditRefused(
            say(
                "“{text}” does not say what {slot} feeds",
                text=slot.harmless.strip(),
                slot=look_up.slot_words(slot),
            ),
            remedy=say("write it in a few words"),
        )
    _refuse_slot(vehicle, slot, panel)
    swapped = replace(panel, slots=swap(panel.slots, slot))
    return replace(vehicle, panels=swap(vehicle.panels, swapped))


def _refuse_slot(vehicle: Vehicle, slot: Slot, panel: Panel) -> None:
    refuse(validity.number_faults(slot, ""))
    refuse(validity.slot_faults(slot, panel, ""))
    there = look_up.slot_at(panel, slot.row, slot.column)
    if there is not None and there.id != slot.id:
        raise EditRefused(
            say("the place is taken by {slot}", slot=look_up.slot_words(there)),
            remedy=say("choose a free place"),
        )
    if slot.feed is not None:
        look_up.feed(vehicle, slot.feed)
    if slot.kind != "fuse":
        _refuse_tapped(vehicle, [slot], say("the slot {slot}", slot=look_up.slot_words(slot)))


def change_slots(vehicle: Vehicle, slot_ids: Iterable[str], **changes: Any) -> Vehicle:
    """The same change for several slots; all of it or none."""
    for slot_id in slot_ids:
        vehicle = change_slot(vehicle, slot_id, **changes)
    return vehicle


def remove_slot(vehicle: Vehicle, slot_id: str) -> Vehicle:
    """Leave a gap where this slot was; refused while something is tapped there."""
    panel = look_up.panel_of(vehicle, slot_id)
    slot = look_up.slot(vehicle, slot_id)
    _refuse_tapped(vehicle, [slot], say("the slot {slot}", slot=look_up.slot_words(slot)))
    return _put_panel(vehicle, replace(panel, slots=without(panel.slots, slot_id)))
