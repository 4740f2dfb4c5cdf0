"""Two plans side by side: places, margins, days, parts."""

from fusemap.assess import assess
from fusemap.placement.joint import fit_plan, plan_rest
from fusemap.placement.variants import Comparison, compare, parts_of
from fusemap.text import ENGLISH, Amount, Section, say
from fusemap.vehicle import Cable, Fuse, Vehicle, edits
from tests.vehicles import one_slot, with_accessory


def sides(before: Vehicle, after: Vehicle) -> Comparison:
    return compare(assess(before), assess(after))


def row(rows: tuple, what: str):  # type: ignore[type-arg,no-untyped-def]
    return next(r for r in rows if r.what == what)


def planned() -> tuple[Vehicle, Vehicle]:
    """A vehicle before and after its camera is planned."""
    vehicle = edits.change_slot(one_slot(), "slot-1", circuit="Radio", label="F12")
    vehicle = edits.add_accessory(vehicle, "Camera", amperes=0.4, rated_v=12.0, standby_a=0.03)
    return vehicle, fit_plan(vehicle, plan_rest(assess(vehicle)))


def test_where_a_lead_is_in_both_plans() -> None:
    before, after = planned()
    found = row(sides(before, after).places, "Camera")
    assert (found.left, found.right) == ("not placed", "F12 Radio")
    assert not found.same


def test_an_accessory_that_only_one_plan_has_is_told_apart_from_one_not_placed() -> None:
    before, after = planned()
    more = edits.add_accessory(after, "Horn", amperes=5.0)
    found = row(sides(before, more).places, "Horn")
    assert (found.left, found.right) == ("–", "not placed")


def test_the_days_get_fewer_with_something_on_a_permanent_slot() -> None:
    before, after = planned()
    found = row(sides(before, after).parked, "Starts by the usual figures for")
    assert ENGLISH.show(found.left).endswith("days")
    assert found.left != found.right


def test_the_margin_of_the_slot_shrinks() -> None:
    before, after = planned()
    found = row(sides(before, after).margins, "Slot F12 Radio")
    assert isinstance(found.left, Amount)
    assert isinstance(found.right, Amount)
    assert found.left.value <= found.right.value


def test_parts_are_counted_and_cable_is_added_up() -> None:
    vehicle = with_accessory(
        one_slot(),
        fuse=Fuse(family="mini", rating=7.5),
        cable_out=Cable(section_mm2=1.5, length_m=2.5),
        cable_back=Cable(section_mm2=1.5, length_m=1.0),
        joint="butt_crimp",
    )
    parts = parts_of(vehicle)
    assert parts[say("Cable {section}", section=Section(1.5)), "m"] == 3.5
    assert parts["Two-fuse tap, mini", ""] == 1
    assert parts["Fuse 7.5\u202fA mini", ""] == 1
    assert parts["Butt crimp with sealing sleeve", ""] == 1


def test_a_plan_beside_itself_has_nothing_that_differs() -> None:
    _, after = planned()
    assert all(r.same for _, rows in sides(after, after).groups() for r in rows)
