"""Sentences of checks, chains and tables in another language, by the English they are made from.

In: pairs of an English sentence, with places in braces for what varies, and what it is in the other
language (`resources/languages/words_*.json`). Out: any sentence made that way, its numbers with the
language's decimal sign. No Qt.
"""

import json
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Final

PACKAGE: Final = "fusemap.resources.languages"

_PLACE: Final = re.compile(r"\{(\w+)\}")
_NUMBER: Final = re.compile(r"(?<=\d)\.(?=\d)")


class Phrases:
    """Sentences with places in them, and what they are in another language."""

    def __init__(self, known: Mapping[str, str], decimal: str = ".") -> None:
        self._decimal = decimal
        self._whole = {text: own for text, own in known.items() if not _PLACE.search(text)}
        made = [(text, own) for text, own in known.items() if _PLACE.search(text)]
        made.sort(key=lambda pair: -len(_PLACE.sub("", pair[0])))
        self._patterns = [(pattern(text), own) for text, own in made]
        self._found: dict[str, str | None] = {}

    def said(self, text: str) -> str:
        """The sentence in the language; with its numbers alone where it is not known.

        What stands in a place is looked up as well, so that a state inside a sum is translated.

        >>> Phrases({"{a} with {b}": "{a} bei {b}", "engine off": "Motor aus"}, ",").said(
        ...     "2.5 A with engine off")
        '2,5 A bei Motor aus'
        """
        found = self.find(text)
        return self._numbers(text) if found is None else found

    def find(self, text: str) -> str | None:
        """The sentence in the language, `None` where it is not known."""
        if text not in self._found:
            if len(self._found) > 20_000:
                self._found.clear()
            self._found[text] = self._look_up(text)
        return self._found[text]

    def _look_up(self, text: str) -> str | None:
        if text in self._whole:
            return self._whole[text]
        other = text[:1].swapcase() + text[1:]
        if other in self._whole:
            own = self._whole[other]
            # a noun keeps its capital where the language writes nouns so
            return own[:1].upper() + own[1:] if text[:1].isupper() else own
        for form, own in self._patterns:
            match = form.fullmatch(text)
            if match is not None:
                return self._filled(own, match.groupdict())
        return None

    def _filled(self, own: str, parts: Mapping[str, str]) -> str:
        inner = {name: self.said(part) for name, part in parts.items()}
        return fill(own, inner)

    def _numbers(self, text: str) -> str:
        return text if self._decimal == "." else _NUMBER.sub(self._decimal, text)


def fill(text: str, parts: Mapping[str, str]) -> str:
    """A text with its places filled in; a place that has no part stays.

    >>> fill("{a} of {b}", {"a": "1", "c": "2"})
    '1 of {b}'
    """
    return _PLACE.sub(lambda match: parts.get(match[1], match[0]), text)


def pattern(text: str) -> re.Pattern[str]:
    """What matches a sentence made from a text with places in braces.

    >>> pattern("{a} > {b}").fullmatch("2 A > 1 A")["b"]
    '1 A'
    """
    parts = _PLACE.split(text)
    seen: set[str] = set()
    made = []
    for index, part in enumerate(parts):
        if index % 2 == 0:
            made.append(re.escape(part))
        elif part in seen:
            made.append(f"(?P={part})")
        else:
            seen.add(part)
            made.append(f"(?P<{part}>.+?)")
    return re.compile("".join(made), re.DOTALL)


def places(text: str) -> tuple[str, ...]:
    """The places of a text.

    >>> places("{count} of {all}")
    ('count', 'all')
    """
    return tuple(_PLACE.findall(text))


@cache
def read(name: str) -> Mapping[str, str]:
    """One file of texts by their English or their key; empty where there is none."""
    path = files(PACKAGE).joinpath(name)
    if not path.is_file():
        return {}
    found: dict[str, str] = json.loads(path.read_text(encoding="utf-8"))
    return found
