"""What the languages say: compiled catalogues, and how each writes numbers, days, dates and rows.

`resources/languages/<code>.po` is what translators edit, `<code>.mo` is made of it and read here;
`forms.json` is taken from the CLDR, the Unicode consortium's locale data. Both are made by
`resources/languages/catalogue.py`. In: the code of a language. Out: its words. No Qt.
"""

import json
import re
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from gettext import GNUTranslations
from importlib.resources import files
from typing import Final, Literal, Protocol

from msgspec import Struct

PACKAGE: Final = "fusemap.resources.languages"
LANGUAGES: Final[Mapping[str, str]] = {
    "en": "English",
    "de": "Deutsch",
    "es": "Español",
    "fr": "Français",
    "nl": "Nederlands",
}
"""The languages there are, by code, each in its own words."""

Joint = Literal["and", "or", "comma"]

_FIELD: Final = re.compile(r"'([^']*)'|d+|E+|M+|y+|H+|m+")


class Messages(Protocol):
    """The texts of one language by their English."""

    def single(self, text: str, context: str = "") -> str:
        """A text in the language; its English where there is none."""

    def plural(self, one: str, others: str, count: int) -> str:
        """The form for so many things."""

    def knows(self, text: str, context: str = "") -> bool:
        """Whether there is a text for it."""


class English:
    """The texts as they are written."""

    def single(self, text: str, context: str = "") -> str:
        """The text itself."""
        return text

    def plural(self, one: str, others: str, count: int) -> str:
        """The form for one, or for others."""
        return one if count == 1 else others

    def knows(self, text: str, context: str = "") -> bool:
        """Whether there is a text for it: always."""
        return True


class Compiled:
    """The texts of a compiled catalogue."""

    def __init__(self, catalogue: GNUTranslations) -> None:
        self._catalogue = catalogue
        # the standard library offers no way to ask whether a text is there
        self._texts: Mapping[object, str] = catalogue._catalog  # type: ignore[attr-defined]

    def single(self, text: str, context: str = "") -> str:
        """A text in the language; its English where there is none."""
        if context:
            return self._catalogue.pgettext(context, text)
        # the catalogue keeps its own heading under the empty text
        return self._catalogue.gettext(text) if text else ""

    def plural(self, one: str, others: str, count: int) -> str:
        """The form for so many things, by the language's own rule."""
        return self._catalogue.ngettext(one, others, count)

    def knows(self, text: str, context: str = "") -> bool:
        """Whether there is a text for it."""
        key = f"{context}\x04{text}" if context else text
        return key in self._texts or (key, 0) in self._texts


class Forms(Struct, frozen=True):
    """How a language writes numbers, weekdays, dates and rows; `weekdays` start on Monday.

    Source: Unicode CLDR, locales en-GB, de, es, fr, nl.
    """

    decimal: str
    nouns_are_capital: bool
    weekdays: tuple[str, ...]
    weekdays_short: tuple[str, ...]
    months_short: tuple[str, ...]
    date: str
    time: str
    pairs: Mapping[str, str]
    ends: Mapping[str, str]

    def listing(self, parts: tuple[str, ...], joint: Joint) -> str:
        """Several things in a row."""
        if joint == "comma" or len(parts) < 2:
            return ", ".join(parts)
        if len(parts) == 2:
            return self.pairs[joint].format(*parts)
        return self.ends[joint].format(", ".join(parts[:-1]), parts[-1])

    def day(self, when: datetime) -> str:
        """A date, in the order the language has: “9 May 2026”, “09.05.2026”."""
        return self._written(self.date, when)

    def moment(self, when: datetime) -> str:
        """A date and a time of the day."""
        return f"{self.day(when)}, {self._written(self.time, when)}"

    def noted(self, when: str) -> str:
        """A date, or a date and time, that was noted as in ISO 8601.

        >>> forms("de").noted("2025-05-17"), forms("en").noted("2025-05-17T18:30:05")
        ('17.05.2025', '17 May 2025, 18:30')
        """
        moment = datetime.fromisoformat(when)
        return self.moment(moment) if len(when) > len("2025-05-17") else self.day(moment)

    def _written(self, pattern: str, when: datetime) -> str:
        def field(match: re.Match[str]) -> str:
            sign, width = match[0][0], len(match[0])
            if sign == "M" and width > 2:
                return self.months_short[when.month - 1]
            number = {"d": when.day, "M": when.month, "y": when.year, "H": when.hour}
            return (match[1] or "") if sign == "'" else f"{number.get(sign, when.minute):0{width}}"

        return _FIELD.sub(field, pattern)


@cache
def forms(code: str) -> Forms:
    """How a language writes numbers, days and rows."""
    text = files(PACKAGE).joinpath("forms.json").read_text(encoding="utf-8")
    found = json.loads(text)[code]
    rows = ("weekdays", "weekdays_short", "months_short")
    return Forms(**{**found, **{row: tuple(found[row]) for row in rows}})


@cache
def messages(code: str) -> Messages:
    """The texts of a language, read when they are first asked for."""
    if code == "en":
        return English()
    with files(PACKAGE).joinpath(f"{code}.mo").open("rb") as file:
        return Compiled(GNUTranslations(file))
