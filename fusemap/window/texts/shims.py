"""To go: words made from whatever style was put in force last.

For the views that are not handed a style yet; what is handed one asks that.
"""

from dataclasses import replace

from fusemap import units
from fusemap.text import ENGLISH, Amount, Argument, Duration, Style, Text, many, rise, share
from fusemap.units import NARROW_SPACE

__all__ = [
    "NARROW_SPACE",
    "decimal",
    "digits",
    "duration",
    "language",
    "percent",
    "quantity",
    "said",
    "section_words",
    "show_units",
    "shown_unit",
    "small",
    "style",
]

in_force: Style = ENGLISH
"""What `speak` put here."""


def style() -> Style:
    """The language and the units in force."""
    return in_force


def show_units(*, length: str, temperature: str, section: str) -> None:
    """Show these units from now on."""
    global in_force
    in_force = replace(
        in_force,
        length=length,  # type: ignore[arg-type]
        temperature=temperature,  # type: ignore[arg-type]
        section_unit=section,  # type: ignore[arg-type]
    )


def said(text: Argument) -> str:
    """A text in the style in force; a plain one may be a word of a table."""
    return in_force.show(Text(text) if isinstance(text, str) else text)


def section_words(area_mm2: float) -> str:
    """A conductor's section with both gauges."""
    return in_force.section(area_mm2)


def language() -> str:
    """The code of the language in force."""
    return in_force.language


def small(word: str) -> str:
    """A word inside a sentence."""
    return word if in_force.forms.nouns_are_capital else word.lower()


def decimal(text: str) -> str:
    """A number's text with the decimal sign of the language."""
    return in_force.decimal(text)


def shown_unit(unit: str) -> str:
    """The unit a figure in this unit is shown in."""
    return in_force.unit_name("°C" if unit == "K" else unit)


def digits(value: float, significant: int = 3) -> str:
    """A number to so many significant digits."""
    return in_force.number(value, significant)


def quantity(value: float, unit: str, significant: int = 3) -> str:
    """A number with its unit; K are a difference of temperatures."""
    amount = rise(value, significant) if unit == "K" else Amount(value, unit, "point", significant)
    return in_force.show(amount)


def percent(value: float) -> str:
    """A share as whole per cent."""
    return in_force.show(share(value))


def duration(hours: float, longest: float | None = None) -> str:
    """A time in words; of several that are compared, in the unit that the `longest` is in [h]."""
    if longest is None or longest < 2 or hours >= 48:
        return in_force.show(Duration(hours))
    if longest < 48:
        return in_force.show(many("{n} hour", "{n} hours", float(units.digits(hours, 2))))
    return in_force.show(many("{n} day", "{n} days", float(units.digits(hours / 24, 2))))
