"""Where a word that is wider than its place may be parted: between syllables, with a hyphen.

In: a word. Out: the same with soft hyphens (U+00AD), which are only seen where a line ends at one.
One rule for all our languages, so that it may part a compound elsewhere than between its parts: a
syllable begins with the last consonant before a vowel, or with a pair that is spoken as one.
Source: the common rule of German, Dutch, Spanish and French spelling, from memory. No Qt.
"""

import re
from collections.abc import Iterator
from typing import Final

SOFT: Final = "\u00ad"
SHORTEST: Final = 8
"""Words of fewer letters are never parted."""
LEAST: Final = 3
"""So many letters stand behind a hyphen at least, one fewer before it."""
_VOWELS: Final = "aeiouyäöüáéíóúàèìòùâêîôûëïœæ"
_TOGETHER: Final = (
    "schl", "schm", "schn", "schr", "schw", "sch", "str", "spr",
    "ch", "ck", "ph", "th", "sh", "bl", "br", "cl", "cr", "dr", "fl", "fr",
    "gl", "gr", "kl", "kr", "pl", "pr", "tr", "vr", "gn", "qu",
    "st", "sp",
)  # fmt: skip
_RUN: Final = re.compile(r"[^\W\d_]+")
_SYLLABLE: Final = re.compile(rf"(?<=[{_VOWELS}])([^{_VOWELS}\W\d_]+)(?=[{_VOWELS}])")


def softened(word: str) -> str:
    """A word with a soft hyphen between its syllables.

    >>> softened("Instrumentenbeleuchtung").replace(SOFT, "-"), softened("Zündung"), softened("F12")
    ('In-stru-men-ten-be-leuch-tung', 'Zündung', 'F12')
    """
    return _RUN.sub(lambda run: _run(run[0]), word)


def _run(letters: str) -> str:
    if len(letters) < SHORTEST or letters.isupper():
        return letters
    parted, last = "", 0
    for place in _places(letters.lower()):
        if place - last >= 2 and LEAST - 1 <= place <= len(letters) - LEAST:
            parted += letters[last:place] + SOFT
            last = place
    return parted + letters[last:]


def _places(letters: str) -> Iterator[int]:
    """Before which letters a syllable begins; never between two l or two r, which may be one."""
    for found in _SYLLABLE.finditer(letters):
        cluster = found[1]
        unit = next((pair for pair in _TOGETHER if cluster.endswith(pair)), cluster[-1])
        place = found.end() - len(unit)
        if not (letters[place - 1] == letters[place] and letters[place] in "lr"):
            yield place
