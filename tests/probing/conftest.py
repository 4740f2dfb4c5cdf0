"""A small panel and a walk along it, for whoever presses keys."""

import pytest

from fusemap.vehicle import Fuse, Vehicle, edits
from tests.probing.walk import ASLEEP, Walk


@pytest.fixture
def panel() -> Vehicle:
    """Two rows of three; a 15 A fuse everywhere but in F6, F5 is critical."""
    vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 2, 3)
    for number in range(1, 6):
        fuse = Fuse(family="mini", rating=15.0)
        vehicle = edits.change_slot(vehicle, f"slot-{number}", fuse=fuse)
    return edits.change_slot(vehicle, "slot-5", critical=True, critical_reason="airbags")


@pytest.fixture
def asleep(panel) -> Walk:
    return Walk(panel).begin(ASLEEP)
