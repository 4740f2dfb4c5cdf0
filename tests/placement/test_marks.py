"""A circuit's name proposes marks; a person sets them."""

import pytest

from fusemap.circuits import marks_of
from fusemap.placement.marks import mark, proposals
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


def test_a_brake_lamp_is_both_critical_and_monitored() -> None:
    assert set(marks_of("Brake lamps")) == {"critical", "monitored"}


def named(circuit: str, **fields: object) -> Vehicle:
    return edits.change_slot(one_slot(), "slot-1", circuit=circuit, **fields)


def test_nothing_is_marked_without_a_yes() -> None:
    vehicle = named("Airbag")
    assert len(proposals(vehicle)) == 1
    assert not look_up.slot(vehicle, "slot-1").critical


def test_a_confirmed_proposal_marks_the_slot_and_gives_the_reason() -> None:
    vehicle = named("Airbag")
    after = look_up.slot(mark(vehicle, proposals(vehicle)), "slot-1")
    assert after.critical
    assert "airbag" in after.critical_reason


def test_a_reason_that_was_written_stays() -> None:
    vehicle = named("Airbag", critical_reason="yellow plug")
    after = look_up.slot(mark(vehicle, proposals(vehicle)), "slot-1")
    assert after.critical_reason == "yellow plug"


def test_what_is_marked_already_is_not_proposed_again() -> None:
    vehicle = named("Airbag", critical=True)
    assert proposals(vehicle) == ()


def test_proposals_can_be_asked_for_some_slots_only() -> None:
    vehicle = edits.add_panel(named("Airbag"), "Second", 1, 1)
    vehicle = edits.change_slot(vehicle, "slot-2", circuit="ABS")
    assert {p.slot_id for p in proposals(vehicle)} == {"slot-1", "slot-2"}
    assert {p.slot_id for p in proposals(vehicle, ["slot-2"])} == {"slot-2"}
