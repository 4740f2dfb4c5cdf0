"""Texts say what stands in them: nothing unseen, nothing endless."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.errors import EditRefused
from fusemap.vehicle import Vehicle, edits, texts
from fusemap.vehicle.validity import faults

UNSEEN = ["\x00", "\x1b", "\x7f", "\x85", "\u2028", "\u202e", "\u2066", "\u200b", "\ufeff",
          "\U000e0041", "\ud800"]  # fmt: skip
FINE = ["Kübel ½ Ω 🚐", "مقبس 12 فولت", "שקע\u200f 12V", "ज्ञ\u200d", "👨\u200d🔧", "Ünï\u0301"]


@pytest.mark.parametrize("sign", UNSEEN)
def test_a_sign_that_nobody_sees_is_refused_with_its_place(sign):
    ((what, remedy),) = texts.text_faults("circuit", f"Radio{sign}")
    assert str(what).startswith("character 6 ")
    assert remedy


@pytest.mark.parametrize("text", FINE)
def test_every_language_can_be_written(text):
    assert list(texts.text_faults("circuit", text)) == []
    assert texts.clean(text) == text


def test_a_note_may_have_several_lines_and_a_circuit_may_not():
    assert list(texts.text_faults("note", "first\n\tsecond\r\n")) == []
    assert [what for what, _ in texts.text_faults("circuit", "first\nsecond")] == [
        "character 6 is a control character (U+000A)"
    ]


def test_a_text_has_an_end():
    long = "x" * (texts.MOST_LETTERS + 1)
    assert "longer than 500" in next(texts.text_faults("circuit", long))[0]
    assert list(texts.text_faults("note", long)) == []
    assert "longer" in next(texts.text_faults("note", "x" * (texts.MOST_LONG + 1)))[0]


def test_an_edit_with_such_a_text_is_refused():
    for name in ("Van\u202e", "Van\x00", "x" * 501):
        with pytest.raises(EditRefused):
            edits.change_vehicle(Vehicle(name="Van"), name=name)


@given(st.text(max_size=30), st.booleans())
def test_a_cleaned_text_is_always_fine(text, lines):
    cleaned = texts.clean(text, lines=lines)
    assert list(texts.text_faults("note" if lines else "circuit", cleaned)) == []
    assert texts.clean(cleaned, lines=lines) == cleaned


@given(st.text(max_size=30))
def test_what_is_fine_at_a_glance_is_fine(text):
    if texts.is_plain("name", text):
        assert list(texts.text_faults("name", text)) == []
        assert list(faults(Vehicle(name=text))) == []
