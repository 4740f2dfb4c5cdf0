"""What somebody typed, read as a number. Text in, number in the field's unit out; no Qt.

A decimal comma or point is accepted, and a unit behind the number: ``7,5``, ``35 mA``, ``40 cm``.
"""

import re
from math import isfinite
from typing import Final

from fusemap.errors import InputProblem
from fusemap.text import ENGLISH, Style, say
from fusemap.units import FEET_PER_METRE

_ENTRY: Final = re.compile(r"([+\-−]?)\s*(\d*)(?:[.,](\d*))?\s*([^\d\s.,+\-−]*)\s*")
_SAME_UNIT: Final = {"ohm": "Ω", "mohm": "mΩ", "°": "°C", "c": "°C", "mm2": "mm²", "sqmm": "mm²"}
_IN_BASE: Final[dict[str, dict[str, float]]] = {
    "A": {"A": 1.0, "mA": 1e-3, "µA": 1e-6, "uA": 1e-6},
    "V": {"V": 1.0, "mV": 1e-3},
    "Ω": {"Ω": 1.0, "mΩ": 1e-3, "µΩ": 1e-6},
    "W": {"W": 1.0, "kW": 1e3, "mW": 1e-3},
    "m": {"m": 1.0, "cm": 1e-2, "ft": 0.3048},
    "min": {"min": 60.0, "s": 1.0, "h": 3600.0, "d": 86400.0, "days": 86400.0},
    "%": {"%": 1.0},
}
"""Units by kind, each with its size in the kind's base."""


def read_number(text: str, unit: str = "", name: str = "") -> float | None:
    """The number in `text`, in `unit`; `None` when nothing was typed.

    Raises `InputProblem` when it is no number or carries a unit of another kind; `name` says where.

    >>> read_number("7,5"), read_number("35 mA", "A"), read_number("  ", "A")
    (7.5, 0.035, None)
    >>> read_number("seven", "A", "limit")
    Traceback (most recent call last):
    fusemap.errors.InputProblem: limit: “seven” is not a number (type one like 7.5)
    """
    typed = text.strip()
    if not typed:
        return None
    found = _ENTRY.fullmatch(typed)
    if found is None or not (found[2] or found[3]):
        raise InputProblem(
            say("“{typed}” is not a number", typed=typed),
            name,
            say("type one like {example}", example=7.5),
        )
    number = float(f"{found[2] or 0}.{found[3] or 0}") * (-1 if found[1] in ("-", "−") else 1)
    if not isfinite(number):
        raise InputProblem(
            say("“{typed}” is too large", typed=typed), name, say("type a smaller number")
        )
    return number * _factor(found[4], unit, name) if found[4] else number


def read_in_unit(text: str, unit: str, style: Style = ENGLISH, name: str = "") -> float | None:
    """What was typed, in `unit`; without a unit of its own it is in the one that is shown.

    Raises `InputProblem` as `read_number` does.

    >>> read_in_unit("2,5", "m"), read_in_unit("10 ft", "m"), read_in_unit("", "m")
    (2.5, 3.048, None)
    >>> read_in_unit("68", "°C", Style(temperature="°F"))
    20.0
    """
    shown = style.unit_name(unit)
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


def _factor(typed: str, unit: str, name: str) -> float:
    """What a number in the unit typed has to be multiplied with to be in `unit`."""
    plain = _SAME_UNIT.get(typed.lower(), typed)
    if plain.lower() == unit.lower():
        return 1.0
    for sizes in _IN_BASE.values():
        if unit in sizes:
            by_lower = {key.lower(): size for key, size in sizes.items()}
            size = sizes.get(plain, by_lower.get(plain.lower()))
            if size is not None:
                return size / sizes[unit]
    remedy = say("leave the unit out or type {unit}", unit=unit)
    if not unit:
        remedy = say("type the number alone")
    raise InputProblem(say("“{typed}” is no unit this can be in", typed=typed), name, remedy)


def show_number(value: float | None) -> str:
    """A stored number as it is typed: no more digits than it has, blank when not known.

    >>> show_number(7.5), show_number(0.035), show_number(None), show_number(40.0)
    ('7.5', '0.035', '', '40')
    """
    if value is None:
        return ""
    text = f"{value:.9f}" if abs(value) < 1 else f"{value:.6f}"
    return text.rstrip("0").rstrip(".") or "0"
