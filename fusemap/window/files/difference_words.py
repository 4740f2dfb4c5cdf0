"""What differs between states of a vehicle, in words.

In: the differences of `fusemap.vehicle.difference`. Out: rows of two texts, which part and how. A
field without words of its own is shown by its name in the file, so that nothing is passed over.
"""

from collections.abc import Callable, Iterable
from typing import Any, Final

from msgspec import Struct

from fusemap.circuits import FUNCTION_WORDS
from fusemap.text import Amount, Argument, Text, in_row, run_on, say
from fusemap.vehicle import BATTERY, Fuse
from fusemap.vehicle.difference import Difference, FieldChange
from fusemap.vehicle.field_words import FIELDS, PARTS
from fusemap.vehicle.words import FIELD_UNITS, STATE, STRAIGHT, unit_of
from fusemap.window.forms import choices

Row = tuple[Text, Text]
MOST_LETTERS: Final = 60
"""A longer text is cut for a row."""


CHANGES: Final = {"added": say("added"), "removed": say("removed")}
THINGS: Final = ("fuse", "slot", "feed", "parent", "cable_out", "cable_back", "cut_off", "photo")
"""Fields that hold or name a thing: there is one, or none."""


SUPPLY: Final[dict[str, dict[str | None, Text]]] = {
    "slot": {None: say("not known"), BATTERY: STRAIGHT},
    "tap": {None: say("battery")},
}
"""What a feed's id stands for where it names no feed."""


CHOICES: Final[dict[str, Callable[[], tuple[tuple[str, str], ...]]]] = {
    "battery": choices.batteries,
    "charged_by": choices.charged_by,
    "chemistry": choices.chemistries,
    "engine_fuel": choices.engines,
    "figures_from": choices.figures_from,
    "label_standard": choices.label_standards,
    "load_kind": choices.load_kinds,
    "needs": choices.needs,
    "place": choices.places,
    "rest_from": choices.figures_from,
    "sleeve": choices.sleeves,
    "way_round": choices.ways_round,
}
"""Fields of which the window offers a choice, with its words."""


def rows(differences: Iterable[Difference]) -> list[Row]:
    """Each difference as (which part, how it differs)."""
    return [row(difference) for difference in differences]


def row(difference: Difference) -> Row:
    """One difference as (which part, how it differs)."""
    part = PARTS.get(difference.part, difference.part.replace("_", " "))
    what = run_on(part, _cut(difference.name))
    if difference.change in CHANGES:
        return what, CHANGES[difference.change]
    changes = (_change(field, difference.part) for field in difference.fields)
    return what, run_on(*changes, between="; ")


def _change(change: FieldChange, part: str) -> Text:
    field = _field(change.name)
    before, after = (_value(change.name, each, part) for each in (change.before, change.after))
    # a long text that differs further on, or a list of equal length
    if str(before) == str(after) or change.name == "photo.jpeg":
        return say("{field} changed", field=field)
    return run_on(field, before, "→", after)


def _field(name: str) -> Argument:
    """A field's words: of the whole way, of its last part, else its name in the file."""
    load, _, last = name.rpartition(".")
    if load.endswith(("_load", "_most", "carried")):
        return in_row([FIELDS[load.rpartition(".")[2]], STATE[last].label])  # type: ignore[index]
    return FIELDS.get(name) or FIELDS.get(last) or _plain(name)


def _plain(name: str) -> str:
    """A field's name in the file, to be read: without its unit, which the value has."""
    last = name.rpartition(".")[2]
    for end in FIELD_UNITS:
        if end.startswith("_"):
            last = last.removesuffix(end)
    return f"{name[: -len(name.rpartition('.')[2])]}{last}".replace(".", ", ").replace("_", " ")


def _value(name: str, value: Any, part: str) -> Argument:
    field = name.rpartition(".")[2]
    if field == "feed" and value in SUPPLY.get(part, {}):
        return SUPPLY[part][value]
    match value:
        case None:
            return say("none") if field in THINGS else say("not given")
        case bool():
            return say("yes") if value else say("no")
        case int() | float():
            return Amount(value, unit_of(field))
        case "comfort" | "control" | "supply" | "unclear" if field == "function":
            return FUNCTION_WORDS[value]
        case str() if field in CHOICES and value in dict(CHOICES[field]()):
            return dict(CHOICES[field]())[value]
        case str():
            return f"“{_cut(value)}”" if value else say("empty")
        case Fuse():
            return Amount(value.rating, "A")
        case tuple():
            return say("entries: {n}", n=len(value))
        case Struct():
            return say("given")
    return _cut(str(value))


def _cut(text: str) -> str:
    """A text on one line, not too long."""
    line = " ".join(text.split())
    return line if len(line) <= MOST_LETTERS else f"{line[:MOST_LETTERS]}…"
