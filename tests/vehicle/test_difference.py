"""Two vehicles are compared part by part, in the names people know."""

from hypothesis import HealthCheck, given, settings

from fusemap.vehicle import Fuse, SecondBattery, Vehicle, edits
from fusemap.vehicle.difference import Difference, differences
from tests.strategies import vehicles


def van() -> Vehicle:
    """A van with a radio's slot and a dash camera on it."""
    made = edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 3)
    made = edits.change_slot(
        made, "slot-1", label="F1", circuit="Radio", fuse=Fuse(family="mini", rating=10)
    )
    made = edits.add_accessory(made, "Dash camera", watts=6.0)
    return edits.place(made, "accessory-1", slot="slot-1", fuse=Fuse(family="mini", rating=3))


def said(before: Vehicle, after: Vehicle) -> list[tuple[str, str, str]]:
    return [(d.part, d.change, d.name) for d in differences(before, after)]


def only(before: Vehicle, after: Vehicle) -> Difference:
    (found,) = differences(before, after)
    return found


def test_a_vehicle_does_not_differ_from_itself():
    assert differences(van(), van()) == ()


def test_a_larger_fuse_is_named_with_its_slot_and_both_ratings():
    after = edits.change_slot(van(), "slot-1", fuse=Fuse(family="mini", rating=15))
    found = only(van(), after)
    assert (found.part, found.change, found.name) == ("slot", "changed", "F1 Radio")
    (field,) = found.fields
    assert (field.name, field.before, field.after) == ("fuse.rating", 10, 15)


def test_a_fuse_taken_out_is_a_change_of_its_slot():
    (field,) = only(van(), edits.change_slot(van(), "slot-1", fuse=None)).fields
    assert (field.name, field.after) == ("fuse", None)


def test_what_came_and_what_went():
    more = edits.add_feed(edits.add_accessory(van(), "Cool box", watts=45.0), "Main")
    assert said(van(), more) == [
        ("feed", "added", "Main"),
        ("accessory", "added", "Cool box"),
    ]
    assert said(more, van()) == [
        ("feed", "removed", "Main"),
        ("accessory", "removed", "Cool box"),
    ]


def test_a_tap_is_named_by_what_it_supplies_and_from_where():
    assert said(van(), edits.unplace(van(), "tap-1")) == [
        ("tap", "removed", "Dash camera → F1 Radio")
    ]


def test_a_panel_goes_with_the_slots_that_something_is_known_of():
    bare = edits.remove_panel(edits.unplace(van(), "tap-1"), "panel-1")
    assert ("panel", "removed", "Cabin") in said(van(), bare)
    slots = [name for part, _, name in said(van(), bare) if part == "slot"]
    assert slots == ["F1 Radio"]


def test_battery_parking_and_rules():
    after = edits.change_battery(van(), capacity_ah=70.0)
    after = edits.change_parking(after, stand_days=9.0)
    assert [(d.part, d.fields[0].name) for d in differences(van(), after)] == [
        ("battery", "capacity_ah"),
        ("parking", "stand_days"),
    ]


def test_a_second_battery_comes_and_goes_as_a_whole():
    with_two = edits.set_second_battery(van(), SecondBattery())
    assert said(van(), with_two) == [("second_battery", "added", "")]
    assert said(with_two, van()) == [("second_battery", "removed", "")]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(vehicles(), vehicles())
def test_any_two_vehicles_can_be_compared_and_only_equal_ones_do_not_differ(one, other):
    assert bool(differences(one, other)) == (one != other)
    assert differences(one, one) == ()
