"""A pasted table of times and currents, as meters and loggers write it, read as points.

In: text with tabs, semicolons, commas, bars or blanks between its columns; lines before the heading
are passed over. Out: minutes from the first and amperes. The time is a clock that runs on over
midnight, a date with a clock, or a number: minutes, or what its heading says. The unit of the
current stands behind the figure, in a column of its own or in the heading; a bare number is
amperes. What a column is, is found out from what stands in it.
"""

import csv
import re
from collections.abc import Sequence
from datetime import datetime
from math import isfinite
from typing import Final, Literal

from msgspec import Struct

from fusemap.errors import InputProblem
from fusemap.text import Text, in_row, many, say

MOST_POINTS: Final = 100_000
"""Rows of a table that are read, at most."""
MOST_LINE: Final = 2_000
"""Characters of a row that are read, at most."""
MOST_MIN: Final = 30 * 24 * 60.0
"""No log lasts longer [min]; ours."""
MOST_A: Final = 5_000.0
"""No figure beyond is a current [A]; ours."""

_CELL: Final = re.compile(
    r"([-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:e[-+]?\d+)?)\s*([a-z\u00b5\u03bc%°]*)", re.IGNORECASE
)
_CLOCK: Final = re.compile(r"(?:^|\D)(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*([ap]m)?", re.I)
_TIME: Final = re.compile(r"time|zeit|heure|hora|tijd|uhr|\bt\b", re.IGNORECASE)
_CURRENT: Final = re.compile(r"current|strom|courant|corriente|stroom|amp|^i\b", re.IGNORECASE)
_IN_WORDS: Final = re.compile(
    r"(?<![a-z\u00b5\u03bc])([m\u00b5\u03bcu]?[av])(?![a-z\u00b5\u03bc])", re.IGNORECASE
)
_AMPERES: Final = {"a": 1.0, "ma": 1e-3, "\u00b5a": 1e-6, "\u03bca": 1e-6, "ua": 1e-6}
_VOLTS: Final = ("v", "mv", "\u00b5v", "\u03bcv", "uv")
_UNITS_OF_TIME: Final = (
    (re.compile(r"\bms\b|milli", re.IGNORECASE), 1 / 60_000),
    (re.compile(r"\b(s|secs?|seconds?|sekunden?|secondes?|segundos?|seconden)\b", re.I), 1 / 60),
    (re.compile(r"\b(min|mins|minutes?|minuten|minutos?)\b", re.IGNORECASE), 1.0),
    (re.compile(r"\b(h|hrs?|hours?|stunden?|heures?|horas?|uur|uren)\b", re.IGNORECASE), 60.0),
)
_EPOCH_S: Final = 1e8
"""A bare number beyond is seconds since 1970, a thousand times that milliseconds."""
_DAY_MIN: Final = 24 * 60.0


class Log(Struct, frozen=True):
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


def read_log(text: str) -> Log:
    """The times and currents of a pasted table.

    Raises `InputProblem` where there are none, where they last for months or no time at all, and
    where the figures are volts.

    >>> read_log("time;current mA\\n22:00;31\\n22:10;640\\n").points
    ((0.0, 0.031), (10.0, 0.64))
    """
    rows = _split(text)
    first = next((n for n, row in enumerate(rows) if _is_point(row)), len(rows))
    heading = rows[first - 1] if first else []
    columns = _columns(heading, rows[first:])
    found: list[tuple[float, float]] = []
    # what stands before may be a title; with a time in it, it was to be a row
    unused = [n for n, row in enumerate(rows[:first], start=1) if any(map(_is_clock, row))]
    for number, cells in enumerate(rows[first:], start=first + 1):
        minutes = _minutes(columns, cells)
        amperes = _amperes(columns, cells)
        if minutes is None or amperes is None:
            unused += [number] if any(cells) else []
        else:
            found.append((minutes, amperes))
    if len(found) < 2:
        raise InputProblem(
            say("there are no times with currents in it"),
            remedy=say("paste a table with a column of times and one of currents"),
        )
    points = _from_the_first(found, runs_on=columns.clock)
    if not 0 < points[-1][0] <= MOST_MIN:
        days = say("{days} days", days=round(points[-1][0] / _DAY_MIN))
        raise InputProblem(
            say("its times would last {days}", days=days),
            remedy=say("look at the column of times, and at the unit in its heading"),
        )
    return Log(points, tuple(unused))


def typed_row(typed: str) -> str:
    """A row of a log as it is typed, a time, a blank and a current, as a row of a table.

    Raises `InputProblem` for what is none.

    >>> typed_row("22:10 .64")
    '22:10;.64'
    """
    time, _, current = typed.strip().partition(" ")
    figure = _figure(current.strip())
    is_time = _is_clock(time) or _figure(time) is not None
    if not is_time or figure is None or figure[1] not in ("", *_AMPERES):
        raise InputProblem(
            say("“{typed}” is no time with a current", typed=typed.strip()),
            remedy=say("type minutes, a space and amperes"),
        )
    return f"{time};{current.strip()}"


# --- cells ----------------------------------------------------------------------------------------


def _split(text: str) -> list[list[str]]:
    """The cells of each line; what parts them is told by a line in the middle, not by a title."""
    lines = [line[:MOST_LINE].strip() for line in re.split(r"\r\n|\r|\n", text)]
    lines = [line.replace("\0", "") for line in lines if line][:MOST_POINTS]
    sample = lines[len(lines) // 2] if lines else ""
    sign = next((each for each in "\t;|," if each in sample), "")
    if not sign:
        return [_apart(line) for line in lines]
    # an odd quote would swallow the rows up to the next one
    quoting: Literal[0, 3] = csv.QUOTE_NONE if text.count('"') % 2 else csv.QUOTE_MINIMAL
    rows = list(csv.reader(lines, delimiter=sign, skipinitialspace=True, quoting=quoting))
    cleaned = [[cell.strip() for cell in row] for row in rows]
    return _commas_mended(cleaned) if sign == "," else cleaned


def _apart(line: str) -> list[str]:
    """A line with blanks between its columns; a unit stays with its figure."""
    return [part for part in re.split(r"\s+(?![a-z\u00b5\u03bc]{1,2}\b)", line) if part]


def _commas_mended(rows: list[list[str]]) -> list[list[str]]:
    """Commas that part columns and decimals, too: each figure has fallen into two cells."""
    digits = re.compile(r"[-+]?\d+")
    data = [row for row in rows if row and (_is_clock(row[0]) or digits.fullmatch(row[0]))]
    first = next((n for n, row in enumerate(rows) if row in data[:1]), 0)
    if not data or (first and len(rows[first - 1]) != 2):
        return rows
    if not all(len(row) == 3 and all(map(digits.fullmatch, row[1:])) for row in data):
        return rows
    return [[row[0], ",".join(row[1:])] if len(row) == 3 else row for row in rows]


def _figure(cell: str) -> tuple[float, str] | None:
    """A figure with the letters behind it; `None` for anything else, a date too."""
    found = _CELL.fullmatch(cell)
    if found is None:
        return None
    value = float(found[1].replace(",", "."))
    return (value, found[2].lower()) if isfinite(value) else None


def _is_clock(cell: str) -> bool:
    return _CLOCK.search(cell) is not None


def _is_point(cells: Sequence[str]) -> bool:
    """Whether a line has a time and a figure."""
    clocks = sum(_is_clock(cell) for cell in cells)
    figures = sum(_figure(cell) is not None for cell in cells)
    return figures >= (1 if clocks else 2)


# --- columns --------------------------------------------------------------------------------------


class _Columns(Struct, frozen=True):
    """Which column is what; `clock` of the time, `per` is what a number there is worth [min]."""

    time: int
    current: int
    clock: bool = True
    per: float | None = None
    scale: float = 1.0
    unit: int | None = None
    short: bool = False


def _columns(heading: Sequence[str], rows: Sequence[Sequence[str]]) -> _Columns:
    """What stands in which column, by the lines there are; the first thousand tell."""
    some = rows[:1000]
    wide = max((len(row) for row in some), default=0)
    heads = [heading[n] if n < len(heading) else "" for n in range(wide)]
    clocks = [sum(n < len(row) and _is_clock(row[n]) for row in some) for n in range(wide)]
    figures = [
        sum(n < len(row) and _figure(row[n]) is not None for row in some) for n in range(wide)
    ]
    numbers = [n for n in range(wide) if figures[n] > len(some) / 3]
    named = [n for n in numbers if _TIME.search(heads[n])]
    clock = next((n for n in range(wide) if clocks[n] > len(some) / 3), None)
    time = clock if clock is not None else next(iter(named or numbers), 0)
    current = _current_column(heads, some, [n for n in numbers if n != time], time)
    scale, unit = _unit_of(heads, some, current, wide)
    return _Columns(
        time, current, clock is not None, _per(heads[time] if time < wide else ""), scale, unit,
        "mm:ss" in (heads[time].lower() if time < wide else ""),
    )  # fmt: skip


def _current_column(
    heads: Sequence[str], rows: Sequence[Sequence[str]], numbers: Sequence[int], time: int
) -> int:
    """The column with the unit, else with the word, else the next figures behind the time."""

    def unit(n: int) -> str:
        found = next((_figure(row[n]) for row in rows if n < len(row) and _figure(row[n])), None)
        return found[1] if found is not None else ""

    sure = [n for n in numbers if unit(n) in _AMPERES or _in_words(heads[n]) in _AMPERES]
    called = [n for n in numbers if _CURRENT.search(heads[n])]
    behind = [n for n in numbers if n > time]
    return next(iter(sure or called or behind or numbers), time + 1)


def _in_words(head: str) -> str:
    """The unit in a heading: “I [mA]” is ma."""
    found = _IN_WORDS.search(head)
    return "" if found is None else found[1].lower()


def _unit_of(
    heads: Sequence[str], rows: Sequence[Sequence[str]], current: int, wide: int
) -> tuple[float, int | None]:
    """What a bare figure is worth [A], and the column with units of their own.

    Raises `InputProblem` where the figures are volts.
    """
    units = [
        n
        for n in range(wide)
        if n != current
        and sum(n < len(row) and row[n].lower() in (*_AMPERES, *_VOLTS) for row in rows)
        > len(rows) / 3
    ]
    unit = units[0] if units else None
    head = _in_words(heads[current]) if current < wide else ""
    volts = head in _VOLTS if unit is None else all(
        row[unit].lower() in _VOLTS for row in rows if unit < len(row)
    )  # fmt: skip
    if volts:
        raise InputProblem(
            say("the figures are volts, and a current is wanted"),
            remedy=say("paste the column with A or mA"),
        )
    return _AMPERES.get(head, 1.0), unit


def _per(head: str) -> float | None:
    """What one of a time in figures is worth [min], as its heading says."""
    return next((worth for unit, worth in _UNITS_OF_TIME if unit.search(head)), None)


# --- points ---------------------------------------------------------------------------------------


def _minutes(columns: _Columns, cells: Sequence[str]) -> float | None:
    if columns.time >= len(cells):
        return None
    cell = cells[columns.time]
    if not columns.clock:
        figure = _figure(cell)
        return None if figure is None else figure[0] * _worth(columns, figure[0])
    if len(cell) > len("2025-05-17"):
        try:
            return datetime.fromisoformat(cell).timestamp() / 60
        except (ValueError, OverflowError, OSError):
            pass  # a clock, or a day written in another order: its clock is enough
    clock = _CLOCK.search(cell)
    if clock is None:
        return None
    hours, minutes, seconds, half = clock.groups()
    if columns.short and seconds is None:
        return int(hours) + int(minutes) / 60
    later = 12 if half and half.lower() == "pm" and int(hours) < 12 else 0
    early = 12 if half and half.lower() == "am" and int(hours) == 12 else 0
    return (int(hours) + later - early) * 60 + int(minutes) + int(seconds or 0) / 60


def _worth(columns: _Columns, value: float) -> float:
    if abs(value) > _EPOCH_S:
        return 1 / 60 if abs(value) < 1000 * _EPOCH_S else 1 / 60_000
    return 1.0 if columns.per is None else columns.per


def _amperes(columns: _Columns, cells: Sequence[str]) -> float | None:
    """A current, whichever way round the meter was; `None` for what is none."""
    figure = _figure(cells[columns.current]) if columns.current < len(cells) else None
    if figure is None:
        return None
    value, unit = figure
    if columns.unit is not None and columns.unit < len(cells):
        unit = unit or cells[columns.unit].lower()
    if unit and unit not in _AMPERES:
        return None
    amperes = abs(value) * _AMPERES.get(unit, columns.scale)
    return amperes if amperes <= MOST_A else None


def _from_the_first(
    points: list[tuple[float, float]], *, runs_on: bool
) -> tuple[tuple[float, float], ...]:
    """Minutes from the first, in order; a clock that falls by half a day has passed midnight."""
    found: list[tuple[float, float]] = []
    day = 0.0
    for minutes, amperes in points:
        if runs_on and found and minutes + day < found[-1][0] - _DAY_MIN / 2:
            day += _DAY_MIN
        found.append((minutes + day, amperes))
    found.sort(key=lambda point: point[0])
    return tuple((minutes - found[0][0], amperes) for minutes, amperes in found)
