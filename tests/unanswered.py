"""What an unanswered field may be, by the table alone: from its mild to its hard end.

In: a vehicle and a field's name as `without` has it. Out: values between those ends, drawn; nothing
of the program decides them. The fields are those for which a usual figure stands in.
"""

from collections.abc import Callable
from math import log
from typing import Final, Literal, NamedTuple

import numpy as np
from msgspec.structs import replace
from numpy.random import Generator

from fusemap.vehicle import Vehicle
from tests import reckoning_tables as tables

NIGHTS: Final = (2, 4, 7, 14, 30)


class Span(NamedTuple):
    """Between which values an answer may lie, and at which of them it is hard."""

    low: float
    high: float
    hard: Literal["low", "high"]

    def covers(self, value: float) -> bool:
        """Whether an answer is no harder than the hard end."""
        return value >= self.low if self.hard == "low" else value <= self.high

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
    return Span(mean_c(vehicle) - hard, mean_c(vehicle) - mild, "low")


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
        return Span(ends.mild, ends.hard, "high")
    first, then = tables.unanswered("awake_first_a"), tables.unanswered("awake_then_a")
    minutes = max(2.0, vehicle.parking.sleep_after_min)
    low, high = (
        (2.0 * getattr(first, end) + (minutes - 2.0) * getattr(then, end)) / minutes
        for end in ("mild", "hard")
    )
    return Span(low, high, "high")


def capacity(vehicle: Vehicle) -> Span:
    """By the label's reserve or cold current; without any label what a car's battery may be.

    By the reserve: 0.6 Ah for each minute, a fifth less to a tenth more.
    """
    cca, reserve = vehicle.battery.cca_a, vehicle.battery.reserve_min
    if reserve is not None:
        return Span(0.6 * reserve * 0.8, 0.6 * reserve * 1.1, "low")
    if cca is None:
        return Span(36.0, 90.0, "low")
    per_ah = tables.unanswered("small_cold_a_per_ah" if is_small(vehicle) else "cold_a_per_ah")
    return Span(cca / per_ah.hard, cca / per_ah.mild, "low")


def litres(vehicle: Vehicle) -> Span:
    """No larger than such a battery is usually put to."""
    per_l = tables.unanswered("engine_cold_a_per_l")
    cold = (vehicle.battery.cca_a or 0.0) * vehicle.battery.parallel
    if not cold:
        cold = tables.unanswered("cold_a_per_ah").usual * (vehicle.battery.capacity_ah or 60.0)
    cold *= vehicle.system_v // 12
    return Span(0.5 * cold / per_l.mild, cold / per_l.hard, "high")


def second_ohm(vehicle: Vehicle) -> Span:
    """By what its kind usually has at its capacity [mΩ]."""
    second = vehicle.second_battery
    assert second is not None
    usual = float(tables.battery_row(second.chemistry)["resistance_mohm_70ah"])
    usual *= 70.0 / (second.capacity_ah or 60.0)
    ends = tables.unanswered("resistance_share")
    return Span(usual * ends.mild, usual * ends.hard, "high")


def second_v(vehicle: Vehicle) -> Span:
    """From half charge, or what was said of its charge, to full."""
    second = vehicle.second_battery
    assert second is not None
    least = tables.unanswered("second_soc").hard if second.start_soc is None else second.start_soc
    scale = vehicle.system_v / 12
    low, high = (tables.rest_v(second.chemistry, soc) * scale for soc in (least, 1.0))
    return Span(low, high, "low")


def charge(vehicle: Vehicle) -> Span:
    """What driving leaves in such a battery [-]."""
    low, _, high = tables.usual_charge(vehicle.battery.chemistry)
    return Span(low, high, "low")


def health(vehicle: Vehicle) -> Span:
    """So far below and above what is usual for its kind or its age [-]."""
    row = tables.battery_row(vehicle.battery.chemistry)
    usual, years = float(row["soh"]), vehicle.battery.age_years
    if years is not None:
        usual = max(0.4, 1.0 - float(row["fade_per_year"]) * years)
    return Span(usual - 0.15, min(1.0, usual + 0.15), "low")


def rest(vehicle: Vehicle) -> Span:
    """Times what is usual, or what its circuits draw where that is more [A]."""
    slots = [slot for panel in vehicle.panels for slot in panel.slots if slot.kind == "fuse"]
    own = [s.own_load.asleep or 0.0 for s in slots if s.feed_class in ("permanent", "unknown")]
    rules = tables.rule_defaults() | {each.key: each.value for each in vehicle.rules}
    known = sum(own) + sum(each.other_load.asleep or 0.0 for each in vehicle.feeds)
    usual = max(rules["rest_current_assumed_ma"] / 1000, known)
    ends = tables.unanswered("rest_share")
    return Span(usual * ends.mild, usual * ends.hard, "high")


def cabin(vehicle: Vehicle) -> Span:
    """Up to what the named rule of the place says."""
    rules = tables.rule_defaults() | {each.key: each.value for each in vehicle.rules}
    return Span(-20.0, rules[f"ambient_{vehicle.panels[0].place}_c"], "high")


SPANS: Final[dict[str, Callable[[Vehicle], Span]]] = {
    "parking.coldest_c": coldest,
    "parking.awake_current_a": awake,
    "parking.engine_l": litres,
    "battery.capacity_ah": capacity,
    "battery.start_soc": charge,
    "battery.soh": health,
    "parking.rest_current_a": rest,
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
    "battery.start_soc": "smart_soc",
    "battery.soh": "agm",
    "parking.rest_current_a": "rest_share",
    "second_battery.resistance_mohm": "resistance_share",
    "second_battery.rest_v": "second_soc",
    "panels[panel-1].ambient_c": "ambient_cabin_c",
}
"""The row of a table, or the named rule, that each of them is taken from."""


def emptied(vehicle: Vehicle, field: str) -> Vehicle:
    """The vehicle without what else would answer that field: the charge is read as a voltage."""
    if field != "battery.start_soc":
        return vehicle
    battery = replace(vehicle.battery, rest_v=None, low_soc=None, high_soc=None)
    return replace(vehicle, battery=battery)


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
