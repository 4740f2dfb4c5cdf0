"""The vehicles that this one could be: their batteries, draws and needs, all at once.

In: an assessed vehicle, who draws on it, and for every uncertain figure its values, one of each
vehicle (draws,). Out: battery, draws and forecast with arrays of that shape.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec.structs import replace

from fusemap.assess.battery import BatteryModel
from fusemap.assess.figures import Figures
from fusemap.assess.parked.draws import (
    CIRCUITS,
    MAINTAINER,
    UNLOGGED,
    WAKE_UPS,
    WHOLE,
    AtRest,
    with_current,
)
from fusemap.assess.parked.forecasting import freezing_points, horizon_h
from fusemap.assess.parked.inputs import AWAKE, COLDEST, TIMED, WAKING, accessory_key
from fusemap.assess.parked.start_spans import hard_case, start_case
from fusemap.assess.parked.starting import crank_limit, need_at
from fusemap.assess.parked.topping import TOPPED_UP, TOPPING, may_charge
from fusemap.assess.parked.weather import coldest_c, typical_c
from fusemap.assess.parked.who import ParkedDraws
from fusemap.assess.result import Floats
from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked import Draw, Forecast, forecast
from fusemap.electrics.parked.draws import CurrentRow
from fusemap.electrics.values import Values


def needs(a: Figures, given: Mapping[str, Floats]) -> Floats:
    """What a start needs in every draw [-], in its own coldest night."""
    warmer = given["temperature"] - typical_c(a)
    return np.asarray(need_at(start_case(a), given, given.get(COLDEST, coldest_c(a)) + warmer))


def engine_needs(a: Figures, given: Mapping[str, Floats], engine: Mapping[str, Floats]) -> Floats:
    """The same with the hard engine, whose figures in the same draws are `engine`."""
    case = hard_case(a)
    warmer = given["temperature"] - typical_c(a)
    return np.asarray(need_at(case, {**given, **engine}, case.coldest_c + warmer))


def forecast_of(
    a: Figures,
    model: BatteryModel,
    who: ParkedDraws,
    given: Mapping[str, Floats],
    need: Floats,
    *,
    until_h: float | None = None,
    points_h: Sequence[float] | Floats = (),
) -> Forecast:
    """The forecast of all draws at once, to `until_h` [h], with points at `points_h` [h]."""
    parking = a.vehicle.parking
    horizon = horizon_h(a) if until_h is None else until_h
    return forecast(
        wells_of(model.wells, given),
        np.clip(given["charge"], 0.0, 1.0),
        draws_of(who, given, a.vehicle.battery.chemistry),
        temperature_c=given["temperature"],
        locked_at_clock_h=parking.locked_at_h,
        horizon_h=horizon,
        crank=crank_limit(a, need),
        freezing=freezing_points(
            a.vehicle.battery.chemistry, max(0.0, typical_c(a) - coldest_c(a))
        ),
        sample_h=points_h,
    )


def wells_of(wells: TwoWell, given: Mapping[str, Floats]) -> TwoWell:
    return replace(
        wells,
        capacity_ah=np.asarray(wells.capacity_ah) * given["capacity"],
        soh=given["health"],
        self_discharge_share_30d_20c=(
            np.asarray(wells.self_discharge_share_30d_20c) * given["leak"]
        ),
    )


def draws_of(who: ParkedDraws, given: Mapping[str, Floats], chemistry: str) -> tuple[Draw, ...]:
    """The draws, each row times the factor of what it belongs to."""
    own = (_own(draw, given) for draw in who.own)
    placed = (_placed(key, draw, given) for key, draw in who.placed)
    waking = (Draw.constant(UNLOGGED, given[WAKING]),) if WAKING in given else ()
    sources = (_source(draw, given, chemistry) for draw in who.sources)
    return (*own, *placed, *waking, *sources)


def _source(draw: Draw, given: Mapping[str, Floats], chemistry: str) -> Draw:
    """A source: what the drive battery gives is uncertain, and the cold may forbid any."""
    factor: Values = given[TOPPING] if draw.name == TOPPED_UP else 1.0
    charged = np.asarray(may_charge(chemistry, given["temperature"]))
    if draw.name == MAINTAINER and np.all(charged):
        return draw
    factor = np.asarray(factor) * charged
    return scaled(draw, factor, factor)


def _own(draw: Draw, given: Mapping[str, Floats]) -> Draw:
    """The vehicle's own: what lasts is rest current, what ends or comes and goes is being awake."""
    if draw.name.startswith(WAKE_UPS):
        return scaled(draw, given[TIMED], given[TIMED])
    awake = AWAKE if draw.name in (WHOLE, CIRCUITS) else TIMED
    rows = tuple(
        (start, end, np.asarray(current) * given["rest" if end == np.inf else awake])
        for start, end, current in draw.phases
    )
    return replace(draw, phases=rows)


def _placed(accessory_id: str, draw: Draw, given: Mapping[str, Floats]) -> Draw:
    """An accessory's: at work and at rest its figures differ by factors of their own."""
    keys = (accessory_key(accessory_id, resting=resting) for resting in (False, True))
    return scaled(draw, *(given.get(key, 1.0) for key in keys))


def scaled(draw: Draw, at_work: Values, at_rest: Values) -> Draw:
    """The same draw with its currents at work and at rest times a factor for each of the draws."""

    def one(row: CurrentRow) -> CurrentRow:
        factor = at_rest if isinstance(row, AtRest) else at_work
        return with_current(row, np.asarray(row[2]) * factor)

    return replace(draw, phases=tuple(map(one, draw.phases)), daily=tuple(map(one, draw.daily)))
