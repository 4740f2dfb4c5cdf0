"""One tap with everything its words are taken from, and the words that all hops share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fusemap.assess import facts
from fusemap.assess.result import Basis
from fusemap.electrics.cable import awg_name, nearest_awg
from fusemap.units import quantity
from fusemap.vehicle import Accessory, Cable, Fuse, Tap

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment

KIRCHHOFF = "currents at a junction add up (Kirchhoff's current law)"
TAP_WORDS = {
    "two_fuse": "Two-fuse tap",
    "take_off_lead": "Fuse with take-off lead",
    "splice": "Splice",
    "own_feed": "Own feed",
}
WAY_WORDS = {"live_side": "on the live side", "load_side": "on the load side (reversed)"}


@dataclass(frozen=True, eq=False)
class View:
    """One tap with everything its words are taken from."""

    assessment: Assessment
    tap: Tap
    column: int

    @property
    def accessory(self) -> Accessory:
        """The accessory it supplies."""
        return self.assessment.circuit.taps.accessories[self.column]

    @property
    def rating(self) -> Fuse | None:
        """The fuse that protects the cable."""
        return self.assessment.circuit.cables.protecting[self.column]

    def rule(self, key: str) -> tuple[str, str]:
        """A named rule as an input of a sum."""
        rule = self.assessment.rules[key]
        return rule.label, quantity(rule.value, rule.unit) if rule.unit else f"{rule.value:g}"

    def figure(self, key: str) -> tuple[float, float]:
        """Load and limit of a hop."""
        hop = self.assessment.hops[key]
        return float(hop.load[self.column]), float(hop.limit[self.column])


def fuse_words(fuse: Fuse) -> str:
    """A fuse as people say it: "10 A mini"."""
    return f"{fuse.rating:g} A {facts.family_name(fuse.family)}"


def cable_words(cable: Cable) -> str:
    """A cable with both gauges: "1.5 mm² (AWG 15), 2.5 m"."""
    awg = awg_name(int(nearest_awg(cable.section_mm2)))
    return f"{cable.section_mm2:g} mm² (about AWG {awg}), {cable.length_m:g} m"


Words = tuple[str, str, Basis]
"""Title, quantity and basis of a hop."""
