"""What a start followed with a meter, or a standing, cannot be, and no battery with it.

In: a battery, or one reading of it. Out: faults. The bounds are ours: they tell a reading
that was taken of something else, of a whole 24 V system or of the starter's first dip.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.text import given, say
from fusemap.vehicle.model import Battery
from fusemap.vehicle.parts import CrankReading, StandReading
from fusemap.vehicle.validity.bounds import Fault, as_found
from fusemap.vehicle.validity.parts import is_time, range_faults

LEAST_DROP_V: Final = 0.3
"""A drop below this [V] did not crank the engine: another battery or a belt did."""
CRANKING_V: Final = (6.0, 12.0)
"""Volts of a 12 V battery between which it can be cranking [V]."""
AIR_C: Final = (-50.0, 60.0)
"""Between which it is outdoors, and under a bonnet that is cold [°C]."""
REST_V: Final = (10.0, 14.5)
"""Volts of a 12 V battery between which it can be at rest [V]; LiFePO4 has up to 13.6."""


def battery_faults(battery: Battery, path: str) -> Iterator[Fault]:
    """Ranges that are upside down, and readings that cannot be of a start."""
    yield from range_faults(battery, path)
    for index, reading in enumerate(battery.crank_readings):
        yield from crank_reading_faults(reading, f"{path}.crank_readings[{index}]")
    for index, showed in enumerate(battery.stand_readings):
        yield from stand_reading_faults(showed, f"{path}.stand_readings[{index}]")


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
    coldest, hottest = AIR_C
    if not coldest <= reading.temperature_c <= hottest:
        yield Fault(
            f"{path}.temperature_c",
            say(
                "{temperature} is no temperature of a battery outdoors",
                temperature=as_found(reading.temperature_c, "°C"),
            ),
            say("enter the air’s temperature when it was started"),
        )
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


LEAST_APART_H: Final = 12.0
"""Rest readings nearer together than this [h] tell of the meter alone, ours."""
LEAST_NIGHT_H: Final = 2.0
"""A current followed for less than this [h] misses what wakes now and then, ours."""
RISE_V: Final = 0.05
"""A battery that only stands is read no higher than this later [V]: the meter's last digits."""


def stand_reading_faults(reading: StandReading, path: str) -> Iterator[Fault]:
    """What no standing shows: a figure left out, volts that rise by themselves, no time."""
    if reading.when and not is_time(reading.when):
        yield Fault(
            f"{path}.when",
            say("“{when}” is no date or time", when=reading.when[:40]),
            say("write it like {example}", example="2025-05-17T18:30"),
        )
    for name in ("rest_v", "later_v"):
        volts = getattr(reading, name)
        if volts is not None and not REST_V[0] <= volts <= REST_V[1]:
            yield Fault(
                f"{path}.{name}",
                say("{volts} is no rest voltage of a 12 V battery", volts=as_found(volts, "V")),
                say("of a 24 V pair measure each battery by itself"),
            )
    yield from _KINDS[reading.kind](reading, path)


def _left_out(path: str) -> Fault:
    return Fault(path, say("it was left out"), say("enter what was read"))


def _rests(reading: StandReading, path: str) -> Iterator[Fault]:
    for name in ("rest_v", "later_v"):
        if getattr(reading, name) is None:
            yield _left_out(f"{path}.{name}")
    if reading.hours < LEAST_APART_H:
        yield Fault(
            f"{path}.hours",
            say("{time} is too short to see a battery sink", time=as_found(reading.hours, "h")),
            say("leave {time} or more between, better some days", time=given(LEAST_APART_H, "h")),
        )
    first, later = reading.rest_v, reading.later_v
    if first is not None and later is not None and later > first + RISE_V:
        yield Fault(
            f"{path}.later_v",
            say("a battery that only stands does not fill itself"),
            say("something charged it meanwhile: take both readings of one standing"),
        )


def _night(reading: StandReading, path: str) -> Iterator[Fault]:
    if reading.mean_a is None:
        yield _left_out(f"{path}.mean_a")
    if reading.hours < LEAST_NIGHT_H:
        yield Fault(
            f"{path}.hours",
            say("{time} misses what wakes now and then", time=as_found(reading.hours, "h")),
            say("follow the current for {time} or more", time=given(LEAST_NIGHT_H, "h")),
        )


def _start(reading: StandReading, path: str) -> Iterator[Fault]:
    if reading.started is None:
        yield _left_out(f"{path}.started")


_KINDS: Final = {"rests": _rests, "night": _night, "start": _start}
