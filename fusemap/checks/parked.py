"""Checks of the parked battery."""

from collections.abc import Iterator
from math import isfinite
from typing import Final

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.battery import battery_model, capacity_ah
from fusemap.assess.parked.draws import draw_words
from fusemap.assess.parked.ends import at_words, battery_said, standing_end, standing_verdict
from fusemap.assess.parked.start_spans import start_case, start_rule
from fusemap.assess.parked.start_words import of_twenty
from fusemap.assess.parked.starting import hardly_works, saving_v, work_h
from fusemap.assess.parked.weather import coldest_c
from fusemap.assess.parked.week import checked_week, hold_words
from fusemap.checks.finding import Finding, accessory_finding, battery_finding
from fusemap.text import Amount, Argument, Duration, Text, given, many, run_on, say, share
from fusemap.vehicle import PARKED_STATES, Vehicle, look_up

MODEL = say(
    "Manwell and McGowan, Solar Energy 50 (1993), with the assumptions listed at the forecast"
)


def stands_too_short(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A vehicle that does not start any more after the time it is to stand."""
    parked = a.parked
    wanted = vehicle.parking.stand_days
    by = start_rule(start_case(a))
    if parked.need.never:
        return  # `starts.never_starts` says it
    if not parked.starts_now:
        yield battery_finding(
            code="does_not_start_now",
            severity="stop",
            what=say("The battery has less charge than cranking needs, even before standing."),
            sum=say(
                "{now} now, {needed} needed to crank",
                now=share(parked.start_soc),
                needed=share(parked.crank_soc),
            ),
            rule=a.rules[by].label,
            source=a.rules[by].source,
            remedy=say("Charge the battery, and measure its rest voltage after a night."),
        )
        return
    # without a word about the battery it is a guess, and a doubt all the same
    verdict = standing_verdict(wanted * 24, a.as_planned.low_h, a.as_planned.high_h)
    if verdict in ("holds", "unchecked"):
        return
    fails = verdict == "fails"
    middle = a.as_planned.middle
    # how many of such vehicles, only where somebody said which battery they have
    tells = battery_said(vehicle) and not fails
    yield battery_finding(
        code="stands_too_short" if fails else "stands_perhaps_too_short",
        severity="caution",
        what=say("The vehicle will probably not start after standing as long as you plan.")
        if fails
        else say("The vehicle may not start after standing as long as you plan."),
        sum=run_on(
            *((_standing(a, wanted),) if middle.hours < wanted * 24 else ()),
            *((_of_twenty(a, wanted),) if tells else ()),
            standing_end(a, parked, middle).words
            if fails
            else at_words(a, parked, middle, wanted * 24),
            between=". ",
        ),
        rule=a.rules[by].label,
        source=MODEL,
        remedy=say(
            "Switch the largest consumer off while parked, give it a low-voltage cut-off, or "
            "use a maintainer."
        )
        if fails
        else say("Measure what is most in doubt, or let less draw while it stands."),
    )


def _of_twenty(a: Assessment, wanted_days: float) -> Text:
    """How many of such vehicles start after the time planned, at least: what nobody answered
    counts at its hard end."""
    n, planned = of_twenty(a.chance), many("{n} day", "{n} days", wanted_days)
    if n == 0:
        return say(
            "planned {planned}: of 20 vehicles like this one perhaps none starts", planned=planned
        )
    return say(
        "planned {planned}: of 20 vehicles like this one at least {n} start", planned=planned, n=n
    )


def _standing(a: Assessment, wanted_days: float) -> Text:
    """For how long half of such vehicles start, what is planned, and who takes most."""
    parked = a.parked
    parts: dict[str, Argument] = {
        "hours": Duration(a.as_planned.middle.hours),
        "planned": many("{n} day", "{n} days", wanted_days),
        "without": Duration(parked.hours_without),
    }
    top = next((c for c in parked.consumers if c.accessory is not None), None)
    if top is None:
        return say(
            "half of such vehicles start for {hours}, planned {planned}; by the usual figures "
            "without the accessories {without}",
            **parts,
        )
    return say(
        "half of such vehicles start for {hours}, planned {planned}; by the usual figures without "
        "the accessories {without}; most of the accessories' share: {accessory}",
        accessory=top.name,
        **parts,
    )


def cut_off_too_low(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A cut-off that trips only when the engine no longer cranks."""
    parked = a.parked
    by_name = {accessory.name: accessory for accessory in vehicle.accessories}
    for result in parked.forecast.cut_offs:
        first = float(result.first_trip_h)
        if isfinite(parked.hours) and first > parked.hours:
            accessory = by_name.get(result.name)
            if accessory is not None and look_up.cut_off_of(vehicle, accessory) is None:
                continue  # it hangs behind the converter whose cut-off this is
            yield Finding(
                code="cut_off_too_low",
                # within the time that is planned the start is safe without it
                severity="caution" if parked.days < vehicle.parking.stand_days else "note",
                what=say("The low-voltage cut-off trips too late to save the start."),
                place="accessory" if accessory else "battery",
                place_id=accessory.id if accessory else "battery",
                where=draw_words(result.name),
                sum=_too_late(parked.hours, first),
                rule=say("a cut-off has to trip while the engine still cranks"),
                source=MODEL,
                remedy=say("Set the cut-off higher (its delay and the cable's drop count too)."),
            )


def _too_late(hours: float, trips_h: float) -> Text:
    if isfinite(trips_h):
        return say(
            "by the usual figures no start after {hours}, cut-off after {trips}",
            hours=Duration(hours),
            trips=Duration(trips_h),
        )
    return say(
        "by the usual figures no start after {hours}, cut-off never reached", hours=Duration(hours)
    )


def cut_off_too_high(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A cut-off that trips so early that what is meant to work while parked hardly does."""
    parked = a.parked
    if not parked.starts_now:
        return  # it does not start even now: to switch off is right
    model = battery_model(vehicle.battery, vehicle.system_v)
    saving = saving_v(model, parked.need.cautious)
    by_name = {each.name: each for each in vehicle.accessories}
    for result in parked.forecast.cut_offs:
        accessory = by_name.get(result.name)
        cut_off = None if accessory is None else look_up.cut_off_of(vehicle, accessory)
        if accessory is None or cut_off is None:
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
                what=say("The low-voltage cut-off switches it off almost as soon as it works."),
                sum=say(
                    "by the usual figures it works for {time} in all, then {left} are left; a "
                    "start needs {needed}",
                    time=Duration(work_h(parked, result)),
                    left=share(float(left)),
                    needed=share(parked.crank_soc),
                ),
                rule=say(
                    "a cut-off lies below the voltage of the rested battery by more than the load "
                    "pulls it down"
                ),
                source=MODEL,
                remedy=run_on(_lower_words(cut_off.off_v, saving), EARLY),
            )


EARLY: Final = say(
    "Where it trips within hours of a drive, the battery is not charged fully: measure its rest "
    "voltage after a night, and what it draws."
)


def _lower_words(off_v: float, saving: float) -> Text:
    if saving < off_v:
        return say(
            "Set the cut-off lower: {voltage} still save the start.", voltage=Amount(saving, "V")
        )
    return say(
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
                what=say("The cut-off switches on again as soon as the load is off."),
                place="accessory" if accessory else "battery",
                place_id=accessory.id if accessory else "battery",
                where=draw_words(result.name),
                sum=say(
                    "the battery recovers to {voltage}",
                    voltage=Amount(float(result.rebound_v), "V"),
                ),
                rule=say("the voltage to switch on again lies above the recovery"),
                source=MODEL,
                remedy=say("Raise the voltage at which it switches on again."),
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
        what=say("The vehicle's own rest current is high, before any accessory."),
        sum=say(
            "{load} > {limit}",
            load=Amount(measured, "A"),
            limit=Amount(a.rule(key) / 1000, "A"),
        ),
        rule=a.rules[key].label,
        source=a.rules[key].source,
        remedy=say(
            "Wait until the vehicle really sleeps and measure again; then look for the circuit "
            "with the millivolts across each fuse."
        ),
    )


def deep_discharge(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A battery that is left discharged so far that it takes harm."""
    hours = a.parked.hours_to_harm
    if hours < vehicle.parking.stand_days * 24:
        yield battery_finding(
            code="deep_discharge",
            severity="caution",
            what=say(
                "The battery is discharged so deeply while the vehicle stands that it takes harm."
            ),
            sum=say(
                "by the usual figures below {charge} after {time}",
                charge=share(a.parked.harm_soc),
                time=Duration(hours),
            ),
            rule=a.rules["deep_discharge_soc"].label,
            source=a.rules["deep_discharge_soc"].source,
            remedy=say(
                "Charge it soon after; for such long stands use a maintainer or disconnect it."
            ),
        )


def driving_puts_too_little_back(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A usual week of drives after which there is less than a start needs."""
    week, _ = checked_week(a)
    if week is None or week.starts:
        return
    yield battery_finding(
        code="driving_puts_too_little_back",
        severity="caution",
        what=say("The usual driving puts back less than standing takes."),
        sum=say(
            "{taken} taken, {stored} put back in a week of {minutes} minutes’ driving",
            taken=Amount(week.taken_ah, "Ah"),
            stored=Amount(week.stored_ah, "Ah"),
            minutes=Amount(week.minutes),
        ),
        rule=say("week after week the charge stays above what a start needs"),
        source=run_on(say("charge acceptance from memory, unverified"), MODEL, between="; "),
        remedy=run_on(hold_words(week), say("Or charge it from the mains now and then.")),
    )


def second_battery_at_a_slot(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory said to hang on the second battery whose lead is at a slot of the panel."""
    second = {each.id: each for each in vehicle.accessories if each.battery == "second"}
    for tap in vehicle.taps:
        if tap.lead == "power" and tap.accessory in second and (tap.slot or tap.feed):
            accessory = second[tap.accessory]
            if look_up.battery_of(vehicle, accessory) == "second":
                continue
            missing = vehicle.second_battery is None
            yield Finding(
                code="second_battery_at_a_slot",
                severity="caution",
                what=say(
                    "It is said to hang on the second battery, but takes its power from the "
                    "vehicle's own supply."
                ),
                place="tap",
                place_id=tap.id,
                where=accessory.name,
                sum=say("no second battery entered")
                if missing
                else say("it is reckoned with where it is connected"),
                rule=say("what hangs on the second battery has a feed of its own from there"),
                source=say("common practice"),
                remedy=say(
                    "Give it an own feed from the second battery, or say it hangs on the starter "
                    "battery."
                ),
            )


def ice(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A battery that can freeze before the planned time is over, in half of such vehicles."""
    hours = a.as_planned.middle.freezes_h
    if hours < vehicle.parking.stand_days * 24:
        yield battery_finding(
            code="ice",
            severity="caution",
            what=say("The battery can freeze while the vehicle stands."),
            sum=say(
                "after {time}, at {temperature}",
                time=Duration(hours),
                temperature=given(coldest_c(a), "°C"),
            ),
            rule=say("the acid of a discharged battery freezes at higher temperatures"),
            source=say("freezing points of battery acid by state of charge (table)"),
            remedy=say(
                "Keep the battery charged, or take it indoors. Never charge a frozen battery."
            ),
        )
