"""A table pasted from a spreadsheet or a CSV file becomes slots and readings.

In: text with tabs, semicolons, commas or bars between its columns, with or without a heading. Out:
a preview: which column was taken for what, each row with what it would do, and every row that
cannot be used with the reason. Nothing is lost: rows that cannot be used are kept in the history.
"""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, Literal, get_args

from fusemap import tables
from fusemap.errors import InputProblem
from fusemap.probing import conclusions, evidence
from fusemap.probing.entry import read_entry
from fusemap.vehicle import (
    FEED_CLASSES,
    Fuse,
    Slot,
    State,
    Vehicle,
    edits,
    look_up,
    reading_edits,
)
from fusemap.vehicle.texts import clean, limit
from fusemap.vehicle.words import LiveSide

COLUMNS: Final[dict[str, tuple[str, ...]]] = {
    "label": ("slot", "label", "no", "nr", "number", "fuse", "position", "pos", "platz",
              "sicherung", "#", "place", "id"),
    "panel": ("panel", "box", "kasten", "location"),
    "rating": ("rating", "amp", "amps", "ampere", "a", "size", "wert", "calibre", "intensité"),
    "family": ("family", "type", "typ", "shape", "kind", "bauform"),
    "circuit": ("circuit", "function", "feeds", "description", "what", "stromkreis", "funktion",
                "name", "fonction", "supplies", "protects"),
    "feed_class": ("feed", "feed class", "class", "klemme", "terminal"),
    "live_side": ("live side", "side"),
    "asleep": ("asleep", "off", "locked", "key off", "permanent", "sleep", "aus"),
    "accessory": ("accessory", "acc", "key at accessory", "radio"),
    "ignition": ("ignition", "ign", "on", "ignition on", "key on", "zündung"),
    "running": ("running", "engine running", "engine", "motor"),
    "millivolts": ("mv", "millivolts", "drop", "mv asleep", "rest mv"),
    "current": ("current", "load", "draw", "ma", "own load", "strom", "rest current"),
    "note": ("note", "notes", "remark", "remarks", "comment", "bemerkung"),
}  # fmt: skip
"""What a column may be headed with, ours first; a longer heading that begins so fits too."""

MOST_LINE: Final = 100_000
"""No row of a table is longer [characters]; of a line that is, the rest is left out."""

CLASSES: Final[dict[str, str]] = {
    **{word: word for word in FEED_CLASSES},
    "delayed-off": "delayed_off", "delayed off": "delayed_off", "30": "permanent",
    "15": "ignition", "15r": "accessory", "75": "accessory", "58": "lighting",
    "always": "permanent", "b+": "permanent", "acc": "accessory", "ign": "ignition",
}  # fmt: skip
"""Words for a feed class; the numbers are terminals of DIN 72552."""

YES: Final = frozenset({"1", "+", "x", "y", "yes", "live", "on", "ja", "oui", "✓", "✔", "true"})
NO: Final = frozenset({"0", "-", "–", "n", "no", "dead", "off", "nein", "non", "✗", "false"})
STATE_COLUMNS: Final[tuple[State, ...]] = ("asleep", "accessory", "ignition", "running")
_RATING: Final = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*a?(?:mp(?:ere)?s?)?\s*", re.IGNORECASE)


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


def split(text: str) -> list[list[str]]:
    """The cells of a pasted table; empty rows are left out.

    >>> split("F1;10;Radio\\nF2;15;Horn")
    [['F1', '10', 'Radio'], ['F2', '15', 'Horn']]
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    sample = next((line for line in lines if line.strip()), "")
    sign = max("\t;|,", key=lambda one: (sample.count(one) > 0, "\t;|,".index(one) * -1))
    if sample.count(sign) == 0:
        sign = ","
    # An odd quote would swallow the rows up to the next one.
    quoting: Literal[0, 3] = csv.QUOTE_NONE if text.count('"') % 2 else csv.QUOTE_MINIMAL
    whole = io.StringIO("\n".join(line[:MOST_LINE] for line in lines))
    rows = csv.reader(whole, delimiter=sign, skipinitialspace=True, quoting=quoting)
    cleaned = [[clean(cell) for cell in row] for row in rows]
    return [row for row in cleaned if any(row)]


def find_columns(rows: Sequence[Sequence[str]]) -> tuple[dict[str, int], bool]:
    """Which column is what, by its heading or else by what stands in it; whether there is one."""
    if not rows:
        return {}, False
    named = _by_heading(rows[0])
    if "label" in named and len(named) > 1:
        return named, True
    return _by_content(rows), False


def _by_heading(heading: Sequence[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    plain = [re.sub(r"[\[\](){}.:]", " ", cell).casefold().split() for cell in heading]
    words = [" ".join(cell) for cell in plain]
    for exact in (True, False):
        for name, known in COLUMNS.items():
            for at, head in enumerate(words):
                if name in found or at in found.values() or not head:
                    continue
                if head in known or (not exact and any(head.startswith(f"{w} ") for w in known)):
                    found[name] = at
    return found


def _by_content(rows: Sequence[Sequence[str]]) -> dict[str, int]:
    """Without a heading: the first short column that never repeats is the label, and so on."""
    width = max(len(row) for row in rows)
    found: dict[str, int] = {}
    for at in range(width):
        cells = [row[at] for row in rows if at < len(row) and row[at]]
        if not cells:
            continue
        if "label" not in found and len(set(cells)) == len(cells) and max(map(len, cells)) <= 8:
            found["label"] = at
        elif "rating" not in found and _mostly(cells, _is_rating):
            found["rating"] = at
        elif "feed_class" not in found and _mostly(cells, lambda cell: cell.casefold() in CLASSES):
            found["feed_class"] = at
        elif "circuit" not in found and _mostly(cells, lambda cell: not _is_rating(cell)):
            found["circuit"] = at
    return found


def _mostly(cells: Sequence[str], fits: Any) -> bool:
    return sum(bool(fits(cell)) for cell in cells) > len(cells) / 2


def _is_rating(cell: str) -> bool:
    found = _RATING.fullmatch(cell)
    return found is not None and float(found[1].replace(",", ".")) in _all_ratings()


def _all_ratings() -> set[float]:
    return {rating for one in tables.fuse_families().values() for rating in one.ratings_a}


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
        return PastedRow(number, tuple(cells), problem=problem.what)
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
        found = _RATING.fullmatch(said["rating"])
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
    more = {} if entry.highest is None else {"highest": entry.highest}
    found.append(base | {"quantity": entry.quantity, "value": entry.value} | more)
    return True


def _does(slot: Slot, changes: dict[str, Any], readings: Sequence[dict[str, Any]]) -> str:
    parts = [name.replace("_", " ") for name in changes if name != "family"]
    if readings:
        parts.append(f"{len(readings)} reading{'s' if len(readings) > 1 else ''}")
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
    # A row fits into a line of the history, all of them together may not.
    for text in _lines("Pasted table, not used: ", left):
        vehicle = edits.add_log(vehicle, when, text)
    return vehicle


def _lines(head: str, parts: Sequence[str]) -> Iterator[str]:
    """The parts joined to as few lines as the history can hold them in."""
    most = limit("text") - len(head)
    line = ""
    for part in parts:
        for piece in (part[at : at + most] for at in range(0, len(part), most)):
            if line and len(line) + len(piece) + 2 > most:
                yield head + line
                line = ""
            line = f"{line}; {piece}" if line else piece
    if line:
        yield head + line
