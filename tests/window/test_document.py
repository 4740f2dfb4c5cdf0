"""The vehicle in hand: edits, history, what is told to the views."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.errors import EditRefused
from fusemap.text import Style, say
from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document, Selection


@pytest.fixture
def document(qapp: Any) -> Document:
    vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 3)
    return Document(vehicle, assess=lambda vehicle: object(), find=lambda v, a: ())  # type: ignore[arg-type,return-value]


def rename(document: Document, name: str, merge: str | None = None) -> bool:
    return document.apply(f"Name {name}", edits.change_vehicle, name=name, merge=merge)


def test_an_edit_is_told_once_with_the_vehicle_before_and_after(document: Document) -> None:
    told: list[tuple[Vehicle, Vehicle]] = []
    document.changed.connect(lambda old, new: told.append((old, new)))
    before = document.vehicle
    assert rename(document, "Bus")
    assert told == [(before, document.vehicle)]
    assert document.vehicle.name == "Bus"


def test_undo_brings_back_the_very_same_vehicle(document: Document) -> None:
    before = document.vehicle
    rename(document, "Bus")
    after = document.vehicle
    document.stack.undo()
    assert document.vehicle is before
    document.stack.redo()
    assert document.vehicle is after


def test_a_step_keeps_its_name_as_a_text_that_any_language_can_say(document: Document) -> None:
    assert document.step_name(-1) == document.step_name(0) == ""
    document.apply(say("Remove {name}", name="Bus"), edits.change_vehicle, name="Bus")
    assert document.stack.undoText() == "Remove Bus"
    assert Style("de").show(document.step_name(-1)) == "Bus entfernen"
    document.stack.undo()
    assert document.step_name(-1) == ""
    assert document.step_name(0) == "Remove Bus"


def test_an_edit_that_changes_nothing_leaves_no_step(document: Document) -> None:
    assert rename(document, "Van")
    assert document.stack.count() == 0


def test_a_refused_edit_is_told_and_changes_nothing(document: Document) -> None:
    refusals: list[EditRefused] = []
    document.refused.connect(refusals.append)
    before = document.vehicle
    assert not document.apply("Place", edits.add_slot, "panel-1", 0, 0)
    assert document.vehicle is before
    assert document.stack.count() == 0
    assert "the place is taken" in refusals[0].what


def test_ticks_of_one_field_become_one_step(document: Document) -> None:
    for name in ("A", "AB", "ABC"):
        rename(document, name, merge="name")
    assert document.stack.count() == 1
    document.stack.undo()
    assert document.vehicle.name == "Van"


def test_ticks_of_two_fields_stay_two_steps(document: Document) -> None:
    rename(document, "A", merge="name")
    document.apply("Note", edits.change_vehicle, note="n", merge="note")
    assert document.stack.count() == 2


def test_ticks_with_another_step_between_stay_apart(document: Document) -> None:
    rename(document, "A", merge="name")
    document.apply("Note", edits.change_vehicle, note="n")
    rename(document, "B", merge="name")
    assert document.stack.count() == 3


def test_ticks_that_come_back_to_the_start_leave_no_step(document: Document) -> None:
    rename(document, "A", merge="name")
    rename(document, "Van", merge="name")
    assert document.stack.count() == 0
    assert not document.modified


def test_ticks_do_not_merge_over_a_save(document: Document, tmp_path: Path) -> None:
    rename(document, "A", merge="name")
    document.mark_saved(tmp_path / "van.fusemap")
    rename(document, "B", merge="name")
    assert document.modified
    document.stack.undo()
    assert document.vehicle.name == "A"
    assert not document.modified


def test_nobody_edits_from_inside_the_telling(document: Document) -> None:
    raised: list[RuntimeError] = []

    def answer(old: Vehicle, new: Vehicle) -> None:
        try:
            rename(document, "inside")
        except RuntimeError as error:
            raised.append(error)

    document.changed.connect(answer)
    rename(document, "Bus")
    assert len(raised) == 1
    assert document.vehicle.name == "Bus"


def test_a_vehicle_is_assessed_once_and_only_when_asked(qapp: Any) -> None:
    asked: list[str] = []

    def count(vehicle: Vehicle) -> Any:
        asked.append(vehicle.name)
        return object()

    document = Document(Vehicle(name="Van"), assess=count, find=lambda v, a: ())
    assert asked == []
    assert document.assessment is document.assessment
    assert document.findings == ()
    assert asked == ["Van"]
    rename(document, "Bus")
    assert document.findings == ()
    assert asked == ["Van", "Bus"]


def test_a_selection_that_no_longer_exists_is_dropped(document: Document) -> None:
    told: list[Selection | None] = []
    document.selected.connect(told.append)
    document.select("slot", "slot-2")
    document.select("slot", "slot-2")
    assert document.apply("Remove F2", edits.remove_slot, "slot-2")
    assert told == [Selection("slot", "slot-2"), None]
    assert document.selection is None


def test_a_selection_that_still_exists_stays(document: Document) -> None:
    document.select("slot", "slot-2")
    rename(document, "Bus")
    assert document.selection == Selection("slot", "slot-2")


def test_opening_empties_the_history(document: Document, tmp_path: Path) -> None:
    rename(document, "Bus")
    document.set_vehicle(Vehicle(name="Other"), tmp_path / "other.fusemap")
    assert not document.stack.canUndo()
    assert not document.modified
    assert document.path == tmp_path / "other.fusemap"


def test_a_new_vehicle_is_something_to_save(document: Document) -> None:
    document.set_vehicle(Vehicle(name="New"), unsaved=True)
    assert document.modified


names = st.text(st.characters(min_codepoint=97, max_codepoint=102), max_size=3)
step = st.one_of(
    st.tuples(st.just("name"), names),
    st.tuples(st.just("panel"), st.integers(1, 3)),
    st.tuples(st.just("undo"), st.none()),
    st.tuples(st.just("redo"), st.none()),
)


@given(st.lists(step, max_size=12))
def test_any_edits_undone_come_back_to_the_same_vehicle(steps: list[tuple[str, Any]]) -> None:
    start = Vehicle(name="Van")
    document = Document(start)
    for kind, value in steps:
        if kind == "name":
            rename(document, value)
        elif kind == "panel":
            document.apply("Add panel", edits.add_panel, "Panel", value, value)
        else:
            getattr(document.stack, kind)()
    end = document.vehicle
    undone = document.stack.index()
    for _ in range(undone):
        document.stack.undo()
    assert document.vehicle is start
    for _ in range(undone):
        document.stack.redo()
    assert document.vehicle is end


def test_a_document_that_goes_leaves_no_step_to_be_deleted_twice(document: Document) -> None:
    document.apply("Rename", edits.change_vehicle, name="Blue van")
    told: list[int] = []
    document.stack.indexChanged.connect(told.append)
    document.__del__()
    assert document.stack.count() == 0
    assert told == []


def test_what_no_file_could_hold_is_refused_at_the_edit(document: Document) -> None:
    told: list[EditRefused] = []
    document.refused.connect(told.append)
    before = document.vehicle

    def overfill(vehicle: Vehicle) -> Vehicle:
        for _ in range(201):
            vehicle = edits.add_log(vehicle, "2025-05-17", "x" * 100_000)
        return vehicle

    assert not document.apply("Fill", overfill)
    assert not document.apply("Rule", edits.set_rule, "charging_v", 50.0)
    assert not document.apply("Family", edits.change_slot, "slot-1", family="mni")
    assert document.vehicle is before
    assert ["20 MB" in told[0].what, str(told[1].where)] == [True, "Rule 1, value"]
    assert told[2].remedy == "did you mean “mini”?"
