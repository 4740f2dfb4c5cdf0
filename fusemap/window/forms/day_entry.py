"""Days of the week as somebody types them: “mon-fri, sun”. Text in, days out; no Qt.

Read in every language of the window, its own first; shown in its own.
"""

import re
import unicodedata
from collections.abc import Mapping
from typing import Final

from fusemap.errors import InputProblem
from fusemap.vehicle import WEEKDAYS
from fusemap.vehicle.words import Weekday

NAMES: Final[Mapping[str, tuple[str, ...]]] = {
    "en": ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"),
    "de": ("Montag", "Dienstag", "Mittwoch", "Donnerstag", "Freitag", "Samstag", "Sonntag"),
    "es": ("lunes", "martes", "miércoles", "jueves", "viernes", "sábado", "domingo"),
    "fr": ("lundi", "mardi", "mercredi", "jeudi", "vendredi", "samedi", "dimanche"),
    "nl": ("maandag", "dinsdag", "woensdag", "donderdag", "vrijdag", "zaterdag", "zondag"),
}
"""The days by language, from Monday, as the language writes them in full."""
SHORT: Final[Mapping[str, int]] = {"en": 3, "de": 2, "es": 3, "fr": 3, "nl": 2}
"""How many letters of a name are written for it."""
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
        raise InputProblem("no day is named", name, "type mon-fri, or sat")
    return tuple(day for day in WEEKDAYS if day in found)


def _day(text: str, part: str, name: str, language: str) -> int:
    typed = _bare(text).removesuffix(".")
    if typed.isalpha() and len(typed) >= _LEAST_LETTERS:
        own = _days_of(typed, language)
        meant = own or set().union(*(_days_of(typed, code) for code in NAMES))
        if len(meant) == 1:
            return meant.pop()
    raise InputProblem(f"“{part}” is no day of the week", name, "type mon-fri, or sat")


def _days_of(typed: str, language: str) -> set[int]:
    start = typed[:_TOLD_BY]
    return {day for day, each in enumerate(NAMES[language]) if _bare(each).startswith(start)}


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
    names = [NAMES[language][number][: SHORT[language]] for number in run]
    return f"{names[0]}–{names[-1]}" if len(run) >= _LEAST_FOR_SPAN else ", ".join(names)
