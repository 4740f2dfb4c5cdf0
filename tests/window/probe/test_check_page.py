"""Predicted beside measured, by keys alone; causes where they differ; signed with a name."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from fusemap.errors import InputProblem
from fusemap.probing import final_check
from fusemap.probing.check_step import read_answer
from fusemap.vehicle import Cable, Fuse, edits
from fusemap.window.document import Document
from fusemap.window.probe.check_page import CheckPage
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


def press(qtbot: Any, keys: str) -> None:
    """Type where the keyboard is, as a hand does; `\\n` is Enter, a blank the space bar."""
    for key in keys:
        focused = QApplication.focusWidget()
        assert focused is not None
        if key == "\n":
            QTest.keyClick(focused, ENTER)
        else:
            QTest.keyClicks(focused, key)


def click(button: QWidget) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_a_figure_typed_after_the_mouse_said_yes_is_a_reading_and_no_signature(
    page: CheckPage, document: Document, qtbot: Any
) -> None:
    click(page.yes)
    click(page.yes)
    assert page.current().key == "current"
    press(qtbot, "0.33\n")
    assert document.vehicle.sign_offs == ()
    assert page.by.text() == ""
    current = document.vehicle.readings[-1]
    assert (current.quantity, current.value) == ("clamp_current", pytest.approx(0.33))


def test_the_whole_check_goes_by_keys_from_the_first_step(
    page: CheckPage, document: Document, qtbot: Any
) -> None:
    press(qtbot, "y\n+\n5,1\n")
    assert [(r.quantity, r.value) for r in document.vehicle.readings] == [
        ("stays_on", 1.0), ("works", 1.0), ("clamp_current", pytest.approx(5.1)),
    ]  # fmt: skip


def test_no_is_typed_as_a_letter_or_a_sign(page: CheckPage, document: Document, qtbot: Any) -> None:
    press(qtbot, "n\n")
    press(qtbot, "-\n")
    assert [r.value for r in document.vehicle.readings] == [0.0, 0.0]


@pytest.mark.parametrize("at", ["table", "yes", "sign"])
def test_what_is_typed_anywhere_goes_to_the_step_in_hand(
    page: CheckPage, document: Document, qtbot: Any, at: str
) -> None:
    page.table.setCurrentCell(row_of(page, "stays_on"), 0)
    getattr(page, at).setFocus()
    press(qtbot, "+\n")
    assert [(r.quantity, r.value) for r in document.vehicle.readings] == [("stays_on", 1.0)]
    assert QApplication.focusWidget() is page.entry


def test_a_chosen_step_is_answered_without_leaving_the_list(
    page: CheckPage, document: Document, qtbot: Any
) -> None:
    row = row_of(page, "volts")
    click(page.table.viewport())
    page.table.setCurrentCell(row, 0)
    page.table.setFocus()
    press(qtbot, "13,9\n")
    assert [r.quantity for r in document.vehicle.readings] == ["volts"]


def test_signing_needs_a_name(page: CheckPage, document: Document) -> None:
    refused = []
    document.refused.connect(refused.append)
    click(page.sign)
    assert "nobody" in refused[0].what
    assert document.vehicle.sign_offs == ()


def test_enter_behind_the_name_does_not_sign(
    page: CheckPage, document: Document, qtbot: Any
) -> None:
    page.by.setFocus()
    press(qtbot, "Kim\n")
    assert document.vehicle.sign_offs == ()
    assert QApplication.focusWidget() is page.sign


def test_while_steps_are_open_signing_asks_first_and_keeps_the_count(
    page: CheckPage, document: Document, qtbot: Any
) -> None:
    click(page.yes)
    page.by.setFocus()
    press(qtbot, "Kim\n")
    press(qtbot, " ")
    assert document.vehicle.sign_offs == ()
    left = page.table.rowCount() - 1
    assert page.asking.isVisible()
    assert str(left) in page.asking_words.text()
    click(page.sign_open)
    signed = document.vehicle.sign_offs[0]
    assert (signed.by, signed.passed, signed.differing) == ("Kim", 1, 0)
    assert signed.left_open == left
    assert not page.asking.isVisible()
    assert "Kim" in page.signed.text()
    document.stack.undo()
    assert document.vehicle.sign_offs == ()


def test_instead_of_signing_it_goes_to_the_first_open_step(
    page: CheckPage, document: Document, qtbot: Any
) -> None:
    click(page.yes)
    page.table.setCurrentCell(page.table.rowCount() - 1, 0)
    page.by.setText("Kim")
    click(page.sign)
    click(page.go_open)
    assert page.current().key == "host"
    assert not page.asking.isVisible()
    press(qtbot, "y\n")
    assert document.vehicle.sign_offs == ()
    assert document.vehicle.readings[-1].quantity == "works"


def test_a_changed_plan_changes_the_list(page: CheckPage, document: Document) -> None:
    before = column(page, 1)[row_of(page, "stays_on")]
    document.apply("Turn", edits.change_tap, "tap-1", way_round="load_side")
    assert (before, column(page, 1)[row_of(page, "stays_on")]) == ("yes", "no")
