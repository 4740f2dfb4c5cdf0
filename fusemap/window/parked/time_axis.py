"""The time axis of the chart: the calendar from locking on, in days, or in hours of the clock.

In: when it was locked, and which span is shown. Out: ticks with their words, and the weekends in
it. Hours are counted from locking on. No Qt.
"""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Final

from msgspec import Struct

from fusemap.assess.parked.weather import moment as moment_of
from fusemap.text import Style
from fusemap.vehicle import Parking

CLOCK_UP_TO: Final = 60.0
"""Spans shorter than this [h] are told by the clock."""
HOURS: Final = (1, 2, 3, 6, 12, 24)
DAYS: Final = (1, 2, 3, 4, 7, 14, 28, 56, 112)
WEEK: Final = 7
MONDAY: Final = 0
SATURDAY: Final = 5


class Tick(Struct, frozen=True):
    """A mark on the axis [h since locking], and what stands there; nothing at a small one."""

    hours: float
    words: str


def locked_when(parking: Parking, today: date) -> datetime:
    """When it is locked: on the day and at the hour that were entered, else today."""
    return moment_of(parking, 0.0) or datetime.combine(today, time()) + timedelta(
        hours=parking.locked_at_h
    )


def clock(when: datetime) -> str:
    """The time of the day: “18:00”."""
    return f"{when.hour:02d}:{when.minute:02d}"


def day_of(start: datetime, hours: float, style: Style) -> str:
    """The day so long after locking as the language writes it: “Sun 22 Nov 2026”."""
    when = start + timedelta(hours=hours)
    return f"{style.forms.weekdays_short[when.weekday()]} {style.forms.day(when)}"


def moment(start: datetime, hours: float, style: Style) -> str:
    """Day and time so long after locking: “Sun 22 Nov 2026, 18:00”."""
    when = start + timedelta(hours=hours)
    return f"{style.forms.weekdays_short[when.weekday()]} {style.forms.moment(when)}"


def ticks(view: tuple[float, float], start: datetime, style: Style, most: int) -> tuple[Tick, ...]:
    """The ticks of a span of time, about `most` of them with words."""
    left, right = view
    if right - left < CLOCK_UP_TO:
        return tuple(_hours(left, right, start, style, most))
    days = (right - left) / 24
    step = next((each for each in DAYS if days / each <= most), DAYS[-1])
    return tuple(_days(left, right, start, style, step))


def _hours(left: float, right: float, start: datetime, style: Style, most: int) -> Iterator[Tick]:
    """Whole hours of the clock; a midnight says which day begins."""
    step = next((each for each in HOURS if (right - left) / each <= most), HOURS[-1])
    midnight = -_hour(start)
    at = midnight + step * -(-(left - midnight) // step)
    while at <= right:
        when = start + timedelta(hours=at)
        yield Tick(at, clock(when) if when.hour else _day_words(when, style))
        at += step


def _days(left: float, right: float, start: datetime, style: Style, step: int) -> Iterator[Tick]:
    """Midnights of the calendar; steps of weeks are told at Mondays."""
    at = 24.0 - _hour(start)
    first = (start + timedelta(hours=at)).weekday()
    number = 0 if step < WEEK else -((MONDAY - first) % WEEK)
    while at <= right:
        if at >= left:
            told = number % step == 0
            yield Tick(at, _day_words(start + timedelta(hours=at), style) if told else "")
        at += 24.0
        number += 1


def _hour(when: datetime) -> float:
    return when.hour + when.minute / 60 + when.second / 3600


def _day_words(when: datetime, style: Style) -> str:
    """The day that begins here: “Sun 22”."""
    return f"{style.forms.weekdays_short[when.weekday()]} {when.day}"


def weekends(view: tuple[float, float], start: datetime) -> tuple[tuple[float, float], ...]:
    """From when to when it is a Saturday or Sunday [h since locking]."""
    left, right = view
    found: list[tuple[float, float]] = []
    at = -_hour(start)
    while at < right:
        day = start + timedelta(hours=at)
        if day.weekday() >= SATURDAY and at + 24 > left:
            begin, end = max(left, at), min(right, at + 24)
            if found and abs(found[-1][1] - begin) < 1e-6:
                begin = found.pop()[0]
            found.append((begin, end))
        at += 24.0
    return tuple(found)
