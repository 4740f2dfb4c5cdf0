"""The way of a short circuit: resistance above each tap, current at the far end of its cable.

In: the gathered circuit. Out: arrays [(taps,)].
"""

import numpy as np

from fusemap.assess.currents import Circuit, host_ohm
from fusemap.assess.result import Floats


def upstream_ohm(c: Circuit) -> Floats:
    """Resistance [Ω] above each tap during a short: source, feeds, slot, and its own joints.

    Where the host fuse carries the accessory, that fuse and the second contact count too.
    """
    total = {-1: c.source_ohm}
    for column in _feeds_downwards(c):
        total[column] = total[int(c.feeds.parent[column])] + float(c.feeds.ohm[column])
    on = c.taps.slot >= 0
    feed = np.where(on, c.slots.feed[c.taps.slot] if on.any() else -1, c.taps.feed)
    found = np.array([total[int(column)] for column in feed], dtype=float)
    found[on] += c.contact_ohm
    through = on & (c.taps.through_host > 0)
    found[through] += host_ohm(c, c.taps.slot[through])
    return found + c.cables.fixed_ohm


def fault_a(c: Circuit) -> Floats:
    """Current in a short at the far end of each tap's cable [A, (taps,)], NaN without a cable."""
    ohm = c.cables.fault_ohm() + upstream_ohm(c)
    return np.where(c.cables.out.given, c.fault_v / ohm, np.nan)


def _feeds_downwards(c: Circuit) -> list[int]:
    """Columns of the feeds, every parent before what hangs on it."""
    order: list[int] = []
    left = set(range(len(c.feeds.ids)))
    while left:
        ready = sorted(i for i in left if int(c.feeds.parent[i]) not in left)
        order.extend(ready)
        left -= set(ready)
    return order
