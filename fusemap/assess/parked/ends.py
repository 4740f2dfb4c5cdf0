"""What ends a standing, said in words, and whether what is planned fits.

In: an assessed vehicle and its forecast. Out: an `End` with its kind, when and at which charge, and
what a start would get at any time against what it wants; a verdict of the four.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Final, Literal, Protocol

from msgspec import Struct

from fusemap.assess.figures import Figures
from fusemap.assess.parked.figures import Middle, ParkedFigures
from fusemap.assess.parked.start_spans import FLOOR, StartCase, start_case, start_ranges
from fusemap.assess.parked.start_words import NEAR, engine_words, least_v, most_v
from fusemap.assess.parked.starting import gets_v
from fusemap.assess.verdict import Verdict
from fusemap.text import Amount, Argument, Duration, Text, say, share
from fusemap.vehicle import Battery, Vehicle

EndKind = Literal[
    "charge", "floor", "voltage", "contactors", "empty", "protection", "never", "none"
]
"""By a published line; by the charge below which none is promised; by the volts at the starter; at
contactors and modules; by an empty battery; by the cut-off of a LiFePO4; not even full; not within
the forecast."""

FITS: Final[Mapping[Verdict, Text]] = {
    "holds": say("fits"),
    "may_not_hold": say("may not fit"),
    "fails": say("does not fit"),
    "unchecked": say("cannot be checked"),
}
"""Whether a standing fits, in the words of the four verdicts."""

HOURS_A_DAY: Final = 24.0
SAME_H: Final = 1e-6
SAME_V: Final = 0.05
"""Two voltages that are told with the same digits [V]."""


class Ends(Protocol):
    """Anything that has both ends of a standing [h]."""

    @property
    def low_h(self) -> float:
        """What nineteen of twenty last."""
        ...

    @property
    def high_h(self) -> float:
        """What one of twenty lasts."""
        ...


class End(Struct, frozen=True):
    """What ends the standing: its kind, hours after locking [h], the charge then [-], in words."""

    kind: EndKind
    hours: float
    soc: float
    words: Text


def standing_verdict(
    planned_h: float,
    low_h: float,
    high_h: float,
    *,
    starts_now: bool = True,
    battery_said: bool = True,
) -> Verdict:
    """Whether a standing of `planned_h` [h] fits, by both ends: the one verdict for all who say it.

    `low_h` [h] is what nineteen of twenty vehicles like this one last, `high_h` [h] what one of
    twenty does. Nothing is promised where no time was planned, or nobody said which battery it has.
    """
    if planned_h <= 0 or not battery_said:
        return "unchecked"
    if not starts_now or high_h < planned_h:
        return "fails"
    return "holds" if planned_h <= low_h else "may_not_hold"


def battery_said(vehicle: Vehicle) -> bool:
    """Whether anything was said of the battery; without it all of a forecast is a guess."""
    return vehicle.battery != Battery()


def verdict_as_planned(a: Figures, parked: ParkedFigures, ends: Ends) -> Verdict:
    """Whether the time planned fits, by the ends [h] of the vehicles tried."""
    return standing_verdict(
        a.vehicle.parking.stand_days * HOURS_A_DAY,
        ends.low_h,
        ends.high_h,
        starts_now=parked.starts_now,
        battery_said=battery_said(a.vehicle),
    )


def standing_end(a: Figures, parked: ParkedFigures, middle: Middle) -> End:
    """What ends the standing for half of the vehicles like this one."""
    case, hours = start_case(a), middle.hours
    kind = _kind(case, parked, middle)
    soc = middle.charge(min(hours, parked.forecast.horizon_h))
    if kind in BY_NEED:
        soc = min(parked.start_soc, parked.need.soc)
    return End(kind, hours, soc, _END[kind](a, case, parked, middle, hours, soc))


BY_NEED: Final = ("charge", "floor", "voltage", "contactors")
"""Ends at which as much is left as half of the starts need."""


def _kind(case: StartCase, parked: ParkedFigures, middle: Middle) -> EndKind:
    if parked.need.never:
        return "never"
    if not isfinite(middle.hours):
        return "none"
    if middle.hours >= middle.empty_h - SAME_H:
        return "protection" if case.lithium else "empty"
    if case.way == "line":
        return "charge"
    floor = start_ranges(case)[FLOOR].typical
    if case.way == "contactors":
        return "contactors"
    return "floor" if parked.need.soc <= floor + NEAR else "voltage"


def at_words(a: Figures, parked: ParkedFigures, middle: Middle, hours: float) -> Text:
    """What a start would get so many hours [h] after locking, against what it wants.

    By the charge that half of the vehicles like this one have left then.
    """
    case, soc = start_case(a), middle.charge(hours)
    if case.way == "line":
        return say(
            "After {time} half of such vehicles have {charge} or less; at {temperature} a start "
            "needs {need} by a car maker’s published line.",
            charge=share(soc),
            need=share(min(1.0, parked.need.soc)),
            **_when(case, hours),
        )
    if middle.empty_h <= hours:
        return _EMPTY[case.lithium](a, case, parked, middle, middle.empty_h, soc)
    if case.way == "contactors":
        return say(
            "After {time} at {temperature} modules and contactors would get {voltage} at "
            "{current}; they want {least}.",
            **_contactors(a, case, parked, soc),
            **_when(case, hours),
        )
    return _starter_words(a, case, parked, middle, hours, soc)


def _starter_words(
    a: Figures, case: StartCase, parked: ParkedFigures, middle: Middle, hours: float, soc: float
) -> Text:
    """What the starter gets against what the engine wants; where that alone is no end, what is."""
    low, usual, _ = gets_v(case, soc)
    over = hours >= middle.hours - SAME_H and usual > least_v(case) + SAME_V
    if over and _kind(case, parked, middle) == "floor":
        return _by_floor(a, case, parked, middle, hours, soc)
    parts = {
        "voltage": _volts(usual),
        "engine": engine_words(case),
        "least": _volts(least_v(case)),
        **_when(case, hours),
    }
    if over:
        return say(
            "After {time} at {temperature} the starter would get {voltage}, in one of ten vehicles "
            "like this {low} or less; {engine} wants {least}, one of ten {most} or more.",
            low=_volts(low),
            most=_volts(most_v(case)),
            **parts,
        )
    return say(
        "After {time} at {temperature} the starter would get {voltage}; {engine} wants {least}.",
        **parts,
    )


def _when(case: StartCase, hours: float) -> dict[str, Argument]:
    return {"time": Duration(hours), "temperature": Amount(case.coldest_c, "°C")}


def _volts(value: float) -> Amount:
    shown = max(0.0, value)
    return Amount(shown, "V", significant=2 if shown < TWO_DIGITS_V else 3)


def _contactors(
    a: Figures, case: StartCase, parked: ParkedFigures, soc: float
) -> dict[str, Argument]:
    pair = case.system_v // 12
    return {
        "voltage": _volts(parked.need.gets_v(soc) * pair),
        "least": Amount(least_v(case) * pair, "V"),
        "current": Amount(a.rule("contactor_load_a"), "A"),
    }


def _by_charge(
    a: Figures, case: StartCase, parked: ParkedFigures, middle: Middle, hours: float, soc: float
) -> Text:
    return at_words(a, parked, middle, hours)


def _by_floor(
    a: Figures, case: StartCase, parked: ParkedFigures, middle: Middle, hours: float, soc: float
) -> Text:
    return say(
        "After {time} {charge} are left. At {temperature} the starter would still get {voltage} "
        "and {engine} wants {least}, but below this charge no start is promised.",
        charge=share(soc),
        voltage=_volts(parked.need.gets_v(soc)),
        engine=engine_words(case),
        least=_volts(least_v(case)),
        **_when(case, hours),
    )


def _by_contactors(
    a: Figures, case: StartCase, parked: ParkedFigures, middle: Middle, hours: float, soc: float
) -> Text:
    return say(
        "After {time} at {temperature} {charge} are left: below that modules and contactors are "
        "not counted on ({voltage} at {current}; they want {least}).",
        charge=share(soc),
        **_contactors(a, case, parked, soc),
        **_when(case, hours),
    )


def _by_empty(
    a: Figures, case: StartCase, parked: ParkedFigures, middle: Middle, hours: float, soc: float
) -> Text:
    return say(
        "After {time} the battery is empty: {voltage}.",
        time=Duration(hours),
        voltage=Amount(EMPTY_V * (case.system_v // 12), "V"),
    )


EMPTY_V: Final = 10.5
TWO_DIGITS_V: Final = 9.95
"""Up to here two digits say tenths of a volt."""


def _by_protection(
    a: Figures, case: StartCase, parked: ParkedFigures, middle: Middle, hours: float, soc: float
) -> Text:
    return say(
        "After {time} the protection of the LiFePO4 battery switches it off.",
        time=Duration(hours),
    )


def _by_nothing(
    a: Figures, case: StartCase, parked: ParkedFigures, middle: Middle, hours: float, soc: float
) -> Text:
    return say(
        "Nothing ends it within the {time} that were computed.",
        time=Duration(parked.forecast.horizon_h),
    )


def _from_the_first(
    a: Figures, case: StartCase, parked: ParkedFigures, middle: Middle, hours: float, soc: float
) -> Text:
    return say("A start needs {need}.", need=parked.need.words)


_EMPTY: Final = {False: _by_empty, True: _by_protection}
_END: Final = {
    "charge": _by_charge,
    "floor": _by_floor,
    "voltage": _by_charge,
    "contactors": _by_contactors,
    "empty": _by_empty,
    "protection": _by_protection,
    "never": _from_the_first,
    "none": _by_nothing,
}
