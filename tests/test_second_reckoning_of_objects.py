"""Two batteries, blocks, module outputs, leads behind converters: both reckonings agree.

Random vehicles; FUSEMAP_OBJECTS=1000 tries more.
"""

import os
from collections import Counter

import numpy as np
import pytest

from fusemap.assess import Assessment, assess
from fusemap.assess.sources import SECOND
from fusemap.vehicle import STATES, Vehicle
from tests import object_vehicles
from tests.reckoning import Reckoned, reckon

VEHICLES = int(os.environ.get("FUSEMAP_OBJECTS", "40"))
INTEGRATED = 0.02
"""Heating in an overload is told within 1 % of the full integration [share of the limit]."""
FAR = 2.0
"""Beyond so many times its limit, near where copper melts, both say only that it does not hold."""
BY_INTEGRATION = ("overload", "feed_overload", "link_overload", "output_fault")


@pytest.mark.parametrize("seed", range(VEHICLES))
def test_currents_and_voltages_agree_with_the_link_closed(seed: int) -> None:
    vehicle = object_vehicles.vehicle(np.random.default_rng(seed))
    _currents_agree(vehicle)


@pytest.mark.parametrize("seed", range(VEHICLES))
def test_and_with_the_link_open(seed: int) -> None:
    vehicle = object_vehicles.vehicle(np.random.default_rng(seed))
    _currents_agree(object_vehicles.without_link(vehicle))


def _currents_agree(vehicle: Vehicle) -> None:
    a, second = assess(vehicle), reckon(vehicle)
    assert a.vehicle.second_battery is not None
    for row, state in enumerate(STATES):
        live = a.taps.live[row]
        volts = np.array([second.taps_v[state][tap] for tap in a.taps.ids])
        assert a.taps.current_a[row] == pytest.approx(
            [second.taps_a[state][tap] for tap in a.taps.ids], rel=1e-6, abs=1e-9
        )
        assert a.taps.voltage_v[row][live] == pytest.approx(volts[live], rel=1e-6)
        assert a.feeds.current_a[row] == pytest.approx(
            [second.feeds_a[state][feed] for feed in a.feeds.ids], rel=1e-6, abs=1e-9
        )
        assert a.battery_v[row] == pytest.approx(second.battery_v[state], rel=1e-6)
        assert a.currents.second_v[row] == pytest.approx(second.second_v[state], rel=1e-6)
        assert a.currents.second_a[row] == pytest.approx(second.second_a[state], rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("seed", range(VEHICLES))
def test_limits_agree(seed: int) -> None:
    vehicle = object_vehicles.vehicle(np.random.default_rng(seed))
    a, second = assess(vehicle), reckon(vehicle)
    ours = _held(a)
    kinds = ("feed_", "output_", "link_")
    theirs = {hop for hop in second.held if hop[0].startswith(kinds)}
    assert {hop for hop in ours if hop[0].startswith(kinds)} == theirs
    for hop, (load, limit) in ours.items():
        found = second.held[hop]
        assert limit == pytest.approx(found.limit, rel=1e-9), hop
        if hop[0] == "inrush":  # not known where by analogy
            continue
        if hop[0] in BY_INTEGRATION and min(load, found.load) > FAR * limit:
            continue
        slack = INTEGRATED * abs(limit) if hop[0] in BY_INTEGRATION else 1e-9
        assert load == pytest.approx(found.load, rel=2e-6, abs=slack), hop


def _held(a: Assessment) -> dict[tuple[str, str], tuple[float, float]]:
    """Load and limit of every hop that has both, by the hop and the id of its place."""
    found: dict[tuple[str, str], tuple[float, float]] = {}
    for key, hop in a.hops.items():
        places = a.taps.ids
        if key in ("live_contact", "host_fuse"):
            places = tuple(tap.slot or "" for tap in a.vehicle.taps)
        for column in np.flatnonzero(hop.given).tolist():
            found[key, places[column]] = float(hop.load[column]), float(hop.limit[column])
    for key, hop in a.feed_hops.items():
        for column in np.flatnonzero(hop.given).tolist():
            found[key, a.feeds.ids[column]] = float(hop.load[column]), float(hop.limit[column])
    for hop in (limit.hop for limit in a.beside.single):
        if hop.verdict != "unchecked":
            found[hop.key, hop.behind or "link"] = hop.load, hop.limit
    return found


def test_the_random_vehicles_have_every_element() -> None:
    """So that none of these agreements is one about nothing."""
    seen: Counter[str] = Counter()
    reckoned: Reckoned
    for seed in range(40):
        vehicle = object_vehicles.vehicle(np.random.default_rng(seed))
        reckoned = reckon(vehicle)
        seen.update({hop for hop, _ in reckoned.held})
        assert vehicle.second_battery is not None
        seen[vehicle.second_battery.link] += 1
        seen["module"] += any(s.kind == "module" for p in vehicle.panels for s in p.slots)
        a = assess(vehicle)
        seen["on the second"] += int((a.circuit.tap_roots == SECOND).any())
        seen["collapsed"] += int(a.taps.collapsed.any())
    wanted = {
        "relay", "dcdc", "module", "on the second", "feed_heat", "feed_overload", "feed_short",
        "feed_far_end", "feed_unfused", "output_fuse", "output_heat", "output_heat_back",
        "output_fault", "output_drop", "output_voltage", "link_near_fuse", "link_far_fuse",
        "link_heat", "link_overload", "link_short", "link_far_end",
    }  # fmt: skip
    assert {each for each in wanted if seen[each] < 5} == set()
    assert seen["collapsed"] == 0
