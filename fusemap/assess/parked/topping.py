"""What charges a parked battery, and when it may not: the drive battery, LiFePO4 in the frost.

In: an assessed vehicle. Out: what the drive battery of an electric car gives to the 12 V battery,
for how long at a time and how often, with how far that may be off; whether a battery is charged at
a temperature [°C]. The times are published, the current is from memory (table of starts).
"""

from __future__ import annotations

from typing import Final

import numpy as np
from msgspec import Struct

from fusemap import tables
from fusemap.assess.figures import Figures
from fusemap.electrics.spread import Range
from fusemap.electrics.values import Truths, Values
from fusemap.text import Amount, Text, given, say

TOPPED_UP: Final = "Drive battery"
TOPPING: Final = "topping up"
"""The key of what the drive battery gives."""
ENTERED: Final = 0.10
"""Share by which entered times and currents may be off."""
LITHIUM_FROM_C: Final = 0.0
"""At less than this a LiFePO4 is not charged [°C]; common practice."""


class TopUp(Struct, frozen=True):
    """What the drive battery gives in all [Ah], how far that may be off, and what was assumed.

    `times` [-] it gives `amps` [A] for `minutes` [min].
    """

    ah: float
    minutes: float
    times: float
    amps: float
    factors: Range
    words: Text


def top_up(a: Figures) -> TopUp | None:
    """What the drive battery gives while it stands; `None` where it does not, or nobody said so."""
    parking = a.vehicle.parking
    if parking.starts_by != "contactors" or parking.topped_up != "yes":
        return None
    entered = (parking.top_up_min, parking.top_up_times, parking.top_up_a)
    usual = [tables.start_fact(key) for key in ("top_up_min", "top_up_times", "top_up_a")]
    pairs = list(zip(entered, usual, strict=True))
    minutes, times, amps = (x.value if each is None else each for each, x in pairs)
    amps_fact = usual[2]
    low, high = 1 - ENTERED, 1 + ENTERED
    if parking.top_up_a is None:
        low, high = amps_fact.low / amps_fact.value, amps_fact.high / amps_fact.value
    words = say(
        "the drive battery tops it up {times} times for {time} with {current}, not more",
        times=Amount(times),
        time=given(minutes, "min"),
        current=Amount(amps, "A"),
    )
    return TopUp(minutes / 60.0 * times * amps, minutes, times, amps, (low, 1.0, high), words)


def top_up_words(a: Figures) -> Text | None:
    """What is counted of it, or that nobody was asked; nothing where an engine is cranked."""
    parking = a.vehicle.parking
    if parking.starts_by != "contactors":
        return None
    found = top_up(a)
    if found is not None:
        return found.words
    if parking.topped_up == "no":
        return None
    return say("whether the drive battery tops the 12 V battery up is not known: not counted on")


def may_charge(chemistry: str, temperature_c: Values) -> Truths:
    """Whether a battery is charged at a temperature [°C]: a LiFePO4 below freezing is not."""
    if chemistry != "lifepo4":
        return np.full(np.shape(temperature_c), True)
    return np.asarray(temperature_c) >= LITHIUM_FROM_C
