"""What standings showed, taken in: the vehicles that could be this one, weighed by what was read.

In: an assessed vehicle, the draws of its forecast, and the readings kept with its battery: two rest
voltages some days apart, the mean current of a night, a start that held or failed; of starts
followed with a meter all but the one that the start is reckoned from. Out: `Learned`: which draws
are kept how often, how many of them count, what narrowed and what contradicts.

Every draw says what it would have shown; its weight is how likely the reading is then (importance
weighting: Smith and Gelfand, The American Statistician 46 (1992)). How many draws count is
(Σw)²/Σw² (Kish, Survey Sampling, 1965). Where fewer than `LEAST` of them did, all weights are
raised to the power below one at which so many do: the span is then wider than the readings alone
would have it, and never collapses onto a few draws. A reading that hardly any draw would have shown
contradicts the rest, and that is said. Draws are then taken in proportion to their weight, at even
steps (systematic resampling: Kitagawa, J. Computational and Graphical Statistics 5 (1996)).

How far a reading may be off is ours: `DIFFER_V`, `NIGHT_SHARE`, `NIGHT_A`, `CRANK_V`, `MISTOLD`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf
from statistics import NormalDist
from typing import Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap.assess.battery import READ_V, BatteryModel
from fusemap.assess.figures import Figures
from fusemap.assess.parked.draws import asleep_a
from fusemap.assess.parked.many import draws_of, wells_of
from fusemap.assess.parked.start_spans import start_case
from fusemap.assess.parked.start_words import reading_words as start_words
from fusemap.assess.parked.starting import need_at, read_off, starting
from fusemap.assess.parked.who import ParkedDraws
from fusemap.assess.result import Floats
from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked import Draw, forecast
from fusemap.electrics.parked.timeline import Numbers
from fusemap.electrics.spread import draws as drawn
from fusemap.electrics.spread import quantiles
from fusemap.electrics.starting import rest_shift_v
from fusemap.text import Amount, Argument, Duration, Text, many, say
from fusemap.text import share as share_of
from fusemap.vehicle import Battery, CrankReading, StandReading

Given = Mapping[str, Floats]

DIFFER_V: Final = 0.02
"""Standard deviation of the difference of two rest voltages of one battery by one meter [V]: its
last digit twice, a few kelvins, surface charge that went on fading; ours."""
NIGHT_SHARE: Final = 0.05
"""Standard deviation of a current followed with one clamp [share]; ours."""
NIGHT_A: Final = 0.003
"""The same of a clamp's zero after a night [A]; ours."""
CRANK_V: Final = 0.2
"""Standard deviation of one start's voltage around what another one tells of it [V]; ours."""
MISTOLD: Final = 0.05
"""How often a start holds or fails for another reason than the battery's charge [-]; ours."""
LEAST: Final = 0.1
"""Share of the draws that have to count [-]; ours."""
UNLIKELY: Final = 0.01
"""A reading that fewer draws than this would have shown contradicts the rest [-]; ours."""
ENDS: Final = (0.05, 0.95)
NORMAL: Final = NormalDist()


class Narrowed(Struct, frozen=True):
    """What the readings did to one figure: its ends before and after, in `unit`, in words."""

    key: str
    unit: str
    before: tuple[float, float]
    after: tuple[float, float]
    words: Text


class Learned(Struct, frozen=True, eq=False):
    """What was taken in of so many `readings`.

    `picked` (draws,) says which draws are kept, by number; `effective` how many of them count,
    `widened` whether the weights had to be held back for that. `contradicts` names the readings
    that the rest hardly allows, `narrowed` what is known better, `words` says all of it.
    """

    readings: int
    effective: float
    picked: Numbers
    widened: bool
    contradicts: tuple[Text, ...]
    narrowed: tuple[Narrowed, ...]
    words: tuple[Text, ...]


def learn(
    a: Figures, model: BatteryModel, who: ParkedDraws, given: Given, need: Floats, seed: int
) -> Learned | None:
    """What the kept readings say of these draws; `None` where there is none."""
    asked, logs, contradicts = _Asked(a, model, who, given, seed), np.zeros(len(need)), []
    told = tuple(_told(asked))
    if not told:
        return None
    for words, found, likely in told:
        logs = logs + found
        if likely < UNLIKELY:
            contradicts.append(words)
    power = _held_back(logs)
    weight = _weights(power * logs)
    # at even steps, from the middle of the first
    steps = (np.arange(len(weight)) + 0.5) / len(weight)
    picked = np.minimum(np.searchsorted(np.cumsum(weight), steps), len(weight) - 1)
    narrowed = tuple(_narrowed(a, model, who, given, need, picked))
    effective = float(1.0 / np.sum(weight**2))
    return Learned(
        len(told),
        effective,
        picked,
        power < 1.0,
        tuple(contradicts),
        narrowed,
        _words(len(told), effective, len(weight), power < 1.0, tuple(contradicts), narrowed),
    )


def learns(battery: Battery) -> bool:
    """Whether anything was read of it that the forecast learns from."""
    return bool(battery.stand_readings) or len(battery.crank_readings) > 1


def _told(asked: _Asked) -> Iterator[tuple[Text, Floats, float]]:
    """Each reading in words, the logarithm of its likelihood, and how many draws are as far off."""
    battery = asked.a.vehicle.battery
    for number, showed in enumerate(battery.stand_readings):
        by = replace(asked, name=f"standing {number}")
        yield (reading_words(showed), *_KINDS[showed.kind](by, showed))
    case = start_case(asked.a)
    if case.way != "reading":
        return
    nearest = case.reading
    for number, cranked in enumerate(battery.crank_readings):
        if cranked is not nearest:
            by = replace(asked, name=f"cranking {number}")
            yield (start_words(cranked), *_by_cranking(by, cranked))


def _weights(logs: Floats) -> Floats:
    """Weights that sum to one, of their logarithms."""
    weight = np.exp(logs - logs.max())
    return np.asarray(weight / weight.sum())


def _held_back(logs: Floats) -> float:
    """The power to which the weights are raised so that enough draws count; one where they do."""
    least = LEAST * len(logs)

    def effective(power: float) -> float:
        return float(1.0 / np.sum(_weights(power * logs) ** 2))

    if effective(1.0) >= least:
        return 1.0
    low, high = 0.0, 1.0
    for _ in range(30):
        middle = (low + high) / 2.0
        low, high = (middle, high) if effective(middle) >= least else (low, middle)
    return low


class _Asked(Struct, frozen=True, eq=False):
    """What one reading is held against: the vehicle's draws, and a stream of its own."""

    a: Figures
    model: BatteryModel
    who: ParkedDraws
    given: Given
    seed: int
    name: str = ""

    @property
    def count(self) -> int:
        return len(next(iter(self.given.values())))

    @property
    def wells(self) -> TwoWell:
        return wells_of(self.model.wells, self.given)

    def own(self, key: str, ends: tuple[float, float, float]) -> Floats:
        """Values of a figure that was another one then [any unit]."""
        name = f"{self.name} {key}"
        return drawn({name: ends}, self.count, self.seed)[name]

    def loads(self, reading: StandReading) -> tuple[Draw, ...]:
        """What drew then: the vehicle itself, and the accessories that were fitted."""
        there = {each.accessory for each in reading.fitted}
        placed = tuple(pair for pair in self.who.placed if pair[0] in there)
        who = replace(self.who, placed=placed, sources=())
        return draws_of(who, self.given, self.a.vehicle.battery.chemistry)

    def celsius(self, reading: StandReading) -> Floats | float:
        return self.given["temperature"] if reading.temperature_c is None else reading.temperature_c

    def soc(self, volts: Floats | float, reading: StandReading | CrankReading) -> Floats:
        """The charge at a rest voltage of one 12 V battery [V]."""
        shift = 0.0
        if self.a.vehicle.battery.chemistry != "lifepo4" and reading.temperature_c is not None:
            shift = float(np.asarray(rest_shift_v(reading.temperature_c)))
        wells = self.model.wells
        return np.interp(np.asarray(volts) - shift, wells.emf_v, wells.emf_soc)

    def after(self, soc: Floats, reading: StandReading, loads: tuple[Draw, ...]) -> Floats:
        """The charge [-] at the end of the reading's hours."""
        found = forecast(
            self.wells,
            np.broadcast_to(soc, (self.count,)),
            loads,
            temperature_c=self.celsius(reading),
            locked_at_clock_h=self.a.vehicle.parking.locked_at_h,
            horizon_h=reading.hours,
            sample_h=(),
        )
        return np.asarray(found.end_soc)


def _normal(read: float, shown: Floats, off: float) -> tuple[Floats, float]:
    """Logarithm of the likelihood of a figure read, and the share of the draws as far off."""
    z = (read - shown) / off
    below = float(np.mean([NORMAL.cdf(each) for each in np.clip(z, -9.0, 9.0).tolist()]))
    return -0.5 * z**2, 2.0 * min(below, 1.0 - below)


def _by_rests(asked: _Asked, reading: StandReading) -> tuple[Floats, float]:
    first, later = reading.rest_v or 0.0, reading.later_v or 0.0
    loads = tuple(_asleep(draw) for draw in asked.loads(reading))
    soc = asked.after(asked.soc(first, reading), reading, loads)
    wells = asked.model.wells
    # of both the difference counts: what is off in both alike tells nothing
    sunk = np.interp(asked.soc(first, reading), wells.emf_soc, wells.emf_v) - np.interp(
        soc, wells.emf_soc, wells.emf_v
    )
    return _normal(first - later, sunk, DIFFER_V)


def _asleep(draw: Draw) -> Draw:
    """A draw while the vehicle sleeps: what lasts, from the first hour on."""
    rows = tuple((0.0, inf, row[2]) for row in draw.phases if row[1] == inf)
    return replace(draw, phases=rows, cut_off=None)


def _by_night(asked: _Asked, reading: StandReading) -> tuple[Floats, float]:
    mean = sum((np.asarray(asleep_a(draw)) for draw in asked.loads(reading)), np.zeros(asked.count))
    read = reading.mean_a or 0.0
    return _normal(read, mean, float(np.hypot(NIGHT_SHARE * read, NIGHT_A)))


def _by_start(asked: _Asked, reading: StandReading) -> tuple[Floats, float]:
    if reading.rest_v is not None:
        soc = asked.soc(reading.rest_v + asked.own("rest", (-READ_V, 0.0, READ_V)), reading)
    else:
        then = asked.own("charge", asked.model.ranges["charge"])
        soc = asked.after(np.clip(then, 0.0, 1.0), reading, asked.loads(reading))
    case = start_case(asked.a)
    celsius = case.coldest_c if reading.temperature_c is None else reading.temperature_c
    starts = soc >= np.asarray(need_at(case, asked.given, celsius))
    shown = starts == bool(reading.started)
    return np.log(np.where(shown, 1.0 - MISTOLD, MISTOLD)), float(np.mean(shown))


def _by_cranking(asked: _Asked, reading: CrankReading) -> tuple[Floats, float]:
    """A start followed with a meter, held against what the nearest to the frost tells of it."""
    rest = reading.rest_v + asked.own("rest", (-READ_V, 0.0, READ_V))
    shown = starting(start_case(asked.a), asked.given).cranking_v(
        asked.soc(rest, reading), reading.temperature_c
    )
    # a held MIN lies below the voltage itself: by how much is another matter at each start
    off = asked.own("read", read_off(reading.response))
    return _normal(reading.crank_v, np.asarray(shown) - off, CRANK_V)


_KINDS: Final = {"rests": _by_rests, "night": _by_night, "start": _by_start}


def _narrowed(
    a: Figures, model: BatteryModel, who: ParkedDraws, given: Given, need: Floats, picked: Numbers
) -> list[Narrowed]:
    """Capacity, draw and limit before and after."""
    rows = draws_of(replace(who, sources=()), given, a.vehicle.battery.chemistry)
    drawn_a = sum((np.asarray(asleep_a(draw)) for draw in rows), np.zeros(len(need)))
    held = np.broadcast_to(np.asarray(wells_of(model.wells, given).scaled_ah), need.shape)
    limit = np.minimum(need, 1.0)
    found = []
    figures = (("capacity", "Ah", held), ("draw", "A", drawn_a), ("need", "%", limit))
    for key, unit, values in figures:
        before, after = (_ends(each) for each in (values, values[picked]))
        parts: dict[str, Argument] = {
            name: Amount(value, unit, significant=2)
            for name, value in zip(
                ("low", "high", "from_low", "from_high"), (*after, *before), strict=True
            )
        }
        found.append(Narrowed(key, unit, before, after, _FIGURE[key](parts)))
    return found


def _ends(values: Floats) -> tuple[float, float]:
    low, high = quantiles(values, ENDS)
    return low, high


def _capacity(parts: dict[str, Argument]) -> Text:
    return say("capacity {low} to {high}; before it was {from_low} to {from_high}", **parts)


def _draw(parts: dict[str, Argument]) -> Text:
    return say("drawn asleep {low} to {high}; before it was {from_low} to {from_high}", **parts)


def _need(parts: dict[str, Argument]) -> Text:
    return say("a start needs {low} to {high}; before it was {from_low} to {from_high}", **parts)


_FIGURE: Final = {"capacity": _capacity, "draw": _draw, "need": _need}


def reading_words(reading: StandReading) -> Text:
    """What a standing showed, in a line."""
    time = Duration(reading.hours)
    if reading.kind == "rests":
        return say(
            "{first} at rest, {later} after {time}",
            first=Amount(reading.rest_v or 0.0, "V", significant=4),
            later=Amount(reading.later_v or 0.0, "V", significant=4),
            time=time,
        )
    if reading.kind == "night":
        return say(
            "{current} on the mean over {time}",
            current=Amount(reading.mean_a or 0.0, "A", significant=2),
            time=time,
        )
    if reading.started:
        return say("it started after {time}", time=time)
    return say("it did not start after {time}", time=time)


def _words(
    readings: int,
    effective: float,
    count: int,
    widened: bool,
    contradicts: tuple[Text, ...],
    narrowed: tuple[Narrowed, ...],
) -> tuple[Text, ...]:
    head = many(
        "By {n} reading of a standing or a start; {share} of the vehicles tried count.",
        "By {n} readings of standings and starts; {share} of the vehicles tried count.",
        readings,
        share=share_of(effective / count),
    )
    told = [
        say(
            "“{reading}” contradicts the rest: read it again; the span was left wider.",
            reading=each,
        )
        for each in contradicts
    ]
    if widened and not contradicts:
        told.append(
            say("Few of the vehicles tried fit all that was read: the span was left wider.")
        )
    return (head, *told, *(each.words for each in narrowed))
