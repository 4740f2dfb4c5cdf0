"""A table pasted from a spreadsheet or a CSV file becomes slots and readings.

In: text with tabs, semicolons, commas or bars between its columns, with or without a heading. Out:
a preview: which column was taken for what, each row with what it would do, and every row that
cannot be used with the reason. The first of these are kept in the history, with how many more.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Final, get_args

from fusemap import tables
from fusemap.errors import InputProblem
from fusemap.probing import conclusions, evidence
from fusemap.probing.entry import read_entry
from fusemap.probing.paste_columns import CLASSES, RATING, find_columns, split
from fusemap.vehicle import (
    Fuse,
    Slot,
    State,
    Vehicle,
    edits,
    look_up,
    reading_edits,
)
from fusemap.vehicle.readings import UNITS
from fusemap.vehicle.texts import limit
from fusemap.vehicle.validity import MOST_READ
from fusemap.vehicle.words import LiveSide

YES: Final = frozenset({"1", "+", "x", "y", "yes", "live", "on", "ja", "oui", "✓", "✔", "true"})
NO: Final = frozenset({"0", "-", "–", "n", "no", "dead", "off", "nein", "non", "✗", "false"})
HEAD: Final = "Pasted table, not used: "
MOST_ROWS_KEPT: Final = 200
"""Rows that cannot be used, as many as a paste puts into the history."""
STATE_COLUMNS: Final[tuple[State, ...]] = ("asleep", "accessory", "ignition", "running")


@dataclass(frozen=True, slots=True)
class PastedRow:
    """One row: its number in the paste, what it would do, or why it cannot be used."""

    number: int
    cells: tuple[str, ...]
    slot: str | None = None
    changes: dict[str, Any] = field(default_factory=dict)
    readings: tuple[dict[str, Any], ...] = ()
    does: str = ""
    problem: str = ""
    partly: tuple[str, ...] = ()

    @property
    def usable(self) -> bool:
        """Whether something of it can be taken in."""
        return not self.problem


@dataclass(frozen=True, slots=True)
class Pasted:
    """A whole paste: the columns by what they are, and its rows."""

    columns: dict[str, int]
    heading: tuple[str, ...]
    rows: tuple[PastedRow, ...]

    @property
    def unusable(self) -> tuple[PastedRow, ...]:
        """The rows nothing of which can be taken in."""
        return tuple(row for row in self.rows if not row.usable)


# --- rows -----------------------------------------------------------------------------------------


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
            row = PastedRow(number, tuple(cells), problem="this slot stands in an earlier row")
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
    said = {name: cells[at] for name, at in columns.items() if at < len(cells) and cells[at]}
    try:
        slot = _slot(vehicle, said, by_label)
        changes, wrong = _changes(slot, said)
        readings, more = _readings(slot, said, when)
    except InputProblem as problem:
        return PastedRow(number, tuple(cells), problem=str(problem.what))
    partly = (*wrong, *more)
    if not changes and not readings:
        why = "; ".join(partly) or "nothing in it is new"
        return PastedRow(number, tuple(cells), slot.id, problem=why)
    does = _does(slot, changes, readings)
    return PastedRow(number, tuple(cells), slot.id, changes, readings, does, "", partly)


def _slot(vehicle: Vehicle, said: dict[str, str], by_label: dict[str, list[Slot]]) -> Slot:
    label = said.get("label", "")
    if not label:
        raise InputProblem("no slot is named in it")
    fitting = by_label.get(label.casefold()) or by_label.get(f"f{label}".casefold(), [])
    wanted = said.get("panel", "").casefold()
    if wanted and len(fitting) > 1:
        fitting = [
            one for one in fitting if look_up.panel_of(vehicle, one.id).name.casefold() == wanted
        ]
    if not fitting:
        raise InputProblem(f"no slot is labelled “{label}”")
    if len(fitting) > 1:
        raise InputProblem(f"{len(fitting)} slots are labelled “{label}”: name the panel too")
    return fitting[0]


def _changes(slot: Slot, said: dict[str, str]) -> tuple[dict[str, Any], list[str]]:
    changes: dict[str, Any] = {}
    wrong: list[str] = []
    family = said.get("family", "").casefold().replace(" ", "_").replace("-", "_")
    if family and family not in tables.fuse_families():
        wrong.append(f"“{said['family']}” is not a fuse family")
        family = ""
    family = family or slot.family
    if "rating" in said:
        found = RATING.fullmatch(said["rating"])
        rating = float(found[1].replace(",", ".")) if found else 0.0
        if rating in tables.fuse_family(family).ratings_a:
            changes["fuse"] = Fuse(family=family, rating=rating)
        else:
            wrong.append(f"“{said['rating']}” is not a rating of the {family} family")
    if family != slot.family:
        changes["family"] = family
    for name in ("circuit", "note"):
        if len(said.get(name, "")) > limit(name):
            wrong.append(f"the {name} is longer than {limit(name)} characters")
        elif name in said:
            changes[name] = said[name]
    if "feed_class" in said:
        feed_class = CLASSES.get(said["feed_class"].casefold())
        if feed_class is None:
            wrong.append(f"“{said['feed_class']}” is not a feed class")
        else:
            changes["feed_class"] = feed_class
    if "live_side" in said:
        side = said["live_side"].casefold()
        if side in get_args(LiveSide):
            changes["live_side"] = side
        else:
            wrong.append(f"“{said['live_side']}” is not a side")
    return {name: value for name, value in changes.items() if getattr(slot, name) != value}, wrong


def _readings(
    slot: Slot, said: dict[str, str], when: str
) -> tuple[tuple[dict[str, Any], ...], list[str]]:
    found: list[dict[str, Any]] = []
    wrong: list[str] = []
    base = {"when": when, "target_id": slot.id, "note": "pasted"}
    for state in STATE_COLUMNS:
        if state in said:
            answer = said[state].casefold()
            if answer in YES or answer in NO:
                live = {"quantity": "live", "value": float(answer in YES), "state": state}
                found.append(base | live)
            elif not _take(found, wrong, base | {"state": state}, said[state], "millivolts", 1.0):
                wrong[-1] = f"“{said[state]}” is neither live nor dead nor millivolts"
    if "millivolts" in said:
        _take(found, wrong, base | {"state": "asleep"}, said["millivolts"], "millivolts", 1.0)
    if "current" in said:
        _take(found, wrong, base | {"state": "asleep"}, said["current"], "clamp_current", 1.0)
    return tuple(found), wrong


def _take(
    found: list[dict[str, Any]],
    wrong: list[str],
    base: dict[str, Any],
    cell: str,
    quantity: Any,
    scale: float,
) -> bool:
    """Put a typed value among the readings, or why not among what is wrong."""
    try:
        entry = read_entry(cell.replace(" ", "").replace("\u202f", ""), quantity, scale)
    except InputProblem:
        wrong.append(f"“{cell}” is no reading")
        return False
    if entry.value is None:
        wrong.append(f"“{cell}” is no reading")
        return False
    most = MOST_READ[UNITS[entry.quantity]]
    if max(abs(entry.value), abs(entry.highest or 0.0)) > most:
        wrong.append(f"“{cell}” is more than a meter shows")
        return False
    more = {} if entry.highest is None else {"highest": entry.highest}
    found.append(base | {"quantity": entry.quantity, "value": entry.value} | more)
    return True


def _does(slot: Slot, changes: dict[str, Any], readings: Sequence[dict[str, Any]]) -> str:
    parts = [name.replace("_", " ") for name in changes if name != "family"]
    if readings:
        parts.append(f"{len(readings)} readings" if len(readings) > 1 else "1 reading")
    return f"{look_up.slot_name(slot)}: {', '.join(parts)}"


def taken_in(vehicle: Vehicle, pasted: Pasted, when: str) -> Vehicle:
    """The vehicle with all usable rows taken in; what could not be used goes into its history."""
    before = vehicle
    for row in pasted.rows:
        if row.usable and row.slot is not None and row.changes:
            vehicle = edits.change_slot(vehicle, row.slot, **row.changes)
    readings = [one for row in pasted.rows if row.usable for one in row.readings]
    vehicle = reading_edits.add_readings(vehicle, readings)
    vehicle = conclusions.applied(before, vehicle, {str(one["target_id"]) for one in readings})
    left = [
        f"row {row.number} ({' | '.join(row.cells)}): {row.problem or '; '.join(row.partly)}"
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
