"""A list of all tables, for whoever wants to check where the figures come from."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from fusemap.tables.reading import pick, rows
from fusemap.text import Text, say

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
    "terminals": say("Terminal numbers"),
    "batteries": say("Batteries by chemistry"),
    "rest_voltage": say("Rest voltage by charge"),
    "freezing": say("Freezing of battery acid"),
    "rules": say("Named rules"),
    "accessory_kinds": say("Generic accessories"),
    "converters": say("Generic converters"),
    "cautions": say("Cautions"),
    "circuit_words": say("Words in circuit names"),
    "words": say("Words of the trade"),
}


@dataclass(frozen=True, slots=True)
class TableInfo:
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
