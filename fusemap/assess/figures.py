"""What is reckoned for every vehicle at once: rules, circuit, currents; all else is made of these.

The base of `Assessment`: whatever is reckoned on, hop or forecast, takes `Figures` and imports
nothing that stands above them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from fusemap.assess.currents import Circuit, Currents
from fusemap.assess.fault_path import upstream_ohm
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
