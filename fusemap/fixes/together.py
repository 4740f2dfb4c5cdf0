"""Several changes that would help, done together: the vehicle after them, and what each one adds.

In: an assessed vehicle and `WhatIf`s of it. Out: the vehicle with all of them, and hours gained, in
the order in which they were chosen; of the others what each would add on top.
"""

from collections.abc import Iterable, Iterator
from typing import Final

from fusemap.assess import Assessment, assess
from fusemap.errors import FusemapError
from fusemap.fixes.what_if import WhatIf, gained_h
from fusemap.vehicle import Vehicle

CHARGED: Final = "charged"
"""The key of the change that charges the battery before it is parked."""


def with_all(vehicle: Vehicle, changes: Iterable[WhatIf]) -> Vehicle:
    """The vehicle with every one of these done to it, whatever the order they were chosen in.

    A new battery comes as full as the old one: it is charged after it is in. Raises FusemapError
    where one cannot be done after those before it.
    """
    for each in sorted(changes, key=lambda each: each.key == CHARGED):
        vehicle = each.edit(vehicle)
    return vehicle


def gains(
    a: Assessment, chosen: tuple[WhatIf, ...], others: Iterable[WhatIf]
) -> Iterator[tuple[str, float]]:
    """What each change gains [h], by its key: a chosen one over those chosen before it.

    Each of the `others` is tried on top of all that are chosen; nothing is said of one that cannot
    be done there.
    """
    before = a.parked
    for count, each in enumerate(chosen, start=1):
        after = assess(with_all(a.vehicle, chosen[:count])).parked
        yield each.key, gained_h(before, after)
        before = after
    for each in others:
        try:
            after = assess(with_all(a.vehicle, (*chosen, each))).parked
        except FusemapError:
            continue
        yield each.key, max(0.0, gained_h(before, after))
