"""What words say: cautions, reasons of circuits, the words of the trade, terminal numbers.

In: the tables `cautions`, `words`, `terminals`. Out: frozen rows of text.
"""

from functools import cache

from msgspec import Struct

from fusemap.tables.circuit_stems import word_table
from fusemap.tables.reading import Source, rows, several, source
from fusemap.text import Text, run_on


class Caution(Struct, frozen=True):
    """A caution in one or two sentences, its topic, and when it applies.

    `when` is `always`, or a kind of work: `battery` (disconnecting it), `tap`, `relay`, `parked`,
    `earth`, `radio`, `cable`, `v24`, `monitored`, `measure`.
    """

    key: str
    topic: str
    when: str
    text: str
    source: Source


@cache
def cautions() -> tuple[Caution, ...]:
    """Every caution, in the order of the sheet."""
    return tuple(
        Caution(row["key"], row["topic"], row["when"], row["text"], source(row))
        for row in rows("cautions")
    )


@cache
def _reasons_of_the_table() -> frozenset[str]:
    return frozenset(reason for reason, _source, _origin in set(word_table().why))


def reasons(text: str) -> Text:
    """Reasons parted by semicolons: the table's are said in any language, others stay as written.

    >>> str(reasons("steering; my own"))
    'steering; my own'
    """
    ours = _reasons_of_the_table()
    each = text.split("; ") if text else []
    return run_on(*(Text(why) if why in ours else why for why in each), between="; ")


class Term(Struct, frozen=True):
    """A word of the trade, what it means here, and what else it is called."""

    term: str
    meaning: str
    also_heard: tuple[str, ...]
    source: Source


@cache
def vocabulary() -> tuple[Term, ...]:
    """The words of the trade."""
    return tuple(
        Term(row["term"], row["meaning"], several(row, "also_heard"), source(row))
        for row in rows("words")
    )


class Terminal(Struct, frozen=True):
    """A terminal number of DIN 72552, its meaning, and what it is good for here."""

    number: str
    meaning: str
    use: str
    source: Source


@cache
def terminals() -> tuple[Terminal, ...]:
    """The terminal numbers."""
    return tuple(
        Terminal(row["number"], row["meaning"], row["use"], source(row))
        for row in rows("terminals")
    )
