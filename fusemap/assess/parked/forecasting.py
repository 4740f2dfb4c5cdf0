"""The parked vehicle: how long the battery lasts with everything that draws, until no start.

In: an assessed vehicle. Out: `ParkedFigures`. `draws` says who draws what, `starting` how much
charge a start needs, `second_battery` what does not hang on the starter's.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from fusemap import tables
from fusemap.assess.battery import BatteryModel, battery_model, capacity_ah
from fusemap.assess.figures import Figures
from fusemap.assess.parked.draws import (
    accessory_draws,
    draw_words,
    maintainer_draw,
    own_draws,
    rest_current,
)
from fusemap.assess.parked.figures import Consumer, ParkedFigures, StartNeed
from fusemap.assess.parked.second_battery import (
    Placed,
    parted,
    second_figures,
    starter_side,
)
from fusemap.assess.parked.starting import coldest_c, crank_limit, start_need
from fusemap.assess.result import Basis
from fusemap.electrics.battery import FreezingPoints
from fusemap.electrics.parked import Draw, Forecast, forecast
from fusemap.text import Amount, Text, say, share

LEAST_HORIZON_H = 60 * 24.0


@dataclass(frozen=True, eq=False)
class ParkedDraws:
    """Everything on the starter battery: the vehicle's own, the accessories', the maintainer.

    `own` holds what a second battery takes through its link; `second` is what hangs on that one.
    """

    own: tuple[Draw, ...]
    placed: Placed
    sources: tuple[Draw, ...]
    second: Placed
    assumed: tuple[Text, ...]

    @property
    def all(self) -> tuple[Draw, ...]:
        """In the order of the forecast."""
        return (*self.own, *(draw for _, draw in self.placed), *self.sources)


def parked_draws(a: Figures, model: BatteryModel) -> ParkedDraws:
    """Who draws on the starter battery of a parked vehicle, and who charges it."""
    assumed: list[Text] = []
    placed, second = parted(a, accessory_draws(a))
    return ParkedDraws(
        own=(*own_draws(a, assumed), *starter_side(a, model, second)),
        placed=placed,
        sources=maintainer_draw(a.vehicle.parking.maintainer),
        second=second,
        assumed=tuple(assumed),
    )


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
    colder = max(0.0, parking.temperature_c - coldest_c(a))
    return _same_forecast(
        model.wells,
        model.start_soc,
        draws,
        temperature_c=parking.temperature_c,
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


def parked_figures(a: Figures) -> ParkedFigures:
    """The forecast of an assessed vehicle, with and without its accessories."""
    model = battery_model(a.vehicle.battery, a.vehicle.system_v)
    draws = parked_draws(a, model)
    need = start_need(a, model)
    whole = look_ahead(a, model, draws.all, need.soc)
    hours = float(whole.hours_to_crank_limit)

    def look_without() -> float:
        if not draws.placed:
            return hours
        alone = look_ahead(a, model, (*draws.own, *draws.sources), need.soc, chart=False)
        return float(alone.hours_to_crank_limit)

    rest = rest_current(a)
    harm_soc = a.rule("deep_discharge_soc")
    return ParkedFigures(
        forecast=whole,
        hours=hours,
        look_without=look_without,
        start_soc=model.start_soc,
        crank_soc=need.soc,
        consumers=_consumers(whole, draws, hours),
        assumed=(*model.assumed, *draws.assumed),
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
            (say("Temperature"), Amount(a.vehicle.parking.temperature_c, "°C")),
        ),
        say("Manwell and McGowan, Solar Energy 50 (1993); {start}", start=need.source),
    )
