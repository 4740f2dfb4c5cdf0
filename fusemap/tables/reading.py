"""Reads the tables that ship with the program: each once, each row with its source.

A row's `status` says how far its figures can be trusted: `seen` (a published figure was read),
`derived` (computed from published figures), `memory` (recalled, unverified), `practice` (a fact of
the trade with no source).
"""

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final, Literal, TypeVar, cast

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


@dataclass(frozen=True, slots=True)
class Source:
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
    text = files("fusemap.resources.tables").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return tuple(MappingProxyType(row) for row in csv.DictReader(text.splitlines()))


def source(row: Row, status: str = "status") -> Source:
    """The source of a row, with the status its column `status` gives."""
    return Source(row["source"], cast(Status, row[status] or row["status"]))


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
