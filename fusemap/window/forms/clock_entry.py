"""Hours of the day as somebody types them: “22:00–06:00, 12:30–13”. Text in, spans out; no Qt."""

import re
from typing import Final

from fusemap.errors import InputProblem
from fusemap.text import say
from fusemap.vehicle import ClockSpan

_SPAN: Final = re.compile(
    r"(\d{1,2})(?:[:.](\d{2}))?\s*(?:-|–|to)\s*(\d{1,2})(?:[:.](\d{2}))?", re.IGNORECASE
)
_HOW: Final = say("type one like {example}", example="22:00–06:00")
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
        raise InputProblem(say("“{typed}” is no span of the day", typed=text), name, _HOW)
    start, end = (_hour(found[n], found[n + 1], text, name) for n in (1, 3))
    if start == end:
        raise InputProblem(say("“{typed}” begins when it ends", typed=text), name, _HOW)
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
