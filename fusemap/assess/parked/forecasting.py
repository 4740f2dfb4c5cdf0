"""The parked vehicle: how long the battery lasts with everything that draws, until no start.

In: an assessed vehicle. Out: `ParkedFigures`. `draws` says who draws what, `starting` how much
charge a start needs, `second_battery` what does not hang on the starter's.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache

from fusemap import tables
from fusemap.assess.battery import BatteryModel, capacity_ah
from fusemap.assess.figures import Figures
from fusemap.assess.parked.draws import draw_words, rest_current
from fusemap.assess.parked.figures import Consumer, ParkedFigures, StartNeed
from fusemap.assess.parked.second_battery import second_figures
from fusemap.assess.parked.standing import Parked
from fusemap.assess.parked.start_words import coldest_taken, engine_taken
from fusemap.assess.parked.starting import NOT_EVEN_FULL, crank_limit, start_need
from fusemap.assess.parked.weather import coldest_c, typical_c
from fusemap.assess.parked.who import ParkedDraws
from fusemap.assess.result import Basis
from fusemap.electrics.battery import FreezingPoints
from fusemap.electrics.parked import Draw, Forecast, forecast
from fusemap.text import Amount, say, share

LEAST_HORIZON_H = 60 * 24.0


def horizon_h(a: Figures) -> float:
    """How far the forecast looks ahead [h]: at least 60 days, twice what is planned."""
    return max(LEAST_HORIZON_H, 48.0 * a.vehicle.parking.stand_days)


@lru_cache(maxsize=64)
def freezing_points(chemistry: str, warmer_k: float) -> FreezingPoints | None:
    """Freezing points moved up by `warmer_k` [K]; none for LiFePO4, which holds no water.

    The forecast compares them with its own temperature: moved by what the coldest night lies below
    that, they answer for the coldest night.
    """
    if chemistry == "lifepo4":
        return None
    ice = tables.freezing_points()
    return FreezingPoints(ice.soc, tuple(t + warmer_k for t in ice.temperature_c))


def look_ahead(
    a: Figures,
    model: BatteryModel,
    draws: tuple[Draw, ...],
    crank_soc: float,
    *,
    chart: bool = True,
) -> Forecast:
    """The forecast of an assessed vehicle with these draws; `chart` asks for its points."""
    parking = a.vehicle.parking
    # the coldest night expected counts for ice, as it does for the start
    colder = max(0.0, typical_c(a) - coldest_c(a))
    return _same_forecast(
        model.wells,
        model.start_soc,
        draws,
        temperature_c=typical_c(a),
        locked_at_clock_h=parking.locked_at_h,
        horizon_h=horizon_h(a),
        # the limit of the coldest start expected
        crank=crank_limit(a, crank_soc),
        freezing=freezing_points(a.vehicle.battery.chemistry, colder),
        harm_soc=a.rule("deep_discharge_soc"),
        sample_h=None if chart else (),
    )


_same_forecast = lru_cache(maxsize=4)(forecast)
"""Most edits change nothing that draws while parked: the forecast made for the same is the same."""


def parked_figures(parked: Parked) -> ParkedFigures:
    """The forecast of an assessed vehicle, with and without its accessories."""
    a, model, draws = parked.standing.figures, parked.standing.model, parked.standing.who
    unplaced = parked.standing.unplaced
    need = start_need(a)
    least = NOT_EVEN_FULL if need.never else need.soc
    whole = look_ahead(a, model, draws.all, least)
    hours = float(whole.hours_to_crank_limit)

    def look(without: Collection[str]) -> float:
        if not any(accessory in without for accessory, _ in draws.placed):
            return hours
        left = (draw for accessory, draw in draws.placed if accessory not in without)
        those = (*draws.own, *left, *draws.sources)
        return float(look_ahead(a, model, those, least, chart=False).hours_to_crank_limit)

    names = tuple(each.name for each in a.vehicle.accessories if each.id in unplaced)
    rest = rest_current(a)
    harm_soc = a.rule("deep_discharge_soc")
    return ParkedFigures(
        forecast=whole,
        hours=hours,
        look_without=lambda: look({accessory for accessory, _ in draws.placed}),
        look_placed=lambda: look(unplaced),
        unplaced=names,
        start_soc=model.start_soc,
        crank_soc=need.soc,
        consumers=_consumers(whole, draws, hours),
        assumed=(
            *model.assumed,
            *draws.assumed,
            *(each for each in (engine_taken(a), coldest_taken(a)) if each is not None),
            *(
                say("{accessory}, not placed yet: reckoned as live always", accessory=name)
                for name in names
            ),
        ),
        basis=_basis(a, model, need),
        need=need,
        hours_to_harm=float(whole.hours_to_harm),
        harm_soc=harm_soc,
        remainder_a=rest.remainder_a,
        given_ah=-sum(float(ah) for ah in whole.draw_ah if float(ah) < 0),
        second=second_figures(a, model, draws.second, harm_soc, horizon_h(a)),
    )


def _consumers(whole: Forecast, draws: ParkedDraws, hours: float) -> tuple[Consumer, ...]:
    span = min(hours, whole.horizon_h)
    ids = [None] * len(draws.own) + [accessory for accessory, _ in draws.placed]
    rows = [
        Consumer(draw_words(name), accessory, float(ah) / span if span > 0 else 0.0, float(ah))
        for name, accessory, ah in zip(whole.names, ids, whole.draw_ah, strict=False)
    ]
    leak = float(whole.self_discharge_ah)
    rows.append(
        Consumer(say("Battery's self-discharge"), None, leak / span if span > 0 else 0.0, leak)
    )
    return tuple(sorted(rows, key=lambda consumer: -consumer.charge_ah))


def _basis(a: Figures, model: BatteryModel, need: StartNeed) -> Basis:
    return Basis(
        say(
            "two-well battery model with leak, exact from event to event, until the charge left is "
            "what a start needs at the coldest temperature expected"
        ),
        (
            (say("Capacity today"), Amount(capacity_ah(model), "Ah")),
            (say("Charged when locked"), share(model.start_soc)),
            (say("Needed to start"), need.words),
            (say("Temperature"), Amount(typical_c(a), "°C")),
        ),
        say("Manwell and McGowan, Solar Energy 50 (1993); {start}", start=need.source),
    )
