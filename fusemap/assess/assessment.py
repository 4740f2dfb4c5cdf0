"""The whole of what is computed about one vehicle, in one frozen object."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from fusemap.assess.chain import Chains
from fusemap.assess.currents import Circuit, Currents
from fusemap.assess.hops import HopFigures, Setting, hop_figures, upstream_ohm
from fusemap.assess.parked.band import ParkedBand, parked_band
from fusemap.assess.parked.figures import ParkedFigures
from fusemap.assess.parked.forecasting import parked_figures
from fusemap.assess.parked.week import WeekFigures, week_figures
from fusemap.assess.result import (
    Chain,
    FeedFigures,
    Floats,
    RuleValue,
    SlotFigures,
    TapFigures,
)
from fusemap.vehicle import Vehicle


@dataclass(frozen=True, eq=False)
class Assessment:
    """Everything computed about one vehicle; the costly parts when they are first asked for."""

    vehicle: Vehicle
    rules: Mapping[str, RuleValue]
    circuit: Circuit
    currents: Currents

    def rule(self, key: str) -> float:
        """The value of a named rule for this vehicle."""
        return self.rules[key].value

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
    def hops(self) -> Mapping[str, HopFigures]:
        """Every kind of hop for all taps, in the order of the current."""
        values = {key: rule.value for key, rule in self.rules.items()}
        return hop_figures(Setting(self.circuit, self.currents, values, self.vehicle.system_v))

    @cached_property
    def upstream_ohm(self) -> Floats:
        """Resistance above each tap during a short [Ω, (taps,)]."""
        return upstream_ohm(self.circuit)

    @cached_property
    def chains(self) -> Mapping[str, Chain]:
        """The chain of every tap, by tap id."""
        return Chains(self)

    @cached_property
    def parked(self) -> ParkedFigures:
        """The parked forecast."""
        return parked_figures(self)

    @cached_property
    def band(self) -> ParkedBand:
        """How sure that forecast is: the same for many vehicles that could be this one."""
        return parked_band(self)

    @cached_property
    def week(self) -> WeekFigures | None:
        """The usual week of drives, `None` without any. Raises InputProblem where they overlap."""
        return week_figures(self)
