"""What is on the shelf and has no source yet, reckoned as if it hung on the battery, live always.

In: an assessed vehicle. Out: the ids of what is not placed, and the figures of the same vehicle
with a feed of its own, straight from the battery, for each: what is not known is never nothing.
"""

from __future__ import annotations

from typing import Final

from msgspec.structs import replace

from fusemap.assess.currents import circuit
from fusemap.assess.ends import known_end
from fusemap.assess.figures import Figures
from fusemap.vehicle import Tap, Vehicle

RECKONED: Final = "reckoned-"
"""How the id of a tap begins that only the forecast has."""


def not_placed(vehicle: Vehicle) -> tuple[str, ...]:
    """The ids of the accessories whose power lead has no source yet."""
    placed = {tap.accessory for tap in vehicle.taps if tap.lead == "power"}
    return tuple(
        each.id
        for each in vehicle.accessories
        if each.id not in placed and each.supplied_by is None
    )


def with_all(a: Figures, unplaced: tuple[str, ...]) -> Figures:
    """The figures with a feed of its own, from the battery, for everything not placed yet."""
    if not unplaced:
        return a
    more = tuple(Tap(id=f"{RECKONED}{key}", accessory=key, kind="own_feed") for key in unplaced)
    vehicle = replace(a.vehicle, taps=(*a.vehicle.taps, *more))
    known = known_end(circuit(vehicle, a.rule_values))
    return Figures(vehicle, a.rules, known, known)
