"""What is reckoned for every vehicle at once: rules, and both ends of all that flows.

The base of `Assessment`: whatever is reckoned on, hop or forecast, takes `Figures` and imports
nothing that stands above them. `known` is the end that is known, and what is meant where nothing is
said of ends; `most` is the most that may be.
"""

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from fusemap.assess.currents import Circuit, Currents
from fusemap.assess.end import End
from fusemap.assess.ends import Unseen, unseen
from fusemap.assess.result import FeedFigures, Floats, RuleValue, SlotFigures, TapFigures
from fusemap.vehicle import FeedClass, Vehicle


class Figures(Struct, frozen=True, eq=False, dict=True):
    """Rules, currents and voltages of one vehicle in all its states."""

    vehicle: Vehicle
    rules: Mapping[str, RuleValue]
    known: End
    most: End

    def rule(self, key: str) -> float:
        """The value of a named rule for this vehicle."""
        return self.rules[key].value

    @cached_property
    def rule_values(self) -> dict[str, float]:
        """The values of all named rules."""
        return {key: rule.value for key, rule in self.rules.items()}

    @property
    def circuit(self) -> Circuit:
        """The gathered arrays, as far as is known."""
        return self.known.circuit

    @property
    def currents(self) -> Currents:
        """All that flows, as far as is known."""
        return self.known.currents

    @property
    def slots(self) -> SlotFigures:
        """Currents and limits at the slots, as far as is known."""
        return self.known.slots

    @property
    def feeds(self) -> FeedFigures:
        """Currents, limits and voltages of the feeds, as far as is known."""
        return self.known.feeds

    @property
    def taps(self) -> TapFigures:
        """Currents and voltages of the taps, as far as is known."""
        return self.known.taps

    @property
    def battery_a(self) -> Floats:
        """Current out of the battery, or the alternator while the engine runs [A, (states,)]."""
        return self.currents.battery_a

    @property
    def battery_v(self) -> Floats:
        """Voltage at the battery's terminals [V, (states,)]."""
        return self.currents.battery_v

    @property
    def upstream_ohm(self) -> Floats:
        """Resistance above each tap during a short [Ω, (taps,)], as far as is known."""
        return self.known.upstream_ohm

    @cached_property
    def unseen(self) -> Mapping[FeedClass, Unseen]:
        """What the slots ask together whose feed nobody knows, by class."""
        return unseen(self.known, self.most)
