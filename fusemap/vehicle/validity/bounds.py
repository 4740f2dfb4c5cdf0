"""How large, how small, how many and how long: what one field alone can be.

`span(name)` gives the least and the largest believable figure by a field's name, `MOST` how many
there may be of something; `number_faults` looks at every field of a part and the parts inside it.
Units are those that a field's name ends with. The bounds are ours: wide enough for any road
vehicle, narrow enough that a slip of a decimal point or a hostile file is told.
"""

from collections.abc import Iterator
from functools import cache
from itertools import zip_longest
from math import isfinite
from typing import Any, NamedTuple

from msgspec import Struct

from fusemap.text import Argument, Text, given, say
from fusemap.vehicle import texts
from fusemap.vehicle.model import Vehicle


class Fault(NamedTuple):
    """One thing that makes a vehicle impossible: path to the field, what is wrong, what to do."""

    path: str
    what: Text
    remedy: Text


MOST_ROWS = 60
"""More rows or columns than any fuse panel has; a file that asks for more is not a vehicle."""

MOST_SLOTS = 500
"""Slots of all panels together; a coach has some 300."""

MOST: dict[str, int] = {
    "panels": 40,
    "slots": MOST_SLOTS,
    "fuses_out": 8,
    "feeds": 100,
    "accessories": 120,
    "taps": 300,
    "earths": 100,
    "sockets": 40,
    "pins": 15,
    "further": 12,
    "readings": 20_000,
    "log": 10_000,
    "sign_offs": 1000,
    "timetable": 12,
    "wake_ups": 12,
    "crank_readings": 200,
    "stand_readings": 200,
    "drives": 21,
}
"""How many of something there may be, by the name of the list."""

HUGE = 1e15
"""A number from which on nobody reads its digits."""

MOST_OTHERS = 100
"""How many there may be of what is not in `MOST`."""

# Largest believable figure by the end of a field's name, the first that fits. A numeric field that
# is not here cannot be asked about: tests/vehicle/test_bounds.py finds it.
LARGEST = {
    "rows": MOST_ROWS,
    "columns": MOST_ROWS,
    "row": MOST_ROWS - 1,
    "column": MOST_ROWS - 1,
    "asleep": 5000.0,
    "awake": 5000.0,
    "accessory": 5000.0,
    "ignition": 5000.0,
    "running": 5000.0,
    "locked_at_h": 24.0,
    "start_h": 23.999,
    "_spread": 0.99,
    "from_h": 24.0,
    "to_h": 24.0,
    "minutes": 100_000.0,
    "hours": 17_520.0,
    "_times": 1000.0,
    "_a": 5000.0,
    "_v": 60.0,
    "_mm": 60.0,
    "others": 100,
    "_m": 200.0,
    "_mm2": 400.0,
    "_mohm": 1e6,
    "_ah": 5000.0,
    "_min": 100_000.0,
    "_h": 10_000.0,
    "_s": 1e6,
    "_c": 150.0,
    "_days": 730.0,
    "_years": 100.0,
    "engine_l": 30.0,
    "watts": 50_000.0,
    "output_w": 50_000.0,
    "amperes": 5000.0,
    "rating": 1000.0,
    "duty": 1.0,
    "soh": 1.5,
    "_soc": 1.0,
    "_multiple": 100.0,
    "bundle": 200,
    "number": 15,
    "pin": 15,
    "parallel": 20,
    "share": 0.99,
    "efficiency": 1.0,
    "counts": 10_000.0,
    "across": 2.0,
    "down": 2.0,
    "resolution": 1000.0,
    "up_to": 60_000.0,
    "value": 60_000.0,
    "highest": 60_000.0,
    "passed": 10_000,
    "differing": 10_000,
    "left_open": 10_000,
}

COLDEST_C = -60.0

EITHER_SIGN = ("value", "highest")
"""Of a rule or a reading; what each of them can be is looked at in more detail elsewhere."""

# Least believable figure of what cannot be zero; what is not known is left out.
SMALLEST = {
    "across": -1.0,
    "down": -1.0,
    "section_mm2": 0.01,
    "rating": 0.1,
    "capacity_ah": 0.5,
    "reserve_min": 1.0,
    "cca_a": 1.0,
    "rated_v": 1.0,
    "soh": 0.01,
    "low_soh": 0.01,
    "high_soh": 0.01,
    "measured_cca_a": 1.0,
    "cranking_a": 1.0,
    "engine_l": 0.03,
    "every_h": 0.01,
    "hours": 0.1,
    "mean_a": 1e-4,
    "largest_fuse_a": 0.1,
    "short_s": 0.1,
    "output_w": 0.1,
    "bundle": 1,
    "parallel": 1,
    "number": 1,
    "watts": 1e-6,
    "amperes": 1e-6,
    "off_v": 1.0,
    "on_v": 1.0,
    "resolution": 1e-9,
    "output_v": 1.0,
    "efficiency": 0.1,
}


def number_faults(part: Struct, path: str, known: Struct | None = None) -> Iterator[Fault]:
    """What cannot be in a part and the parts inside it, looked at field by field.

    Numbers that are not finite, negative or beyond belief, text that no file can hold, and more of
    something than could be computed in a reasonable time. `known` is a part without faults: what is
    the very same in both is not looked at again.
    """
    for name in part.__struct_fields__:
        value, before = getattr(part, name), getattr(known, name, None)
        if value is None or value is before or value is True or value is False:
            continue
        if _is_fine(name, value):
            continue
        where = f"{path}.{name}" if path else name
        if isinstance(value, Struct):
            yield from number_faults(value, where, before)
        elif isinstance(value, tuple):
            most = MOST.get(name, MOST_OTHERS)
            if len(value) > most:
                yield _too_many(where, say("{n} are more than can be here", n=len(value)), most)
                continue
            for index, (item, old) in enumerate(zip_longest(value, (before or ())[: len(value)])):
                if isinstance(item, Struct) and item is not old:
                    yield from number_faults(item, f"{where}[{index}]", old)
                elif isinstance(item, str) and item != old:
                    yield from text_faults(item, f"{where}[{index}]")
        elif isinstance(value, str):
            yield from text_faults(value, where)
        else:
            yield from _number_fault(name, value, where)


def _is_fine(name: str, value: Any) -> bool:
    """Whether a value is plain text or a believable number: nearly all are, and a file has many."""
    if isinstance(value, str):
        return texts.is_plain(name, value)
    if isinstance(value, (int, float)):
        least, most = span(name)
        return least <= value <= most
    return False


@cache
def span(name: str) -> tuple[float, float]:
    """The least and the largest believable figure for a field of this name.

    >>> span("length_m"), span("soh")
    ((0.0, 200.0), (0.01, 1.5))
    """
    most = next((top for end, top in LARGEST.items() if name.endswith(end)), None)
    if most is None:
        raise KeyError(name)
    if name in EITHER_SIGN:
        return -most, most
    return (COLDEST_C if name.endswith("_c") else SMALLEST.get(name, 0.0)), most


def _number_fault(name: str, value: float, where: str) -> Iterator[Fault]:
    least, most = span(name)
    if isinstance(value, float) and not isfinite(value):
        yield Fault(
            where,
            say("{value} is not a number", value=str(value)),
            say("enter a number, or leave it out"),
        )
    elif value == 0 and least > 0:
        yield Fault(where, say("it cannot be zero"), say("leave it out where it is not known"))
    elif value < least:
        yield Fault(
            where,
            say(
                "{value} is below {least}, less than this can be",
                value=as_found(value),
                least=given(least),
            ),
            say("enter {least} or more", least=given(least)),
        )
    elif value > most:
        yield Fault(
            where,
            say(
                "{value} is above {most}, more than this can be",
                value=as_found(value),
                most=given(most),
            ),
            say("enter {most} or less", most=given(most)),
        )


def as_found(value: float, unit: str = "") -> Argument:
    """A number for a message; one that would fill the line with digits is only called huge."""
    return given(value, unit) if abs(value) < HUGE else say("a huge number")


def text_faults(text: str, path: str) -> Iterator[Fault]:
    """Text that is too long for the field it is in, or has signs in it that nobody sees."""
    for what, remedy in texts.text_faults(path.rpartition(".")[2], text):
        yield Fault(path, what, remedy)


def count_faults(vehicle: Vehicle) -> Iterator[Fault]:
    """More slots on all panels together than any vehicle has."""
    slots = 0
    for index, panel in enumerate(vehicle.panels):
        slots += len(panel.slots)
        if slots > MOST_SLOTS:
            what = say("{n} slots of all panels are more than can be here", n=slots)
            yield _too_many(f"panels[{index}].slots", what, MOST_SLOTS)
            return


def _too_many(path: str, what: Text, most: int) -> Fault:
    return Fault(path, what, say("there may be {n}", n=most))
