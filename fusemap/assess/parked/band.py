"""How sure the parked forecast is: the same forecast for many vehicles that could be this one.

In: an assessed vehicle. Out: low, middle and high hours [h] (5, 50 and 95 % of the draws), the band
of the charge over time, what each input is believed to lie between, how much each matters, and what
to measure next. One pass over all draws, the same draws every time; where something was not
answered a second one, with that at its hard end: the low end is of these (`hard`).

Every figure has a stream of random numbers of its own: what is added to a vehicle never moves what
was there. What standings showed picks among the draws (`learning`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from math import ceil, floor
from typing import Final, NamedTuple

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap.assess.parked.figures import Middle
from fusemap.assess.parked.forecasting import horizon_h
from fusemap.assess.parked.hard import Gain, Hard, hard_ends, unanswered, with_gains
from fusemap.assess.parked.inputs import Input, accessory_key, inputs
from fusemap.assess.parked.learning import Learned, learn
from fusemap.assess.parked.many import forecast_of, needs, scaled
from fusemap.assess.parked.standing import Parked
from fusemap.assess.parked.start_spans import START, start_case
from fusemap.assess.parked.starting import DRAWS, NEEDS, SEED
from fusemap.assess.result import Floats
from fusemap.electrics.parked import Forecast, even_hours
from fusemap.electrics.parked.timeline import Numbers
from fusemap.electrics.spread import Range, Share, band, quantiles, what_matters_most
from fusemap.electrics.spread import draws as drawn
from fusemap.text import Text, say
from fusemap.text import share as share_of

POINTS: Final = 48
"""Points of the band over the whole time."""
LOW, HIGH = 0.05, 0.95
"""Shares of the draws that lie below the band's ends."""
WORTH_MEASURING: Final = 0.05
"""Share of the spread below which nothing is gained by measuring."""
MORE_H: Final = 1.0
"""So much longer than planned is looked ahead to say how many start then [h]."""


class ParkedBand(Struct, frozen=True, eq=False):
    """Hours at which the vehicle stops starting [h], and the charge's band over time.

    Hours are infinite where that is past the horizon, `hours` [h, (draws,)] those of every
    draw, `hard_h` the same at the hard end of what was not answered: of these are the low end and
    how many start after a time. `gains` says what an answer to each of that would do.
    `middle` is all that is said of the middle of the draws. `low_soc`, `middle_soc` and `high_soc`
    [-] over `time_h` [h]; `need` what a start needs [-] at 10, 50 and 90 % of the draws, infinite
    where not even a full battery starts. `inputs` are what was drawn, `shares` how much each of
    them matters, largest first; `spread` says the first in words, `measure_next` what to do about
    the second. `learned` is what standings showed.
    """

    low_h: float
    middle_h: float
    high_h: float
    time_h: Floats
    low_soc: Floats
    middle_soc: Floats
    high_soc: Floats
    inputs: tuple[Input, ...]
    shares: tuple[Share, ...]
    spread: tuple[Text, ...]
    measure_next: Text
    draws: int
    seed: int
    hours: Floats
    hard_h: Floats
    need: tuple[float, float, float]
    middle: Middle
    gains: tuple[Gain, ...] = ()
    learned: Learned | None = None
    before: tuple[float, float] | None = None
    """Both ends [h] as they would be without what standings showed; `None` where none did."""

    def chance(self, hours: float) -> float:
        """Share of the draws [-] that still start after so many hours [h]."""
        return float(np.mean(self.hard_h >= hours))

    def chances(self, time_h: Floats) -> Floats:
        """The same at each of many times [h], (times,)."""
        gone = np.searchsorted(np.sort(self.hard_h), np.asarray(time_h), side="left")
        return np.asarray(1.0 - gone / len(self.hard_h))

    @property
    def in_doubt(self) -> tuple[Text, ...]:
        """What the answer is unsure of, in the order of what it is worth, with its share."""
        by_key = {each.key: each for each in self.inputs}
        return tuple(
            say(
                "{input}: {part} of what is uncertain",
                input=by_key[each.name].what,
                part=share_of(each.share),
            )
            for each in self.shares
            if each.share >= WORTH_MEASURING
        )


def parked_band(parked: Parked, *, draws: int = DRAWS, seed: int = SEED) -> ParkedBand:
    """The band of the parked forecast of an assessed vehicle, from so many draws."""
    a, model, who = parked.standing.figures, parked.standing.model, parked.standing.who
    asked = inputs(a, model, who.placed)
    given = drawn({each.key: each.range for each in asked}, draws, seed)
    need = needs(a, given)
    horizon = horizon_h(a)
    times = np.append(even_hours(horizon, POINTS), a.vehicle.parking.stand_days * 24.0)
    found = forecast_of(a, model, who, given, need, points_h=times)
    left = unanswered(a, asked)
    learned = learn(a, model, who, given, need, seed)
    picked = np.arange(draws) if learned is None else learned.picked

    def harder(
        answered: str = "", points_h: Floats | tuple[()] = (), by: Learned | None = learned
    ) -> Ended:
        def run(end: Hard) -> Forecast:
            return forecast_of(a, model, who, end.given, end.need, points_h=points_h)

        kept = np.arange(draws) if by is None else picked
        return _hardest(hard_ends(a, asked, given, seed, answered, by), run, kept)

    hard, worst = harder(points_h=times) if left else Ended(Hard(given, need), found)
    usual_h, hard_h = (np.asarray(each.hours_to_crank_limit) for each in (found, worst))
    bare = harder(by=None) if left and learned is not None else Ended(hard, worst)
    before = bare.low_h(np.arange(draws)), band(usual_h).high
    ends, least = band(usual_h[picked]), band(hard_h[picked])

    gains = tuple(Gain(key, harder(key).low_h(picked)) for key in left)
    those = {key: values[picked] for key, values in given.items()}
    shares = with_gains(
        _shares(asked, those, np.minimum(usual_h[picked], horizon * 2)),
        gains,
        *(min(each, horizon * 2) for each in (least.low, ends.low, ends.middle)),
    )
    low_soc = _charge(worst, picked, LOW, found.samples.time_h)
    high_soc = _charge(found, picked, HIGH, found.samples.time_h)
    low, middle, _ = quantiles(need[picked], NEEDS)
    (high,) = quantiles(hard.need[picked], NEEDS[2:])
    return ParkedBand(
        low_h=least.low,
        middle_h=ends.middle,
        high_h=ends.high,
        time_h=found.samples.time_h,
        # what empties a battery sooner may rest at its cut-off while it still falls in the other
        low_soc=np.minimum(low_soc, high_soc),
        middle_soc=_charge(found, picked, 0.5, found.samples.time_h),
        high_soc=high_soc,
        inputs=_as_said(asked, (low, middle, high)),
        shares=shares,
        spread=tuple(dict.fromkeys(each.words for each in asked if each.range[0] < each.range[2])),
        measure_next=measure_next(asked, shares),
        draws=draws,
        seed=seed,
        hours=usual_h[picked],
        hard_h=hard_h[picked],
        need=(low, middle, high),
        middle=_middle(found, picked),
        gains=gains,
        learned=learned,
        before=None if learned is None else before,
    )


class Ended(NamedTuple):
    """Draws at an end of what is not known, and their forecast."""

    drawn: Hard
    found: Forecast

    def low_h(self, picked: Numbers) -> float:
        """The low end [h] of the draws that were picked."""
        return band(np.asarray(self.found.hours_to_crank_limit)[picked]).low


def _hardest(ends: Iterable[Hard], run: Callable[[Hard], Forecast], picked: Numbers) -> Ended:
    """Of several hard ends the one whose forecast has the lowest low end."""
    return min((Ended(end, run(end)) for end in ends), key=lambda each: each.low_h(picked))


def _middle(found: Forecast, picked: Numbers) -> Middle:
    """The middle of the draws that were picked."""

    @lru_cache(maxsize=1)
    def course() -> tuple[Floats, Floats]:
        return found.samples.time_h, _charge(found, picked, 0.5, found.samples.time_h)

    def charge(hours: float) -> float:
        return float(np.interp(hours, *course()))

    ends = (found.hours_to_crank_limit, found.hours_to_empty, found.hours_to_freezing)
    hours, empty_h, freezes_h = (band(np.asarray(each)[picked]).middle for each in ends)
    return Middle(hours, empty_h, freezes_h, charge)


def _charge(found: Forecast, picked: Numbers, share: float, time_h: Floats) -> Floats:
    """The charge [-] of this share of the draws at these times [h, (times,)].

    Two forecasts are not sampled alike: each has times of its own at which something changes.
    """
    # a slow draw takes out more than the capacity at 20 hours: it is flat all the same
    drawn_soc = np.sort(np.maximum(found.samples.soc[:, picked], 0.0), axis=1)
    # between two draws, as numpy's own does; that one loads what no finding waits for
    place = share * (len(picked) - 1)
    low, high = drawn_soc[:, floor(place)], drawn_soc[:, ceil(place)]
    charge = low + (high - low) * (place - floor(place))
    return np.asarray(np.interp(time_h, found.samples.time_h, charge))


class AsPlanned(Struct, frozen=True):
    """How the time planned ends: both ends [h], infinite where they are later than that.

    `chance` is the share of the draws [-] that start then, `middle` what half of them are like.
    """

    low_h: float
    high_h: float
    chance: float
    middle: Middle


def as_planned(parked: Parked) -> AsPlanned:
    """What the band says of the time planned, without looking further."""
    a, model, who = parked.standing.figures, parked.standing.model, parked.standing.who
    asked = tuple((each.key, each.range, each.hard) for each in inputs(a, model, who.placed))
    vehicle = a.vehicle
    same = (asked, model.wells, who.own, who.placed, who.sources, start_case(a), vehicle.parking)
    return _as_planned(_Question(same, parked))


class _Question(Struct, frozen=True, eq=False):
    """A vehicle, and all of it that the answer hangs on: what is the same is reckoned once."""

    same: tuple[object, ...]
    parked: Parked

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Question) and self.same == other.same

    def __hash__(self) -> int:
        return hash(self.same)


@lru_cache(maxsize=8)
def _as_planned(asked: _Question) -> AsPlanned:
    parked = asked.parked
    a, model, who = parked.standing.figures, parked.standing.model, parked.standing.who
    planned_h = a.vehicle.parking.stand_days * 24.0
    asked_of = inputs(a, model, who.placed)
    given = drawn({each.key: each.range for each in asked_of}, DRAWS, SEED)
    need = needs(a, given)
    until_h = planned_h + MORE_H
    usual = forecast_of(a, model, who, given, need, until_h=until_h, points_h=(planned_h,))
    learned = learn(a, model, who, given, need, SEED)
    picked = np.arange(DRAWS) if learned is None else learned.picked
    hours = np.asarray(usual.hours_to_crank_limit)[picked]
    high_h = band(hours).high
    if unanswered(a, asked_of):

        def run(end: Hard) -> Forecast:
            return forecast_of(a, model, who, end.given, end.need, until_h=until_h)

        worst = _hardest(hard_ends(a, asked_of, given, SEED, learned=learned), run, picked).found
        hours = np.asarray(worst.hours_to_crank_limit)[picked]
    chance = float(np.mean(hours >= planned_h))
    return AsPlanned(band(hours).low, high_h, chance, _middle(usual, picked))


def _shares(
    asked: tuple[Input, ...], given: Mapping[str, Floats], hours: Floats
) -> tuple[Share, ...]:
    varied = {key: values for key, values in given.items() if np.ptp(values) > 0}
    return _together(asked, what_matters_most(varied, hours))


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


__all__ = [
    "DRAWS",
    "HIGH",
    "LOW",
    "SEED",
    "AsPlanned",
    "ParkedBand",
    "accessory_key",
    "as_planned",
    "measure_next",
    "parked_band",
    "scaled",
]
