"""What the circuits are, answered for a whole panel by single keys."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fusemap.circuits import circuit_of
from fusemap.placement.answers import answer_of
from fusemap.vehicle import Slot, Vehicle, edits, look_up
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.pages.circuits_page import CircuitsPage
from fusemap.window.style.theme import LIGHT
from tests.vehicles import one_slot
from tests.window.keyboard_hands import focus, press

Key = Qt.Key
NAMES = ("Radio", "Airbag", "", "Xyz 4", "BCM", "Headlamp left", "Seat heating", "ABS pump")
"""The first one has something tapped."""


def vehicle_of(names: tuple[str, ...]) -> Vehicle:
    vehicle = edits.remove_panel(one_slot(), "panel-1")
    rows = 1 + len(names) // 60
    vehicle = edits.add_panel(vehicle, "Dash", rows, len(names) // rows)
    for slot, name in zip(vehicle.panels[0].slots, names, strict=True):
        vehicle = edits.change_slot(vehicle, slot.id, circuit=name)
    vehicle = edits.add_accessory(vehicle, "Camera", amperes=0.4)
    return edits.place(vehicle, "accessory-1", slot="slot-1")


@pytest.fixture
def document() -> Document:
    return Document(vehicle_of(NAMES))


@pytest.fixture
def page(document: Document, qtbot: Any) -> CircuitsPage:
    page = CircuitsPage(document, LIGHT)
    qtbot.addWidget(page)
    page.resize(520, 700)
    with qtbot.waitExposed(page):
        page.show()
    page.list.setFocus()
    return page


def names(page: CircuitsPage) -> list[str]:
    return [each.slot.circuit for each in page.asked]


def slot(document: Document, circuit: str) -> Slot:
    return next(s for s in look_up.slots(document.vehicle) if s.circuit == circuit)


def test_the_most_doubtful_comes_first_and_what_is_tapped_before_it(page: CircuitsPage) -> None:
    assert names(page)[0] == "Radio"
    assert set(names(page)[1:3]) == {"", "Xyz 4"}
    assert set(names(page)[3:5]) == {"Airbag", "ABS pump"}
    assert names(page)[5:] == ["Headlamp left", "BCM", "Seat heating"]


def test_each_row_says_the_name_what_it_is_taken_for_and_what_decided(page: CircuitsPage) -> None:
    told = {each.slot.circuit: look.text for each, look in zip(page.asked, page.model.rows,
                                                               strict=True)}  # fmt: skip
    assert "leave alone, by “Airbag”: airbag and belt tensioner" in told["Airbag"]
    assert "not recognised: “Xyz 4”" in told["Xyz 4"]
    assert told["Seat heating"].endswith("comfort, by “Seat heating”")
    assert "Nobody said what it feeds." in told[""]
    assert "Something is tapped here." in told["Radio"]
    assert told["Radio"].splitlines()[0].endswith("comfort?")


def test_a_whole_panel_is_answered_by_one_key_each(page: CircuitsPage, document: Document) -> None:
    before = document.vehicle
    QTest.keyClicks(page.list, "1")
    QTest.keyClicks(page.list, "05")
    for _ in range(4):
        QTest.keyClick(page.list, Key.Key_Return)
    QTest.keyClicks(page.list, "1")
    given = {each.slot.circuit: each.answer for each in page.asked}
    assert given == {
        "Radio": "comfort", page.asked[1].slot.circuit: "unclear",
        page.asked[2].slot.circuit: "supply", "Airbag": "leave_alone", "ABS pump": "leave_alone",
        "Headlamp left": "watched", "BCM": "control", "Seat heating": "comfort",
    }  # fmt: skip
    assert document.stack.count() == len(NAMES)
    for _ in NAMES:
        document.stack.undo()
    assert document.vehicle == before


def test_nothing_moves_while_answering_and_the_cursor_goes_to_the_next_open_one(
    page: CircuitsPage,
) -> None:
    order = names(page)
    QTest.keyClicks(page.list, "1")
    assert names(page) == order
    assert page.list.currentIndex().row() == 1
    QTest.keyClick(page.list, Key.Key_Up)
    QTest.keyClicks(page.list, "4")
    assert page.asked[0].answer == "control"
    assert page.list.currentIndex().row() == 1, "what is answered is passed over"


def test_an_airbag_that_is_none_is_asked_what_it_feeds(
    page: CircuitsPage, document: Document
) -> None:
    row = names(page).index("Airbag")
    page.list.setCurrentIndex(page.model.index(row, 0))
    QTest.keyClicks(page.list, "1")
    assert focus() is page.line
    assert answer_of(slot(document, "Airbag")) is None
    press("x", Key.Key_Return)
    assert page.line.isVisible(), "a letter is no answer"
    page.line.clear()
    press("air bed pump, traced", Key.Key_Return)
    assert circuit_of(slot(document, "Airbag")).function == "comfort"
    assert slot(document, "Airbag").harmless == "air bed pump, traced"
    assert focus() is page.list
    assert not page.line.isVisible()


def test_escape_leaves_the_question_and_the_circuit_as_it_was(
    page: CircuitsPage, document: Document
) -> None:
    page.list.setCurrentIndex(page.model.index(names(page).index("Airbag"), 0))
    QTest.keyClicks(page.list, "4")
    press(Key.Key_Escape)
    assert focus() is page.list
    assert not page.line.isVisible()
    assert answer_of(slot(document, "Airbag")) is None


@pytest.mark.parametrize("by_key", [True, False])
def test_all_proposals_are_one_step_and_leave_what_proposes_nothing(
    page: CircuitsPage, document: Document, by_key: bool, qtbot: Any
) -> None:
    before = document.vehicle
    if by_key:
        QTest.keyClick(page.list, Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    else:
        qtbot.mouseClick(page.all_button, Qt.MouseButton.LeftButton)
    assert document.stack.count() == 1
    assert [each.slot.circuit for each in page.asked if each.is_open] == ["", "Xyz 4"]
    assert not page.all_button.isEnabled()
    document.stack.undo()
    assert document.vehicle == before


@pytest.mark.parametrize("key", [Key.Key_Return, Key.Key_Enter])
def test_in_the_window_too_the_key_for_all_proposals_takes_them(
    window: MainWindow, key: Key, qtbot: Any
) -> None:
    """Elsewhere the same key leads to the next step of the job."""
    window.document.set_vehicle(vehicle_of(NAMES))
    window.show_page("circuits")
    page = window.findChild(CircuitsPage)
    qtbot.waitUntil(lambda: page is not None and bool(page.asked) and page.list.hasFocus())
    assert page is not None
    QTest.keyClick(page.list, key, Qt.KeyboardModifier.ControlModifier)
    assert [each.slot.circuit for each in page.asked if each.is_open] == ["", "Xyz 4"]


def test_the_buttons_do_what_the_keys_do(
    page: CircuitsPage, document: Document, qtbot: Any
) -> None:
    button = next(b for b in page.findChildren(type(page.all_button)) if b.text().startswith("4"))
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert page.asked[0].answer == "control"


def test_a_hundred_circuits_take_a_hundred_keys(
    qtbot: Any,
) -> None:
    document = Document(vehicle_of(NAMES[:1] + tuple(f"Radio {n}" for n in range(99))))
    page = CircuitsPage(document, LIGHT)
    qtbot.addWidget(page)
    page.resize(520, 700)
    with qtbot.waitExposed(page):
        page.show()
    page.list.setFocus()
    QTest.keyClicks(page.list, "1" * 100)
    assert {each.answer for each in page.asked} == {"comfort"}
    assert document.stack.count() == 100


def test_it_is_reached_by_a_key_and_lands_on_the_list(window: MainWindow, qtbot: Any) -> None:
    window.files.open_demo("")
    window.actions_.trigger("circuits")
    page = window.findChild(CircuitsPage)
    assert page is not None
    qtbot.waitUntil(lambda: focus() is page.list)
    assert len(page.asked) > 40
