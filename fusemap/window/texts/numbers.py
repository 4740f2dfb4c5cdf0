"""Numbers as the window shows them: those of `fusemap.units` in the user's language and units.

The decimal sign and the units are texts that are translated as any other: a language answers “,”
for “.”, and who wants feet answers “ft” for “m”. In: values in V, A, Ω, m, °C …. Out: text.
Source of the foot: 0.3048 m exactly (ISO 80000-3).
"""

from PySide6.QtCore import QCoreApplication

from fusemap import units
from fusemap.units import FEET_PER_METRE, NARROW_SPACE, fahrenheit
from fusemap.window.forms.entry import read_number

__all__ = [
    "FEET_PER_METRE",
    "NARROW_SPACE",
    "decimal",
    "digits",
    "duration",
    "in_unit",
    "percent",
    "quantity",
    "read_in_unit",
    "shown_unit",
]

translate = QCoreApplication.translate


def decimal(text: str) -> str:
    """A number's text with the decimal sign of the language.

    >>> decimal("7.5")
    '7.5'
    """
    return text.replace(".", translate("Numbers", "."))


def shown_unit(unit: str) -> str:
    """The unit a figure in this unit is shown in: symbols stay, words are the language's."""
    if unit in ("m", "°C"):
        return translate("Units", unit)
    words = {
        "× rating": translate("Units", "× rating"),
        "days": translate("Units", "days"),
        "years": translate("Units", "years"),
    }
    return words.get(unit, unit)


def in_unit(value: float, unit: str) -> float:
    """A value in the unit that it is shown in.

    >>> in_unit(2.0, "m")
    2.0
    """
    shown = shown_unit(unit)
    if shown == "ft":
        return value * FEET_PER_METRE
    if shown == "°F":
        return fahrenheit(value)
    return value


def read_in_unit(text: str, unit: str, name: str = "") -> float | None:
    """What was typed, in `unit`; without a unit of its own it is in the one that is shown.

    Raises `InputProblem` as `read_number` does.

    >>> read_in_unit("2,5", "m"), read_in_unit("10 ft", "m"), read_in_unit("", "m")
    (2.5, 3.048, None)
    """
    shown = shown_unit(unit)
    typed = text.strip()
    if shown == "°F":
        bare = typed.rstrip("°FfCc ")
        value = read_number(bare, "", name)
        if value is None or typed[len(bare) :].strip(" °").upper() == "C":
            return value
        return (value - 32.0) / 1.8
    if shown == "ft":
        value = read_number(typed, shown, name)
        return None if value is None else value / FEET_PER_METRE
    if shown != unit and typed.casefold().endswith(shown.casefold()):
        typed = typed[: -len(shown)]
    return read_number(typed, unit, name)


def digits(value: float, significant: int = 3) -> str:
    """A number to so many significant digits."""
    return decimal(units.digits(value, significant))


def quantity(value: float, unit: str, significant: int = 3) -> str:
    """A number with its unit."""
    return decimal(units.quantity(in_unit(value, unit), shown_unit(unit), significant))


def percent(share: float) -> str:
    """A share as whole per cent."""
    return units.percent(share)


def duration(hours: float, longest: float | None = None) -> str:
    """A time in words; of several that are compared, in the unit that the `longest` is in [h].

    >>> duration(84), duration(12, longest=84)
    ('3.5 days', '0.5 days')
    """
    said = units.duration(hours, longest)
    number, space, word = said.partition(" ")
    if not space or not number[:1].isdigit():
        return translate("Duration", "longer than computed")
    words = {
        "minute": translate("Duration", "{n} minute"),
        "minutes": translate("Duration", "{n} minutes"),
        "hour": translate("Duration", "{n} hour"),
        "hours": translate("Duration", "{n} hours"),
        "day": translate("Duration", "{n} day"),
        "days": translate("Duration", "{n} days"),
    }
    return words[word].format(n=decimal(number))
