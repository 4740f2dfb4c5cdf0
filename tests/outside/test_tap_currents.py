"""Currents at a slot with a tap, worked by hand from Kirchhoff's current law (first principles).

The vehicle is assessed, so tap, network, feeds and chain all have their part in the figures.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.assess import Assessment, assess
from fusemap.vehicle import STATES, Fuse
from tests.vehicles import one_slot, with_accessory

LIVE, LOAD = "live_side", "load_side"
RUNNING = STATES.index("running")

# way round, own load, accessory, host fuse, accessory fuse: then by hand the current through
# host fuse, accessory fuse, live contact, load contact and upstream [A]
BY_HAND = [
    (LIVE, 4.0, 5.0, 10.0, 7.5, 4.0, 5.0, 9.0, 4.0, 9.0),
    (LOAD, 4.0, 5.0, 10.0, 7.5, 9.0, 5.0, 9.0, 4.0, 9.0),
    (LIVE, 9.0, 5.0, 10.0, 7.5, 9.0, 5.0, 14.0, 9.0, 14.0),
    (LOAD, 9.0, 5.0, 10.0, 7.5, 14.0, 5.0, 14.0, 9.0, 14.0),
]

amperes = st.floats(0.0, 20.0)


def tapped(way_round: str, own_a: float, accessory_a: float, host=10.0, second=7.5) -> Assessment:
    fuse = Fuse(family="mini", rating=second)
    vehicle = one_slot(own_a=own_a, rating=host)
    return assess(with_accessory(vehicle, accessory_a, way_round=way_round, fuse=fuse))


def currents(a: Assessment) -> list[float]:
    """Host fuse, accessory fuse, live contact, load contact and upstream while it runs [A]."""
    slots = (a.slots.host_a, a.taps.current_a, a.slots.live_contact_a, a.slots.load_contact_a)
    return [float(part[RUNNING, 0]) for part in (*slots, a.feeds.current_a)]


@pytest.mark.parametrize("row", BY_HAND)
def test_a_two_fuse_tap_by_hand(row):
    way_round, own, accessory, host_rating, accessory_rating, *expected = row
    a = tapped(way_round, own, accessory, host_rating, accessory_rating)
    assert currents(a) == pytest.approx(expected)
    hops = {hop.key: hop.load for hop in a.chains["tap-1"].hops}
    assert hops["accessory_fuse"] == pytest.approx(expected[1])
    if way_round == LOAD:
        assert hops["host_fuse"] == pytest.approx(expected[0])


@settings(max_examples=30, deadline=None)
@given(own=amperes, accessory=st.floats(0.01, 20.0))
def test_with_the_common_blade_on_the_live_side(own, accessory):
    both = own + accessory
    expected = [own, accessory, both, own, both]
    assert currents(tapped(LIVE, own, accessory)) == pytest.approx(expected, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(own=amperes, accessory=st.floats(0.01, 20.0))
def test_a_reversed_tap_loads_the_host_fuse_with_both(own, accessory):
    both = own + accessory
    expected = [both, accessory, both, own, both]
    assert currents(tapped(LOAD, own, accessory)) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(("way_round", "past_the_host"), [(LIVE, True), (LOAD, False)])
def test_pulling_the_host_fuse_tells_the_way_round(way_round, past_the_host):
    # with the host fuse out only current that passes it by still flows: on the live side all of it
    through_the_host = currents(tapped(way_round, 0.0, 5.0))[0]
    assert through_the_host == pytest.approx(0.0 if past_the_host else 5.0)
