"""Slots and accessories as they are copied from one vehicle and pasted into another. No Qt.

In: parts of a vehicle. Out: text (JSON) for the clipboard, and pure edits that paste it. Ids, feeds
and taps belong to the vehicle they came from and stay behind.
"""

from collections.abc import Iterable, Sequence
from typing import Any, Final

import msgspec

from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.vehicle import Accessory, Slot, Vehicle, edits, look_up
from fusemap.window.shelf.shelf import free_name

MIME: Final = "application/x-fusemap-parts"
_BOUND: Final = frozenset({"id", "row", "column", "feed", "borrowed", "label"})


class Clip(msgspec.Struct, frozen=True, kw_only=True):
    """What was copied: slots with their places from the top left of what was chosen."""

    slots: tuple[Slot, ...] = ()
    accessories: tuple[Accessory, ...] = ()


def of_slots(slots: Sequence[Slot]) -> bytes:
    """These slots as a clip."""
    top = min(slot.row for slot in slots)
    left = min(slot.column for slot in slots)
    moved = (
        msgspec.structs.replace(
            slot, row=slot.row - top, column=slot.column - left, feed=None, borrowed=None
        )
        for slot in slots
    )
    return msgspec.json.encode(Clip(slots=tuple(moved)))


def of_accessories(accessories: Iterable[Accessory]) -> bytes:
    """These accessories as a clip."""
    return msgspec.json.encode(Clip(accessories=tuple(accessories)))


def read(text: bytes) -> Clip:
    """A clip from its text. Raises `EditRefused` for anything else."""
    try:
        return msgspec.json.decode(text, type=Clip)
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise EditRefused(
            say("what is on the clipboard is not from here"),
            remedy=say("copy slots or accessories first"),
        ) from error


def paste_slots(vehicle: Vehicle, panel_id: str, row: int, column: int, clip: Clip) -> Vehicle:
    """The clip's slots onto a panel, its top left at this place; labels there stay as they are.

    Raises `EditRefused` where they would lie beyond the panel's edge.
    """
    for slot in clip.slots:
        panel = look_up.panel(vehicle, panel_id)
        at = row + slot.row, column + slot.column
        if at[0] >= panel.rows or at[1] >= panel.columns:
            raise EditRefused(
                say("what was copied is larger than the panel from here on"),
                where=panel.name,
                remedy=say("go further to the top left, or add rows and columns"),
            )
        fields = _fields(slot)
        there = look_up.slot_at(panel, *at)
        if there is None:
            vehicle = edits.add_slot(vehicle, panel_id, *at, label=slot.label, **fields)
        else:
            vehicle = edits.change_slot(vehicle, there.id, **fields)
    return vehicle


def paste_accessories(vehicle: Vehicle, clip: Clip) -> Vehicle:
    """The clip's accessories into the vehicle, not placed yet, each under a free name."""
    for accessory in clip.accessories:
        fields = {
            name: getattr(accessory, name)
            for name in accessory.__struct_fields__
            if name not in ("id", "name", "supplied_by")
        }
        name = free_name(vehicle, accessory.name)
        vehicle = edits.add_accessory(vehicle, name, **fields)
    return vehicle


def _fields(slot: Slot) -> dict[str, Any]:
    return {f: getattr(slot, f) for f in slot.__struct_fields__ if f not in _BOUND}
