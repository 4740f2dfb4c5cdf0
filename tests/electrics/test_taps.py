"""What flows where at a slot: the trade's rules about taps, for any currents and ratings."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics.taps import (
    TAP_KINDS,
    WAYS_ROUND,
    slot_currents,
    tap_currents,
    tap_masks,
    unguarded_current,
    way_round_from_pull_test,
)
from fusemap.errors import InputProblem

amperes = st.floats(0.0, 200.0)
ratings = st.floats(0.5, 100.0)
kinds = st.sampled_from(TAP_KINDS)
ways = st.sampled_from(WAYS_ROUND)
taps = st.lists(st.tuples(kinds, ways, amperes), max_size=6)


def on_a_slot(own: float, several: list[tuple[str, str, float]]):
    words, ways_round, currents = ([tap[part] for tap in several] for part in range(3))
    return slot_currents(words, ways_round, own, np.array(currents))


def test_a_take_off_lead_on_the_live_side_keeps_off_the_host_fuse_and_the_load_contact():
    found = tap_currents("take_off_lead", "live_side", 3.0, 2.0)
    assert (found.host_fuse_a, found.live_contact_a, found.load_contact_a) == (3.0, 5.0, 3.0)


def test_a_take_off_lead_on_the_load_side_goes_through_the_host_fuse_not_the_load_contact():
    found = tap_currents("take_off_lead", "load_side", 3.0, 2.0)
    assert (found.host_fuse_a, found.live_contact_a, found.load_contact_a) == (5.0, 5.0, 3.0)


@pytest.mark.parametrize("way_round", WAYS_ROUND)
def test_a_splice_loads_the_fuse_and_both_contacts_whatever_way_round_is_written(way_round):
    found = tap_currents("splice", way_round, 3.0, 2.0)
    assert found.host_fuse_a == found.live_contact_a == found.load_contact_a == 5.0


@pytest.mark.parametrize("way_round", WAYS_ROUND)
def test_an_own_feed_leaves_the_slot_alone(way_round):
    found = tap_currents("own_feed", way_round, 3.0, 2.0)
    assert found.host_fuse_a == found.live_contact_a == found.load_contact_a == 3.0
    assert found.upstream_a == 3.0
    assert found.accessory_fuse_a == 2.0


@given(kinds, ways, amperes, amperes)
def test_the_live_contact_carries_what_comes_from_upstream(kind, way_round, own, accessory):
    found = tap_currents(kind, way_round, own, accessory)
    assert found.live_contact_a == found.upstream_a


@given(kinds, ways, amperes, amperes)
def test_every_part_of_the_slot_carries_its_own_load_with_or_without_the_accessory(
    kind, way_round, own, accessory
):
    found = tap_currents(kind, way_round, own, accessory)
    for current in (found.host_fuse_a, found.live_contact_a, found.load_contact_a):
        assert current in (own, own + accessory)
    assert found.accessory_fuse_a == accessory


@given(kinds, ways, amperes, amperes)
def test_nothing_behind_the_live_contact_carries_more_than_it(kind, way_round, own, accessory):
    found = tap_currents(kind, way_round, own, accessory)
    assert found.load_contact_a <= found.host_fuse_a <= found.live_contact_a


@given(kinds, amperes, amperes)
def test_turning_a_tap_round_never_changes_what_comes_from_upstream(kind, own, accessory):
    right, reversed_ = (tap_currents(kind, way, own, accessory) for way in WAYS_ROUND)
    assert right.upstream_a == reversed_.upstream_a
    assert right.host_fuse_a <= reversed_.host_fuse_a


@given(kinds, ways, ratings, ratings)
def test_what_no_fuse_limits_lies_between_the_host_rating_and_the_sum_of_both(
    kind, way_round, host, accessory
):
    assert unguarded_current(kind, way_round, host, accessory) in (host, host + accessory)


@given(ways, ratings, ratings)
def test_only_past_the_host_fuse_can_the_live_contact_see_both_ratings(way_round, host, accessory):
    for kind in TAP_KINDS:
        masks = tap_masks(kind, way_round)
        past = masks.live_contact > masks.host_fuse
        assert (unguarded_current(kind, way_round, host, accessory) > host) == past


@given(kinds, ways, amperes, amperes)
def test_one_tap_on_a_slot_is_the_same_by_either_way_of_asking(kind, way_round, own, accessory):
    alone = tap_currents(kind, way_round, own, accessory)
    listed = on_a_slot(own, [(kind, way_round, accessory)])
    assert listed.host_fuse_a == alone.host_fuse_a
    assert listed.live_contact_a == alone.live_contact_a
    assert listed.load_contact_a == alone.load_contact_a
    assert listed.upstream_a == alone.upstream_a


def test_a_slot_without_taps_carries_its_own_load_everywhere():
    bare = slot_currents([], [], 3.0, np.zeros(0))
    assert bare.host_fuse_a == bare.live_contact_a == bare.load_contact_a == bare.upstream_a == 3.0


@given(amperes, taps, st.randoms(use_true_random=False))
def test_the_order_in_which_taps_are_listed_does_not_matter(own, several, random):
    straight = on_a_slot(own, several)
    random.shuffle(several)
    shuffled = on_a_slot(own, several)
    assert shuffled.host_fuse_a == pytest.approx(straight.host_fuse_a)
    assert shuffled.live_contact_a == pytest.approx(straight.live_contact_a)


@given(amperes, taps, kinds, ways, amperes)
def test_one_more_tap_never_takes_load_off_anything(own, several, kind, way_round, accessory):
    before, after = (
        on_a_slot(own, several),
        on_a_slot(own, [*several, (kind, way_round, accessory)]),
    )
    for part in ("host_fuse_a", "live_contact_a", "load_contact_a", "upstream_a"):
        assert getattr(after, part) >= getattr(before, part) - 1e-9


def test_states_and_slots_may_be_asked_all_at_once():
    own = np.array([[1.0], [2.0], [0.0]])
    accessory = np.array([[5.0, 3.0]])
    found = tap_currents(["two_fuse", "two_fuse"], ["live_side", "load_side"], own, accessory)
    assert found.host_fuse_a.tolist() == [[1.0, 4.0], [2.0, 5.0], [0.0, 3.0]]
    assert found.upstream_a.tolist() == [[6.0, 4.0], [7.0, 5.0], [5.0, 3.0]]


def test_pulling_the_host_fuse_shows_which_way_round_the_tap_sits():
    assert way_round_from_pull_test(accessory_stays_on=True) == "live_side"
    assert way_round_from_pull_test(accessory_stays_on=False) == "load_side"


def test_words_that_are_none_are_refused_with_the_words_that_are():
    with pytest.raises(InputProblem, match="take_off_lead"):
        tap_masks("piggyback", "live_side")
    with pytest.raises(InputProblem, match="load_side"):
        tap_masks("two_fuse", "left")


def test_negative_currents_and_ratings_of_zero_are_refused():
    with pytest.raises(InputProblem, match="own_a"):
        tap_currents("two_fuse", "live_side", -1.0, 1.0)
    with pytest.raises(InputProblem, match="accessory_a"):
        slot_currents(["two_fuse"], "live_side", 1.0, [-1.0])
    with pytest.raises(InputProblem, match="host_rating_a"):
        unguarded_current("two_fuse", "live_side", 0.0, 5.0)
