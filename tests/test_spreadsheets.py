"""No text of a vehicle is carried out as a formula by who opens its tables."""

import csv
import io

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from fusemap.probing import paste
from fusemap.sheet import csv_tables
from fusemap.spreadsheets import guarded, unguarded
from fusemap.vehicle import Vehicle, edits, look_up, reading_edits
from fusemap.window.parts import export

FORMULAS = ("=cmd|'/c calc'!A0", "@SUM(1)", "+1+1", "-1+1", "\t=1", "\r=1")
SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n")
WHEN = "2025-05-17T18:30:00"


@given(st.text() | st.text(st.sampled_from("'=+-@\t ax")))
@example("''=1")
def test_a_guarded_text_is_no_formula_and_comes_back_as_it_was(text):
    assert not guarded(text).startswith(SIGNS)
    assert unguarded(guarded(text)) == text


def hostile(formula: str) -> Vehicle:
    """A van with a formula wherever a text is exported from."""
    van = edits.add_panel(Vehicle(name="Van"), formula, 1, 2)
    van = edits.change_slot(van, "slot-1", label=formula, circuit=formula, note=formula)
    return reading_edits.add_reading(
        van, when=WHEN, quantity="millivolts", value=-0.4, target_id="slot-1", by=formula,
        note=formula,
    )  # fmt: skip


@pytest.mark.parametrize("formula", [one for one in FORMULAS if one.isprintable()])
@pytest.mark.parametrize("table", [paste.export, paste.export_history])
def test_a_formula_in_the_readings_stays_text(table, formula):
    text = table(hostile(formula))
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert f"'{formula}" in cells
    assert [cell for cell in cells if cell.startswith(SIGNS)] == ["-0.4"]


@pytest.mark.parametrize("formula", FORMULAS)
def test_a_formula_in_the_tables_of_sheet_and_window_stays_text(formula):
    for text in (
        csv_tables.csv_text(["Name"], [(formula,)]),
        export.csv_text(["Name"], [[formula]]),
    ):
        (_, row) = csv.reader(io.StringIO(text, newline=""))
        assert row == [f"'{formula}"]


def test_what_was_guarded_is_pasted_back_as_it_was():
    source = hostile("=1+1")
    empty = edits.change_slot(
        edits.add_panel(Vehicle(name="Other"), "=1+1", 1, 2), "slot-1", label="=1+1"
    )
    pasted = paste.preview(empty, paste.export(source), WHEN)
    slot = look_up.slot(paste.take_in(empty, pasted, WHEN), "slot-1")
    assert (slot.circuit, slot.note) == ("=1+1", "=1+1")
    assert [r.value for r in paste.take_in(empty, pasted, WHEN).readings] == [-0.4]
