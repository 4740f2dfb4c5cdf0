"""Every hop of a chain has its station, in vehicles of the trade with all that they carry."""

from collections.abc import Callable
from typing import get_args

import pytest

from fusemap.assess import assess
from fusemap.assess.result import HopKey
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.chosen.stations import AT, WHAT, feed_station, stations_of
from tests import trade_vehicles as trade


def test_each_kind_of_hop_has_a_station_and_a_name() -> None:
    assert set(AT) == set(WHAT) == set(get_args(HopKey))


@pytest.mark.parametrize("build", trade.BUILT, ids=lambda build: build.__name__)
def test_every_hop_of_a_trade_vehicle_stands_at_one_station(build: Callable[[], Vehicle]) -> None:
    a = assess(build())
    for tap in a.vehicle.taps:
        for folded in (False, True):
            stations = stations_of(a, tap.id, folded=folded)
            keys = [station.key for station in stations]
            assert len(keys) == len(set(keys))
            stood = [hop for station in stations for hop in station.hops]
            assert sorted(hop.id for hop in stood) == sorted(h.id for h in a.chains[tap.id].hops)


def test_a_cable_through_several_places_is_said_with_its_whole_length() -> None:
    a = assess(trade.van())
    tow = trade.tap_of(a.vehicle, "tow_module")
    cable = next(each for each in stations_of(a, tow.id) if each.key == "cable")
    assert "4\N{NARROW NO-BREAK SPACE}m" in str(cable.title)


def test_a_feed_whose_own_cable_does_not_hold_says_so() -> None:
    """Two square millimetres and a half behind sixty amperes, at the living block of the camper."""
    vehicle = trade.camper()
    feed = next(each for each in vehicle.feeds if each.added and each.cable is not None)
    assert feed_station(assess(vehicle), feed).verdict == "holds"
    thin = edits.change_feed(vehicle, feed.id, cable=trade.cable(2.5, 0.6))
    station = feed_station(assess(thin), look_up.feed(thin, feed.id))
    assert station.verdict == "fails"
    assert "feed_overload" in {hop.key for hop in station.hops}
