"""Hours of the day and days of the week as somebody types them. Text in, spans and days out; no Qt.

“22:00–06:00, 12:30–13”, “mon-fri, sun”. Days are read in every language there is, the reader's own
first; shown in its own. The names of the days are those of the CLDR.
"""

import re
import unicodedata
from collections.abc import Mapping
from typing import Final

from fusemap.catalogues import LANGUAGES, forms
from fusemap.errors import InputProblem
from fusemap.text import Text, say
from fusemap.vehicle import WEEKDAYS, ClockSpan
from fusemap.vehicle.words import Weekday

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
