"""The time since locking, cut into stretches in which nothing is switched.

In: draws with phases in hours since locking and daily clock hours, temperature steps [°C]. Out: a
Timeline: edges [h], and for each stretch between two edges, in which nothing is switched, its
*pattern* (which rows are in force, at which temperature) and its *step* (pattern and length). Sixty
days of a timetable hold few patterns and steps: what depends on them is computed once, not daily.

Currents that follow the battery's voltage as it falls are stepped along it (`Following`).

Source: bookkeeping only.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct
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


LEAST_ALIKE = 3
"""So many days alike are worth being looked at as one [-]."""


class Following(Struct, frozen=True, eq=False):
    """How currents follow the battery's voltage: factors [-] of some kinds, from some hours [h] on.

    Kind 0 stays as it is.
    """

    hours: Floats  # (steps,), the first 0
    kind: Numbers  # (draws,)
    factor: Floats  # (kinds, steps, 1 or draws of a Monte Carlo)

    @staticmethod
    def nothing(draws: int) -> Following:
        """No current of so many `draws` [-] follows the voltage. Source: bookkeeping only."""
        return Following(np.zeros(1), np.zeros(draws, dtype=np.intp), np.ones((1, 1, 1)))


class Rows(Struct, frozen=True, eq=False):
    """The current rows of all draws, one after the other: whose they are, what flows, and when."""

    draw: Numbers  # (rows,), rising
    current_a: Floats  # (rows, 1 or draws), the full current
    duty: Floats  # (rows, 1), its draw's [-]
    in_force: TruthArray  # (rows, patterns)
    hours_so_far: Floats  # (rows, stretches + 1), at the edges
    kind: Numbers  # (rows,), of following the voltage
    factor: Floats  # (kinds, steps, 1 or draws)
    step_hours: Floats  # (steps,), from when on each holds
    step: Numbers  # (patterns,)

    def amperes(self, peaks: TruthArray | None = None, *, sources_only: bool = False) -> Floats:
        """Mean current while in force [A], (rows, 1 or draws); loads are 0 with sources_only.

        `peaks` (draws,) says of whom the full current counts. Source: duty is a share of the time.
        """
        duty = self.duty if peaks is None else np.where(peaks[self.draw, None], 1.0, self.duty)
        found = self.current_a * duty
        return np.minimum(found, 0.0) if sources_only else found

    def summed(self, values: Floats, draws: int) -> Floats:
        """The sums over the rows of each of so many `draws` [-] of some values [any unit].

        Source: bookkeeping only.
        """
        total = np.zeros((draws, *values.shape[1:]))
        if len(values):
            owner, first = np.unique(self.draw, return_index=True)
            total[owner] = np.add.reduceat(values, first, axis=0)
        return total


class DaysAlike(Struct, frozen=True):
    """Days of `length` stretches each, all alike, from stretch `first` on, `times` [-] of them."""

    first: int
    length: int
    times: int

    @property
    def last(self) -> int:
        """The stretch after them."""
        return self.first + self.length * self.times


class Timeline(Struct, frozen=True, eq=False):
    """Edges [h] (n + 1), and for each of the n stretches its pattern and its step by number."""

    edges: Floats
    draws: int
    rows: Rows
    pattern: Numbers  # (n,)
    step: Numbers  # (n,)
    step_hours: Floats
    step_pattern: Numbers
    temperature: Floats  # (patterns, 1 or draws)
    days_alike: tuple[DaysAlike, ...]

    def currents(self, *, sources_only: bool = False) -> Floats:
        """Mean current of every draw in each pattern [A], (draws, patterns, 1 or Monte Carlo).

        Source: the sum of its rows in force.
        """
        rows = self.rows
        amperes = rows.amperes(sources_only=sources_only)
        flowing = rows.in_force[:, :, None] * amperes[:, None, :]
        return rows.summed(flowing * rows.factor[rows.kind][:, rows.step], self.draws)

    def total(
        self,
        weights: Floats,
        peaks: TruthArray | None = None,
        *,
        sources_only: bool = False,
    ) -> Floats:
        """The draws' currents times their `weights` [-] (draws,), together, (patterns, 1 or draws).

        [A], where the weights are resistances [V]; peaks [-] and sources_only as in Rows.amperes.
        Source: the sum of the rows in force.
        """
        rows = self.rows
        amperes = rows.amperes(peaks, sources_only=sources_only)
        share = rows.in_force.T * weights[rows.draw]
        found = np.zeros((len(self.temperature), 1))
        for kind, factor in enumerate(rows.factor):
            its = rows.kind == kind
            if its.any():
                found = found + share[:, its] @ amperes[its] * factor[rows.step]
        return found

    def ampere_hours(self, hours: Floats) -> Floats:
        """Charge [Ah] that every draw takes until `hours` [h] if never cut off, (draws, hours).

        Source: hours in force times current.
        """
        each = self._row_ampere_hours(slice(None), hours, np.arange(len(hours)))
        return self.rows.summed(each, self.draws)

    def ampere_hours_of(self, draw: int, hours: Floats, which: Numbers) -> Floats:
        """One draw's, by number [-], at `hours` [h], (hours,).

        `which` [-] names the draws of a Monte Carlo that the hours belong to. Source: as above.
        """
        first, end = np.searchsorted(self.rows.draw, [draw, draw + 1])
        return np.asarray(self._row_ampere_hours(slice(first, end), hours, which).sum(axis=0))

    def _row_ampere_hours(self, some: slice, hours: Floats, which: Numbers) -> Floats:
        rows = self.rows
        so_far, begun = self._in_force(some, hours), self._in_force(some, rows.step_hours)
        step = np.searchsorted(rows.step_hours, hours, side="right") - 1
        past = np.arange(len(rows.step_hours) - 1)[:, None] < step
        counted = np.zeros_like(so_far)
        for kind in set(rows.kind[some].tolist()):
            its, factor = rows.kind[some] == kind, picked(rows.factor[kind], which)
            # whole steps, then what the last one has had until then
            whole = np.diff(begun[its]) @ (factor[:-1] * past)
            now = at(factor, step, np.arange(len(hours)))
            counted[its] = whole + now * (so_far[its] - begun[its][:, step])
        return picked(rows.amperes()[some], which) * counted

    def _in_force(self, some: slice, hours: Floats) -> Floats:
        """For how long the rows have been in force at some hours [h], (rows, hours)."""
        stretch = np.searchsorted(self.edges, hours, side="right") - 1
        stretch = np.clip(stretch, 0, len(self.pattern) - 1)
        now = self.rows.in_force[some][:, self.pattern[stretch]]
        return self.rows.hours_so_far[some][:, stretch] + now * (hours - self.edges[stretch])


def build_timeline(
    draws: Sequence[Draw],
    temperature_steps: Sequence[tuple[float, Values]],
    locked_at_clock_h: float,
    horizon_h: float,
    sample_h: Sequence[float] | Floats = (),
    following: Following | None = None,
) -> Timeline:
    """Timeline from locking to the horizon [h]; a change at an edge holds from that edge on.

    temperature_steps: (from hour [h], [°C]), the first from 0; locked_at_clock_h [h]. Edges where
    nothing changes are left out, but those in sample_h [h] are kept. `following` steps the currents
    that follow the voltage. Source: bookkeeping only.

    >>> lamp = Draw("lamp", daily=((22.0, 6.0, 0.5),))
    >>> build_timeline((lamp,), ((0.0, 20.0),), 18.0, 24.0).edges.tolist()
    [0.0, 4.0, 12.0, 24.0]
    """
    following = following or Following.nothing(len(draws))
    single = [*(hour for hour, _ in temperature_steps), *following.hours.tolist()]
    edges, asked = _edges(draws, single, locked_at_clock_h, horizon_h, sample_h)
    middles = 0.5 * (edges[:-1] + edges[1:])
    owner, in_force = _in_force(draws, middles, locked_at_clock_h)
    kind = following.kind[owner]
    # where nothing is on whose current changes, one step is as the other
    step = np.searchsorted(following.hours, middles, side="right") - 1
    step = step * in_force[kind > 0].any(axis=0)
    warmth = np.searchsorted([hour for hour, _ in temperature_steps], middles, side="right") - 1
    key = _numbered(warmth * len(following.hours) + step, in_force)

    kept = np.concatenate(([True], (key[1:] != key[:-1]) | asked))
    edges, in_force = np.append(edges[:-1][kept], edges[-1]), in_force[:, kept]
    _, stretch, pattern = np.unique(key[kept], return_index=True, return_inverse=True)
    hours = np.diff(edges)
    length = np.unique(np.round(hours, 9), return_inverse=True)[1]
    _, shows, numbers = np.unique(
        pattern * (len(hours) + 1) + length, return_index=True, return_inverse=True
    )
    return Timeline(
        edges=edges,
        draws=len(draws),
        rows=Rows(
            draw=owner,
            current_a=_row_currents(draws),
            duty=np.array([draw.duty for draw in draws])[owner][:, None],
            in_force=in_force[:, stretch],
            hours_so_far=_running_sums(in_force * hours),
            kind=kind,
            factor=following.factor,
            step_hours=following.hours,
            step=step[kept][stretch],
        ),
        pattern=pattern,
        step=numbers,
        step_hours=hours[shows],
        step_pattern=pattern[shows],
        temperature=_temperatures(temperature_steps)[warmth[kept][stretch]],
        days_alike=_days_alike(edges, numbers, sample_h),
    )


def _days_alike(
    edges: Floats, step: Numbers, sample_h: Sequence[float] | Floats
) -> tuple[DaysAlike, ...]:
    """Where days, or the days between two samples, hold the same stretches over and over."""
    apart = float(sample_h[1] - sample_h[0]) if len(sample_h) > 1 else 0.0
    period = DAY_H * max(1, round(apart / DAY_H))
    begin = edges[:-1]
    later = np.searchsorted(edges, begin + period - SAME_INSTANT_H)
    there = np.minimum(later, len(step) - 1)
    same = (later < len(step)) & (np.abs(edges[there] - begin - period) <= SAME_INSTANT_H)
    same &= step[there] == step
    length = np.where(same, later - np.arange(len(step)), 0)
    first = np.flatnonzero(np.diff(length, prepend=0, append=-1)).tolist()
    found, free = [], 0
    for row, end in pairwise(first):
        each, row = int(length[row]), max(row, free)
        times = (end + each - row) // each if each else 0
        if times >= LEAST_ALIKE:
            found.append(DaysAlike(row, each, times))
            free = found[-1].last
    return tuple(found)


def _edges(
    draws: Sequence[Draw],
    single: list[float],
    locked: float,
    horizon: float,
    sample_h: Sequence[float] | Floats,
) -> tuple[Floats, TruthArray]:
    """Instants at which something may be switched, each once; which inner ones were asked for.

    `single` [h] are those that no draw has; they are added to.
    """
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


def _in_force(draws: Sequence[Draw], middles: Floats, locked: float) -> tuple[Numbers, TruthArray]:
    """Of every current row its draw (rows,), and in which stretches it runs (rows, stretches)."""
    rows = [
        (number, daily, start, end, draw.until_h)
        for number, draw in enumerate(draws)
        for daily, own in ((False, draw.phases), (True, draw.daily))
        for start, end, _ in own
    ]
    table = np.array(rows, dtype=float).reshape(len(rows), 5).T
    owner, daily = table[0].astype(np.intp), table[1] > 0.0
    start, end, until = table[2:, :, None]
    runs = (middles >= start) & (middles < end)
    if daily.any():
        start, end = start[daily], end[daily]
        length = (end - start) % DAY_H
        length[length == 0.0] = DAY_H
        runs[daily] = (locked + middles - start) % DAY_H < length
    return owner, runs & (middles < until)


def _row_currents(draws: Sequence[Draw]) -> Floats:
    """The full current of every row [A], (rows, 1 or draws of a Monte Carlo)."""
    found = [row[2] for draw in draws for row in (*draw.phases, *draw.daily)]
    if all(isinstance(each, float) for each in found):
        return np.array(found, dtype=float).reshape(len(found), 1)
    return stacked([column(each) for each in found])


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


def column(values: Values) -> Floats:
    """The values [any unit] as an array with the draws on its last axis, one if there is only one.

    Source: bookkeeping only.
    """
    return np.atleast_1d(np.asarray(values, dtype=np.float64))


def picked(values: Floats, which: Picked) -> Floats:
    """The values [any unit] of some of the draws, `which` [-]; a single value serves them all.

    Source: bookkeeping only.
    """
    return values if values.shape[-1] == 1 else values[..., which]


def at(table: Floats, pattern: Numbers, which: Picked) -> Floats:
    """Values of a table [any unit] (..., patterns, 1 or draws) for pairs of a pattern and a draw.

    pattern [-] and which [-] are their numbers. Source: bookkeeping only.
    """
    return table[..., pattern, 0] if table.shape[-1] == 1 else table[..., pattern, which]


def stacked(arrays: Sequence[Floats]) -> Floats:
    """The arrays [any unit] on a new first axis, all as long as the longest; (0, 1) of none.

    Source: bookkeeping only.
    """
    return np.stack(np.broadcast_arrays(*arrays)) if arrays else np.zeros((0, 1))
