"""How much charge a start needs, what the starter gets, and which cut-offs leave enough.

In: an assessed vehicle and its battery model. Out: the least state of charge [-] at a temperature
[°C], for the usual figures or for every draw of them, with what it is reckoned from in words; the
volts [V] the starter gets; for cut-offs, hours [h] and volts [V].

Engine or a reading known: the voltage at the cranking battery (`electrics/starting.py`). Neither
known: a car maker's published line over temperature, with a band of ours. Contactors of a hybrid or
electric car: the voltage under load, and a charge below which no lead battery is counted on.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import ceil
from typing import Final

import numpy as np

from fusemap import tables
from fusemap.assess.battery import BatteryModel
from fusemap.assess.figures import Figures
from fusemap.assess.parked.figures import ParkedFigures, StartNeed
from fusemap.assess.parked.start_spans import (
    SLOW_V,
    START,
    STEADY_V,
    StartCase,
    start_case,
    start_ranges,
)
from fusemap.assess.parked.start_words import need_source, need_words
from fusemap.assess.result import Floats
from fusemap.electrics.battery import CCA_C, CrankLimit
from fusemap.electrics.parked import CutOffResult
from fusemap.electrics.spread import Range, quantiles
from fusemap.electrics.spread import draws as drawn
from fusemap.electrics.starting import (
    ROOM_C,
    LeadCold,
    LithiumCold,
    Starting,
    current_rise,
    rated_ohm,
    rest_shift_v,
)
from fusemap.electrics.values import Values, plain
from fusemap.vehicle.parts import CrankReading
from fusemap.vehicle.words import MeterResponse

Given = Mapping[str, Values]
LINE_C: Final = 15.0
"""At and above this temperature [°C] the published line stays."""
NOT_EVEN_FULL: Final = 1.01
"""The charge asked for where not even a full battery starts [-]."""
DRAWS: Final = 1000
SEED: Final = 1
NEEDS: Final = (0.1, 0.5, 0.9)
"""Shares of the draws at which what a start needs is told."""


def need_at(case: StartCase, given: Given, cold_c: Values) -> Values:
    """What a start needs [-] at a temperature [°C]; infinite where not even a full one starts.

    `given` has the figures of `start_ranges`, and "capacity" as a factor where that is uncertain.
    """
    if case.way == "line":
        colder = np.maximum(0.0, LINE_C - np.asarray(cold_c))
        line = case.rules["start_line_soc"] + case.rules["start_line_slope_per_k"] * colder
        return plain(np.maximum(0.0, line + given[f"{START}line"]))
    return starting(case, given).need(cold_c)


def starting(case: StartCase, given: Given) -> Starting:
    """The battery and what starts from it; of all ways but the published line."""
    lost, rise = (given.get(f"{START}{key}", 0.0) for key in ("lost", "rise"))
    least = given[f"{START}least"]
    if case.way == "reading":
        drop, at_c, at_soc, least = _by_reading(case, given, least)
    else:
        at_c, ohm = _ohm(case, given, lost)
        drop = np.asarray(given[f"{START}current"]) * current_rise(at_c, rise) * ohm
        at_soc = 1.0
    return Starting(
        emf_soc=np.asarray(case.model.wells.emf_soc),
        emf_v=np.asarray(case.model.wells.emf_v),
        drop_v=drop,
        at_c=at_c,
        at_soc=at_soc,
        least_v=least,
        floor_soc=given[f"{START}floor"],
        cold=_cold(case, given),
        lost_v=lost,
        engine_cold=rise,
        towards_empty=given[f"{START}empty"],
    )


def _cold(case: StartCase, given: Given) -> LeadCold | LithiumCold:
    if case.lithium:
        return LithiumCold(given[f"{START}at_0"], given[f"{START}at_20"])
    return LeadCold(given[f"{START}slope"])


def _ohm(case: StartCase, given: Given, lost: Values) -> tuple[Values, Values]:
    """Where the full battery has which resistance today [°C, Ω]; the weaker one of two.

    By the label's cold cranking current; contactors, where there is none, by the usual resistance.
    """
    battery, wells = case.battery, case.model.wells
    share = np.asarray(given[f"{START}share"])
    if f"{START}share of the other" in given:
        share = np.minimum(share, given[f"{START}share of the other"])
    cca = battery.measured_cca_a or battery.cca_a
    if cca is None and case.way == "contactors":
        return ROOM_C, plain(np.asarray(wells.resistance_ohm) / share)
    if cca is None:
        capacity = np.asarray(wells.capacity_ah) * given.get("capacity", 1.0)
        amps = np.asarray(given[f"{START}per_ah"]) * capacity
    else:
        amps = np.asarray(cca * battery.parallel)
    at_c = given[f"{START}rated"] if case.lithium else CCA_C
    test = tables.label_tests()["en" if case.lithium else case.standard]
    # a cold test is a current as well: what is lost at any cranking current is lost in it
    gone = tables.start_fact("lost_v").value if case.way == "contactors" else lost
    full = float(np.asarray(wells.emf_v)[-1]) + np.asarray(_shift(case, at_c))
    ohm = np.asarray(rated_ohm(full, gone, test.held_v, test.seconds, amps)) / share
    return at_c, plain(ohm * tables.start_fact("first_seconds").value)


def _shift(case: StartCase, temperature_c: Values) -> Values:
    return 0.0 if case.lithium else rest_shift_v(temperature_c)


def _by_reading(
    case: StartCase, given: Given, least: Values
) -> tuple[Values, Values, Values, Values]:
    """The drop of the nearest reading [V], its temperature [°C] and charge [-]; the least volts.

    A start at some voltage shows that this voltage starts: the lowest seen caps the least.
    """
    wells, reading = case.model.wells, case.reading
    rest = reading.rest_v - np.asarray(_shift(case, reading.temperature_c))
    soc = np.interp(rest + given[f"{START}read rest"], wells.emf_v, wells.emf_soc)
    drop = reading.rest_v - _cranked(reading, given) - np.asarray(given[f"{START}lost"])
    for each in case.battery.crank_readings:
        least = np.minimum(least, _cranked(each, given))
    return plain(np.maximum(drop, LEAST_DROP_V)), reading.temperature_c, plain(soc), plain(least)


LEAST_DROP_V: Final = 0.05
"""No engine cranks on less of a drop in the battery's resistance than this [V]."""


def _cranked(reading: CrankReading, given: Given) -> Floats:
    """The voltage behind a reading [V]: a held MIN lies below it, a seen one is off either way."""
    off = np.asarray(given[f"{START}read"])
    if reading.response == "slow":
        return np.asarray(reading.crank_v + off)
    return np.asarray(reading.crank_v + (off / SLOW_V * 2.0 - 1.0) * STEADY_V)


def read_off(response: MeterResponse) -> Range:
    """How far the voltage itself may lie above a reading [V]: least, typical, most."""
    if response == "slow":
        return (0.0, SLOW_V / 2.0, SLOW_V)
    return (-STEADY_V, 0.0, STEADY_V)


@lru_cache(maxsize=16)
def _drawn(case: StartCase) -> tuple[Floats, Starting | None]:
    """What a start needs in the coldest expected [-, (draws,)], and what that follows from."""
    given = drawn(start_ranges(case), DRAWS, SEED)
    found = None if case.way == "line" else starting(case, given)
    return np.asarray(need_at(case, given, case.coldest_c)), found


def start_need(a: Figures) -> StartNeed:
    """What a start needs of this battery at the coldest expected, in the middle of its draws."""
    case = start_case(a)
    needs, _ = _drawn(case)
    low, middle, high = quantiles(needs, NEEDS)
    return StartNeed(
        soc=min(1.0, middle),
        never=not middle <= 1.0,
        low=low,
        high=high,
        way=case.way,
        words=need_words(a, case, middle, lambda soc: _gets_v(case, soc)),
        source=need_source(a, case),
        gets_v=lambda soc: _gets_v(case, soc),
    )


def _gets_v(case: StartCase, soc: float) -> float:
    """What the starter gets at a charge in the coldest [V], in the middle of the draws."""
    return gets_v(case, soc)[1]


def gets_v(case: StartCase, soc: float) -> Range:
    """What the starter gets at a charge in the coldest [V]: 10, 50 and 90 % of the draws.

    Not a number where the charge follows from a published line alone.
    """
    _, found = _drawn(case)
    if found is None:
        return (float("nan"), float("nan"), float("nan"))
    low, middle, high = quantiles(np.asarray(found.cranking_v(soc, case.coldest_c)), NEEDS)
    return (low, middle, high)


def crank_limit(a: Figures, soc: Values) -> CrankLimit:
    """The charge a start needs [-] as the forecast wants it, held at all temperatures meanwhile."""
    least = np.minimum(np.asarray(soc), NOT_EVEN_FULL)
    return CrankLimit(plain(least), 0.0, by_voltage=a.vehicle.parking.starts_by == "contactors")


LEAST_WORK_H: Final = 3.0
"""A load that works for less than this, all in all [h], hardly works at all; ours."""
LEAST_SHARE: Final = 0.1
"""Unless it has taken this share of the capacity in that time, as a large load does [-]; ours."""


def saving_v(model: BatteryModel, crank_soc: float) -> float:
    """The lowest cut-off that leaves what a start needs, to a tenth of a volt upwards [V]."""
    volts = float(np.asarray(model.wells.ocv(crank_soc)))
    return ceil(volts * 10 - 1e-9) / 10


def work_h(parked: ParkedFigures, result: CutOffResult) -> float:
    """Hours for which a cut-off lets its load work, on and off, within the forecast [h]."""
    current = _own(parked, result).max(initial=0.0)
    return _taken_ah(parked, result) / current if current > 0 else 0.0


def hardly_works(parked: ParkedFigures, result: CutOffResult, capacity_ah: float) -> bool:
    """Whether a cut-off trips so early that its load might as well be off [Ah]."""
    trips = np.isfinite(result.first_trip_h)
    much = _taken_ah(parked, result) >= LEAST_SHARE * capacity_ah
    return bool(trips) and not much and work_h(parked, result) < LEAST_WORK_H


def _own(parked: ParkedFigures, result: CutOffResult) -> Floats:
    return np.asarray(parked.forecast.samples.current_a[parked.forecast.names.index(result.name)])


def _taken_ah(parked: ParkedFigures, result: CutOffResult) -> float:
    samples = parked.forecast.samples
    return float(samples.charge_ah[parked.forecast.names.index(result.name), -1])
