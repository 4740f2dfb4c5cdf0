"""How long a vehicle may stand: the parked battery from locking to a horizon, event by event.

In: a battery, its state of charge [-], the draws on it [A over h], temperature [°C]. Out: a
Forecast: hours [h] until cranking fails, until empty, until ice; ampere-hours of each draw, what
the cut-offs do, and points for a chart. Any input may be an array of shape (draws,): then so are
the answers, in one pass (a Monte Carlo).

Source: two-well model with leak (two_well.py). Limits: charging voltage is not modelled; currents
do not depend on voltage; a load that stopped because the battery was empty stays off. No measured
starter battery at these currents was found: give a band, not a date.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from fusemap.electrics.battery import CrankLimit, FreezingPoints, TwoWell
from fusemap.electrics.parked_engine import run_to_horizon
from fusemap.electrics.parked_levels import build_tables, column
from fusemap.electrics.parked_samples import Samples, band, chart, volts_at
from fusemap.electrics.parked_state import Run
from fusemap.electrics.parked_timeline import CutOff, Draw, Timeline, build_timeline
from fusemap.electrics.values import Floats, Truths, Values, require_finite, require_positive
from fusemap.errors import InputProblem

__all__ = [
    "CutOff",
    "CutOffResult",
    "Draw",
    "Event",
    "EventKind",
    "Forecast",
    "Samples",
    "forecast",
]

CHART_STRETCHES = 120
"""Stretches into which the chart of a single forecast is cut besides its events."""

Temperature = Values | tuple[tuple[float, Values], ...]
"""[°C], or steps of (from hour, °C), the first from 0."""


class EventKind(StrEnum):
    """What happened, to a draw (its name) or to the battery (no name)."""

    DRAW_CHANGES = "draw changes"
    TEMPERATURE_STEP = "temperature step"
    CUT_OFF_TRIPS = "trips"
    CUT_OFF_RECONNECTS = "reconnects"
    CUT_OFF_CHATTERS = "chatters"
    CRANK_LIMIT = "crank limit"
    EMPTY = "empty"
    FREEZES = "freezes"
    FULL = "full"


@dataclass(frozen=True)
class Event:
    """One event: hours since locking [h], kind, draw, state of charge [-], volts before it [V]."""

    hours: float
    kind: EventKind
    name: str
    soc: float
    volts: float


@dataclass(frozen=True, eq=False)
class CutOffResult:
    """What one cut-off did: trips and reconnects (numbers), first trip [h] (inf: none).

    chatter: at a trip the battery recovered to v_on or above without sun, so the draw comes back
    by itself; rebound_v [V] is what it recovered to at the first trip (nan: no trip).
    """

    name: str
    trips: Values
    reconnects: Values
    first_trip_h: Values
    chatter: Truths
    rebound_v: Values
    off_at_end: Truths


@dataclass(frozen=True, eq=False)
class Forecast:
    """The parked battery from locking to the horizon; hours are inf where not reached within it.

    draw_ah, self_discharge_ah and unaccepted_ah (what a source offered a full battery) cover the
    time until the crank limit, or the horizon where it is not reached [Ah]; sources are negative.
    events and the chart are for a single forecast only.
    """

    horizon_h: float
    names: tuple[str, ...]
    hours_to_crank_limit: Values
    hours_to_empty: Values
    hours_to_freezing: Values
    draw_ah: tuple[Values, ...]
    self_discharge_ah: Values
    unaccepted_ah: Values
    end_soc: Values
    cut_offs: tuple[CutOffResult, ...]
    events: tuple[Event, ...]
    samples: Samples


def forecast(
    battery: TwoWell,
    start_soc: Values,
    draws: Sequence[Draw],
    *,
    temperature_c: Temperature = 25.0,
    locked_at_clock_h: float = 0.0,
    horizon_h: float = 1440.0,
    crank: CrankLimit | None = None,
    freezing: FreezingPoints | None = None,
    sample_h: Sequence[float] | Floats | None = None,
) -> Forecast:
    """Forecast of a battery that starts rested at `start_soc` [-] with the given draws.

    locked_at_clock_h [h] is the clock at hour 0, for daily rows; sample_h [h] asks for points of
    the chart or band beside the edges. Raises InputProblem that names the argument.

    >>> battery = TwoWell(60.0, (0.0, 1.0), (11.8, 12.6), self_discharge_share_30d_20c=0.0)
    >>> modules = Draw.constant("modules", 0.05)
    >>> f = forecast(battery, 1.0, (modules,), crank=CrankLimit(0.5))
    >>> f.hours_to_crank_limit, f.draw_ah  # half of 60 Ah at 50 mA
    (600.0, (30.0,))
    """
    steps = _temperature_steps(temperature_c)
    horizon = float(require_positive(horizon_h, "horizon_h", "h"))
    require_finite(horizon, "horizon_h", "h")
    crank = crank or CrankLimit()
    count = _count(battery, start_soc, draws, steps, crank)
    if sample_h is None:
        sample_h = np.linspace(0.0, horizon, CHART_STRETCHES + 1) if count is None else ()
    timeline = build_timeline(draws, steps, locked_at_clock_h, horizon, sample_h)
    tables = build_tables(battery, draws, timeline, crank, freezing)
    start = np.broadcast_to(column(battery.start(start_soc)[0]), (count or 1,))
    run = Run(battery, tables, timeline, count or 1, start)
    run_to_horizon(run)
    return _gather(run, draws, steps, single=count is None)


def _temperature_steps(temperature: Temperature) -> tuple[tuple[float, Values], ...]:
    steps = temperature if isinstance(temperature, tuple) else ((0.0, temperature),)
    hours = [hour for hour, _ in steps]
    if not hours or hours[0] != 0.0 or any(b <= a for a, b in pairwise(hours)):
        raise InputProblem("steps must begin at hour 0 and follow in time", "temperature_c")
    for _, value in steps:
        require_finite(value, "temperature_c", "°C")
    return steps


def _count(
    battery: TwoWell,
    start_soc: Values,
    draws: Sequence[Draw],
    steps: tuple[tuple[float, Values], ...],
    crank: CrankLimit,
) -> int | None:
    """Draws of the Monte Carlo; None for a single forecast. InputProblem where lengths differ."""
    values: list[Values] = [
        battery.capacity_ah,
        battery.soh,
        battery.r,
        battery.c,
        battery.k_per_h,
        battery.self_discharge_share_30d_20c,
        battery.resistance_ohm,
        start_soc,
        crank.base_soc,
        *(value for _, value in steps),
    ]
    for draw in draws:
        values += [row[2] for row in (*draw.phases, *draw.daily)]
        if draw.cut_off is not None:
            cut = draw.cut_off
            values += [cut.v_off, cut.v_on, cut.delay_s, cut.cable_ohm]
    shapes = {np.shape(value) for value in values} - {()}
    if len(shapes) > 1 or any(len(shape) != 1 for shape in shapes):
        raise InputProblem("arrays must all have one axis of the same length", "draws")
    return next(iter(shapes))[0] if shapes else None


def _gather(
    run: Run, draws: Sequence[Draw], steps: tuple[tuple[float, Values], ...], single: bool
) -> Forecast:
    """The Forecast from a finished run."""
    timeline, tables = run.timeline, run.tables
    horizon = np.full(run.count, timeline.edges[-1])
    everyone = np.arange(run.count)
    reached = np.isfinite(run.crank_h)
    until = np.where(reached, run.crank_h, horizon)
    switched = np.where(reached, run.crank_taken, run.taken_until(everyone, horizon))
    taken = _draw_charges(run, draws, until, switched)
    unaccepted = np.where(reached, run.crank_unaccepted, run.unaccepted)
    end_q = np.where(reached, run.crank_q, run.q[-1])
    leaked = run.q[0] - end_q - sum(taken, start=np.zeros(run.count)) - unaccepted

    def out(values: Floats) -> Values:
        return float(values[0]) if single else values

    return Forecast(
        horizon_h=float(timeline.edges[-1]),
        names=tuple(draw.name for draw in draws),
        hours_to_crank_limit=out(run.crank_h),
        hours_to_empty=out(run.empty_h),
        hours_to_freezing=out(run.freeze_h),
        draw_ah=tuple(out(each) for each in taken),
        self_discharge_ah=out(leaked),
        unaccepted_ah=out(unaccepted),
        end_soc=out(1.0 - (tables.full_ah - run.q[-1]) / tables.scaled_ah),
        cut_offs=_cut_off_results(run, draws, single),
        events=_events(run, draws, steps) if single else (),
        samples=chart(run, draws) if single else band(run),
    )


def _draw_charges(run: Run, draws: Sequence[Draw], until: Floats, switched: Floats) -> list[Floats]:
    """Charge [Ah] of each draw until `until` [h]; when empty, only sources go on."""
    loads_until = np.minimum(until, run.empty_h)
    numbers = {cut.draw: number for number, cut in enumerate(run.tables.cut_offs)}
    found = []
    for draw in range(len(draws)):
        if draw in numbers:
            found.append(switched[numbers[draw]])
            continue
        charge = run.timeline.ampere_hours(draw, loads_until)
        if (loads_until < until).any():
            late = run.timeline.ampere_hours(draw, until, sources_only=True)
            charge += late - run.timeline.ampere_hours(draw, loads_until, sources_only=True)
        found.append(charge)
    return found


def _cut_off_results(run: Run, draws: Sequence[Draw], single: bool) -> tuple[CutOffResult, ...]:
    off = ~run.connected(slice(None))
    found = []
    for number, cut in enumerate(run.tables.cut_offs):
        values = (
            run.trips[number],
            run.reconnects[number],
            run.first_trip_h[number],
            run.chatter[number],
            run.rebound_v[number],
            off[number],
        )
        name = draws[cut.draw].name
        if single:
            found.append(CutOffResult(name, *(value[0].item() for value in values)))
        else:
            found.append(CutOffResult(name, *values))
    return tuple(found)


def _events(
    run: Run, draws: Sequence[Draw], steps: tuple[tuple[float, Values], ...]
) -> tuple[Event, ...]:
    """Everything that happened in a single forecast, in order of time; daily switching left out."""
    edges = run.timeline.edges
    found = []
    for each in run.happenings:
        name = "" if each.cut_off is None else draws[run.tables.cut_offs[each.cut_off].draw].name
        found.append(_event(run, each.hours, EventKind(each.what), name, each.q, each.d, each.row))
    switched = [(hour, EventKind.TEMPERATURE_STEP, "") for hour, _ in steps]
    for draw in draws:
        times = {edge for row in draw.phases for edge in row[:2]} | {draw.until_h}
        switched += [
            (hour, EventKind.DRAW_CHANGES, draw.name) for hour in times if hour <= draw.until_h
        ]
    for hour, kind, name in switched:
        row = int(np.searchsorted(edges, hour - 1e-9))
        if 0 < row < len(edges) - 1 and abs(edges[row] - hour) <= 1e-9:
            found.append(_event(run, hour, kind, name, run.q[row, 0], run.d[row, 0], row - 1))
    return tuple(sorted(found, key=lambda event: (event.hours, event.kind, event.name)))


def _event(
    run: Run, hours: float, kind: EventKind, name: str, q: float, d: float, row: int
) -> Event:
    soc = float(np.squeeze(run.battery.soc(q)))
    return Event(hours, kind, name, soc, volts_at(run, hours, q, d, row))


def timeline_of(draws: Sequence[Draw], horizon_h: float) -> Timeline:
    """Timeline of draws alone [h], at one temperature; for drawing what runs when."""
    return build_timeline(draws, ((0.0, 20.0),), 0.0, horizon_h)
