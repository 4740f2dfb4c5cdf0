"""What draws current from a parked vehicle, cut into stretches in which nothing is switched.

In: draws with phases in hours since locking, daily timetables in clock hours, after-run timers;
temperature steps [°C]. Out: a Timeline: edges [h], and for each stretch between two edges its
*pattern* (which rows are in force, at which temperature) and its *step* (pattern and length).
Sixty days of a timetable hold few patterns, so what depends on them is computed once, not daily.

Source: bookkeeping only; the equations are in two_well.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import inf

import numpy as np
from numpy.typing import NDArray

from fusemap.electrics.values import Floats, Values, require_finite, require_not_negative
from fusemap.errors import InputProblem

CurrentRow = tuple[float, float, Values]
"""From [h], to [h], current [A]."""

SAME_INSTANT_H = 1e-9
"""Edges closer than this [h] are one edge (4 µs)."""

DAY_H = 24.0


@dataclass(frozen=True, eq=False)
class CutOff:
    """Low-voltage cut-off of a draw: off below v_off [V] for delay_s [s], on again above v_on [V].

    The voltage is that at the device: cable_ohm [Ω] is its cable, plus and return together.
    """

    v_off: Values
    v_on: Values
    delay_s: Values = 0.0
    cable_ohm: Values = 0.0

    def __post_init__(self) -> None:
        for name, unit in (("v_off", "V"), ("v_on", "V"), ("delay_s", "s"), ("cable_ohm", "Ω")):
            require_not_negative(getattr(self, name), name, unit)


@dataclass(frozen=True, eq=False)
class Draw:
    """One draw on the parked battery: the sum of its phases and daily rows, each (from, to, A).

    phases count hours since locking; daily rows are clock hours and pass midnight when to <= from.
    until_h [h] ends everything (after-run timer). duty [-] averages the current; with
    duty_period_s [s] given, a cut-off whose delay the on-time outlasts looks at the full current.
    A negative current is a source, such as a solar maintainer. Currents may be (draws,).
    """

    name: str
    phases: tuple[CurrentRow, ...] = ()
    daily: tuple[CurrentRow, ...] = ()
    until_h: float = inf
    duty: float = 1.0
    duty_period_s: float = 0.0
    cut_off: CutOff | None = None

    @staticmethod
    def constant(
        name: str, current_a: Values, until_h: float = inf, cut_off: CutOff | None = None
    ) -> Draw:
        """A draw that runs from locking on.

        >>> Draw.constant("alarm", 0.02).phases
        ((0.0, inf, 0.02),)
        """
        return Draw(name, ((0.0, inf, current_a),), until_h=until_h, cut_off=cut_off)

    def __post_init__(self) -> None:
        if not 0.0 <= self.duty <= 1.0:
            raise InputProblem(f"{self.duty:g} given, a share of 0 to 1 needed", "duty")
        for start, end, current in self.phases:
            require_finite(current, "phases", "A")
            if not 0.0 <= start < end:
                raise InputProblem(f"phase from {start:g} h to {end:g} h", "phases")
        for start, end, current in self.daily:
            require_finite(current, "daily", "A")
            if not (0.0 <= start <= DAY_H and 0.0 <= end <= DAY_H):
                raise InputProblem(f"clock hours {start:g} to {end:g}, 0 to 24 needed", "daily")
        rows = (*self.phases, *self.daily)
        if self.cut_off is not None and any((np.asarray(row[2]) < 0.0).any() for row in rows):
            raise InputProblem("a source cannot have a low-voltage cut-off", "cut_off")


@dataclass(frozen=True, eq=False)
class Row:
    """One current row of one draw on the timeline: its mean current [A] and hours in force [h]."""

    draw: int
    mean_a: Floats
    peak_a: Floats
    in_force: NDArray[np.bool_]  # (stretches,)
    hours_so_far: Floats  # (stretches + 1,), at the edges


@dataclass(frozen=True, eq=False)
class Timeline:
    """Edges [h] (n + 1), and for each of the n stretches its pattern and its step by number."""

    edges: Floats
    rows: tuple[Row, ...]
    pattern: NDArray[np.intp]  # (n,)
    step: NDArray[np.intp]  # (n,)
    pattern_stretch: NDArray[np.intp]  # a stretch that shows each pattern
    step_hours: Floats
    step_pattern: NDArray[np.intp]
    temperature: Floats = field(repr=False)  # (patterns, 1 or draws)

    def currents(self, draw: int, *, peak: bool = False, sources_only: bool = False) -> Floats:
        """Current of one draw in each pattern [A], (patterns, 1 or draws)."""
        total = np.zeros((len(self.pattern_stretch), 1))
        for row in self.rows:
            if row.draw == draw:
                amperes = row.peak_a if peak else row.mean_a
                amperes = np.minimum(amperes, 0.0) if sources_only else amperes
                total = total + row.in_force[self.pattern_stretch, None] * amperes
        return total

    def ampere_hours(
        self,
        draw: int,
        hours: Floats,
        which: NDArray[np.intp] | slice = slice(None),
        *,
        sources_only: bool = False,
    ) -> Floats:
        """Charge [Ah] that one draw takes from locking until `hours` [h] if it is never cut off.

        `which` names the draws of a Monte Carlo that the hours belong to.
        """
        total = np.zeros_like(hours)
        for row in self.rows:
            if row.draw == draw:
                amperes = np.minimum(row.mean_a, 0.0) if sources_only else row.mean_a
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

    temperature_steps: (from hour, °C), the first from 0. Edges where nothing changes are left out,
    but those in sample_h [h] are kept.

    >>> lamp = Draw("lamp", daily=((22.0, 6.0, 0.5),))
    >>> build_timeline((lamp,), ((0.0, 20.0),), 18.0, 24.0).edges.tolist()
    [0.0, 4.0, 12.0, 24.0]
    """
    samples = _inside(np.asarray(sample_h, dtype=np.float64), horizon_h)
    edges = _edges(draws, temperature_steps, locked_at_clock_h, horizon_h, samples)
    kept = _join_equal(
        edges, _signature(edges, draws, temperature_steps, locked_at_clock_h), samples
    )
    key = _signature(kept, draws, temperature_steps, locked_at_clock_h)
    hours = np.diff(kept)
    _, stretch, pattern = np.unique(key, return_index=True, return_inverse=True)
    lengths = np.unique(np.round(hours, 9), return_inverse=True)[1]
    _, step_stretch, step = np.unique(
        pattern * (len(hours) + 1) + lengths, return_index=True, return_inverse=True
    )
    rows = tuple(
        Row(number, *_row_currents(draw, current), active, _running_sum(active, hours))
        for number, draw, current, active in _active_rows(draws, _middles(kept), locked_at_clock_h)
    )
    return Timeline(
        kept,
        rows,
        pattern,
        step,
        stretch,
        hours[step_stretch],
        pattern[step_stretch],
        _temperatures(temperature_steps, _middles(kept)[stretch]),
    )


def _inside(hours: Floats, horizon_h: float) -> Floats:
    return hours[(hours > 0.0) & (hours < horizon_h)]


def _middles(edges: Floats) -> Floats:
    return 0.5 * (edges[:-1] + edges[1:])


def _running_sum(active: NDArray[np.bool_], hours: Floats) -> Floats:
    return np.concatenate(([0.0], np.cumsum(active * hours)))


def _row_currents(draw: Draw, current: Values) -> tuple[Floats, Floats]:
    peak = np.atleast_1d(np.asarray(current, dtype=np.float64))
    return peak * draw.duty, peak


def _edges(
    draws: Sequence[Draw],
    steps: Sequence[tuple[float, Values]],
    locked: float,
    horizon: float,
    samples: Floats,
) -> Floats:
    """Every instant at which something may be switched, in order, each once."""
    single = [hour for hour, _ in steps]
    for draw in draws:
        single += [edge for row in draw.phases for edge in row[:2]] + [draw.until_h]
    clock = {edge for draw in draws for row in draw.daily for edge in row[:2]}
    days = np.arange(0.0, horizon + DAY_H, DAY_H)
    daily = [(edge - locked) % DAY_H + days for edge in sorted(clock)]
    found = np.sort(
        _inside(np.concatenate([np.array(single, dtype=float), samples, *daily]), horizon)
    )
    found = np.concatenate(([0.0], found))
    found = found[np.concatenate(([True], np.diff(found) > SAME_INSTANT_H))]
    return np.append(found[found < horizon - SAME_INSTANT_H], horizon)


def _active_rows(
    draws: Sequence[Draw], middles: Floats, locked: float
) -> list[tuple[int, Draw, Values, NDArray[np.bool_]]]:
    """Each current row of each draw, and in which stretches it is in force."""
    found = []
    for number, draw in enumerate(draws):
        running = middles < draw.until_h
        for start, end, current in draw.phases:
            found.append((number, draw, current, running & (middles >= start) & (middles < end)))
        for start, end, current in draw.daily:
            length = (end - start) % DAY_H or DAY_H
            active = running & ((locked + middles - start) % DAY_H < length)
            found.append((number, draw, current, active))
    return found


def _signature(
    edges: Floats, draws: Sequence[Draw], steps: Sequence[tuple[float, Values]], locked: float
) -> NDArray[np.intp]:
    """One number per stretch, the same wherever the same rows and temperature are in force."""
    middles = _middles(edges)
    key = np.searchsorted(np.array([hour for hour, _ in steps]), middles, side="right")
    for count, (_, _, _, active) in enumerate(_active_rows(draws, middles, locked)):
        key = 2 * key + active
        if count % 30 == 29:  # keeps the number short, however many rows there are
            key = np.unique(key, return_inverse=True)[1]
    return key


def _join_equal(edges: Floats, key: NDArray[np.intp], samples: Floats) -> Floats:
    """The edges without those at which nothing changes and nobody asked for a sample."""
    inner = edges[1:-1]
    keep = key[1:] != key[:-1]
    if len(samples):
        nearest = samples[
            np.clip(np.searchsorted(samples, inner - SAME_INSTANT_H), 0, len(samples) - 1)
        ]
        keep |= np.abs(nearest - inner) <= SAME_INSTANT_H
    return np.concatenate((edges[:1], inner[keep], edges[-1:]))


def _temperatures(steps: Sequence[tuple[float, Values]], middles: Floats) -> Floats:
    """Temperature [°C] in the middle of each stretch, (stretches, 1 or draws)."""
    which = np.searchsorted(np.array([hour for hour, _ in steps]), middles, side="right") - 1
    values = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for _, v in steps))
    return np.asarray(np.stack(values)[which])
