"""The words of circuits as the table has them, and which of them a written word is.

In: the tables `circuit_words` (what each word tells) and `circuit_short` (what a shortened word
stands for); a word of a name. Out: the stems of the table that it has: as it is written, by what it
is short for, cut, without its vowels, with its umlauts written out or with one letter wrong.
"""

import csv
import re
from bisect import bisect_left
from collections.abc import Iterator
from functools import cache, lru_cache
from itertools import islice, takewhile
from operator import itemgetter
from typing import Final, Literal, NamedTuple

from fusemap.tables.circuit_spelling import (
    LONG,
    SHORT_END,
    by_shortened,
    is_ending,
    one_wrong,
    shortened,
    umlaut_written_out,
)
from fusemap.tables.reading import Source, cells, heads, source_of

Function = Literal["leave_alone", "regulated", "supply", "control", "watched", "unclear", "comfort"]
FUNCTIONS: Final[tuple[Function, ...]] = (
    "leave_alone", "regulated", "supply", "control", "watched", "unclear", "comfort",
)  # fmt: skip
"""From what must not be touched to what may be tapped: protects life or keeps the vehicle going;
guarded by law or insurer; feeds other boxes; a control unit; lamps and tow sockets that the vehicle
watches; needed on the road or not to be told; comfort."""
Origin = Literal["trade", "lid"]


class CircuitWord(NamedTuple):
    """Words that tell the function of a circuit, and why.

    `word` has one stem or several, all of which must be there: ``abs`` a whole word, ``fuel*`` the
    beginning of one, ``*zund*`` a part of a compound; ``a/t`` must be written with its slash. A
    `part` (relay, pump, control unit) says nothing beside another word, what is set `aside` (left,
    NO., for) never. `origin`: a word of the trade that was put down without a legend at hand, or
    one that was taken from a published legend.
    """

    word: str
    language: str
    function: Function | Literal["part", "aside"]
    reason: str
    source: Source
    origin: Origin = "trade"


class WordTable(NamedTuple):
    """The table by columns: of its thousands of rows a lid needs some dozens, made when asked for.

    `why`: reason, source and origin of each.
    """

    words: tuple[str, ...]
    languages: tuple[str, ...]
    functions: tuple[Function | Literal["part", "aside"], ...]
    why: tuple[tuple[str, Source, Origin], ...]

    def row(self, at: int) -> CircuitWord:
        """One row."""
        reason, source, origin = self.why[at]
        return CircuitWord(
            self.words[at], self.languages[at], self.functions[at], reason, source, origin
        )


@cache
def word_table() -> WordTable:
    """The table as it is read: few of its rows differ in what stands behind the function."""
    columns, lines = heads("circuit_words", 3)
    assert columns[:3] == ["word", "language", "function"]
    words, languages, functions, rests = zip(*lines, strict=True)
    at = itemgetter(*map(columns[3:].index, ("reason", "source", "status", "origin")))
    distinct = tuple(dict.fromkeys(rests))
    why = {
        rest: (reason, source_of(title, status), origin)
        for rest, (reason, title, status, origin) in zip(
            distinct, map(at, csv.reader(distinct)), strict=True
        )
    }
    return WordTable(words, languages, functions, tuple(map(why.__getitem__, rests)))


@cache
def circuit_short() -> dict[str, tuple[str, ...]]:
    """What each abbreviation stands for; several things where it is used for several."""
    found: dict[str, tuple[str, ...]] = {}
    columns, lines = cells("circuit_short")
    for word, full in map(itemgetter(*map(columns.index, ("word", "stands_for"))), lines):
        found[word] = (*found.get(word, ()), full)
    return found


CUT_WITH_DOT: Final = 3
_SKELETON: Final = 4
_CUT: Final = 5
"""The fewest letters that may be the beginning of a longer word."""
_COMPOUND: Final = 6
"""The fewest letters of a compound cut within: “Sicherungsk.”."""
LEFT_ALONE: Final = ("leave_alone", "regulated")
_FRONT: Final = 3
"""The fewest letters of a whole word in front of a part of a compound."""
_HIDDEN: Final = 5
"""So many letters of a compound that no stem has may be a word that tells something else."""
_BESIDE_A_PART: Final = 3
"""So many do where all that is known of it is a part."""


class Row(NamedTuple):
    """A row of the table, ready to be looked for."""

    word: CircuitWord
    stems: frozenset[str]
    letters: str
    is_whole: bool


@lru_cache(maxsize=8192)
def stems_of(token: str) -> frozenset[str]:
    """The stems of the table that a word has: as it is written, by what it is short for, or cut.

    Only where it is in no table at all it may be the beginning of a longer word, or that without
    its vowels: and then only if all words that it may be have the same function.
    """
    word = token.rstrip(".")
    bare = word.replace("_", "")
    found = set(_stems_in(bare))
    if bare != word:
        found.update(_stems_in(word.replace("_", "/")))
    dotted = word != token
    for full in _written_out(bare, dotted):
        for each in full.split():
            found.update(_stems_in(each))
    if not found and bare not in _set_aside():
        found.update(_one_of_several(bare))
    found.update(_in_front_of(bare, found))
    is_known = bare in _set_aside() or any(stem in _by_themselves() for stem in found)
    is_cut = not is_known if dotted else not (found or bare in _set_aside())
    if is_cut or (dotted and len(bare) >= _COMPOUND):
        found.update(_cut_off(bare, dotted) or _without_vowels(bare))
    folded = umlaut_written_out(bare)
    if folded != bare:
        found.update(_stems_in(folded))
    if len(bare) >= _CUT and bare not in _whole():
        found.update(_beginning_of(bare))
        if max((len(stem.strip("*")) for stem in found), default=0) < _CUT:
            found.update(_misspelt(bare))
    return frozenset(found)


def _beginning_of(word: str) -> Iterator[str]:
    """The stems to leave alone that a word begins, whatever else it may be: “seatb”."""
    bare = _bare_alone()
    near = islice(bare, bisect_left(bare, (word, "")), None)
    yield from (stem for each, stem in takewhile(lambda one: one[0].startswith(word), near))


def _misspelt(word: str) -> Iterator[str]:
    """The stems of circuits to leave alone that a word is with one letter wrong: “steerng”.

    Only these: a word that is not known is never taken for comfort.
    """
    if len(word) < LONG:
        return
    known = _by_missing_letter()
    for end in range(LONG - 1, len(word) + 1):
        start = word[:end]
        near = {each for short in shortened(start) for each in known.get(short, ())}
        for each in near:
            if one_wrong(start, each):
                yield from (s for s in (each, f"{each}*") if s in _alone())


def _written_out(word: str, dotted: bool) -> Iterator[str]:
    """What a word or the end of a compound is short for: “htr”, “standhzg”."""
    yield from circuit_short().get(word, ())
    for at in range(3, len(word) - 2):
        if not dotted and re.search("[aeiou]", word[at:]):
            continue
        for end in circuit_short().get(word[at:], ()):
            if any(True for _ in _stems_in(word[:at])):
                yield word[:at] + end


def _stems_in(word: str) -> Iterator[str]:
    """The stems that a word is, begins with, or has in it."""
    known, inside = _known_stems(), _inside()
    if word in known:
        yield word
    for end in range(1, len(word) + 1):
        if f"{word[:end]}*" in known:
            yield f"{word[:end]}*"
    for start in range(len(word)):
        for end in range(start + 2, len(word) + 1):
            if word[start:end] in inside:
                yield f"*{word[start:end]}*"


def _in_front_of(word: str, found: set[str]) -> list[str]:
    """What is to be left alone, as a whole word in front of a part of a compound: “ABSheizung”.

    Not where a longer word of the table begins the same: a “stopcontact” is a socket.
    """
    letters = [stem.strip("*") for stem in found]
    inside = (stem.strip("*") for stem in found if stem.startswith("*"))
    fronts = {word[: word.find(each)] for each in inside if word.find(each) >= _FRONT}
    begun = max((len(each) for each in letters if word.startswith(each)), default=0)
    return [front for front in fronts if front in _alone() and begun <= len(front)]


def _one_of_several(word: str) -> Iterator[str]:
    """The whole words of which a word is the plural: “phares”, “defoggers”."""
    known = _known_stems()
    for end in ("s", "es", "x", "n", "en"):
        one = word.removesuffix(end)
        if one != word and len(one) >= SHORT_END and one in known:
            yield one


def is_written_out(word: str) -> bool:
    """Whether a word stands in the table as it is, with its slash or without it."""
    slashed, known = word.replace("_", "/"), _known_stems()
    if word.replace("_", "") in _whole() or slashed in known:
        return True
    return slashed != word and any(f"{slashed[:end]}*" in known for end in range(3, len(word) + 1))


def _cut_off(word: str, dotted: bool) -> list[str]:
    """The stems that begin with a word: “zig.”, “defros”."""
    if len(word) < (CUT_WITH_DOT if dotted else _CUT):
        return []
    stems = _bare_stems()
    found = islice(stems, bisect_left(stems, (word, "")), None)
    return _if_sure([stem for _, stem in takewhile(lambda each: each[0].startswith(word), found)])


def _without_vowels(word: str) -> list[str]:
    """The stems that are a word when their vowels are left out: “wndw”, “blwr”."""
    return [] if len(word) < _SKELETON else _if_sure(_skeletons().get(word, []))


def _if_sure(stems: list[str]) -> list[str]:
    """Stems that all tell the same by themselves, none else.

    A fan that says nothing beside another word does say something alone: that counts.
    """
    functions: set[str] = set()
    for stem in stems:
        alone = {row.word.function for row in rows_of(stem) if len(row.stems) == 1}
        functions |= (alone - {"part"}) or alone
    return stems if len(functions) <= 1 else []


@lru_cache(maxsize=8192)
def has_more(token: str, parts: frozenset[str] | None = None) -> bool:
    """Whether a compound has a part that no stem has: “Heiz” in “Heizgurgel” does not tell all.

    `parts` are the stems of the rows that a word has where all of these are parts (relay, pump): a
    few letters beside them are enough to tell something else.
    """
    word = umlaut_written_out(token.rstrip(".").replace("_", ""))
    known, inside = stems_of(token), set(_stems_in(word))
    stems = known if parts is None else known & parts
    least, shortest = (_HIDDEN, 2 * _HIDDEN) if parts is None else (_BESIDE_A_PART, _COMPOUND)
    if len(word) < shortest or stems - inside:
        return False
    shown: set[int] = set()
    for stem in stems:
        bare = stem.strip("*")
        for at in (found.start() for found in re.finditer(f"(?={re.escape(bare)})", word)):
            shown.update(range(at, at + len(bare)))
    hidden = "".join(" " if at in shown else one for at, one in enumerate(word)).rstrip()
    *others, last = [piece for piece in hidden.split() if piece not in _set_aside()] or [""]
    bends = is_ending(last) or (parts is not None and len(last) < SHORT_END)
    if not (bends and word.endswith(last)):
        others.append(last)
    return max(map(len, others), default=0) >= least


@lru_cache(maxsize=8192)
def is_set_aside(token: str) -> bool:
    """Whether a word is a side, numbering or a small word, written out or cut with a full stop."""
    if token.endswith("_"):
        return False
    word = token.rstrip(".").replace("_", "")
    if word in _set_aside():
        return True
    return word != token and any(each.startswith(word) for each in _set_aside())


def _words(*functions: str) -> Iterator[str]:
    """The words of the rows that have one of these functions."""
    table = word_table()
    each = zip(table.words, table.functions, strict=True)
    return (word for word, function in each if function in functions)


@cache
def _set_aside() -> frozenset[str]:
    """Sides, numbering and small words: they say nothing of what is fed."""
    return frozenset(_words("aside"))


@cache
def _telling() -> tuple[str, ...]:
    """The words of all other rows."""
    return tuple(_words(*FUNCTIONS, "part"))


@cache
def _known_stems() -> frozenset[str]:
    return frozenset(" ".join(_telling()).split())


@cache
def _by_themselves() -> frozenset[str]:
    """The stems that tell something without another."""
    return frozenset(word for word in _telling() if " " not in word)


@cache
def _alone() -> frozenset[str]:
    """The stems that name a circuit to leave alone by themselves."""
    return frozenset(word for word in _words(*LEFT_ALONE) if " " not in word)


@cache
def beside_another() -> frozenset[str]:
    """The letters of the parts: what says nothing beside another word, even if it does alone."""
    return frozenset(word.replace("*", "") for word in _words("part"))


@cache
def _bare_alone() -> tuple[tuple[str, str], ...]:
    """Them by their letters, in the order of these."""
    return tuple(sorted((stem.strip("*"), stem) for stem in _alone()))


@cache
def _whole() -> frozenset[str]:
    """What is written out in the table, with or without more behind it."""
    return (
        frozenset(stem.strip("*") for stem in _known_stems())
        | _set_aside()
        | circuit_short().keys()
    )


@cache
def _by_missing_letter() -> dict[str, tuple[str, ...]]:
    """Their long words, by what is left of them where a letter is missing."""
    bare = {stem.rstrip("*") for stem in _alone() if not stem.startswith("*")}
    return by_shortened(sorted(word for word in bare if len(word) >= LONG))


@cache
def _places() -> dict[str, list[int]]:
    """Where the rows stand whose first stem is this one."""
    table = word_table()
    found: dict[str, list[int]] = {}
    for at, (word, function) in enumerate(zip(table.words, table.functions, strict=True)):
        if function != "aside":
            found.setdefault(word.partition(" ")[0], []).append(at)
    return found


@lru_cache(maxsize=8192)
def rows_of(stem: str) -> tuple[Row, ...]:
    """The rows whose first stem is this one: each row has one, and a lid needs few of them."""
    return tuple(
        Row(
            word,
            frozenset(word.word.split()),
            word.word.replace("*", ""),
            "*" not in word.word and " " not in word.word,
        )
        for word in map(word_table().row, _places().get(stem, ()))
    )


@cache
def _inside() -> frozenset[str]:
    """The letters of the stems that may stand within a word."""
    return frozenset(stem.strip("*") for stem in _known_stems() if stem.startswith("*"))


@cache
def _bare_stems() -> tuple[tuple[str, str], ...]:
    """The longer stems by their letters, in the order of these."""
    return tuple(sorted((stem.strip("*"), stem) for stem in _known_stems() if len(stem) >= _CUT))


@cache
def _skeletons() -> dict[str, list[str]]:
    """English stems by their consonants, a doubled one once; other languages are not cut so."""
    found: dict[str, list[str]] = {}
    table = word_table()
    each = zip(table.words, table.languages, table.functions, strict=True)
    english = " ".join(word for word, spoken, told in each if spoken == "en" and told != "aside")
    stems = set(english.split())
    for bare, stem in _bare_stems():
        if stem not in stems:
            continue
        consonants = bare[0] + re.sub(r"[aeiou]", "", bare[1:])
        found.setdefault(re.sub(r"(.)\1", r"\1", consonants), []).append(stem)
    return found


CACHES: Final = (
    stems_of, has_more, is_set_aside, _set_aside, _telling, _known_stems, _by_themselves,
    _places, rows_of, beside_another, _alone, _bare_alone, _whole, _by_missing_letter, _inside,
    _bare_stems, _skeletons,
)  # fmt: skip
"""What is kept of the table, for whoever reads with another one."""
