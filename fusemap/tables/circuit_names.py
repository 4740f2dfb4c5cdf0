"""What the name of a circuit says that it feeds, as it stands on a lid, in several languages.

In: a name; the tables `circuit_words` (what each word tells) and `circuit_short` (what a shortened
word stands for). Out: its function, what follows for a tap there, and the words that decided. A
name is parted into the consumers it lists, sides and numbering are set aside, and the worst
consumer decides: one that is to be left alone decides for all. What no word of the table fits is
`unclear`: it never looks free.
"""

import re
import unicodedata
from functools import lru_cache
from typing import Final, NamedTuple, cast

from msgspec import Struct

from fusemap.tables import circuit_stems
from fusemap.tables.circuit_spelling import SHORT_END, is_ending
from fusemap.tables.circuit_stems import (
    CUT_WITH_DOT,
    FUNCTIONS,
    LEFT_ALONE,
    CircuitWord,
    Function,
    Row,
    beside_another,
    has_more,
    is_set_aside,
    is_written_out,
    rows_of,
    stems_of,
)


class Consumer(NamedTuple):
    """One consumer of a circuit's name: how it is written there, and what decided about it."""

    name: str
    word: CircuitWord


class CircuitName(Struct, frozen=True):
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
        if is_untold or any(not is_set_aside(token) for token in _left_over(tokens)):
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
    r"[,;()\[\]:•·|\n\r\t]|\s[-–—/+]+\s|(?<=\w)\+(?=\w)|&|(?<=\w{3})/(?=\w{3})"
    r"|(?<=\w)\s+(?:and|und|et|y|e(?! (?:motor|drive)\b)|en|&)\s+"
)
_ONE_WORD: Final = re.compile(r"\b([^\W\d]{3,})/([^\W\d]{3,})\b")
_NOTE: Final = re.compile(r"\(([^()]*)\)")
_SAYS_HOW_FED: Final = frozenset(("does not say what it feeds", "feeds other boxes or circuits"))
_AUTOMATIC: Final = re.compile(r"^AT\b(?!.*[a-z])|(?<![a-z])\bAT$")
"""The automatic gearbox, by its letters at the beginning or end of a name in capitals."""
_POSITION: Final = re.compile(r"\b(run)\s*/\s*(start|crank|accy|acc)\b", re.IGNORECASE)
"""A position of the ignition switch, which is no consumer: “climate controls RUN/START”."""
_SHORT: Final = re.compile(r"\b([a-z])([/.-])([a-z]{1,8})\b")
"""One letter and a shortened word, as on a lid: “F/PMP”, “A/C”, “P-CON”."""
_TERMINAL: Final = re.compile(r"\b(?:kl|klemme|klem|borne|terminal)\b\.?\s*(\d\d)[a-z]?\b")
"""A terminal by its number, which says what it feeds or nothing (DIN 72552): “Kl. 50”."""
_GLUED: Final = re.compile(r"\bkl(\d\d)[a-z]?\b")
_DC_DC: Final = re.compile(r"\bdc[\s/-]*dc\b")
"""A converter by both its sides, as one word: “DC/DC”."""
_TOWPLUG: Final = re.compile(
    r"\b(?:7|13|15)[\s-]*(?:pins?|poles?|ways?|terminals?|polig\w*|pol|polos|broches|poles|contacts?)\b"
)
"""A tow socket by its contacts (ISO 1724, ISO 11446, ISO 12098): “7-pin socket”."""
_OWNED: Final = re.compile(r"(?<=\w{2})['’]s\b")
_WORD: Final = re.compile(r"[a-z0-9_]+\.?")
_SIDES: Final = ("l", "r")
_BEFORE: Final = frozenset("adefhmopsv")
"""Assistant's, driver's, electric, front, heated, power, side: before what is fitted.

Not T, a tow socket's, nor I, an immobiliser's.
"""
_FITTED: Final = re.compile(
    r"(?:seat|mir(?:r|ror)?|win|wind|wdo|wdw|wndw|window|sock|sckt|skt|socket|outlet|outl|roof|radio"
    r"|amp|speaker|spkr|woofer|ant|antenna|blower|blwr|dei?cer|defog|defogger|lighter|ltr|clock"
    r"|shade|media|gate|tgate|lgate|tailgate|liftgate)s?(?![a-z])"
)
"""Nouns that are comfort with any of these letters before: “P/MIRROR”, “F/SEAT”, “H/SOCKET”.

No word of which one with such a letter is to be left alone: no heater, lamp, lock, pump, belt.
"""
_TELLING: Final = 3
"""The fewest letters of a word behind a slash that says by itself what it is: “C/IGN”."""
_CODE: Final = re.compile(r"[a-z]\d{1,3}|\d+(?:a|w|amps?)")
"""A place in the box or a rating: “K5”, “F12”, “20A”."""
_NUMBERED: Final = re.compile(r"(?<=[a-z])\d+[a-z]?$|^\d+(?=[a-z]{2})")
_AS_WRITTEN: Final = re.compile(r"o2s?|am[12]|ig[12]|4wd|4x4|4ws|t\d\d|ho2s|h2|mp[34]|\d+v")
_BESIDE: Final = ("supply", "unclear", "control", "watched")
"""What may only say how a comfort consumer is fed or switched, or which of its parts is meant."""
_SAID_ALONE: Final = ("supply", "unclear", "control")
_MOTORS: Final = ("moteur", "moteurs", "motor", "motores")
_NO_ENDINGS: Final = ("ol", "oel", "rem")
"""Oil and brake: words as short as endings."""
_OF: Final = ("de", "du", "d", "des", "la", "l", "le", "les")
_UNITS: Final = frozenset(
    ("unit*", "control unit*", "module*", "computer*", "controller*", "*steuergerat*", "*modul*",
     "calculateur*", "boitier*", "boitier", "unidad*", "centralita*", "modulo*", "*eenheid*",
     "*regeleenheid*", "*unit*", "*module*", "centralina", "unita*")
)  # fmt: skip
"""Parts that, in a row of their own, are a consumer that nothing is known of."""


def _consumers(name: str) -> list[str]:
    said = _POSITION.sub(r"\1 \2", name.replace("_", " "))
    said = _ONE_WORD.sub(_without_slash, said)
    said = _AUTOMATIC.sub("A/T", _NOTE.sub(_if_it_tells, said))
    return [part for part in _BETWEEN.split(said) if part and part.strip()]


def _without_slash(found: re.Match[str]) -> str:
    """Two words with a slash between as one where the table has that: “SUN/ROOF”, “AIR/BAG”."""
    whole = _plain(found[1] + found[2])
    return found[1] + found[2] if is_written_out(whole) else found[0]


def _if_it_tells(note: re.Match[str]) -> str:
    """What stands in brackets, but where it says of a consumer that it is optional or how fed."""
    tokens = _tokens(note[1])
    words = _words_of(tokens)
    says = {word.reason for word in words if word.word.replace("*", "") not in beside_another()}
    is_more = any(not is_set_aside(token) for token in _left_over(tokens))
    return note[0] if is_more or not words or says - _SAYS_HOW_FED else " "


@lru_cache(maxsize=8192)
def _tokens(part: str) -> tuple[str, ...]:
    """The words of a consumer: small, without accents and numbers.

    A full stop stays with a word that it may have cut; “a_t” is one written with a slash.
    """
    text = _TOWPLUG.sub(" towplug ", _plain(part).replace("_", " "))
    text = _GLUED.sub(r" t\1 ", _TERMINAL.sub(r" t\1 ", _DC_DC.sub(" dcdc ", text)))
    made = []
    for token in _WORD.findall(_SHORT.sub(_joined, text)):
        word = token.rstrip(".")
        bare = word if _AS_WRITTEN.fullmatch(word) else _NUMBERED.sub("", word)
        is_code = _CODE.fullmatch(word) and not _AS_WRITTEN.fullmatch(word)
        if bare and not bare.isdigit() and not is_code:
            cut = token.endswith(".") and bare == word and len(bare) >= CUT_WITH_DOT
            made.append(f"{bare}." if cut else bare)
    return tuple(made)


def _joined(found: re.Match[str]) -> str:
    """A letter and a shortened word as one where the table knows it, else as two.

    A letter before a slash that is no side says something that is not known: “S/LOCK”. What only
    begins like a row that ends within the word is no row of it: “C/IGN” is not “cig”.
    """
    letter, sign, word = found.groups()
    whole = f"{letter}_{word}" if sign == "/" else f"{letter}{word}"
    if sign == "/" and not is_written_out(whole):
        if letter in _BEFORE and _FITTED.match(word):
            return word
        if len(word) >= _TELLING and is_written_out(word):
            return f"{letter} {word}" if letter in _SIDES else f"{letter}_ {word}"
    if stems_of(whole) or is_set_aside(whole):
        return whole
    is_side = sign != "/" or letter in _SIDES
    return f"{letter} {word}" if is_side else f"{letter}_ {word}"


def _plain(text: str) -> str:
    """Small letters without accents."""
    apart = unicodedata.normalize("NFKD", text.casefold().replace("œ", "oe"))
    return _OWNED.sub("", "".join(one for one in apart if not unicodedata.combining(one)))


# --- the words that fit ---------------------------------------------------------------------------


class _Fit(NamedTuple):
    """A row that fits, and which words it is about."""

    word: CircuitWord
    about: frozenset[int]
    row: Row


def _words_of(tokens: tuple[str, ...]) -> list[CircuitWord]:
    """The rows that fit a consumer; one that another says more exactly is left out."""
    every = _fits(tokens)
    fits = [fit for fit in every if not _is_a_motor_of(fit, every, tokens)]
    aside = frozenset(at for at, token in enumerate(tokens) if is_set_aside(token))
    parts = aside.union(*(fit.about for fit in fits if fit.word.function == "part"))
    exact = [
        fit
        for fit in fits
        if fit.word.function != "part"
        and not any(_is_less_exact(fit, other, aside, tokens) for other in fits)
    ]
    comfort = [fit for fit in exact if fit.word.function == "comfort"]
    return [
        fit.word
        for fit in exact
        if not any(_is_told_by(fit, noun, parts, aside) for noun in comfort)
    ]


def _is_told_by(fit: _Fit, noun: _Fit, parts: frozenset[int], aside: frozenset[int]) -> bool:
    """Whether a row only says how a comfort consumer is fed, switched or where it sits.

    Either it says nothing beside another word (“radio feed”), or all that it adds to a word of the
    consumer is a part (“lamp switch” in “dome lamp switch”). Never what is to be left alone.
    """
    if fit.word.function not in _BESIDE:
        return False
    if fit.row.letters in beside_another() and fit.word.function in _SAID_ALONE:
        return not noun.about <= fit.about
    shared, added = fit.about & noun.about, fit.about - noun.about
    return bool(shared and added <= parts and noun.about - fit.about - aside)


def _is_a_motor_of(fit: _Fit, fits: tuple[_Fit, ...], tokens: tuple[str, ...]) -> bool:
    """Whether the word for the engine is that of an electric motor: “moteur de siège”.

    Then a comfort consumer comes next, behind an “of” or with all that the row is about else.
    """
    at, *others = sorted(fit.about)
    if fit.word.function not in LEFT_ALONE or tokens[at] not in _MOTORS:
        return False
    noun = next((n for n in range(at + 1, len(tokens)) if tokens[n] not in _OF), at)
    if noun == at + 1 and not others:
        return False
    return any(
        one.word.function == "comfort" and noun in one.about and one.about >= set(others)
        for one in fits
    )


def _is_a_unit(tokens: tuple[str, ...]) -> bool:
    """Whether a consumer is a control unit of which nothing more is told: “integrated unit”."""
    return any(stem in _UNITS for token in tokens for stem in stems_of(token))


def _left_over(tokens: tuple[str, ...]) -> list[str]:
    """The words of a consumer that no row is about, or only about a part of them."""
    fits = _fits(tokens)
    told = {at for fit in fits if fit.word.function != "part" for at in fit.about}
    parts: dict[int, set[str]] = {}
    for fit in fits:
        for at in fit.about:
            parts.setdefault(at, set()).update(fit.row.stems)
    return [
        token
        for at, token in enumerate(tokens)
        if at not in parts or has_more(token, None if at in told else frozenset(parts[at]))
    ]


def _is_less_exact(fit: _Fit, other: _Fit, aside: frozenset[int], tokens: tuple[str, ...]) -> bool:
    """Whether another row is about the same words and more, or has the same letters and more.

    A whole word is as exact as what it may be short for: both may be meant. A side makes a row no
    more exact (“front wiper” beside “wiper deicer”), but where it is to be left alone.
    """
    if fit.about != other.about:
        if fit.word.function in LEFT_ALONE and not _tells_all_of(other, fit, tokens):
            return False
        sides = frozenset() if fit.word.function in LEFT_ALONE else aside
        return fit.about < other.about or fit.about - sides < other.about - sides
    mine, others = fit.row, other.row
    if mine.stems < others.stems or _is_a_form_of_a_part(fit, others):
        return True
    if mine.letters == others.letters:
        return False
    return mine.letters in (others.letters.split() if mine.is_whole else others.letters)


def _is_a_form_of_a_part(fit: _Fit, others: Row) -> bool:
    """Whether all of a row is in another, but for its ending: “leuchten” in “tür leucht”.

    Never one that is to be left alone.
    """
    mine = fit.row.letters
    if fit.word.function in LEFT_ALONE or len(fit.row.stems) > 1:
        return False
    if len(others.stems) > 1:
        return any(_bends(mine, stem.strip("*")) for stem in others.stems)
    ends = (at for at in range(SHORT_END, len(mine)) if others.letters.endswith(mine[:at]))
    return any(len(others.letters) > at and _bends(mine, mine[:at]) for at in ends)


def _tells_all_of(other: _Fit, fit: _Fit, tokens: tuple[str, ...]) -> bool:
    """Whether a row has all that another has in the words they share, and not an end of it only.

    “F/PMP” is fuel and pump: the pump of a seat leaves the fuel over. The lamp of “interior lamp”
    is not the whole of “Bremslicht”.
    """
    for at in fit.about & other.about:
        there = stems_of(tokens[at])
        if tokens[at].rstrip(".") in other.row.stems:
            continue
        others = [stem.strip("*") for stem in other.row.stems & there]
        for stem in fit.row.stems & there:
            bare = stem.strip("*")
            if not any(bare in one or _only_bends(bare, one) for one in others):
                return False
    return True


def _only_bends(stem: str, shorter: str) -> bool:
    """Whether a stem is a shorter one with an ending, and no word behind it: not “Motoröl”."""
    return _bends(stem, shorter) and stem.removeprefix(shorter) not in _NO_ENDINGS


def _bends(stem: str, shorter: str) -> bool:
    """Whether a stem is a shorter one with an ending."""
    more = stem.removeprefix(shorter)
    return more != stem and (len(more) < SHORT_END or is_ending(more))


@lru_cache(maxsize=8192)
def _fits(tokens: tuple[str, ...]) -> tuple[_Fit, ...]:
    places: dict[str, set[int]] = {}
    for at, token in enumerate(tokens):
        for stem in sorted(stems_of(token)):  # a set has another order at each start
            places.setdefault(stem, set()).add(at)
    return tuple(
        _Fit(row.word, frozenset(at for each in row.stems for at in places[each]), row)
        for stem in places
        for row in rows_of(stem)
        if row.stems <= places.keys()
    )


CACHES: Final = (circuit_name, _tokens, _fits, *circuit_stems.CACHES)
"""What is kept of the table, for whoever reads with another one."""
