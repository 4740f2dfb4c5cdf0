"""Checks of the start itself, and of what the cold or a long stand does to the battery."""

from collections.abc import Iterator
from math import exp, inf
from typing import Final

import numpy as np

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.assess.battery import most_rest_v
from fusemap.assess.parked.start_spans import start_case, start_rule
from fusemap.assess.parked.topping import may_charge
from fusemap.assess.parked.weather import coldest_c
from fusemap.checks.finding import Finding, battery_finding
from fusemap.electrics.parked import Forecast
from fusemap.electrics.starting import LeadCold, current_rise
from fusemap.text import Amount, Duration, given, say, share
from fusemap.vehicle import Vehicle
from fusemap.vehicle.parts import CrankReading

WARM_C: Final = 20.0
HALF: Final = 0.5
"""A lead battery left below this charge for weeks takes harm [-]; common practice, no source."""
LEAST_BELOW_H: Final = 72.0
"""Less of it than this [h] is not worth a word; ours."""


def _first_below(ahead: Forecast, soc: float) -> float:
    """When the charge first falls to a level [h], between the samples; infinite where never."""
    time_h, charge = ahead.samples.time_h, ahead.samples.soc
    under = np.flatnonzero(charge <= soc)
    if not under.size:
        return inf
    at = int(under[0])
    ends = slice(max(at - 1, 0), at + 1)
    return float(np.interp(-soc, -charge[ends], time_h[ends]))


def never_starts(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A start that takes more than a full battery has, at the coldest expected."""
    need = a.parked.need
    if not need.never:
        return
    rule = a.rules[start_rule(start_case(a))]
    yield battery_finding(
        code="never_starts",
        severity="caution",
        what=say(
            "At {temperature} it will probably not start, not even with a full battery.",
            temperature=given(coldest_c(a), "°C"),
        ),
        sum=need.words,
        rule=rule.label,
        source=rule.source,
        remedy=say(
            "Read the lowest voltage of one start in the cold: then battery and engine need not be "
            "guessed. A battery with more cold cranking current helps."
        ),
    )


LOWEST_REST_V: Final = 10.0
"""A 12 V battery that rests below this is not one at rest, or not one of 12 V [V]; ours."""


def rest_voltage_unlikely(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A rest voltage that no battery of this vehicle's voltage has."""
    battery = vehicle.battery
    if battery.rest_v is None:
        return
    least = LOWEST_REST_V * vehicle.system_v / 12
    most = most_rest_v(a.standing.model.wells)
    if least <= battery.rest_v <= most:
        return
    yield battery_finding(
        code="rest_voltage_unlikely",
        severity="caution",
        what=say("The rest voltage is not one of a battery of this vehicle."),
        sum=say(
            "{found} at rest; {least} to {most} would be, with {system}",
            found=given(battery.rest_v, "V"),
            least=Amount(least, "V", significant=3),
            most=Amount(most, "V", significant=3),
            system=given(vehicle.system_v, "V"),
        ),
        rule=say("a battery that rests lies between empty and full"),
        source=say("common practice, no source"),
        remedy=say(
            "Measure the whole battery three hours after driving or charging; say whether the "
            "vehicle has 12 or 24 V."
        ),
    )


def crank_reading_low(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A start at less than repair manuals allow, as it would have been at 20 °C."""
    limit = tables.start_fact("manual_limit_v")
    for reading in vehicle.battery.crank_readings[-1:]:
        volts = at_20_c(reading, vehicle.battery.chemistry == "lifepo4")
        if volts < limit.value:
            yield battery_finding(
                code="crank_reading_low",
                severity="caution",
                what=say("The voltage while cranking is low: battery, cable or starter."),
                sum=say(
                    "{found} at {temperature}, as {volts} at {warm}, below {limit}",
                    found=Amount(reading.crank_v, "V", significant=3),
                    temperature=given(reading.temperature_c, "°C"),
                    volts=Amount(volts, "V", significant=2),
                    warm=given(WARM_C, "°C"),
                    limit=Amount(limit.value, "V", significant=2),
                ),
                rule=say("a sound and charged battery holds this while a warm engine is cranked"),
                source=say("repair manuals (1998, 2004) and trade texts"),
                remedy=say(
                    "Charge it and read again; then measure the drop from the battery’s posts to "
                    "the starter while it turns, and have the battery tested."
                ),
            )


def at_20_c(reading: CrankReading, lithium: bool) -> float:
    """What a reading would have been at 20 °C [V]: the drop grows with engine and cold."""
    lost = tables.start_fact("lost_v").value
    slope = 0.0 if lithium else float(LeadCold().share_per_k)
    colder = WARM_C - reading.temperature_c
    grown = float(current_rise(reading.temperature_c)) / float(current_rise(WARM_C))
    drop = (reading.rest_v - reading.crank_v - lost) / (grown * exp(slope * colder))
    return reading.rest_v - lost - drop


def left_half_charged(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A lead battery that stands below half its charge for a part of the planned time."""
    hours = _first_below(a.parked.forecast, HALF)
    planned = vehicle.parking.stand_days * 24
    if vehicle.battery.chemistry == "lifepo4" or hours >= planned:
        return
    if planned - hours < LEAST_BELOW_H or a.parked.hours_to_harm < planned:
        return  # a night of it does nothing; and `deep_discharge` says more
    yield battery_finding(
        code="left_half_charged",
        severity="note",
        what=say("The battery stands below half its charge: weeks of that cost it capacity."),
        sum=say(
            "by the usual figures below {charge} after {time}, planned {planned}",
            charge=share(HALF),
            time=Duration(hours),
            planned=Duration(planned),
        ),
        rule=say("a lead battery is stored nearly full"),
        source=say("common practice"),
        remedy=say("Charge it fully soon after, from the mains: driving alone takes days."),
    )


def not_charged_below_zero(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A LiFePO4 battery that is to be charged in the frost: the starter's, or the second one."""
    if may_charge("lifepo4", coldest_c(a)) or not _charged_lithium(vehicle):
        return
    yield battery_finding(
        code="not_charged_below_zero",
        severity="caution",
        what=say("A LiFePO4 battery must not be charged below freezing, and it would be here."),
        sum=say(
            "{temperature} expected; what charges it then harms it, or its protection refuses",
            temperature=given(coldest_c(a), "°C"),
        ),
        rule=say("no charge below {temperature}", temperature=given(0.0, "°C")),
        source=say("common practice"),
        remedy=say("Let it warm up first, or use one whose protection and heater see to it."),
    )


def _charged_lithium(vehicle: Vehicle) -> bool:
    """Whether driving, a maintainer or the drive battery charges a LiFePO4 battery."""
    parking, second = vehicle.parking, vehicle.second_battery
    kept = None if parking.maintainer is None else parking.maintainer.battery
    topped = parking.starts_by == "contactors" and parking.topped_up == "yes"
    driven = bool(parking.drives)
    mine = vehicle.battery.chemistry == "lifepo4" and (driven or kept == "starter" or topped)
    other = second is not None and second.chemistry == "lifepo4" and (driven or kept == "second")
    return mine or other
