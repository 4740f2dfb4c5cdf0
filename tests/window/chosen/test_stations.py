"""The way as stations: whatever is reckoned of a lead stands at one of them, in every vehicle."""

from collections.abc import Callable
from typing import get_args

import pytest

from fusemap.assess import assess
from fusemap.assess.result import HopKey
from fusemap.files import demos
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.chosen.stations import AT, WHAT, feed_station, stations_of
from tests import trade_vehicles as trade

MADE = (trade.camper, trade.pickup, trade.truck, trade.motorcycle, trade.van, trade.electric)
BUILT: dict[str, Callable[[], Vehicle]] = {each.__name__: each for each in MADE}


def test_every_limit_of_a_lead_has_its_place_and_its_words() -> None:
    assert set(AT) == set(WHAT) == set(get_args(HopKey))


def vehicles() -> list[str]:
    return [*BUILT, *(key for key, _ in demos.demo_names())]


@pytest.mark.parametrize("name", vehicles())
def test_nothing_that_is_reckoned_of_a_lead_is_left_out_of_its_way(name: str) -> None:
    vehicle = BUILT[name]() if name in BUILT else demos.read_demo(name)
    a = assess(vehicle)
    assert a.chains
    for tap_id in a.chains:
        for folded in (False, True):
            shown = [hop for each in stations_of(a, tap_id, folded=folded) for hop in each.hops]
            reckoned = a.chains[tap_id].hops
            assert sorted(hop.id for hop in shown) == sorted(hop.id for hop in reckoned)


def test_a_feed_whose_own_cable_does_not_hold_says_so() -> None:
    """Two square millimetres and a half behind sixty amperes, at the living block of the camper."""
    vehicle = trade.camper()
    feed = next(each for each in vehicle.feeds if each.added and each.cable is not None)
    assert feed_station(assess(vehicle), feed).verdict == "holds"
    thin = edits.change_feed(vehicle, feed.id, cable=trade.cable(2.5, 0.6))
    station = feed_station(assess(thin), look_up.feed(thin, feed.id))
    assert station.verdict == "fails"
    assert "feed_overload" in {hop.key for hop in station.hops}
