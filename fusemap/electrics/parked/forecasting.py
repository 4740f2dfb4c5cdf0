"""The one call that makes a forecast: checks what goes in, runs it, reads the answers.

In: battery, state of charge [-], draws [A], temperature [°C], horizon [h]. Out: a Forecast. Draws
whose current follows the battery's voltage as it falls run as steps of constant current: a first
run with the currents they begin with finds the voltage, a second one with them stepped along it is
good to 0.1 % until a start fails, and to 0.5 % until the battery is empty.

Source: I = I0·(V/V0)^p (loads.py), the voltage being that of the battery at rest; else as in the
package's own text.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, floor

import numpy as np

from fusemap.electrics.battery import CrankLimit, FreezingPoints, TwoWell
from fusemap.electrics.parked.answers import Forecast, charge_at, read_answers
from fusemap.electrics.parked.days import run_to_horizon
from fusemap.electrics.parked.draws import DAY_H, Draw
from fusemap.electrics.parked.run import Run
from fusemap.electrics.parked.tables import build_tables
from fusemap.electrics.parked.timeline import Following, build_timeline, column
from fusemap.electrics.values import Floats, Values, require_finite, require_positive
from fusemap.errors import InputProblem
from fusemap.text import say

STEPS = 12
"""Steps of current between locking and empty [-]; ours, see above."""

LEAST_CHANGE = 1e-3
"""A current that changes by less than this share stays as it is [-]."""


def follow_voltage(battery: TwoWell, draws: Sequence[Draw], run: Run) -> Following | None:
    """How the currents follow the voltage that a first run found; None where none does.

    Source: as in this module's text.
    """
    edges = np.linspace(0.0, _end_h(run), STEPS + 1)
    middles = (edges[1:] + edges[:-1]) / 2
    charge = charge_at(run, np.append(0.0, middles))
    volts = np.asarray(battery.ocv(battery.soc(charge)))
    ratio = volts[1:] / volts[0]
    by = {exponent: ratio**exponent for exponent in {draw.exponent for draw in draws}}
    much = [each for each, factor in by.items() if np.abs(factor - 1.0).max() >= LEAST_CHANGE]
    if not much:
        return None
    factors = [np.ones_like(ratio), *(by[each] for each in much)]
    kind = np.array([much.index(d.exponent) + 1 if d.exponent in much else 0 for d in draws])
    return Following(edges[:-1], kind, np.stack(factors))


def _end_h(run: Run) -> float:
    """When the last of the batteries is empty [h], or the horizon."""
    return float(np.minimum(run.empty_h, run.timeline.edges[-1]).max())


CHART_STRETCHES = 120
"""Stretches into which the chart of a single forecast is cut besides its events."""


def even_hours(horizon_h: float, stretches: int) -> Floats:
    """Hours [h] that cut the time to the horizon into about `stretches` [-] equal ones.

    They divide a day, or are whole days, so that days alike stay alike. Source: bookkeeping only.

    >>> even_hours(60.0, 10).tolist()
    [0.0, 6.0, 12.0, 18.0, 24.0, 30.0, 36.0, 42.0, 48.0, 54.0, 60.0]
    """
    apart = horizon_h / stretches
    apart = DAY_H * ceil(apart / DAY_H) if apart > DAY_H else DAY_H / floor(DAY_H / apart)
    count = ceil(horizon_h / apart - 1e-9)
    return np.append(np.arange(count) * apart, horizon_h)


TemperatureSteps = tuple[tuple[float, Values], ...]
"""(from hour [h], °C), the first from 0."""


def forecast(
    battery: TwoWell,
    start_soc: Values,
    draws: Sequence[Draw],
    *,
    temperature_c: Values | TemperatureSteps = 25.0,
    locked_at_clock_h: float = 0.0,
    horizon_h: float = 1440.0,
    crank: CrankLimit | None = None,
    freezing: FreezingPoints | None = None,
    harm_soc: float | None = None,
    sample_h: Sequence[float] | Floats | None = None,
) -> Forecast:
    """Forecast of a battery that starts rested at `start_soc` [-] with the given draws.

    temperature_c [°C], or steps of (from hour, °C); locked_at_clock_h [h] is the clock at hour 0,
    for daily rows; sample_h [h] asks for points of the chart or band beside the edges. horizon_h
    [h] is where it ends; below harm_soc [-] the battery takes harm. Source: two-well model with
    leak, as in the package's own text. Raises InputProblem that names the argument.

    >>> from fusemap.electrics.parked import CutOff
    >>> battery = TwoWell(60.0, (0.0, 1.0), (11.8, 12.6), self_discharge_share_30d_20c=0.0)
    >>> modules = Draw.constant("modules", 0.05)
    >>> f = forecast(battery, 1.0, (modules,), crank=CrankLimit(0.5))
    >>> round(f.hours_to_crank_limit, 6), round(f.draw_ah[0], 6)  # half of 60 Ah at 50 mA
    (600.0, 30.0)
    """
    steps = _temperature_steps(temperature_c)
    require_positive(horizon_h, "horizon_h", "h")
    require_finite(locked_at_clock_h, "locked_at_clock_h", "h")
    crank = crank or CrankLimit()
    count = _count(battery, start_soc, draws, steps, crank)
    if sample_h is None:
        sample_h = even_hours(horizon_h, CHART_STRETCHES) if count is None else ()

    def run_with(hours: Sequence[float] | Floats, following: Following | None = None) -> Run:
        timeline = build_timeline(
            draws, steps, locked_at_clock_h, float(horizon_h), hours, following
        )
        tables = build_tables(battery, draws, timeline, crank, freezing, harm_soc)
        run = Run(battery, tables, timeline, n)
        run_to_horizon(run, column(battery.start(start_soc)[0]))
        return run

    n, following = count or 1, None
    if any(draw.exponent for draw in draws):
        # the voltage is read from the run itself, so that no point of a chart changes it
        following = follow_voltage(battery, draws, run_with(()))
    return read_answers(
        run_with(sample_h, following),
        draws,
        [hour for hour, _ in steps],
        single=count is None,
    )


def _temperature_steps(temperature: Values | TemperatureSteps) -> TemperatureSteps:
    steps = temperature if isinstance(temperature, tuple) else ((0.0, temperature),)
    hours = [hour for hour, _ in steps]
    if not hours or hours[0] != 0.0 or any(not a < b for a, b in pairwise(hours)):
        raise InputProblem(say("steps must begin at hour 0 and follow in time"), "temperature_c")
    for _, value in steps:
        require_finite(value, "temperature_c", "°C")
    return steps


def _count(
    battery: TwoWell,
    start_soc: Values,
    draws: Sequence[Draw],
    steps: TemperatureSteps,
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
            values += [cut.v_off, cut.v_on, cut.delay_s, cut.cable_ohm, cut.lost_v]
    shapes = {np.shape(value) for value in values} - {()}
    if len(shapes) > 1 or any(len(shape) != 1 for shape in shapes):
        raise InputProblem(say("arrays must all have one axis of the same length"), "draws")
    return next(iter(shapes))[0] if shapes else None
