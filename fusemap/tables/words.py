"""What words say: names of circuits on a lid, cautions, the words of the trade, terminal numbers.

In: the tables `circuit_words`, `cautions`, `words`, `terminals`. Out: frozen rows of text; for a
name as it stands on a lid, in any of five languages, its function, what follows for a tap there,
and the words that decided. A name is parted into the consumers it lists, sides and numbering are
set aside, and the worst consumer decides: one that is to be left alone decides for all. What no
word of the table fits is `unclear`: it never looks free.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final, Literal, NamedTuple, cast

from fusemap.tables.reading import Source, rows, several, source
from fusemap.text import Text, run_on

Function = Literal["leave_alone", "regulated", "supply", "control", "watched", "unclear", "comfort"]
FUNCTIONS: Final[tuple[Function, ...]] = (
    "leave_alone", "regulated", "supply", "control", "watched", "unclear", "comfort",
)  # fmt: skip
"""From what must not be touched to what may be tapped: protects life or keeps the vehicle going;
guarded by law or insurer; feeds other boxes; a control unit; lamps and tow sockets that the vehicle
watches; needed on the road or not to be told; comfort."""


@dataclass(frozen=True, slots=True)
class CircuitWord:
    """Words that tell the function of a circuit, and why.

    `word` has one stem or several, all of which must be there: ``abs`` a whole word, ``fuel*`` the
    beginning of one, ``*zund*`` a part of a compound. A `part` (relay, pump, control unit) says
    nothing beside another word, what is set `aside` (left, NO., for) never.
    """

    word: str
    language: str
    function: Function | Literal["part", "aside"]
    reason: str
    source: Source


class Consumer(NamedTuple):
    """One consumer of a circuit's name: how it is written there, and what decided about it."""

    name: str
    word: CircuitWord


@dataclass(frozen=True, slots=True)
class CircuitName:
    """What a name says. `consumers` are those that were recognised, the worst first.

    `unread` are the parts of the name that no word of the table fits.
    """

    function: Function
    consumers: tuple[Consumer, ...]
    unread: tuple[str, ...] = ()

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why it has this function."""
        those = (each.word for each in self.consumers if each.word.function == self.function)
        return tuple(dict.fromkeys(word.reason for word in those))


@cache
def circuit_words() -> tuple[CircuitWord, ...]:
    """Every row of the table."""
    return tuple(
        CircuitWord(
            row["word"],
            row["language"],
            cast(Function, row["function"]),
            row["reason"],
            source(row),
        )
        for row in rows("circuit_words")
    )


@lru_cache(maxsize=4096)
def circuit_name(name: str) -> CircuitName:
    """What a circuit's name on a lid says that it feeds.

    Case, accents, sides and numbering do not matter. The reading is a proposal for a person to
    answer: a circuit whose name says nothing may be a critical one all the same.

    >>> circuit_name("F/PMP NO.1").function, circuit_name("Radio, airbag").function
    ('leave_alone', 'leave_alone')
    >>> circuit_name("Heated steering wheel").function, circuit_name("Fuel lid opener").function
    ('comfort', 'comfort')
    >>> circuit_name("Shock absorber").function, circuit_name("Bremslichtschalter").reasons
    ('unclear', ('brakes, ABS, stability control',))
    """
    found: list[Consumer] = []
    unread: list[str] = []
    for part in _consumers(name):
        tokens = _tokens(part)
        words = _words_of(tokens)
        found += [Consumer(part.strip(), word) for word in words]
        if any(token not in _set_aside() for token in _left_over(tokens)):
            unread.append(part.strip())
    if not found:
        return CircuitName("unclear", (), tuple(unread))
    found.sort(key=lambda each: FUNCTIONS.index(cast(Function, each.word.function)))
    worst = cast(Function, found[0].word.function)
    if unread and worst == "comfort":
        worst = "unclear"
    return CircuitName(worst, tuple(found), tuple(unread))


# --- a name and its parts -------------------------------------------------------------------------

_BETWEEN: Final = re.compile(
    r"[,;()\[\]:•·|]|\s[-–—/+]+\s|(?<=\w)\+(?=\w)|\s+(?:and|und|et|y|e|en|&)\s+|&|(?<=\w{3})/(?=\w{3})"
)
_SHORT: Final = re.compile(r"\b([a-z])[/.-]([a-z]{1,6})\b")
"""One letter and a shortened word, as on a lid: “F/PMP”, “A/C”, “P-CON”."""
_SIGNS: Final = re.compile(r"[^a-z0-9]+")
_NUMBERED: Final = re.compile(r"(?<=[a-z])\d+[a-z]?$|^\d+(?=[a-z]{2})")
_AS_WRITTEN: Final = frozenset({"o2", "am1", "am2", "ig1", "ig2", "4wd", "4x4"})


def _consumers(name: str) -> list[str]:
    return [part for part in _BETWEEN.split(name) if part and part.strip()]


def _tokens(part: str) -> tuple[str, ...]:
    """The words of a consumer: small, without accents and numbers."""
    made = []
    for token in _SIGNS.split(_SHORT.sub(r"\1\2", _plain(part))):
        bare = token if token in _AS_WRITTEN else _NUMBERED.sub("", token)
        if bare and not bare.isdigit():
            made.append(bare)
    return tuple(made)


def _plain(text: str) -> str:
    """Small letters without accents."""
    apart = unicodedata.normalize("NFKD", text.casefold().replace("œ", "oe"))
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


# --- the words that fit ---------------------------------------------------------------------------


class _Fit(NamedTuple):
    """A row that fits: which words it is about, and by which letters."""

    word: CircuitWord
    about: frozenset[int]
    letters: str


def _words_of(tokens: tuple[str, ...]) -> list[CircuitWord]:
    """The rows that fit a consumer; one that another says more exactly is left out."""
    fits = list(_fits(tokens))
    exact = [fit.word for fit in fits if not any(_is_less_exact(fit, other) for other in fits)]
    return [word for word in exact if word.function != "part"]


def _left_over(tokens: tuple[str, ...]) -> list[str]:
    """The words of a consumer that no row is about."""
    read = {at for fit in _fits(tokens) for at in fit.about}
    return [token for at, token in enumerate(tokens) if at not in read]


@cache
def _set_aside() -> frozenset[str]:
    """Sides, numbering and small words: they say nothing of what is fed."""
    return frozenset(row.word for row in circuit_words() if row.function == "aside")


def _is_less_exact(fit: _Fit, other: _Fit) -> bool:
    """Whether another row is about the same words and more, or has the same letters and more."""
    if fit.about == other.about:
        return fit.letters != other.letters and fit.letters in other.letters
    return fit.about < other.about


def _fits(tokens: tuple[str, ...]) -> Iterator[_Fit]:
    places: dict[str, set[int]] = {}
    for at, token in enumerate(tokens):
        for stem in _stems_of(token):
            places.setdefault(stem, set()).add(at)
    for word in {id(row): row for stem in places for row in _rows_by_stem()[stem]}.values():
        stems = word.word.split()
        if all(stem in places for stem in stems):
            about = frozenset(at for stem in stems for at in places[stem])
            yield _Fit(word, about, word.word.replace("*", ""))


def _stems_of(token: str) -> Iterator[str]:
    """The stems of the table that a word has: it is one, begins with one, has one in it."""
    known = _rows_by_stem()
    if token in known:
        yield token
    for end in range(1, len(token) + 1):
        if f"{token[:end]}*" in known:
            yield f"{token[:end]}*"
    yield from (stem for stem, bare in _inside() if bare in token)


@cache
def _rows_by_stem() -> dict[str, list[CircuitWord]]:
    found: dict[str, list[CircuitWord]] = {}
    for word in circuit_words():
        if word.function != "aside":
            for stem in set(word.word.split()):
                found.setdefault(stem, []).append(word)
    return found


@cache
def _inside() -> tuple[tuple[str, str], ...]:
    """The stems that may stand within a word, with their letters."""
    return tuple((stem, stem.strip("*")) for stem in _rows_by_stem() if stem.startswith("*"))


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


@cache
def _reasons_of_the_table() -> frozenset[str]:
    return frozenset(word.reason for word in circuit_words())


def reasons(text: str) -> Text:
    """Reasons parted by semicolons: the table's are said in any language, others stay as written.

    >>> str(reasons("steering; my own"))
    'steering; my own'
    """
    ours = _reasons_of_the_table()
    each = text.split("; ") if text else []
    return run_on(*(Text(why) if why in ours else why for why in each), between="; ")


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
