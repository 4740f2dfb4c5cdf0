"""What all edits share: ids for new parts, refusing what cannot be, putting a part in its place.

A part in a tuple of parts is always found by its id; a part that stays equal stays the very same
object, so that what did not change is shared between the vehicle before and after.
"""

from collections.abc import Iterable, Iterator
from itertools import count
from typing import Any, TypeVar

from fusemap.errors import EditRefused
from fusemap.vehicle import validity
from fusemap.vehicle.field_words import in_words
from fusemap.vehicle.model import Accessory, EarthPoint, Feed, Panel, Slot, Tap
from fusemap.vehicle.parts import Socket

P = TypeVar("P", Panel, Feed, Accessory, Tap, Slot, EarthPoint, Socket)


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


def refuse(found: Iterator[validity.Fault]) -> None:
    """Raise the first fault found."""
    for path, what, remedy in found:
        raise EditRefused(what, where=in_words(path.lstrip(".")), remedy=remedy)


def keeps_id(changes: dict[str, Any]) -> None:
    """An id is how others refer to a part: no edit changes it."""
    if "id" in changes:
        raise TypeError("an id never changes")


def swap(parts: tuple[P, ...], new: P) -> tuple[P, ...]:
    """The parts with `new` for the one of its id; an equal one stays the very same object."""
    return tuple(new if part.id == new.id and part != new else part for part in parts)


def without(parts: tuple[P, ...], gone: str) -> tuple[P, ...]:
    """The parts but the one of this id."""
    return tuple(part for part in parts if part.id != gone)
