"""The probing list is blank before, and filled after; what is still in question stays empty."""

from fusemap.sheet.content import Box, cell_text
from fusemap.vehicle import Vehicle
from tests.probing.vehicles import bench, dead, live, mv, read
from tests.sheet.conftest import content_of

LIVE_AT, ACROSS, SIDE = 2, 7, 8
"""Columns: the five states begin, millivolts, live side."""


def row(vehicle: Vehicle) -> tuple[object, ...]:
    (form,) = content_of(vehicle, "probing").tables()
    return form.rows[0].cells


def test_a_vehicle_nothing_was_read_of_has_a_blank_form():
    assert all(isinstance(cell, Box) for cell in row(bench())[LIVE_AT:])


def test_what_was_read_stands_in_it_and_the_rest_is_a_box():
    vehicle = read(bench(), live(), mv(1.2), dead("accessory"),
                   {"quantity": "live_top", "value": 1.0},
                   {"quantity": "live_bottom", "value": 0.0})  # fmt: skip
    cells = row(vehicle)
    assert cells[LIVE_AT] == "✓"
    assert cells[LIVE_AT + 2] == "–"
    assert isinstance(cells[LIVE_AT + 3], Box)
    assert cell_text(cells[ACROSS]).startswith("1.2")
    assert cells[SIDE] == "top"


def test_somebody_elses_word_is_not_printed_as_read():
    vehicle = read(bench(), live(verified=False, by="Kim"))
    assert isinstance(row(vehicle)[LIVE_AT], Box)
