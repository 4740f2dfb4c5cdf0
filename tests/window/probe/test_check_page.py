"""Predicted beside measured, by keys alone; causes where they differ; signed with a name."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fusemap.errors import InputProblem
from fusemap.probing import final_check
from fusemap.vehicle import Cable, Fuse, edits
from fusemap.window.document import Document
from fusemap.window.probe.check_page import CheckPage, read_answer
from fusemap.window.style.theme import LIGHT
from tests.vehicles import one_slot, with_accessory
from tests.window.probe.hand import Clock

ENTER = Qt.Key.Key_Return


@pytest.fixture
def document(qapp: Any) -> Document:
    vehicle = with_accessory(
        one_slot(circuit="Radio"), 5.0, fuse=Fuse(family="mini", rating=7.5),
        cable_out=Cable(section_mm2=1.5, length_m=3.0),
        cable_back=Cable(section_mm2=1.5, length_m=1.0),
    )  # fmt: skip
    return Document(vehicle)


@pytest.fixture
def page(document: Document, clock: Clock, qtbot: Any) -> CheckPage:
    made = CheckPage(document, LIGHT, clock)
    qtbot.addWidget(made)
    made.resize(1000, 600)
    made.show()
    qtbot.waitExposed(made)
    return made


def column(page: CheckPage, at: int) -> list[str]:
    return [page.table.item(row, at).text() for row in range(page.table.rowCount())]


def row_of(page: CheckPage, key: str) -> int:
    return [step.key for step in page._steps].index(key)


def measure(page: CheckPage, text: str) -> None:
    page.entry.setFocus()
    QTest.keyClicks(page.entry, text)
    QTest.keyClick(page.entry, ENTER)


def test_every_step_stands_with_its_prediction(page: CheckPage, document: Document) -> None:
    assert page.table.rowCount() == len(final_check.steps(document.vehicle, document.assessment))
    assert "yes" in column(page, 1)[row_of(page, "stays_on")]
    assert set(column(page, 3)) == {""}


def test_yes_and_figures_go_on_to_the_next_open_step(page: CheckPage, document: Document) -> None:
    page.yes.click()
    page.yes.click()
    assert page.current().key == "current"
    measure(page, "5,1")
    assert page.current().key == "volts"
    readings = document.vehicle.readings
    assert [r.quantity for r in readings] == ["stays_on", "works", "clamp_current"]
    assert {r.purpose for r in readings} == {"check"}
    assert column(page, 3)[:3] == ["agrees"] * 3


def test_where_it_differs_it_stays_and_names_causes(page: CheckPage) -> None:
    page.table.setCurrentCell(row_of(page, "stays_on"), 0)
    page.no.click()
    assert page.current().key == "stays_on"
    assert column(page, 3)[0] == "differs"
    assert "wrong way round" in page.causes.text()
    page.yes.click()  # the tap was turned: read again
    assert column(page, 3)[0] == "agrees"


def test_what_is_no_such_reading_is_told_and_stored_nowhere(
    page: CheckPage, document: Document
) -> None:
    page.table.setCurrentCell(row_of(page, "volts"), 0)
    measure(page, "5A")
    assert "not in V" in page.problem.text()
    assert document.vehicle.readings == ()


def test_units_are_taken_into_the_steps_own(page: CheckPage) -> None:
    steps = {step.key: step for step in page._steps}
    assert read_answer(steps["current"], "350ma") == (pytest.approx(0.35), None)
    assert read_answer(steps["earth"], "0.12v")[0] == pytest.approx(120.0)
    assert read_answer(steps["evening"], "12600mv")[0] == pytest.approx(12.6)
    with pytest.raises(InputProblem, match="yes or no"):
        read_answer(steps["warm"], "3")
    with pytest.raises(InputProblem, match="figure"):
        read_answer(steps["volts"], "+")


def test_signing_needs_a_name_and_keeps_the_count(page: CheckPage, document: Document) -> None:
    refused = []
    document.refused.connect(refused.append)
    page.sign.click()
    assert "nobody" in refused[0].what
    page.yes.click()
    QTest.keyClicks(page.by, "Kim")
    QTest.keyClick(page.by, ENTER)
    signed = document.vehicle.sign_offs[0]
    assert (signed.by, signed.passed, signed.differing) == ("Kim", 1, 0)
    assert signed.left_open == page.table.rowCount() - 1
    assert "Kim" in page.signed.text()
    document.stack.undo()
    assert document.vehicle.sign_offs == ()


def test_a_changed_plan_changes_the_list(page: CheckPage, document: Document) -> None:
    before = column(page, 1)[row_of(page, "stays_on")]
    document.apply("Turn", edits.change_tap, "tap-1", way_round="load_side")
    assert (before, column(page, 1)[row_of(page, "stays_on")]) == ("yes", "no")
