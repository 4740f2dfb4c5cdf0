"""Everything that flows has two ends: what is known, and the most that it may be."""

import numpy as np
import pytest
from msgspec.structs import replace

from fusemap.assess import Assessment, assess
from fusemap.checks import findings, whole_verdict
from fusemap.vehicle import STATES, Cable, Fuse, StateLoads, Vehicle, edits, look_up
from tests.vehicles import loads, one_slot, with_accessory

IGNITION, ASLEEP = STATES.index("ignition"), STATES.index("asleep")
UNREAD = StateLoads()


def ten_slots(measured: int = 1, own_a: float = 1.5, limit_a: float = 30.0) -> Vehicle:
    """A feed of 30 A over ten 15 A ignition slots, of which some were measured."""
    vehicle = edits.change_feed(one_slot(), "feed-1", limit_a=limit_a)
    vehicle = edits.remove_panel(vehicle, "panel-1")
    vehicle = edits.add_panel(vehicle, "Dash", 1, 10, ambient_c=25.0)
    for number, slot in enumerate(vehicle.panels[0].slots):
        vehicle = edits.change_slot(
            vehicle,
            slot.id,
            circuit="Radio",
            fuse=Fuse(family="mini", rating=15.0),
            feed_class="ignition",
            feed="feed-1",
            live_side="left",
            own_load=loads(own_a) if number < measured else UNREAD,
        )
    return vehicle


def camera(vehicle: Vehicle, amperes: float = 5.0) -> Vehicle:
    """With an accessory of constant current on the first slot, all figures given."""
    vehicle = edits.add_accessory(
        vehicle, "Camera", amperes=amperes, rated_v=12.0, load_kind="constant_current",
        min_voltage_v=9.0,
    )  # fmt: skip
    return edits.place(
        vehicle,
        "accessory-1",
        slot=vehicle.panels[0].slots[0].id,
        fuse=Fuse(family="mini", rating=7.5),
        cable_out=Cable(section_mm2=1.0, length_m=1.0),
        earth_point="bolt",
    )


def hop(a: Assessment, key: str):
    return next(hop for hop in a.chains["tap-1"].hops if hop.id == key)


class TestOwnLoadOfASlot:
    def test_unmeasured_it_may_be_what_its_fuse_carries_for_long(self) -> None:
        """75 % of 15 A at 25 °C (Littelfuse, Fuseology)."""
        a = assess(one_slot(own_load=UNREAD, feed_class="ignition"))
        assert a.slots.own_a[IGNITION, 0] == 0.0
        assert a.most.slots.own_a[IGNITION, 0] == pytest.approx(11.25, rel=0.01)

    def test_dead_it_is_nothing(self) -> None:
        a = assess(one_slot(own_load=UNREAD, feed_class="ignition"))
        assert a.most.slots.own_a[ASLEEP, 0] == 0.0

    def test_asleep_it_is_no_more_than_the_whole_vehicle_was_measured_to_draw(self) -> None:
        vehicle = edits.change_parking(one_slot(own_load=UNREAD), high_rest_current_a=0.03)
        assert assess(vehicle).most.slots.own_a[ASLEEP, 0] == pytest.approx(0.03)

    def test_below_the_meters_floor_it_may_be_the_floor(self) -> None:
        a = assess(one_slot(own_load=loads(0.0), own_most=loads(0.203)))
        assert a.slots.own_a[IGNITION, 0] == 0.0
        assert a.most.slots.own_a[IGNITION, 0] == pytest.approx(0.203)

    def test_measured_both_ends_are_the_same(self) -> None:
        a = assess(one_slot(own_a=2.0))
        assert np.array_equal(a.slots.own_a, a.most.slots.own_a)

    def test_a_reversed_tap_may_pass_the_host_fuse(self) -> None:
        """8 A through a 15 A fuse whose own load may be 11.25 A."""
        vehicle = with_accessory(one_slot(own_load=UNREAD), 8.0, way_round="load_side")
        assert hop(assess(vehicle), "host_fuse").verdict == "may_not_hold"

    def test_the_live_contact_holds_where_even_the_most_does(self) -> None:
        found = hop(assess(camera(ten_slots(measured=0))), "live_contact")
        assert found.end == pytest.approx(16.3, abs=0.1)
        assert (found.verdict, found.limit) == ("holds", 22.5)


class TestFeeds:
    def test_ten_slots_of_which_one_was_measured_may_be_too_much(self) -> None:
        """1.5 A and 5 A known; the others may fill the feed up, the camera comes on top."""
        a = assess(camera(ten_slots()))
        found = hop(a, "feed:feed-1")
        assert found.load == pytest.approx(6.5)
        assert found.end == pytest.approx(35.0)
        assert found.verdict == "may_not_hold"

    def test_its_own_loads_are_never_more_than_it_carries_for_long(self) -> None:
        a = assess(ten_slots())
        assert a.most.feeds.current_a.max() == pytest.approx(30.0)

    def test_all_measured_it_holds(self) -> None:
        assert hop(assess(camera(ten_slots(measured=10))), "feed:feed-1").verdict == "holds"

    def test_measured_as_a_whole_it_is_known(self) -> None:
        vehicle = edits.change_feed(camera(ten_slots()), "feed-1", carried=loads(12.0))
        found = hop(assess(vehicle), "feed:feed-1")
        assert (found.load, found.end) == (pytest.approx(17.0), pytest.approx(17.0))

    def test_what_hangs_on_it_besides_is_not_nothing_until_somebody_says_so(self) -> None:
        vehicle = edits.change_feed(camera(ten_slots(10)), "feed-1", other_load=UNREAD)
        assert hop(assess(vehicle), "feed:feed-1").verdict == "may_not_hold"

    def test_six_slots_without_a_feed_are_one_unseen_relay(self) -> None:
        """7 A each on six ignition slots: 42 A through whatever relay there is."""
        vehicle = ten_slots(measured=10, own_a=7.0)
        for slot in vehicle.panels[0].slots[:6]:
            vehicle = edits.change_slot(vehicle, slot.id, feed=None)
        vehicle = camera(vehicle, 0.5)
        a = assess(vehicle)
        found = hop(a, "feed:?ignition")
        assert found.load == pytest.approx(42.5)
        assert found.verdict == "unchecked"
        assert "unseen_feed_heavy" in {f.code for f in findings(vehicle, a)}

    def test_a_resistance_nobody_gave_lets_the_voltage_fall(self) -> None:
        vehicle = edits.change_feed(camera(ten_slots(10)), "feed-1", resistance_mohm=0.0)
        vehicle = edits.change_battery(vehicle, resistance_mohm=5.0)
        found = hop(assess(vehicle), "voltage")
        # 15 A of the slots and 5 A of the camera through 10 mΩ, the rule's most, and the fuse of
        # 30 A that nobody entered, of those published the one that has most: some 3.3 mΩ
        assert found.load - found.end == pytest.approx(0.267, abs=0.01)

    def test_below_a_feed_that_was_measured_the_parent_carries_no_more(self) -> None:
        vehicle = edits.change_feed(ten_slots(), "feed-1", carried=loads(9.0))
        vehicle = edits.add_feed(vehicle, "Main", limit_a=100.0, other_load=loads(0.0))
        vehicle = edits.change_feed(vehicle, "feed-1", parent="feed-2")
        a = assess(vehicle)
        assert a.most.feeds.current_a[IGNITION].tolist() == pytest.approx([9.0, 9.0])


class TestAccessories:
    def test_a_spread_moves_the_upper_end(self) -> None:
        vehicle = edits.change_accessory(camera(ten_slots(10)), "accessory-1", current_spread=0.3)
        found = hop(assess(vehicle), "accessory_fuse")
        assert (found.load, found.end) == (pytest.approx(5.0), pytest.approx(6.5))
        assert found.verdict == "may_not_hold"

    def test_a_motor_of_which_nobody_said_how_it_starts(self) -> None:
        vehicle = edits.change_accessory(
            camera(ten_slots(10), 6.0), "accessory-1", load_kind="motor"
        )
        found = hop(assess(vehicle), "inrush")
        assert (found.load, found.verdict) == (0.0, "may_not_hold")

    @pytest.mark.parametrize("family", ["micro2", "low_profile_mini", "cartridge", "glass"])
    def test_a_family_without_a_line_carries_no_more_than_the_strictest(self, family: str) -> None:
        """Rated 10 or 20 A at 105 °C: mini 6.6 A of 10, regular 6 A of 10 (their data sheets)."""
        rating = 10.0 if family != "cartridge" else 20.0
        vehicle = edits.change_panel(
            one_slot(family=family, fuse=Fuse(family=family, rating=rating)), "panel-1",
            ambient_c=105.0,
        )  # fmt: skip
        assert assess(vehicle).slots.host_limit_a[0] <= 0.6 * rating + 1e-9


class TestWholeVehicle:
    def verdict(self, vehicle: Vehicle) -> str:
        a = assess(vehicle)
        return whole_verdict(vehicle, a, findings(vehicle, a))

    def known(self) -> Vehicle:
        vehicle = edits.change_feed(camera(ten_slots(10)), "feed-1", resistance_mohm=2.0)
        return edits.change_parking(vehicle, stand_days=1.0)

    def test_all_known_it_holds(self) -> None:
        assert self.verdict(self.known()) == "holds"

    def test_nothing_planned_is_not_yet_something_that_holds(self) -> None:
        assert self.verdict(one_slot()) == "unchecked"

    def test_what_is_still_on_the_shelf_keeps_it_from_holding(self) -> None:
        assert self.verdict(edits.add_accessory(self.known(), "Radio", watts=20.0)) == "unchecked"

    def test_a_slot_whose_feed_nobody_knows_keeps_it_from_holding(self) -> None:
        vehicle = self.known()
        slot = vehicle.panels[0].slots[0]
        assert self.verdict(edits.change_slot(vehicle, slot.id, feed=None)) == "unchecked"

    def test_a_stop_of_any_kind_fails(self) -> None:
        vehicle = self.known()
        slot = vehicle.panels[0].slots[0]
        assert self.verdict(edits.change_slot(vehicle, slot.id, critical=True)) == "fails"


class TestWhatToMeasure:
    def test_one_reading_of_the_feed_in_each_state_settles_it(self) -> None:
        a = assess(camera(ten_slots()))
        asked = [(w.place, w.place_id, w.how, w.state) for w in a.measure_next]
        assert asked == [
            ("feed", "feed-1", "clamp", "ignition"),
            ("feed", "feed-1", "clamp", "running"),
        ]

    def test_one_slot_is_read_where_that_is_enough(self) -> None:
        a = assess(camera(ten_slots(measured=9)))
        assert {(w.place, w.how) for w in a.measure_next} == set()  # 13.5 + 11.25 + 5 A < 30 A
        tighter = assess(camera(ten_slots(measured=9, limit_a=22.0)))
        last = tighter.vehicle.panels[0].slots[9].id
        assert {(w.place_id, w.how) for w in tighter.measure_next} == {(last, "millivolts")}

    def test_taking_them_leaves_no_doubt(self) -> None:
        vehicle = camera(ten_slots(measured=3))
        for wanted in assess(vehicle).measure_next:
            assert wanted.place == "feed"
            feed = look_up.feed(vehicle, wanted.place_id)
            carried = replace(feed.carried, **{wanted.state: 6.0})
            vehicle = edits.change_feed(vehicle, feed.id, carried=carried)
        assert assess(vehicle).doubts == ()

    def test_to_say_that_nothing_else_hangs_on_a_feed_comes_first(self) -> None:
        vehicle = edits.change_feed(camera(ten_slots(10)), "feed-1", other_load=UNREAD)
        asked = assess(vehicle).measure_next
        assert [(w.place_id, w.how, w.state) for w in asked] == [("feed-1", "say", None)]

    def test_it_names_what_stays_in_doubt_without(self) -> None:
        for wanted in assess(camera(ten_slots())).measure_next:
            assert [(d.key, d.states) for d in wanted.settles] == [("feed", (wanted.state,))]
