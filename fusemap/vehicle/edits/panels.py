"""Edits of panels, the slots on them and the photo behind them; a panel made as its lid shows it.

A panel keeps to its rows and columns, two slots never share a place, and nothing goes that an
accessory is tapped to. Lines, rows and columns, and places on a lid, are counted from 0, top left.

A lid tells rows and columns, what differs at single places, and the labels as a series, as it is
printed on the lid: ``F1`` counts on from there, ``F1-F12, F20, F21-F40`` is taken as it stands. Of
it comes for each place the label, family and kind of its slot.

A photo comes as JPEG bytes in base 64, made small by who took it in; its corners are shares of the
picture. Nothing here looks into the picture.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, count, islice, product
from typing import Any, Final, Literal

from msgspec import Struct, field
from msgspec.structs import replace

from fusemap.errors import EditRefused, InputProblem
from fusemap.text import Text, say
from fusemap.vehicle import look_up, validity
from fusemap.vehicle.edits.shared import free_id, free_ids, keeps_id, refuse, swap, without
from fusemap.vehicle.model import UNREAD, Panel, Slot, StateLoads, Vehicle
from fusemap.vehicle.parts import CORNERS, PanelPhoto, PhotoPoint
from fusemap.vehicle.texts import tells
from fusemap.vehicle.words import BATTERY, STATES, SWITCHED, Orientation

Place = tuple[int, int]
Unlike = Literal["gap", "relay"]
"""What a place may be that is no fuse slot."""

MOST_IN_A_RUN: Final = 999
HOW_LABELS: Final = say("write it as F1-F12")
_RUN: Final = re.compile(r"(\D*)(\d{1,6})\s*[-–—…]\s*(\D*?)(\d{1,6})")
_COUNTED: Final = re.compile(r"(.*?)(\d{1,6})")


class Lid(Struct, frozen=True):
    """A panel by its lid. `families` and `kinds` say which places are unlike the others.

    `labels` is a series, spread over the fuse slots in the order in which the lid counts them.
    """

    rows: int
    columns: int
    family: str = "mini"
    orientation: Orientation = "upright"
    families: Mapping[Place, str] = field(default_factory=dict)
    kinds: Mapping[Place, Unlike] = field(default_factory=dict)
    labels: str = "F1"
    along: Literal["rows", "columns"] = "rows"
    from_right: bool = False
    from_bottom: bool = False

    def places(self) -> list[Place]:
        """Every place, in the order in which the lid counts."""
        down = range(self.rows)[:: -1 if self.from_bottom else 1]
        over = range(self.columns)[:: -1 if self.from_right else 1]
        if self.along == "rows":
            return [(row, column) for row in down for column in over]
        return [(row, column) for column in over for row in down]

    def fuse_places(self) -> list[Place]:
        """The places of fuse slots, in that order."""
        return [place for place in self.places() if place not in self.kinds]

    def count(self, kind: Unlike) -> int:
        """How many places are gaps, or relay places."""
        return sum(self.kinds.get(place) == kind for place in self.places())

    def labelled(self) -> dict[Place, str]:
        """The label of each fuse slot that gets one. Raises `InputProblem` as `series` does."""
        return dict(zip(self.fuse_places(), series(self.labels), strict=False))

    def family_at(self, place: Place) -> str:
        """The family of a place."""
        return self.families.get(place, self.family)


def series(text: str) -> Iterator[str]:
    """The labels that a typed series stands for, without end where it counts on.

    A last label on its own that ends in a number counts on. Raises `InputProblem` for a run whose
    two ends do not belong together.

    >>> list(series("F1-F3, F20, R7-6")), list(islice(series("F9"), 3))
    (['F1', 'F2', 'F3', 'F20', 'R7', 'R6'], ['F9', 'F10', 'F11'])
    """
    parts = [part for part in (each.strip() for each in re.split("[,;\n]", text)) if part]
    runs = [_run(part) for part in parts]
    last = _COUNTED.fullmatch(parts[-1]) if parts else None
    if last is not None and _RUN.fullmatch(parts[-1]) is None:
        return chain(*runs[:-1], _counting(last[1], last[2]))
    return chain(*runs)


def _run(part: str) -> list[str]:
    """The labels of one part: one, or all from its first to its last number."""
    found = _RUN.fullmatch(part)
    if found is None:
        return [part]
    before, first, again, last = found.groups()
    if again.strip() not in ("", before.strip()):
        raise InputProblem(
            say(
                "“{run}” begins with “{first}” and ends with “{last}”",
                run=part,
                first=before.strip(),
                last=again.strip(),
            ),
            where=say("Labels on the lid"),
            remedy=HOW_LABELS,
        )
    start, end = int(first), int(last)
    if abs(end - start) >= MOST_IN_A_RUN:
        raise InputProblem(
            say("“{run}” is more than any lid has", run=part),
            where=say("Labels on the lid"),
            remedy=HOW_LABELS,
        )
    numbers = range(start, end + 1) if end >= start else range(start, end - 1, -1)
    return [f"{before}{_written(number, first)}" for number in numbers]


def _counting(before: str, first: str) -> Iterator[str]:
    return (f"{before}{_written(number, first)}" for number in count(int(first)))


def _written(number: int, like: str) -> str:
    """A number with the noughts in front that the first one has."""
    return str(number).zfill(len(like)) if like.startswith("0") else str(number)


def labels_left(lid: Lid) -> int:
    """How many labels of the series are too many; 0 where it counts on.

    >>> labels_left(Lid(rows=1, columns=2, labels="A, B, C"))
    1
    """
    slots = len(lid.fuse_places())
    rest = list(islice(series(lid.labels), slots, slots + MOST_IN_A_RUN))
    return 0 if len(rest) == MOST_IN_A_RUN else len(rest)


def add_panel(
    vehicle: Vehicle, name: str, rows: int, columns: int, *, family: str = "mini", **fields: Any
) -> Vehicle:
    """Add a panel with a slot on every place, numbered on from the highest `F` label there is."""
    taken = (*(p.id for p in vehicle.panels), *look_up.read_ids(vehicle, "panel"))
    panel_id = free_id(taken, "panel")
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
                    slot=look_up.place_words(gone[tap.slot]),
                ),
                remedy=say("take the accessory off first"),
            )
    for socket in vehicle.sockets:
        if socket.slot in gone:
            raise EditRefused(
                say("{what} cannot go: it feeds “{name}”", what=what, name=socket.name),
                remedy=say("choose another slot at the socket first"),
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
    refuse(validity.switched_faults(slot, ""))
    _refuse_slot(vehicle, slot, panel)
    return _put_panel(vehicle, replace(panel, slots=(*panel.slots, slot)))


def taken_slot_ids(vehicle: Vehicle) -> Iterator[str]:
    """Ids of the slots there are, and of those that are gone but have readings."""
    yield from (slot.id for slot in look_up.slots(vehicle))
    yield from look_up.read_ids(vehicle, "slot")


def change_slot(vehicle: Vehicle, slot_id: str, **changes: Any) -> Vehicle:
    """Change a slot's fields; a new family empties the slot unless a fuse comes with it.

    What was answered about a circuit goes with another name of it, but for its marks; a mark takes
    the place of another answer. That it hangs straight on the battery goes with a class that
    something switches, the most of an own load with another load. Raises `EditRefused` for such an
    answer that says nothing, and for a switched slot that is put on the battery.
    """
    keeps_id(changes)
    panel = look_up.panel_of(vehicle, slot_id)
    old = look_up.find(panel.slots, slot_id, "slot")
    if changes.get("family", old.family) != old.family and "fuse" not in changes:
        changes["fuse"] = None
    if changes.get("circuit", old.circuit) != old.circuit:
        changes.setdefault("harmless", "")
        # a way of an added block stays one, whatever is put there
        changes.setdefault("function", "added" if old.function == "added" else None)
    if changes.get("feed_class", old.feed_class) != old.feed_class:
        switched = old.feed == BATTERY and changes["feed_class"] in SWITCHED
        changes.setdefault("feed", None if switched else old.feed)
    if changes.get("critical") or changes.get("monitored"):
        changes.setdefault("function", None)
    slot = replace(old, **changes)
    if "own_most" not in changes:
        slot = replace(slot, own_most=_still_bounding(old, slot.own_load))
    if (slot.feed, slot.feed_class) != (old.feed, old.feed_class):
        refuse(validity.switched_faults(slot, ""))
    if slot.harmless.strip() and slot.harmless != old.harmless and not tells(slot.harmless):
        raise EditRefused(
            say(
                "“{text}” does not say what {slot} feeds",
                text=slot.harmless.strip(),
                slot=look_up.place_words(slot),
            ),
            remedy=say("write it in a few words"),
        )
    _refuse_slot(vehicle, slot, panel)
    swapped = replace(panel, slots=swap(panel.slots, slot))
    return replace(vehicle, panels=swap(vehicle.panels, swapped))


def _still_bounding(old: Slot, load: StateLoads) -> StateLoads:
    """The most of an own load in those states in which the load is the same as before."""
    if load == old.own_load:
        return old.own_most
    same = {state for state in STATES if getattr(load, state) == getattr(old.own_load, state)}
    left = StateLoads(**{state: getattr(old.own_most, state) for state in same})
    return UNREAD if left == UNREAD else left


def _refuse_slot(vehicle: Vehicle, slot: Slot, panel: Panel) -> None:
    refuse(validity.number_faults(slot, ""))
    refuse(validity.slot_faults(slot, panel, ""))
    there = look_up.slot_at(panel, slot.row, slot.column)
    if there is not None and there.id != slot.id:
        raise EditRefused(
            say("the place is taken by {slot}", slot=look_up.place_words(there)),
            remedy=say("choose a free place"),
        )
    look_up.feed_of(vehicle, slot)
    if slot.kind not in ("fuse", "module"):
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


def add_lid(vehicle: Vehicle, name: str, lid: Lid, **fields: Any) -> Vehicle:
    """Add a panel with the slots, gaps, relay places and labels of its lid.

    Raises `EditRefused` for a size no panel has, `InputProblem` for labels that are no series.
    """
    panel_id = free_id((panel.id for panel in vehicle.panels), "panel")
    empty = Panel(id=panel_id, name=name, rows=lid.rows, columns=lid.columns, **fields)
    refuse(validity.number_faults(empty, ""))
    refuse(validity.panel_faults(empty, ""))
    there = sum(1 for _ in look_up.slots(vehicle))
    if there + lid.rows * lid.columns - lid.count("gap") > validity.MOST_SLOTS:
        raise EditRefused(
            say("these would be more than {n} slots", n=validity.MOST_SLOTS),
            remedy=say("enter the rows and columns of one panel"),
        )
    panel = replace(empty, slots=_slots(vehicle, lid))
    refuse(validity.number_faults(panel, ""))
    return replace(vehicle, panels=(*vehicle.panels, panel))


def _slots(vehicle: Vehicle, lid: Lid) -> tuple[Slot, ...]:
    """The slots of the lid in reading order."""
    ids = free_ids(taken_slot_ids(vehicle), "slot")
    labels = lid.labelled()
    places = sorted(place for place in lid.places() if lid.kinds.get(place) != "gap")
    return tuple(_slot(next(ids), place, lid, labels.get(place, "")) for place in places)


def _slot(slot_id: str, place: Place, lid: Lid, label: str) -> Slot:
    return Slot(
        id=slot_id,
        row=place[0],
        column=place[1],
        label=label,
        kind="relay" if place in lid.kinds else "fuse",
        family=lid.family_at(place),
        orientation=lid.orientation,
    )


def set_photo(
    vehicle: Vehicle, panel_id: str, jpeg: str, corners: Sequence[PhotoPoint] = ()
) -> Vehicle:
    """Put a photo behind a panel; without `corners` its grid fills the whole picture."""
    photo = PanelPhoto(jpeg=jpeg, **dict(zip(CORNERS, corners, strict=bool(corners))))
    return change_panel(vehicle, panel_id, photo=photo)


def fit_photo(vehicle: Vehicle, panel_id: str, corners: Sequence[PhotoPoint]) -> Vehicle:
    """Set the four corners of the panel's grid on its photo, clockwise from the top left."""
    photo = look_up.panel(vehicle, panel_id).photo
    if photo is None:
        raise EditRefused(say("this panel has no photo"), remedy=say("take one in first"))
    fitted = replace(photo, **dict(zip(CORNERS, corners, strict=True)))
    return change_panel(vehicle, panel_id, photo=fitted)


def remove_photo(vehicle: Vehicle, panel_id: str) -> Vehicle:
    """Take the photo of a panel away."""
    return change_panel(vehicle, panel_id, photo=None)
