"""What a step took away, by name, so that it can be said at once and undone.

In: the vehicle before and after. Out: words, empty where nothing is missing. A lead that moves is
still there; a fuse of another rating too.
"""

from collections.abc import Iterator
from typing import Any, Final

from PySide6.QtCore import QCoreApplication

from fusemap.text import Style, given
from fusemap.vehicle import Panel, Vehicle, look_up

MOST: Final = 3
"""So many things are named, the rest counted."""


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Removals", text)


def removed_words(before: Vehicle, after: Vehicle, style: Style) -> str:
    """Everything that is there no more: “the 20 A fuse of F4 Horn”."""
    names = list(_removed(before, after, style))
    words = ", ".join(names[:MOST])
    if len(names) > MOST:
        return tr("{names} and {n} more").format(names=words, n=len(names) - MOST)
    return words


def _removed(before: Vehicle, after: Vehicle, style: Style) -> Iterator[str]:
    panels = {panel.id: panel for panel in after.panels}
    for panel in before.panels:
        if panel.id not in panels:
            yield panel.name
        elif panel != (now := panels[panel.id]):
            yield from _from_panel(panel, now, style)
    for part in (*_missing(before.accessories, after.accessories),
                 *_missing(before.feeds, after.feeds)):  # fmt: skip
        yield part.name
    yield from _leads(before, after, style)


def _from_panel(before: Panel, after: Panel, style: Style) -> Iterator[str]:
    """Slots, fuses and the photo that a panel has no more."""
    slots = {slot.id: slot for slot in after.slots}
    for slot in before.slots:
        name = style.show(look_up.slot_with_circuit(slot))
        if slot.id not in slots:
            yield name
        elif slot.fuse is not None and slots[slot.id].fuse is None:
            rating = style.show(given(slot.fuse.rating, "A"))
            yield tr("the {rating} fuse of {slot}").format(rating=rating, slot=name)
    if before.photo is not None and after.photo is None:
        yield tr("the photo of {panel}").format(panel=before.name)


def _leads(before: Vehicle, after: Vehicle, style: Style) -> Iterator[str]:
    """Leads of accessories that are still there, but joined nowhere now."""
    there = {accessory.id: accessory.name for accessory in after.accessories}
    joined = {(tap.accessory, tap.lead) for tap in after.taps}
    for tap in before.taps:
        name = there.get(tap.accessory)
        if name is None or (tap.accessory, tap.lead) in joined:
            continue
        if tap.slot is None:
            yield tr("the own feed of {name}").format(name=name)
        else:
            slot = look_up.slot_with_circuit(look_up.slot(before, tap.slot))
            yield tr("{name} from {slot}").format(name=name, slot=style.show(slot))


def _missing(before: tuple[Any, ...], after: tuple[Any, ...]) -> Iterator[Any]:
    kept = {part.id for part in after}
    return (part for part in before if part.id not in kept)
