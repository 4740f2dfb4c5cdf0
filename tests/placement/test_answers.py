"""A circuit's name proposes what it is; a person answers."""

import pytest

from fusemap.circuits import circuit_of, marks_of, unanswered
from fusemap.errors import EditRefused
from fusemap.placement.answers import (
    ANSWERS,
    answer,
    answer_of,
    question_of,
    questions,
    take_proposals,
    warned,
)
from fusemap.vehicle import Vehicle, edits, look_up
from tests.vehicles import one_slot


@pytest.mark.parametrize(
    ("circuit", "mark", "reason"),
    [
        ("Airbag module", "critical", "airbag"),
        ("AIR BAG", "critical", "airbag"),
        ("Brakes, rear", "critical", "brakes"),
        ("Bremslichtschalter", "critical", "brakes"),
        ("GLUHKERZEN", "critical", "engine"),
        ("pretensionneur av.", "critical", "airbag"),
        ("Bomba de combustible", "critical", "fuel"),
        ("ABS pump", "critical", "brakes"),
        ("Fahrtschreiber", "critical", "tachograph"),
        ("Trailer socket", "monitored", "tow"),
        ("Scheinwerfer links", "monitored", "lamp"),
    ],
)
def test_a_name_proposes_a_mark_in_several_languages(circuit: str, mark: str, reason: str) -> None:
    assert reason in marks_of(circuit)[mark]


HARMLESS = ("", "Radio", "Espresso machine", "Absent", "Towel rail", "Remote locking",
            "Seat heating", "12 V socket", "Interior lamps", "Tracker")  # fmt: skip


@pytest.mark.parametrize("circuit", HARMLESS)
def test_a_harmless_name_proposes_nothing(circuit: str) -> None:
    assert marks_of(circuit) == {}


def named(circuit: str, **fields: object) -> Vehicle:
    return edits.change_slot(one_slot(), "slot-1", circuit=circuit, **fields)


def after(vehicle: Vehicle) -> object:
    return look_up.slot(vehicle, "slot-1")


def test_nothing_is_answered_by_itself() -> None:
    vehicle = named("Airbag")
    (one,) = questions(vehicle)
    assert (one.answer, one.proposal, one.is_open) == (None, "leave_alone", True)
    assert not after(vehicle).critical


def test_a_proposal_that_is_taken_marks_the_slot_and_gives_the_reason() -> None:
    slot = after(take_proposals(named("Airbag")))
    assert slot.critical
    assert "airbag" in slot.critical_reason


def test_a_reason_that_was_written_stays() -> None:
    vehicle = take_proposals(named("Airbag", critical_reason="yellow plug"))
    assert after(vehicle).critical_reason == "yellow plug"


def test_a_brake_lamp_gets_both_its_marks() -> None:
    slot = after(take_proposals(named("Brake lamps")))
    assert (slot.critical, slot.monitored) == (True, True)


@pytest.mark.parametrize("given", ANSWERS)
def test_every_answer_holds_for_a_circuit_that_proposes_nothing(given: str) -> None:
    vehicle = answer(named("Xyz 7"), ["slot-1"], given)
    assert answer_of(after(vehicle)) == given
    expected = (given, given != "unclear")
    assert (circuit_of(after(vehicle)).function, circuit_of(after(vehicle)).answered) == expected


@pytest.mark.parametrize("given", ["comfort", "control", "supply", "watched"])
def test_an_airbag_is_something_else_only_in_writing(given: str) -> None:
    vehicle = named("Airbag")
    for text in ("", "x", "certainly"):
        with pytest.raises(EditRefused, match="not said what"):
            answer(vehicle, ["slot-1"], given, text)
    vehicle = answer(vehicle, ["slot-1"], given, "air bed pump, traced")
    assert unanswered(after(vehicle)) == {}
    assert circuit_of(after(vehicle)).function == given
    assert circuit_of(after(vehicle)).answered


def test_a_headlamp_is_watched_without_a_word_and_comfort_only_in_writing() -> None:
    vehicle = named("Headlamp left")
    assert circuit_of(after(answer(vehicle, ["slot-1"], "watched"))).answered
    with pytest.raises(EditRefused):
        answer(vehicle, ["slot-1"], "comfort")
    with pytest.raises(EditRefused):
        answer(named("Xyz 7", feed_class="lighting"), ["slot-1"], "comfort")


def test_not_to_know_frees_no_circuit_and_is_not_asked_again() -> None:
    vehicle = answer(named("Airbag"), ["slot-1"], "unclear")
    assert circuit_of(after(vehicle)).function == "leave_alone"
    assert not circuit_of(after(vehicle)).answered
    assert not question_of(vehicle, "slot-1").is_open
    assert warned(vehicle) == ()
    doubted = answer(named("Radio"), ["slot-1"], "unclear")
    assert circuit_of(after(doubted)).function == "unclear"


def test_an_answer_can_be_taken_back_by_another() -> None:
    vehicle = answer(named("Xyz 7"), ["slot-1"], "leave_alone")
    vehicle = answer(vehicle, ["slot-1"], "comfort")
    assert (after(vehicle).critical, circuit_of(after(vehicle)).function) == (False, "comfort")


def test_an_answer_goes_with_the_name_it_was_given_to() -> None:
    vehicle = answer(named("Xyz 7"), ["slot-1"], "comfort")
    vehicle = edits.change_slot(vehicle, "slot-1", circuit="Xyz 8")
    assert after(vehicle).function is None


def test_a_mark_takes_the_place_of_another_answer() -> None:
    vehicle = answer(named("Xyz 7"), ["slot-1"], "comfort")
    vehicle = edits.change_slot(vehicle, "slot-1", critical=True)
    assert answer_of(after(vehicle)) == "leave_alone"
    assert after(vehicle).function is None


def panel_of(*circuits: str) -> Vehicle:
    vehicle = edits.add_panel(one_slot(), "Second", 1, len(circuits))
    for number, circuit in enumerate(circuits, start=2):
        vehicle = edits.change_slot(vehicle, f"slot-{number}", circuit=circuit)
    return vehicle


def test_the_most_doubtful_is_asked_first_and_what_is_tapped_before_all() -> None:
    vehicle = panel_of("Radio", "BCM", "Airbag", "Headlamp", "", "Seat heating")
    vehicle = edits.add_accessory(vehicle, "Camera", amperes=0.4)
    vehicle = edits.place(vehicle, "accessory-1", slot="slot-7")
    asked = [each.slot.circuit for each in questions(answer(vehicle, ["slot-1"], "comfort"))]
    assert asked == ["Seat heating", "", "Airbag", "Headlamp", "BCM", "Radio", "Radio"]
    assert questions(answer(vehicle, ["slot-1"], "comfort"))[-1].slot.id == "slot-1"


def test_all_proposals_are_taken_at_once_but_for_what_proposes_nothing() -> None:
    vehicle = take_proposals(panel_of("Radio", "BCM", "Airbag", "Headlamp", "", "Xyz"))
    left = [each.slot.circuit for each in questions(vehicle) if each.is_open]
    assert left == ["", "Xyz"]
    assert {each.answer for each in questions(vehicle) if not each.is_open} == {
        "comfort", "control", "leave_alone", "watched",
    }  # fmt: skip


def test_what_warns_is_told_by_name_and_by_class() -> None:
    vehicle = panel_of("Radio", "ABS", "Xyz 7")
    vehicle = edits.change_slot(vehicle, "slot-4", feed_class="lighting")
    assert [each.slot.id for each in warned(vehicle)] == ["slot-3", "slot-4"]
