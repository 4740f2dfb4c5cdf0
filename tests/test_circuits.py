"""A circuit that its name says to leave alone, and nobody answered for, is left alone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.circuits import circuit_of, is_nameless, unanswered
from fusemap.errors import EditRefused
from fusemap.vehicle import edits, look_up
from fusemap.vehicle.texts import tells
from tests.vehicles import one_slot

ANSWER = "feeds the air bed pump, traced"


def slot(**fields: object) -> object:
    return look_up.slot(edits.change_slot(one_slot(), "slot-1", **fields), "slot-1")


def test_a_name_like_airbag_is_open_until_somebody_answers() -> None:
    assert set(unanswered(slot(circuit="Airbag"))) == {"critical"}
    assert unanswered(slot(circuit="Airbag", critical=True)) == {}
    assert unanswered(slot(circuit="Airbag", harmless=ANSWER)) == {}
    assert unanswered(slot(circuit="Radio")) == {}


def test_a_brake_lamp_marked_as_watched_still_asks_whether_it_is_critical() -> None:
    assert set(unanswered(slot(circuit="Brake lamps", monitored=True))) == {"critical"}


@pytest.mark.parametrize("word", ["x", "no", "......", "nonono", "  ok  "])
def test_a_letter_or_two_is_no_answer(word: str) -> None:
    with pytest.raises(EditRefused, match="does not say what"):
        slot(circuit="Airbag", harmless=word)


def test_an_answer_goes_with_the_name_it_was_given_to() -> None:
    vehicle = edits.change_slot(one_slot(), "slot-1", circuit="Airbag bed", harmless=ANSWER)
    vehicle = edits.change_slot(vehicle, "slot-1", note="seen")
    assert look_up.slot(vehicle, "slot-1").harmless == ANSWER
    vehicle = edits.change_slot(vehicle, "slot-1", circuit="ABS")
    assert look_up.slot(vehicle, "slot-1").harmless == ""
    assert unanswered(look_up.slot(vehicle, "slot-1"))


def test_a_slot_without_a_name_feeds_nobody_knows_what() -> None:
    assert is_nameless(slot(circuit=" "))
    assert not is_nameless(slot(circuit="Radio"))
    assert not is_nameless(slot(circuit="", harmless=ANSWER))


@given(st.text("x. -!", max_size=40))
def test_one_letter_however_often_tells_nothing(text: str) -> None:
    assert not tells(text)


def test_what_is_written_about_a_lamp_says_nothing_against_the_control_unit_beside_it() -> None:
    both = {"circuit": "BCM, headlamp", "harmless": "plain bulbs, nothing watches them"}
    assert circuit_of(slot(**both)).function == "control"
    assert circuit_of(slot(**both, function="comfort")).function == "comfort"
