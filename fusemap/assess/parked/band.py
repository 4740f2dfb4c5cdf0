"""How sure the parked forecast is: the same forecast for many vehicles that could be this one.

In: an assessed vehicle. Out: low, middle and high hours [h] (5, 50 and 95 % of the draws), the band
of the charge over time, what each input is believed to lie between, how much each matters, and what
to measure next. One pass over all draws, the same draws every time.

What was not given a range has one by default (`parked_inputs`); these defaults are proposals from
memory, and are said in words beside the band.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from fusemap.assess.battery import BatteryModel, battery_model
from fusemap.assess.figures import Figures
from fusemap.assess.parked.forecasting import ParkedDraws, freezing_points, horizon_h, parked_draws
from fusemap.assess.parked.inputs import Input, inputs
from fusemap.assess.parked.names import WAKE_UPS
from fusemap.assess.parked.starting import coldest_c, crank_limit, need_at
from fusemap.assess.result import Floats
from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked import Draw, Forecast, even_hours, forecast
from fusemap.electrics.parked.draws import CurrentRow
from fusemap.electrics.spread import Share, band, what_matters_most
from fusemap.electrics.spread import draws as drawn
from fusemap.text import Text, say
from fusemap.text import share as share_of

DRAWS: Final = 1000
SEED: Final = 1
POINTS: Final = 48
"""Points of the band over the whole time."""
LOW, HIGH = 0.05, 0.95
"""Shares of the draws that lie below the band's ends."""
WORTH_MEASURING: Final = 0.05
"""Share of the spread below which nothing is gained by measuring."""


@dataclass(frozen=True, eq=False)
class ParkedBand:
    """Hours at which the vehicle stops starting [h], and the charge's band over time.

    Hours are infinite where that is past the horizon; `low_soc` and `high_soc` [-] over `time_h`
    [h]. `inputs` are what was drawn, `shares` how much each of them matters, largest first;
    `spread` says the first in words, `measure_next` what to do about the second.
    """

    low_h: float
    middle_h: float
    high_h: float
    time_h: Floats
    low_soc: Floats
    high_soc: Floats
    inputs: tuple[Input, ...]
    shares: tuple[Share, ...]
    spread: tuple[Text, ...]
    measure_next: Text
    draws: int
    seed: int


def parked_band(a: Figures, *, draws: int = DRAWS, seed: int = SEED) -> ParkedBand:
    """The band of the parked forecast of an assessed vehicle, from so many draws."""
    model = battery_model(a.vehicle.battery, a.vehicle.system_v)
    who = parked_draws(a, model)
    asked = inputs(a, model, who.placed)
    given = drawn({each.key: each.range for each in asked}, draws, seed)
    found = _forecast(a, model, who, given)
    hours = np.asarray(found.hours_to_crank_limit)
    ends = band(hours)
    soc = np.quantile(found.samples.soc, [LOW, HIGH], axis=1)
    varied = {key: values for key, values in given.items() if np.ptp(values) > 0}
    shares = what_matters_most(varied, np.minimum(hours, found.horizon_h * 2))
    return ParkedBand(
        low_h=ends.low,
        middle_h=ends.middle,
        high_h=ends.high,
        time_h=found.samples.time_h,
        low_soc=soc[0],
        high_soc=soc[1],
        inputs=asked,
        shares=shares,
        spread=tuple(each.words for each in asked if each.range[0] < each.range[2]),
        measure_next=measure_next(asked, shares),
        draws=draws,
        seed=seed,
    )


def _forecast(
    a: Figures, model: BatteryModel, who: ParkedDraws, given: Mapping[str, Floats]
) -> Forecast:
    """The forecast of all draws at once."""
    parking = a.vehicle.parking
    wells = _wells(model.wells, given)
    warmer = given["temperature"] - parking.temperature_c
    coldest = coldest_c(a) + warmer
    need = np.asarray(need_at(a, model, wells, given["start"], coldest))
    horizon = horizon_h(a)
    return forecast(
        wells,
        given["charge"],
        _draws(who, given),
        temperature_c=given["temperature"],
        locked_at_clock_h=parking.locked_at_h,
        horizon_h=horizon,
        crank=crank_limit(a, need),
        freezing=freezing_points(
            a.vehicle.battery.chemistry, max(0.0, parking.temperature_c - coldest_c(a))
        ),
        sample_h=even_hours(horizon, POINTS),
    )


def _wells(wells: TwoWell, given: Mapping[str, Floats]) -> TwoWell:
    return replace(
        wells,
        capacity_ah=np.asarray(wells.capacity_ah) * given["capacity"],
        soh=given["health"],
        self_discharge_share_30d_20c=(
            np.asarray(wells.self_discharge_share_30d_20c) * given["leak"]
        ),
    )


def _draws(who: ParkedDraws, given: Mapping[str, Floats]) -> tuple[Draw, ...]:
    """The draws, each row times the factor of what it belongs to."""
    own = (_own(draw, given) for draw in who.own)
    placed = (scaled(draw, given[f"accessory {key}"]) for key, draw in who.placed)
    return (*own, *placed, *who.sources)


def _own(draw: Draw, given: Mapping[str, Floats]) -> Draw:
    """The vehicle's own: what lasts is rest current, what ends or comes and goes is being awake."""
    if draw.name.startswith(WAKE_UPS):
        return scaled(draw, given["awake"])
    rows = tuple(
        (start, end, np.asarray(current) * given["rest" if end == np.inf else "awake"])
        for start, end, current in draw.phases
    )
    return replace(draw, phases=rows)


def scaled(draw: Draw, factor: Floats) -> Draw:
    """The same draw with its currents times a factor for each of the draws."""
    return replace(draw, phases=_rows(draw.phases, factor), daily=_rows(draw.daily, factor))


def _rows(rows: tuple[CurrentRow, ...], factor: Floats) -> tuple[CurrentRow, ...]:
    return tuple((start, end, np.asarray(current) * factor) for start, end, current in rows)


def measure_next(asked: tuple[Input, ...], shares: tuple[Share, ...]) -> Text:
    """What to measure next, in a sentence: the most that matters and can be measured."""
    by_key = {each.key: each for each in asked}
    for share in shares:
        each = by_key[share.name]
        if each.remedy and share.share >= WORTH_MEASURING:
            return say(
                "{remedy}: {input} makes {share} of what is uncertain.",
                remedy=each.remedy,
                input=each.what,
                share=share_of(share.share),
            )
    return say("Nothing that can be measured would narrow this much.")


__all__ = ["DRAWS", "SEED", "ParkedBand", "measure_next", "parked_band", "scaled"]
