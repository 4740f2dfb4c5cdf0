"""The order in which a hand walks a panel: along the rows or down the columns, from any corner.

In: a panel and how it is seen and walked. Out: its fuse slots in that order, the slot next to one
on the screen, and labels given along the walk. Everything is as seen: a panel that is mirrored is
looked at from behind, so its first column stands at the right.
"""

from collections.abc import Sequence
from typing import Literal

from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.vehicle import Panel, Slot, Vehicle, edits, look_up
from fusemap.vehicle.parts import Value


class HandOrder(Value, frozen=True, kw_only=True):
    """How a panel is walked, as seen; `to_and_fro` turns round at the end of each line."""

    along: Literal["rows", "columns"] = "rows"
    from_right: bool = False
    from_bottom: bool = False
    mirrored: bool = False
    to_and_fro: bool = False


def seen_place(panel: Panel, slot: Slot, order: HandOrder) -> tuple[int, int]:
    """Row and column of a slot as seen."""
    column = panel.columns - 1 - slot.column if order.mirrored else slot.column
    return slot.row, column


def walk(panel: Panel, order: HandOrder = HandOrder()) -> tuple[Slot, ...]:  # noqa: B008
    """The fuse slots of a panel in the order of the hand."""
    slots = [slot for slot in panel.slots if slot.kind == "fuse"]
    return tuple(sorted(slots, key=lambda slot: _rank(panel, slot, order)))


def _rank(panel: Panel, slot: Slot, order: HandOrder) -> tuple[int, int]:
    row, column = seen_place(panel, slot, order)
    down = panel.rows - 1 - row if order.from_bottom else row
    over = panel.columns - 1 - column if order.from_right else column
    line, place = (down, over) if order.along == "rows" else (over, down)
    if order.to_and_fro and line % 2:
        place = -place
    return line, place


def beside(
    panel: Panel, slot_id: str | None, order: HandOrder, down: int, right: int
) -> str | None:
    """The fuse slot next to one in a direction as seen, over gaps; itself at the edge."""
    here = next((slot for slot in panel.slots if slot.id == slot_id), None)
    if here is None:
        first = walk(panel, order)
        return first[0].id if first else None
    row, column = seen_place(panel, here, order)
    ahead = []
    for slot in panel.slots:
        if slot.kind != "fuse":
            continue
        there = seen_place(panel, slot, order)
        along = (there[0] - row) * down + (there[1] - column) * right
        aside = abs((there[0] - row) * right) + abs((there[1] - column) * down)
        if along > 0:
            ahead.append((aside, along, slot.id))
    return min(ahead)[2] if ahead else here.id


def number_slots(
    vehicle: Vehicle,
    panel_id: str,
    order: HandOrder,
    *,
    prefix: str = "F",
    first: int = 1,
    skipping: Sequence[str] = (),
) -> Vehicle:
    """Label the fuse slots of a panel along the walk: prefix and number, from `first` on.

    Slots whose id is in `skipping` keep their label and take no number.
    """
    if first < 0:
        raise EditRefused(say("numbers begin at 0 or 1"), where="first", remedy=say("enter 1"))
    number = first
    for slot in walk(look_up.panel(vehicle, panel_id), order):
        if slot.id not in skipping:
            vehicle = edits.change_slot(vehicle, slot.id, label=f"{prefix}{number}")
            number += 1
    return vehicle
