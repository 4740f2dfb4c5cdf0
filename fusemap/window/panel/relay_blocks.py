"""A relay that is larger than one place: the places beside it that it blocks are one block with it.

In: the slots of a panel by their places. Out: for every place of a block all of its places. No Qt.
"""

from collections.abc import Mapping
from typing import Final

from fusemap.vehicle import Slot
from fusemap.vehicle.edits.panels import Place

WAYS: Final = ((1, 0), (0, 1), (-1, 0), (0, -1))
"""Where a relay may reach: downwards first, as most do."""


def blocks(slots: Mapping[Place, Slot]) -> dict[Place, tuple[Place, ...]]:
    """The places of each block, by every one of them; the relay's own stands first.

    A relay reaches over the blocked places in one line with it, in the first of the four ways that
    has any; a place that somebody gave a circuit is not its own.
    """
    found: dict[Place, tuple[Place, ...]] = {}
    for place in sorted(at for at, slot in slots.items() if slot.kind == "relay"):
        for way in WAYS:
            reached = _reached(slots, place, way, found)
            if reached:
                whole = (place, *reached)
                found |= dict.fromkeys(whole, whole)
                break
    return found


def _reached(
    slots: Mapping[Place, Slot], place: Place, way: Place, taken: Mapping[Place, object]
) -> list[Place]:
    reached = []
    at = (place[0] + way[0], place[1] + way[1])
    while at in slots and at not in taken and is_blocked(slots[at]):
        reached.append(at)
        at = (at[0] + way[0], at[1] + way[1])
    return reached


def is_blocked(slot: Slot) -> bool:
    """Whether nothing can be in a place, and nothing is said of it."""
    return slot.kind == "blocked" and not slot.circuit.strip()
