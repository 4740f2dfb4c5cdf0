"""How sure the parked forecast is: the same forecast for many vehicles that could be this one.

In: an assessed vehicle. Out: low, middle and high hours [h] (5, 50 and 95 % of the draws), the band
of the charge over time, what each input is believed to lie between, how much each matters, and what
to measure next. One pass over all draws, the same draws every time.

Entered ranges come first; what was measured is believed more than what was assumed, and a figure of
the library has the library's span. What was not given a range has one by default; these widths are
proposals of ours from memory, and are said in words beside the band. Every figure has a stream of
random numbers of its own: what is added to a vehicle never moves what was there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from fusemap.assess.battery import BatteryModel
from fusemap.assess.figures import Figures
from fusemap.assess.parked.draws import UNLOGGED, WAKE_UPS, AtRest, rest_current, with_current
from fusemap.assess.parked.forecasting import freezing_points, horizon_h
from fusemap.assess.parked.second_battery import Placed
from fusemap.assess.parked.spans import Span, at_rest, at_work
from fusemap.assess.parked.standing import Parked
from fusemap.assess.parked.start_spans import FLOOR, START, coldest_c, start_case, start_ranges
from fusemap.assess.parked.starting import DRAWS, NEEDS, SEED, crank_limit, need_at
from fusemap.assess.parked.who import ParkedDraws
from fusemap.assess.result import Floats
from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked import Draw, Forecast, even_hours, forecast
from fusemap.electrics.parked.draws import CurrentRow
from fusemap.electrics.spread import Range, Share, band, what_matters_most
from fusemap.electrics.spread import draws as drawn
from fusemap.electrics.values import Values
from fusemap.text import Amount, Text, say
from fusemap.text import share as share_of

MEASURED_CURRENT: Final = 0.10
"""Share by which a measured current may be off: meter, temperature, the moment it was read."""
ASSUMED_REST: Final = (0.6, 2.0)
ASSUMED_AWAKE: Final = (0.5, 1.5)
WEATHER_K: Final = 8.0
LEAK: Final = (0.5, 2.0)
"""Self-discharge: published figures run from 2 to 10 % a month."""


@dataclass(frozen=True, slots=True)
class Input:
    """An uncertain input: what it is, its range, that in words, and how it could be narrowed.

    `remedy` is `None` where nothing can be measured beforehand. Figures of one `group` are said and
    weighed together under the first of them.
    """

    key: str
    what: Text
    range: Range
    words: Text
    remedy: Text | None = None
    group: str = ""


def inputs(a: Figures, model: BatteryModel, placed: Placed) -> tuple[Input, ...]:
    """Everything the forecast is uncertain about."""
    return (
        *_of_the_battery(a, model),
        _rest(a),
        _awake(a),
        *_wake_ups(a),
        *_accessories(a, placed),
        _temperature(a),
        *_start(a),
    )


def _of_the_battery(a: Figures, model: BatteryModel) -> tuple[Input, ...]:
    charge, health, capacity = (model.ranges[key] for key in ("charge", "health", "capacity"))
    read = a.vehicle.battery.rest_v is not None
    remedy = say("Measure the rest voltage after a night without load or charge")
    if read:
        remedy = say("Measure the rest voltage again after a night without load or charge")
    leak = (LEAK[0], 1.0, LEAK[1])
    return (
        Input(
            "charge",
            say("the charge when locked"),
            charge,
            say("charge when locked {low} to {high}", **_between(charge)),
            remedy,
        ),
        Input(
            "health",
            say("the battery's health"),
            health,
            say("health of the battery {low} to {high}", **_between(health)),
            say(
                "Have the capacity tested by discharge (a conductance tester tells only of "
                "cranking)"
            ),
        ),
        Input(
            "capacity",
            say("the capacity"),
            capacity,
            say("capacity × {low} to {high}", **_factors(capacity[0], capacity[2])),
            say("Read the capacity off the battery's label"),
        ),
        Input(
            "leak",
            say("the self-discharge"),
            leak,
            say("self-discharge × {low} to {high}", **_factors(*LEAK)),
        ),
    )


def _between(ends: Range) -> dict[str, Amount]:
    """The ends of shares; the sign of per cent stands once."""
    return {"low": Amount(ends[0] * 100, significant=2), "high": share_of(ends[2])}


def _factors(low: float, high: float) -> dict[str, Amount]:
    return {"low": Amount(low, significant=2), "high": Amount(high, significant=2)}


def _rest(a: Figures) -> Input:
    """The vehicle's own current asleep, as a factor."""
    rest, parking = rest_current(a), a.vehicle.parking
    low, high = 1 - MEASURED_CURRENT, 1 + MEASURED_CURRENT
    if not rest.measured:
        low, high = ASSUMED_REST
    if rest.whole_a > 0 and parking.low_rest_current_a is not None:
        low = min(1.0, parking.low_rest_current_a / rest.whole_a)
    if rest.whole_a > 0 and parking.high_rest_current_a is not None:
        high = max(1.0, parking.high_rest_current_a / rest.whole_a)
    ends = [Amount(rest.whole_a * factor, "A", significant=2) for factor in (low, high)]
    return Input(
        "rest",
        say("what the vehicle draws asleep"),
        (low, 1.0, high),
        say("rest current {low} to {high}", low=ends[0], high=ends[1]),
        say("Measure the whole vehicle's rest current, an hour after locking, over some minutes"),
    )


def _awake(a: Figures) -> Input:
    measured = a.vehicle.parking.awake_current_a is not None
    low, high = (1 - MEASURED_CURRENT, 1 + MEASURED_CURRENT) if measured else ASSUMED_AWAKE
    return Input(
        "awake",
        say("what the vehicle draws while awake"),
        (low, 1.0, high),
        say("current while awake and at wake-ups × {low} to {high}", **_factors(low, high)),
        say("Follow the current for a night: how long it stays awake, and how often it wakes"),
    )


def _wake_ups(a: Figures) -> tuple[Input, ...]:
    """Wake-ups that nobody logged: none, or up to so much more, but never less."""
    parking = a.vehicle.parking
    most = a.rule("wake_ups_ma") / 1000
    if parking.wake_ups or parking.night_logged or most <= 0:
        return ()
    return (
        Input(
            WAKING,
            say("wake-ups that nobody logged"),
            (0.0, 0.0, most),
            say(
                "wake-ups that nobody logged, up to {current} on average",
                current=Amount(most, "A", significant=2),
            ),
            say("Follow the current for a night: how long it stays awake, and how often it wakes"),
        ),
    )


WAKING: Final = "unlogged wake-ups"


def _accessories(a: Figures, placed: Placed) -> tuple[Input, ...]:
    """What each accessory takes at work, and at rest, where it does so while parked."""
    by_id = {each.id: each for each in a.vehicle.accessories}
    found: dict[str, Input] = {}
    for accessory_id, draw in placed:
        accessory = by_id[accessory_id]
        rows = (*draw.phases, *draw.daily)
        for resting, span in ((False, at_work(accessory)), (True, at_rest(accessory))):
            if any(isinstance(row, AtRest) is resting for row in rows):
                key = accessory_key(accessory_id, resting=resting)
                found.setdefault(key, _accessory(key, accessory.name, span))
    return tuple(found.values())


def accessory_key(accessory_id: str, *, resting: bool) -> str:
    """The key of what an accessory takes at work, or at rest."""
    return f"accessory {accessory_id}" + (" at rest" if resting else "")


def _accessory(key: str, name: str, span: Span) -> Input:
    remedy = say("Measure what {accessory} draws while parked", accessory=name)
    if span.has_modes:
        remedy = say(
            "Measure what {accessory} draws while parked, or choose what it does then",
            accessory=name,
        )
    return Input(
        key, say("what {accessory} draws", accessory=name), span.factors, span.words, remedy
    )


def _temperature(a: Figures) -> Input:
    parking = a.vehicle.parking
    typical = parking.temperature_c
    low = typical - WEATHER_K if parking.low_temperature_c is None else parking.low_temperature_c
    high = typical + WEATHER_K if parking.high_temperature_c is None else parking.high_temperature_c
    ends = (min(low, typical), typical, max(high, typical))
    return Input(
        "temperature",
        say("the weather"),
        ends,
        say("temperature {low} to {high}", low=Amount(ends[0], "°C"), high=Amount(ends[2], "°C")),
    )


def _start(a: Figures) -> tuple[Input, ...]:
    """The figures of the start that one reading while cranking narrows, weighed together."""
    case = start_case(a)
    remedy = {
        "line": say("Say which engine it has, or read the lowest voltage of one start"),
        "contactors": None,
    }.get(case.way, say("Read the lowest voltage of one start, as near to the frost as can be"))
    words = {
        "line": say("what a start needs, the engine not known"),
        "engine": say("what a start needs, by engine and label"),
        "reading": say("what a start needs, by a reading while cranking"),
        "contactors": say("the charge that closes the contactors"),
    }[case.way]
    ranges = start_ranges(case)
    floor = ranges.pop(FLOOR, None)
    what = say("the charge a start needs")
    found = tuple(Input(key, what, ends, words, remedy, START) for key, ends in ranges.items())
    return found if floor is None else (*found, _floor(floor))


def _floor(ends: Range) -> Input:
    """No reading narrows it: weakest cell, wrong charge figure, several tries."""
    return Input(
        FLOOR,
        say("the charge below which no start is promised"),
        ends,
        say("no start is promised below {low} to {high}", **_between(ends)),
    )


POINTS: Final = 48
"""Points of the band over the whole time."""
LOW, HIGH = 0.05, 0.95
"""Shares of the draws that lie below the band's ends."""
WORTH_MEASURING: Final = 0.05
"""Share of the spread below which nothing is gained by measuring."""


@dataclass(frozen=True, eq=False)
class ParkedBand:
    """Hours at which the vehicle stops starting [h], and the charge's band over time.

    Hours are infinite where that is past the horizon, `hours` [h, (draws,)] those of every draw;
    `low_soc` and `high_soc` [-] over `time_h` [h]; `need` what a start needs [-] at 10, 50 and 90 %
    of the draws, infinite where not even a full battery starts. `inputs` are what was drawn,
    `shares` how much each of them matters, largest first; `spread` says the first in words,
    `measure_next` what to do about the second.
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
    hours: Floats
    need: tuple[float, float, float]

    def chance(self, hours: float) -> float:
        """Share of the draws [-] that still start after so many hours [h]."""
        return float(np.mean(self.hours >= hours))


def parked_band(parked: Parked, *, draws: int = DRAWS, seed: int = SEED) -> ParkedBand:
    """The band of the parked forecast of an assessed vehicle, from so many draws."""
    a, model, who = parked.standing.figures, parked.standing.model, parked.standing.who
    asked = inputs(a, model, who.placed)
    given = drawn({each.key: each.range for each in asked}, draws, seed)
    need = _needs(a, given)
    found = _forecast(a, model, who, given, need)
    hours = np.asarray(found.hours_to_crank_limit)
    ends = band(hours)
    soc = np.quantile(found.samples.soc, [LOW, HIGH], axis=1)
    varied = {key: values for key, values in given.items() if np.ptp(values) > 0}
    shares = _together(asked, what_matters_most(varied, np.minimum(hours, found.horizon_h * 2)))
    low, middle, high = np.quantile(need, NEEDS, method="inverted_cdf").tolist()
    return ParkedBand(
        low_h=ends.low,
        middle_h=ends.middle,
        high_h=ends.high,
        time_h=found.samples.time_h,
        low_soc=soc[0],
        high_soc=soc[1],
        inputs=_as_said(asked, (low, middle, high)),
        shares=shares,
        spread=tuple(dict.fromkeys(each.words for each in asked if each.range[0] < each.range[2])),
        measure_next=measure_next(asked, shares),
        draws=draws,
        seed=seed,
        hours=hours,
        need=(low, middle, high),
    )


def _as_said(asked: tuple[Input, ...], need: Range) -> tuple[Input, ...]:
    """The inputs as they are told: a group as one, the start's by what it needs [-]."""
    found: dict[str, Input] = {}
    for each in asked:
        ends = need if each.group == START else each.range
        found.setdefault(
            each.group or each.key, replace(each, key=each.group or each.key, range=ends)
        )
    return tuple(found.values())


def _together(asked: tuple[Input, ...], shares: tuple[Share, ...]) -> tuple[Share, ...]:
    """The shares with those of one group as one, under the group's name, largest first."""
    groups = {each.key: each.group or each.key for each in asked}
    found: dict[str, Share] = {}
    for each in shares:
        name = groups[each.name]
        first = found.get(name, Share(name, 0.0, each.lifts))
        found[name] = Share(name, first.share + each.share, first.lifts)
    return tuple(sorted(found.values(), key=lambda share: -share.share))


def _needs(a: Figures, given: Mapping[str, Floats]) -> Floats:
    """What a start needs in every draw [-], in its own coldest night."""
    warmer = given["temperature"] - a.vehicle.parking.temperature_c
    return np.asarray(need_at(start_case(a), given, coldest_c(a) + warmer))


def _forecast(
    a: Figures,
    model: BatteryModel,
    who: ParkedDraws,
    given: Mapping[str, Floats],
    need: Floats,
) -> Forecast:
    """The forecast of all draws at once."""
    parking = a.vehicle.parking
    horizon = horizon_h(a)
    return forecast(
        _wells(model.wells, given),
        np.clip(given["charge"], 0.0, 1.0),
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
    placed = (_placed(key, draw, given) for key, draw in who.placed)
    waking = (Draw.constant(UNLOGGED, given[WAKING]),) if WAKING in given else ()
    return (*own, *placed, *waking, *who.sources)


def _own(draw: Draw, given: Mapping[str, Floats]) -> Draw:
    """The vehicle's own: what lasts is rest current, what ends or comes and goes is being awake."""
    if draw.name.startswith(WAKE_UPS):
        return scaled(draw, given["awake"], given["awake"])
    rows = tuple(
        (start, end, np.asarray(current) * given["rest" if end == np.inf else "awake"])
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


def measure_next(asked: tuple[Input, ...], shares: tuple[Share, ...]) -> Text:
    """What to measure next, in a sentence: the most that matters and can be measured."""
    by_key = {each.group or each.key: each for each in asked}
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
