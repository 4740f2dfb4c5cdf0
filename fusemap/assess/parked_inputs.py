"""What the parked forecast is uncertain about: each input with its range, and what would narrow it.

In: an assessed vehicle and its battery model. Out: `Input`s with their lowest, typical and highest
value. Entered ranges come first; what was measured is believed more than what was assumed. The
default widths are proposals of ours from memory and are said in words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from fusemap.assess.battery import BatteryModel
from fusemap.assess.own_draws import rest_current
from fusemap.assess.second_battery import Placed
from fusemap.electrics.spread import Range
from fusemap.units import NARROW_SPACE, digits, percent, quantity

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment

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

    `remedy` is empty where nothing can be measured beforehand.
    """

    key: str
    what: str
    range: Range
    words: str
    remedy: str = ""


def inputs(a: Assessment, model: BatteryModel, placed: Placed) -> tuple[Input, ...]:
    """Everything the forecast is uncertain about."""
    return (
        *_of_the_battery(a, model),
        _rest(a),
        _awake(a),
        *(_accessory(a, accessory_id) for accessory_id in dict.fromkeys(key for key, _ in placed)),
        _temperature(a),
        _start(a),
    )


def _of_the_battery(a: Assessment, model: BatteryModel) -> tuple[Input, ...]:
    charge, health, capacity = (model.ranges[key] for key in ("charge", "health", "capacity"))
    read = a.vehicle.battery.rest_v is not None
    again = " again" if read else ""
    leak = (LEAK[0], 1.0, LEAK[1])
    return (
        Input(
            "charge",
            "the charge when locked",
            charge,
            f"charge when locked {_between(charge)}",
            f"Measure the rest voltage{again} after a night without load or charge",
        ),
        Input(
            "health",
            "the battery's health",
            health,
            f"health of the battery {_between(health)}",
            "Have the capacity tested by discharge (a conductance tester tells only of cranking)",
        ),
        Input(
            "capacity",
            "the capacity",
            capacity,
            f"capacity × {digits(capacity[0], 2)} to {digits(capacity[2], 2)}",
            "Read the capacity off the battery's label",
        ),
        Input(
            "leak",
            "the self-discharge",
            leak,
            f"self-discharge × {digits(leak[0], 2)} to {digits(leak[2], 2)}",
        ),
    )


def _between(ends: Range) -> str:
    return f"{digits(ends[0] * 100, 2)} to {percent(ends[2])}"


def _rest(a: Assessment) -> Input:
    """The vehicle's own current asleep, as a factor."""
    rest, parking = rest_current(a), a.vehicle.parking
    low, high = 1 - MEASURED_CURRENT, 1 + MEASURED_CURRENT
    if not rest.measured:
        low, high = ASSUMED_REST
    if rest.whole_a > 0 and parking.low_rest_current_a is not None:
        low = min(1.0, parking.low_rest_current_a / rest.whole_a)
    if rest.whole_a > 0 and parking.high_rest_current_a is not None:
        high = max(1.0, parking.high_rest_current_a / rest.whole_a)
    amperes = (quantity(rest.whole_a * factor, "A", 2) for factor in (low, high))
    return Input(
        "rest",
        "what the vehicle draws asleep",
        (low, 1.0, high),
        f"rest current {' to '.join(amperes)}",
        "Measure the whole vehicle's rest current, an hour after locking, over some minutes",
    )


def _awake(a: Assessment) -> Input:
    measured = a.vehicle.parking.awake_current_a is not None
    low, high = (1 - MEASURED_CURRENT, 1 + MEASURED_CURRENT) if measured else ASSUMED_AWAKE
    return Input(
        "awake",
        "what the vehicle draws while awake",
        (low, 1.0, high),
        f"current while awake and at wake-ups × {digits(low, 2)} to {digits(high, 2)}",
        "Follow the current for a night: how long it stays awake, and how often it wakes",
    )


def _accessory(a: Assessment, accessory_id: str) -> Input:
    accessory = next(each for each in a.vehicle.accessories if each.id == accessory_id)
    share = ACCESSORY if accessory.current_spread is None else accessory.current_spread
    return Input(
        f"accessory {accessory_id}",
        f"what {accessory.name} draws",
        (1 - share, 1.0, 1 + share),
        f"what {accessory.name} draws ±{NARROW_SPACE}{percent(share)}",
        f"Measure what {accessory.name} draws while parked",
    )


def _temperature(a: Assessment) -> Input:
    parking = a.vehicle.parking
    typical = parking.temperature_c
    low = typical - WEATHER_K if parking.low_temperature_c is None else parking.low_temperature_c
    high = typical + WEATHER_K if parking.high_temperature_c is None else parking.high_temperature_c
    ends = (min(low, typical), typical, max(high, typical))
    return Input(
        "temperature",
        "the weather",
        ends,
        f"temperature {digits(ends[0])} to {digits(ends[2])}{NARROW_SPACE}°C",
    )


def _start(a: Assessment) -> Input:
    half = a.rule("crank_soc_band")
    return Input(
        "start",
        "the charge a start needs",
        (-half, 0.0, half),
        f"charge needed to start ±{NARROW_SPACE}{percent(half)} of the capacity",
    )
