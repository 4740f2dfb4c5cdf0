"""The time since locking, cut into stretches in which nothing is switched.

In: draws with phases in hours since locking and daily clock hours, temperature steps [°C]. Out: a
Timeline: edges [h], and for each stretch between two edges its *pattern* (which rows are in force,
at which temperature) and its *step* (pattern and length). Sixty days of a timetable hold few
patterns and steps, so what depends on them is computed once, not daily.

Source: bookkeeping only; the equations are in two_well.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fusemap.electrics.parked.draws import DAY_H, Draw
from fusemap.electrics.values import Floats, TruthArray, Values

Numbers = NDArray[np.intp]
Picked = Numbers | slice
"""Which draws of the Monte Carlo: their numbers, or all of them."""

SAME_INSTANT_H = 1e-9
"""Edges closer than this [h] are one edge (4 µs)."""

BITS = 40
"""Rows that are numbered at a time; a number of a row pattern stays below 2 to this."""


@dataclass(frozen=True, eq=False)
class Row:
    """One current row of a draw: its full current [A], the draw's duty [-], when in force."""

    current_a: Floats  # (1,) or (draws,)
    duty: float
    in_force: TruthArray  # (patterns, 1)
    hours_so_far: Floats  # (stretches + 1,), at the edges

    def amperes(self, *, peak: bool = False, sources_only: bool = False) -> Floats:
        """Mean (or peak) current while in force [A]; loads as 0 with sources_only."""
        found = self.current_a if peak else self.current_a * self.duty
        return np.minimum(found, 0.0) if sources_only else found


@dataclass(frozen=True)
class DaysAlike:
    """Stretches `first` to `last` (left out), of which each is as the one `length` before it."""

    first: int
    last: int
    length: int

    def window(self, row: int, width: int) -> int:
        """The end [-] of a window from `row` [-] on: about `width` [-], whole rounds where alike.

        Source: bookkeeping only.
        """
        if row < self.first:
            return min(row + width, self.first)
        rounds = min(max(width // self.length, 1), max(self.last - row, 0) // self.length)
        return row + (rounds * self.length or width)

    def holds(self, row: int, end: int) -> bool:
        """Whether a window, `row` to `end` [-], is whole rounds. Source: bookkeeping only."""
        return self.first <= row < end <= self.last and (end - row) % self.length == 0


@dataclass(frozen=True, eq=False)
class Timeline:
    """Edges [h] (n + 1), and for each of the n stretches its pattern and its step by number."""

    edges: Floats
    rows: tuple[tuple[Row, ...], ...]  # of every draw
    pattern: Numbers  # (n,)
    step: Numbers  # (n,)
    step_hours: Floats
    step_pattern: Numbers
    temperature: Floats  # (patterns, 1 or draws)
    days_alike: DaysAlike

    def currents(self, draw: int, *, peak: bool = False, sources_only: bool = False) -> Floats:
        """Current of one draw, by number [-], in each pattern [A], (patterns, 1 or draws).

        Source: the sum of its rows in force.
        """
        total = np.zeros((len(self.temperature), 1))
        for row in self.rows[draw]:
            total = total + row.in_force * row.amperes(peak=peak, sources_only=sources_only)
        return total

    def ampere_hours(self, draw: int, hours: Floats, which: Picked = slice(None)) -> Floats:
        """Charge [Ah] that one draw takes from locking until `hours` [h] if it is never cut off.

        `draw` [-] is its number; `which` [-] names the draws of a Monte Carlo that the hours belong
        to. Source: hours in force times current.
        """
        total = np.zeros_like(hours)
        for row in self.rows[draw]:
            amperes = row.amperes()
            amperes = amperes if len(amperes) == 1 else amperes[which]
            total = total + amperes * np.interp(hours, self.edges, row.hours_so_far)
        return total


def build_timeline(
    draws: Sequence[Draw],
    temperature_steps: Sequence[tuple[float, Values]],
    locked_at_clock_h: float,
    horizon_h: float,
    sample_h: Sequence[float] | Floats = (),
) -> Timeline:
    """Timeline from locking to the horizon [h]; a change at an edge holds from that edge on.

    temperature_steps: (from hour [h], [°C]), the first from 0; locked_at_clock_h [h]. Edges where
    nothing changes are left out, but those in sample_h [h] are kept. Source: bookkeeping only.

    >>> lamp = Draw("lamp", daily=((22.0, 6.0, 0.5),))
    >>> build_timeline((lamp,), ((0.0, 20.0),), 18.0, 24.0).edges.tolist()
    [0.0, 4.0, 12.0, 24.0]
    """
    edges, asked = _edges(draws, temperature_steps, locked_at_clock_h, horizon_h, sample_h)
    middles = 0.5 * (edges[:-1] + edges[1:])
    in_force = _in_force(draws, middles, locked_at_clock_h)
    warmth = np.searchsorted([hour for hour, _ in temperature_steps], middles, side="right") - 1
    key = _numbered(warmth, in_force)

    kept = np.concatenate(([True], (key[1:] != key[:-1]) | asked))
    edges, in_force = np.append(edges[:-1][kept], edges[-1]), in_force[:, kept]
    _, stretch, pattern = np.unique(key[kept], return_index=True, return_inverse=True)
    hours = np.diff(edges)
    length = np.unique(np.round(hours, 9), return_inverse=True)[1]
    _, shows, step = np.unique(
        pattern * (len(hours) + 1) + length, return_index=True, return_inverse=True
    )
    return Timeline(
        edges=edges,
        rows=_rows(draws, in_force[:, stretch], _running_sums(in_force * hours)),
        pattern=pattern,
        step=step,
        step_hours=hours[shows],
        step_pattern=pattern[shows],
        temperature=_temperatures(temperature_steps)[warmth[kept][stretch]],
        days_alike=_days_alike(edges, step, sample_h),
    )


def _days_alike(edges: Floats, step: Numbers, sample_h: Sequence[float] | Floats) -> DaysAlike:
    """Where days, or the days between two samples, hold the same stretches over and over."""
    apart = float(sample_h[1] - sample_h[0]) if len(sample_h) > 1 else 0.0
    last = len(step) - 1  # the horizon may cut the one after it
    before = edges[last] - DAY_H * max(1, round(apart / DAY_H))
    start = int(np.searchsorted(edges, before - SAME_INSTANT_H))
    length = last - start
    if length < 1 or abs(edges[start] - before) > SAME_INSTANT_H:
        return DaysAlike(len(step), len(step), 1)
    unlike = np.flatnonzero(step[length:last] != step[: last - length])
    return DaysAlike(int(unlike[-1]) + 1 if len(unlike) else 0, last, length)


def _edges(
    draws: Sequence[Draw],
    temperature_steps: Sequence[tuple[float, Values]],
    locked: float,
    horizon: float,
    sample_h: Sequence[float] | Floats,
) -> tuple[Floats, TruthArray]:
    """Instants at which something may be switched, each once; which inner ones were asked for."""
    single = [hour for hour, _ in temperature_steps]
    for draw in draws:
        single += [edge for row in draw.phases for edge in row[:2]] + [draw.until_h]
    clock = {edge for draw in draws for row in draw.daily for edge in row[:2]}
    days = np.arange(0.0, horizon + DAY_H, DAY_H)
    daily = [(edge - locked) % DAY_H + days for edge in sorted(clock)]
    switched = np.concatenate([np.array(single, dtype=float), *daily])
    hours = np.concatenate((switched, np.asarray(sample_h, dtype=float)))
    order = np.argsort(hours)
    asked, hours = (order >= len(switched)), hours[order]
    inside = (hours > SAME_INSTANT_H) & (hours < horizon - SAME_INSTANT_H)
    hours, asked = hours[inside], asked[inside]
    if len(hours):
        first = np.flatnonzero(np.diff(hours, prepend=-1.0) > SAME_INSTANT_H)
        hours, asked = hours[first], np.logical_or.reduceat(asked, first)
    return np.concatenate(([0.0], hours, [horizon])), asked


def _in_force(draws: Sequence[Draw], middles: Floats, locked: float) -> TruthArray:
    """In which stretches each current row of each draw is in force, (rows, stretches)."""
    found = []
    clock = locked + middles
    for draw in draws:
        running = middles < draw.until_h
        for start, end, _ in draw.phases:
            found.append(running & (middles >= start) & (middles < end))
        for start, end, _ in draw.daily:
            length = (end - start) % DAY_H or DAY_H
            found.append(running & ((clock - start) % DAY_H < length))
    return np.array(found, dtype=bool).reshape(len(found), len(middles))


def _rows(
    draws: Sequence[Draw], in_force: TruthArray, hours_so_far: Floats
) -> tuple[tuple[Row, ...], ...]:
    """The current rows of every draw; in_force is (rows, patterns)."""
    each = zip(in_force[:, :, None], hours_so_far, strict=True)
    return tuple(
        tuple(
            Row(np.atleast_1d(np.asarray(current, dtype=float)), draw.duty, *next(each))
            for _, _, current in (*draw.phases, *draw.daily)
        )
        for draw in draws
    )


def _numbered(warmth: Numbers, in_force: TruthArray) -> Numbers:
    """One number per stretch, the same wherever the same rows and temperature are in force."""
    key = warmth
    for first in range(0, len(in_force), BITS):
        part = in_force[first : first + BITS]
        number = (1 << np.arange(len(part))) @ part
        key = np.unique((key << BITS) + number, return_inverse=True)[1]
    return key


def _running_sums(hours: Floats) -> Floats:
    return np.concatenate((np.zeros((len(hours), 1)), np.cumsum(hours, axis=1)), axis=1)


def _temperatures(steps: Sequence[tuple[float, Values]]) -> Floats:
    """Temperature [°C] of every step, (steps, 1 or draws)."""
    values = np.broadcast_arrays(*(np.atleast_1d(np.asarray(value, float)) for _, value in steps))
    return np.stack(values)
