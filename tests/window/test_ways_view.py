"""The ways out of a finding as buttons: previewed, one step each, undone by undo."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel

from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.findings.findings_list import FindingsList
from fusemap.window.style.theme import LIGHT
from tests.vehicles import one_slot, with_accessory


def reversed_tap() -> Vehicle:
    """A lamp on the load side of a fuse that it overloads."""
    return with_accessory(one_slot(own_a=7.0), amperes=6.0, way_round="load_side")


@pytest.fixture
def document() -> Document:
    return Document(reversed_tap())


@pytest.fixture
def shown(document: Document, qtbot: Any) -> FindingsList:
    view = FindingsList(document, LIGHT)
    qtbot.addWidget(view)
    view.resize(1000, 600)
    with qtbot.waitExposed(view):
        view.show()
    return view


def go_to(view: FindingsList, code: str) -> None:
    row = [f.code for f in view.model.findings].index(code)
    view.list.setCurrentIndex(view.model.index(row, 0))


def tried(view: FindingsList, qtbot: Any) -> None:
    qtbot.waitUntil(lambda: view.details.ways.heading.text() == "Ways out")


def test_the_ways_come_when_the_cursor_rests_on_a_finding(shown: FindingsList, qtbot: Any) -> None:
    go_to(shown, "reversed_tap")
    assert shown.details.ways.buttons == []
    tried(shown, qtbot)
    names = [button.accessibleName() for button in shown.details.ways.buttons]
    assert names == ["Turn the tap of “Lamp” round"]


def test_a_way_tells_its_effect_before_it_is_gone(shown: FindingsList, qtbot: Any) -> None:
    go_to(shown, "host_overloaded")
    tried(shown, qtbot)
    effect = shown.details.ways.findChild(QLabel, "wayEffect_1")
    assert effect is not None
    assert "→" in effect.text()
    assert "Also removes" in effect.text()


def test_space_on_its_button_goes_it_as_one_step(
    shown: FindingsList, document: Document, qtbot: Any
) -> None:
    before = document.vehicle
    go_to(shown, "reversed_tap")
    tried(shown, qtbot)
    button = shown.details.ways.buttons[0]
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    assert document.vehicle.taps[0].way_round == "live_side"
    assert document.stack.undoText() == "Turn the tap of “Lamp” round"
    assert "reversed_tap" not in {f.code for f in document.findings}
    document.stack.undo()
    assert document.vehicle == before


def test_after_a_way_was_gone_the_next_finding_has_its_own_ways(
    shown: FindingsList, document: Document, qtbot: Any
) -> None:
    go_to(shown, "reversed_tap")
    tried(shown, qtbot)
    shown.details.ways.buttons[0].click()
    qtbot.waitUntil(lambda: len(shown.model.findings) == len(document.findings))
    tried(shown, qtbot)
    names = [button.accessibleName() for button in shown.details.ways.buttons]
    assert "Turn the tap of “Lamp” round" not in names


def test_what_is_done_beside_the_vehicle_has_words_and_no_button(qtbot: Any) -> None:
    document = Document(with_accessory(one_slot(live_side="unknown")))
    view = FindingsList(document, LIGHT)
    qtbot.addWidget(view)
    view.resize(1000, 600)
    with qtbot.waitExposed(view):
        view.show()
    go_to(view, "live_side_unknown")
    tried(view, qtbot)
    words = [label.text() for label in view.details.ways.findChildren(QLabel)]
    assert any(text.startswith("Beside the vehicle: Pull the fuse") for text in words)


def test_the_words_on_a_button_wrap_and_are_not_cut(shown: FindingsList, qtbot: Any) -> None:
    go_to(shown, "host_overloaded")
    tried(shown, qtbot)
    shown.resize(380, 700)
    qtbot.wait(30)
    for button in shown.details.ways.buttons:
        label = button.findChild(QLabel)
        assert label is not None
        assert label.height() >= label.heightForWidth(label.width())


def crushed(view: FindingsList) -> list[str]:
    """What is shown about a finding with less height than its words need, or with a gap below."""
    found = []
    for label in view.details.findChildren(QLabel):
        if label.isVisible() and label.text():
            high = label.heightForWidth(label.width())
            if label.wordWrap() and not high - 2 <= label.height() <= high + 2:
                found.append(f"{label.text()[:20]} {label.height()} for {high}")
    return found


@pytest.mark.parametrize("size", [(1000, 600), (1000, 1400), (560, 500)])
def test_what_is_about_a_finding_is_laid_out_before_it_is_painted(
    shown: FindingsList, qtbot: Any, size: tuple[int, int]
) -> None:
    """Looked at in the very turn of the event loop in which it comes."""
    shown.resize(*size)
    QApplication.processEvents()
    seen: list[list[str]] = []
    shown.details.ways._later.timeout.connect(lambda: seen.append(crushed(shown)))
    for row in range(shown.model.rowCount()):
        shown.list.setCurrentIndex(shown.model.index(row, 0))
        assert crushed(shown) == []
        tried(shown, qtbot)
    assert len(seen) == shown.model.rowCount()
    assert seen == [[]] * len(seen)
    heights = [button.height() for button in shown.details.ways.buttons]
    QApplication.processEvents()
    assert [button.height() for button in shown.details.ways.buttons] == heights
