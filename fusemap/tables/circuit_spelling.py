"""How words on lids are spelt: umlauts written out, endings, and one letter that is wrong.

In: words in small letters without accents. Out: the same words as the table may have them. Nothing
here knows what a word tells.
"""

import re
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import Final

LONG: Final = 6
"""The fewest letters in which one may be wrong, and the word is still itself."""

SHORT_END: Final = 4
"""Fewer letters than these behind a stem are an ending: “steering” of “steer”."""

_WRITTEN_OUT: Final = re.compile(r"(?<![aeq])(?:(a)e(?![aeio])|([ou])e(?![aeiou]))")
_ENDINGS: Final = re.compile(
    r"[a-z]{0,2}(?:"
    r"at(?:ion|or|ive)s?|[ai]tions?|ements?|ments?|ings?|it(?:y|ies)|"  # en, fr
    r"(?:illo|illa|ero|era|ivo|iva|ado|ada|ido|ida|ico|ica|ante|ente)s?|ores|oras|adora?|"  # es
    r"[ai]mientos?|c?iones|dades|amente|amento|amenti|"
    r"(?:age|euse|ette|oire|ique|aire|elle|ateur|atrice|iste)s?|iquement|[ai]bles?|"  # fr
    r"(?:ier)?ung(?:en)?|lich(?:e[nrs]?)?|isch(?:e[nrs]?)?|bare[nrs]?|t?ronics?|m?atics?|"  # de
    r"ingen|elijke?)"  # nl
)
"""What a language puts behind a word that stays the same word."""


def umlaut_written_out(word: str) -> str:
    """A word with its umlauts as one letter each, as the table has them.

    >>> umlaut_written_out("zuendschloss"), umlaut_written_out("heckoeffner")
    ('zundschloss', 'heckoffner')
    """
    return _WRITTEN_OUT.sub(r"\1\2", word)


def is_ending(letters: str) -> bool:
    """Whether letters behind a stem only bend it, and are no other word.

    >>> is_ending("ation"), is_ending("pumpe")
    (True, False)
    """
    return _ENDINGS.fullmatch(letters) is not None


def one_wrong(word: str, other: str) -> bool:
    """Whether two words differ in one letter: another one, one more or less, or two changed about.

    The first letter is taken to be right.

    >>> one_wrong("steerng", "steering"), one_wrong("airbga", "airbag")
    (True, True)
    >>> one_wrong("lighter", "lighter"), one_wrong("heater", "beater")
    (False, False)
    """
    if word == other or word[:1] != other[:1] or abs(len(word) - len(other)) > 1:
        return False
    at = next((n for n, (a, b) in enumerate(zip(word, other, strict=False)) if a != b), None)
    if at is None:
        return True
    mine, its = word[at:], other[at:]
    return (
        mine[1:] == its[1:]
        or mine[1:] == its
        or mine == its[1:]
        or (mine[2:] == its[2:] and mine[:2] == its[1::-1])
    )


def shortened(word: str) -> Iterator[str]:
    """A word, and what is left where one of its letters is missing.

    Two words that differ in one letter have one of these in common.
    """
    return chain((word,), (word[:at] + word[at + 1 :] for at in range(1, len(word))))


def by_shortened(words: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """The words by all that `shortened` makes of each."""
    found: dict[str, tuple[str, ...]] = {}
    for word in words:
        for each in dict.fromkeys(shortened(word)):
            found[each] = (*found.get(each, ()), word)
    return found
