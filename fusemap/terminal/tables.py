"""`fusemap tables`: every published table with its sources; with a name, the table itself.

A table is shown as it was published: its columns by their keys, its figures in the units that the
keys end in, its sources as they are cited. Words of ours are in the language.

JSON keys: tables[] (key, title, rows, by_status, sources), or key, title, columns, rows.
"""

import argparse
import re
from collections.abc import Iterator, Sequence
from typing import Final

from msgspec import Struct

from fusemap import tables
from fusemap.tables import TableInfo
from fusemap.terminal.command import (
    Answer,
    Data,
    Indented,
    Line,
    Parsers,
    Table,
    add_command,
    side_by_side,
)
from fusemap.text import Argument, Style, Text, in_row, many, say

STATUS: Final[dict[str, Text]] = {
    "seen": say("seen"),
    "derived": say("derived"),
    "memory": say("from memory"),
    "practice": say("common practice"),
}
WORDS: Final = (
    "name", "group", "note", "arrangement", "text", "topic", "reason", "kind", "colour", "class",
    "label", "what", "meaning", "use", "case", "over", "term",
)  # fmt: skip
"""The columns that hold words of ours, whatever the table."""
_FIGURES: Final = re.compile(r"[-+\d.;e]+")


class Printed(Struct, frozen=True):
    """Figures with the digits that a table has."""

    digits: str

    def shown(self, style: Style) -> str:
        """The digits with the language's decimal sign."""
        return style.decimal(self.digits)


def add(commands: Parsers) -> None:
    """Tell the parser this command's arguments."""
    parser = add_command(
        commands,
        "tables",
        "the published tables and their sources",
        "List the tables, or show one of them.",
        __doc__ or "",
    )
    parser.add_argument("table", nargs="?", default=None, metavar="TABLE")
    parser.add_argument(
        "--memory", action="store_true", help="only what is from memory and unverified"
    )


def answer(asked: argparse.Namespace) -> Answer:
    """List all tables or show one. Raises InputProblem for a table that is not there."""
    if asked.table is not None:
        data = _table_data(tables.table(asked.table), asked.memory)
        return Answer(0, data, tuple(_table_lines(data)))
    if asked.memory:
        found = [info for info in tables.all_tables() if info.by_status["memory"]]
        shown = [_table_data(info, memory=True) for info in found]
        return Answer(0, {"tables": shown}, tuple(_one_after_the_other(shown)))
    listed = [_listing_data(info) for info in tables.all_tables()]
    return Answer(0, {"tables": listed}, tuple(_listing_lines(listed)))


# --- the list of tables ---------------------------------------------------------------------------


def _listing_data(info: TableInfo) -> Data:
    return {
        "key": info.key,
        "title": info.title,
        "rows": len(info.rows),
        "by_status": dict(info.by_status),
        "sources": list(info.sources),
    }


def _listing_lines(listed: Sequence[Data]) -> Iterator[Line]:
    for info in listed:
        yield side_by_side(f"{info['key']:18}", _counted(info))
        yield from (Indented(source, 22) for source in info["sources"])


def _counted(info: Data) -> Text:
    """A table's title, its rows, and how many of them are how sure."""
    statuses = in_row(side_by_side(n, STATUS[status]) for status, n in info["by_status"].items())
    return many(
        "{title}: {n} row ({statuses})",
        "{title}: {n} rows ({statuses})",
        info["rows"],
        title=info["title"],
        statuses=statuses,
    )


# --- a table --------------------------------------------------------------------------------------


def _table_data(info: TableInfo, memory: bool) -> Data:
    """A table, or only its rows that are from memory."""
    status = info.columns.index("status")
    rows = [row for row in info.rows if not memory or row[status] == "memory"]
    return {
        "key": info.key,
        "title": info.title,
        "columns": list(info.columns),
        "rows": [list(row) for row in rows],
    }


def _table_lines(data: Data) -> Iterator[Line]:
    columns = data["columns"]
    rows = [list(map(_cell, columns, row)) for row in data["rows"]]
    yield from (data["title"], Table((columns, *rows), "<" * len(columns), indent=0))


def _one_after_the_other(shown: Sequence[Data]) -> Iterator[Line]:
    for number, data in enumerate(shown):
        if number:
            yield ""
        yield from _table_lines(data)


def _cell(column: str, value: str) -> Argument:
    if column == "status" or column.endswith("_status"):
        return STATUS.get(value, value)
    if column in WORDS:
        return Text(value)
    return Printed(value) if _FIGURES.fullmatch(value) else value
