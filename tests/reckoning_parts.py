"""Single parts of a vehicle, reckoned a second time: loads, fuses, cables along their way.

Nothing of the program is imported.
"""

from dataclasses import dataclass, field
from typing import Any

from tests import reckoning_tables as tables
from tests.reckoning_network import Network

INF = float("inf")
POWERS = {
    "constant_power": -1.0,
    "constant_current": 0.0,
    "motor": 0.0,
    "resistive": 1.0,
    "filament": 0.55,
}
"""How a load's current follows its voltage."""

Solved = tuple[Network, dict[str, float], dict[str, float]]
"""A network with the voltages [V] and the currents into its nodes [A]."""


@dataclass
class Found:
    """What one place bears, and may bear; `at_least` where it must not be less than its limit."""

    load: float
    limit: float
    at_least: bool = False

    def fails(self, slack: float = 1e-9) -> bool:
        """Whether it passes the limit by more than a share of it."""
        over = self.limit - self.load if self.at_least else self.load - self.limit
        return bool(over > slack * max(1.0, abs(self.limit)))


@dataclass
class Reckoned:
    """Figures by state and id, and what is held against a limit: (hop, id) → found."""

    taps_a: dict[str, dict[str, float]] = field(default_factory=dict)
    taps_v: dict[str, dict[str, float]] = field(default_factory=dict)
    feeds_a: dict[str, dict[str, float]] = field(default_factory=dict)
    battery_v: dict[str, float] = field(default_factory=dict)
    battery_a: dict[str, float] = field(default_factory=dict)
    second_v: dict[str, float] = field(default_factory=dict)
    second_a: dict[str, float] = field(default_factory=dict)
    held: dict[tuple[str, str], Found] = field(default_factory=dict)


def rated_a(it: Any) -> float:
    return float(it.amperes if it.amperes is not None else (it.watts or 0.0) / it.rated_v)


def fuse_ohm(fuse: Any) -> float:
    if fuse is None:
        return 0.0
    return tables.fuse_ohm(fuse.family, fuse.rating, fuse.resistance_mohm)


def run_ohm(cable: Any, warm_c: float) -> float:
    r20, _ = tables.conductor(cable.section_mm2)
    length_m = cable.length_m + sum(each.length_m for each in cable.further)
    return float(r20 * length_m / 1000 * (1 + 0.00393 * (min(warm_c, 1000.0) - 20)))


def for_hours(it: Any) -> bool:
    """Whether it works an hour or longer at a time while parked."""
    longest = [INF if it.run_on_min is None else it.run_on_min / 60]
    if it.timetable:
        longest.append(max((span.to_h - span.from_h) % 24 for span in it.timetable))
    if it.short_s is not None:
        longest.append(it.short_s / 3600)
    if it.duty < 1.0 and it.duty_period_s > 0.0:
        longest.append(it.duty * it.duty_period_s / 3600)
    return "asleep" in it.works_in and min(longest) >= 1.0
