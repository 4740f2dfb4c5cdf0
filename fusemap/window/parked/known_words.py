"""What the answer takes into account besides what draws, each in a line with its figure.

In: an assessed vehicle and its forecast. Out: lines, each with where its details are. No Qt.
"""

from __future__ import annotations

from math import isfinite
from typing import Final, Literal

import numpy as np
from msgspec import Struct

from fusemap.assess.parked.figures import ParkedFigures
from fusemap.assess.parked.standing import Parked
from fusemap.assess.parked.topping import may_charge, top_up
from fusemap.assess.parked.weather import DAY_H, coldest_c, swings, typical_c
from fusemap.text import Amount, Text, given, many, run_on, say
from fusemap.vehicle.parts import Maintainer
from fusemap.window.parked.chart_figures import Case
from fusemap.window.parked.page_words import ends_words, span_words

Form = Literal["reckoned", "parking"]
KINDS: Final = {"solar": say("The sun"), "mains": say("The maintainer")}


class Known(Struct, frozen=True):
    """One line, and what shows more of it: how it is reckoned, or a field of the parking form."""

    key: str
    words: Text
    form: Form
    field: str = ""


def known(a: Parked, case: Case) -> tuple[Known, ...]:
    """What was learned of the vehicle, day and night, what charges it: those there are."""
    found = (_learned(case), _day_and_night(a), _maintained(a, case.parked), _topped_up(a))
    return tuple(each for each in found if each is not None)


def _learned(case: Case) -> Known | None:
    """By how much readings narrowed the span; which of them contradicts the rest."""
    learned, before = case.band.learned, case.band.before
    if learned is None or before is None:
        return None
    head = many(
        "By {n} reading of a standing or a start: {span}; without it {before}.",
        "By {n} readings of standings and starts: {span}; without them {before}.",
        learned.readings,
        span=span_words(case),
        before=ends_words(*before, case.parked.forecast.horizon_h),
    )
    told = (
        say("“{reading}” contradicts the rest: read it again.", reading=each)
        for each in learned.contradicts
    )
    return Known("learned", run_on(head, *told), "reckoned")


def _day_and_night(a: Parked) -> Known | None:
    """Which temperature stands for a day that swings, and which for the start."""
    parking = a.vehicle.parking
    if not swings(parking) or parking.night_c is None or parking.day_c is None:
        return None
    words = say(
        "Nights of {night}, days of {day}: it discharges as at {mean}, and starts at {coldest}.",
        night=Amount(parking.night_c, "°C"),
        day=Amount(parking.day_c, "°C"),
        mean=Amount(typical_c(a), "°C", significant=2),
        coldest=Amount(coldest_c(a), "°C"),
    )
    return Known("day_and_night", words, "parking", "parking_night_c")


def _maintained(a: Parked, parked: ParkedFigures) -> Known | None:
    """What a maintainer on the starter battery gives in a day, against what is drawn in one."""
    maintainer = a.vehicle.parking.maintainer
    if maintainer is None or maintainer.battery == "second":
        return None
    if not np.all(may_charge(a.vehicle.battery.chemistry, typical_c(a))):
        words = say("Not charged while it stands: a LiFePO4 battery takes nothing below freezing.")
        return Known("maintained", words, "parking", "parking_temperature_c")
    words = say(
        "{source} gives at most {given} a day; {drawn} a day are drawn.",
        source=KINDS[maintainer.kind],
        given=Amount(_a_day(maintainer), "Ah", significant=2),
        drawn=Amount(_drawn_a_day(parked), "Ah", significant=2),
    )
    return Known("maintained", words, "parking", "maintainer_current_a")


def _a_day(maintainer: Maintainer) -> float:
    """Charge that reaches the battery in a day [Ah], if it takes all of it."""
    hours = (maintainer.to_h - maintainer.from_h) % DAY_H or DAY_H
    return maintainer.current_a * hours


def _drawn_a_day(parked: ParkedFigures) -> float:
    """What everything draws in a day on the mean [Ah], self-discharge among it."""
    span = min(parked.hours, parked.forecast.horizon_h)
    total = sum(each.charge_ah for each in parked.consumers)
    return total / span * DAY_H if span > 0 and isfinite(total) else 0.0


def _topped_up(a: Parked) -> Known | None:
    """What the drive battery of an electric car gives in all; or that nobody said so."""
    parking = a.vehicle.parking
    if parking.starts_by != "contactors" or parking.topped_up == "no":
        return None
    field = "parking_topped_up"
    found = top_up(a)
    if found is None:
        words = say("Whether the drive battery tops it up was not said: not counted on.")
        return Known("topped_up", words, "parking", field)
    if not np.all(may_charge(a.vehicle.battery.chemistry, typical_c(a))):
        words = say("Not charged while it stands: a LiFePO4 battery takes nothing below freezing.")
        return Known("topped_up", words, "parking", field)
    words = say(
        "The drive battery gives {charge} in all: {times} times {time} with {current}.",
        charge=Amount(found.ah, "Ah", significant=2),
        times=Amount(found.times),
        time=given(found.minutes, "min"),
        current=Amount(found.amps, "A"),
    )
    return Known("topped_up", words, "parking", field)
