"""What a start of this vehicle is reckoned from, and how far each figure of it may be off.

In: an assessed vehicle. Out: the case of its start, the way that is reckoned, and for each figure
of it three values: a tenth of the vehicles like this lie below the first, half below the second, a
tenth above the third. Figures come from the table of starts; a named rule that was set for this
vehicle moves its figure with both ends.

Ways, best first: `reading`, one start followed with a meter; `engine`, by its size or the starter's
current; `contactors` of a hybrid or electric car; `line`, a car maker's published figures.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from math import log
from typing import Final, Literal

from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.assess.battery import READ_V, BatteryModel, battery_model, small_battery
from fusemap.assess.figures import Figures
from fusemap.assess.parked.weather import coldest_c, coldest_ends
from fusemap.electrics.spread import Tenths
from fusemap.vehicle import Battery
from fusemap.vehicle.parts import CrankReading
from fusemap.vehicle.words import EngineFuel, StartsBy

Way = Literal["line", "engine", "reading", "contactors"]

START: Final = "start: "
"""How the keys of these figures begin."""
FLOOR: Final = f"{START}floor"
"""The key of the charge below which no start is promised."""
RULES: Final = {
    "petrol_a_per_l": "start_petrol_a_per_l",
    "diesel_a_per_l": "start_diesel_a_per_l",
    "large_diesel_a_per_l": "start_large_diesel_a_per_l",
    "motorcycle_a_per_l": "start_motorcycle_a_per_l",
    "least_petrol_v": "start_petrol_v",
    "least_diesel_v": "start_diesel_v",
    "least_motorcycle_v": "start_motorcycle_v",
    "floor_soc": "start_floor_soc",
    "cold_share": "cold_share",
    "contactor_v": "contactor_min_v",
    "contactor_a": "contactor_load_a",
}
"""The named rule of a figure in the table of starts."""
MEASURED_A: Final = 0.10
"""Share by which a starter's current read off a clamp may be off."""
TESTED: Final = 0.07
"""Share by which a tester's cold cranking current may be off, from memory."""
SLOW_V: Final = 0.8
"""A slow MIN lies between the first dip and the cranking voltage: up to so much below it [V]."""
STEADY_V: Final = 0.1
"""What is seen on the display while it turns may be off by this [V]."""
NEW_YEARS: Final = 1.0
"""A battery younger than this still has its label's current [years], ours."""
LITHIUM_A: Final = Tenths(60.0, 110.0, 220.0)
"""What a starter takes warm where the engine is not known and no published line holds [A], ours."""


LINE_RULES: Final = (
    "start_line_soc", "start_line_slope_per_k", "start_line_less", "start_line_more",
)  # fmt: skip


class StartCase(Struct, frozen=True, dict=True):
    """All that a start hangs on: battery, engine, named rules, the coldest expected [°C].

    Two vehicles that share it need the same; whatever else changes, nothing is reckoned again.
    """

    battery: Battery
    system_v: int
    starts_by: StartsBy
    engine_fuel: EngineFuel
    engine_l: float | None
    cranking_a: float | None
    coldest_c: float
    chosen: tuple[tuple[str, float], ...]

    @cached_property
    def rules(self) -> Mapping[str, float]:
        """The named rules of a start."""
        return dict(self.chosen)

    @cached_property
    def model(self) -> BatteryModel:
        """The battery."""
        return battery_model(self.battery, self.system_v)

    @property
    def lithium(self) -> bool:
        """Whether it is a LiFePO4 battery."""
        return self.battery.chemistry == "lifepo4"

    @property
    def way(self) -> Way:
        """By what the charge a start needs is reckoned."""
        if self.starts_by == "contactors":
            return "contactors"
        if self.battery.crank_readings:
            return "reading"
        known = self.engine_fuel != "unknown" and self.engine_l is not None
        if known or self.cranking_a is not None or self.lithium:
            return "engine"
        return "line"

    @property
    def standard(self) -> str:
        """The standard that the label's current is of; EN where that is not known."""
        named = self.battery.label_standard
        return "en" if named == "unknown" else named

    @property
    def reading(self) -> CrankReading:
        """The reading taken nearest to the coldest, of those alike the last one."""
        readings = reversed(self.battery.crank_readings)
        return min(readings, key=lambda each: abs(each.temperature_c - self.coldest_c))


def start_case(a: Figures) -> StartCase:
    """The case of a vehicle's start."""
    parking = a.vehicle.parking
    keys = (*LINE_RULES, *RULES.values())
    return StartCase(
        battery=a.vehicle.battery,
        system_v=a.vehicle.system_v,
        starts_by=parking.starts_by,
        engine_fuel=parking.engine_fuel,
        engine_l=parking.engine_l,
        cranking_a=parking.cranking_a,
        coldest_c=coldest_c(a),
        chosen=tuple((key, a.rule(key)) for key in keys),
    )


def hard_case(a: Figures) -> StartCase:
    """The same start with what nobody answered at its hard end: the coldest night, the engine.

    A size that is not known is the largest that makers still put on such a battery.
    """
    case = replace(start_case(a), coldest_c=coldest_ends(a)[0])
    if case.starts_by == "contactors":
        return case
    fuel = case.engine_fuel if case.engine_fuel != "unknown" else _hard_fuel(case)
    litres = case.engine_l if case.engine_l is not None else hard_litres(case)
    return replace(case, engine_fuel=fuel, engine_l=litres)


def engine_answered(case: StartCase) -> bool:
    """Whether nothing of the engine is left that a start hangs on."""
    if case.starts_by == "contactors":
        return True
    sized = case.engine_l is not None or case.cranking_a is not None or case.way == "reading"
    return case.engine_fuel != "unknown" and sized


def _hard_fuel(case: StartCase) -> EngineFuel:
    """Of the engines that such a battery may start the one that wants most."""
    return "motorcycle" if small_battery(case.battery) else "diesel"


def hard_litres(case: StartCase) -> float:
    """The largest engine that such a battery is usually put in [l]."""
    per_l = tables.unanswered("engine_cold_a_per_l").hard
    return cold_a(case) * (case.system_v // 12) / per_l


def cold_a(case: StartCase) -> float:
    """The cold cranking current by the label, or what is usual for the capacity [A]."""
    battery = case.battery
    if battery.cca_a is not None:
        return battery.cca_a * battery.parallel
    usual = tables.unanswered("cold_a_per_ah").usual
    return usual * float(case.model.wells.capacity_ah)


def start_rule(case: StartCase) -> str:
    """The named rule that a start of this case hangs on most."""
    if case.way == "line":
        return "start_line_soc"
    if case.way == "contactors":
        return "contactor_min_v"
    fuel = "diesel" if case.engine_fuel == "unknown" else case.engine_fuel
    return RULES[f"least_{fuel}_v"]


def start_ranges(case: StartCase) -> dict[str, Tenths]:
    """Every figure of the start that is not known for sure, by its key."""
    if case.way == "line":
        ends = Tenths(-case.rules["start_line_less"], 0.0, case.rules["start_line_more"])
        return {f"{START}line": ends}
    found = {"floor": _fact(case, "floor_lifepo4_soc" if case.lithium else "floor_soc")}
    found |= {"empty": Tenths(0.0, 0.0, 0.0) if case.lithium else _plain("resistance_charge")}
    found |= _cold(case)
    if case.way == "contactors":
        found |= {"least": _fact(case, "contactor_v"), "current": _fact(case, "contactor_a")}
        found |= _label(case)
    else:
        found |= {"least": _least(case), "lost": _plain("lost_v"), "rise": _plain("cranking_cold")}
        more = _reading() if case.way == "reading" else {"current": _current(case), **_label(case)}
        found |= more
    return {f"{START}{key}": each for key, each in found.items()}


def _fact(case: StartCase, key: str) -> Tenths:
    """A figure of the table of starts; its rule, where set for this vehicle, moves all three."""
    known = tables.start_fact(key)
    rule = case.rules.get(RULES.get(key, ""))
    factor = 1.0 if rule is None else rule / known.value
    return Tenths(known.low * factor, known.value * factor, known.high * factor)


def _plain(key: str) -> Tenths:
    known = tables.start_fact(key)
    return Tenths(known.low, known.value, known.high)


def _cold(case: StartCase) -> dict[str, Tenths]:
    """How the resistance rises in the cold, and where a LiFePO4 holds its label's current."""
    if not case.lithium:
        return {"slope": _plain("resistance_slope_per_k")}
    return {
        "at_0": _plain("lifepo4_0"),
        "at_20": _plain("lifepo4_20"),
        "rated": _plain("lifepo4_rated_c"),
    }


def _least(case: StartCase) -> Tenths:
    """The least voltage at which it starts; where the fuel is not known that of either."""
    if case.engine_fuel != "unknown":
        return _fact(case, f"least_{case.engine_fuel}_v")
    petrol, diesel = _fact(case, "least_petrol_v"), _fact(case, "least_diesel_v")
    return Tenths(petrol.low, (petrol.typical + diesel.typical) / 2, diesel.high)


def _current(case: StartCase) -> Tenths:
    """What the starter takes when warm [A]."""
    if case.cranking_a is not None:
        return Tenths(*(case.cranking_a * (1 + part * MEASURED_A) for part in (-1, 0, 1)))
    if case.engine_fuel == "unknown" or case.engine_l is None:
        return LITHIUM_A
    litres = case.engine_l / (case.system_v // 12)
    each = _per_litre(case, case.engine_l)
    return Tenths(each.low * litres, each.typical * litres, each.high * litres)


CAR_DIESEL_L: Final = 3.0
"""Up to this a diesel engine is taken to be that of a car [l], ours."""
LARGE_DIESEL_L: Final = 10.8
"""The engine of which a maker says what battery it needs [l]."""


def _per_litre(case: StartCase, litres: float) -> Tenths:
    """What the starter takes warm for each litre [A/l]; a large diesel less of each.

    Between a car's and the large one's it falls with the logarithm of the size, ours.
    """
    each = _fact(case, f"{case.engine_fuel}_a_per_l")
    if case.engine_fuel != "diesel" or litres <= CAR_DIESEL_L:
        return each
    large = _fact(case, "large_diesel_a_per_l")
    share = min(1.0, log(litres / CAR_DIESEL_L) / log(LARGE_DIESEL_L / CAR_DIESEL_L))
    return Tenths(
        each.low + share * (large.low - each.low),
        each.typical + share * (large.typical - each.typical),
        each.high + share * (large.high - each.high),
    )


def _label(case: StartCase) -> dict[str, Tenths]:
    """How much of its cold cranking current the battery still has, and what that was when new."""
    battery = case.battery
    share = _fact(case, "cold_share")
    if battery.age_years is not None and battery.age_years < NEW_YEARS:
        share = _plain("cold_share_new")
    if battery.measured_cca_a is not None:
        share = Tenths(1 - TESTED, 1.0, 1 + TESTED)
    found = {"share": share}
    if case.system_v == 24:
        found["share of the other"] = share
    if battery.cca_a is None and battery.measured_cca_a is None:
        found["per_ah"] = _plain("cold_per_ah")
    return found


def _reading() -> dict[str, Tenths]:
    return {
        "read rest": Tenths(-READ_V, 0.0, READ_V),
        "read": Tenths(0.0, SLOW_V / 2, SLOW_V),
    }
