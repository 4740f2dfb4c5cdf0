"""The whole of what is computed about one vehicle, in one frozen object."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from fusemap.assess.chain import chains
from fusemap.assess.parked import parked_figures
from fusemap.assess.result import (
    Chain,
    FeedFigures,
    Floats,
    ParkedFigures,
    RuleValue,
    SlotFigures,
    TapFigures,
)
from fusemap.vehicle import Vehicle


@dataclass(frozen=True, eq=False)
class Assessment:
    """Everything computed about one vehicle; the costly parts when they are first asked for.

    `battery_a` and `battery_v` [(states,)] are the current out of the battery (or the alternator
    while the engine runs) and the voltage at its terminals.
    """

    vehicle: Vehicle
    rules: Mapping[str, RuleValue]
    slots: SlotFigures
    feeds: FeedFigures
    taps: TapFigures
    battery_a: Floats
    battery_v: Floats

    @cached_property
    def parked(self) -> ParkedFigures:
        """The parked forecast."""
        return parked_figures(self)

    @cached_property
    def chains(self) -> Mapping[str, Chain]:
        """The chain of every tap, by tap id."""
        return chains(self)

    def rule(self, key: str) -> float:
        """The value of a named rule for this vehicle."""
        return self.rules[key].value
