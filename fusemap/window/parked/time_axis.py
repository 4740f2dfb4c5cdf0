"""The time axis of the chart: days of the calendar, or days counted from locking on, or hours.

In: when it was locked, if that is known, and which span is shown. Out: ticks with their words, and
the weekends in it. Hours are counted from locking on. No Qt.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from fusemap.text import Amount, Style, say

HOURS_UP_TO: Final = 60.0
"""Spans shorter than this [h] are told in hours."""
HOURS: Final = (1, 2, 3, 6, 12, 24)
DAYS: Final = (1, 2, 3, 4, 7, 14, 28, 56, 112)
SATURDAY: Final = 5


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on the axis [h since locking], and what stands there; nothing at a small one."""

    hours: float
    words: str


def ticks(
    view: tuple[float, float], start: datetime | None, style: Style, most: int
) -> tuple[Tick, ...]:
    """The ticks of a span of time, `most` of them with words."""
    left, right = view
    if right - left < HOURS_UP_TO:
        return tuple(_hours(left, right, style, most))
    days = (right - left) / 24
    step = next((each for each in DAYS if days / each <= most), DAYS[-1])
    return tuple(_days(left, right, start, style, step))


def _hours(left: float, right: float, style: Style, most: int) -> Iterator[Tick]:
    """Hours since locking."""
    step = next((each for each in HOURS if (right - left) / each <= most), HOURS[-1])
    at = -(-left // step) * step
    while at <= right:
        yield Tick(at, style.show(Amount(at, "h", exact=True)))
        at += step


def _days(
    left: float, right: float, start: datetime | None, style: Style, step: int
) -> Iterator[Tick]:
    """Midnights of the calendar, or ends of days counted from locking on."""
    midnight = 0.0 if start is None else 24.0 - _hour(start)
    number = 0
    at = midnight if start is not None else 0.0
    while at <= right:
        if at >= left:
            words = ""
            if number % step == 0:
                words = _day_words(at, start, style)
            yield Tick(at, words)
        at += 24.0
        number += 1


def _hour(when: datetime) -> float:
    return when.hour + when.minute / 60


def _day_words(at: float, start: datetime | None, style: Style) -> str:
    """The day that begins here: “Sun 22”, the first of a month with its name; or “day 3”."""
    if start is None:
        return style.show(say("day {n}", n=round(at / 24) + 1))
    when = start + timedelta(hours=at)
    known = style.forms
    return f"{known.weekdays_short[when.weekday()]} {when.day}"


def day_of(start: datetime, hours: float, style: Style) -> str:
    """The day so long after locking as the language writes it: “Sun 22 Nov 2026”."""
    when = start + timedelta(hours=hours)
    known = style.forms
    return f"{known.weekdays_short[when.weekday()]} {known.day(when)}"


def weekends(view: tuple[float, float], start: datetime | None) -> tuple[tuple[float, float], ...]:
    """From when to when it is a Saturday or Sunday [h since locking]; none without a calendar."""
    if start is None:
        return ()
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
