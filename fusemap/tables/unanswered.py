"""What a figure may be that nobody answered: mild, usual and hard, with what that is taken from.

In: the table `unanswered`. Out: frozen rows. The hard end is the one that the low end of a forecast
and the least voltages are made with; typical figures are made with the usual one. It is no worst
case: beyond it lie vehicles that have to be answered for, and what is said on screen names it.
"""

from collections.abc import Mapping
from functools import cache

from msgspec import Struct

from fusemap.tables.reading import Source, pick, required, rows, source
from fusemap.text import Text, say


class Unanswered(Struct, frozen=True):
    """A figure in the unit of its key: `mild` and `hard` are the ends, in no fixed order."""

    key: str
    what: str
    mild: float
    usual: float
    hard: float
    conditions: str
    source: Source


@cache
def unanswered_facts() -> Mapping[str, Unanswered]:
    """Every row by its key."""
    return {
        row["key"]: Unanswered(
            row["key"],
            row["what"],
            required(row, "mild"),
            required(row, "usual"),
            required(row, "hard"),
            row["conditions"],
            source(row),
        )
        for row in rows("unanswered")
    }


def unanswered(key: str) -> Unanswered:
    """One row. Raises InputProblem naming those there are."""
    return pick(unanswered_facts(), key, _none)


def _none(key: str) -> tuple[Text, Text]:
    return say("figure that nobody answered"), say("there is no figure “{key}”", key=key)
