"""What a start needs, in words: from what it is reckoned, what the starter gets, whose figures.

In: an assessed vehicle, the case of its start, what the starter gets at a charge. Out: texts.
"""

from __future__ import annotations

from collections.abc import Callable
from math import floor, isfinite, isnan
from typing import Final

from fusemap.assess.figures import Figures
from fusemap.assess.parked.start_spans import (
    START,
    StartCase,
    engine_answered,
    hard_case,
    start_case,
    start_ranges,
    start_rule,
)
from fusemap.assess.parked.weather import coldest_ends
from fusemap.assess.verdict import Verdict
from fusemap.text import Amount, Argument, Duration, Text, say, share
from fusemap.vehicle.parts import CrankReading
from fusemap.vehicle.words import ENGINE

Gets = Callable[[float], float]
"""What the starter gets at a charge in the coldest [V]."""
NEAR: Final = 0.02
"""A charge this near the floor is decided by it [-]."""


def need_words(a: Figures, case: StartCase, need: float, gets: Gets) -> Text:
    """The charge a start needs, and from what that follows."""
    at = Amount(case.coldest_c, "°C")
    if case.way == "line":
        return say(
            "{charge} at {temperature} by a car maker’s published line for its battery sensor, "
            "since the engine is not known",
            charge=share(min(1.0, need)),
            temperature=at,
        )
    if case.way == "contactors":
        return _contactor_words(a, case, need, at)
    parts: dict[str, Argument] = {
        "temperature": at,
        "engine": engine_words(case),
        "least": _volts(least_v(case)),
        "how": _how(case),
    }
    if not isfinite(need):
        return say(
            "more than a full battery has: full, at {temperature}, the starter would get "
            "{voltage}; {engine} wants {least} ({how})",
            voltage=_volts(gets(1.0)),
            **parts,
        )
    if need <= start_ranges(case)[f"{START}floor"].typical + NEAR:
        return say(
            "{charge} at {temperature}: the starter would get {voltage} there and {engine} wants "
            "{least}, but below this charge nothing is promised ({how})",
            charge=share(need),
            voltage=_volts(gets(need)),
            **parts,
        )
    return say(
        "{charge} at {temperature}: there the starter gets the {least} that {engine} wants ({how})",
        charge=share(need),
        **parts,
    )


def _contactor_words(a: Figures, case: StartCase, need: float, at: Amount) -> Text:
    parts: dict[str, Argument] = {
        "charge": share(min(1.0, need)),
        "temperature": at,
        "least": Amount(least_v(case) * (case.system_v // 12), "V"),
        "current": Amount(a.rule("contactor_load_a"), "A"),
    }
    if not isfinite(need):
        return say(
            "more than a full battery has: it does not hold {least} at {current} and {temperature}",
            **parts,
        )
    return say(
        "{charge} at {temperature}: modules and contactors want {least} at {current}, and below "
        "this charge no battery is counted on; no cranking",
        **parts,
    )


def least_v(case: StartCase) -> float:
    """The voltage at which half of such engines still start [V], of a 12 V battery."""
    seen = [each.crank_v for each in case.battery.crank_readings]
    return min(start_ranges(case)[f"{START}least"].typical, *seen, 99.0)


def most_v(case: StartCase) -> float:
    """The voltage that one of ten such engines wants, or more [V], of a 12 V battery."""
    seen = [each.crank_v for each in case.battery.crank_readings]
    return min(start_ranges(case)[f"{START}least"].high, *seen, 99.0)


def engine_words(case: StartCase) -> Text:
    """The engine as people call it."""
    name = ENGINE[case.engine_fuel]
    if case.engine_l is None:
        return name
    return say("{engine} of {litres}", engine=name, litres=Amount(case.engine_l, "l"))


def engine_taken(a: Figures) -> Text | None:
    """Which engine the low end is made with where nobody said it; `None` where somebody did."""
    if engine_answered(start_case(a)):
        return None
    return say(
        "engine not answered: the low end is made with {engine}, larger ones have to be entered",
        engine=engine_words(hard_case(a)),
    )


def coldest_taken(a: Figures) -> Text | None:
    """Which coldest night is reckoned with where nobody said it; `None` where somebody did."""
    low, usual, high = coldest_ends(a)
    if low == high:
        return None
    return say(
        "coldest night {usual}, the low end with {low} (not entered: so far below the mean lies "
        "the lowest of so many nights)",
        usual=Amount(usual, "°C", significant=2),
        low=Amount(low, "°C", significant=2),
    )


def _how(case: StartCase) -> Text:
    """From what the voltage is reckoned: a reading, a tester, the label, the capacity."""
    battery = case.battery
    if case.way == "reading":
        return say(
            "by the {volts} read while cranking at {temperature}",
            volts=Amount(case.reading.crank_v, "V"),
            temperature=Amount(case.reading.temperature_c, "°C"),
        )
    if battery.measured_cca_a is not None:
        return say("by the cold cranking current tested")
    if battery.cca_a is None:
        return say("cold cranking current guessed by the capacity")
    if battery.label_standard == "unknown":
        return say("by the label’s cold cranking current, taken as EN")
    return say("by the label’s cold cranking current, {standard}", standard=case.standard.upper())


def need_source(a: Figures, case: StartCase) -> Argument:
    """Where the figures of the start come from."""
    if case.way in ("line", "contactors"):
        return a.rules[start_rule(case)].source
    return say(
        "cranking voltage by the table “What a start takes”; its least: {source}",
        source=a.rules[start_rule(case)].source,
    )


def end_words(case: StartCase, gets: Gets, soc: float) -> Text:
    """What the starter gets at a charge in the coldest, against what the engine wants."""
    voltage = gets(soc)
    if isnan(voltage) or case.way == "contactors":
        return Text("")
    if voltage <= 0.0:
        return say(
            "At {temperature} and {charge} the starter would not turn.",
            temperature=Amount(case.coldest_c, "°C"),
            charge=share(soc),
        )
    parts: dict[str, Argument] = {
        "temperature": Amount(case.coldest_c, "°C"),
        "charge": share(soc),
        "voltage": _volts(voltage),
    }
    floor = start_ranges(case)[f"{START}floor"].typical
    if soc < floor and voltage >= least_v(case):
        return say(
            "At {temperature} and {charge} the starter would get {voltage} at best; below {floor} "
            "no start is promised.",
            floor=share(floor),
            **parts,
        )
    return say(
        "At {temperature} and {charge} the starter would get {voltage}; {engine} wants {least}.",
        engine=engine_words(case),
        least=_volts(least_v(case)),
        **parts,
    )


def _volts(value: float) -> Amount:
    return Amount(max(0.0, value), "V", significant=2)


def reading_words(reading: CrankReading) -> Text:
    """A start that was followed with a meter, in a line."""
    return say(
        "{rest} at rest, {volts} while it turned, {temperature}",
        rest=Amount(reading.rest_v, "V", significant=4),
        volts=Amount(reading.crank_v, "V", significant=3),
        temperature=Amount(reading.temperature_c, "°C"),
    )


OF_TWENTY: Final = 20
"""Of so many vehicles like this one it is told how many start."""


def of_twenty(chance: float) -> int:
    """How many of twenty start, by the share that does [-]; twenty only where all do."""
    return floor(chance * OF_TWENTY + 1e-9)


def plan_words(verdict: Verdict, planned_h: float, chance: float) -> Text:
    """Whether it starts after the time planned [h], by the one verdict on it.

    `chance` [-] is the share of the vehicles tried that last so long, with what nobody answered
    at its hard end: the least.
    """
    if planned_h <= 0:
        return Text("")
    time, n = Duration(planned_h), of_twenty(chance)
    if verdict == "unchecked":
        return say("You plan {time}: nobody said which battery it has, so no verdict.", time=time)
    if verdict == "holds":
        return say("You plan {time}: it will start.", time=time)
    if verdict == "may_not_hold" and n >= 1:
        return say(
            "You plan {time}: it may not start; of 20 vehicles like this one at least {n} do.",
            time=time,
            n=n,
        )
    if verdict == "may_not_hold":
        return say(
            "You plan {time}: it may not start; of 20 vehicles like this one perhaps none does.",
            time=time,
        )
    if n >= 1:
        return say(
            "You plan {time}: it may not start even now; of 20 vehicles like this one {n} do.",
            time=time,
            n=n,
        )
    return say("You plan {time}: it will not start.", time=time)
