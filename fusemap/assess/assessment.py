"""The whole of what is computed about one vehicle, in one frozen object."""

from collections.abc import Mapping
from functools import cached_property

import numpy as np

from fusemap.assess.chain import Chains
from fusemap.assess.doubts import Doubt
from fusemap.assess.hops import hop_figures
from fusemap.assess.hops.feed import feed_hop_figures
from fusemap.assess.hops.kind import HopFigures
from fusemap.assess.hops.limit import Beside
from fusemap.assess.hops.link import link_hops
from fusemap.assess.hops.output import output_hops
from fusemap.assess.parked.band import AsPlanned, ParkedBand, as_planned, parked_band
from fusemap.assess.parked.figures import ParkedFigures
from fusemap.assess.parked.forecasting import parked_figures
from fusemap.assess.parked.standing import Parked
from fusemap.assess.result import Floats, HopKey
from fusemap.assess.sure import Wanted, doubts, measure_next


class Assessment(Parked, frozen=True, eq=False, dict=True):
    """Everything computed about one vehicle; the costly parts when they are first asked for."""

    @cached_property
    def hops(self) -> Mapping[HopKey, HopFigures]:
        """Every kind of hop for all taps, in the order of the current; none without a tap."""
        return hop_figures(self)

    @cached_property
    def feed_hops(self) -> Mapping[HopKey, HopFigures]:
        """The limits of added feeds' cables, for all feeds; none where no feed was added."""
        return feed_hop_figures(self)

    @cached_property
    def beside(self) -> Beside:
        """All limits beside the taps' own: feeds' cables, leads behind converters, the link."""
        return Beside(self.feed_hops, output_hops(self), link_hops(self))

    @cached_property
    def chains(self) -> Chains:
        """The chain of every tap, by tap id."""
        return Chains(self, self.hops, self.beside)

    @cached_property
    def doubts(self) -> tuple[Doubt, ...]:
        """Everything in use that may pass a limit, and does not by what is known."""
        return doubts(self, self.hops, self.beside)

    @cached_property
    def measure_next(self) -> tuple[Wanted, ...]:
        """The answers that would settle these, the cheapest first."""
        return measure_next(self, self.hops, self.beside)

    @cached_property
    def warm_ohm(self) -> Floats:
        """Resistance of the taps' conductors under the load of each state [Ω, (states, 2, taps)].

        The second axis is out and back.
        """
        loads = self.taps.current_a
        return np.stack([self.circuit.cables.conductor_ohm(each) for each in loads])

    @cached_property
    def parked(self) -> ParkedFigures:
        """The parked forecast."""
        return parked_figures(self)

    @cached_property
    def band(self) -> ParkedBand:
        """How sure that forecast is: the same for many vehicles that could be this one."""
        return parked_band(self)

    @cached_property
    def as_planned(self) -> AsPlanned:
        """How the time planned ends, known before the band."""
        return as_planned(self)

    @property
    def chance(self) -> float:
        """Share of such vehicles that start after the time planned [-]."""
        return self.as_planned.chance
