"""A night with a meter or logger: a pasted table of times and currents, and the wake-ups in it.

In: text with tabs, semicolons or commas between its columns, as meters and loggers write it. Out:
the points as minutes from the first and amperes; and a `Night`: what it draws at rest, and when it
drew more. The unit is taken from the heading or the cells; a bare number is amperes.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import mean, median
from typing import Final

from fusemap.errors import InputProblem
from fusemap.probing.hunt.state import WORTH_A
from fusemap.probing.paste_columns import split
from fusemap.text import Text, in_row, many, say
from fusemap.vehicle import WakeUp

MOST_POINTS: Final = 100_000
"""Rows of a table that are read, at most."""

_NUMBER: Final = re.compile(r"[-+]?\d+(?:[.,]\d+)?(?:[eE][-+]?\d+)?|[-+]?[.,]\d+")
_CLOCK: Final = re.compile(r"(?:^|\D)(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*([ap]m)?", re.I)
_TIME: Final = re.compile(r"time|zeit|heure|hora|tijd", re.I)
_DAY_MIN: Final = 24 * 60.0
_SCALES: Final = (("ma", 1e-3), ("µa", 1e-6), ("ua", 1e-6), ("a", 1.0))
_MINUTES: Final = (("min", 1.0), ("h", 60.0), ("s", 1 / 60))


@dataclass(frozen=True, slots=True)
class Log:
    """A table that was read: (minutes from the first, amperes); rows that could not be used."""

    points: tuple[tuple[float, float], ...]
    unused: tuple[int, ...] = ()

    @property
    def words(self) -> Text:
        """What was read of it, and what was not."""
        hours = self.points[-1][0] / 60 if self.points else 0.0
        read = many("{n} current", "{n} currents", len(self.points))
        if not self.unused:
            return say("{read} over {hours} h", read=read, hours=round(hours, 1))
        rows = in_row([*self.unused[:5]])
        return say(
            "{read} over {hours} h; not used: rows {rows}{more}",
            read=read,
            hours=round(hours, 1),
            rows=rows,
            more=" …" if len(self.unused) > 5 else "",
        )


@dataclass(frozen=True, slots=True)
class Spell:
    """A time in which it drew more: from and to [min], its current as a whole [A]."""

    start_min: float
    end_min: float
    current_a: float


@dataclass(frozen=True, slots=True)
class Night:
    """What a night shows: the current at rest [A], the spells in which more was drawn, how long."""

    rest_a: float
    spells: tuple[Spell, ...]
    lasted_min: float

    @property
    def wake_ups(self) -> tuple[WakeUp, ...]:
        """The same as the parking habits have it: how often, for how long, how much more."""
        if not self.spells:
            return ()
        starts = [spell.start_min for spell in self.spells]
        # one spell in a night: as often as the night is long
        apart = (starts[-1] - starts[0]) / (len(starts) - 1) if len(starts) > 1 else self.lasted_min
        minutes = mean(spell.end_min - spell.start_min for spell in self.spells)
        more = mean(spell.current_a for spell in self.spells) - self.rest_a
        every_h = max(apart, minutes, 1.0) / 60
        return (
            WakeUp(every_h=round(every_h, 3), minutes=round(minutes, 2), current_a=round(more, 6)),
        )


def read_log(text: str) -> Log:
    """The times and currents of a pasted table. Raises `InputProblem` where there are none.

    The first column with times is the time, a clock that runs on over midnight; a number there is
    minutes, or what its heading says. The current is the column whose heading has its unit, else
    the next one with numbers.

    >>> read_log("time;current mA\\n22:00;31\\n22:10;640\\n").points
    ((0.0, 0.031), (10.0, 0.64))
    """
    rows = split(text)[:MOST_POINTS]
    head = rows[0] if rows and not _is_point(rows[0]) else ()
    columns = _columns(head, rows[1:] if head else rows)
    found: list[tuple[float, float]] = []
    unused: list[int] = []
    for number, cells in enumerate(rows, start=1):
        if cells is head:
            continue
        point = _point(cells, head, columns)
        if point is None:
            unused += [number] if any(cell.strip() for cell in cells) else []
        else:
            found.append(point)
    if len(found) < 2:
        raise InputProblem(
            say("there are no times with currents in it"),
            remedy=say("paste a table with a column of times and one of currents"),
        )
    return Log(_running_on(found), tuple(unused))


def _is_point(cells: Sequence[str]) -> bool:
    return sum(bool(_NUMBER.match(cell.strip())) for cell in cells) >= 2


def _columns(head: Sequence[str], rows: Sequence[Sequence[str]]) -> tuple[int, int]:
    """Which column is the time, and which the current."""
    first = rows[0] if rows else ()
    times = [n for n, cell in enumerate(first) if _CLOCK.search(cell)]
    named = [n for n, cell in enumerate(head) if _TIME.search(cell)]
    time = (times or named or [0])[0]
    units = [
        n
        for n, cell in enumerate(head)
        if n != time and re.search(r"(^|[\s(\[/])[mµu]?A([\s)\]/]|$)|current|strom|amp", cell, re.I)
    ]
    numbers = [n for n, c in enumerate(first) if n != time and _NUMBER.match(c.strip())]
    return time, (units or numbers or [time + 1])[0]


def _point(
    cells: Sequence[str], head: Sequence[str], columns: tuple[int, int]
) -> tuple[float, float] | None:
    time, current = columns
    if max(columns) >= len(cells):
        return None
    heading = [head[n].lower() if n < len(head) else "" for n in columns]
    minutes = _minutes(cells[time].strip(), heading[0])
    amperes = _amperes(cells[current].strip(), heading[1])
    return None if minutes is None or amperes is None else (minutes, amperes)


def _minutes(cell: str, heading: str) -> float | None:
    if len(cell) > len("2025-05-17"):
        try:
            return datetime.fromisoformat(cell).timestamp() / 60
        except ValueError:
            pass  # a clock, or a day written in another order: its clock is enough
    return _clock(cell, heading)


def _clock(cell: str, heading: str) -> float | None:
    clock = _CLOCK.search(cell)
    if clock is not None:
        hours, minutes, seconds, half = clock.groups()
        later = 12 if half and half.lower() == "pm" and int(hours) < 12 else 0
        return (int(hours) + later) * 60 + int(minutes) + int(seconds or 0) / 60
    value = _number(cell)
    if value is None:
        return None
    unit = re.sub(r".*?(min|[hs])\W*$", r"\1", heading)
    return value * dict(_MINUTES).get(unit, 1.0)


def _amperes(cell: str, heading: str) -> float | None:
    value = _number(cell)
    if value is None:
        return None
    for where in (cell.lower(), heading):
        for unit, scale in _SCALES:
            if re.search(rf"(^|[\s(\[/\d]){unit}([\s)\]/]|$)", where):
                return abs(value) * scale
    return abs(value)


def _number(cell: str) -> float | None:
    found = _NUMBER.match(cell)
    return None if found is None else float(found[0].replace(",", "."))


def _running_on(points: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Minutes from the first; a clock that falls has passed midnight."""
    found: list[tuple[float, float]] = []
    day = 0.0
    for index, (minutes, amperes) in enumerate(points):
        if index and minutes + day < found[-1][0] + points[0][0] - _DAY_MIN / 2:
            day += _DAY_MIN
        found.append((minutes + day - points[0][0], amperes))
    return tuple(found)


def night_of(log: Log) -> Night:
    """What a log shows: its rest is what it draws most of the time.

    A spell begins where more is drawn than the rest and what is worth finding, and ends with the
    first reading at rest again.
    """
    currents = sorted(amperes for _, amperes in log.points)
    rest = median(currents[: max(1, (len(currents) + 1) // 2)])
    limit = rest + max(WORTH_A, 0.5 * rest)
    spells: list[Spell] = []
    inside: list[float] = []
    start = 0.0
    for minutes, amperes in log.points:
        if amperes > limit:
            start = minutes if not inside else start
            inside.append(amperes)
        elif inside:
            spells.append(Spell(start, minutes, median(inside)))
            inside = []
    if inside:
        spells.append(Spell(start, log.points[-1][0], median(inside)))
    return Night(rest, tuple(spells), log.points[-1][0])
