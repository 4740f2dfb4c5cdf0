"""One end of everything that flows: what is known of it, or the most that it may be.

In: a circuit and its currents. Out: both, and what stands above each tap in a short circuit.
"""

from functools import cached_property

import numpy as np
from msgspec import Struct

from fusemap.assess.currents import Circuit, Currents, feeds_downwards
from fusemap.assess.result import FeedFigures, Floats, SlotFigures, TapFigures
from fusemap.assess.sources import STARTER


class End(Struct, frozen=True, eq=False, dict=True):
    """One end of everything that flows: the circuit it flows in, and the currents."""

    circuit: Circuit
    currents: Currents

    @property
    def slots(self) -> SlotFigures:
        """Currents and limits at the slots."""
        return self.currents.slots

    @property
    def feeds(self) -> FeedFigures:
        """Currents, limits and voltages of the feeds."""
        return self.currents.feeds

    @property
    def taps(self) -> TapFigures:
        """Currents and voltages of the taps."""
        return self.currents.taps

    @cached_property
    def upstream_ohm(self) -> Floats:
        """Resistance above each tap during a short [Ω, (taps,)]."""
        return upstream_ohm(self.circuit)


def upstream_ohm(c: Circuit) -> Floats:
    """Resistance [Ω] above each tap during a short: source, feeds, slot, and its own joints.

    Where the host fuse carries the accessory, that fuse and the second contact count too.
    """
    total = c.inner_ohm()
    for column in feeds_downwards(c.feeds):
        total[column] = total[int(c.feeds.parent[column])] + float(c.feeds.ohm[column])
    on = c.taps.slot >= 0
    feed = np.where(on, c.slots.feed[c.taps.slot] if on.any() else STARTER, c.taps.feed)
    found = np.array([total[int(column)] for column in feed], dtype=float)
    found[on] += c.live_ohm[c.taps.slot[on]]
    through = on & (c.taps.through_host > 0)
    found[through] += c.host_ohm[c.taps.slot[through]]
    return found + c.cables.fixed_ohm


def fault_a(c: Circuit) -> Floats:
    """Current in a short at the far end of each tap's cable [A, (taps,)], NaN without a cable."""
    ohm = c.cables.fault_ohm + upstream_ohm(c)
    return np.where(c.cables.out.given, c.fault_v_at(c.tap_roots) / ohm, np.nan)
