"""What each edit does, said as the trade would say it."""

import pytest
from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.vehicle import (
    BATTERY,
    SWITCHED,
    Cable,
    Drive,
    Fuse,
    StateLoads,
    Vehicle,
    VoltageCutOff,
    edits,
    look_up,
)
from fusemap.vehicle.field_words import in_words


@pytest.fixture
def van() -> Vehicle:
    """A van with one panel of 2 × 3 slots, a main fuse with an ignition relay below, a camera."""
    van = edits.add_panel(Vehicle(name="Van"), "Dash", 2, 3)
    van = edits.add_feed(van, "Main fuse", fuse=Fuse(family="maxi", rating=60))
    van = edits.add_feed(van, "Ignition relay", parent="feed-1")
    van = edits.change_slot(van, "slot-2", fuse=Fuse(family="mini", rating=10), feed="feed-2")
    return edits.add_accessory(van, "Camera", watts=6, leads=("power", "sense"))


REASON = {"justification": "the lamp of a bench vehicle", "found_how": "wired it ourselves"}


def refused(edit, *args, **kwargs) -> EditRefused:
    """The refusal of an edit; it says what is wrong, and what to do."""
    with pytest.raises(EditRefused) as caught:
        edit(*args, **kwargs)
    assert caught.value.what
    assert caught.value.remedy
    return caught.value


class TestVehicle:
    def test_name_note_and_system_voltage_can_be_changed(self, van):
        lorry = edits.change_vehicle(van, name="Lorry", note="Blue", system_v=24)
        assert (lorry.name, lorry.note, lorry.system_v) == ("Lorry", "Blue", 24)
        assert lorry.panels is van.panels

    def test_nothing_else_passes_as_a_change_of_the_vehicle(self, van):
        with pytest.raises(TypeError, match="panels"):
            edits.change_vehicle(van, panels=())

    @pytest.mark.parametrize("field", ["name", "note"])
    def test_a_text_with_half_a_character_is_refused_because_no_file_can_hold_it(self, van, field):
        error = refused(edits.change_vehicle, van, **{field: "Van \ud83d"})
        assert error.where == in_words(field)
        assert "character 5" in error.what

    def test_a_whole_emoji_is_fine(self, van):
        assert edits.change_vehicle(van, name="Van 🚐").name == "Van 🚐"

    def test_the_battery_is_what_its_label_says(self, van):
        van = edits.change_battery(van, capacity_ah=70.0, reserve_min=120.0, chemistry="agm")
        assert (van.battery.capacity_ah, van.battery.chemistry) == (70.0, "agm")

    @pytest.mark.parametrize(
        ("field", "value"),
        [
            ("capacity_ah", 0.0),
            ("capacity_ah", -70.0),
            ("start_soc", 1.2),
            ("rest_v", float("nan")),
            ("soh", float("inf")),
            ("parallel", 0),
        ],
    )
    def test_a_battery_that_cannot_be_is_refused(self, van, field, value):
        assert refused(edits.change_battery, van, **{field: value}).where == in_words(
            f"battery.{field}"
        )

    def test_a_range_has_its_low_end_below_its_high_end(self, van):
        assert refused(edits.change_battery, van, low_soh=0.9, high_soh=0.8).where == in_words(
            "battery.low_soh"
        )
        wrong = {"low_temperature_c": 10.0, "high_temperature_c": -10.0}
        assert refused(edits.change_parking, van, **wrong).where == "Parking, temperature, at least"
        assert edits.change_battery(van, low_soh=0.7, high_soh=0.9).battery.low_soh == 0.7

    def test_a_new_figure_outside_its_old_range_takes_the_range_along(self, van):
        van = edits.change_parking(
            van, rest_current_a=0.03, low_rest_current_a=0.028, high_rest_current_a=0.032
        )
        near = edits.change_parking(van, rest_current_a=0.031).parking
        far = edits.change_parking(van, rest_current_a=0.09).parking
        assert (near.low_rest_current_a, near.high_rest_current_a) == (0.028, 0.032)
        assert (far.low_rest_current_a, far.high_rest_current_a) == (None, None)

    @pytest.mark.parametrize("wrong", [{"minutes": 0.0}, {"minutes": 20.0, "weekdays": ()}])
    def test_a_drive_lasts_some_time_on_some_day(self, van, wrong):
        drive = Drive(start_h=7.5, **wrong)
        assert "drives 1" in str(refused(edits.change_parking, van, drives=(drive,)).where)

    def test_what_hung_on_a_second_battery_goes_to_the_starters_with_it(self, van):
        van = edits.change_second_battery(van, capacity_ah=95.0, link="dcdc")
        van = edits.change_accessory(van, van.accessories[0].id, battery="second")
        assert van.second_battery.capacity_ah == 95.0
        without = edits.set_second_battery(van, None)
        assert without.second_battery is None
        assert without.accessories[0].battery == "starter"

    def test_a_night_below_zero_is_a_temperature_like_any_other(self, van):
        assert edits.change_parking(van, coldest_c=-25.0).parking.coldest_c == -25.0

    def test_no_winter_is_colder_than_the_scale(self, van):
        assert refused(edits.change_parking, van, coldest_c=-80.0).where == in_words(
            "parking.coldest_c"
        )

    def test_the_clock_has_24_hours(self, van):
        assert refused(edits.change_parking, van, locked_at_h=25.0).where == in_words(
            "parking.locked_at_h"
        )

    def test_a_rule_takes_this_vehicles_value_and_can_take_its_default_again(self, van):
        own = edits.set_rule(van, "continuous_share", 0.6)
        again = edits.set_rule(own, "continuous_share", 0.7)
        assert [(r.key, r.value) for r in again.rules] == [("continuous_share", 0.7)]
        assert edits.set_rule(again, "continuous_share", None) == van

    def test_a_rule_has_to_be_a_number(self, van):
        wrong = refused(edits.set_rule, van, "continuous_share", float("nan"))
        assert wrong.where == "Rule, value"

    def test_the_log_keeps_its_order(self, van):
        van = edits.add_log(edits.add_log(van, "2024-03-01", "Camera fitted"), "2024-04-01", "OK")
        assert [entry.text for entry in van.log] == ["Camera fitted", "OK"]


class TestPanels:
    def test_a_new_panel_has_a_slot_on_every_place_numbered_by_rows(self):
        van = edits.add_panel(Vehicle(name="Van"), "Dash", 2, 3, family="micro2", place="boot")
        (panel,) = van.panels
        assert [(s.row, s.column, s.label) for s in panel.slots][2:4] == [
            (0, 2, "F3"),
            (1, 0, "F4"),
        ]
        assert {s.family for s in panel.slots} == {"micro2"}
        assert panel.place == "boot"

    def test_a_second_panel_numbers_on_and_its_ids_are_new(self, van):
        van = edits.add_panel(van, "Under bonnet", 1, 2, place="engine_bay")
        assert [s.label for s in van.panels[1].slots] == ["F7", "F8"]
        assert len({s.id for s in look_up.slots(van)}) == 8

    def test_the_largest_panel_gets_all_its_slots(self):
        van = edits.add_panel(Vehicle(name="Bus"), "Wall", 60, 60)
        assert len({s.id for s in look_up.slots(van)}) == 3600

    @pytest.mark.parametrize(("rows", "columns"), [(0, 3), (3, 0), (61, 1), (1, -1)])
    def test_a_panel_without_places_or_beyond_belief_is_refused(self, rows, columns):
        refused(edits.add_panel, Vehicle(name="Van"), "Dash", rows, columns)

    def test_a_panel_cannot_shrink_over_its_slots(self, van):
        assert refused(edits.change_panel, van, "panel-1", rows=1).where == in_words("slots[3].row")

    def test_a_panel_can_be_moved_to_the_engine_bay(self, van):
        assert edits.change_panel(van, "panel-1", place="engine_bay").panels[0].place == (
            "engine_bay"
        )

    def test_slots_and_ids_are_not_fields_to_change_on_a_panel(self, van):
        for field in ("slots", "id"):
            with pytest.raises(TypeError):
                edits.change_panel(van, "panel-1", **{field: ()})

    def test_a_panel_that_is_not_there_cannot_be_changed(self, van):
        assert "panel-9" in refused(edits.change_panel, van, "panel-9", name="x").what

    def test_a_panel_goes_with_its_slots(self, van):
        assert edits.remove_panel(van, "panel-1").panels == ()

    def test_a_panel_with_an_accessory_on_it_stays(self, van):
        van = edits.place(van, "accessory-1", slot="slot-2")
        error = refused(edits.remove_panel, van, "panel-1")
        assert "Camera" in error.what
        assert "F2" in error.what

    def test_an_inserted_row_moves_what_is_below_and_nothing_else(self, van):
        taller = edits.insert_line(van, "panel-1", "row", 1)
        assert taller.panels[0].rows == 3
        before, after = van.panels[0].slots, taller.panels[0].slots
        assert [s.row for s in after] == [0, 0, 0, 2, 2, 2]
        assert all(old is new for old, new in zip(before[:3], after[:3], strict=True))

    def test_an_inserted_column_can_be_the_last(self, van):
        wider = edits.insert_line(van, "panel-1", "column", 3)
        assert wider.panels[0].columns == 4
        assert wider.panels[0].slots == van.panels[0].slots

    @pytest.mark.parametrize("at", [-1, 3])
    def test_a_row_cannot_be_inserted_off_the_panel(self, van, at):
        refused(edits.insert_line, van, "panel-1", "row", at)

    def test_removing_a_column_removes_its_slots_and_closes_up(self, van):
        narrower = edits.remove_line(van, "panel-1", "column", 0)
        assert [(s.label, s.column) for s in narrower.panels[0].slots] == [
            ("F2", 0), ("F3", 1), ("F5", 0), ("F6", 1),
        ]  # fmt: skip

    def test_insert_and_remove_of_a_line_come_back_to_the_same(self, van):
        there = edits.insert_line(van, "panel-1", "row", 1)
        assert edits.remove_line(there, "panel-1", "row", 1) == van

    def test_the_last_row_and_a_tapped_row_stay(self, van):
        tapped = edits.place(van, "accessory-1", slot="slot-2")
        assert "Camera" in refused(edits.remove_line, tapped, "panel-1", "row", 0).what
        single = edits.remove_line(van, "panel-1", "row", 1)
        refused(edits.remove_line, single, "panel-1", "row", 0)
        refused(edits.remove_line, van, "panel-1", "row", 2)


class TestSlots:
    def test_a_slot_goes_onto_a_gap_and_only_there(self, van):
        gap = edits.remove_slot(van, "slot-5")
        back = edits.add_slot(gap, "panel-1", 1, 1, label="F5")
        assert look_up.slot_at(back.panels[0], 1, 1).label == "F5"
        assert "F5" in refused(edits.add_slot, van, "panel-1", 1, 1).what

    def test_a_slot_cannot_be_outside_the_panel(self, van):
        refused(edits.add_slot, van, "panel-1", 5, 0)

    def test_a_slot_can_move_to_a_free_place(self, van):
        gap = edits.remove_slot(van, "slot-6")
        assert look_up.slot(edits.change_slot(gap, "slot-1", row=1, column=2), "slot-1").row == 1
        refused(edits.change_slot, van, "slot-1", row=1, column=2)

    def test_a_change_touches_that_slot_alone(self, van):
        named = edits.change_slot(van, "slot-2", circuit="Radio", own_load=StateLoads(ignition=2.5))
        before, after = van.panels[0].slots, named.panels[0].slots
        assert after[1].circuit == "Radio"
        assert [old is new for old, new in zip(before, after, strict=True)].count(False) == 1

    def test_another_family_empties_the_slot(self, van):
        assert (
            look_up.slot(edits.change_slot(van, "slot-2", family="micro2"), "slot-2").fuse is None
        )

    def test_another_family_with_its_fuse_is_one_edit(self, van):
        fuse = Fuse(family="micro2", rating=10)
        changed = edits.change_slot(van, "slot-2", family="micro2", fuse=fuse)
        assert look_up.slot(changed, "slot-2").fuse is fuse

    def test_a_fuse_of_another_family_does_not_fit(self, van):
        fuse = Fuse(family="maxi", rating=30)
        assert "maxi" in refused(edits.change_slot, van, "slot-2", fuse=fuse).what

    def test_a_relay_place_holds_no_fuse(self, van):
        assert refused(edits.change_slot, van, "slot-2", kind="relay").where == in_words("fuse")
        relay = edits.change_slot(van, "slot-2", kind="relay", fuse=None)
        assert look_up.slot(relay, "slot-2").kind == "relay"

    def test_a_tapped_slot_stays_a_slot(self, van):
        van = edits.place(van, "accessory-1", slot="slot-3")
        assert "Camera" in refused(edits.change_slot, van, "slot-3", kind="blocked").what
        refused(edits.remove_slot, van, "slot-3")

    def test_a_slot_hangs_on_a_feed_that_is_there(self, van):
        assert look_up.slot(edits.change_slot(van, "slot-1", feed="feed-1"), "slot-1").feed == (
            "feed-1"
        )
        refused(edits.change_slot, van, "slot-1", feed="feed-9")

    def test_a_slot_may_hang_straight_on_the_battery_or_nobody_knows(self, van):
        assert look_up.slot(van, "slot-1").feed is None
        straight = edits.change_slot(van, "slot-1", feed=BATTERY, feed_class="permanent")
        assert look_up.slot(straight, "slot-1").feed == BATTERY
        assert look_up.feed_of(straight, look_up.slot(straight, "slot-1")) is None
        assert list(look_up.feeds_above(straight, BATTERY)) == []
        assert edits.change_slot(straight, "slot-1", feed=None) == edits.change_slot(
            van, "slot-1", feed_class="permanent"
        )

    @pytest.mark.parametrize("switched", sorted(SWITCHED))
    def test_what_is_switched_cannot_hang_straight_on_the_battery(self, van, switched):
        """Something switches it, and all its current flows through that."""
        known = edits.change_slot(van, "slot-1", feed_class=switched)
        problem = refused(edits.change_slot, known, "slot-1", feed=BATTERY)
        assert problem.where == in_words("feed")
        assert "switches it" in problem.text
        refused(edits.change_slot, van, "slot-1", feed_class=switched, feed=BATTERY)
        refused(edits.add_slot, van, "panel-1", 0, 9, feed_class=switched, feed=BATTERY)

    @pytest.mark.parametrize("switched", sorted(SWITCHED))
    def test_a_slot_that_turns_out_to_be_switched_is_not_on_the_battery_any_more(
        self, van, switched
    ):
        straight = edits.change_slot(van, "slot-1", feed=BATTERY)
        assert look_up.slot(straight, "slot-1").feed == BATTERY
        found = look_up.slot(edits.change_slot(straight, "slot-1", feed_class=switched), "slot-1")
        assert (found.feed_class, found.feed) == (switched, None)
        hung = edits.change_slot(straight, "slot-1", feed_class=switched, feed="feed-2")
        assert look_up.slot(hung, "slot-1").feed == "feed-2"

    def test_a_file_that_says_so_can_be_mended(self, van):
        panel = van.panels[0]
        wrong = replace(panel.slots[0], feed_class="ignition", feed=BATTERY)
        van = replace(
            van, panels=(replace(panel, slots=(wrong, *panel.slots[1:])), *van.panels[1:])
        )
        named = edits.change_slot(van, wrong.id, circuit="Radio", feed_class="ignition")
        assert look_up.slot(named, wrong.id) == replace(wrong, circuit="Radio")
        assert look_up.slot(edits.change_slot(named, wrong.id, feed=None), wrong.id).feed is None

    def test_the_most_of_an_own_load_is_no_less_than_the_load(self, van):
        bounded = edits.change_slot(
            van, "slot-1", own_load=StateLoads(asleep=0.0), own_most=StateLoads(asleep=0.2)
        )
        assert look_up.slot(bounded, "slot-1").own_most.asleep == 0.2
        for load, most in ((0.3, 0.2), (None, 0.2)):
            problem = refused(
                edits.change_slot,
                van,
                "slot-1",
                own_load=StateLoads(awake=load),
                own_most=StateLoads(awake=most),
            )
            assert problem.where == in_words("own_most.awake")

    def test_another_own_load_is_not_bounded_by_what_bounded_the_old_one(self, van):
        both = StateLoads(asleep=0.0, ignition=1.0)
        most = StateLoads(asleep=0.2, ignition=1.4)
        bounded = edits.change_slot(van, "slot-1", own_load=both, own_most=most)
        typed = edits.change_slot(bounded, "slot-1", own_load=replace(both, asleep=0.05))
        assert look_up.slot(typed, "slot-1").own_most == StateLoads(ignition=1.4)
        unread = edits.change_slot(typed, "slot-1", own_load=StateLoads(asleep=0.05))
        assert look_up.slot(unread, "slot-1").own_most == StateLoads()

    def test_several_slots_change_together_or_not_at_all(self, van):
        changed = edits.change_slots(van, ["slot-1", "slot-3"], feed_class="ignition")
        assert [s.feed_class for s in changed.panels[0].slots][:3] == [
            "ignition", "unknown", "ignition",
        ]  # fmt: skip
        refused(edits.change_slots, van, ["slot-1", "slot-9"], feed_class="ignition")

    def test_a_negative_load_and_an_id_are_no_changes(self, van):
        error = refused(edits.change_slot, van, "slot-1", own_load=StateLoads(asleep=-0.1))
        assert error.where == in_words("own_load.asleep")
        with pytest.raises(TypeError, match="id"):
            edits.change_slot(van, "slot-1", id="slot-99")


class TestFeeds:
    def test_a_feed_cannot_be_above_itself(self, van):
        assert refused(edits.change_feed, van, "feed-1", parent="feed-2").where == in_words(
            "parent"
        )
        refused(edits.change_feed, van, "feed-1", parent="feed-1")
        refused(edits.add_feed, van, "Third", parent="feed-9")

    def test_what_hung_below_a_removed_feed_hangs_on_its_parent(self, van):
        van = edits.add_feed(van, "Socket branch", parent="feed-2")
        van = edits.place(van, "accessory-1", feed="feed-2")
        less = edits.remove_feed(van, "feed-2")
        assert look_up.slot(less, "slot-2").feed == "feed-1"
        assert look_up.feed(less, "feed-3").parent == "feed-1"
        assert less.taps[0].feed == "feed-1"

    def test_below_the_battery_there_is_no_parent_left(self, van):
        assert edits.remove_feed(van, "feed-1").feeds[0].parent is None

    def test_of_a_slot_on_a_removed_feed_that_hung_on_the_battery_nothing_is_said(self, van):
        van = edits.change_slot(van, "slot-1", feed="feed-1")
        less = edits.remove_feed(van, "feed-1")
        assert look_up.slot(less, "slot-1").feed is None
        assert look_up.slot(less, "slot-2").feed == "feed-2"

    def test_a_panel_without_the_feed_is_left_alone(self, van):
        van = edits.add_panel(van, "Boot", 1, 1)
        assert edits.remove_feed(van, "feed-2").panels[1] is van.panels[1]

    def test_a_feeds_limit_is_a_current(self, van):
        assert edits.change_feed(van, "feed-1", limit_a=45.0).feeds[0].limit_a == 45.0
        refused(edits.change_feed, van, "feed-1", limit_a=-1.0)


class TestAccessories:
    @pytest.mark.parametrize("power", [{}, {"watts": 5.0, "amperes": 1.0}])
    def test_it_is_given_in_watts_or_in_amperes(self, van, power):
        assert refused(edits.add_accessory, van, "Lamp", **power).where == in_words("watts")

    def test_it_needs_a_power_lead(self, van):
        refused(edits.add_accessory, van, "Lamp", watts=5.0, leads=("sense",))
        refused(edits.add_accessory, van, "Lamp", watts=5.0, leads=("power", "power"))

    def test_a_cut_off_comes_on_again_above_where_it_went_off(self, van):
        cut_off = VoltageCutOff(off_v=12.2, on_v=12.0)
        error = refused(edits.change_accessory, van, "accessory-1", cut_off=cut_off)
        assert error.where == in_words("cut_off.on_v")

    def test_a_lead_that_goes_takes_its_tap_along(self, van):
        van = edits.place(van, "accessory-1", slot="slot-2")
        van = edits.place(van, "accessory-1", "sense", slot="slot-3")
        van = edits.change_accessory(van, "accessory-1", leads=("power",))
        assert [tap.lead for tap in van.taps] == ["power"]

    def test_a_removed_accessory_takes_its_taps_along(self, van):
        van = edits.add_accessory(van, "Charger", amperes=3.0)
        van = edits.place(van, "accessory-1", slot="slot-2")
        van = edits.place(van, "accessory-2", slot="slot-3")
        van = edits.remove_accessory(van, "accessory-1")
        assert [tap.accessory for tap in van.taps] == ["accessory-2"]
        refused(edits.remove_accessory, van, "accessory-1")


class TestTaps:
    def test_an_accessory_on_a_slot_gets_a_two_fuse_tap_on_the_live_side(self, van):
        (tap,) = edits.place(van, "accessory-1", slot="slot-2").taps
        assert (tap.kind, tap.way_round, tap.lead) == ("two_fuse", "live_side", "power")

    def test_moved_to_another_slot_it_keeps_its_cable_and_fuse(self, van):
        cable, fuse = Cable(section_mm2=1.0, length_m=2.0), Fuse(family="mini", rating=3)
        van = edits.place(van, "accessory-1", slot="slot-2", fuse=fuse, cable_out=cable)
        (tap,) = edits.place(van, "accessory-1", slot="slot-3").taps
        assert (tap.slot, tap.fuse, tap.cable_out) == ("slot-3", fuse, cable)

    def test_it_can_move_to_an_own_feed_and_back(self, van):
        own = edits.place(van, "accessory-1", feed="feed-1", relay=True)
        assert (own.taps[0].kind, own.taps[0].slot) == ("own_feed", None)
        (tap,) = edits.place(own, "accessory-1", slot="slot-2").taps
        assert (tap.kind, tap.feed, tap.relay) == ("two_fuse", None, False)

    @pytest.mark.parametrize(
        "fields",
        [
            {"slot": "slot-2", "kind": "own_feed"},
            {"slot": "slot-2", "feed": "feed-1"},
            {"slot": "slot-2", "relay": True},
            {"kind": "splice"},
            {"slot": "slot-9"},
            {"feed": "feed-9"},
            {"slot": "slot-2", "ceiling_a": -1.0},
        ],
    )
    def test_a_tap_that_cannot_be_made_is_refused(self, van, fields):
        refused(edits.place, van, "accessory-1", **fields)

    def test_a_lead_the_accessory_does_not_have_cannot_be_placed(self, van):
        van = edits.add_accessory(van, "Lamp", watts=5.0)
        assert "sense" in refused(edits.place, van, "accessory-2", "sense", slot="slot-2").what

    def test_a_relay_place_takes_no_tap(self, van):
        van = edits.change_slot(van, "slot-1", kind="relay")
        refused(edits.place, van, "accessory-1", slot="slot-1")

    def test_a_critical_circuit_is_refused_until_the_reason_is_written_down(self, van):
        van = edits.change_slot(van, "slot-2", critical=True, critical_reason="airbag")
        error = refused(edits.place, van, "accessory-1", slot="slot-2")
        assert "airbag" in error.what
        refused(edits.place, van, "accessory-1", slot="slot-2", justification="  ")
        half = {"justification": "a bench vehicle"}
        refused(edits.place, van, "accessory-1", slot="slot-2", **half)
        refused(edits.place, van, "accessory-1", slot="slot-2", found_how="seen it", **half)
        placed = edits.place(van, "accessory-1", slot="slot-2", **REASON)
        assert (placed.taps[0].justification, placed.taps[0].found_how) == tuple(REASON.values())

    def test_a_reason_written_for_one_slot_does_not_hold_for_the_next(self, van):
        for slot in ("slot-2", "slot-3"):
            van = edits.change_slot(van, slot, critical=True)
        van = edits.place(van, "accessory-1", slot="slot-2", **REASON)
        refused(edits.place, van, "accessory-1", slot="slot-3")

    def test_a_tap_that_was_there_before_its_slot_was_marked_critical_may_be_mended(self, van):
        van = edits.place(van, "accessory-1", slot="slot-2")
        van = edits.change_slot(van, "slot-2", critical=True)
        mended = edits.change_tap(van, "tap-1", fuse=Fuse(family="mini", rating=5))
        assert mended.taps[0].fuse.rating == 5
        for field, text in REASON.items():
            van = edits.change_tap(van, "tap-1", **{field: text})
        refused(edits.change_tap, van, "tap-1", justification="")
        refused(edits.change_tap, van, "tap-1", found_how="x")

    def test_a_lead_has_one_tap(self, van):
        van = edits.place(van, "accessory-1", slot="slot-2")
        van = edits.place(van, "accessory-1", "sense", slot="slot-3")
        error = refused(edits.change_tap, van, "tap-2", lead="power")
        assert "already" in error.what

    def test_turning_a_tap_round_changes_that_tap_alone(self, van):
        van = edits.place(van, "accessory-1", slot="slot-2")
        van = edits.place(van, "accessory-1", "sense", slot="slot-3")
        turned = edits.change_tap(van, "tap-1", way_round="load_side")
        assert turned.taps[0].way_round == "load_side"
        assert turned.taps[1] is van.taps[1]

    def test_taken_off_its_slot_the_accessory_stays_on_the_shelf(self, van):
        placed = edits.place(van, "accessory-1", slot="slot-2")
        assert edits.unplace(placed, "tap-1") == van
        refused(edits.unplace, van, "tap-1")


def test_an_edit_leaves_the_vehicle_it_started_from_as_it_was(van):
    copy = Vehicle(**{name: getattr(van, name) for name in van.__struct_fields__})
    edits.change_slot(van, "slot-2", circuit="Radio")
    edits.place(van, "accessory-1", slot="slot-2")
    assert van == copy


def test_numbers_of_parts_inside_parts_are_looked_at_too(van):
    cut_off = VoltageCutOff(off_v=500.0, on_v=500.0)
    assert refused(edits.add_accessory, van, "x", watts=1.0, cut_off=cut_off).where == in_words(
        "cut_off.off_v"
    )
