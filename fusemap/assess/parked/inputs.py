"""What a parked forecast is uncertain about, how far, and how each could be narrowed.

In: an assessed vehicle, its battery and who draws. Out: `Input`s. Entered ranges come first; what
was measured is believed more than what was assumed, and a figure of the library has the library's
span. What was not given a range has one by default; these widths are proposals of ours from memory,
and are said in words beside the band.
"""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from fusemap import tables
from fusemap.assess.battery import MEASURED_HEALTH, SET_CHARGE, BatteryModel
from fusemap.assess.figures import Figures
from fusemap.assess.parked.draws import AtRest, awake_span, rest_current, usual_awake_a
from fusemap.assess.parked.second_battery import Placed
from fusemap.assess.parked.spans import Span, at_rest, at_work
from fusemap.assess.parked.start_spans import FLOOR, START, start_case, start_ranges
from fusemap.assess.parked.topping import TOPPING, top_up
from fusemap.assess.parked.weather import coldest_ends, typical_c
from fusemap.electrics.spread import Range
from fusemap.text import Amount, Text, say
from fusemap.text import share as share_of

MEASURED_CURRENT: Final = 0.10
"""Share by which a measured current may be off: meter, temperature, the moment it was read."""
ASSUMED_TIMED: Final = (0.5, 1.5)
"""What comes and goes by its own clock, where nobody measured the whole vehicle awake."""
WEATHER_K: Final = 8.0
LEAK: Final = (0.5, 2.0)
"""Self-discharge: published figures run from 2 to 10 % a month."""


class Input(Struct, frozen=True):
    """An uncertain input: what it is, its range, that in words, and how it could be narrowed.

    `remedy` is `None` where nothing can be measured beforehand. Figures of one `group` are said and
    weighed together under the first of them. `hard` is for what nobody answered: the range it would
    have if its hard end had been the answer. The low end of the forecast is made with that.
    """

    key: str
    what: Text
    range: Range
    words: Text
    remedy: Text | None = None
    group: str = ""
    hard: Range | None = None


def inputs(a: Figures, model: BatteryModel, placed: Placed) -> tuple[Input, ...]:
    """Everything the forecast is uncertain about."""
    return (
        *_of_the_battery(a, model),
        _rest(a),
        *_awake(a),
        *_wake_ups(a),
        *_accessories(a, placed),
        _temperature(a),
        *_coldest(a),
        *_topping(a),
        *_start(a),
    )


def _of_the_battery(a: Figures, model: BatteryModel) -> tuple[Input, ...]:
    charge, health, capacity = (model.ranges[key] for key in ("charge", "health", "capacity"))
    read = a.vehicle.battery.rest_v is not None
    remedy = say("Measure the rest voltage after a night without load or charge")
    if read:
        remedy = say("Measure the rest voltage again after a night without load or charge")
    leak = (LEAK[0], 1.0, LEAK[1])
    return (
        Input(
            "charge",
            say("the charge when locked"),
            charge,
            say("charge when locked {low} to {high}", **_between(charge)),
            remedy,
            hard=None if "charge" in model.measured else _answered(charge[0], SET_CHARGE),
        ),
        Input(
            "health",
            say("the battery's health"),
            health,
            say("health of the battery {low} to {high}", **_between(health)),
            say(
                "Have the capacity tested by discharge (a conductance tester tells only of "
                "cranking)"
            ),
            hard=None if "health" in model.measured else _answered(health[0], MEASURED_HEALTH),
        ),
        Input(
            "capacity",
            say("the capacity"),
            capacity,
            say("capacity × {low} to {high}", **_factors(capacity[0], capacity[2])),
            say("Read the capacity off the battery's label"),
            hard=None if "capacity" in model.measured else (capacity[0],) * 3,
        ),
        Input(
            "leak",
            say("the self-discharge"),
            leak,
            say("self-discharge × {low} to {high}", **_factors(*LEAK)),
        ),
    )


def _answered(end: float, half: float) -> Range:
    """The range of a share [-], had this end of it been the answer."""
    return max(0.0, end - half), end, min(1.0, end + half)


def _between(ends: Range) -> dict[str, Amount]:
    """The ends of shares; the sign of per cent stands once."""
    return {"low": Amount(ends[0] * 100, significant=2), "high": share_of(ends[2])}


def _factors(low: float, high: float) -> dict[str, Amount]:
    return {"low": Amount(low, significant=2), "high": Amount(high, significant=2)}


def _rest(a: Figures) -> Input:
    """The vehicle's own current asleep, as a factor."""
    rest, parking = rest_current(a), a.vehicle.parking
    low, high = 1 - MEASURED_CURRENT, 1 + MEASURED_CURRENT
    if not rest.measured:
        usual = tables.unanswered("rest_share")
        low, high = usual.mild, usual.hard
    if rest.whole_a > 0 and parking.low_rest_current_a is not None:
        low = min(1.0, parking.low_rest_current_a / rest.whole_a)
    if rest.whole_a > 0 and parking.high_rest_current_a is not None:
        high = max(1.0, parking.high_rest_current_a / rest.whole_a)
    ends = [Amount(rest.whole_a * factor, "A", significant=2) for factor in (low, high)]
    near = (high * (1 - MEASURED_CURRENT), high, high * (1 + MEASURED_CURRENT))
    return Input(
        "rest",
        say("what the vehicle draws asleep"),
        (low, 1.0, high),
        say("rest current {low} to {high}", low=ends[0], high=ends[1]),
        say("Measure the whole vehicle's rest current, an hour after locking, over some minutes"),
        hard=None if rest.measured else near,
    )


def _awake(a: Figures) -> tuple[Input, ...]:
    """What it draws awake as a factor, and what goes by its own clock then."""
    measured = a.vehicle.parking.awake_current_a is not None
    what = say("what the vehicle draws while awake")
    remedy = say("Follow the current for a night: how long it stays awake, and how often it wakes")
    near = (1 - MEASURED_CURRENT, 1.0, 1 + MEASURED_CURRENT)
    if measured:
        words = say(
            "current while awake and at wake-ups × {low} to {high}", **_factors(near[0], near[2])
        )
        return (
            Input(AWAKE, what, near, words, remedy),
            Input(TIMED, what, near, words, remedy, AWAKE),
        )
    rest, span = rest_current(a), awake_span(a)
    usual = usual_awake_a(a, rest.whole_a)
    ends = (min(1.0, span.low / usual), 1.0, max(1.0, span.high / usual))
    timed = (ASSUMED_TIMED[0], 1.0, ASSUMED_TIMED[1])
    words = say(
        "awake until it sleeps {low} to {high}, not measured",
        low=Amount(ends[0] * usual, "A", significant=2),
        high=Amount(ends[2] * usual, "A", significant=2),
    )
    # what no circuit explains flows all the time, and has a draw of its own
    steady = rest.remainder_a
    low, typical, high = ((ends[2] * usual * factor - steady) / (usual - steady) for factor in near)
    return (
        Input(AWAKE, what, ends, words, remedy, AWAKE, (low, typical, high)),
        Input(TIMED, what, timed, words, remedy, AWAKE, (timed[2],) * 3),
    )


AWAKE: Final = "awake"
TIMED: Final = "awake by the clock"
"""The key of what comes and goes by its own clock: wake-ups, slots that go off later."""


def _wake_ups(a: Figures) -> tuple[Input, ...]:
    """Wake-ups that nobody logged: none, or up to so much more, but never less."""
    parking = a.vehicle.parking
    most = a.rule("wake_ups_ma") / 1000
    if parking.wake_ups or parking.night_logged or most <= 0:
        return ()
    return (
        Input(
            WAKING,
            say("wake-ups that nobody logged"),
            (0.0, 0.0, most),
            say(
                "wake-ups that nobody logged, up to {current} on average",
                current=Amount(most, "A", significant=2),
            ),
            say("Follow the current for a night: how long it stays awake, and how often it wakes"),
        ),
    )


WAKING: Final = "unlogged wake-ups"


def _accessories(a: Figures, placed: Placed) -> tuple[Input, ...]:
    """What each accessory takes at work, and at rest, where it does so while parked."""
    by_id = {each.id: each for each in a.vehicle.accessories}
    found: dict[str, Input] = {}
    for accessory_id, draw in placed:
        accessory = by_id[accessory_id]
        rows = (*draw.phases, *draw.daily)
        for resting, span in ((False, at_work(accessory)), (True, at_rest(accessory))):
            if any(isinstance(row, AtRest) is resting for row in rows):
                key = accessory_key(accessory_id, resting=resting)
                found.setdefault(key, _accessory(key, accessory.name, span))
    return tuple(found.values())


def accessory_key(accessory_id: str, *, resting: bool) -> str:
    """The key of what an accessory takes at work, or at rest."""
    return f"accessory {accessory_id}" + (" at rest" if resting else "")


def _accessory(key: str, name: str, span: Span) -> Input:
    remedy = say("Measure what {accessory} draws while parked", accessory=name)
    if span.has_modes:
        remedy = say(
            "Measure what {accessory} draws while parked, or choose what it does then",
            accessory=name,
        )
    return Input(
        key, say("what {accessory} draws", accessory=name), span.factors, span.words, remedy
    )


def _temperature(a: Figures) -> Input:
    parking = a.vehicle.parking
    typical = typical_c(a)
    low = typical - WEATHER_K if parking.low_temperature_c is None else parking.low_temperature_c
    high = typical + WEATHER_K if parking.high_temperature_c is None else parking.high_temperature_c
    ends = (min(low, typical), typical, max(high, typical))
    return Input(
        "temperature",
        say("the weather"),
        ends,
        say("temperature {low} to {high}", low=Amount(ends[0], "°C"), high=Amount(ends[2], "°C")),
    )


COLDEST: Final = "coldest"


def _coldest(a: Figures) -> tuple[Input, ...]:
    """The coldest night at the start, where nobody said it [°C]."""
    ends = coldest_ends(a)
    if ends[0] == ends[2]:
        return ()
    words = say(
        "coldest night {low} to {high}, not entered",
        low=Amount(ends[0], "°C", significant=2),
        high=Amount(ends[2], "°C", significant=2),
    )
    remedy = say("Enter the coldest at which it has to start")
    return (Input(COLDEST, say("the coldest night"), ends, words, remedy, "", (ends[0],) * 3),)


def _topping(a: Figures) -> tuple[Input, ...]:
    """What the drive battery gives, as a factor, where it tops the battery up."""
    found = top_up(a)
    if found is None:
        return ()
    words = say("what the drive battery gives × {low} to {high}", **_factors(*found.factors[::2]))
    what = say("what the drive battery gives")
    return (Input(TOPPING, what, found.factors, words),)


def _start(a: Figures) -> tuple[Input, ...]:
    """The figures of the start that one reading while cranking narrows, weighed together."""
    case = start_case(a)
    remedy = {
        "line": say("Say which engine it has, or read the lowest voltage of one start"),
        "contactors": None,
    }.get(case.way, say("Read the lowest voltage of one start, as near to the frost as can be"))
    words = {
        "line": say("what a start needs, the engine not known"),
        "engine": say("what a start needs, by engine and label"),
        "reading": say("what a start needs, by a reading while cranking"),
        "contactors": say("the charge that closes the contactors"),
    }[case.way]
    ranges = start_ranges(case)
    floor = ranges.pop(FLOOR, None)
    what = say("the charge a start needs")
    found = tuple(Input(key, what, ends, words, remedy, START) for key, ends in ranges.items())
    return found if floor is None else (*found, _floor(floor))


def _floor(ends: Range) -> Input:
    """No reading narrows it: weakest cell, wrong charge figure, several tries."""
    return Input(
        FLOOR,
        say("the charge below which no start is promised"),
        ends,
        say("no start is promised below {low} to {high}", **_between(ends)),
    )
