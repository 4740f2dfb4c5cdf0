"""Where the walk goes next: in hand order, to what was passed over, to what was read by half."""

import pytest

from fusemap.probing import session, walking
from fusemap.probing.plan import HandOrder, Round
from fusemap.vehicle import look_up
from tests.probing.walk import ASLEEP, Walk


def test_no_current_seen_goes_on_and_is_asked_for_live_or_dead_at_the_end(asleep):
    asleep.type("0")
    assert asleep.session.slot == "slot-2"
    for entry in ("1", "-", "-", "-", "-"):
        asleep.type(entry)
    assert asleep.session.slot is None
    assert "read by half" in asleep.session.message
    asleep.press("enter")
    assert (asleep.session.slot, asleep.session.round.state) == ("slot-1", "asleep")
    assert "is it live?" in walking.lacking(asleep.session, asleep.vehicle)
    asleep.type("-")
    assert asleep.session.slot is None
    asleep.press("enter")
    assert asleep.session.round.state == "accessory"


def test_live_alone_goes_on_and_is_asked_for_the_millivolts_at_the_end(asleep):
    asleep.type("+")
    assert asleep.session.slot == "slot-2"
    for entry in ("-", "-", "*", "-", "-"):
        asleep.press("*") if entry == "*" else asleep.type(entry)
    asleep.press("enter")
    assert asleep.session.slot == "slot-1", "and not the one that was passed over on purpose"
    assert "millivolts" in walking.lacking(asleep.session, asleep.vehicle)
    asleep.type("0.4")
    assert walking.lacking(asleep.session, asleep.vehicle) == ""
    assert asleep.session.slot is None


def test_what_is_read_by_half_is_gone_through_once_and_never_again(asleep):
    for entry in ("+", "-", "-", "-", "-", "-"):
        asleep.type(entry)
    asleep.press("enter", "enter")
    assert (asleep.session.slot, asleep.session.walk) == (None, 2)
    asleep.press("enter")
    assert asleep.session.round.state == "accessory"


def test_skip_goes_on_and_home_comes_back_to_what_was_skipped(asleep):
    asleep.press("*").type("1").press("*", "*", "*", "*")
    assert asleep.session.slot is None
    assert "5 still open" in asleep.session.message
    asleep.press("home")
    assert asleep.session.slot == "slot-1"


def test_only_what_is_still_in_question_is_asked_again(asleep):
    for entry in ("1", "-", "-", "-", "-", "-"):
        asleep.type(entry)
    assert asleep.session.slot is None
    asleep.press("enter")
    assert asleep.session.round.state == "accessory"
    assert asleep.session.slot == "slot-2"  # slot-1 is permanent


def test_after_locking_only_what_was_live_is_read_again_until_it_is_dead(panel):
    walk = Walk(panel).begin(ASLEEP)
    for entry in ("-",) * 6:
        walk.type(entry)
    walk.press("enter")
    for entry in ("+", "-", "+", "-", "-", "-"):
        walk.type(entry)
    walk.begin(Round(state="awake"))
    assert walk.session.slot is None
    walk.press("enter")  # locked at this moment
    assert walk.session.slot == "slot-1"
    walk.wait(1).type("+").type("-")
    assert walk.session.slot is None
    timers = {t.kind: t for t in session.timers(walk.session, walk.vehicle, walk.now)}
    assert "sleep" in timers
    walk.wait(11).press("enter")
    assert walk.session.slot == "slot-1"  # slot-3 was dead at once
    walk.type("-")
    slot = look_up.slot(walk.vehicle, "slot-1")
    assert slot.feed_class == "delayed_off"
    assert slot.delayed_off_min == pytest.approx(12, abs=0.3)
    assert look_up.slot(walk.vehicle, "slot-3").feed_class == "accessory"


class TestHandOrder:
    @pytest.mark.parametrize(
        ("order", "first"),
        [
            (HandOrder(), "123456"),
            (HandOrder(along="columns"), "142536"),
            (HandOrder(from_right=True), "321654"),
            (HandOrder(from_bottom=True), "456123"),
            (HandOrder(from_right=True, from_bottom=True, along="columns"), "635241"),
            (HandOrder(mirrored=True), "321654"),
            (HandOrder(to_and_fro=True), "123654"),
        ],
    )
    def test_along_rows_or_columns_from_any_corner_mirrored(self, panel, order, first):
        walk = Walk(panel, walking.start(panel, order)).begin(ASLEEP)
        seen = []
        for _ in range(6):
            seen.append(walk.session.slot.removeprefix("slot-"))
            walk.type("-")
        assert "".join(seen) == first

    def test_arrow_keys_go_as_seen(self, asleep):
        assert asleep.press("right", "down").session.slot == "slot-5"
        asleep.set(order=HandOrder(mirrored=True))
        assert asleep.press("right").session.slot == "slot-4"
        assert asleep.press("right").session.slot == "slot-4"  # the edge


def test_after_locking_with_all_found_dead_nobody_is_asked_to_wait(asleep):
    for _ in range(6):
        asleep.type("-")
    asleep.begin(Round(state="ignition"))
    while asleep.session.slot is not None:
        asleep.type("+")
    asleep.begin(Round(state="awake")).press("enter")
    while asleep.session.slot is not None:
        asleep.type("-")
    assert "when it is time" not in asleep.session.message
    assert "Round done" in asleep.session.message
