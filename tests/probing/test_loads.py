"""Own loads from millivolts, clamp, a meter in line, or a pulled fuse; never more than is known."""

import pytest
from msgspec.structs import replace

from fusemap.probing import conclusions, loads, remainder
from fusemap.probing.feeds import side_of
from fusemap.probing.loads import by_fuse_out, load_of, loads_of
from fusemap.vehicle import BATTERY, Fuse, MeterRange, StateLoads, edits, look_up, reading_edits
from tests.probing.vehicles import WHEN, bench, dead, english, live, mv, read, slot, whole


def load(vehicle, *readings):
    vehicle = read(vehicle, *readings)
    return load_of(vehicle, slot(vehicle), vehicle.readings[-1])


def test_below_the_meters_floor_no_number_is_shown():
    found = load(bench(15.0), mv(0.1))
    assert found.below_floor
    assert english(found.words).startswith("below ")
    assert not found.flows


def test_a_meter_with_finer_digits_sees_what_a_coarse_one_does_not():
    vehicle = reading_edits.add_meter(
        bench(15.0),
        "Bench meter",
        [
            MeterRange(quantity="millivolts", resolution=0.01, up_to=60.0),
            MeterRange(quantity="millivolts", resolution=0.1, up_to=600.0),
        ],
    )
    fine = load(vehicle, mv(0.1, meter="meter-1"))
    assert fine.flows
    assert fine.low_a < 0.0218 < fine.high_a
    assert not load(vehicle, mv(0.1, resolution=0.1)).flows


def test_a_calibrated_fuse_has_a_narrow_band():
    usual = load(bench(15.0), mv(10.0))
    own = load(
        bench(
            15.0,
        ),
        mv(10.0),
    )
    assert usual == own
    fuse = Fuse(family="mini", rating=15.0, resistance_mohm=4.4)
    calibrated = edits.change_slot(bench(), "slot-1", fuse=fuse)
    found = load(calibrated, mv(10.0))
    assert found.high_a - found.low_a < 0.4 * (usual.high_a - usual.low_a)
    assert "calibrated" in found.how


def test_a_family_without_published_resistance_says_nothing_until_calibrated():
    vehicle = edits.change_slot(bench(), "slot-1", family="micro2",
                                fuse=Fuse(family="micro2", rating=10.0))  # fmt: skip
    assert load(vehicle, mv(1.0)) is None
    own = Fuse(family="micro2", rating=10.0, resistance_mohm=7.0)
    assert load(edits.change_slot(vehicle, "slot-1", fuse=own), mv(1.0)).flows


def test_leads_the_other_way_round_make_no_difference():
    assert load(bench(), mv(-10.0)).current_a == load(bench(), mv(10.0)).current_a


def test_of_several_readings_of_a_state_the_narrowest_counts():
    vehicle = read(bench(), mv(1.0), {"quantity": "inline_current", "value": 0.21})
    assert english(loads_of(vehicle, slot(vehicle))["asleep"].how).endswith("in line")


def test_a_swinging_meter_gives_both_ends():
    found = load(bench(), {"quantity": "inline_current", "value": 0.04, "highest": 0.065})
    assert found.low_a < 0.04
    assert found.high_a > 0.065
    assert found.current_a == pytest.approx(0.0525)


def test_a_pulled_fuse_shows_its_circuits_share_of_the_whole():
    vehicle = read(bench(), whole(0.465), whole(0.020, fuse_out="slot-1"))
    assert by_fuse_out(vehicle, "slot-1").current_a == pytest.approx(0.445)
    done = conclusions.conclude(bench(), vehicle)
    assert slot(done).own_load.asleep == pytest.approx(0.445)
    assert done.parking.rest_current_a == pytest.approx(0.465)


def test_what_was_concluded_goes_back_when_its_reading_is_withdrawn():
    before = bench(circuit="Radio")
    after = conclusions.conclude(before, read(before, mv(1.0), whole(0.3)))
    assert slot(after).feed_class == "permanent"
    assert slot(after).own_load.asleep == pytest.approx(0.218, abs=0.001)
    undone = after
    for reading in ("reading-1", "reading-2"):
        undone = conclusions.conclude(undone, reading_edits.withdraw_reading(undone, reading))
    assert slot(undone) == slot(before)
    assert undone.parking == before.parking
    assert len(undone.readings) == 2


def test_what_was_typed_stays_where_no_reading_speaks_of_it():
    typed = bench(feed_class="ignition", live_side="left")
    done = conclusions.conclude(typed, read(typed, mv(0.0)))
    assert slot(done).feed_class == "ignition"
    assert slot(done).live_side == "left"
    assert slot(done).own_load.asleep == 0.0


def test_what_was_typed_over_a_conclusion_stays_until_its_readings_change():
    read_once = conclusions.conclude(bench(), read(bench(), mv(1.0), whole(0.3)))
    typed = edits.change_parking(read_once, rest_current_a=0.05)
    typed = edits.change_slot(typed, "slot-1", feed_class="delayed_off")
    again = conclusions.conclude(typed, read(typed, {"quantity": "live_top", "value": 1.0}))
    assert again.parking.rest_current_a == 0.05
    assert slot(again).feed_class == "delayed_off"
    assert slot(again).live_side == "top"
    anew = conclusions.conclude(again, read(again, whole(0.08)))
    assert anew.parking.rest_current_a == 0.08


def test_a_slot_read_to_be_switched_does_not_hang_straight_on_the_battery():
    """Live with the key, dead asleep: something switches it, whatever was said before."""
    before = bench(feed=BATTERY, feed_class="permanent")
    readings = [dead(), dead("accessory"), live("ignition")]
    found = slot(conclusions.conclude(before, read(before, *readings)))
    assert (found.feed_class, found.feed) == ("ignition", None)
    always = slot(conclusions.conclude(before, read(before, live())))
    assert (always.feed_class, always.feed) == ("permanent", BATTERY)


class TestTheMostAnOwnLoadMayBe:
    """A reading bounds a load; what lies below the upper end is not known to be nothing."""

    def test_below_the_meters_floor_nothing_is_known_and_the_floor_is_the_most(self):
        """0 mV, three counts of 0.1 mV over 4.58 mΩ less 20 %: 0.0819 A may still flow."""
        done = conclusions.conclude(bench(15.0), read(bench(15.0), mv(0.0)))
        assert slot(done).own_load.asleep == 0.0
        assert slot(done).own_most.asleep == pytest.approx(0.3 / (4.58 * 0.8), rel=0.01)
        assert slot(done).own_most.asleep >= 0.3 / (4.58 * 0.8)
        assert slot(done).own_most.awake is None

    def test_a_load_that_was_read_has_the_upper_end_of_its_band_beside_it(self):
        vehicle = read(bench(10.0), mv(66.8, "ignition"))
        done = slot(conclusions.conclude(bench(10.0), vehicle))
        assert done.own_load.ignition == pytest.approx(7.44, abs=0.01)
        assert done.own_most.ignition >= 9.0

    def test_what_is_withdrawn_bounds_nothing(self):
        before = bench(15.0)
        after = conclusions.conclude(before, read(before, mv(0.0)))
        undone = conclusions.conclude(after, reading_edits.withdraw_reading(after, "reading-1"))
        assert slot(undone) == slot(before)

    def test_a_load_typed_over_a_reading_stays_without_a_bound(self):
        done = conclusions.conclude(bench(15.0), read(bench(15.0), mv(0.0), mv(0.0, "ignition")))
        load = replace(slot(done).own_load, asleep=0.02)
        typed = edits.change_slot(done, "slot-1", own_load=load)
        assert slot(typed).own_most.asleep is None
        assert slot(typed).own_most.ignition == slot(done).own_most.ignition
        again = conclusions.conclude(typed, read(typed, mv(0.0, "running")))
        assert (slot(again).own_load.asleep, slot(again).own_most.asleep) == (0.02, None)
        assert slot(again).own_most.running == slot(done).own_most.ignition

    def test_the_remainder_counts_what_a_typed_load_may_be_at_most(self):
        bounded = edits.change_slot(
            bench(), "slot-1", own_load=StateLoads(asleep=0.0), own_most=StateLoads(asleep=0.2)
        )
        left = remainder.remainder(read(bounded, whole(0.3)))
        assert left.current_a == pytest.approx(0.3)
        assert left.low_a == pytest.approx(0.3 - 0.2 - 0.006, abs=1e-9)


class TestLiveSide:
    def contacts(self, **answers):
        vehicle = read(
            bench(),
            *({"quantity": f"live_{side}", "value": value} for side, value in answers.items()),
        )
        return side_of(vehicle, slot(vehicle))

    def test_the_contact_that_shows_voltage_with_the_fuse_out_is_the_live_side(self):
        assert self.contacts(top=1.0, bottom=0.0).side == "top"
        assert self.contacts(left=0.0, right=1.0).side == "right"

    def test_both_live_is_a_second_source_behind_the_slot(self):
        found = self.contacts(left=1.0, right=1.0)
        assert not found.known
        assert "fed from both sides" in found.contradictions[0]

    def test_both_dead_asks_for_a_state_that_feeds_it(self):
        assert "state that feeds it" in self.contacts(left=0.0, right=0.0).evidence


class TestWholeVehicle:
    def test_what_no_slot_explains_is_the_remainder(self):
        vehicle = read(bench(15.0), whole(0.300), mv(1.0))
        left = remainder.remainder(vehicle)
        assert left.current_a == pytest.approx(0.300 - 0.218, abs=0.001)
        assert left.low_a == 0.0  # the band of the fuse may hold it all
        assert not left.contradicts

    def test_slots_that_draw_more_than_the_whole_contradict_it(self):
        left = remainder.remainder(read(bench(15.0), whole(0.060), mv(6.0)))
        assert left.contradicts
        assert "one of them is wrong" in left.words

    def test_the_way_to_sleep_is_a_curve_over_the_minutes(self):
        vehicle = read(bench(), whole(3.2, "awake", after_lock_min=2.0),
                       whole(0.4, "awake", after_lock_min=12.0),
                       whole(0.03, after_lock_min=61.0))  # fmt: skip
        assert loads.sleep_curve(vehicle) == ((2.0, 3.2), (12.0, 0.4), (61.0, 0.03))
        done = conclusions.conclude(bench(), vehicle)
        assert done.parking.rest_current_a == 0.03

    def test_the_band_of_the_reading_becomes_the_range_of_the_rest_current(self):
        vehicle = read(bench(), whole(0.03))
        load = loads.rest_current(vehicle)
        parking = conclusions.conclude(bench(), vehicle).parking
        low, high = parking.low_rest_current_a, parking.high_rest_current_a
        assert low == pytest.approx(load.low_a, rel=0.01)
        assert high == pytest.approx(load.high_a, rel=0.01)
        assert low <= load.low_a + 1e-9 <= load.high_a <= high + 1e-9
        assert all(len(f"{end * 1000:g}".replace(".", "").strip("0")) <= 3 for end in (low, high))
        assert parking.low_rest_current_a < 0.03 < parking.high_rest_current_a

    def test_the_largest_is_pulled_next_and_a_critical_one_never(self):
        vehicle = edits.add_panel(bench(15.0), "More", 1, 2)
        for slot_id, critical in (("slot-2", True), ("slot-3", False)):
            vehicle = edits.change_slot(
                vehicle, slot_id, fuse=Fuse(family="mini", rating=15.0), critical=critical
            )
        vehicle = read(vehicle, whole(0.9), mv(1.0), mv(3.0, target_id="slot-2"),
                       mv(2.0, target_id="slot-3"))  # fmt: skip
        order = [one.slot.id for one in remainder.suspects(vehicle)]
        assert order == ["slot-2", "slot-3", "slot-1"]
        assert remainder.pull_next(vehicle).slot.id == "slot-3"
        vehicle = read(vehicle, whole(0.5, fuse_out="slot-3"))
        assert remainder.pull_next(vehicle).slot.id == "slot-1"
        assert "F1 next" in english(*remainder.tracing_words(vehicle))


def test_a_draw_in_a_state_in_which_the_feed_is_dead_is_a_contradiction():
    vehicle = read(bench(feed_class="ignition"), whole(0.465), whole(0.02, fuse_out="slot-1"))
    found = conclusions.of_slot(vehicle, slot(vehicle))
    assert "though its feed class, ignition, is dead" in found.contradictions[0]
    assert conclusions.of_slot(read(bench(), live(), dead("accessory")), slot(bench())).lines


def test_every_edit_of_conclusions_shares_what_did_not_change():
    before = edits.add_panel(bench(), "More", 1, 2)
    after = conclusions.conclude(before, read(before, live()))
    assert after.panels[1] is before.panels[1]
    assert look_up.slot(after, "slot-1").feed_class == "permanent"
    assert after.readings[0].when == WHEN
