"""Cautions, circuit names to be left alone, the words of the trade, terminal numbers.

In: the tables `cautions`, `circuit_words`, `words`, `terminals`. Out: frozen rows of text.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from typing import Final

from fusemap.tables.reading import Source, rows, several, source
from fusemap.text import Text, run_on

STANDS_ALONE: Final = 4
"""A word of so many letters or fewer is looked for as a whole word: "abs", not "absorber"."""


@dataclass(frozen=True, slots=True)
class Caution:
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


@dataclass(frozen=True, slots=True)
class CircuitWord:
    """A word in a circuit's name that proposes a mark: `critical` or `monitored`, and why."""

    word: str
    language: str
    mark: str
    reason: str
    source: Source


def reasons(text: str) -> Text:
    """Reasons parted by semicolons: the table's are said in any language, others stay as written.

    >>> str(reasons("steering; my own"))
    'steering; my own'
    """
    ours = {word.reason for word in circuit_words()}
    each = text.split("; ") if text else []
    return run_on(*(Text(why) if why in ours else why for why in each), between="; ")


@cache
def circuit_words() -> tuple[CircuitWord, ...]:
    """Every such word; longer words first, so that the most exact one is found first."""
    found = [
        CircuitWord(row["word"], row["language"], row["mark"], row["reason"], source(row))
        for row in rows("circuit_words")
    ]
    return tuple(sorted(found, key=lambda word: -len(word.word)))


def circuit_marks(circuit: str) -> tuple[CircuitWord, ...]:
    """The marks a circuit's name proposes, one per reason, critical ones first.

    They are proposals for the user to confirm; a name without such a word may still be critical.
    Case and accents do not matter. Words of four letters or fewer must stand alone, longer ones
    must begin a word, so that compounds are found too.

    >>> [found.reason for found in circuit_marks("Fuel pump relay")]
    ['fuel supply']
    >>> [(found.mark, found.word) for found in circuit_marks("Bremslicht, Radio")]
    [('critical', 'brems'), ('monitored', 'bremslicht')]
    >>> circuit_marks("Shock absorber light")
    ()
    """
    text = _plain(circuit)
    found: dict[tuple[str, str], CircuitWord] = {}
    for pattern, word in _patterns():
        if pattern.search(text):
            found.setdefault((word.mark, word.reason), word)
    return tuple(sorted(found.values(), key=lambda word: word.mark))


@cache
def _patterns() -> tuple[tuple[re.Pattern[str], CircuitWord], ...]:
    return tuple((re.compile(_pattern(word.word)), word) for word in circuit_words())


def _pattern(word: str) -> str:
    plain = re.escape(_plain(word))
    return rf"\b{plain}\b" if len(word) <= STANDS_ALONE else rf"\b{plain}"


def _plain(text: str) -> str:
    """Small letters without accents."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


@dataclass(frozen=True, slots=True)
class Term:
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


@dataclass(frozen=True, slots=True)
class Terminal:
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
