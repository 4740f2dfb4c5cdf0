"""Days of the week as somebody types them: “mon-fri, sun”. Text in, days out; no Qt."""

import re
from typing import Final

from fusemap.errors import InputProblem
from fusemap.vehicle import WEEKDAYS
from fusemap.vehicle.words import Weekday

DAILY: Final = "daily"
_LEAST_FOR_SPAN: Final = 3


def read_days(text: str, name: str = "") -> tuple[Weekday, ...]:
    """The days in `text`, in the week's order; a span may run over Sunday.

    Raises `InputProblem` when it cannot be read or names no day; `name` says where.

    >>> read_days("Mon–Fri")
    ('mon', 'tue', 'wed', 'thu', 'fri')
    >>> read_days("sat-mon"), read_days("daily") == WEEKDAYS
    (('mon', 'sat', 'sun'), True)
    >>> read_days("someday", "drive 1")
    Traceback (most recent call last):
    fusemap.errors.InputProblem: drive 1: “someday” is no day of the week (type mon-fri, or sat)
    """
    if text.strip().lower() == DAILY:
        return WEEKDAYS
    found: set[Weekday] = set()
    for part in filter(None, (each.strip() for each in re.split(r"[,; ]+(?![-–])", text))):
        ends = [_day(each, part, name) for each in re.split(r"\s*[-–]\s*", part)]
        first, last = ends[0], ends[-1]
        count = (last - first) % 7 + 1
        found |= {WEEKDAYS[(first + step) % 7] for step in range(count)}
    if not found:
        raise InputProblem("no day is named", name, "type mon-fri, or sat")
    return tuple(day for day in WEEKDAYS if day in found)


def _day(text: str, part: str, name: str) -> int:
    start = text.strip().lower()[:3]
    if start not in WEEKDAYS or not text.strip().isalpha():
        raise InputProblem(f"“{part}” is no day of the week", name, "type mon-fri, or sat")
    return WEEKDAYS.index(start)


def show_days(days: tuple[Weekday, ...]) -> str:
    """Days as they are typed, three in a row or more as a span.

    >>> show_days(("mon", "tue", "wed", "thu", "fri", "sun")), show_days(WEEKDAYS)
    ('Mon–Fri, Sun', 'daily')
    """
    numbers = sorted({WEEKDAYS.index(day) for day in days})
    if len(numbers) == len(WEEKDAYS):
        return DAILY
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(_run(run) for run in runs)


def _run(run: list[int]) -> str:
    names = [WEEKDAYS[number].title() for number in run]
    return f"{names[0]}–{names[-1]}" if len(run) >= _LEAST_FOR_SPAN else ", ".join(names)
