"""What would help the parked battery: each change is an edit, its days are the forecast's own."""

from math import inf
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.assess import assess
from fusemap.assess.battery import battery_model
from fusemap.assess.parked.starting import saving_v
from fusemap.files import demos
from fusemap.fixes.what_if import WhatIf, what_ifs
from fusemap.vehicle import Fuse, Maintainer, StateLoads, Vehicle, VoltageCutOff, edits

DEMOS = [key for key, _ in demos.demo_names()]


def van(**camera: Any) -> Vehicle:
    """A camera of 0.2 A on a permanent slot, beside a switched slot that is free."""
    nothing = StateLoads(asleep=0.0, awake=0.0, accessory=0.0, ignition=0.0, running=0.0)
    vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 2)
    fuse = Fuse(family="mini", rating=10)
    for slot, feed_class in (("slot-1", "permanent"), ("slot-2", "ignition")):
        vehicle = edits.change_slot(
            vehicle, slot, fuse=fuse, feed_class=feed_class, own_load=nothing
        )
    vehicle = edits.change_battery(vehicle, capacity_ah=70.0, soh=0.8, start_soc=0.9)
    vehicle = edits.change_parking(vehicle, rest_current_a=0.025, awake_current_a=0.5)
    fields = {"amperes": 0.2, "works_in": ("asleep", "awake", "running"), **camera}
    vehicle = edits.add_accessory(vehicle, "Camera", load_kind="constant_current", **fields)
    return edits.place(vehicle, "accessory-1", slot="slot-1")


def by_key(vehicle: Vehicle) -> dict[str, WhatIf]:
    return {each.key: each for each in what_ifs(assess(vehicle))}


@pytest.mark.parametrize("key", DEMOS)
def test_the_days_of_each_change_are_those_of_the_vehicle_after_its_edit(key: str) -> None:
    vehicle = demos.read_demo(key)
    before = assess(vehicle).parked
    for each in what_ifs(assess(vehicle)):
        after = assess(each.edit(vehicle)).parked
        assert after.hours == each.hours
        assert after.hours > before.hours


@pytest.mark.parametrize("key", DEMOS)
def test_the_best_comes_first(key: str) -> None:
    a = assess(demos.read_demo(key))
    gains = [each.gained_h for each in what_ifs(a)]
    assert gains == sorted(gains, reverse=True)
    assert gains or a.parked.hours == inf


def test_off_and_moved_to_a_switched_slot_gain_the_same() -> None:
    found = by_key(van())
    assert found["off accessory-1"].hours == pytest.approx(found["move accessory-1"].hours)
    assert found["off accessory-1"].hours == pytest.approx(assess(van()).parked.hours_without)
    moved = found["move accessory-1"].vehicle
    assert [tap.slot for tap in moved.taps] == ["slot-2"]


def test_a_cut_off_saves_the_start_when_it_trips_above_the_charge_that_takes() -> None:
    found = by_key(van())["cut_off accessory-1"]
    (trip,) = found.parked.forecast.cut_offs
    assert trip.first_trip_h < found.hours
    low = by_key(van(cut_off=VoltageCutOff(off_v=11.6, on_v=12.6)))
    assert "raised" in low["cut_off accessory-1"].title
    high = VoltageCutOff(off_v=saving_cut_off_v(van()), on_v=13.2)
    assert "cut_off accessory-1" not in by_key(van(cut_off=high))


def saving_cut_off_v(vehicle: Vehicle) -> float:
    """The lowest cut-off that leaves what a start needs [V]."""
    model = battery_model(vehicle.battery, vehicle.system_v)
    return saving_v(model, assess(vehicle).parked.need.cautious)


def test_a_cut_off_that_leaves_nothing_to_work_with_is_no_help() -> None:
    """In the cold a start needs nearly all there is: what saves it trips at once."""
    vehicle = edits.change_parking(van(), coldest_c=-25.0)
    vehicle = edits.change_battery(vehicle, start_soc=0.8)
    volts = saving_cut_off_v(vehicle)
    cut_off = VoltageCutOff(off_v=volts, on_v=volts + 0.8)
    by_hand = assess(edits.change_accessory(vehicle, "accessory-1", cut_off=cut_off)).parked
    assert by_hand.hours > assess(vehicle).parked.hours + 24
    assert by_hand.forecast.cut_offs[0].first_trip_h < 3.0
    assert "cut_off accessory-1" not in by_key(vehicle)


def test_what_a_cut_off_gains_is_told_with_the_hours_of_work_it_leaves() -> None:
    found = by_key(van())["cut_off accessory-1"]
    (trip,) = found.parked.forecast.cut_offs
    assert found.work_h == pytest.approx(float(trip.first_trip_h))
    assert str(found.words).endswith("and it works for 3 days")
    assert by_key(van())["off accessory-1"].work_h is None


def test_a_maintainer_that_gives_more_than_is_drawn_holds_it_for_ever() -> None:
    found = by_key(van())["mains"]
    assert found.hours == float("inf")
    assert str(found.gain_words).startswith("at least ")


def test_nothing_more_is_offered_of_what_is_there_already() -> None:
    vehicle = edits.change_parking(van(), maintainer=Maintainer())
    vehicle = edits.change_battery(vehicle, start_soc=1.0)
    assert not {"mains", "solar", "charged"} & set(by_key(vehicle))


def test_a_new_battery_starts_as_charged_as_the_old_one() -> None:
    found = by_key(van())
    assert found["larger"].vehicle.battery.capacity_ah == 80.0
    assert found["larger"].parked.start_soc == 0.9
    assert found["larger"].gained_h > found["new"].gained_h > 0


@settings(max_examples=20, deadline=None)
@given(st.floats(0.02, 3.0), st.floats(0.05, 1.0), st.floats(0.0, 0.1), st.booleans())
def test_switching_something_off_never_shortens_it(
    amperes: float, duty: float, standby: float, timed: bool
) -> None:
    cut_off = VoltageCutOff(off_v=12.1, on_v=12.7) if timed else None
    vehicle = van(amperes=amperes, duty=duty, standby_a=standby, cut_off=cut_off)
    before = assess(vehicle).parked.hours
    off = edits.change_accessory(vehicle, "accessory-1", works_in=("running",), standby_a=0.0)
    assert assess(off).parked.hours >= before - 1e-6


@settings(max_examples=20, deadline=None)
@given(st.floats(0.02, 3.0), st.floats(0.01, 3.0))
def test_more_load_never_lasts_longer(amperes: float, more: float) -> None:
    hours = [assess(van(amperes=load)).parked.hours for load in (amperes, amperes + more)]
    assert hours[1] <= hours[0] + 1e-6


def test_what_is_on_the_shelf_may_be_left_off_too() -> None:
    """It counts in the forecast as if it hung on the battery: to switch it off gains as much."""
    shelf = edits.unplace(van(), "tap-1")
    off = by_key(shelf)["off accessory-1"]
    assert off.gained_h == pytest.approx(by_key(van())["off accessory-1"].gained_h, rel=0.01)
    assert off.gained_h > 24.0
