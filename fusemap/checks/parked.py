"""Checks of the parked battery."""

from collections.abc import Iterator
from math import isfinite

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.battery import battery_model, capacity_ah
from fusemap.assess.cut_offs import hardly_works, saving_v, work_h
from fusemap.assess.driving_week import checked_week, hold_words
from fusemap.assess.starting import coldest_c
from fusemap.checks.finding import Finding
from fusemap.checks.shared import accessory_finding, battery_finding
from fusemap.units import digits, duration, percent, quantity
from fusemap.vehicle import PARKED_STATES, Vehicle

MODEL = "Manwell and McGowan, Solar Energy 50 (1993), with the assumptions listed at the forecast"


def stands_too_short(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A vehicle that does not start any more after the time it is to stand."""
    parked = a.parked
    wanted = vehicle.parking.stand_days
    by = "contactor_min_v" if vehicle.parking.starts_by == "contactors" else "crank_soc_base"
    if parked.start_soc <= parked.crank_soc:
        yield battery_finding(
            code="does_not_start_now",
            severity="stop",
            what="The battery has less charge than cranking needs, even before standing.",
            sum=f"{percent(parked.start_soc)} now, {percent(parked.crank_soc)} needed to crank",
            rule=a.rules[by].label,
            source=a.rules[by].source,
            remedy="Charge the battery, and measure its rest voltage after a night.",
        )
    elif parked.days < wanted:
        top = next((c for c in parked.consumers if c.accessory is not None), None)
        most = f"; most of the accessories' share: {top.name}" if top is not None else ""
        yield battery_finding(
            code="stands_too_short",
            severity="caution",
            what="The vehicle will probably not start after standing as long as you plan.",
            sum=f"starts for about {duration(parked.hours)}, planned {wanted:g} days, without the "
            f"accessories {duration(parked.hours_without)}{most}",
            rule=a.rules[by].label,
            source=MODEL,
            remedy="Switch the largest consumer off while parked, give it a low-voltage cut-off, "
            "or use a maintainer.",
        )


def cut_off_too_low(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A cut-off that trips only when the engine no longer cranks."""
    parked = a.parked
    by_name = {accessory.name: accessory for accessory in vehicle.accessories}
    for result in parked.forecast.cut_offs:
        first = float(result.first_trip_h)
        if isfinite(parked.hours) and first > parked.hours:
            accessory = by_name.get(result.name)
            if accessory is not None and accessory.cut_off is None:
                continue  # it hangs behind the converter whose cut-off this is
            yield Finding(
                code="cut_off_too_low",
                # within the time that is planned the start is safe without it
                severity="caution" if parked.days < vehicle.parking.stand_days else "note",
                what="The low-voltage cut-off trips too late to save the start.",
                place="accessory" if accessory else "battery",
                place_id=accessory.id if accessory else "battery",
                where=result.name,
                sum=f"no start after {duration(parked.hours)}, cut-off "
                + (f"after {duration(first)}" if isfinite(first) else "never reached"),
                rule="a cut-off has to trip while the engine still cranks",
                source=MODEL,
                remedy="Set the cut-off higher (its delay and the cable's drop count too).",
            )


def cut_off_too_high(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A cut-off that trips so early that what is meant to work while parked hardly does."""
    parked = a.parked
    if parked.start_soc <= parked.crank_soc:
        return  # it does not start even now: to switch off is right
    model = battery_model(vehicle.battery, vehicle.system_v)
    saving = saving_v(model, parked.crank_soc)
    by_name = {each.name: each for each in vehicle.accessories if each.cut_off is not None}
    for result in parked.forecast.cut_offs:
        accessory = by_name.get(result.name)
        if accessory is None or accessory.cut_off is None:
            continue
        if not set(accessory.works_in) & set(PARKED_STATES):
            continue
        if hardly_works(parked, result, capacity_ah(model)):
            left = np.interp(
                float(result.first_trip_h),
                parked.forecast.samples.time_h,
                parked.forecast.samples.soc,
            )
            yield accessory_finding(
                accessory,
                code="cut_off_too_high",
                severity="caution",
                what="The low-voltage cut-off switches it off almost as soon as it works.",
                sum=f"works for {duration(work_h(parked, result))} in all, then "
                f"{percent(float(left))} are left; a start needs {percent(parked.crank_soc)}",
                rule="a cut-off lies below the voltage of the rested battery by more than the "
                "load pulls it down",
                source=MODEL,
                remedy=_lower_words(accessory.cut_off.off_v, saving),
            )


def _lower_words(off_v: float, saving: float) -> str:
    if saving < off_v:
        return f"Set the cut-off lower: {quantity(saving, 'V')} still save the start."
    return (
        "Charge the battery before parking or fit a larger one: above what a start needs it has "
        "next to nothing to spare."
    )


def cut_off_chatters(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A cut-off that switches on and off again and again."""
    for result in a.parked.forecast.cut_offs:
        if bool(result.chatter):
            accessory = next((x for x in vehicle.accessories if x.name == result.name), None)
            yield Finding(
                code="cut_off_chatters",
                severity="caution",
                what="The cut-off switches on again as soon as the load is off.",
                place="accessory" if accessory else "battery",
                place_id=accessory.id if accessory else "battery",
                where=result.name,
                sum=f"the battery recovers to {quantity(float(result.rebound_v), 'V')}",
                rule="the voltage to switch on again lies above the recovery",
                source=MODEL,
                remedy="Raise the voltage at which it switches on again.",
            )


def rest_current_high(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A vehicle that draws more at rest than it should, before anything is added."""
    measured = vehicle.parking.rest_current_a
    good, high = a.rule("rest_current_good_ma") / 1000, a.rule("rest_current_high_ma") / 1000
    if measured is None or measured <= good:
        return
    key = "rest_current_high_ma" if measured > high else "rest_current_good_ma"
    yield battery_finding(
        code="rest_current_high",
        severity="caution" if measured > high else "note",
        what="The vehicle's own rest current is high, before any accessory.",
        sum=f"{quantity(measured, 'A')} > {quantity(a.rule(key) / 1000, 'A')}",
        rule=a.rules[key].label,
        source=a.rules[key].source,
        remedy="Wait until the vehicle really sleeps and measure again; then look for the circuit "
        "with the millivolts across each fuse.",
    )


def deep_discharge(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A battery that is left discharged so far that it takes harm."""
    hours = a.parked.hours_to_harm
    if hours < vehicle.parking.stand_days * 24:
        yield battery_finding(
            code="deep_discharge",
            severity="caution",
            what="The battery is discharged so deeply while the vehicle stands that it takes harm.",
            sum=f"below {percent(a.parked.harm_soc)} after {duration(hours)}",
            rule=a.rules["deep_discharge_soc"].label,
            source=a.rules["deep_discharge_soc"].source,
            remedy="Charge it soon after; for such long stands use a maintainer or disconnect it.",
        )


def driving_puts_too_little_back(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A usual week of drives after which there is less than a start needs."""
    week, _ = checked_week(a)
    if week is None or week.starts:
        return
    yield battery_finding(
        code="driving_puts_too_little_back",
        severity="caution",
        what="The usual driving puts back less than standing takes.",
        sum=f"{digits(week.taken_ah)} Ah taken, {digits(week.stored_ah)} Ah put back in a week of "
        f"{digits(week.minutes)} minutes’ driving",
        rule="week after week the charge stays above what a start needs",
        source="charge acceptance from memory, unverified; " + MODEL,
        remedy=hold_words(week) + " Or charge it from the mains now and then.",
    )


def second_battery_at_a_slot(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory said to hang on the second battery whose lead is at a slot of the panel."""
    second = {each.id: each for each in vehicle.accessories if each.battery == "second"}
    for tap in vehicle.taps:
        if tap.lead == "power" and tap.accessory in second and (tap.slot or tap.feed):
            accessory = second[tap.accessory]
            missing = vehicle.second_battery is None
            yield Finding(
                code="second_battery_at_a_slot",
                severity="caution",
                what="It is said to hang on the second battery, but takes its power from the "
                "vehicle's own supply.",
                place="tap",
                place_id=tap.id,
                where=accessory.name,
                sum="no second battery entered" if missing else "parked, it is reckoned with there",
                rule="what hangs on the second battery has a feed of its own from there",
                source="common practice",
                remedy="Give it an own feed from the second battery, or say it hangs on the "
                "starter battery.",
            )


def ice(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A battery that can freeze before the planned time is over."""
    hours = a.parked.hours_to_freezing
    if hours < vehicle.parking.stand_days * 24:
        yield battery_finding(
            code="ice",
            severity="caution",
            what="The battery can freeze while the vehicle stands.",
            sum=f"after {duration(hours)}, at {coldest_c(a):g} °C",
            rule="the acid of a discharged battery freezes at higher temperatures",
            source="freezing points of battery acid by state of charge (table)",
            remedy="Keep the battery charged, or take it indoors. Never charge a frozen battery.",
        )
