"""Draws whose current follows the battery's voltage as it falls, as steps of constant current.

In: draws as they begin and a first forecast with them. Out: the same draws with their currents
stepped along the voltage that forecast found; a second forecast with them is good to 0.1 % until a
start fails, and to 0.5 % until the battery is empty.

Source: I = I0·(V/V0)^p (loads.py), the voltage being that of the battery at rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked.answers import Forecast
from fusemap.electrics.parked.draws import CurrentRow, Draw
from fusemap.electrics.values import Floats, Values

STEPS = 12
"""Steps of current between locking and empty [-]; ours, see above."""

LEAST_CHANGE = 1e-3
"""A current that changes by less than this share stays as it is [-]."""


def follow_voltage(
    battery: TwoWell, draws: Sequence[Draw], found: Forecast, single: bool
) -> tuple[Draw, ...]:
    """The draws with the currents that the voltage of a first forecast gives.

    `single` [-] says that they are no Monte Carlo. Source: as in this module's text.
    """
    end = _end_h(found)
    edges = np.linspace(0.0, end, STEPS + 1)
    volts = _volts_at(battery, found, np.append(0.0, (edges[1:] + edges[:-1]) / 2), single)
    ratio = volts[1:] / volts[0]
    return tuple(_stepped(draw, edges, ratio) for draw in draws)


def _end_h(found: Forecast) -> float:
    """When the last of the batteries is empty [h], or the horizon."""
    hours = np.asarray(found.hours_to_empty)
    return float(np.minimum(hours, found.horizon_h).max())


def _volts_at(battery: TwoWell, found: Forecast, hours: Floats, single: bool) -> Floats:
    """Voltage at rest at some hours [V], (hours,) or (hours, draws)."""
    time, soc = found.samples.time_h, found.samples.soc
    if single:
        return np.asarray(battery.ocv(np.interp(hours, time, soc)))
    after = np.clip(np.searchsorted(time, hours), 1, len(time) - 1)
    share = ((hours - time[after - 1]) / (time[after] - time[after - 1]))[:, None]
    return np.asarray(battery.ocv(soc[after - 1] + (soc[after] - soc[after - 1]) * share))


def _stepped(draw: Draw, edges: Floats, ratio: Floats) -> Draw:
    if not draw.exponent:
        return draw
    factor = ratio**draw.exponent
    if float(np.abs(factor - 1.0).max()) < LEAST_CHANGE:
        return draw
    hours = (*edges[:-1].tolist(), np.inf)
    phases = tuple(
        (max(start, hours[n]), min(end, hours[n + 1]), np.asarray(current) * factor[n])
        for start, end, current in draw.phases
        for n in range(len(factor))
        if max(start, hours[n]) < min(end, hours[n + 1])
    )
    # clock hours come again every day: they take the mean of all
    mean: Values = factor.mean(axis=0)
    daily: tuple[CurrentRow, ...] = tuple(
        (start, end, np.asarray(current) * mean) for start, end, current in draw.daily
    )
    return replace(draw, phases=phases, daily=daily)
