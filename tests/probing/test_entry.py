"""What is typed on the number pad means what the trade would read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.errors import InputProblem
from fusemap.probing.entry import Entry, can_follow, read_entry


@pytest.mark.parametrize(
    ("typed", "entry"),
    [
        ("", Entry()),
        ("+", Entry(live=True)),
        ("-", Entry(live=False)),
        ("0.4", Entry(value=0.4)),
        ("0,4", Entry(value=0.4)),
        (",4", Entry(value=0.4)),
        ("12.", Entry(value=12.0)),
        ("+0", Entry(live=True, value=0.0)),
        ("-0", Entry(live=False, value=0.0)),
        ("-1.2", Entry(value=-1.2)),  # leads the other way round: current flows
        ("35mA", Entry(value=0.035, quantity="clamp_current")),
        ("2,5a", Entry(value=2.5, quantity="clamp_current")),
        ("12.4V", Entry(value=12.4, quantity="volts")),
        ("3mv", Entry(value=3.0)),
        ("0.3-0.5", Entry(value=0.3, highest=0.5)),
        ("-0.5-0.7", Entry(value=-0.7, highest=-0.5)),
    ],
)
def test_each_entry_reads_as_meant(typed, entry):
    assert read_entry(typed) == entry


def test_a_bare_number_takes_the_unit_that_is_set():
    assert read_entry("35", "clamp_current", 1e-3).value == pytest.approx(0.035)
    assert read_entry("0.035", "inline_current").quantity == "inline_current"
    assert read_entry("465-500ma", "inline_current") == Entry(
        value=0.465, highest=0.5, quantity="inline_current"
    )


@pytest.mark.parametrize("typed", ["+-", "1,2,3", "mv", "4+", "--", "5-4", "1 2", "x"])
def test_what_is_no_reading_is_told(typed):
    with pytest.raises(InputProblem) as refusal:
        read_entry(typed)
    assert refusal.value.remedy


@given(st.lists(st.sampled_from("0123456789,.+-mvaV"), max_size=30))
def test_only_keys_that_make_sense_get_in(keys):
    typed = ""
    for key in keys:
        if can_follow(typed, key):
            typed += key
    if typed and typed[-1].isdigit() and "-" not in typed[1:]:
        assert read_entry(typed).value is not None
