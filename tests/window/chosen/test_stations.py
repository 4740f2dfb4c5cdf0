"""Every hop of a chain has its station, in vehicles of the trade with all that they carry."""

from collections.abc import Callable
from typing import get_args

import pytest

from fusemap.assess import assess
from fusemap.assess.result import HopKey
from fusemap.vehicle import Vehicle
from fusemap.window.chosen.stations import AT, WHAT, stations_of
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
