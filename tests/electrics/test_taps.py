"""Where the current of a tap passes: the trade's rules, for every kind and way round."""

import pytest

from fusemap.electrics.loads import TAP_KINDS, WAYS_ROUND, tap_masks
from fusemap.errors import InputProblem

EVERY = [(kind, way_round) for kind in TAP_KINDS for way_round in WAYS_ROUND]


@pytest.mark.parametrize(
    ("kind", "way_round", "host_fuse", "live_contact", "load_contact"),
    [
        ("take_off_lead", "live_side", 0.0, 1.0, 0.0),
        ("take_off_lead", "load_side", 1.0, 1.0, 0.0),
        ("splice", "live_side", 1.0, 1.0, 1.0),
        ("splice", "load_side", 1.0, 1.0, 1.0),
        ("own_feed", "live_side", 0.0, 0.0, 0.0),
        ("own_feed", "load_side", 0.0, 0.0, 0.0),
    ],
)
def test_lead_splice_and_own_feed(kind, way_round, host_fuse, live_contact, load_contact):
    found = tap_masks(kind, way_round)
    assert (found.host_fuse, found.live_contact) == (host_fuse, live_contact)
    assert found.load_contact == load_contact


@pytest.mark.parametrize(("kind", "way_round"), EVERY)
def test_the_live_contact_carries_what_comes_from_upstream(kind, way_round):
    found = tap_masks(kind, way_round)
    assert found.live_contact == found.upstream


@pytest.mark.parametrize(("kind", "way_round"), EVERY)
def test_nothing_behind_the_live_contact_carries_more_than_it(kind, way_round):
    found = tap_masks(kind, way_round)
    assert found.load_contact <= found.host_fuse <= found.live_contact


@pytest.mark.parametrize("kind", TAP_KINDS)
def test_turning_a_tap_round_never_changes_what_comes_from_upstream(kind):
    right, turned = (tap_masks(kind, way) for way in WAYS_ROUND)
    assert right.upstream == turned.upstream
    assert right.host_fuse <= turned.host_fuse


def test_many_taps_are_asked_at_once():
    kinds, ways = zip(*EVERY, strict=True)
    together = tap_masks(list(kinds), list(ways))
    alone = [tap_masks(kind, way) for kind, way in EVERY]
    for part in ("host_fuse", "live_contact", "load_contact", "upstream"):
        assert getattr(together, part).tolist() == [getattr(each, part) for each in alone]


def test_words_that_are_none_are_refused_with_the_words_that_are():
    with pytest.raises(InputProblem, match="take_off_lead"):
        tap_masks("piggyback", "live_side")
    with pytest.raises(InputProblem, match="load_side"):
        tap_masks("two_fuse", "left")
