"""The verdict on each tap is that of its chain, which is put together by another way."""

import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.checks.each_tap import tap_verdicts
from fusemap.files.demos import demo_names, read_demo
from fusemap.vehicle import Vehicle
from tests import unknown_vehicles


def by_chains(vehicle: Vehicle) -> dict[str, str]:
    chains = assess(vehicle).chains
    return {tap.id: chains[tap.id].verdict for tap in vehicle.taps}


@pytest.mark.parametrize("key", [key for key, *_ in demo_names()])
def test_of_every_demo_vehicle_each_tap_has_the_verdict_of_its_chain(key: str) -> None:
    vehicle = read_demo(key)
    assert tap_verdicts(vehicle, assess(vehicle)) == by_chains(vehicle)


def test_of_vehicles_of_which_most_is_not_known_too() -> None:
    rng = np.random.default_rng(20261129)
    seen: set[str] = set()
    for _ in range(40):
        vehicle = unknown_vehicles.vehicle(rng)
        found = tap_verdicts(vehicle, assess(vehicle))
        assert found == by_chains(vehicle)
        seen |= set(found.values())
    assert len(seen) >= 3, seen
