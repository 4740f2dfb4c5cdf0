"""What every command has: arguments that several share, and the answer that it gives.

English and metric units are what is not asked for otherwise, whatever the environment says: a
script reads the same on every machine.

An answer is data with stable keys, and lines of texts made of the same data: JSON, the same in
every language, with numbers in SI and texts in English; or words for a person, made in one place
from texts and amounts by a style.
"""

import argparse
import json
from collections.abc import Iterator, Sequence
from math import isfinite
from pathlib import Path
from typing import Any, Final, NamedTuple

from msgspec import Struct

from fusemap.assess.result import Basis
from fusemap.errors import InputProblem
from fusemap.files import demos, read_vehicle
from fusemap.sheet import LANGUAGES, UNITS, paper_style
from fusemap.text import NARROW_SPACE, Amount, Argument, Style, Text, given, say, share
from fusemap.units import FEET_PER_METRE
from fusemap.vehicle import Vehicle

DEMO: Final = "demo:"

Parsers = Any  # argparse has no public name for what add_subparsers gives


def add_command(
    commands: Parsers, name: str, words: str, description: str, more: str
) -> argparse.ArgumentParser:
    """A command with the options that every command has; `more` stands below its arguments."""
    parser: argparse.ArgumentParser = commands.add_parser(
        name,
        help=words,
        description=description,
        epilog=more,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--language",
        choices=tuple(LANGUAGES),
        default="en",
        help="of what is for people; without it English, whatever the environment says",
    )
    parser.add_argument(
        "--units",
        choices=UNITS,
        default="metric",
        help="us: feet, °F, AWG first, and ground for earth; figures you give stay metric"
        " where they have no unit of their own",
    )
    parser.add_argument(
        "--json",
        action="store_true",
        help="as JSON, for other programs: the same in every language, figures in SI",
    )
    return parser


def add_vehicle(parser: argparse.ArgumentParser) -> None:
    """The argument that names a vehicle."""
    known = ", ".join(f"{DEMO}{key}" for key, _ in demos.demo_names())
    parser.add_argument("file", metavar="FILE", help=f"a vehicle file, or one of {known}")


def vehicle_of(name: str, language: str = "en") -> Vehicle:
    """A vehicle from a file, or a demo vehicle in a language's words.

    Raises FileProblem where it cannot be read.
    """
    if name.startswith(DEMO):
        return demos.read_demo(name.removeprefix(DEMO), language)
    return read_vehicle(Path(name))


def style_of(asked: argparse.Namespace) -> Style:
    """The language and the units that were asked for."""
    return paper_style(asked.language, asked.units, ground=asked.units == "us")


def length(text: str) -> float:
    """A length [m] from `2.5`, `2.5m` or `8ft`; a decimal comma is fine.

    >>> length("2,5m"), round(length("10ft"), 3)
    (2.5, 3.048)
    """
    plain = text.strip().lower().replace(",", ".")
    feet = plain.endswith(("ft", "'"))
    number = float(plain.removesuffix("ft").removesuffix("'").removesuffix("m"))
    return number / FEET_PER_METRE if feet else number


def temperature(text: str) -> float:
    """A temperature [°C] from `20`, `20C` or `68F`; a decimal comma is fine.

    Source: °C = (°F − 32) ÷ 1.8, NIST SP 811, appendix B.8.

    >>> temperature("-5"), temperature("68F"), temperature("20,5 °C")
    (-5.0, 20.0, 20.5)
    """
    plain = text.strip().upper().replace(",", ".")
    number = float(plain.rstrip("°CF "))
    return (number - 32.0) / 1.8 if plain.endswith("F") else number


def part_of_one(text: str) -> float:
    """A share from per cent: `3` or `3%`.

    >>> part_of_one("3%")
    0.03
    """
    return float(text.strip().removesuffix("%").replace(",", ".")) / 100


def check_share(value: float | None, option: str) -> None:
    """Raises InputProblem for a share that is none."""
    if value is not None and not 0 <= value <= 1:
        raise InputProblem(
            say("{share} is no such share", share=given(value * 100, "%")),
            option,
            say("{least} to {most}", least=share(0.0), most=share(1.0)),
        )


Data = dict[str, Any]
"""Lists, dicts, numbers and names; a text stays a `Text`, and how a sum came about a `Basis`."""

SIGNIFICANT: Final = 6
NO_LIMIT: Final = "–"


class Table(Struct, frozen=True):
    """Rows in even columns; `align` has a “<” or “>” for each column."""

    rows: Sequence[Sequence[Argument]]
    align: str
    indent: int = 2


class Indented(Struct, frozen=True):
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
