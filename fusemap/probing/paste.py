"""Slots and readings come in from a spreadsheet or a CSV file, and go out as one.

In: text with tabs, semicolons, commas or bars between its columns, with or without a heading. Out:
a preview: which column was taken for what, by its heading or by what stands in it, each row with
what it would do, and every row that cannot be used with the reason. The first of these are kept in
the history, with how many more. Words are read in every language there is. What is written here as
CSV can be pasted again.
"""

import csv
import io
from collections.abc import Sequence
from typing import Any, Final

from msgspec import Struct, field

from fusemap import tables
from fusemap.errors import InputProblem
from fusemap.probing import conclusions, evidence
from fusemap.probing.entry import read_entry
from fusemap.probing.paste_columns import (
    RATING,
    classes,
    find_columns,
    sides,
    split,
    yes_or_no,
)
from fusemap.spreadsheets import guarded
from fusemap.text import Text, in_row, many, run_on, say
from fusemap.vehicle import Fuse, Reading, Slot, State, Vehicle, edits, look_up, reading_edits
from fusemap.vehicle.parts import UNITS
from fusemap.vehicle.texts import limit
from fusemap.vehicle.validity import MOST_READ

HEAD: Final = "Pasted table, not used: "
MOST_ROWS_KEPT: Final = 200
"""Rows that cannot be used, as many as a paste puts into the history."""
NOTHING: Final = Text("")
STATE_COLUMNS: Final[tuple[State, ...]] = ("asleep", "accessory", "ignition", "running")


# --- rows -----------------------------------------------------------------------------------------


class PastedRow(Struct, frozen=True):
    """One row: its number in the paste, what it would do, or why it cannot be used."""

    number: int
    cells: tuple[str, ...]
    slot: str | None = None
    changes: dict[str, Any] = field(default_factory=dict)
    readings: tuple[dict[str, Any], ...] = ()
    does: Text = NOTHING
    problem: Text = NOTHING
    partly: tuple[Text, ...] = ()

    @property
    def why_not(self) -> Text:
        """Why it, or a part of it, cannot be taken in."""
        return self.problem or run_on(*self.partly, between="; ")

    @property
    def usable(self) -> bool:
        """Whether something of it can be taken in."""
        return not self.problem


class Pasted(Struct, frozen=True):
    """A whole paste: the columns by what they are, and its rows."""

    columns: dict[str, int]
    heading: tuple[str, ...]
    rows: tuple[PastedRow, ...]

    @property
    def unusable(self) -> tuple[PastedRow, ...]:
        """The rows nothing of which can be taken in."""
        return tuple(row for row in self.rows if not row.usable)


def preview(
    vehicle: Vehicle, text: str, when: str, columns: dict[str, int] | None = None
) -> Pasted:
    """What a paste would do; `columns` are the user's own, else they are looked for."""
    rows = split(text)
    found, headed = find_columns(rows)
    columns = found if columns is None else columns
    heading = tuple(rows[0]) if headed else ()
    by_label: dict[str, list[Slot]] = {}
    for slot in evidence.fuse_slots(vehicle):
        by_label.setdefault(slot.label.casefold(), []).append(slot)
    seen: set[str] = set()
    made = []
    for number, cells in enumerate(rows[1:] if headed else rows, start=2 if headed else 1):
        row = _row(vehicle, number, cells, columns, by_label, when)
        if row.slot is not None and row.slot in seen:
            row = PastedRow(number, tuple(cells), problem=say("this slot stands in an earlier row"))
        seen |= {row.slot} if row.slot is not None else set()
        made.append(row)
    return Pasted(columns, heading, tuple(made))


def _row(
    vehicle: Vehicle,
    number: int,
    cells: Sequence[str],
    columns: dict[str, int],
    by_label: dict[str, list[Slot]],
    when: str,
) -> PastedRow:
    given = {name: cells[at] for name, at in columns.items() if at < len(cells) and cells[at]}
    try:
        slot = _slot(vehicle, given, by_label)
        changes, wrong = _changes(slot, given)
        readings, more = _readings(slot, given, when)
    except InputProblem as problem:
        return PastedRow(number, tuple(cells), problem=problem.text)
    partly = (*wrong, *more)
    if not changes and not readings:
        why = run_on(*partly, between="; ") if partly else say("nothing in it is new")
        return PastedRow(number, tuple(cells), slot.id, problem=why)
    does = _does(slot, changes, readings)
    return PastedRow(number, tuple(cells), slot.id, changes, readings, does, NOTHING, partly)


def _slot(vehicle: Vehicle, given: dict[str, str], by_label: dict[str, list[Slot]]) -> Slot:
    label = given.get("label", "")
    if not label:
        raise InputProblem(say("no slot is named in it"))
    fitting = by_label.get(label.casefold()) or by_label.get(f"f{label}".casefold(), [])
    wanted = given.get("panel", "").casefold()
    if wanted and len(fitting) > 1:
        fitting = [
            slot for slot in fitting if look_up.panel_of(vehicle, slot.id).name.casefold() == wanted
        ]
    if not fitting:
        raise InputProblem(say("no slot is labelled “{label}”", label=label))
    if len(fitting) > 1:
        raise InputProblem(
            say("{n} slots are labelled “{label}”: name the panel too", n=len(fitting), label=label)
        )
    return fitting[0]


_TOO_LONG: Final = {
    "circuit": say("the circuit is longer than {n} characters", n=limit("circuit")),
    "note": say("the note is longer than {n} characters", n=limit("note")),
}


def _changes(slot: Slot, given: dict[str, str]) -> tuple[dict[str, Any], list[Text]]:
    changes: dict[str, Any] = {}
    wrong: list[Text] = []
    family = given.get("family", "").casefold().replace(" ", "_").replace("-", "_")
    if family and family not in tables.fuse_families():
        wrong.append(say("“{cell}” is not a fuse family", cell=given["family"]))
        family = ""
    family = family or slot.family
    if "rating" in given:
        found = RATING.fullmatch(given["rating"])
        rating = float(found[1].replace(",", ".")) if found else 0.0
        if rating in tables.fuse_family(family).ratings_a:
            changes["fuse"] = Fuse(family=family, rating=rating)
        else:
            wrong.append(
                say(
                    "“{cell}” is not a rating of the {family} family",
                    cell=given["rating"],
                    family=Text(tables.fuse_family(family).name),
                )
            )
    if family != slot.family:
        changes["family"] = family
    for name in ("circuit", "note"):
        if len(given.get(name, "")) > limit(name):
            wrong.append(_TOO_LONG[name])
        elif name in given:
            changes[name] = given[name]
    if "feed_class" in given:
        feed_class = classes().get(given["feed_class"].casefold())
        if feed_class is None:
            wrong.append(say("“{cell}” is not a feed class", cell=given["feed_class"]))
        else:
            changes["feed_class"] = feed_class
    if "live_side" in given:
        side = sides().get(given["live_side"].casefold())
        if side is None:
            wrong.append(say("“{cell}” is not a side", cell=given["live_side"]))
        else:
            changes["live_side"] = side
    return {name: value for name, value in changes.items() if getattr(slot, name) != value}, wrong


def _readings(
    slot: Slot, given: dict[str, str], when: str
) -> tuple[tuple[dict[str, Any], ...], list[Text]]:
    found: list[dict[str, Any]] = []
    wrong: list[Text] = []
    base = {"when": when, "target_id": slot.id, "note": str(evidence.PASTED)}
    for state in STATE_COLUMNS:
        if state in given:
            answer = yes_or_no().get(given[state].casefold())
            if answer is not None:
                live = {"quantity": "live", "value": float(answer), "state": state}
                found.append(base | live)
            elif not _take(found, wrong, base | {"state": state}, given[state], "millivolts", 1.0):
                wrong[-1] = say(
                    "“{cell}” is neither live nor dead nor millivolts", cell=given[state]
                )
    if "millivolts" in given:
        _take(found, wrong, base | {"state": "asleep"}, given["millivolts"], "millivolts", 1.0)
    if "current" in given:
        _take(found, wrong, base | {"state": "asleep"}, given["current"], "clamp_current", 1.0)
    return tuple(found), wrong


def _take(
    found: list[dict[str, Any]],
    wrong: list[Text],
    base: dict[str, Any],
    cell: str,
    quantity: Any,
    scale: float,
) -> bool:
    """Put a typed value among the readings, or why not among what is wrong."""
    try:
        entry = read_entry(cell.replace(" ", "").replace("\u202f", ""), quantity, scale)
    except InputProblem:
        wrong.append(say("“{cell}” is no reading", cell=cell))
        return False
    if entry.value is None:
        wrong.append(say("“{cell}” is no reading", cell=cell))
        return False
    most = MOST_READ[UNITS[entry.quantity]]
    if max(abs(entry.value), abs(entry.highest or 0.0)) > most:
        wrong.append(say("“{cell}” is more than a meter shows", cell=cell))
        return False
    more = {} if entry.highest is None else {"highest": entry.highest}
    found.append(base | {"quantity": entry.quantity, "value": entry.value} | more)
    return True


_CHANGED: Final[dict[str, Text]] = {
    "fuse": say("fuse"),
    "family": say("fuse family"),
    "circuit": say("circuit"),
    "note": say("note"),
    "feed_class": say("feed class"),
    "live_side": say("live side"),
}


def _does(slot: Slot, changes: dict[str, Any], readings: Sequence[dict[str, Any]]) -> Text:
    parts = [_CHANGED[name] for name in changes]
    if "fuse" in changes and "family" in changes:
        parts.remove(_CHANGED["family"])
    if readings:
        parts.append(many("{n} reading", "{n} readings", len(readings)))
    return say("{slot}: {what}", slot=look_up.slot_words(slot), what=in_row(parts))


def take_in(vehicle: Vehicle, pasted: Pasted, when: str) -> Vehicle:
    """The vehicle with all usable rows taken in; what could not be used goes into its history."""
    before = vehicle
    for row in pasted.rows:
        if row.usable and row.slot is not None and row.changes:
            vehicle = edits.change_slot(vehicle, row.slot, **row.changes)
    readings = [reading for row in pasted.rows if row.usable for reading in row.readings]
    vehicle = reading_edits.add_readings(vehicle, readings)
    touched = {str(reading["target_id"]) for reading in readings}
    vehicle = conclusions.conclude(before, vehicle, touched)
    left = [
        f"row {row.number} ({' | '.join(row.cells)}): {row.why_not}"
        for row in pasted.rows
        if row.problem or row.partly
    ]
    return edits.add_log(vehicle, when, _line(left)) if left else vehicle


def _line(left: Sequence[str]) -> str:
    """The rows on one line of the history, as they stand; how many more where it would not do.

    A wrong table of a day has more rows than a vehicle should carry about with it for good.
    """
    room = limit("text") - len(HEAD) - len(_more(len(left)))
    kept = [left[0]]
    used = len(left[0])
    for row in left[1:MOST_ROWS_KEPT]:
        used += len(row) + 2
        if used > room:
            break
        kept.append(row)
    more = _more(len(left) - len(kept)) if len(kept) < len(left) else ""
    return HEAD + "; ".join(kept)[:room] + more


def _more(rows: int) -> str:
    return f"; rows left out here: {rows}"


HEADING: Final = ("Panel", "Slot", "Rating", "Family", "Circuit", "Feed class", "Live side",
                  "Asleep", "Accessory", "Ignition", "Running", "mV", "Note")  # fmt: skip


def export(vehicle: Vehicle) -> str:
    """The slots with what was read of them as CSV, which can be pasted again."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEADING)
    for panel in vehicle.panels:
        for slot in panel.slots:
            if slot.kind == "fuse":
                writer.writerow([guarded(panel.name), *_exported(vehicle, slot)])
    return out.getvalue()


def _exported(vehicle: Vehicle, slot: Slot) -> list[str]:
    latest: dict[tuple[str, State], Reading] = {}
    for reading in evidence.of_slot(vehicle, slot.id):
        if not reading.lamps_on:
            latest[reading.quantity, reading.state] = reading
    live = ["" if (r := latest.get(("live", s))) is None else ("live" if r.yes else "dead")
            for s in STATE_COLUMNS]  # fmt: skip
    mv = latest.get(("millivolts", "asleep"))
    return [
        guarded(slot.label),
        "" if slot.fuse is None else f"{slot.fuse.rating:g}",
        slot.family,
        guarded(slot.circuit),
        slot.feed_class,
        slot.live_side,
        *live,
        "" if mv is None else f"{mv.value:g}",
        guarded(slot.note),
    ]


HISTORY_HEADING: Final = ("When", "What", "Slot", "State", "Minutes after locking", "Quantity",
                          "Value", "Unit", "By", "Verified", "Withdrawn", "Note")  # fmt: skip


def export_history(vehicle: Vehicle) -> str:
    """Every reading ever taken as CSV, raw, in the order they were taken."""
    slots = {slot.id: look_up.slot_name(slot) for slot in look_up.slots(vehicle)}
    feeds = {feed.id: feed.name for feed in vehicle.feeds}
    panels = {panel.id: panel.name for panel in vehicle.panels}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HISTORY_HEADING)
    for reading in vehicle.readings:
        minutes = "" if reading.after_lock_min is None else f"{reading.after_lock_min:g}"
        names = {"feed": feeds, "panel": panels}.get(reading.target, slots)
        writer.writerow(
            [
                reading.when,
                reading.target,
                guarded(names.get(reading.target_id, reading.target_id)),
                reading.state,
                minutes,
                reading.quantity,
                f"{reading.value:g}",
                reading.unit,
                guarded(reading.by),
                "yes" if reading.verified else "no",
                "yes" if reading.withdrawn else "no",
                guarded(reading.note),
            ]
        )
    return out.getvalue()
