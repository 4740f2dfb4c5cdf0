"""Figures that can hardly be: asked about at once, whatever they are read at."""

import pytest
from msgspec.structs import replace

from fusemap.probing.disbelief import doubts
from fusemap.vehicle import Reading, Vehicle, edits
from tests.probing.vehicles import bench


def with_feed(**fields: object) -> Vehicle:
    vehicle = edits.add_feed(bench(), "Relay of the dash")
    return replace(vehicle, feeds=(replace(vehicle.feeds[-1], id="feed-1", **fields),))


def reading(value: float, **fields: object) -> Reading:
    base = {"id": "new", "when": "2025-05-17", "quantity": "clamp_current", "value": value}
    return Reading(**base | fields)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("limit", "amperes", "asked"),
    [(40.0, 35.0, False), (40.0, 900.0, True), (None, 120.0, False), (None, 900.0, True)],
)
def test_a_feed_without_a_fuse_carries_no_hundreds_of_amperes(
    limit: float | None, amperes: float, asked: bool
) -> None:
    vehicle = with_feed(limit_a=limit)
    at = {"target": "feed", "target_id": "feed-1", "state": "ignition"}
    assert bool(doubts(vehicle, reading(amperes, **at))) == asked


@pytest.mark.parametrize(("amperes", "asked"), [(4.0, False), (45.0, False), (310.0, True)])
def test_a_vehicle_that_falls_asleep_draws_no_hundreds_of_amperes(
    amperes: float, asked: bool
) -> None:
    at = {"target": "vehicle", "state": "awake"}
    assert bool(doubts(bench(), reading(amperes, **at))) == asked
