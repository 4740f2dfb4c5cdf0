"""The parked vehicle: who draws what after locking, and how long the battery lasts with it.

The vehicle itself draws its measured whole-car current, or where that was not measured the sum of
the slots' own loads. Each placed accessory adds its own draw, as long as its slot is live.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

import numpy as np

from fusemap import tables
from fusemap.assess.battery import battery_model
from fusemap.assess.result import Basis, Consumer, ParkedFigures
from fusemap.assess.tap_draws import accessory_draws
from fusemap.electrics.battery import CrankLimit, FreezingPoints
from fusemap.electrics.parked import Draw, Forecast, forecast
from fusemap.units import digits, percent, quantity
from fusemap.vehicle import STATES

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment

ASLEEP, AWAKE = STATES.index("asleep"), STATES.index("awake")
LEAST_HORIZON_H = 60 * 24.0


def parked_figures(a: Assessment) -> ParkedFigures:
    """The forecast of an assessed vehicle, with and without its accessories."""
    battery = battery_model(a.vehicle.battery, a.vehicle.system_v)
    assumed = list(battery.assumed)
    vehicle_draws = own_draws(a, assumed)
    placed = accessory_draws(a)
    crank = CrankLimit(a.rule("crank_soc_base"), a.rule("crank_soc_slope_per_k"))
    parking = a.vehicle.parking
    coldest = parking.temperature_c if parking.coldest_c is None else parking.coldest_c
    crank_soc = float(np.asarray(crank.soc(coldest)))
    ice = tables.freezing_points()

    def look_ahead(draws: tuple[Draw, ...]) -> Forecast:
        return forecast(
            battery.wells,
            battery.start_soc,
            draws,
            temperature_c=parking.temperature_c,
            locked_at_clock_h=parking.locked_at_h,
            horizon_h=max(LEAST_HORIZON_H, 48.0 * parking.stand_days),
            # the limit of the coldest start expected, held at all temperatures meanwhile
            crank=CrankLimit(crank_soc, 0.0),
            freezing=FreezingPoints(ice.soc, ice.temperature_c),
        )

    whole = look_ahead((*vehicle_draws, *(draw for _, draw in placed)))
    alone = look_ahead(vehicle_draws) if placed else whole
    hours = float(whole.hours_to_crank_limit)
    return ParkedFigures(
        forecast=whole,
        hours=hours,
        hours_without=float(alone.hours_to_crank_limit),
        start_soc=battery.start_soc,
        crank_soc=crank_soc,
        consumers=_consumers(whole, vehicle_draws, placed, hours),
        assumed=tuple(assumed),
        basis=_basis(a, battery.start_soc, crank_soc, float(np.asarray(battery.wells.scaled_ah))),
    )


def own_draws(a: Assessment, assumed: list[str]) -> tuple[Draw, ...]:
    """What the vehicle draws by itself: awake until it sleeps, then its rest current."""
    parking = a.vehicle.parking
    own = a.slots.own_a.sum(axis=1) + a.circuit.feeds.other_a.sum(axis=1)
    rest = parking.rest_current_a
    if rest is None:
        rest = float(own[ASLEEP])
        known = a.slots.own_known[ASLEEP].all()
        assumed.append(
            f"rest current {quantity(rest, 'A')}: the sum of the slots' own loads asleep"
            + ("" if known else ", some of which were not measured")
            + "; the whole vehicle's was not measured"
        )
    awake = parking.awake_current_a
    if awake is None:
        awake = max(rest, float(own[AWAKE]))
        assumed.append(
            f"{quantity(awake, 'A')} until the vehicle sleeps (whole vehicle awake not measured)"
        )
    sleep_h = parking.sleep_after_min / 60
    phases = [(0.0, sleep_h, awake)] if sleep_h > 0 else []
    draws = [Draw("Vehicle itself", phases=(*phases, (sleep_h, inf, rest)))]
    for number, wake in enumerate(parking.wake_ups, start=1):
        share = min(1.0, wake.minutes / 60 / wake.every_h)
        draws.append(
            Draw(f"Wake-ups {number}", phases=((sleep_h, inf, wake.current_a),), duty=share)
        )
    return tuple(draws)


def _consumers(
    whole: Forecast,
    own: tuple[Draw, ...],
    placed: tuple[tuple[str, Draw], ...],
    hours: float,
) -> tuple[Consumer, ...]:
    span = min(hours, whole.horizon_h)
    ids = [None] * len(own) + [accessory for accessory, _ in placed]
    rows = [
        Consumer(name, accessory, float(ah) / span if span > 0 else 0.0, float(ah))
        for name, accessory, ah in zip(whole.names, ids, whole.draw_ah, strict=True)
    ]
    leak = float(whole.self_discharge_ah)
    rows.append(Consumer("Battery's self-discharge", None, leak / span if span > 0 else 0.0, leak))
    return tuple(sorted(rows, key=lambda consumer: -consumer.charge_ah))


def _basis(a: Assessment, start: float, crank: float, scaled_ah: float) -> Basis:
    return Basis(
        "two-well battery model with leak, exact from event to event, until the charge left is "
        "what cranking needs at the coldest temperature expected",
        (
            ("Capacity today", f"{digits(scaled_ah)} Ah"),
            ("Charged when locked", percent(start)),
            ("Needed to crank", percent(crank)),
            ("Temperature", quantity(a.vehicle.parking.temperature_c, "°C")),
        ),
        "Manwell and McGowan, Solar Energy 50 (1993); " + a.rules["crank_soc_base"].source,
    )
