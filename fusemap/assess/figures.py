"""What is reckoned for every vehicle at once: rules, circuit, currents; all else is made of these.

The base of `Assessment`: whatever is reckoned on, hop or forecast, takes `Figures` and imports
nothing that stands above them. With it the way of a short circuit: resistance above each tap and
current at the far end of its cable, as arrays [(taps,)].
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fusemap.assess.currents import Circuit, Currents, host_ohm
from fusemap.assess.result import FeedFigures, Floats, RuleValue, SlotFigures, TapFigures
from fusemap.vehicle import Vehicle


@dataclass(frozen=True, eq=False)
class Figures:
    """Rules, currents and voltages of one vehicle in all its states."""

    vehicle: Vehicle
    rules: Mapping[str, RuleValue]
    circuit: Circuit
    currents: Currents

    def rule(self, key: str) -> float:
        """The value of a named rule for this vehicle."""
        return self.rules[key].value

    @cached_property
    def rule_values(self) -> dict[str, float]:
        """The values of all named rules."""
        return {key: rule.value for key, rule in self.rules.items()}

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

    @property
    def battery_a(self) -> Floats:
        """Current out of the battery, or the alternator while the engine runs [A, (states,)]."""
        return self.currents.battery_a

    @property
    def battery_v(self) -> Floats:
        """Voltage at the battery's terminals [V, (states,)]."""
        return self.currents.battery_v

    @cached_property
    def upstream_ohm(self) -> Floats:
        """Resistance above each tap during a short [Ω, (taps,)]."""
        return upstream_ohm(self.circuit)


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
