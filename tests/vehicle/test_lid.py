"""A panel is made as its lid shows it: labels in the lid's order, families, gaps, relay places."""

from itertools import islice
from typing import Any

import pytest

from fusemap.errors import EditRefused, InputProblem
from fusemap.vehicle import Slot, Vehicle, edits, look_up
from fusemap.vehicle.edits.panels import Lid, labels_left, series
from fusemap.vehicle.validity import faults


def made(**fields: Any) -> dict[tuple[int, int], Slot]:
    """The slots of a lid of two rows of three by their places."""
    vehicle = edits.add_lid(Vehicle(name="Van"), "Cabin", Lid(rows=2, columns=3, **fields))
    assert list(faults(vehicle)) == []
    return {(slot.row, slot.column): slot for slot in vehicle.panels[0].slots}


def labels(**fields: Any) -> list[str]:
    """The labels of such a lid in reading order."""
    return [slot.label for slot in made(**fields).values()]


def test_rows_and_columns_alone_make_the_panel_that_adding_one_makes() -> None:
    plain = edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 3)
    assert edits.add_lid(Vehicle(name="Van"), "Cabin", Lid(rows=2, columns=3)) == plain


@pytest.mark.parametrize(
    ("fields", "wanted"),
    [
        ({}, "F1 F2 F3 F4 F5 F6"),
        ({"labels": "7"}, "7 8 9 10 11 12"),
        ({"along": "columns"}, "F1 F3 F5 F2 F4 F6"),
        ({"from_right": True}, "F3 F2 F1 F6 F5 F4"),
        ({"from_bottom": True}, "F4 F5 F6 F1 F2 F3"),
        ({"along": "columns", "from_right": True, "from_bottom": True}, "F6 F4 F2 F5 F3 F1"),
        ({"labels": "F01"}, "F01 F02 F03 F04 F05 F06"),
        ({"labels": "A, B, C, D, E, F"}, "A B C D E F"),
        ({"labels": "F1-F3, F20, F21-22"}, "F1 F2 F3 F20 F21 F22"),
        ({"labels": "1-3, 1-3"}, "1 2 3 1 2 3"),
    ],
)
def test_labels_run_as_the_lid_counts(fields: dict[str, Any], wanted: str) -> None:
    assert labels(**fields) == wanted.split()


def test_slots_without_a_label_are_possible() -> None:
    assert labels(labels="") == [""] * 6
    assert labels(labels="F1-F4") == ["F1", "F2", "F3", "F4", "", ""]


def test_gaps_and_relay_places_take_no_label() -> None:
    slots = made(kinds={(0, 1): "gap", (1, 0): "relay"})
    assert (0, 1) not in slots
    assert slots[1, 0].kind == "relay"
    assert [slot.label for slot in slots.values()] == ["F1", "F2", "", "F3", "F4"]


def test_a_row_may_be_of_another_family_and_all_may_lie() -> None:
    row = {(0, column): "maxi" for column in range(3)}
    slots = made(families=row, orientation="lying")
    assert [slot.family for slot in slots.values()] == ["maxi"] * 3 + ["mini"] * 3
    assert {slot.orientation for slot in slots.values()} == {"lying"}


def test_what_was_said_of_places_that_are_no_longer_there_is_left_aside() -> None:
    assert len(made(kinds={(9, 9): "gap"}, families={(9, 9): "maxi"})) == 6


def test_a_run_may_count_down_and_has_one_sort_of_label() -> None:
    assert list(series("F3-F1")) == ["F3", "F2", "F1"]
    assert list(series("F 1 – F 3")) == ["F 1", "F 2", "F 3"]
    for text in ("F1-R12", "F1-F99999"):
        with pytest.raises(InputProblem):
            series(text)


def test_a_single_last_label_counts_on_but_a_run_ends() -> None:
    assert list(islice(series("F1-F2, F9"), 4)) == ["F1", "F2", "F9", "F10"]
    assert list(islice(series("F9, F1-F2"), 4)) == ["F9", "F1", "F2"]


def test_labels_too_many_are_told() -> None:
    assert labels_left(Lid(rows=1, columns=3, labels="F1-F5")) == 2
    assert labels_left(Lid(rows=1, columns=3, labels="F1")) == 0


def test_a_second_lid_gets_ids_of_its_own() -> None:
    vehicle = edits.add_lid(Vehicle(name="Van"), "Cabin", Lid(rows=1, columns=2))
    vehicle = edits.add_lid(vehicle, "Boot", Lid(rows=1, columns=2, labels="F3"), place="boot")
    assert [slot.id for slot in look_up.slots(vehicle)] == ["slot-1", "slot-2", "slot-3", "slot-4"]
    assert vehicle.panels[1].place == "boot"


@pytest.mark.parametrize(("rows", "columns"), [(0, 3), (3, 61), (30, 30)])
def test_a_lid_no_vehicle_has_is_refused(rows: int, columns: int) -> None:
    with pytest.raises(EditRefused):
        edits.add_lid(Vehicle(name="Van"), "Cabin", Lid(rows=rows, columns=columns))
