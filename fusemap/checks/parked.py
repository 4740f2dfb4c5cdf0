"""Checks of the parked battery."""

from collections.abc import Iterator
from math import isfinite

from fusemap.assess import Assessment
from fusemap.checks.finding import Finding
from fusemap.units import duration, percent, quantity
from fusemap.vehicle import Vehicle

MODEL = "Manwell and McGowan, Solar Energy 50 (1993), with the assumptions listed at the forecast"


def stands_too_short(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A vehicle that does not start any more after the time it is to stand."""
    parked = a.parked
    wanted = vehicle.parking.stand_days
    if parked.start_soc <= parked.crank_soc:
        yield Finding(
            code="does_not_start_now",
            severity="stop",
            what="The battery has less charge than cranking needs, even before standing.",
            place="battery",
            place_id="battery",
            where="Battery",
            sum=f"{percent(parked.start_soc)} now, {percent(parked.crank_soc)} needed to crank",
            rule=a.rules["crank_soc_base"].label,
            source=a.rules["crank_soc_base"].source,
            remedy="Charge the battery, and measure its rest voltage after a night.",
        )
    elif parked.days < wanted:
        top = next((c for c in parked.consumers if c.accessory is not None), None)
        most = f"; most of the accessories' share: {top.name}" if top is not None else ""
        yield Finding(
            code="stands_too_short",
            severity="caution",
            what="The vehicle will probably not start after standing as long as you plan.",
            place="battery",
            place_id="battery",
            where="Battery",
            sum=f"starts for about {duration(parked.hours)}, planned {wanted:g} days, without the "
            f"accessories {duration(parked.hours_without)}{most}",
            rule=a.rules["crank_soc_base"].label,
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
    yield Finding(
        code="rest_current_high",
        severity="caution" if measured > high else "note",
        what="The vehicle's own rest current is high, before any accessory.",
        place="battery",
        place_id="battery",
        where="Battery",
        sum=f"{quantity(measured, 'A')} > {quantity(a.rule(key) / 1000, 'A')}",
        rule=a.rules[key].label,
        source=a.rules[key].source,
        remedy="Wait until the vehicle really sleeps and measure again; then look for the circuit "
        "with the millivolts across each fuse.",
    )


def ice(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A battery that can freeze before the planned time is over."""
    hours = float(a.parked.forecast.hours_to_freezing)
    if hours < vehicle.parking.stand_days * 24:
        yield Finding(
            code="ice",
            severity="caution",
            what="The battery can freeze while the vehicle stands.",
            place="battery",
            place_id="battery",
            where="Battery",
            sum=f"after {duration(hours)} at {vehicle.parking.temperature_c:g} °C",
            rule="the acid of a discharged battery freezes at higher temperatures",
            source="freezing points of battery acid by state of charge (table)",
            remedy="Keep the battery charged, or take it indoors. Never charge a frozen battery.",
        )
