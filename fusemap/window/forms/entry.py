"""What somebody typed, read as a number, as hours of the day, as days of the week; no Qt.

Text in; out a number in the field's unit, spans or days. A decimal comma or point is accepted, and
a unit behind the number: ``7,5``, ``35 mA``, ``40 cm``. Times are typed as “22:00–06:00,
12:30–13”, days as “mon-fri, sun”: read in every language there is, the reader's own first; shown
in its own. The names of the days are those of the CLDR.
"""

import re
import unicodedata
from collections.abc import Mapping
from math import isfinite
from typing import Final

from fusemap.catalogues import LANGUAGES, forms
from fusemap.errors import InputProblem
from fusemap.text import ENGLISH, Style, Text, Unit, say
from fusemap.units import FEET_PER_METRE
from fusemap.vehicle import WEEKDAYS, ClockSpan
from fusemap.vehicle.words import Weekday

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
    shown = style.show(Unit(unit))
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


_SPAN: Final = re.compile(
    r"(\d{1,2})(?:[:.](\d{2}))?\s*(?:-|–|to)\s*(\d{1,2})(?:[:.](\d{2}))?", re.IGNORECASE
)
_SPAN_LIKE: Final = say("type one like {example}", example="22:00–06:00")
DAY_H: Final = 24.0


def read_spans(text: str, name: str = "") -> tuple[ClockSpan, ...]:
    """The spans in `text`, none when it is blank; a span may run over midnight.

    Raises `InputProblem` when it cannot be read; `name` says where.

    >>> read_spans("22-6, 12:30–13:00")
    (ClockSpan(from_h=22.0, to_h=6.0), ClockSpan(from_h=12.5, to_h=13.0))
    >>> read_spans("noon", "timetable")
    Traceback (most recent call last):
    fusemap.errors.InputProblem: timetable: “noon” is no span of the day (type one like 22:00–06:00)
    """
    parts = [part.strip() for part in re.split(r"[,;]", text) if part.strip()]
    return tuple(_span(part, name) for part in parts)


def _span(text: str, name: str) -> ClockSpan:
    found = _SPAN.fullmatch(text)
    if found is None:
        raise InputProblem(say("“{typed}” is no span of the day", typed=text), name, _SPAN_LIKE)
    start, end = (_hour(found[n], found[n + 1], text, name) for n in (1, 3))
    if start == end:
        raise InputProblem(say("“{typed}” begins when it ends", typed=text), name, _SPAN_LIKE)
    return ClockSpan(from_h=start, to_h=end)


def _hour(hours: str, minutes: str | None, text: str, name: str) -> float:
    hour = int(hours) + int(minutes or 0) / 60
    if hour > DAY_H or int(minutes or 0) > 59:
        raise InputProblem(
            say("“{typed}” is outside the day", typed=text),
            name,
            say("hours run from 0:00 to 24:00"),
        )
    return hour


def show_spans(spans: tuple[ClockSpan, ...]) -> str:
    """Spans as they are typed.

    >>> show_spans((ClockSpan(from_h=22.0, to_h=6.0), ClockSpan(from_h=12.5, to_h=13.0)))
    '22:00–06:00, 12:30–13:00'
    """
    return ", ".join(f"{show_hour(span.from_h)}–{show_hour(span.to_h)}" for span in spans)


def show_hour(hour: float) -> str:
    """An hour of the day with its minutes.

    >>> show_hour(7.25)
    '07:15'
    """
    minutes = round(hour * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


DAILY: Final[Mapping[str, tuple[str, ...]]] = {
    "en": ("daily", "every day"),
    "de": ("täglich", "jeden Tag"),
    "es": ("a diario", "diario", "todos los días"),
    "fr": ("tous les jours", "quotidien"),
    "nl": ("dagelijks", "elke dag"),
}
"""Words for every day; the first is the one shown."""
_LEAST_FOR_SPAN: Final = 3
_LEAST_LETTERS: Final = 2
_TOLD_BY: Final = 3
"""So many letters tell a day in every language; what follows them is not looked at."""


def read_days(text: str, name: str = "", language: str = "en") -> tuple[Weekday, ...]:
    """The days in `text`, in the week's order; a span may run over Sunday.

    A word that is a day in several languages is the one of `language`. Raises `InputProblem` when
    it cannot be read or names no day; `name` says where.

    >>> read_days("Mon–Fri")
    ('mon', 'tue', 'wed', 'thu', 'fri')
    >>> read_days("sat-mon"), read_days("täglich") == WEEKDAYS
    (('mon', 'sat', 'sun'), True)
    >>> read_days("di", language="nl"), read_days("di", language="fr")
    (('tue',), ('sun',))
    >>> read_days("someday", "drive 1")
    Traceback (most recent call last):
    fusemap.errors.InputProblem: drive 1: “someday” is no day of the week (type mon-fri, or sat)
    """
    if _bare(text) in {_bare(word) for words in DAILY.values() for word in words}:
        return WEEKDAYS
    found: set[Weekday] = set()
    for part in filter(None, (each.strip() for each in re.split(r"[,; ]+(?![-–])", text))):
        ends = [_day(each, part, name, language) for each in re.split(r"\s*[-–]\s*", part)]
        first, last = ends[0], ends[-1]
        count = (last - first) % 7 + 1
        found |= {WEEKDAYS[(first + step) % 7] for step in range(count)}
    if not found:
        raise InputProblem(say("no day is named"), name, _days_like(language))
    return tuple(day for day in WEEKDAYS if day in found)


def _days_like(language: str) -> Text:
    """How days are typed, with days of the language."""
    days = [day.lower() for day in forms(language).weekdays_short]
    return say("type {first}-{last}, or {other}", first=days[0], last=days[4], other=days[5])


def _day(text: str, part: str, name: str, language: str) -> int:
    typed = _bare(text).removesuffix(".")
    if typed.isalpha() and len(typed) >= _LEAST_LETTERS:
        own = _days_of(typed, language)
        meant = own or set().union(*(_days_of(typed, code) for code in LANGUAGES))
        if len(meant) == 1:
            return meant.pop()
    raise InputProblem(
        say("“{typed}” is no day of the week", typed=part), name, _days_like(language)
    )


def _days_of(typed: str, language: str) -> set[int]:
    start = typed[:_TOLD_BY]
    names = forms(language).weekdays
    return {day for day, each in enumerate(names) if _bare(each).startswith(start)}


def _bare(text: str) -> str:
    """A text without capitals, accents and room around it."""
    parted = unicodedata.normalize("NFKD", text.strip().casefold())
    return "".join(sign for sign in parted if not unicodedata.combining(sign))


def show_days(days: tuple[Weekday, ...], language: str = "en") -> str:
    """Days as they are typed, three in a row or more as a span.

    >>> show_days(("mon", "tue", "wed", "thu", "fri", "sun")), show_days(WEEKDAYS)
    ('Mon–Fri, Sun', 'daily')
    >>> show_days(("mon", "tue", "wed", "sun"), "de"), show_days(WEEKDAYS, "de")
    ('Mo–Mi, So', 'täglich')
    """
    numbers = sorted({WEEKDAYS.index(day) for day in days})
    if len(numbers) == len(WEEKDAYS):
        return DAILY[language][0]
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(_run(run, language) for run in runs)


def _run(run: list[int], language: str) -> str:
    names = [forms(language).weekdays_short[number] for number in run]
    return f"{names[0]}–{names[-1]}" if len(run) >= _LEAST_FOR_SPAN else ", ".join(names)
