"""Sentences of checks, chains and tables in another language, by the English they are made from.

In: pairs of an English sentence, with places in braces for what varies, and what it is in the other
language (`resources/languages/words_*.json`). Out: any sentence made that way, its numbers with the
language's decimal sign. No Qt.
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import copy
from functools import cache
from importlib.resources import files
from operator import or_
from typing import Final

from fusemap.units import SYMBOLS

PACKAGE: Final = "fusemap.resources.languages"

_PLACE: Final = re.compile(r"\{(\w+)\}")
_JOINTS: Final = (
    (re.compile(r"([.!?] )"), False),
    (re.compile(r"(; )"), False),
    (re.compile(r"(: )"), False),
    (re.compile(r"(, )"), True),
    (re.compile(r"( and )"), True),
)
"""What parts are joined by, the widest first, and whether every part with words must be known."""
_COMMA: Final = _JOINTS[3][0]
_OF_NAMES: Final = ("{a} on {b}", "{a} behind {b}")
"""What two names are put together by; between other words it says nothing."""
_UNNAMED: Final = re.compile(r"row \d+, column \d+.*|.+ \(\w+ lead\)")
"""A place without a name of its own, and the thin lead of a part."""
_BEFORE_FIGURE: Final = re.compile(r" (?=[−<>≥≤±]?\d)")
_FIGURE: Final = re.compile(r"(?P<name>.*[^\W\d].*?) (?P<figure>[−<>≥≤±]?\d.*)")
_JOINT: Final = re.compile(r"[.!?;] ")
_STOP: Final = re.compile(r"[.!?;]")
_WORD: Final = re.compile(r"[a-z]{3}|[A-Z][a-z]{2}")
_NUMBER: Final = re.compile(r"(?<![\d.])(\d+)\.(?=\d+(?!\.?\d))")
"""The point of a number; those of a clause such as 8.3.2 stay."""


class Phrases:
    """Sentences with places in them, and what they are in another language."""

    def __init__(self, known: Mapping[str, str], decimal: str = ".") -> None:
        self._decimal = decimal
        own_numbers = {text: _with_sign(own, decimal) for text, own in known.items()}
        self._whole = {text: own for text, own in own_numbers.items() if not _PLACE.search(text)}
        made = [(text, own) for text, own in own_numbers.items() if _PLACE.search(text)]
        made.sort(key=lambda pair: -len(_PLACE.sub("", pair[0])))
        self._made = [(max(_PLACE.split(text)[::2], key=len), text, own) for text, own in made]
        self._listed: dict[str, list[str]] = {}
        for text in self._whole:
            head, comma, tail = text.rpartition(", ")
            if comma and text.count(" ") <= 4:
                self._listed.setdefault(tail, []).append(head)
        self._names: frozenset[str] = frozenset()
        self._stopped: tuple[str, ...] = ()
        self._found: dict[str, str | None] = {}

    def keep(self, names: Iterable[str]) -> None:
        """Names that somebody gave: they stay as they are, whatever they look like."""
        wanted = frozenset(names)
        if wanted != self._names:
            self._names = wanted
            self._stopped = tuple(name for name in wanted if _STOP.search(name))
            self._found = {}

    def keeping(self, names: Iterable[str]) -> "Phrases":
        """The same sentences beside, leaving these names as they are."""
        beside = copy(self)
        beside.keep(names)
        return beside

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
        if text.strip("“”") in self._names or text in SYMBOLS:
            return text
        name, colon, about = text.partition(": ")
        if colon and name in self._names:
            return f"{name}: {self.said(about)}"
        if text in self._whole:
            return self._whole[text]
        other = text[:1].swapcase() + text[1:]
        if other in self._whole:
            own = self._whole[other]
            # a noun keeps its capital where the language writes nouns so
            return _capital(own) if text[:1].isupper() else own
        if f"{text}." in self._whole:
            return self._whole[f"{text}."].removesuffix(".")
        if f" {text}" in self._whole:
            return self._whole[f" {text}"].strip()
        matches = [*self._matches(text, other if text[:1].isupper() else "")]
        for fits in (self._plainly, self._to_the_end):
            for own, parts in matches:
                if fits([*parts.values()], text):
                    return self._filled(own, parts, text)
        figures = self._figures(text)
        if figures is not None:
            return figures
        for own, parts in matches:
            if self._of_one_sentence([*parts.values()]):
                return self._filled(own, parts, text)
        joined = self._joined(text) or self._with_figure(text)
        if joined is None and matches:
            joined = self._filled(*matches[0], text)
        return joined

    def _plainly(self, parts: Sequence[str], text: str) -> bool:
        """Whether no place has two sentences, and what stands in each is settled."""
        return self._of_one_sentence(parts) and all(map(self._settled, parts))

    def _to_the_end(self, parts: Sequence[str], text: str) -> bool:
        """The same, but a place at the end of the text may go on for several sentences."""
        ends = text.endswith(parts[-1]) and self._of_one_sentence(parts[:-1])
        return ends and all(map(self._settled, parts))

    def _of_one_sentence(self, parts: Sequence[str]) -> bool:
        """Whether no part goes on after a full stop; one in somebody's name is none."""
        for part in parts:
            for name in self._stopped:
                part = part.replace(name, "")
            if _JOINT.search(part):
                return False
        return True

    def _settled(self, part: str) -> bool:
        """Whether what stands in a place is known, a name, or has no words to be known."""
        return part.strip("“”") in self._names or not _WORD.search(part) or bool(self._part(part))

    def _matches(self, text: str, other: str) -> Iterator[tuple[str, dict[str, str]]]:
        """Every known sentence that the text, or `other`, can be made from, the plainest first."""
        for longest, form, own in self._made:
            for each in (text, other):
                match = pattern(form).fullmatch(each) if longest in each else None
                if match is None:
                    continue
                parts = match.groupdict()
                if form not in _OF_NAMES or all(map(self._is_name, parts.values())):
                    yield own, parts

    def _is_name(self, part: str) -> bool:
        known = part in self._names or part in self._whole
        return known or _UNNAMED.fullmatch(part) is not None

    def _figures(self, text: str) -> str | None:
        """A list of known names, each with its figure, or of figures: “Out 1.5 mm², 5 m”."""
        pieces = self._whole_names(_COMMA.split(text))
        if len(pieces) < 3 or _JOINT.search(text):
            return None
        own = [self._figure(part) for part in pieces[::2]]
        if None in own:
            return None
        pieces[::2] = [part or "" for part in own]
        return "".join(pieces)

    def _figure(self, text: str) -> str | None:
        if not _WORD.search(text):
            return self._numbers(text)
        if text[:1].isdigit():
            return self.find(text)
        known = self._whole.get(text) or self._named_figure(text)
        return known or self._named_word(text)

    def _joined(self, text: str) -> str | None:
        """Several sentences, or parts of one, each in the language where it is known."""
        for joint, all_known in _JOINTS:
            pieces = joint.split(text)
            parts = pieces[::2]
            if len(parts) < 2:
                continue
            if joint is _COMMA:
                pieces = self._whole_names(pieces)
                parts = pieces[::2]
            own = [self._part(part) for part in parts]
            known = [each is not None for each in own]
            plain = [not _WORD.search(part) for part in parts]
            if any(known) and (not all_known or all(map(or_, known, plain))):
                pieces[::2] = [
                    self._numbers(part) if each is None else each
                    for each, part in zip(own, parts, strict=True)
                ]
                pieces[1::2] = [self._whole.get(each, each) for each in pieces[1::2]]
                return "".join(pieces)
        return None

    def _whole_names(self, pieces: list[str]) -> list[str]:
        """Parts of a list, those put together again that are one name: “Relay coil, 86 to 85”."""
        found = pieces[:1]
        for joint, part in zip(pieces[1::2], pieces[2::2], strict=True):
            both = f"{found[-1]}{joint}{part}"
            if len(pieces) > 3 and self._is_one_name(found[-1], part, both):
                found[-1] = both
            else:
                found += [joint, part]
        return found

    def _is_one_name(self, before: str, part: str, both: str) -> bool:
        named = any(before.endswith(head) for head in self._listed.get(part, ()))
        return named or self._named_figure(both, len(before)) is not None

    def _named_figure(self, text: str, least: int = 0) -> str | None:
        """A known name of more than `least` signs with a figure after it."""
        for space in _BEFORE_FIGURE.finditer(text, least):
            name, figure = text[: space.start()], text[space.end() :]
            if name in self._whole:
                return f"{self._whole[name]} {self.said(figure)}"
        return None

    def _named_word(self, text: str) -> str | None:
        """A known name with a known word for a figure: “Back by the body”."""
        for space in re.finditer(" ", text):
            name, word = text[: space.start()], text[space.end() :]
            if name in self._whole and word in self._whole:
                return f"{self._whole[name]} {self._whole[word]}"
        return None

    def _with_figure(self, text: str) -> str | None:
        """A known name with a figure after it: “Thinnest cable 0.5 mm²”."""
        known = self._named_figure(text)
        if known is not None:
            return known
        match = _FIGURE.fullmatch(text)
        name = self.find(match["name"]) if match is not None else None
        return None if match is None or name is None else f"{name} {self.said(match['figure'])}"

    def _part(self, text: str) -> str | None:
        """A part whose full stop may have gone to the joint, or stays where the list has none."""
        found = self.find(text)
        if found is None and text.endswith("."):
            bare = self.find(text[:-1])
            return bare and f"{bare}."
        if found is None and not text.endswith("."):
            stopped = self.find(f"{text}.")
            return stopped and stopped.removesuffix(".")
        return found

    def _filled(self, own: str, parts: Mapping[str, str], text: str) -> str:
        """The sentence with its places filled, a capital in front where `text` has one."""
        inner = {name: self._part(part) or self._numbers(part) for name, part in parts.items()}
        made = fill(own, inner)
        return _capital(made) if text[:1].isupper() else made

    def _numbers(self, text: str) -> str:
        return _with_sign(text, self._decimal)


def _with_sign(text: str, decimal: str) -> str:
    """A text whose numbers have this decimal sign."""
    return text if decimal == "." else _NUMBER.sub(rf"\1{decimal}", text)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def fill(text: str, parts: Mapping[str, str]) -> str:
    """A text with its places filled in; a place that has no part stays.

    >>> fill("{a} of {b}", {"a": "1", "c": "2"})
    '1 of {b}'
    """
    return _PLACE.sub(lambda match: parts.get(match[1], match[0]), text)


@cache
def pattern(text: str) -> re.Pattern[str]:
    """What matches a sentence made from a text with places in braces.

    >>> pattern("{a} > {b}").fullmatch("2 A > 1 A")["b"]
    '1 A'
    >>> pattern("{a} after locking{b}").fullmatch("2 min after locking")["b"]
    ''
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
            # what hangs on a word without a space may be left out
            some = "*" if parts[index - 1][-1:].isalpha() else "+"
            # of two places side by side the second has the space before a unit
            lazy = "" if parts[index + 1] == "" and index + 2 < len(parts) else "?"
            made.append(f"(?P<{part}>.{some}{lazy})")
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
