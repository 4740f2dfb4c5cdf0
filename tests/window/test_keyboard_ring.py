"""What has the keyboard and would not show it by itself has a ring."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QLineEdit,
    QListWidget,
    QPlainTextEdit,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from fusemap.vehicle import Vehicle
from fusemap.window.style.keyboard import Ring, follow_keyboard, ring_by
from fusemap.window.style.theme import LIGHT, apply_theme
from tests.window import looked_at
from tests.window.keyboard_hands import opened


@pytest.fixture
def page(qtbot: Any, qapp: Any) -> QWidget:
    apply_theme(qapp, LIGHT)
    made = QWidget()
    column = QVBoxLayout(made)
    for part in (QLineEdit(), QListWidget(), QTextBrowser(), QPlainTextEdit()):
        column.addWidget(part)
    qtbot.addWidget(made)
    made.resize(300, 500)
    made.show()
    made.activateWindow()
    qtbot.waitActive(made)
    return made


def ringed(page: QWidget) -> list[QWidget]:
    return [each.around for each in page.findChildren(Ring) if each.isVisible()]


def part(page: QWidget, kind: type) -> Any:
    return next(each for each in page.findChildren(kind) if type(each) is kind)


def test_a_list_with_nothing_in_it_and_a_text_have_it_and_nothing_else(page: QWidget) -> None:
    for kind, wanted in ((QLineEdit, False), (QListWidget, True), (QTextBrowser, True),
                         (QPlainTextEdit, False)):  # fmt: skip
        here = part(page, kind)
        here.setFocus(Qt.FocusReason.TabFocusReason)
        assert ringed(page) == ([here] if wanted else [])
    assert list(looked_at.unmarked_stops(page)) == []


def test_a_list_loses_it_when_the_cursor_is_on_a_row(page: QWidget, qtbot: Any) -> None:
    rows = part(page, QListWidget)
    rows.setFocus()
    assert ringed(page) == [rows]
    rows.addItem("Radio")
    rows.setCurrentRow(0)
    qtbot.waitUntil(lambda: ringed(page) == [])
    rows.clear()
    qtbot.waitUntil(lambda: ringed(page) == [rows])


def test_it_grows_with_what_it_is_round_and_lets_the_mouse_through(page: QWidget) -> None:
    rows = part(page, QListWidget)
    rows.setFocus()
    page.resize(600, 700)
    layout = page.layout()
    assert layout is not None
    layout.activate()
    ring = page.findChild(Ring)
    assert ring is not None
    assert ring.geometry() == rows.rect()
    assert page.childAt(rows.geometry().center()) == rows.viewport()


def test_it_is_asked_for_or_done_without(page: QWidget, qapp: Any) -> None:
    text = part(page, QTextBrowser)
    ring_by(text, False)
    text.setFocus()
    assert ringed(page) == []
    follow_keyboard(qapp)  # a second time: nothing is ringed twice
    part(page, QListWidget).setFocus()
    assert len(ringed(page)) == 1


def test_a_stage_beside_the_vehicle_has_it_for_who_comes_by_the_tab_key(qtbot: Any) -> None:
    window = opened(qtbot, Vehicle(name="Van"))
    window.tasks.show("hunt")
    stage = window.findChild(QWidget, "huntPage")
    assert stage is not None
    stage.setFocus(Qt.FocusReason.OtherFocusReason)
    assert stage not in ringed(window)
    stage.clearFocus()
    stage.setFocus(Qt.FocusReason.BacktabFocusReason)
    assert stage in ringed(window)
