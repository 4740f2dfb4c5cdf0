"""Accessories that hang on converters, and which voltage suits which supply.

In: a vehicle, or its accessories. Out: what hangs on what, and whether a rated voltage [V] suits
the voltage [V] offered.
"""

from collections.abc import Iterable, Iterator
from typing import Final, Literal

from fusemap.text import say
from fusemap.vehicle.model import Accessory, Vehicle

Misfit = Literal["", "too_low", "too_high"]
TOO_LOW: Final = 0.67
TOO_HIGH: Final = 1.5
"""Rated voltage over the supply's from which on an accessory is made for another supply [-]: a
12 V accessory is rated up to 16 V, one for 24 V from 18 V on."""

NEVER_THE_MIDDLE: Final = say(
    "never take 12 V from the middle of two batteries: one of them is overcharged, the other runs "
    "flat"
)


def misfit(rated_v: float, supply_v: float) -> Misfit:
    """Whether an accessory's rated voltage [V] is far off the supply's [V].

    >>> misfit(13.8, 24.0), misfit(27.6, 24.0), misfit(24.0, 12.0)
    ('too_low', '', 'too_high')
    """
    ratio = rated_v / supply_v
    return "too_low" if ratio <= TOO_LOW else "too_high" if ratio >= TOO_HIGH else ""


def converters(vehicle: Vehicle) -> tuple[Accessory, ...]:
    """The accessories that can supply others."""
    return tuple(each for each in vehicle.accessories if each.converter is not None)


def hanging_on(vehicle: Vehicle, converter_id: str) -> tuple[Accessory, ...]:
    """The accessories whose power comes straight from a converter."""
    return tuple(each for each in vehicle.accessories if each.supplied_by == converter_id)


def above(vehicle: Vehicle, accessory: Accessory) -> Iterator[Accessory]:
    """The converters above an accessory, the nearest first; it ends where a link leads nowhere."""
    by_id = {each.id: each for each in vehicle.accessories}
    seen = {accessory.id}
    while accessory.supplied_by in by_id and accessory.supplied_by not in seen:
        accessory = by_id[accessory.supplied_by]
        seen.add(accessory.id)
        yield accessory


def loop(accessories: Iterable[Accessory]) -> str | None:
    """The id of a converter that would, over others, supply itself; `None` when there is none."""
    parent = {each.id: each.supplied_by for each in accessories if each.supplied_by is not None}
    for start in parent:
        at = parent.get(start)
        seen = {start}
        while at is not None and at not in seen:
            seen.add(at)
            at = parent.get(at)
        if at == start:
            return start
    return None
