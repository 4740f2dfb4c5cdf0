"""What is typed onto a slot means what it says."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.errors import EditRefused, InputProblem
from fusemap.text import Style
from fusemap.vehicle import Fuse, Slot, Vehicle, edits, look_up
from fusemap.window.panel.slot_entry import (
    NO_FUSE,
    add_slots,
    enter,
    entry_text,
    read_entry,
    remove_slots,
    set_rating,
)

circuits = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Zs", "Zl", "Zp"))).map(
    str.strip
)
ratings = st.sampled_from([2.0, 3.0, 5.0, 7.5, 10.0, 25.0])


@given(st.none() | ratings, st.lists(circuits.filter(bool), max_size=3).map(" ".join))
def test_what_is_shown_for_a_slot_is_read_as_that_slot(rating: float | None, words: str) -> None:
    fuse = None if rating is None else Fuse(family="mini", rating=rating)
    slot = Slot(id="a", row=0, column=0, fuse=fuse, circuit=words)
    expected = NO_FUSE if rating is None else rating
    assert read_entry(entry_text(slot, Style())) == (expected, words or None)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("15", (15.0, None)),
        ("15A", (15.0, None)),
        ("15 A Radio", (15.0, "Radio")),
        ("7.5 Radio", (7.5, "Radio")),
        ("15 Airbag", (15.0, "Airbag")),
        ("-", (NO_FUSE, None)),
        ("Radio 2", (None, "Radio 2")),
        ("4x4 switch", (None, "4x4 switch")),
        ("-5", (None, "-5")),
        ("", (None, None)),
    ],
)
def test_a_line_is_read_as_it_is_meant(text: str, meant: tuple[object, object]) -> None:
    assert read_entry(text) == meant


def test_a_rating_for_several_slots_is_put_into_all_or_none(van: Vehicle) -> None:
    with pytest.raises(InputProblem, match="no fuse"):
        set_rating(van, ["slot-1", "slot-6"], 10)
    changed = set_rating(van, ["slot-1", "slot-2"], 10)
    assert [look_up.slot(changed, f"slot-{n}").fuse.rating for n in (1, 2)] == [10, 10]  # type: ignore[union-attr]


def test_the_same_rating_keeps_the_fuse_that_was_measured(van: Vehicle) -> None:
    measured = Fuse(family="mini", rating=10, resistance_mohm=7.4)
    vehicle = enter(van, ["slot-1"], "10")
    assert look_up.slot(vehicle, "slot-1").fuse == Fuse(family="mini", rating=10)
    vehicle = edits.change_slot(vehicle, "slot-1", fuse=measured)
    assert look_up.slot(enter(vehicle, ["slot-1"], "10 Radio"), "slot-1").fuse is measured


def test_slots_are_taken_away_all_or_none(van: Vehicle) -> None:
    with pytest.raises(EditRefused, match="Dash cam"):
        remove_slots(van, ["slot-2", "slot-1"])
    assert len(list(look_up.slots(remove_slots(van, ["slot-2", "slot-5"])))) == 7


def test_a_new_slot_is_like_its_neighbours_and_numbered_on(van: Vehicle) -> None:
    vehicle = add_slots(van, "panel-1", [(1, 2)])
    made = look_up.slot_at(vehicle.panels[0], 1, 2)
    assert made is not None
    assert (made.label, made.family, made.fuse) == ("F11", "mini", None)
