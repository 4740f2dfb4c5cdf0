"""The language and the units of a sheet, chosen apart from the screen's.

In: a language's code (“en”, “de” …) and a system of units. Out: texts by key from
`resources/languages/sheet_*.json`, and numbers with their units: mm² or AWG first, metres or feet,
°C or °F, decimal comma where the language has one. Numbers come in SI, mm² and °C; they are shaped
by `fusemap.units` and never computed here but for the unit. No Qt.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache, cached_property
from math import isfinite
from typing import Final, Literal, get_args

from fusemap import tables
from fusemap.electrics.cable import awg_name, nearest_awg
from fusemap.errors import InputProblem
from fusemap.phrases import Phrases, fill, read
from fusemap.sheet.content import Figure
from fusemap.text import Style, Text
from fusemap.units import FEET_PER_METRE, NARROW_SPACE, digits, duration, fahrenheit, quantity
from fusemap.vehicle import Cable

Units = Literal["metric", "us"]
UNITS: Final[tuple[Units, ...]] = get_args(Units)

LANGUAGES: Final[Mapping[str, str]] = {
    "en": "English",
    "de": "Deutsch",
    "es": "Español",
    "fr": "Français",
    "nl": "Nederlands",
}
"""The languages there are, by code, each in its own words."""

LEFT_TO_RIGHT_MARK: Final = "\u200e"
_EARTH: Final = re.compile(r"\b([Ee])arth(ed|ing|s)?\b")
_DECIMAL: Final = re.compile(r"(?<=\d)\.(?=\d)")
_NUMBER: Final = r"(−?\d+(?:[.,]\d+)?)"
_CELSIUS: Final = re.compile(_NUMBER + r"[ \u202f]°C")
_METRES: Final = re.compile(_NUMBER + r"[ \u202f]m(?=[,;.)]|$)")
_GAUGES: Final = re.compile(r"([\d.,]+)([ \u202f]mm²) \((?:\w+ )?AWG[ \u202f][\d/]+\)")


@dataclass(frozen=True)
class Language:
    """Texts and numbers of one language. `ground` says ground for earth in English."""

    code: str
    units: Units
    ground: bool
    texts: Mapping[str, str]
    phrases: Phrases

    @cached_property
    def style(self) -> Style:
        """The same for texts that are values."""
        if self.units == "us":
            return Style(self.code, "ft", "°F", "AWG", self.ground)
        return Style(self.code, ground=self.ground)

    # --- texts ----------------------------------------------------------------------------------

    def text(self, key: str, **parts: str) -> str:
        """The text of a key, its places filled in."""
        return fill(self.grounded(self.texts[key]), parts)

    def has(self, key: str) -> bool:
        """Whether there is a text of this key."""
        return key in self.texts

    def known(self, key: str, otherwise: str) -> str:
        """The text of a key, or the words the tables have where there is none."""
        said = self.text(key) if key in self.texts else self.grounded(otherwise)
        return self.in_units(said)

    def grounded(self, text: str) -> str:
        """A text with ground for earth, if that is the word wanted."""
        if not self.ground:
            return text
        return _EARTH.sub(lambda m: ("G" if m[1] == "E" else "g") + "round" + (m[2] or ""), text)

    def phrase(self, english: Text | str) -> str:
        """A sentence of the checks in this language and units; English where it is not known."""
        if isinstance(english, Text):
            return self.style.show(english)
        return self.in_units(self.phrases.said(self.grounded(english)))

    def in_units(self, text: str) -> str:
        """A sentence made elsewhere, with its lengths, gauges and temperatures in these units."""
        if self.units != "us":
            return text
        text = _CELSIUS.sub(lambda m: self._amount(_value(m[1]), "°C", 3), text)
        text = _METRES.sub(lambda m: self._amount(_value(m[1]), "m", 3), text)
        return _GAUGES.sub(lambda m: self._gauge(_value(m[1]), m[1] + m[2]), text)

    # --- numbers --------------------------------------------------------------------------------

    def decimal(self, text: str) -> str:
        """A text whose numbers have this language's decimal sign."""
        return text if self.texts["decimal"] == "." else _DECIMAL.sub(",", text)

    def number(self, value: float, significant: int = 3) -> str:
        """A bare number."""
        return self.decimal(digits(value, significant))

    def figure(self, value: float, unit: str, significant: int = 3) -> Figure:
        """A number with its unit as it is printed; nothing is known where it is infinite."""
        return Figure(value, unit, self._amount(value, unit, significant))

    def _amount(self, value: float, unit: str, significant: int) -> str:
        if not isfinite(value):
            return self.texts["no_limit"]
        if not unit:
            return self.number(value, significant)
        if self.units == "us" and unit == "°C":
            value, unit = fahrenheit(value), "°F"
        elif self.units == "us" and unit == "m":
            value, unit = value * FEET_PER_METRE, "ft"
        elif unit == "%":
            return self.decimal(f"{value * 100:.0f}{NARROW_SPACE}%")
        elif unit == "× rating":
            return self.decimal(f"{digits(value, significant)}{NARROW_SPACE}×")
        return self.decimal(quantity(value, unit, significant))

    def rating(self, value: float) -> str:
        """A fuse's rating."""
        return self.decimal(f"{value:g}{NARROW_SPACE}A")

    def section(self, area_mm2: float) -> str:
        """A cable's section with both gauges, the reader's own first: one that can be bought.

        >>> language("en").section(1.5).replace(NARROW_SPACE, " ")
        '1.5 mm² (about AWG 15)'
        >>> language("en", "us").section(1.5).replace(NARROW_SPACE, " ")
        'AWG 14 (≥ 1.5 mm²)'
        """
        area = self.decimal(f"{area_mm2:g}{NARROW_SPACE}mm²")
        if self.units == "us":
            return self._gauge(area_mm2, area)
        gauge = f"AWG{NARROW_SPACE}{awg_name(int(nearest_awg(area_mm2)))}"
        return f"{area} ({self.text('about', what=gauge)})"

    def _gauge(self, area_mm2: float, area: str) -> str:
        """The gauge that is sold with at least this copper, and the section it stands for."""
        gauge = tables.traded_gauge(area_mm2)
        return area if gauge is None else f"AWG{NARROW_SPACE}{gauge.awg} (≥ {area})"

    def length(self, metres: float) -> str:
        """A length in metres or feet."""
        return self._amount(metres, "m", 3)

    def cable(self, cable: Cable) -> str:
        """A cable: section, insulation, length, colour."""
        parts = [self.section(cable.section_mm2), cable.insulation.upper().replace("_", " ")]
        parts += [self.length(cable.length_m), self.colour(cable.colour)]
        return ", ".join(part for part in parts if part)

    def colour(self, typed: str) -> str:
        """A cable's colour, its words in the language where they are a standard's: “red/black”.

        >>> language("de").colour("red/black"), language("de").colour("teal")
        ('rot/schwarz', 'teal')
        """
        words = named(typed).split("/")
        return "/".join(self.known(f"colour.{word.strip().lower()}", word) for word in words)

    def moment(self, iso: str) -> str:
        """A day, with hour and minute where it has them, as the language writes days.

        >>> language("de").moment("2026-05-09T17:52:00"), language("en").moment("last spring")
        ('09.05.2026 17:52', 'last spring')
        """
        try:
            when = datetime.fromisoformat(iso)
        except ValueError:
            return named(iso)
        day = self.text("day", year=f"{when:%Y}", month=f"{when:%m}", day=f"{when:%d}")
        return f"{day} {when:%H:%M}" if "T" in iso or ":" in iso else day

    def duration(self, hours: float) -> str:
        """A time in words, rounded as on the screen.

        >>> language("de").duration(84)
        '3,5 Tage'
        """
        said = duration(hours)
        number, space, word = said.partition(" ")
        if not number[:1].isdigit() or not space:
            return self.text("longer")
        return f"{self.decimal(number)} {self.text(f'time.{word}')}"

    def listed(self, parts: tuple[str, ...]) -> str:
        """Several things in a row."""
        return ", ".join(parts)


def _value(text: str) -> float:
    return float(text.replace("−", "-").replace(",", "."))


def named(text: str) -> str:
    """A text that somebody typed, made safe for a line of print.

    Line breaks become spaces, signs that turn the reading direction are left out, and a text with
    letters read from the right is closed off, so that figures after it stay in their order.

    >>> named("Dash\\ncam \\u202e")
    'Dash cam'
    """
    kept = "".join(_safe(sign) for sign in text)
    whole = " ".join(kept.split())
    if any(unicodedata.bidirectional(sign) in ("R", "AL") for sign in whole):
        return f"{LEFT_TO_RIGHT_MARK}{whole}{LEFT_TO_RIGHT_MARK}"
    return whole


def _safe(sign: str) -> str:
    kind = unicodedata.category(sign)
    if kind in ("Cc", "Zl", "Zp"):
        return " "
    # joiners shape Arabic and Indic letters; every other invisible sign can only mislead
    return "" if kind in ("Cf", "Cs") and sign not in "\u200c\u200d" else sign


@cache
def language(code: str, units: Units = "metric", ground: bool = False) -> Language:
    """A language by its code. Raises `InputProblem` for one that is not there."""
    if code not in LANGUAGES:
        known = ", ".join(LANGUAGES)
        raise InputProblem(f"there is no language “{code}”", "language", f"one of: {known}")
    if units not in UNITS:
        raise InputProblem(f"there are no units “{units}”", "units", f"one of: {', '.join(UNITS)}")
    texts = read(f"sheet_{code}.json")
    phrases = Phrases(read(f"words_{code}.json"), texts["decimal"])
    return Language(code, units, ground and code == "en", texts, phrases)
