"""How values become words: a language, and the units somebody wants to see.

What is said is made of values (`fusemap/text.py`): texts, amounts, names. Each knows what it is
made of and is `shown` by a `Style`, which has the language's catalogue and forms, and says in which
unit a figure is read. There is one for the screen, one for paper, one for the command line, and
`ENGLISH` in metric units for the file and the log. No Qt.
"""

import re
from collections.abc import Iterable
from functools import cached_property
from typing import Final, Literal, Protocol

from msgspec import Struct

from fusemap import catalogues, units
from fusemap.catalogues import Forms, Joint, Messages
from fusemap.units import FEET_PER_METRE

__all__ = ["ENGLISH", "Argument", "Shown", "Style", "ground_words"]


class Shown(Protocol):
    """A value that a style can make words of."""

    def shown(self, style: "Style") -> str:
        """The words."""


Argument = str | int | float | Shown
"""What can be shown, alone or in a place of a text; a `str` is a name and stays as it is."""


SPACED_COLON: Final = ("fr",)
"""Languages that write a space before a colon. Source: Imprimerie nationale, Lexique des règles
typographiques."""

_EARTH: Final = re.compile(r"\b([Ee])arth(ed|ing|s)?\b")


def ground_words(text: str) -> str:
    """A text with “ground” for “earth”. Both are the trade's own: British and American English.

    >>> ground_words("Earth point: earth the accessory here, not on the unearthed bracket")
    'Ground point: ground the accessory here, not on the unearthed bracket'
    """
    return _EARTH.sub(lambda m: ("G" if m[1] == "E" else "g") + "round" + (m[2] or ""), text)


class Style(Struct, frozen=True, dict=True):
    """A language with units; `section_unit` is the gauge that is named first.

    `ground` says ground for earth in English. `workshop` is how torques, small lengths and pulls
    are told: Nm, mm and N, or lbf·in, in and lbf; on paper alone, the window's forms have mm.

    >>> german = Style("de", temperature="°F")
    >>> german.number(2.5), german.in_unit(80.0, "°C"), german.unit("°C")
    ('2,5', 176.0, '°F')
    """

    language: str = "en"
    length: Literal["m", "ft"] = "m"
    temperature: Literal["°C", "°F"] = "°C"
    section_unit: Literal["mm²", "AWG"] = "mm²"
    ground: bool = False
    workshop: Literal["metric", "us"] = "metric"

    @cached_property
    def _messages(self) -> Messages:
        return catalogues.messages(self.language)

    @cached_property
    def forms(self) -> Forms:
        """The language's decimal sign, weekdays, dates and rows."""
        return catalogues.forms(self.language)

    def show(self, part: Argument) -> str:
        """A value in words; a name stays as it is.

        Raises `KeyError` for a text with a place that nothing stands in.
        """
        if isinstance(part, str):
            return part
        if isinstance(part, int | float):
            return self.number(part)
        return part.shown(self)

    def template(self, english: str, context: str = "", others: str = "", count: int = 1) -> str:
        """An English template in the language, its places still open.

        `context` tells apart what is one word in English; `others` is the form for more than one
        thing, of which there are `count`.
        """
        if others:
            found = self._messages.plural(english, others, count)
        else:
            found = self._messages.single(english, context)
        if found == english:
            found = self.spaced(found)
        return ground_words(found) if self.ground and self.language == "en" else found

    def spaced(self, template: str) -> str:
        """A template of places alone, with the space that the language has before a colon.

        >>> Style().spaced("{slot}: {what}"), Style("fr").spaced("{slot}: {what}")
        ('{slot}: {what}', '{slot}\xa0: {what}')
        """
        if self.language not in SPACED_COLON:
            return template
        return template.replace("}: ", "}\xa0: ")

    def listing(self, parts: Iterable[str], joint: Joint = "and") -> str:
        """Several things in a row, joined as the language does. Source: the language's CLDR rows.

        >>> Style().listing(["F1", "F2", "F3"])
        'F1, F2 and F3'
        """
        return self.forms.listing(tuple(parts), joint)

    # --- figures --------------------------------------------------------------------------------

    def decimal(self, text: str) -> str:
        """A number's text with the decimal sign of the language."""
        return text if self.forms.decimal == "." else text.replace(".", self.forms.decimal)

    def number(self, value: float, significant: int = 6) -> str:
        """A bare number, with as many significant digits as it has, up to so many."""
        return self.decimal(units.digits(value, significant))

    def unit(self, unit: str) -> str:
        """The unit that a figure in this unit is shown in."""
        shown: dict[str, str] = {"m": self.length, "°C": self.temperature}
        if self.workshop == "us":
            shown |= {unit: its[0] for unit, its in US_WORKSHOP.items()}
        return shown.get(unit, unit)

    def in_unit(self, value: float, unit: str, kind: str = "point") -> float:
        """A figure in the unit that it is shown in.

        Source of the foot: 0.3048 m exactly (ISO 80000-3).

        >>> Style(temperature="°F").in_unit(80.0, "°C", "difference")
        144.0
        """
        shown = self.unit(unit)
        if self.workshop == "us" and unit in US_WORKSHOP:
            return value * US_WORKSHOP[unit][1]
        if shown == "ft":
            return value * FEET_PER_METRE
        if shown == "°F":
            if kind == "difference":
                return units.fahrenheit_degrees(value)
            return units.fahrenheit(value)
        return value


US_WORKSHOP: Final = {
    "Nm": ("lbf·in", units.POUND_INCHES_PER_NM),
    "mm": ("in", units.INCHES_PER_MM),
    "N": ("lbf", units.POUNDS_PER_NEWTON),
}
"""What torques, small lengths and pulls are told in in a workshop of the United States, and how
many of these one is."""

ENGLISH: Final = Style()
"""English in metric units: what `str()` gives, and the file and the log hold."""
