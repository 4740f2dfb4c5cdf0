"""What a start followed with a meter cannot be, and what a battery cannot be with it.

In: a battery, or one crank reading of it. Out: faults. The bounds are ours: they tell a reading
that was taken of something else, of a whole 24 V system or of the starter's first dip.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.text import given, say
from fusemap.vehicle.model import Battery
from fusemap.vehicle.parts import CrankReading
from fusemap.vehicle.validity.bounds import Fault, as_found
from fusemap.vehicle.validity.parts import is_time, range_faults

LEAST_DROP_V: Final = 0.3
"""A drop below this [V] did not crank the engine: another battery or a belt did."""
CRANKING_V: Final = (6.0, 12.0)
"""Volts of a 12 V battery between which it can be cranking [V]."""
REST_V: Final = (10.0, 14.5)
"""Volts of a 12 V battery between which it can be at rest [V]; LiFePO4 has up to 13.6."""


def battery_faults(battery: Battery, path: str) -> Iterator[Fault]:
    """Ranges that are upside down, and readings that cannot be of a start."""
    yield from range_faults(battery, path)
    for index, reading in enumerate(battery.crank_readings):
        yield from crank_reading_faults(reading, f"{path}.crank_readings[{index}]")


def crank_reading_faults(reading: CrankReading, path: str) -> Iterator[Fault]:
    """A reading of no battery at rest, of no cranking, or of the first dip alone."""
    least, most = REST_V
    if not least <= reading.rest_v <= most:
        yield Fault(
            f"{path}.rest_v",
            say(
                "{volts} is no rest voltage of a 12 V battery",
                volts=as_found(reading.rest_v, "V"),
            ),
            say("measure it before the start; of a 24 V pair measure each battery by itself"),
        )
        return
    if reading.response == "fast":
        yield Fault(
            f"{path}.response",
            say("a meter this fast shows the first dip of the starter, not the cranking voltage"),
            say("use the slower MIN, or read the display while the engine turns for a second"),
        )
    yield from _crank_faults(reading, f"{path}.crank_v")
    if reading.when and not is_time(reading.when):
        yield Fault(
            f"{path}.when",
            say("“{when}” is no date or time", when=reading.when[:40]),
            say("write it like {example}", example="2025-05-17T18:30"),
        )


def _crank_faults(reading: CrankReading, path: str) -> Iterator[Fault]:
    least, most = CRANKING_V
    found = as_found(reading.crank_v, "V")
    if reading.crank_v < least:
        yield Fault(
            path,
            say("{volts} is less than an engine turns at", volts=found),
            say("that is the starter’s first dip, or it did not turn: measure again"),
        )
    elif reading.crank_v > most or reading.crank_v >= reading.rest_v - LEAST_DROP_V:
        yield Fault(
            path,
            say(
                "{volts} is hardly below the rest voltage: this battery did not crank",
                volts=found,
            ),
            say(
                "enter the lowest voltage while the starter turned, {drop} or more below; some "
                "engines are turned by a belt from another battery",
                drop=given(LEAST_DROP_V, "V"),
            ),
        )
