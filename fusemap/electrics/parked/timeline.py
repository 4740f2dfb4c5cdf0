"""The time since locking, cut into stretches, and the charges at which something happens in each.

In: draws with phases in hours since locking and daily clock hours, temperature steps [°C]. Out: a
Timeline: edges [h], and for each stretch between two edges, in which nothing is switched, its
*pattern* (which rows are in force, at which temperature) and its *step* (pattern and length). Sixty
days of a timetable hold few patterns and steps: what depends on them is computed once, not daily.

With battery, crank limit and freezing points each pattern has its tables of shape (patterns, 1 or
draws): leak [1/h], currents [A], and the levels [Ah] at which the battery is empty, no longer
cranks, or freezes. A cut-off sees volts; as the current is constant within a pattern, its voltage
is one level of the surface charge, and finding its instant needs no voltage at all.

Source: device voltage = open-circuit voltage(surface charge) - total current x battery resistance
- each current x the resistance that its way shares with the device's - own current x cable
resistance (Ohm's law); the equations are in two_well.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fusemap.electrics.battery import CrankLimit, FreezingPoints, TwoWell
from fusemap.electrics.parked.draws import DAY_H, CutOff, Draw
from fusemap.electrics.two_well import mean_decay
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


NEVER_AH = -1.0
"""A level that no charge reaches [Ah]."""


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


@dataclass(frozen=True, eq=False)
class CutOffs:
    """All cut-offs, stacked: their figures, and the currents [A] that the voltage of each sees."""

    draw: tuple[int, ...]
    v_off: Floats  # (cut-offs, 1 or draws), as the next three
    v_on: Floats
    delay_h: Floats
    own_ohm: Floats  # of its cable and its whole way
    own_a: Floats  # (cut-offs, patterns, 1 or draws), as the next
    permanent_a: Floats  # of the draws that have no cut-off
    others_a: Floats  # (cut-offs, cut-offs, patterns, 1 or draws), of the second; 0 for itself
    permanent_v: Floats  # as the last two: what those currents cost on the way [V]
    others_v: Floats


@dataclass(frozen=True, eq=False)
class Tables:
    """All that stays the same whatever is switched; patterns first, draws of a Monte Carlo last."""

    full_ah: Floats
    scaled_ah: Floats
    k: Floats
    c: Floats
    ohm: Floats
    leak: Floats
    empty_ah: Floats
    start_ah: (
        Floats  # surface charge from which on no start is possible: empty, or too low a voltage
    )
    crank_ah: Floats  # whole charge below which it does not crank
    freeze_ah: Floats
    permanent_a: Floats  # mean current of the draws without a cut-off
    sources_a: Floats  # what still flows when the battery is empty
    switched_a: Floats  # (cut-offs, patterns, 1 or draws), mean current of the draws with a cut-off
    cut_offs: CutOffs
    decay_q: Floats  # (steps, 1 or draws): q -> decay_q·q - weight_q·I
    weight_q: Floats
    decay_d: Floats  # d -> decay_d·d + weight_d·I
    weight_d: Floats


def build_tables(
    battery: TwoWell,
    draws: Sequence[Draw],
    timeline: Timeline,
    crank: CrankLimit,
    freezing: FreezingPoints | None,
) -> Tables:
    """Tables of the whole forecast, from the battery and the timeline."""
    t = timeline.temperature
    leak, c, k = column(battery.leak_per_h(t)), column(battery.c), column(battery.k_per_h)
    hours = timeline.step_hours[:, None]
    slow, fast = leak[timeline.step_pattern], (k + leak)[timeline.step_pattern]
    empty = column(battery.empty_level_ah(t))
    crank_ah = np.maximum(column(battery.charge_at(crank.soc(t))), NEVER_AH)
    switched = [number for number, draw in enumerate(draws) if draw.cut_off is not None]
    permanent = [number for number, draw in enumerate(draws) if draw.cut_off is None]
    sources = [number for number in permanent if draws[number].has_source]
    return Tables(
        full_ah=column(battery.full_ah),
        scaled_ah=column(battery.scaled_ah),
        k=k,
        c=c,
        ohm=column(battery.terminal_ohm),
        leak=leak,
        empty_ah=empty,
        start_ah=np.maximum(empty, crank_ah) if crank.by_voltage else empty,
        crank_ah=np.full_like(crank_ah, NEVER_AH) if crank.by_voltage else crank_ah,
        freeze_ah=_freezing_charge(battery, freezing, t),
        permanent_a=_total([timeline.currents(n) for n in permanent], len(t)),
        sources_a=_total([timeline.currents(n, sources_only=True) for n in sources], len(t)),
        switched_a=_stacked([timeline.currents(n) for n in switched], (0, len(t), 1)),
        cut_offs=_cut_offs(draws, timeline, permanent, switched),
        decay_q=np.exp(-slow * hours),
        weight_q=hours * mean_decay(slow * hours),
        decay_d=np.exp(-fast * hours),
        weight_d=hours * mean_decay(fast * hours) / c,
    )


def _total(currents: Sequence[Floats], patterns: int) -> Floats:
    return sum(currents, start=np.zeros((patterns, 1)))


def _freezing_charge(battery: TwoWell, freezing: FreezingPoints | None, t: Floats) -> Floats:
    """Charge [Ah] below which the battery freezes at each temperature."""
    if freezing is None:
        return np.full((len(t), 1), NEVER_AH)
    charge = battery.charge_at(freezing.soc_below_which_ice(t))
    return np.maximum(column(charge), NEVER_AH)


def _cut_offs(
    draws: Sequence[Draw], timeline: Timeline, permanent: Sequence[int], switched: Sequence[int]
) -> CutOffs:
    cuts = [each.cut_off for each in draws if each.cut_off is not None]
    patterns = len(timeline.temperature)

    def seen(by: CutOff, other: int) -> Floats:
        return timeline.currents(other, peak=_shows_peak(draws[other], by))

    def figure(values: Sequence[Values]) -> Floats:
        return _stacked([column(each) for each in values], (0, 1))

    pairs = list(zip(cuts, switched, strict=True))
    ohm = {n: [draws[n].shares_ohm(other) for other in draws] for n in switched}
    own = [seen(cut, number) for cut, number in pairs]
    steady = [[seen(cut, other) for other in permanent] for cut in cuts]
    steady_v = [
        _total([a * ohm[number][other] for a, other in zip(row, permanent, strict=True)], patterns)
        + column(cut.lost_v)
        for row, (cut, number) in zip(steady, pairs, strict=True)
    ]
    others = [[seen(cut, other) * (other != number) for other in switched] for cut, number in pairs]
    others_v = [
        [a * ohm[number][other] for a, other in zip(row, switched, strict=True)]
        for row, number in zip(others, switched, strict=True)
    ]
    return CutOffs(
        draw=tuple(switched),
        v_off=figure([cut.v_off for cut in cuts]),
        v_on=figure([cut.v_on for cut in cuts]),
        delay_h=figure([cut.delay_s for cut in cuts]) / 3600.0,
        own_ohm=figure([cut.cable_ohm + ohm[number][number] for cut, number in pairs]),
        own_a=_stacked(own, (0, patterns, 1)),
        permanent_a=_stacked([_total(row, patterns) for row in steady], (0, patterns, 1)),
        others_a=_stacked([_stacked(row, ()) for row in others], (0, 0, patterns, 1)),
        permanent_v=_stacked(steady_v, (0, patterns, 1)),
        others_v=_stacked([_stacked(row, ()) for row in others_v], (0, 0, patterns, 1)),
    )


def _stacked(arrays: Sequence[Floats], shape_of_none: tuple[int, ...]) -> Floats:
    """The arrays on a new first axis, all as long as the longest."""
    return np.stack(np.broadcast_arrays(*arrays)) if arrays else np.zeros(shape_of_none)


def _shows_peak(draw: Draw, cut_off: CutOff) -> bool:
    """Whether the draw's on-time lasts as long as the delay, so that the cut-off sees the peak."""
    return draw.on_time_s > 0.0 and bool((draw.on_time_s >= np.asarray(cut_off.delay_s)).all())


def surface_charge_at(battery: TwoWell, volts: Floats, which: Picked) -> Floats:
    """Surface charge [Ah] at an open-circuit voltage, volts [V], of the whole battery.

    `which` [-] names the draws. Source: as surface_soc_at.
    """
    soc = column(battery.surface_soc_at(volts, which))
    full, scaled = column(battery.full_ah), column(battery.scaled_ah)
    return picked(full, which) - (1.0 - soc) * picked(scaled, which)
