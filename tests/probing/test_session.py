"""One hand on the number pad: value and Enter, and the walk goes on by itself."""

import pytest

from fusemap.errors import EditRefused
from fusemap.probing import conclusions, keys, session, storing
from fusemap.probing.plan import HandOrder, Round
from fusemap.vehicle import edits, look_up
from tests.probing.vehicles import bench
from tests.probing.walk import ASLEEP, Walk


def values(walk: Walk) -> list[tuple[str, str, float]]:
    return [(r.target_id, r.quantity, r.value) for r in walk.vehicle.readings]


def test_value_and_enter_store_and_go_on(asleep):
    asleep.type("1,0")
    assert values(asleep) == [("slot-1", "millivolts", 1.0)]
    assert asleep.session.slot == "slot-2"
    assert look_up.slot(asleep.vehicle, "slot-1").feed_class == "permanent"


def test_dead_is_two_keys(asleep):
    asleep.press("-", "enter")
    assert values(asleep) == [("slot-1", "live", 0.0)]
    assert asleep.session.slot == "slot-2"


def test_live_with_its_millivolts_is_one_entry(asleep):
    asleep.type("+0")
    assert values(asleep) == [("slot-1", "live", 1.0), ("slot-1", "millivolts", 0.0)]
    assert asleep.session.slot == "slot-2"
    assert look_up.slot(asleep.vehicle, "slot-1").own_load.asleep == 0.0


def test_undo_goes_back_and_keeps_the_reading_as_withdrawn(asleep):
    asleep.type("1").press("/")
    assert asleep.session.slot == "slot-1"
    assert asleep.vehicle.readings[0].withdrawn
    assert look_up.slot(asleep.vehicle, "slot-1").feed_class == "unknown"
    asleep.type("-")
    assert [r.withdrawn for r in asleep.vehicle.readings] == [True, False]


def test_undo_first_clears_what_is_typed(asleep):
    asleep.type("1").press("3", "/")
    assert asleep.session.typed == ""
    assert not asleep.vehicle.readings[0].withdrawn


def test_going_back_and_reading_again_corrects_the_first(asleep):
    asleep.type("-").press("left").type("+1")
    assert [r.corrects for r in asleep.vehicle.readings] == [None, "reading-1", None]
    assert look_up.slot(asleep.vehicle, "slot-1").feed_class == "permanent"


def test_dead_read_again_after_live_takes_the_place_of_both_its_readings(asleep):
    asleep.type("+1").press("left").type("-")
    assert asleep.session.doubts == ()
    assert [r.withdrawn for r in asleep.vehicle.readings] == [False, True, False]
    assert asleep.vehicle.readings[2].corrects == "reading-1"
    assert look_up.slot(asleep.vehicle, "slot-1").feed_class == "unknown"
    assert look_up.slot(asleep.vehicle, "slot-1").own_load.asleep is None


def test_a_vehicle_that_was_just_locked_is_awake_whatever_the_banner_says(asleep):
    asleep.press("lock").wait(5).type("1")
    reading = asleep.vehicle.readings[0]
    assert (reading.state, reading.after_lock_min) == ("awake", 5.0)
    asleep.begin(ASLEEP).wait(60).type("1")
    reading = asleep.vehicle.readings[1]
    assert reading.state == "asleep"
    assert reading.after_lock_min == pytest.approx(65, abs=0.2)


def test_the_alarms_count_down_from_locking(asleep):
    asleep.begin(Round(state="awake")).press("enter")
    again = next(
        t for t in session.timers(asleep.session, asleep.vehicle, asleep.now) if t.kind == "reread"
    )
    assert not again.over
    assert again.clock == "0:59"
    later = asleep.wait(2)
    again = next(
        t for t in session.timers(later.session, later.vehicle, later.now) if t.kind == "reread"
    )
    assert again.over


class TestDisbelief:
    def test_the_absurd_is_asked_once_and_not_stored(self, asleep):
        asleep.type("900")
        assert asleep.vehicle.readings == ()
        assert "would have opened" in asleep.session.doubts[0]
        assert asleep.session.slot == "slot-1"

    def test_the_same_again_is_kept_and_marked(self, asleep):
        asleep.type("900").type("901")
        assert asleep.vehicle.readings[0].repeated
        assert asleep.session.slot == "slot-2"

    def test_another_figure_that_can_be_is_stored_without_asking(self, asleep):
        asleep.type("900").type("0.9")
        assert not asleep.vehicle.readings[0].repeated
        assert asleep.vehicle.readings[0].value == 0.9

    def test_another_absurd_figure_is_asked_again(self, asleep):
        asleep.type("900").type("600")
        assert asleep.vehicle.readings == ()
        assert asleep.session.doubts

    def test_volts_across_a_fuse_mean_that_it_is_open(self, asleep):
        asleep.type("12400")
        assert "open (blown)" in asleep.session.doubts[0]

    def test_more_than_the_whole_vehicle_draws_is_asked(self, panel):
        walk = Walk(panel).begin(Round(kind="whole", state="asleep")).type("0.06")
        walk.begin(ASLEEP).type("6")
        assert "the whole vehicle draws" in walk.session.doubts[0]

    def test_an_empty_slot_has_nothing_to_read_across(self, asleep):
        asleep.press("down", "right", "right").type("1")
        assert "no fuse" in asleep.session.doubts[0]

    def test_live_asleep_and_dead_with_the_key_is_asked(self, asleep):
        asleep.type("1").begin(Round(state="ignition")).set(slot="slot-1").type("-")
        assert "live always" in asleep.session.doubts[0]

    def test_amperes_for_milliamperes_are_asked(self, panel):
        walk = Walk(panel).begin(Round(kind="whole", state="asleep")).type("32")
        assert "milliamperes" in walk.session.doubts[0]
        walk.press("clear").press("unit").type("32")
        assert walk.vehicle.parking.rest_current_a == pytest.approx(0.032)


class TestCriticalCircuits:
    def test_a_meter_may_read_them_and_the_caution_is_said(self, asleep):
        asleep.press("down", "right")
        assert asleep.session.slot == "slot-5"
        assert "digital meter only" in asleep.session.message
        asleep.type("-")
        assert values(asleep) == [("slot-5", "live", 0.0)]

    def test_a_test_lamp_may_not(self, asleep):
        asleep.press("instrument", "down", "right", "+")
        assert asleep.session.typed == ""
        assert "no test lamp" in asleep.session.message

    def test_their_fuse_is_not_pulled_before_the_wait(self, asleep):
        asleep.begin(Round(kind="contacts", state="ignition")).set(slot="slot-5")
        asleep.type("8")
        assert asleep.vehicle.readings == ()
        asleep.press("enter").type("8")
        assert "wait another" in asleep.session.message
        asleep.wait(15).type("8")
        assert look_up.slot(asleep.vehicle, "slot-5").live_side == "top"

    def test_the_hunt_never_pulls_them(self, asleep):
        with pytest.raises(EditRefused, match="do not pull"):
            storing.pull(asleep.session, asleep.vehicle, "slot-5")


class TestContacts:
    @pytest.mark.parametrize(
        ("key", "side"), [("8", "top"), ("2", "bottom"), ("4", "left"), ("6", "right")]
    )
    def test_the_number_pad_points_at_the_live_contact(self, asleep, key, side):
        asleep.begin(Round(kind="contacts", state="ignition")).set(slot="slot-1").type(key)
        assert look_up.slot(asleep.vehicle, "slot-1").live_side == side

    def test_seen_from_behind_left_is_right(self, asleep):
        asleep.set(order=HandOrder(mirrored=True))
        asleep.begin(Round(kind="contacts", state="ignition")).set(slot="slot-1").type("4")
        assert look_up.slot(asleep.vehicle, "slot-1").live_side == "right"


def test_the_hunt_reads_the_whole_with_one_fuse_out(asleep):
    asleep.begin(Round(kind="whole", state="asleep")).type("0.465")
    asleep.session = storing.pull(asleep.session, asleep.vehicle, "slot-1")
    asleep.type("0.02")
    assert look_up.slot(asleep.vehicle, "slot-1").own_load.asleep == pytest.approx(0.445)
    assert asleep.vehicle.parking.rest_current_a == 0.465


def test_a_session_comes_back_from_its_file_where_it_was(asleep):
    import msgspec

    asleep.type("1").press("0", ",")
    text = msgspec.json.encode(asleep.session)
    back = session.resume(msgspec.json.decode(text, type=session.Session), asleep.vehicle)
    assert back == asleep.session
    gone = edits.remove_slot(asleep.vehicle, "slot-2")
    assert session.resume(back, gone).slot is None
    assert session.impossible(session.resume(back, gone), gone) == ()


def test_what_is_stored_is_concluded_once_and_is_what_the_session_goes_on_with(monkeypatch):
    counted = []
    conclude = conclusions.conclude

    def counting(*args):
        counted.append(args)
        return conclude(*args)

    monkeypatch.setattr(conclusions, "conclude", counting)
    walk = Walk(bench()).begin(ASLEEP)
    done = keys.press(walk.press("+").session, walk.vehicle, "enter", walk.now)
    assert len(counted) == 1
    assert done.vehicle.readings[-1].id in done.session.entered[-1].readings
    assert str(done.text) == "Read F1"
