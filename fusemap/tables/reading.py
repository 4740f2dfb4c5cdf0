"""Reads the tables that ship with the program: each once, each row with its source; lists them all.

A row's `status` says how far its figures can be trusted: `seen` (a published figure was read),
`derived` (computed from published figures), `memory` (recalled, unverified), `practice` (a fact of
the trade with no source). The list is for whoever wants to check where the figures come from.
"""

import csv
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final, Literal, TypeVar, cast

from msgspec import Struct

from fusemap.errors import InputProblem
from fusemap.text import Text, in_row, say

Status = Literal["seen", "derived", "memory", "practice"]
STATUSES: Final[tuple[Status, ...]] = ("seen", "derived", "memory", "practice")
STATUS_WORDS: Final[Mapping[Status, str]] = {
    "seen": "",
    "derived": "derived",
    "memory": "from memory, unverified",
    "practice": "common practice, no source",
}
"""How each status is said beside a source; a published figure that was read needs no word."""

STATUS_TEXT: Final[Mapping[Status, Text]] = {
    "derived": say("derived"),
    "memory": say("from memory, unverified"),
    "practice": say("common practice, no source"),
}
"""The same as texts."""

Row = Mapping[str, str]
Thing = TypeVar("Thing")


class Source(Struct, frozen=True):
    """Where a figure comes from: the document with its clause or table, and its status."""

    title: str
    status: Status

    @property
    def words(self) -> str:
        """The source as it is quoted beside a number.

        >>> Source("IEC 60228, class 5", "memory").words
        'IEC 60228, class 5 (from memory, unverified)'
        """
        how = STATUS_WORDS[self.status]
        return f"{self.title} ({how})" if how else self.title

    @property
    def text(self) -> Text:
        """The same as a text; a title in no language stays as it is."""
        title, how = Text(self.title), STATUS_TEXT.get(self.status)
        return title if how is None else say("{title} ({how})", title=title, how=how)


@cache
def rows(name: str) -> tuple[Row, ...]:
    """All rows of a table, as text by column."""
    columns, lines = cells(name)
    return tuple(MappingProxyType(dict(zip(columns, row, strict=True))) for row in lines)


def rows_of(name: str, whose: str) -> Iterator[tuple[str, Row]]:
    """The rows whose key is “whose.key”, each with the key behind the point."""
    for row in rows(name):
        owner, _, key = row["key"].partition(".")
        if owner == whose:
            yield key, row


def cells(name: str) -> tuple[list[str], list[list[str]]]:
    """The columns of a table and its rows as they stand there."""
    columns, *lines = filter(None, csv.reader(_text(name).splitlines()))
    return columns, lines


def heads(name: str, cells: int) -> tuple[list[str], list[list[str]]]:
    """The columns of a large table; of each row so many cells, and what follows as it stands there.

    None of these cells may be in quotation marks: it is a fifth of the time of reading all.
    """
    columns, *lines = filter(None, _text(name).splitlines())
    return columns.split(","), [line.split(",", cells) for line in lines]


def _text(name: str) -> str:
    return files("fusemap.resources.tables").joinpath(f"{name}.csv").read_text(encoding="utf-8")


def source(row: Row, status: str = "status") -> Source:
    """The source of a row, with the status its column `status` gives."""
    return source_of(row["source"], cast(Status, row[status] or row["status"]))


@lru_cache(maxsize=4096)
def source_of(title: str, status: Status) -> Source:
    """One for all rows that have it: a large table has few."""
    return Source(title, status)


def number(row: Row, column: str) -> float | None:
    """A number, `None` where the table has none."""
    return float(row[column]) if row[column] else None


def required(row: Row, column: str) -> float:
    """A number that every row has."""
    return float(row[column])


def several(row: Row, column: str) -> tuple[str, ...]:
    """The parts of a cell that holds several words."""
    return tuple(row[column].split(";")) if row[column] else ()


Missing = Callable[[str], tuple[Text, Text]]
"""What kind of thing is not there, and that there is none of this key."""


def pick(things: Mapping[str, Thing], key: str, what: Missing) -> Thing:
    """One thing of a table by its key. Where there is none, `what` says its kind, and that."""
    if key not in things:
        kind, missing = what(key)
        raise InputProblem(missing, kind, say("one of: {known}", known=in_row(things)))
    return things[key]


TITLES: Mapping[str, Text] = {
    "fuse_families": say("Fuse families"),
    "fuse_bodies": say("Sizes of fuses"),
    "fuse_colours": say("Fuse colours"),
    "fuse_resistance": say("Fuse resistance and melting I²t"),
    "fuse_rerating": say("Fuse rerating by temperature"),
    "fuse_temperature": say("Fuse load by temperature"),
    "fuse_times": say("Fuse operating times"),
    "fuse_pulses": say("Pulses a fuse bears"),
    "conductors": say("Conductors"),
    "gauges": say("Wire gauges"),
    "insulations": say("Insulations"),
    "ampacities": say("Published ampacities"),
    "copper": say("Copper"),
    "deratings": say("Deratings of cables"),
    "voltage_drop": say("Allowed voltage drop"),
    "joints": say("Joints"),
    "crimps": say("Terminals by section"),
    "torques": say("Torques by thread"),
    "pulls": say("Pull forces of crimps"),
    "terminals": say("Terminal numbers"),
    "batteries": say("Batteries by chemistry"),
    "rest_voltage": say("Rest voltage by charge"),
    "freezing": say("Freezing of battery acid"),
    "starting": say("What a start takes"),
    "unanswered": say("What an unanswered figure may be"),
    "rules": say("Named rules"),
    "accessory_kinds": say("Generic accessories"),
    "parked_modes": say("What accessories do while parked"),
    "converters": say("Generic converters"),
    "socket_pins": say("Pins of tow sockets"),
    "cautions": say("Cautions"),
    "circuit_words": say("Words in circuit names"),
    "circuit_short": say("Abbreviations in circuit names"),
    "words": say("Words of the trade"),
}


class TableInfo(Struct, frozen=True):
    """One table: its name and title, its columns, its rows, and the rows counted by status."""

    key: str
    title: Text
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    by_status: Mapping[str, int]
    sources: tuple[str, ...]


@cache
def all_tables() -> tuple[TableInfo, ...]:
    """Every table that ships with the program."""
    return tuple(table(key) for key in TITLES)


def _no_table(key: str) -> tuple[Text, Text]:
    return say("table"), say("there is no table “{key}”", key=key)


def table(key: str) -> TableInfo:
    """One table. Raises InputProblem naming those there are."""
    title = pick(TITLES, key, _no_table)
    found = rows(key)
    return TableInfo(
        key=key,
        title=title,
        columns=tuple(found[0]),
        rows=tuple(tuple(row.values()) for row in found),
        by_status=Counter(row["status"] for row in found),
        sources=tuple(dict.fromkeys(row["source"] for row in found)),
    )


def cited(text: str) -> str:
    """The longest title of a source that stands in a text; empty where none does.

    >>> cited("IEC 60364-4-43; Littelfuse, Fuseology (25 °C)")
    'Littelfuse, Fuseology (25 °C)'
    >>> cited("as entered for this tap")
    ''
    """
    found = (source for info in all_tables() for source in info.sources if source in text)
    return max(found, key=len, default="")
