"""What is typed onto a slot, and the edits made of it.

One line says all that a lid says: ``15 Radio`` sets the rating [A] and the circuit, ``15`` the
rating, ``Radio`` the circuit, ``-`` takes the fuse out. Raises `InputProblem` naming the ratings
when there is no such fuse in the slot's family. Each edit here is made of those of
`fusemap.vehicle.edits`, so that it is one step of the history. No Qt.
"""

import re
from collections.abc import Iterable, Sequence
from typing import Any, Final

from fusemap import tables
from fusemap.errors import InputProblem
from fusemap.text import Style, Text, given, in_row, say
from fusemap.vehicle import Fuse, Panel, Slot, Vehicle, edits, look_up
from fusemap.vehicle.words import SlotKind

NO_FUSE: Final = "-"
_ENTRY: Final = re.compile(
    r"\s*(?:(?P<none>[-–—])|(?P<rating>\d+(?:[.,]\d+)?)\s*(?:[Aa](?![^\W\d_]))?)?(?:\s+|$)"
    r"(?P<circuit>.*)",
    re.DOTALL,
)


def entry_text(slot: Slot, style: Style) -> str:
    """A slot as the line that would be typed for it.

    >>> entry_text(Slot(id="a", row=0, column=0, fuse=Fuse(family="mini", rating=7.5)), Style())
    '7.5 '
    >>> entry_text(Slot(id="a", row=0, column=0, circuit="12 V socket"), Style())
    '- 12 V socket'
    """
    if slot.kind != "fuse":
        return slot.circuit
    rating = NO_FUSE if slot.fuse is None else style.number(slot.fuse.rating)
    return f"{rating} {slot.circuit}"


def read_entry(text: str) -> tuple[float | str | None, str | None]:
    """The rating typed (`NO_FUSE` for an empty slot, `None` when not typed) and the circuit.

    A blank circuit behind a rating leaves the circuit as it is and is given as `None`.

    >>> read_entry("15 Radio"), read_entry("7,5A"), read_entry("Radio"), read_entry("- Spare")
    ((15.0, 'Radio'), (7.5, None), (None, 'Radio'), ('-', 'Spare'))
    """
    found = _ENTRY.fullmatch(text) or _ENTRY.fullmatch(f" {text}")
    if found is None:
        return None, text.strip() or None
    circuit = found["circuit"].strip() or None
    if found["none"]:
        return NO_FUSE, circuit
    if found["rating"]:
        return float(found["rating"].replace(",", ".")), circuit
    return None, circuit


def fuse_for(slot: Slot, rating: float) -> Fuse:
    """A fuse of this rating [A] in the slot's family. Raises `InputProblem` naming the ratings."""
    family = tables.fuse_family(slot.family)
    if family.ratings_a and rating not in family.ratings_a:
        raise InputProblem(
            say(
                "there is no {rating} fuse in the {family} family",
                rating=given(rating, "A"),
                family=Text(family.name),
            ),
            where=look_up.slot_words(slot),
            remedy=say("there are {known}", known=ratings_words(slot.family)),
        )
    if slot.fuse is not None and slot.fuse.rating == rating:
        return slot.fuse
    return Fuse(family=slot.family, rating=rating)


def ratings(family: str) -> tuple[float, ...]:
    """The ratings [A] a fuse family is made in."""
    return tables.fuse_family(family).ratings_a


def ratings_words(family: str) -> Text:
    """These ratings as a list: “2, 3 … 30 A”."""
    *others, last = ratings(family)
    return in_row([*others, given(last, "A")])


def set_rating(vehicle: Vehicle, slot_ids: Iterable[str], rating: float | None) -> Vehicle:
    """Put a fuse of this rating [A] into each slot, or with `None` say that there is none."""
    for slot_id in slot_ids:
        slot = look_up.slot(vehicle, slot_id)
        if slot.kind != "fuse":
            raise _no_rating_there(slot)
        fuse = None if rating is None else fuse_for(slot, rating)
        vehicle = edits.change_slot(vehicle, slot_id, fuse=fuse, seen_empty=fuse is None)
    return vehicle


def is_doubtful(slots: Sequence[Slot], text: str) -> bool:
    """Whether a line meant for a fuse slot was typed onto one relay or blocked place.

    It was where it begins with a rating that is made; “24 V relay” on a mini relay is its name.

    >>> relay = Slot(id="a", row=0, column=0, kind="relay")
    >>> [is_doubtful([relay], text) for text in ("15 Radio", "24 V relay", "15")]
    [True, False, False]
    """
    rating, circuit = read_entry(text)
    if [slot.kind for slot in slots] not in _NAMED or circuit is None:
        return False
    return rating in tables.fuse_family(slots[0].family).ratings_a


def no_fuse_slot(slot: Slot) -> InputProblem:
    """Why a rating and a circuit are not simply taken there."""
    who = look_up.slot_words(slot)
    if slot.kind == "relay":
        return InputProblem(say("{slot} is a relay, which holds no fuse", slot=who))
    return InputProblem(say("{slot} is a blocked place, which holds no fuse", slot=who))


def _no_rating_there(slot: Slot) -> InputProblem:
    who = look_up.slot_words(slot)
    what = (
        say("{slot} holds no fuse, it is a relay", slot=who)
        if slot.kind == "relay"
        else say("{slot} holds no fuse, it is a blocked place", slot=who)
    )
    return InputProblem(what, remedy=say("make it a fuse slot first"))


def enter_as_fuse(vehicle: Vehicle, slot_id: str, text: str) -> Vehicle:
    """Make a place a fuse slot, and do what a typed line says."""
    vehicle = edits.change_slot(vehicle, slot_id, kind="fuse")
    return enter(vehicle, [slot_id], text)


_NAMED: Final = (["relay"], ["blocked"])


def enter(vehicle: Vehicle, slot_ids: Sequence[str], text: str) -> Vehicle:
    """Do what a typed line says: the rating to every slot, the circuit to the first of them.

    On a relay or a blocked place the whole line is its name, unless it is a bare rating.
    """
    rating, circuit = read_entry(text)
    if circuit is not None and [look_up.slot(vehicle, each).kind for each in slot_ids] in _NAMED:
        rating, circuit = None, text.strip()
    if rating is not None:
        vehicle = set_rating(vehicle, slot_ids, None if isinstance(rating, str) else rating)
    if circuit is not None and slot_ids:
        vehicle = edits.change_slot(vehicle, slot_ids[0], circuit=circuit)
    return vehicle


def remove_slots(vehicle: Vehicle, slot_ids: Iterable[str]) -> Vehicle:
    """Leave a gap where each of these slots was."""
    for slot_id in slot_ids:
        vehicle = edits.remove_slot(vehicle, slot_id)
    return vehicle


def add_slots(
    vehicle: Vehicle, panel_id: str, places: Iterable[tuple[int, int]], kind: SlotKind = "fuse"
) -> Vehicle:
    """Put a slot on each of these free places, of the family that the panel mostly has."""
    for row, column in places:
        panel = look_up.panel(vehicle, panel_id)
        vehicle = edits.add_slot(
            vehicle,
            panel_id,
            row,
            column,
            kind=kind,
            label=next_label(vehicle) if kind == "fuse" else "",
            **_like_neighbours(panel),
        )
    return vehicle


def next_label(vehicle: Vehicle) -> str:
    """The label after the highest `F` number there is.

    >>> next_label(edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 3))
    'F4'
    """
    numbers = [s.label[1:] for s in look_up.slots(vehicle) if s.label.startswith("F")]
    return f"F{max((int(n) for n in numbers if n.isascii() and n.isdigit()), default=0) + 1}"


def _like_neighbours(panel: Panel) -> dict[str, Any]:
    """Family and orientation that most slots of a panel have."""
    styles = [(slot.family, slot.orientation) for slot in panel.slots]
    if not styles:
        return {}
    family, orientation = max(styles, key=styles.count)
    return {"family": family, "orientation": orientation}
