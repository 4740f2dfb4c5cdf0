"""What the parked forecast is uncertain about: each input with its range, and what would narrow it.

In: an assessed vehicle and its battery model. Out: `Input`s with their lowest, typical and highest
value. Entered ranges come first; what was measured is believed more than what was assumed. The
default widths are proposals of ours from memory and are said in words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from fusemap.assess.battery import BatteryModel
from fusemap.assess.figures import Figures
from fusemap.assess.parked.own_draws import rest_current
from fusemap.assess.parked.second_battery import Placed
from fusemap.electrics.spread import Range
from fusemap.text import Amount, Text, say, share

MEASURED_CURRENT: Final = 0.10
"""Share by which a measured current may be off: meter, temperature, the moment it was read."""
ASSUMED_REST: Final = (0.6, 2.0)
ASSUMED_AWAKE: Final = (0.5, 1.5)
ACCESSORY: Final = 0.10
"""Share by which an accessory's current may differ from what is entered."""
WEATHER_K: Final = 8.0
LEAK: Final = (0.5, 2.0)
"""Self-discharge: published figures run from 2 to 10 % a month."""


@dataclass(frozen=True, slots=True)
class Input:
    """An uncertain input: what it is, its range, that in words, and how it could be narrowed.

    `remedy` is `None` where nothing can be measured beforehand.
    """

    key: str
    what: Text
    range: Range
    words: Text
    remedy: Text | None = None


def inputs(a: Figures, model: BatteryModel, placed: Placed) -> tuple[Input, ...]:
    """Everything the forecast is uncertain about."""
    return (
        *_of_the_battery(a, model),
        _rest(a),
        _awake(a),
        *(_accessory(a, accessory_id) for accessory_id in dict.fromkeys(key for key, _ in placed)),
        _temperature(a),
        _start(a),
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
        ),
        Input(
            "capacity",
            say("the capacity"),
            capacity,
            say("capacity × {low} to {high}", **_factors(capacity[0], capacity[2])),
            say("Read the capacity off the battery's label"),
        ),
        Input(
            "leak",
            say("the self-discharge"),
            leak,
            say("self-discharge × {low} to {high}", **_factors(*LEAK)),
        ),
    )


def _between(ends: Range) -> dict[str, Amount]:
    """The ends of shares; the sign of per cent stands once."""
    return {"low": Amount(ends[0] * 100, significant=2), "high": share(ends[2])}


def _factors(low: float, high: float) -> dict[str, Amount]:
    return {"low": Amount(low, significant=2), "high": Amount(high, significant=2)}


def _rest(a: Figures) -> Input:
    """The vehicle's own current asleep, as a factor."""
    rest, parking = rest_current(a), a.vehicle.parking
    low, high = 1 - MEASURED_CURRENT, 1 + MEASURED_CURRENT
    if not rest.measured:
        low, high = ASSUMED_REST
    if rest.whole_a > 0 and parking.low_rest_current_a is not None:
        low = min(1.0, parking.low_rest_current_a / rest.whole_a)
    if rest.whole_a > 0 and parking.high_rest_current_a is not None:
        high = max(1.0, parking.high_rest_current_a / rest.whole_a)
    ends = [Amount(rest.whole_a * factor, "A", significant=2) for factor in (low, high)]
    return Input(
        "rest",
        say("what the vehicle draws asleep"),
        (low, 1.0, high),
        say("rest current {low} to {high}", low=ends[0], high=ends[1]),
        say("Measure the whole vehicle's rest current, an hour after locking, over some minutes"),
    )


def _awake(a: Figures) -> Input:
    measured = a.vehicle.parking.awake_current_a is not None
    low, high = (1 - MEASURED_CURRENT, 1 + MEASURED_CURRENT) if measured else ASSUMED_AWAKE
    return Input(
        "awake",
        say("what the vehicle draws while awake"),
        (low, 1.0, high),
        say("current while awake and at wake-ups × {low} to {high}", **_factors(low, high)),
        say("Follow the current for a night: how long it stays awake, and how often it wakes"),
    )


def _accessory(a: Figures, accessory_id: str) -> Input:
    accessory = next(each for each in a.vehicle.accessories if each.id == accessory_id)
    half = ACCESSORY if accessory.current_spread is None else accessory.current_spread
    name = accessory.name
    return Input(
        f"accessory {accessory_id}",
        say("what {accessory} draws", accessory=name),
        (1 - half, 1.0, 1 + half),
        say("what {accessory} draws ±\u202f{share}", accessory=name, share=share(half)),
        say("Measure what {accessory} draws while parked", accessory=name),
    )


def _temperature(a: Figures) -> Input:
    parking = a.vehicle.parking
    typical = parking.temperature_c
    low = typical - WEATHER_K if parking.low_temperature_c is None else parking.low_temperature_c
    high = typical + WEATHER_K if parking.high_temperature_c is None else parking.high_temperature_c
    ends = (min(low, typical), typical, max(high, typical))
    return Input(
        "temperature",
        say("the weather"),
        ends,
        say("temperature {low} to {high}", low=Amount(ends[0], "°C"), high=Amount(ends[2], "°C")),
    )


def _start(a: Figures) -> Input:
    half = a.rule("crank_soc_band")
    return Input(
        "start",
        say("the charge a start needs"),
        (-half, 0.0, half),
        say("charge needed to start ±\u202f{share} of the capacity", share=share(half)),
    )
