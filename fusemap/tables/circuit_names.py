"""What the name of a circuit says that it feeds, as it stands on a lid, in several languages.

In: a name; the tables `circuit_words` (what each word tells) and `circuit_short` (what a shortened
word stands for). Out: its function, what follows for a tap there, and the words that decided. A
name is parted into the consumers it lists, sides and numbering are set aside, and the worst
consumer decides: one that is to be left alone decides for all. What no word of the table fits is
`unclear`: it never looks free.
"""

import re
import unicodedata
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import islice, takewhile
from typing import Final, Literal, NamedTuple, cast

from fusemap.tables.circuit_spelling import (
    LONG,
    by_shortened,
    is_ending,
    one_wrong,
    shortened,
    umlaut_written_out,
)
from fusemap.tables.reading import Source, rows, source

Function = Literal["leave_alone", "regulated", "supply", "control", "watched", "unclear", "comfort"]
FUNCTIONS: Final[tuple[Function, ...]] = (
    "leave_alone", "regulated", "supply", "control", "watched", "unclear", "comfort",
)  # fmt: skip
"""From what must not be touched to what may be tapped: protects life or keeps the vehicle going;
guarded by law or insurer; feeds other boxes; a control unit; lamps and tow sockets that the vehicle
watches; needed on the road or not to be told; comfort."""
Origin = Literal["trade", "lid"]


@dataclass(frozen=True, slots=True)
class CircuitWord:
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
            cast(Origin, row["origin"]),
        )
        for row in rows("circuit_words")
    )


@cache
def circuit_short() -> dict[str, tuple[str, ...]]:
    """What each abbreviation stands for; several things where it is used for several."""
    found: dict[str, tuple[str, ...]] = {}
    for row in rows("circuit_short"):
        found[row["word"]] = (*found.get(row["word"], ()), row["stands_for"])
    return found


@lru_cache(maxsize=4096)
def circuit_name(name: str) -> CircuitName:
    """What a circuit's name on a lid says that it feeds.

    Case, accents, sides and numbering do not matter. The reading is a proposal for a person to
    answer: a circuit whose name says nothing may be a critical one all the same.

    >>> circuit_name("F/PMP NO.1").function, circuit_name("Radio, airbag").function
    ('leave_alone', 'leave_alone')
    >>> circuit_name("Heated steering wheel").function, circuit_name("Fuel lid opener").function
    ('comfort', 'comfort')
    >>> circuit_name("Shock absorbent").function, circuit_name("Bremslichtschalter").reasons
    ('unclear', ('brakes, ABS, stability control',))
    >>> circuit_name("Zig. Anz.").function, circuit_name("WNDW LFT").function
    ('comfort', 'comfort')
    """
    found: list[Consumer] = []
    unread: list[str] = []
    parts = _consumers(name)
    for part in parts:
        tokens = _tokens(part)
        words = _words_of(tokens)
        found += [Consumer(part.strip(), word) for word in words]
        is_untold = len(parts) > 1 and not words and _is_a_unit(tokens)
        if is_untold or any(not _is_set_aside(token) for token in _left_over(tokens)):
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
_SHORT: Final = re.compile(r"\b([a-z])([/.-])([a-z]{1,8})\b")
"""One letter and a shortened word, as on a lid: “F/PMP”, “A/C”, “P-CON”."""
_TERMINAL: Final = re.compile(r"\b(?:kl|klemme|klem|borne|terminal)\b\.?\s*(\d\d)[a-z]?\b")
"""A terminal by its number, which says what it feeds or nothing (DIN 72552): “Kl. 50”."""
_GLUED: Final = re.compile(r"\bkl(\d\d)[a-z]?\b")
_OWNED: Final = re.compile(r"(?<=\w{2})['’]s\b")
_WORD: Final = re.compile(r"[a-z0-9_]+\.?")
_SIDES: Final = ("l", "r")
_CODE: Final = re.compile(r"[a-z]\d{1,3}|\d+(?:a|w|amps?)")
"""A place in the box or a rating: “K5”, “F12”, “20A”."""
_NUMBERED: Final = re.compile(r"(?<=[a-z])\d+[a-z]?$|^\d+(?=[a-z]{2})")
_AS_WRITTEN: Final = re.compile(r"o2s?|am[12]|ig[12]|4wd|4x4|4ws|t\d\d|ho2s|h2|mp[34]|\d+v")
_CUT_WITH_DOT: Final = 3
_SKELETON: Final = 4
_CUT: Final = 5
"""The fewest letters that may be the beginning of a longer word."""
_COMPOUND: Final = 6
"""The fewest letters of a compound cut within: “Sicherungsk.”."""
_UNITS: Final = frozenset(
    ("unit*", "control unit*", "module*", "computer*", "controller*", "*steuergerat*", "*modul*",
     "calculateur*", "boitier*", "boitier", "unidad*", "centralita*", "modulo*", "*eenheid*",
     "*regeleenheid*", "*unit*", "*module*", "centralina", "unita*")
)  # fmt: skip
"""Parts that, in a row of their own, are a consumer that nothing is known of."""
_LEFT_ALONE: Final = ("leave_alone", "regulated")
_HIDDEN: Final = 5
"""So many letters of a compound that no stem has may be a word that tells something else."""


def _consumers(name: str) -> list[str]:
    return [part for part in _BETWEEN.split(name) if part and part.strip()]


@lru_cache(maxsize=8192)
def _tokens(part: str) -> tuple[str, ...]:
    """The words of a consumer: small, without accents and numbers.

    A full stop stays with a word that it may have cut; “a_t” is one written with a slash.
    """
    text = _GLUED.sub(r" t\1 ", _TERMINAL.sub(r" t\1 ", _plain(part).replace("_", " ")))
    made = []
    for token in _WORD.findall(_SHORT.sub(_joined, text)):
        word = token.rstrip(".")
        bare = word if _AS_WRITTEN.fullmatch(word) else _NUMBERED.sub("", word)
        is_code = _CODE.fullmatch(word) and not _AS_WRITTEN.fullmatch(word)
        if bare and not bare.isdigit() and not is_code:
            cut = token.endswith(".") and bare == word and len(bare) >= _CUT_WITH_DOT
            made.append(f"{bare}." if cut else bare)
    return tuple(made)


def _joined(found: re.Match[str]) -> str:
    """A letter and a shortened word as one where the table knows it, else as two.

    A letter before a slash that is no side says something that is not known: “S/LOCK”.
    """
    letter, sign, word = found.groups()
    whole = f"{letter}_{word}" if sign == "/" else f"{letter}{word}"
    if _stems_of(whole) or _is_set_aside(whole):
        return whole
    is_side = sign != "/" or letter in _SIDES
    return f"{letter} {word}" if is_side else f"{letter}_ {word}"


def _plain(text: str) -> str:
    """Small letters without accents."""
    apart = unicodedata.normalize("NFKD", text.casefold().replace("œ", "oe"))
    return _OWNED.sub("", "".join(one for one in apart if not unicodedata.combining(one)))


# --- the words that fit ---------------------------------------------------------------------------


class _Row(NamedTuple):
    """A row of the table, ready to be looked for."""

    word: CircuitWord
    stems: frozenset[str]
    letters: str
    is_whole: bool


class _Fit(NamedTuple):
    """A row that fits, and which words it is about."""

    word: CircuitWord
    about: frozenset[int]
    row: _Row


def _words_of(tokens: tuple[str, ...]) -> list[CircuitWord]:
    """The rows that fit a consumer; one that another says more exactly is left out."""
    fits = list(_fits(tokens))
    aside = frozenset(at for at, token in enumerate(tokens) if _is_set_aside(token))
    exact = [
        fit.word for fit in fits if not any(_is_less_exact(fit, other, aside) for other in fits)
    ]
    return [word for word in exact if word.function != "part"]


def _is_a_unit(tokens: tuple[str, ...]) -> bool:
    """Whether a consumer is a control unit of which nothing more is told: “integrated unit”."""
    return any(stem in _UNITS for token in tokens for stem in _stems_of(token))


def _left_over(tokens: tuple[str, ...]) -> list[str]:
    """The words of a consumer that no row is about."""
    read = {at for fit in _fits(tokens) for at in fit.about}
    return [token for at, token in enumerate(tokens) if at not in read or _has_more(token)]


def _is_less_exact(fit: _Fit, other: _Fit, aside: frozenset[int]) -> bool:
    """Whether another row is about the same words and more, or has the same letters and more.

    A whole word is as exact as what it may be short for: both may be meant. A side makes a row no
    more exact (“front wiper” beside “wiper deicer”), but where it is to be left alone.
    """
    if fit.about != other.about:
        sides = frozenset() if fit.word.function in _LEFT_ALONE else aside
        return fit.about < other.about or fit.about - sides < other.about - sides
    mine, others = fit.row, other.row
    if mine.stems < others.stems:
        return True
    if mine.letters == others.letters:
        return False
    return mine.letters in (others.letters.split() if mine.is_whole else others.letters)


def _fits(tokens: tuple[str, ...]) -> Iterator[_Fit]:
    places: dict[str, set[int]] = {}
    for at, token in enumerate(tokens):
        for stem in _stems_of(token):
            places.setdefault(stem, set()).add(at)
    known = _rows_by_stem()
    for stem in places:
        for row in known.get(stem, ()):
            if all(each in places for each in row.stems):
                about = frozenset(at for each in row.stems for at in places[each])
                yield _Fit(row.word, about, row)


# --- a word and its stems -------------------------------------------------------------------------


@lru_cache(maxsize=8192)
def _stems_of(token: str) -> frozenset[str]:
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
    is_known = bare in _set_aside() or any(stem in _by_themselves() for stem in found)
    is_cut = not is_known if dotted else not (found or bare in _set_aside())
    if is_cut or (dotted and len(bare) >= _COMPOUND):
        found.update(_cut_off(bare, dotted) or _without_vowels(bare))
    folded = umlaut_written_out(bare)
    if folded != bare:
        found.update(_stems_in(folded))
    if not found and bare not in _set_aside():
        found.update(_misspelt(bare))
    if len(bare) >= _CUT and bare not in _whole():
        found.update(_beginning_of(bare))
    return frozenset(found)


def _beginning_of(word: str) -> Iterator[str]:
    """The stems to leave alone that a word is the beginning of, whatever else it may be: “seatb”."""
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


def _cut_off(word: str, dotted: bool) -> list[str]:
    """The stems that begin with a word: “zig.”, “defros”."""
    if len(word) < (_CUT_WITH_DOT if dotted else _CUT):
        return []
    stems = _bare_stems()
    found = islice(stems, bisect_left(stems, (word, "")), None)
    return _if_sure([stem for _, stem in takewhile(lambda each: each[0].startswith(word), found)])


def _without_vowels(word: str) -> list[str]:
    """The stems that are a word when their vowels are left out: “wndw”, “blwr”."""
    return [] if len(word) < _SKELETON else _if_sure(_skeletons().get(word, []))


def _if_sure(stems: list[str]) -> list[str]:
    """Stems that all tell the same by themselves, none else."""
    alone = (row for stem in stems for row in _rows_by_stem().get(stem, ()))
    functions = {row.word.function for row in alone if len(row.stems) == 1}
    return stems if len(functions) <= 1 else []


@lru_cache(maxsize=8192)
def _has_more(token: str) -> bool:
    """Whether a compound has a part that no stem has: “Heiz” in “Heizgurgel” does not tell all."""
    word = token.rstrip(".").replace("_", "")
    stems = set(_stems_of(token))
    if not stems <= set(_stems_in(word)):
        word = umlaut_written_out(word)
    if len(word) < 2 * _HIDDEN or stems - set(_stems_in(word)):
        return False
    shown: set[int] = set()
    for stem in stems:
        bare = stem.strip("*")
        for at in (found.start() for found in re.finditer(f"(?={re.escape(bare)})", word)):
            shown.update(range(at, at + len(bare)))
    hidden = "".join(" " if at in shown else one for at, one in enumerate(word)).rstrip()
    *parts, last = hidden.split() or [""]
    if not word.endswith(last) or not is_ending(last):
        parts.append(last)
    return max(map(len, parts), default=0) >= _HIDDEN


@lru_cache(maxsize=8192)
def _is_set_aside(token: str) -> bool:
    """Whether a word is a side, numbering or a small word, written out or cut with a full stop."""
    if token.endswith("_"):
        return False
    word = token.rstrip(".").replace("_", "")
    if word in _set_aside():
        return True
    return word != token and any(each.startswith(word) for each in _set_aside())


@cache
def _set_aside() -> frozenset[str]:
    """Sides, numbering and small words: they say nothing of what is fed."""
    return frozenset(row.word for row in circuit_words() if row.function == "aside")


@cache
def _all_rows() -> tuple[_Row, ...]:
    return tuple(
        _Row(
            row,
            frozenset(row.word.split()),
            row.word.replace("*", ""),
            "*" not in row.word and " " not in row.word,
        )
        for row in circuit_words()
        if row.function != "aside"
    )


@cache
def _known_stems() -> frozenset[str]:
    return frozenset(stem for row in _all_rows() for stem in row.stems)


@cache
def _by_themselves() -> frozenset[str]:
    """The stems that tell something without another."""
    return frozenset(row.word.word for row in _all_rows() if len(row.stems) == 1)


@cache
def _alone() -> frozenset[str]:
    """The stems that name a circuit to leave alone by themselves."""
    rows = (row for row in _all_rows() if row.word.function in _LEFT_ALONE)
    return frozenset(row.word.word for row in rows if len(row.stems) == 1)


@cache
def _bare_alone() -> tuple[tuple[str, str], ...]:
    """Them by their letters, in the order of these."""
    return tuple(sorted((stem.strip("*"), stem) for stem in _alone()))


@cache
def _whole() -> frozenset[str]:
    """What is written out in the table, with or without more behind it."""
    return frozenset(stem.strip("*") for stem in _known_stems()) | _set_aside() | circuit_short().keys()


@cache
def _by_missing_letter() -> dict[str, tuple[str, ...]]:
    """Their long words, by what is left of them where a letter is missing."""
    bare = {stem.rstrip("*") for stem in _alone() if not stem.startswith("*")}
    return by_shortened(sorted(word for word in bare if len(word) >= LONG))


@cache
def _rows_by_stem() -> dict[str, list[_Row]]:
    """Each row by that of its stems which the fewest rows have."""
    often = Counter(stem for row in _all_rows() for stem in row.stems)
    found: dict[str, list[_Row]] = {}
    for row in _all_rows():
        found.setdefault(min(row.stems, key=lambda stem: (often[stem], stem)), []).append(row)
    return found


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
    english = {stem for row in _all_rows() if row.word.language == "en" for stem in row.stems}
    for bare, stem in _bare_stems():
        if stem not in english:
            continue
        consonants = bare[0] + re.sub(r"[aeiou]", "", bare[1:])
        found.setdefault(re.sub(r"(.)\1", r"\1", consonants), []).append(stem)
    return found


CACHES: Final = (
    circuit_name, _tokens, _stems_of, _has_more, _is_set_aside, _set_aside, _all_rows,
    _known_stems, _by_themselves, _rows_by_stem, _alone, _bare_alone,
    _whole, _by_missing_letter, _inside, _bare_stems, _skeletons,
)  # fmt: skip
"""What is kept of the table, for whoever reads with another one."""
