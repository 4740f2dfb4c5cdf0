"""How sure the parked forecast is: the same forecast for many vehicles that could be this one.

In: an assessed vehicle. Out: hours [h] between which the true time lies in 8 of 10 of them, and the
band of the charge over time. What is spread, and how far, stands in `SPREADS`; what was measured is
spread less than what was assumed. The draws are the same every time.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from fusemap import tables
from fusemap.assess.battery import battery_model
from fusemap.assess.parked import LEAST_HORIZON_H, own_draws
from fusemap.assess.result import Floats
from fusemap.assess.tap_draws import accessory_draws
from fusemap.electrics.battery import CrankLimit, FreezingPoints
from fusemap.electrics.parked import Draw, forecast
from fusemap.electrics.parked.draws import CurrentRow

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment

DRAWS: Final = 400
POINTS: Final = 96
"""Points of the band over the whole time."""
LOW, HIGH = 0.1, 0.9
"""Shares of the draws that lie below the band's ends."""


@dataclass(frozen=True, slots=True)
class Spread:
    """Half width of an even spread, where the figure was measured and where it was assumed."""

    what: str
    measured: float
    assumed: float
    unit: str


SPREADS: Final = {
    "charge": Spread("charge when locked", 0.08, 0.12, "of the capacity"),
    "health": Spread("health of the battery", 0.05, 0.15, "of the capacity"),
    "own": Spread("what the vehicle draws by itself", 0.05, 0.40, "of the current"),
    "accessories": Spread("what the accessories draw", 0.10, 0.10, "of the current"),
}
"""Proposals of ours, from memory; a rest voltage read 0.08 V wrong is about 8 % of charge."""


@dataclass(frozen=True, eq=False)
class ParkedBand:
    """Between which hours the vehicle stops starting [h], and the charge's band over time.

    Hours are infinite where that is past the horizon; `low_soc` and `high_soc` [-] over `time_h`
    [h]. `spread` says what was spread by how much.
    """

    low_h: float
    high_h: float
    time_h: Floats
    low_soc: Floats
    high_soc: Floats
    spread: tuple[str, ...]


def parked_band(a: Assessment, *, draws: int = DRAWS) -> ParkedBand:
    """The band of the parked forecast of an assessed vehicle, from so many draws."""
    parking = a.vehicle.parking
    model = battery_model(a.vehicle.battery, a.vehicle.system_v)
    lot = draw_lot(a, draws)
    ice = tables.freezing_points()
    horizon = max(LEAST_HORIZON_H, 48.0 * parking.stand_days)
    found = forecast(
        replace(model.wells, soh=np.clip(model.wells.soh * (1 + lot.health), 0.05, 1.5)),
        np.clip(model.start_soc + lot.charge, 0.0, 1.0),
        (
            *(scaled(draw, 1 + lot.own) for draw in own_draws(a, [])),
            *(scaled(draw, 1 + lot.accessories) for _, draw in accessory_draws(a)),
        ),
        temperature_c=parking.temperature_c,
        locked_at_clock_h=parking.locked_at_h,
        horizon_h=horizon,
        crank=CrankLimit(_crank_soc(a, lot.crank), 0.0),
        freezing=FreezingPoints(ice.soc, ice.temperature_c),
        sample_h=np.linspace(0.0, horizon, POINTS + 1),
    )
    ends = np.quantile(found.hours_to_crank_limit, [LOW, HIGH], method="nearest")
    soc = np.quantile(found.samples.soc, [LOW, HIGH], axis=1)
    return ParkedBand(
        low_h=float(ends[0]),
        high_h=float(ends[1]),
        time_h=found.samples.time_h,
        low_soc=soc[0],
        high_soc=soc[1],
        spread=lot.words,
    )


def _crank_soc(a: Assessment, more: Floats) -> Floats:
    """The charge each of the lot needs to crank at the coldest expected [-]."""
    parking = a.vehicle.parking
    coldest = parking.temperature_c if parking.coldest_c is None else parking.coldest_c
    limit = CrankLimit(a.rule("crank_soc_base") + more, a.rule("crank_soc_slope_per_k"))
    return np.clip(limit.soc(coldest), 0.0, 1.0)


@dataclass(frozen=True, eq=False)
class Lot:
    """By how much each of the lot differs from what is entered [(draws,)], and that in words."""

    charge: Floats
    health: Floats
    own: Floats
    accessories: Floats
    crank: Floats
    words: tuple[str, ...]


def draw_lot(a: Assessment, draws: int) -> Lot:
    """The lot of an assessed vehicle: what was measured spread less than what was assumed."""
    random = np.random.default_rng(12)
    battery, parking = a.vehicle.battery, a.vehicle.parking
    measured = {
        "charge": battery.start_soc is not None or battery.rest_v is not None,
        "health": battery.soh is not None,
        "own": parking.rest_current_a is not None,
        "accessories": True,
    }
    halves = {key: it.measured if measured[key] else it.assumed for key, it in SPREADS.items()}
    words = [f"{SPREADS[key].what} ± {half * 100:g} % {SPREADS[key].unit}"
             for key, half in halves.items()]  # fmt: skip
    halves["crank"] = a.rule("crank_soc_band")
    words.append(f"charge needed to crank ± {halves['crank'] * 100:g} % of the capacity")
    spread = {key: random.uniform(-half, half, draws) for key, half in halves.items()}
    return Lot(**spread, words=tuple(words))


def scaled(draw: Draw, factor: Floats) -> Draw:
    """The same draw with its currents times a factor for each draw of the lot."""

    return replace(draw, phases=_rows(draw.phases, factor), daily=_rows(draw.daily, factor))


def _rows(rows: tuple[CurrentRow, ...], factor: Floats) -> tuple[CurrentRow, ...]:
    return tuple((start, end, np.asarray(current) * factor) for start, end, current in rows)
