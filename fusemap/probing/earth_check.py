"""The earth points under their load: what each costs with all at work that goes back by it.

In: the planned vehicle, assessed. Out: one step of the check for each point in use, and what a
reading of it comes to as a resistance. The battery's own post has nothing to measure against.
"""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment
from fusemap.probing.check_step import LOAD_SPREAD, CheckStep, Expected
from fusemap.text import Amount, Text, in_row, say
from fusemap.vehicle import STATES, EarthPoint, State, Tap, Vehicle, look_up

FLOOR_MV = 5.0
"""A drop up to this is good whatever was predicted [mV]: less than a motor's point may cost; ours.
"""


def taps_by(vehicle: Vehicle, earth_id: str) -> tuple[Tap, ...]:
    """The leads whose current goes back by an earth point."""
    return tuple(tap for tap in vehicle.taps if tap.earth == earth_id)


def loaded(a: Assessment, earth_id: str) -> tuple[float, State]:
    """What goes back by a point at most [A], and in which state."""
    columns = [a.taps.index[tap.id] for tap in taps_by(a.vehicle, earth_id)]
    together = a.taps.current_a[:, columns].sum(axis=1)
    row = int(np.argmax(together))
    return float(together[row]), STATES[row]


def step_of(vehicle: Vehicle, a: Assessment, tap: Tap) -> Iterator[CheckStep]:
    """The loaded test of the earth point of a lead; none where it has none that can be tested."""
    if tap.earth is None:
        return
    point = look_up.earth(vehicle, tap.earth)
    current, state = loaded(a, point.id)
    if point.kind == "battery_minus" or current <= 0:
        return
    names = in_row(
        dict.fromkeys(
            look_up.accessory(vehicle, each.accessory).name for each in taps_by(vehicle, point.id)
        )
    )
    yield CheckStep(
        "earth_point",
        say("Earth point “{name}”: drop, loaded", name=point.name),
        say(
            "Meter from the bolt of “{name}” to the battery’s minus, with all at work that goes "
            "back there: {names}.",
            name=point.name,
            names=names,
        ),
        "earth_millivolts",
        "mV",
        state,
        "earth",
        point.id,
        expected(a, point, current),
    )


def expected(a: Assessment, point: EarthPoint, current_a: float) -> Expected:
    """The drop to expect [mV]: of what was measured of the point, else of the rule for a body."""
    ohm = point.resistance_mohm
    if ohm is None:
        ohm = a.rule("body_return_mohm")
    drop = current_a * ohm
    return Expected(drop, 0.0, max(FLOOR_MV, drop * (1 + LOAD_SPREAD)))


def resistance_mohm(a: Assessment, earth_id: str, drop_mv: float) -> float | None:
    """What a drop [mV] says of a point, by what the plan lets go back there [mΩ]; Ohm's law."""
    current, _ = loaded(a, earth_id)
    return None if current <= 0 else drop_mv / current


def taken_words(ohm_m: float) -> Text:
    """What is taken into the plan, in words."""
    return say("Take {value} into the plan", value=Amount(ohm_m, "mΩ", significant=2))
