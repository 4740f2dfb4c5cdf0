"""Sentences from below that are still plain English strings, in a sheet's language and units.

To go with the last of them: a `Text` needs nothing but a style. In: a text, or an English sentence
as `fusemap.phrases` knows it. Out: its words. No Qt.
"""

import re
from functools import lru_cache
from typing import Final

from fusemap.phrases import Phrases, read
from fusemap.text import Amount, Section, Style, Text, ground_words

_NUMBER: Final = r"(−?\d+(?:[.,]\d+)?)"
_AMOUNT: Final = re.compile(_NUMBER + r"[ \u202f](?:(°C)|(m)(?=[,;.)]|$))")
_GAUGES: Final = re.compile(r"([\d.,]+)[ \u202f]mm² \((?:\w+ )?AWG[ \u202f][\d/]+\)")


def sentence(text: Text | str, style: Style, names: frozenset[str] = frozenset()) -> str:
    """The words of a text from below; in a plain sentence `names` stay as they are.

    >>> sentence("no such sentence", Style("de"))
    'no such sentence'
    """
    if isinstance(text, Text):
        return style.show(text)
    english = ground_words(text) if style.ground and style.language == "en" else text
    said = _phrases(style.language, names).said(english)
    if style.length == "m":
        return said
    said = _AMOUNT.sub(lambda m: style.show(Amount(_value(m[1]), m[2] or m[3])), said)
    return _GAUGES.sub(lambda m: style.show(Section(_value(m[1]))), said)


@lru_cache(maxsize=8)
def _phrases(code: str, names: frozenset[str]) -> Phrases:
    decimal = Style(code).forms.decimal
    return Phrases(read(f"words_{code}.json"), decimal).keeping(names)


def _value(text: str) -> float:
    return float(text.replace("−", "-").replace(",", "."))
