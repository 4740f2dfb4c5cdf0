"""The vehicle's battery as the equations want it, what was assumed for it, and how sure it is.

In: what the label and a meter say. Out: the two-well model, charge [-], and for capacity, health
and charge the range in which each may lie.
"""

from collections.abc import Mapping
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
from msgspec import Struct

from fusemap import tables
from fusemap.electrics import two_well
from fusemap.electrics.battery import TwoWell
from fusemap.electrics.spread import Range, Tenths
from fusemap.errors import InputProblem
from fusemap.text import Amount, Text, given, say, share
from fusemap.vehicle import Battery, SecondBattery
from fusemap.vehicle.words import ChargedBy

LEAST_HEALTH = 0.4
"""Below this an aged battery is taken to have been replaced (our choice)."""
MEASURED_HEALTH, AGED_HEALTH = 0.05, 0.15
"""Half widths of a measured health, and of one from the age; proposals from memory."""
READ_V = 0.08
"""Half width of a rest voltage on a 12 V battery [V]: surface charge, load, meter."""
SET_CHARGE = 0.08
"""Half width of a charge entered by hand; a proposal from memory."""
GUESSED_CAPACITY_AH = 60.0
DIFFER = 0.35
"""Share by which two guesses of the capacity may differ before it is said."""


class BatteryModel(Struct, frozen=True, eq=False):
    """The two-well battery, its state of charge when locked, and the assumptions made.

    `ranges` of "capacity" (as a factor), "health" and "charge" [-]; `measured` those of them that
    were entered or read. `charge_words` is the assumption about the charge, if one was made.
    """

    wells: TwoWell
    start_soc: float
    assumed: tuple[Text, ...]
    ranges: Mapping[str, Range]
    measured: frozenset[str]
    charge_words: Text | None = None
    resistance_measured: bool = False

    @property
    def emf_v(self) -> float:
        """Voltage at rest at the start charge [V]."""
        return float(self.wells.ocv(self.start_soc))


def ohm_at_most(model: BatteryModel) -> float:
    """What a battery has inside at most [Ω]: not measured, that of a worn one of its kind.

    Where its capacity is guessed, that of the least.
    """
    usual = float(np.asarray(model.wells.terminal_ohm))
    if model.resistance_measured:
        return usual
    return usual * tables.unanswered("resistance_share").hard / model.ranges["capacity"][0]


def ohm_at_least(model: BatteryModel) -> float:
    """What a battery has inside at least [Ω]: not measured, that of a fresh one of its kind."""
    usual = float(np.asarray(model.wells.terminal_ohm))
    if model.resistance_measured:
        return usual
    return usual * tables.unanswered("resistance_share").mild / model.ranges["capacity"][2]


def emf_at_most(model: BatteryModel) -> float:
    """Voltage at rest [V] at the most charge that it may have; as read, where that was read."""
    soc = model.start_soc if "charge" in model.measured else model.ranges["charge"][2]
    return float(model.wells.ocv(soc))


def emf_at_least(model: BatteryModel) -> float:
    """Voltage at rest [V] at the least charge that it may have; as read, where that was read."""
    soc = model.start_soc if "charge" in model.measured else model.ranges["charge"][0]
    return float(model.wells.ocv(soc))


def small_battery(battery: Battery) -> bool:
    """Whether a battery may be a motorcycle's, by what its label says."""
    if battery.cca_a is not None:
        return battery.cca_a <= tables.unanswered("small_cold_a").hard
    return battery.capacity_ah is not None and (
        battery.capacity_ah <= tables.unanswered("small_ah").hard
    )


def capacity_ah(model: BatteryModel) -> float:
    """What a battery holds today at the 20-hour rate [Ah]: its label's times its health.

    Source: definition; EN 50342-1 for the 20-hour rate.
    """
    return float(np.asarray(model.wells.scaled_ah))


@lru_cache(maxsize=64)
def battery_model(battery: Battery, system_v: int) -> BatteryModel:
    """The model of a vehicle's battery, from what its label and readings say.

    system_v [V]: 12, or 24 for two in series. Missing figures come from the chemistry's defaults
    and are named in `assumed`. Raises InputProblem for figures that no battery has.
    Source: table `batteries`; the two wells by `electrics.two_well` from reserve or three rates.

    >>> capacity_ah(battery_model(Battery(capacity_ah=70.0, soh=0.8), 12))
    56.0
    """
    assumed: list[Text] = []
    chemistry = tables.battery_chemistries()[battery.chemistry]
    capacity, low, high = _capacity(battery, assumed)
    fit = _wells(battery, chemistry, capacity, assumed)
    curve = tables.rest_voltage(battery.chemistry)
    health = _health(battery, chemistry, assumed)
    ohm = chemistry.resistance_mohm_70ah / 1000 * 70.0 / capacity
    if battery.resistance_mohm is not None:
        ohm = battery.resistance_mohm / 1000
    wells = TwoWell(
        capacity_ah=capacity * battery.parallel,
        emf_soc=np.asarray(curve.soc),
        emf_v=np.asarray(curve.volts),
        soh=health[1],
        r=fit.r,
        c=fit.c,
        k_per_h=fit.k_per_h,
        self_discharge_share_30d_20c=chemistry.self_discharge_share_30d_20c,
        doubling_k=chemistry.doubling_k,
        series=system_v // 12,
        resistance_ohm=ohm / battery.parallel,
        cold_loss_per_k=chemistry.cold_loss_per_k,
    )
    charge = _charge(battery, wells, chemistry, assumed)
    known = {
        "capacity": battery.capacity_ah,
        "health": battery.soh or battery.low_soh,
        "charge": next(
            (
                each
                for each in (battery.start_soc, battery.rest_v, battery.low_soc)
                if each is not None
            ),
            None,
        ),
    }
    ranges = {"capacity": (low, 1.0, high), "health": health, "charge": charge}
    measured = frozenset(key for key, value in known.items() if value is not None)
    words = None if "charge" in measured else assumed[-1]
    read = battery.resistance_mohm is not None
    return BatteryModel(wells, charge[1], tuple(assumed), ranges, measured, words, read)


def second_model(battery: SecondBattery, system_v: int) -> BatteryModel:
    """The model of a second battery; what is not known of it is assumed as for the first.

    Units, errors and source as battery_model.
    """
    return battery_model(
        Battery(
            chemistry=battery.chemistry,
            capacity_ah=battery.capacity_ah,
            age_years=battery.age_years,
            soh=battery.soh,
            start_soc=battery.start_soc,
            rest_v=battery.rest_v,
            resistance_mohm=battery.resistance_mohm,
        ),
        system_v,
    )


CHARGER_A: Final = 20.0
"""What a DC-DC charger takes where that was not entered [A], a usual size, from memory."""
CHARGER_SHARE: Final = 0.9
"""Share of the current a DC-DC charger takes that reaches the second battery, from memory."""


def _capacity(battery: Battery, assumed: list[Text]) -> Range:
    """Capacity of one battery [Ah], and the ends between which it may lie as factors of it."""
    if battery.capacity_ah is not None:
        return battery.capacity_ah, 1.0, 1.0
    if battery.reserve_min is not None:
        guess = two_well.capacity_from_reserve(battery.reserve_min)
        if battery.cca_a is not None:
            other = float(_by_cold_current(battery, battery.cca_a).capacity_ah)
            if abs(other / guess.capacity_ah - 1.0) > DIFFER:
                assumed.append(
                    say(
                        "the cold cranking current points to {capacity}: check the label",
                        capacity=Amount(other, "Ah"),
                    )
                )
    elif battery.cca_a is not None:
        guess = _by_cold_current(battery, battery.cca_a)
    else:
        assumed.append(
            say(
                "capacity {capacity}: the battery's label was not entered",
                capacity=given(GUESSED_CAPACITY_AH, "Ah"),
            )
        )
        return GUESSED_CAPACITY_AH, 0.6, 1.5
    assumed.extend(guess.assumed)
    middle = float(guess.capacity_ah)
    return middle, float(guess.low_ah) / middle, float(guess.high_ah) / middle


def _by_cold_current(battery: Battery, cca_a: float) -> two_well.CapacityGuess:
    """The capacity by the label's cold current [A]; a motorcycle's battery has more of it."""
    key = "small_cold_a_per_ah" if small_battery(battery) else "cold_a_per_ah"
    per_ah = tables.unanswered(key)
    return two_well.capacity_from_cca(cca_a, (per_ah.mild, per_ah.usual, per_ah.hard))


def _wells(
    battery: Battery,
    chemistry: tables.BatteryChemistry,
    capacity_ah: float,
    assumed: list[Text],
) -> two_well.WellFit:
    if chemistry.k_per_h is None:
        return two_well.counting_wells(capacity_ah)
    if battery.reserve_min is not None and battery.capacity_ah is not None:
        try:
            fit = two_well.fit_reserve(capacity_ah, battery.reserve_min, chemistry.r)
        except InputProblem as problem:  # two figures on a label that cannot both be right
            assumed.append(say("the reserve capacity was left out: {why}", why=problem.what))
        else:
            assumed.extend(fit.assumed)
            return fit
    assumed.append(
        say(
            "loss at high current as usual for {battery} (no reserve capacity used)",
            battery=Text(chemistry.name),
        )
    )
    return two_well.default_wells(capacity_ah, chemistry.k_per_h, chemistry.r)


def _health(battery: Battery, chemistry: tables.BatteryChemistry, assumed: list[Text]) -> Range:
    """Capacity left, as a share of the label's, with its ends."""
    if battery.soh is not None:
        typical, half = battery.soh, MEASURED_HEALTH
    elif battery.age_years is not None:
        typical, half = health_at(battery.age_years, chemistry.fade_per_year), AGED_HEALTH
        assumed.append(
            say(
                "health {health} of the label from its age ({lost} lost a year: a proposal from "
                "memory)",
                health=share(typical),
                lost=share(chemistry.fade_per_year),
            )
        )
    else:
        typical, half = chemistry.soh, AGED_HEALTH
        assumed.append(say("health {health} of the label (not measured)", health=share(typical)))
    return _ends(battery.low_soh, battery.high_soh, typical, half, most=max(1.0, typical))


def health_at(age_years: float, fade_per_year: float) -> float:
    """Health [-] of a battery from its age [years] alone.

    >>> round(health_at(3.0, 0.09), 2), health_at(20.0, 0.09)
    (0.73, 0.4)
    """
    return max(LEAST_HEALTH, 1.0 - fade_per_year * age_years)


OVER_FULL_V: Final = 0.6
"""So far above full a 12 V battery is still being charged, or is another one [V]; ours."""


def most_rest_v(wells: TwoWell) -> float:
    """The highest voltage at which the whole battery can be at rest [V]."""
    return (max(wells.emf_v) + OVER_FULL_V) * wells.series


def _charge(
    battery: Battery, wells: TwoWell, chemistry: tables.BatteryChemistry, assumed: list[Text]
) -> Range:
    """Charge when locked [-], with its ends: entered, from the rest voltage, or as usual."""
    if battery.start_soc is not None:
        return _ends(battery.low_soc, battery.high_soc, battery.start_soc, SET_CHARGE)
    if battery.rest_v is not None and battery.rest_v > most_rest_v(wells):
        assumed.append(
            say(
                "{voltage} at rest is more than a full battery has: not counted",
                voltage=given(battery.rest_v, "V"),
            )
        )
    elif battery.rest_v is not None:
        volts = battery.rest_v + READ_V * wells.series * np.array([-1.0, 0.0, 1.0])
        low, typical, high = (float(x) for x in np.asarray(wells.soc_from_rest_voltage(volts)))
        return (
            min(typical, low if battery.low_soc is None else battery.low_soc),
            typical,
            max(typical, high if battery.high_soc is None else battery.high_soc),
        )
    usual = _driven_to(battery, chemistry)
    assumed.append(
        say(
            "charged to {charge} when locked (no rest voltage measured): {why}",
            charge=share(usual.ends[1]),
            why=usual.why,
        )
    )
    low, typical, high = usual.ends
    if battery.low_soc is None and battery.high_soc is None:
        return usual.ends
    low = low if battery.low_soc is None else battery.low_soc
    high = high if battery.high_soc is None else battery.high_soc
    return min(low, typical), typical, max(high, typical)


class _Driven(NamedTuple):
    """The charge that driving leaves [-], low, typical and high, and why."""

    ends: Range
    why: Text


STOP_START: Final = ("efb", "agm")
"""Kinds of battery that are fitted where the engine stops at the lights."""


def _driven_to(battery: Battery, chemistry: tables.BatteryChemistry) -> _Driven:
    by = battery.charged_by
    if by == "unknown" and battery.chemistry not in STOP_START:
        return _Driven(_ends(None, None, chemistry.start_soc, 0.12), say("as usual"))
    words = {
        "plain": say("an alternator of a steady voltage fills it nearly"),
        "smart": say("a steered alternator leaves room in it"),
        "short_trips": say("short trips do not fill it"),
        "unknown": say("such a battery mostly hangs on a steered alternator"),
    }
    return _Driven(driven_to(by), words[by])


def driven_to(by: ChargedBy) -> Tenths:
    """The charge [-] that driving leaves, by how it is charged; unknown as by a steered one."""
    key = {"plain": "plain_soc", "short_trips": "short_soc"}.get(by, "smart_soc")
    fact = tables.start_fact(key)
    return Tenths(fact.low, fact.value, fact.high)


def _ends(
    low: float | None, high: float | None, typical: float, half: float, most: float = 1.0
) -> Range:
    """The ends entered, or the typical value less and more a half width; the typical within."""
    least = max(0.0, typical - half) if low is None else low
    largest = min(most, typical + half) if high is None else high
    return min(least, typical), typical, max(largest, typical)
