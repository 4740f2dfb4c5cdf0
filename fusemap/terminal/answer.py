"""What a command answers: data with stable keys, and lines of texts made of the same data.

In: what a command found. Out: JSON, the same in every language, with numbers in SI and texts in
English; or words for a person, made in one place from texts and amounts by a style.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Any, Final, NamedTuple

from fusemap.assess.result import Basis
from fusemap.text import NARROW_SPACE, Amount, Argument, Style, Text, say

Data = dict[str, Any]
"""Lists, dicts, numbers and names; a text stays a `Text`, and how a sum came about a `Basis`."""

SIGNIFICANT: Final = 6
NO_LIMIT: Final = "–"


@dataclass(frozen=True)
class Table:
    """Rows in even columns; `align` has a “<” or “>” for each column."""

    rows: Sequence[Sequence[Argument]]
    align: str
    indent: int = 2


@dataclass(frozen=True)
class Indented:
    """A line that stands in from the edge."""

    line: Argument
    indent: int = 2


Line = Argument | Indented | Table


class Answer(NamedTuple):
    """Exit status, the answer as data, and as lines to read."""

    status: int
    data: Data
    lines: Sequence[Line]


def as_json(data: Data) -> str:
    """The data for other programs; texts in English."""
    return json.dumps(data, indent=2, ensure_ascii=False, default=_in_english)


def _in_english(value: object) -> str:
    if isinstance(value, Basis):
        return value.text
    if isinstance(value, Text | Amount):
        return str(value)
    raise TypeError(f"{type(value).__name__} has no place in an answer")


def as_words(lines: Sequence[Line], style: Style) -> str:
    """The lines for a person, in a language and its units.

    Terminals have one width of space, and nobody wants spaces at the end of a line.
    """
    shown = (words for line in lines for words in _shown(line, style))
    return "\n".join(words.replace(NARROW_SPACE, " ").rstrip() for words in shown)


def _shown(line: Line, style: Style) -> Iterator[str]:
    if isinstance(line, Table):
        yield from _rows(line, style)
    elif isinstance(line, Indented):
        yield " " * line.indent + style.show(line.line)
    else:
        yield style.show(line)


def _rows(table: Table, style: Style) -> Iterator[str]:
    rows = [[style.show(cell) for cell in row] for row in table.rows]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = zip(row, table.align, widths, strict=True)
        yield " " * table.indent + "  ".join(f"{cell:{sign}{wide}}" for cell, sign, wide in cells)


def plain(value: Any) -> float | None:
    """A number to six digits, or nothing where there is none.

    >>> plain(7.123456789), plain(float("inf"))
    (7.12346, None)
    """
    number = float(value)
    return float(f"{number:.{SIGNIFICANT}g}") if isfinite(number) else None


def amount(value: float | None, unit: str) -> Argument:
    """A figure of the data with its unit; a dash where there is none."""
    return NO_LIMIT if value is None else Amount(value, unit)


def side_by_side(*parts: Argument, between: str = " ") -> Text:
    """Parts one behind the other in an order that is the same in every language.

    >>> str(side_by_side("F4", "Radio", between=": "))
    'F4: Radio'
    """
    places = between.join(f"{{p{index}}}" for index in range(len(parts)))
    return Text(places, {f"p{index}": part for index, part in enumerate(parts)}, bare=True)


def with_note(text: Argument, note: Argument) -> Text:
    """A text with a note behind it in brackets.

    >>> str(with_note("Van", "12 V"))
    'Van (12 V)'
    """
    return Text("{text} ({note})", {"text": text, "note": note}, bare=True)


def basis_lines(basis: Basis) -> Iterator[Argument]:
    """How a number came about, line by line."""
    yield basis.formula
    yield from (side_by_side(name, value, between=" = ") for name, value in basis.inputs)
    if basis.source:
        yield say("Source: {source}", source=basis.source)
