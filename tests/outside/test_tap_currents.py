"""Currents at a slot with a tap, worked by hand from Kirchhoff's current law (first principles)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.taps import tap_currents, unguarded_current, way_round_from_pull_test

LIVE, LOAD = "live_side", "load_side"

# way round, own load, accessory, host fuse, accessory fuse: then by hand the current through
# host fuse, accessory fuse, live contact, load contact, upstream, and what no fuse limits [A]
BY_HAND = [
    (LIVE, 4.0, 5.0, 10.0, 7.5, 4.0, 5.0, 9.0, 4.0, 9.0, 17.5),
    (LOAD, 4.0, 5.0, 10.0, 7.5, 9.0, 5.0, 9.0, 4.0, 9.0, 10.0),
    (LIVE, 9.0, 5.0, 10.0, 7.5, 9.0, 5.0, 14.0, 9.0, 14.0, 17.5),
    (LOAD, 9.0, 5.0, 10.0, 7.5, 14.0, 5.0, 14.0, 9.0, 14.0, 10.0),
]

amperes = st.floats(0.0, 200.0)
ratings = st.floats(0.5, 100.0)


@pytest.mark.parametrize("row", BY_HAND)
def test_a_two_fuse_tap_by_hand(row):
    way_round, own, accessory, host_rating, accessory_rating, *expected = row
    found = tap_currents("two_fuse", way_round, own, accessory)
    unguarded = unguarded_current("two_fuse", way_round, host_rating, accessory_rating)
    assert [
        found.host_fuse_a,
        found.accessory_fuse_a,
        found.live_contact_a,
        found.load_contact_a,
        found.upstream_a,
        unguarded,
    ] == expected


@settings(max_examples=50)
@given(own=amperes, accessory=amperes, host=ratings, second=ratings)
def test_with_the_common_blade_on_the_live_side(own, accessory, host, second):
    found = tap_currents("two_fuse", LIVE, own, accessory)
    assert found.host_fuse_a == own
    assert found.accessory_fuse_a == accessory
    assert found.live_contact_a == found.upstream_a == own + accessory
    assert found.load_contact_a == own
    assert unguarded_current("two_fuse", LIVE, host, second) == host + second


@settings(max_examples=50)
@given(own=amperes, accessory=amperes, host=ratings, second=ratings)
def test_a_reversed_tap_loads_the_host_fuse_with_both(own, accessory, host, second):
    found = tap_currents("two_fuse", LOAD, own, accessory)
    assert found.host_fuse_a == own + accessory
    assert found.accessory_fuse_a == accessory
    assert found.live_contact_a == found.upstream_a == own + accessory
    assert found.load_contact_a == own
    assert unguarded_current("two_fuse", LOAD, host, second) == host


@pytest.mark.parametrize("way_round", [LIVE, LOAD])
def test_pulling_the_host_fuse_tells_the_way_round(way_round):
    # with the host fuse out only current that passes it by still flows
    past_the_host = tap_currents("two_fuse", way_round, 0.0, 5.0).host_fuse_a == 0.0
    assert way_round_from_pull_test(accessory_stays_on=past_the_host) == way_round


@pytest.mark.parametrize("way_round", [LIVE, LOAD])
def test_pulling_the_accessory_fuse_leaves_the_original_circuit_on(way_round):
    found = tap_currents("two_fuse", way_round, 4.0, 0.0)
    assert found.load_contact_a == found.host_fuse_a == 4.0
