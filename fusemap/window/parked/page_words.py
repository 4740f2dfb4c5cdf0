"""What the page says about the parked vehicle: the answer first, then the plan, the facts below.

In: forecasts with their bands. Out: texts, and the verdict on the plan. No Qt widgets.
"""

from math import isfinite
from typing import Final

from fusemap.assess.parked.ends import standing_verdict
from fusemap.assess.parked.figures import ParkedFigures, Span
from fusemap.assess.parked.start_words import OF_TWENTY as OF
from fusemap.assess.parked.start_words import of_twenty
from fusemap.assess.verdict import Verdict
from fusemap.text import (
    Amount,
    Argument,
    Duration,
    Text,
    given,
    in_row,
    many,
    run_on,
    say,
    share,
)
from fusemap.vehicle import Vehicle
from fusemap.window.parked.chart_figures import Case

DAY_H: Final = 24.0
CHEMISTRY: Final = {
    "flooded": say("flooded"),
    "efb": say("EFB"),
    "agm": say("AGM"),
    "gel": say("gel"),
    "lifepo4": say("LiFePO₄"),
}
"""The kinds of battery, short, as labels name them."""


def answer(case: Case) -> Text:
    """How long it starts for, in a sentence."""
    parked = case.parked
    if parked.need.never:
        return say("It will probably not start even now.")
    if not parked.starts_now:
        return say(
            "It may not start even now: {charge} charged, {needed} needed to start.",
            charge=share(parked.start_soc),
            needed=share(parked.crank_soc),
        )
    if not case.battery_said:
        return say("With a usual battery it starts for {span}.", span=span_words(case))
    return say("Starts for {span}.", span=span_words(case))


def span_words(case: Case) -> Argument:
    """How long it starts for, both ends."""
    return ends_words(case.band.low_h, case.band.high_h, case.parked.forecast.horizon_h)


def ends_words(low_h: float, high_h: float, horizon_h: float) -> Argument:
    """A time between two ends [h], infinite where they lie past what was looked at."""
    if not isfinite(low_h):
        return say("longer than {time}", time=Duration(horizon_h))
    if not isfinite(high_h) and low_h <= 0:
        return say("0 to over {time}", time=Duration(horizon_h))
    if not isfinite(high_h):
        return say("{time} or longer", time=Duration(low_h))
    if low_h <= 0 < high_h:
        return say("at most {time}", time=Duration(high_h))
    return Span(low_h, high_h)


def ticked_answer(case: Case, n: int) -> Text:
    """The same with what is ticked."""
    if not case.parked.starts_now:
        return many("With the ticked one it may not start even now.",
                    "With the {n} ticked it may not start even now.", n)  # fmt: skip
    return many(
        "With the ticked one: {span}.",
        "With the {n} ticked: {span}.",
        n,
        span=span_words(case),
    )


def typical(case: Case) -> Text:
    """The middle of the answer."""
    if not isfinite(case.band.middle_h):
        horizon = Duration(case.parked.forecast.horizon_h)
        return say("typically longer than {time}", time=horizon)
    return say("typically {time}", time=Duration(case.band.middle_h))


def plan_verdict(case: Case, plan_h: float) -> Verdict:
    """Whether the planned time fits, by both ends of the answer."""
    return standing_verdict(
        plan_h,
        case.band.low_h,
        case.band.high_h,
        starts_now=case.parked.starts_now,
        battery_said=case.battery_said,
    )


def plan_words(verdict: Verdict, plan_h: float, ticked: int) -> Text:
    """The verdict on the planned time in words; with what is ticked, where something is."""
    if verdict == "unchecked" and plan_h > 0:
        return say("Nobody said which battery it has: no verdict.")
    if verdict == "unchecked":
        return say("For how long it stands was not said: no verdict.")
    time = Duration(plan_h)
    if ticked:
        return {
            "holds": say("With what is ticked it stands {time}, as planned.", time=time),
            "may_not_hold": say("Even so it may not stand {time}, as planned.", time=time),
            "fails": say("Even so it will not stand {time}, as planned.", time=time),
        }[verdict]
    return {
        "holds": say("It stands {time}, as planned.", time=time),
        "may_not_hold": say("It may not stand {time}, as planned.", time=time),
        "fails": say("It will not stand {time}, as planned.", time=time),
    }[verdict]


def plan_more(case: Case, plan_h: float) -> Text:
    """How many of such vehicles start then, what is counted though not placed, how long without."""
    parts: list[Argument] = []
    if plan_h > 0 and case.battery_said:
        n = of_twenty(case.band.chance(plan_h))
        if n >= OF - 1:
            parts.append(say("At least 19 of 20 such vehicles start then."))
        else:
            parts.append(chance_of(n, past=plan_h > case.band.high_h))
    if case.parked.unplaced:
        parts.append(_unplaced(case.parked))
    if any(consumer.accessory for consumer in case.parked.consumers):
        parts.append(_without(case.parked))
    return run_on(*parts)


def chance_of(n: int, *, past: bool) -> Text:
    """How many of twenty such vehicles start after the time planned, at least.

    `past` is that time past the high end of the answer: before it, one may start.
    """
    if n == 0 and past:
        return say("None of {all} such vehicles starts then.", all=OF)
    if n == 0:
        return say("Of {all} such vehicles perhaps none starts then.", all=OF)
    return many("Of {all} such vehicles at least one starts then.",
                "Of {all} such vehicles at least {n} start then.", n, all=OF)  # fmt: skip


def _without(parked: ParkedFigures) -> Text:
    if isfinite(parked.hours_without):
        return say(
            "Without the accessories {time} by the usual figures.",
            time=Duration(parked.hours_without),
        )
    if not isfinite(parked.hours):
        return Text("")
    horizon = Duration(parked.forecast.horizon_h)
    return say("Without the accessories longer than {time}.", time=horizon)


def headline(case: Case, plan_h: float) -> Text:
    """The answer, the verdict on the plan, and what counts in it, one behind the other."""
    if not case.parked.starts_now:
        return answer(case)
    verdict = plan_words(plan_verdict(case, plan_h), plan_h, 0)
    return run_on(answer(case), verdict, plan_more(case, plan_h))


def _unplaced(parked: ParkedFigures) -> Text:
    names = in_row(parked.unplaced, "and")
    if not isfinite(parked.hours_placed):
        return say("Counted though not placed: {names}.", names=names)
    return say(
        "Counted though not placed: {names}; without {time} by the usual figures.",
        names=names,
        time=Duration(parked.hours_placed),
    )


# --- the facts ----------------------------------------------------------------------------------


def battery_facts(vehicle: Vehicle, parked: ParkedFigures) -> Text:
    """The battery in a line: “Battery 70 Ah EFB, 3 years, 12.55 V at rest, 83 % charged.”"""
    battery = vehicle.battery
    parts: list[Argument] = []
    if battery.capacity_ah is not None:
        capacity = given(battery.capacity_ah, "Ah")
        if battery.parallel > 1:
            parts.append(say("{n} × {capacity}", n=battery.parallel, capacity=capacity))
        else:
            parts.append(capacity)
    else:
        parts.append(say("size not known"))
    parts.append(CHEMISTRY[battery.chemistry])
    if battery.age_years is not None:
        parts.append(many("{n} year", "{n} years", battery.age_years))
    if battery.rest_v is not None:
        parts.append(say("{voltage} at rest", voltage=given(battery.rest_v, "V")))
    else:
        parts.append(say("rest voltage not measured"))
    parts.append(say("{charge} charged", charge=share(parked.start_soc)))
    return say("Battery: {facts}.", facts=in_row(parts))


def parking_facts(vehicle: Vehicle) -> Text:
    """How it is parked in a line: temperatures, how long it is planned to stand."""
    parking = vehicle.parking
    parts: list[Argument] = [Amount(parking.temperature_c, "°C")]
    if parking.night_c is not None and parking.day_c is not None:
        night, day = (Amount(each, "°C") for each in (parking.night_c, parking.day_c))
        parts = [say("{night} to {day}", night=night, day=day)]
    if parking.coldest_c is not None:
        parts.append(
            say("coldest start {temperature}", temperature=Amount(parking.coldest_c, "°C"))
        )
    if parking.stand_days > 0:
        parts.append(say("{time} planned", time=Duration(parking.stand_days * 24)))
    return say("Parked: {facts}.", facts=in_row(parts))


def gain_words(gained_h: float, longest_h: float, *, past: bool) -> Argument:
    """What a change gains [h]; `past` where it outlasts the forecast.

    In the longest's unit, so that they can be compared; less than a day in hours even so.
    """
    if gained_h < 0.5:
        return say("nothing more")
    time = Duration(gained_h, longest_h if gained_h >= DAY_H else min(longest_h, DAY_H))
    return say("over +{time}", time=time) if past else say("+{time}", time=time)
