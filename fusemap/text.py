"""Texts and amounts as values: what is to be said, before anybody decides in which words.

A `Text` is an English template with named places and what stands in them: amounts, other texts,
lists, and names that people gave. It is made where something is found out and becomes words once,
where it is shown: a `Style` (style.py) gives it in a language and in the user's units, `str()` in
English and metric ones. A name is a plain `str` and is never translated. No Qt.

>>> found = say("{load} > {limit} on {slot}", load=Amount(12.5, "A"), limit=Amount(10, "A"),
...             slot="F4 Radio")
>>> str(found).replace(NARROW_SPACE, " ")
'12.5 A > 10 A on F4 Radio'
"""

from collections.abc import Callable, Iterable, Mapping
from math import isfinite
from typing import Final, Literal, Union

from msgspec import Struct

from fusemap import units
from fusemap.catalogues import Joint
from fusemap.style import ENGLISH, Argument, Shown, Style
from fusemap.units import NARROW_SPACE

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
    "Unit",
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


class Amount(Struct, frozen=True):
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

    def shown(self, style: Style) -> str:
        """The figure in the style's units.

        >>> us = Style(temperature="°F")
        >>> us.show(Amount(80, "°C")), us.show(rise(80)), Style("de").show(Amount(2.5, "A"))
        ('176\u202f°F', '144\u202f°F', '2,5\u202fA')
        """
        if self.unit == "%":
            return style.decimal(units.percent(self.value))
        if self.unit == "mm²" and style.section_unit == "AWG":
            return Section(self.value).shown(style)
        value = style.in_unit(self.value, self.unit, self.kind)
        unit = style.unit(self.unit)
        if not unit:
            return style.number(value, 6 if self.exact else self.significant)
        name = Unit(self.unit).shown(style)
        if self.exact:
            # a figure in another unit than it was given in has no digits of its own any more
            return f"{style.number(value, 6 if unit == self.unit else 3)}{NARROW_SPACE}{name}"
        return style.decimal(units.quantity(value, name, self.significant))

    def __str__(self) -> str:
        return self.shown(ENGLISH)


class Section(Struct, frozen=True):
    """The cross-section of a conductor [mm²]."""

    area_mm2: float

    def shown(self, style: Style) -> str:
        """Both gauges, the reader's own first: one that can be bought.

        >>> Style().show(Section(1.5)).replace(NARROW_SPACE, " ")
        '1.5 mm² (about AWG 15)'
        >>> Style(section_unit="AWG").show(Section(1.5)).replace(NARROW_SPACE, " ")
        'AWG 14 (≥ 1.5 mm²)'
        """
        area = f"{style.number(self.area_mm2)}{NARROW_SPACE}mm²"
        if style.section_unit == "AWG":
            sold = units.sold_gauge(self.area_mm2)
            return area if sold is None else f"AWG{NARROW_SPACE}{sold} (≥ {area})"
        gauge = f"AWG{NARROW_SPACE}{units.gauge_name(self.area_mm2)}"
        return say("{area} (about {gauge})", area=area, gauge=gauge).shown(style)


class Duration(Struct, frozen=True):
    """A time [h]: minutes under two hours, hours under two days, else days.

    Of several that are compared, all are in the unit that the `longest` is in [h].

    >>> [Style().show(Duration(hours)) for hours in (0.5, 30, 84)]
    ['30 minutes', '30 hours', '3.5 days']
    >>> Style().show(Duration(1.4, longest=20)), Style().show(Duration(5, longest=240))
    ('1.4 hours', '0.21 days')
    """

    hours: float
    longest: float | None = None

    def shown(self, style: Style) -> str:
        """The time in words."""
        if not isfinite(self.hours):
            return say("longer than computed").shown(style)
        longest = self.hours if self.longest is None else self.longest
        if longest < 2:
            return many("{n} minute", "{n} minutes", round(self.hours * 60)).shown(style)
        if longest < 48:
            return many("{n} hour", "{n} hours", _rounded(self.hours, 2)).shown(style)
        return many("{n} day", "{n} days", _rounded(self.hours / 24, 10)).shown(style)


def _rounded(value: float, whole_from: float) -> float:
    """A number in whole ones from so many on, below to two significant digits."""
    return round(value) if value >= whole_from else float(units.digits(value, 2))


class Listing(Struct, frozen=True):
    """Several things in a row, joined as the language does."""

    parts: "tuple[Argument, ...]"
    joint: Joint = "and"

    def shown(self, style: Style) -> str:
        """The things in a row."""
        return style.listing([style.show(part) for part in self.parts], self.joint)


class Unit(Struct, frozen=True):
    """The unit that figures in this one are shown in, as it is written behind them."""

    unit: str

    def shown(self, style: Style) -> str:
        """Its sign, or its word where it is one: “× rating”."""
        unit = style.unit(self.unit)
        return UNIT_WORDS[unit].shown(style) if unit in UNIT_WORDS else unit


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

    def shown(self, style: Style) -> str:
        """The text in the style's words."""
        if self.bare:
            words = style.spaced(self.template)
        else:
            words = style.template(self.template, self.context, self.others, self.count)
        if self.parts:
            words = words.format_map({name: style.show(each) for name, each in self.parts.items()})
        if self.case == "capital":
            return words[:1].upper() + words[1:]
        if self.case == "small" and not style.forms.nouns_are_capital:
            return words[:1].lower() + words[1:]
        return words

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
            self._english = self.shown(ENGLISH)
        return self._english

    def __format__(self, form: str) -> str:
        return format(str(self), form)

    def __repr__(self) -> str:
        return f"Text({str(self)!r})"

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Text) and (self._english is None or other._english is None):
            # a view that asks whether something changed need not have the English made of both
            alike = self is other or (self._same(other) and self.parts == other.parts)
            if alike:
                return True
        return str(self) == str(other) if isinstance(other, Text | str) else NotImplemented

    def _same(self, other: "Text") -> bool:
        """Whether another is of the same template, used in the same way."""
        mine = (self.template, self.context, self.others, self.count, self.case, self.bare)
        return mine == (
            other.template, other.context, other.others, other.count, other.case, other.bare
        )  # fmt: skip

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


UNIT_WORDS: Final = {
    "× rating": say_in("unit", "× rating"),
    "days": say_in("unit", "days"),
    "years": say_in("unit", "years"),
}
"""Units that are words of a language; every other is a sign, the same in all."""
