"""The calendar on the axis, held against the calendar of Python's library."""

from calendar import SATURDAY, SUNDAY, monthrange, weekday
from datetime import date, datetime, timedelta

import pytest

from fusemap.text import ENGLISH, Style
from fusemap.vehicle import Parking
from fusemap.window.parked.time_axis import locked_when, moment, ticks, weekends

START = datetime(2026, 11, 13, 18)
"""A Friday evening."""


def test_it_is_locked_today_at_the_hour_entered() -> None:
    parking = Parking(locked_at_h=18.5)
    assert locked_when(parking, date(2026, 11, 13)) == datetime(2026, 11, 13, 18, 30)


def told(view: tuple[float, float], most: int) -> dict[float, str]:
    return {tick.hours: tick.words for tick in ticks(view, START, ENGLISH, most) if tick.words}


@pytest.mark.parametrize("days", [4, 9, 20, 45, 120, 365])
def test_days_stand_at_their_midnights(days: int) -> None:
    words = told((0.0, days * 24.0), 10)
    assert 2 <= len(words) <= 11
    for hours, text in words.items():
        when = START + timedelta(hours=hours)
        assert (when.hour, when.minute) == (0, 0)
        names = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
        assert text == f"{names[weekday(when.year, when.month, when.day)]} {when.day}"


def test_steps_of_weeks_are_told_at_mondays() -> None:
    assert {text.partition(" ")[0] for text in told((0.0, 60 * 24.0), 10).values()} == {"Mon"}


def test_every_midnight_has_its_mark() -> None:
    marks = [tick.hours for tick in ticks((0.0, 240.0), START, ENGLISH, 4)]
    assert marks == [6.0 + 24 * n for n in range(10)]


def test_short_spans_are_told_by_the_clock() -> None:
    words = told((0.0, 24.0), 8)
    assert words[0.0] == "18:00"
    assert words[6.0] == "Sat 14"
    assert words[12.0] == "06:00"


def test_the_clock_goes_on_where_the_span_was_moved() -> None:
    assert told((5.0, 17.0), 4) == {6.0: "Sat 14", 9.0: "03:00", 12.0: "06:00", 15.0: "09:00"}


def test_the_days_are_those_of_the_language() -> None:
    german = [tick.words for tick in ticks((0.0, 120.0), START, Style("de"), 10)]
    assert german[0] == "Sa 14"
    assert moment(START, 30.0, Style("de")) == "So 15.11.2026, 00:00"


@pytest.mark.parametrize("view", [(0.0, 24.0 * 30), (50.0, 300.0), (400.0, 401.0)])
def test_weekends_are_shaded_and_nothing_else(view: tuple[float, float]) -> None:
    spans = weekends(view, START)
    step = 0.5
    at = view[0] + step / 2
    while at < view[1]:
        day = (START + timedelta(hours=at)).weekday()
        inside = any(begin <= at < end for begin, end in spans)
        assert inside == (day in (SATURDAY, SUNDAY)), at
        at += step
    assert all(view[0] <= begin < end <= view[1] for begin, end in spans)


def test_the_months_of_the_axis_have_their_lengths() -> None:
    days = [int(text.split()[1]) for text in told((0.0, 24.0 * 50), 60).values()]
    assert monthrange(2026, 11)[1] == 30
    assert days[:18] == [*range(14, 31), 1]
