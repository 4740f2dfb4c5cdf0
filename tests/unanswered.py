"""What an unanswered field may be, by the table alone: from its mild to its hard end.

In: a vehicle and a field's name as `without` has it. Out: values between those ends, drawn; nothing
of the program decides them. The fields are those for which a usual figure stands in.
"""

from collections.abc import Callable
from math import log
from typing import Final, NamedTuple

import numpy as np
from msgspec.structs import replace
from numpy.random import Generator

from fusemap.vehicle import Vehicle
from tests import reckoning_tables as tables

NIGHTS: Final = (2, 4, 7, 14, 30)


class Span(NamedTuple):
    """Between which values an answer may lie."""

    low: float
    high: float

    def drawn(self, rng: Generator) -> float:
        """One of them; the ends as often as any other, since one of them is the hard one."""
        share = float(rng.choice([0.0, 1.0, rng.random()]))
        return self.low + share * (self.high - self.low)


def mean_c(vehicle: Vehicle) -> float:
    return float(vehicle.parking.temperature_c)


def coldest(vehicle: Vehicle) -> Span:
    """So far below the mean as the coldest night of so many days of ten stations."""
    rows = [tables.unanswered(f"coldest_{n}d") for n in NIGHTS]
    days = log(vehicle.parking.stand_days)
    hard, mild = (
        float(np.interp(days, np.log(NIGHTS), [getattr(row, end) for row in rows]))
        for end in ("hard", "mild")
    )
    return Span(mean_c(vehicle) - hard, mean_c(vehicle) - mild)


def is_small(vehicle: Vehicle) -> bool:
    """Whether its battery may be a motorcycle's."""
    battery = vehicle.battery
    if battery.cca_a is not None:
        return battery.cca_a <= tables.unanswered("small_cold_a").hard
    known = battery.capacity_ah is not None
    return known and (battery.capacity_ah or 0.0) <= tables.unanswered("small_ah").hard


def awake(vehicle: Vehicle) -> Span:
    """The mean of two minutes of the first figure and the second one from then on."""
    if is_small(vehicle):
        ends = tables.unanswered("small_awake_a")
        return Span(ends.mild, ends.hard)
    first, then = tables.unanswered("awake_first_a"), tables.unanswered("awake_then_a")
    minutes = max(2.0, vehicle.parking.sleep_after_min)
    low, high = (
        (2.0 * getattr(first, end) + (minutes - 2.0) * getattr(then, end)) / minutes
        for end in ("mild", "hard")
    )
    return Span(low, high)


def capacity(vehicle: Vehicle) -> Span:
    """By the label's cold current; without any label what a car's battery may be."""
    cca = vehicle.battery.cca_a
    if cca is None:
        return Span(36.0, 90.0)
    per_ah = tables.unanswered("small_cold_a_per_ah" if is_small(vehicle) else "cold_a_per_ah")
    return Span(cca / per_ah.hard, cca / per_ah.mild)


def litres(vehicle: Vehicle) -> Span:
    """No larger than such a battery is usually put to."""
    per_l = tables.unanswered("engine_cold_a_per_l")
    cold = (vehicle.battery.cca_a or 0.0) * vehicle.battery.parallel
    if not cold:
        cold = tables.unanswered("cold_a_per_ah").usual * (vehicle.battery.capacity_ah or 60.0)
    cold *= vehicle.system_v // 12
    return Span(0.5 * cold / per_l.mild, cold / per_l.hard)


def second_ohm(vehicle: Vehicle) -> Span:
    """By what its kind usually has at its capacity [mΩ]."""
    second = vehicle.second_battery
    assert second is not None
    usual = float(tables.battery_row(second.chemistry)["resistance_mohm_70ah"])
    usual *= 70.0 / (second.capacity_ah or 60.0)
    ends = tables.unanswered("resistance_share")
    return Span(usual * ends.mild, usual * ends.hard)


def second_v(vehicle: Vehicle) -> Span:
    """From half charge, or what was said of its charge, to full."""
    second = vehicle.second_battery
    assert second is not None
    least = tables.unanswered("second_soc").hard if second.start_soc is None else second.start_soc
    scale = vehicle.system_v / 12
    return Span(*(tables.rest_v(second.chemistry, soc) * scale for soc in (least, 1.0)))


def cabin(vehicle: Vehicle) -> Span:
    """Up to what the named rule of the place says."""
    rules = tables.rule_defaults() | {each.key: each.value for each in vehicle.rules}
    return Span(-20.0, rules[f"ambient_{vehicle.panels[0].place}_c"])


SPANS: Final[dict[str, Callable[[Vehicle], Span]]] = {
    "parking.coldest_c": coldest,
    "parking.awake_current_a": awake,
    "parking.engine_l": litres,
    "battery.capacity_ah": capacity,
    "second_battery.resistance_mohm": second_ohm,
    "second_battery.rest_v": second_v,
    "panels[panel-1].ambient_c": cabin,
}
"""The fields for which a usual figure stands in, with the ends between which an answer may lie."""
GROUNDS: Final = {
    "parking.coldest_c": "coldest_7d",
    "parking.awake_current_a": "awake_then_a",
    "parking.engine_l": "engine_cold_a_per_l",
    "parking.engine_fuel": "engine_cold_a_per_l",
    "battery.capacity_ah": "cold_a_per_ah",
    "second_battery.resistance_mohm": "resistance_share",
    "second_battery.rest_v": "second_soc",
    "panels[panel-1].ambient_c": "ambient_cabin_c",
}
"""The row of the table, or the named rule, that each of them is taken from."""


def answered(vehicle: Vehicle, field: str, value: float) -> Vehicle:
    """The vehicle with that field answered."""
    where, _, name = field.rpartition(".")
    if where.startswith("panels"):
        first = replace(vehicle.panels[0], ambient_c=value)
        return replace(vehicle, panels=(first, *vehicle.panels[1:]))
    return replace(vehicle, **{where: replace(getattr(vehicle, where), **{name: value})})


def engines(vehicle: Vehicle) -> tuple[str, ...]:
    """The engines that may hang on such a battery."""
    return ("petrol", "diesel", "motorcycle") if is_small(vehicle) else ("petrol", "diesel")
