"""Texts and amounts as values: what is to be said, before anybody decides in which words.

A `Text` is an English template with named places and what stands in them: amounts, other texts,
lists, and names that people gave. It is made where something is found out and becomes words once,
where it is shown: a `Style` gives it in a language and in the user's units, `str()` in English and
metric ones. A name is a plain `str` and is never translated. No Qt.

>>> found = say("{load} > {limit} on {slot}", load=Amount(12.5, "A"), limit=Amount(10, "A"),
...             slot="F4 Radio")
>>> str(found).replace(NARROW_SPACE, " ")
'12.5 A > 10 A on F4 Radio'
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import isfinite
from typing import Final, Literal, Protocol, Union

from fusemap import catalogues, units
from fusemap.catalogues import Forms, Joint, Messages
from fusemap.units import FEET_PER_METRE, NARROW_SPACE

__all__ = [
    "ENGLISH",
    "NARROW_SPACE",
    "NOTHING",
    "Amount",
    "Argument",
    "Duration",
    "Listing",
    "Section",
    "Shown",
    "Style",
    "Text",
    "Words",
    "given",
    "in_row",
    "many",
    "one_of",
    "rise",
    "run_on",
    "say",
    "say_in",
    "share",
]

Case = Literal["", "capital", "small"]


class Shown(Protocol):
    """A value that a style can make words of."""

    def shown(self, style: "Style") -> str:
        """The words."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A figure with its unit, in SI, mm² and °C; a share of one in `%`.

    A `difference` of temperatures is not a temperature: 80 K are 144 °F, 80 °C are 176 °F. An
    `exact` figure is shown with the digits it was given, never in thousandths, and with three
    where its unit is not the reader's; any other with so many `significant` ones, small currents
    and voltages in thousandths.
    """

    value: float
    unit: str = ""
    kind: Literal["point", "difference"] = "point"
    significant: int = 3
    exact: bool = False

    def shown(self, style: "Style") -> str:
        """The figure in the style's units."""
        return style.amount(self)

    def __str__(self) -> str:
        return ENGLISH.amount(self)


@dataclass(frozen=True, slots=True)
class Section:
    """The cross-section of a conductor [mm²]."""

    area_mm2: float

    def shown(self, style: "Style") -> str:
        """Both gauges, the reader's own first."""
        return style.section(self.area_mm2)


@dataclass(frozen=True, slots=True)
class Duration:
    """A time [h], shown in minutes, hours or days as fits.

    Of several that are compared, all are in the unit that the `longest` is in [h].
    """

    hours: float
    longest: float | None = None

    def shown(self, style: "Style") -> str:
        """The time in words."""
        return style.duration(self.hours, self.longest)


@dataclass(frozen=True, slots=True)
class Listing:
    """Several things in a row, joined as the language does."""

    parts: "tuple[Argument, ...]"
    joint: Joint = "and"

    def shown(self, style: "Style") -> str:
        """The things in a row."""
        return style.listing([style.show(part) for part in self.parts], self.joint)


Argument = Union[str, int, float, "Text", Shown]
"""What may stand in a place of a text; a `str` is a name and stays as it is."""

Words = Union["Text", str]
"""A text, or a name that somebody gave: a plain `str` is in no language."""


class Text:
    """An English template and what stands in its places.

    Equal to another text, or to a `str`, that reads the same in English. `context` tells apart what
    is one word in English and two elsewhere; `others` and `count` are the form for more than one
    thing. One that is `bare` has no words of its own, only places.
    """

    __slots__ = ("_english", "bare", "case", "context", "count", "others", "parts", "template")

    def __init__(
        self,
        template: str,
        parts: Mapping[str, Argument] | None = None,
        *,
        context: str = "",
        others: str = "",
        count: int = 1,
        case: Case = "",
        bare: bool = False,
    ) -> None:
        self.template: Final = template
        self.parts: Final[Mapping[str, Argument]] = parts or {}
        self.context: Final = context
        self.others: Final = others
        self.count: Final = count
        self.case: Final[Case] = case
        self.bare: Final = bare
        self._english: str | None = None

    def shown(self, style: "Style") -> str:
        """The text in the style's words."""
        return style.text(self)

    def capital(self) -> "Text":
        """The same at the start of a sentence."""
        return self._cased("capital")

    def small(self) -> "Text":
        """The same inside a sentence; where nouns keep their capital there, as it is."""
        return self._cased("small")

    def with_names(self, change: Callable[[str], str]) -> "Text":
        """The same with every name in it changed, in the texts and rows inside it, too."""
        return self._made(_with_names(self.parts, change), self.case)

    def _cased(self, case: Case) -> "Text":
        return self._made(self.parts, case)

    def _made(self, parts: Mapping[str, Argument], case: Case) -> "Text":
        return Text(
            self.template,
            parts,
            context=self.context,
            others=self.others,
            count=self.count,
            case=case,
            bare=self.bare,
        )

    def __str__(self) -> str:
        if self._english is None:
            self._english = ENGLISH.text(self)
        return self._english

    def __format__(self, form: str) -> str:
        return format(str(self), form)

    def __repr__(self) -> str:
        return f"Text({str(self)!r})"

    def __eq__(self, other: object) -> bool:
        return str(self) == str(other) if isinstance(other, Text | str) else NotImplemented

    def __hash__(self) -> int:
        return hash(str(self))

    def __bool__(self) -> bool:
        return bool(self.template)

    def __contains__(self, part: str) -> bool:
        return part in str(self)


def _with_names(parts: Mapping[str, Argument], change: Callable[[str], str]) -> dict[str, Argument]:
    return {place: _with_name(part, change) for place, part in parts.items()}


def _with_name(part: Argument, change: Callable[[str], str]) -> Argument:
    if isinstance(part, str):
        return change(part)
    if isinstance(part, Text):
        return part.with_names(change)
    if isinstance(part, Listing):
        return Listing(tuple(_with_name(each, change) for each in part.parts), part.joint)
    return part


NOTHING: Final = Text("", bare=True)
"""A text that says nothing; it is false."""


def say(template: str, /, **parts: Argument) -> Text:
    """A text of an English template; the template is looked up as it stands here."""
    return Text(template, parts)


def say_in(context: str, template: str, /, **parts: Argument) -> Text:
    """A text whose English is another word in another context: “min”, the unit and the heading."""
    return Text(template, parts, context=context)


def many(one: str, others: str, count: float, /, **parts: Argument) -> Text:
    """A text about `count` things, which stand at its place {n}; one and a half are more than one.

    >>> str(many("{n} slot", "{n} slots", 1)), str(many("{n} slot", "{n} slots", 3))
    ('1 slot', '3 slots')
    """
    whole = int(count) if count == int(count) else 2
    return Text(one, {"n": count, **parts}, others=others, count=whole)


def run_on(*texts: Argument, between: str = " ") -> Text:
    """Several texts one behind the other; those without words are left out.

    >>> str(run_on(say("It holds."), "", say("Measure F4.")))
    'It holds. Measure F4.'
    """
    kept = [text for text in texts if not isinstance(text, Text | str) or text]
    places = between.join(f"{{p{index}}}" for index in range(len(kept)))
    return Text(places, {f"p{index}": text for index, text in enumerate(kept)}, bare=True)


def in_row(parts: Iterable[Argument], joint: Joint = "comma") -> Text:
    """Several things in a row, by commas, or the last with “and”.

    >>> str(in_row(["F1", "F2", "F3"])), str(in_row(["F1", "F2"], "and"))
    ('F1, F2, F3', 'F1 and F2')
    """
    return Text("{all}", {"all": Listing(tuple(parts), joint)}, bare=True)


def one_of(parts: Iterable[Argument]) -> Text:
    """Several things of which one is meant.

    >>> str(one_of(["mini", "maxi"]))
    'mini or maxi'
    """
    return in_row(parts, "or")


def given(value: float, unit: str = "") -> Amount:
    """A figure as somebody gave it, or as a table has it.

    >>> str(given(0.05, "A")).replace(NARROW_SPACE, " ")
    '0.05 A'
    """
    return Amount(value, unit, exact=True)


def share(value: float) -> Amount:
    """A share of one as whole per cent.

    >>> str(share(0.755)).replace(NARROW_SPACE, " ")
    '76 %'
    """
    return Amount(value, "%")


def rise(value: float, significant: int = 3) -> Amount:
    """A difference of two temperatures [K]."""
    return Amount(value, "°C", "difference", significant)


_EARTH: Final = re.compile(r"\b([Ee])arth(ed|ing|s)?\b")


def ground_words(text: str) -> str:
    """A text with “ground” for “earth”. Both are the trade's own: British and American English.

    >>> ground_words("Earth point: earth the accessory here, not on the unearthed bracket")
    'Ground point: ground the accessory here, not on the unearthed bracket'
    """
    return _EARTH.sub(lambda m: ("G" if m[1] == "E" else "g") + "round" + (m[2] or ""), text)


@dataclass(frozen=True)
class Style:
    """How values become words: a language, and the units somebody wants to see.

    `section` is the gauge that is named first, `ground` says ground for earth in English.

    >>> german = Style("de", temperature="°F")
    >>> german.show(Amount(2.5, "A")), german.show(rise(80)), german.show(Amount(80, "°C"))
    ('2,5\u202fA', '144\u202f°F', '176\u202f°F')
    """

    language: str = "en"
    length: Literal["m", "ft"] = "m"
    temperature: Literal["°C", "°F"] = "°C"
    section_unit: Literal["mm²", "AWG"] = "mm²"
    ground: bool = False

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

    def text(self, text: Text) -> str:
        """A text in the language."""
        template = text.template if text.bare else self._template(text)
        shown = template
        if text.parts:
            shown = template.format_map(
                {name: self.show(each) for name, each in text.parts.items()}
            )
        if text.case == "capital":
            return shown[:1].upper() + shown[1:]
        if text.case == "small" and not self.forms.nouns_are_capital:
            return shown[:1].lower() + shown[1:]
        return shown

    def _template(self, text: Text) -> str:
        if text.others:
            found = self._messages.plural(text.template, text.others, text.count)
        else:
            found = self._messages.single(text.template, text.context)
        return ground_words(found) if self.ground and self.language == "en" else found

    # --- figures --------------------------------------------------------------------------------

    def decimal(self, text: str) -> str:
        """A number's text with the decimal sign of the language."""
        return text if self.forms.decimal == "." else text.replace(".", self.forms.decimal)

    def number(self, value: float, significant: int = 6) -> str:
        """A bare number, with as many significant digits as it has, up to so many."""
        return self.decimal(units.digits(value, significant))

    def unit(self, unit: str) -> str:
        """The unit that a figure in this unit is shown in."""
        return {"m": self.length, "°C": self.temperature}.get(unit, unit)

    def unit_name(self, unit: str) -> str:
        """The unit that a figure in this unit is shown in, as it is written behind the figure."""
        return self._unit_word(self.unit(unit))

    def in_unit(self, value: float, unit: str, kind: str = "point") -> float:
        """A figure in the unit that it is shown in.

        Source of the foot: 0.3048 m exactly (ISO 80000-3).

        >>> Style(temperature="°F").in_unit(80.0, "°C", "difference")
        144.0
        """
        shown = self.unit(unit)
        if shown == "ft":
            return value * FEET_PER_METRE
        if shown == "°F":
            if kind == "difference":
                return units.fahrenheit_degrees(value)
            return units.fahrenheit(value)
        return value

    def amount(self, amount: Amount) -> str:
        """A figure with its unit."""
        if amount.unit == "%":
            return self.decimal(units.percent(amount.value))
        if amount.unit == "mm²" and self.section_unit == "AWG":
            return self.section(amount.value)
        value = self.in_unit(amount.value, amount.unit, amount.kind)
        unit = self.unit(amount.unit)
        if not unit:
            return self.number(value, 6 if amount.exact else amount.significant)
        if amount.exact:
            # a figure in another unit than it was given in has no digits of its own any more
            digits = 6 if unit == amount.unit else 3
            return f"{self.number(value, digits)}{NARROW_SPACE}{self._unit_word(unit)}"
        return self.decimal(units.quantity(value, self._unit_word(unit), amount.significant))

    def _unit_word(self, unit: str) -> str:
        """A unit's sign, or its word where it is one: “× rating”."""
        return self.show(UNIT_WORDS[unit]) if unit in UNIT_WORDS else unit

    def section(self, area_mm2: float) -> str:
        """A conductor's section with both gauges, the reader's own first: one that can be bought.

        >>> Style().section(1.5).replace(NARROW_SPACE, " ")
        '1.5 mm² (about AWG 15)'
        >>> Style(section_unit="AWG").section(1.5).replace(NARROW_SPACE, " ")
        'AWG 14 (≥ 1.5 mm²)'
        """
        area = f"{self.number(area_mm2)}{NARROW_SPACE}mm²"
        if self.section_unit == "AWG":
            sold = units.sold_gauge(area_mm2)
            return area if sold is None else f"AWG{NARROW_SPACE}{sold} (≥ {area})"
        gauge = f"AWG{NARROW_SPACE}{units.gauge_name(area_mm2)}"
        return self.show(say("{area} (about {gauge})", area=area, gauge=gauge))

    def duration(self, hours: float, longest: float | None = None) -> str:
        """A time in words: minutes under two hours, hours under two days, else days.

        Of several that are compared, all are in the unit that the `longest` is in [h].

        >>> Style().duration(0.5), Style().duration(30), Style().duration(84)
        ('30 minutes', '30 hours', '3.5 days')
        >>> Style().duration(1.4, longest=20), Style().duration(5, longest=240)
        ('1.4 hours', '0.21 days')
        """
        if not isfinite(hours):
            return self.show(say("longer than computed"))
        longest = hours if longest is None else longest
        if longest < 2:
            return self.show(many("{n} minute", "{n} minutes", round(hours * 60)))
        if longest < 48:
            return self.show(many("{n} hour", "{n} hours", _rounded(hours, 2)))
        return self.show(many("{n} day", "{n} days", _rounded(hours / 24, 10)))

    def listing(self, parts: Iterable[str], joint: Joint = "and") -> str:
        """Several things in a row, joined as the language does. Source: the language's CLDR rows.

        >>> Style().listing(["F1", "F2", "F3"])
        'F1, F2 and F3'
        """
        return self.forms.listing(tuple(parts), joint)


def _rounded(value: float, whole_from: float) -> float:
    """A number in whole ones from so many on, below to two significant digits."""
    return round(value) if value >= whole_from else float(units.digits(value, 2))


UNIT_WORDS: Final = {
    "× rating": say_in("unit", "× rating"),
    "days": say_in("unit", "days"),
    "years": say_in("unit", "years"),
}
"""Units that are words of a language; every other is a sign, the same in all."""

ENGLISH: Final = Style()
"""English in metric units: what `str()` gives, and the file and the log hold."""
