"""The plan for the rest: what goes where and why, taken as one step."""

from typing import Any

import pytest
from PySide6.QtCore import Qt

from fusemap.vehicle import Fuse, Vehicle, edits, look_up
from fusemap.window.document import Document
from fusemap.window.pages.plan_page import PlanPage
from fusemap.window.style.theme import LIGHT


@pytest.fixture
def document(van: Vehicle) -> Document:
    roomy = edits.change_slot(van, "slot-8", fuse=Fuse(family="mini", rating=10))
    return Document(edits.add_accessory(roomy, "Fan", watts=12.0, needs="switched"))


@pytest.fixture
def shown(document: Document, qtbot: Any) -> PlanPage:
    page = PlanPage(document, LIGHT)
    qtbot.addWidget(page)
    page.resize(500, 600)
    with qtbot.waitExposed(page):
        page.show()
    qtbot.waitUntil(lambda: page.plan is not None)
    return page


def texts(page: PlanPage) -> list[str]:
    return [look.text for look in page.model.rows]


def test_each_lead_stands_there_with_its_place_and_reasons(shown: PlanPage) -> None:
    assert shown.plan is not None
    assert len(shown.plan.placed) == 2
    for each, text in zip(shown.plan.placed, texts(shown), strict=True):
        assert str(each.reasons[0]) in text


def test_applying_it_is_one_step_that_can_be_undone(
    shown: PlanPage, document: Document, qtbot: Any
) -> None:
    before = document.vehicle
    plan = shown.plan
    assert plan is not None
    shown.button.setFocus()
    qtbot.keyClick(shown.button, Qt.Key.Key_Space)
    for each in plan.placed:
        tap = look_up.tap_of(document.vehicle, each.accessory_id, each.lead)
        assert tap is not None
        assert tap.slot == each.slot_id
    assert document.stack.count() == 1
    document.stack.undo()
    assert document.vehicle == before


def test_after_it_there_is_nothing_left_to_plan(
    shown: PlanPage, document: Document, qtbot: Any
) -> None:
    shown.apply()
    qtbot.waitUntil(lambda: not shown.button.isEnabled())
    assert "Everything has a source" in shown.summary.text()


def test_what_does_not_fit_is_said_with_the_rules_that_conflict(
    shown: PlanPage, document: Document, qtbot: Any
) -> None:
    for name in ("Two", "Three", "Four"):
        document.apply("x", edits.add_accessory, name, watts=12.0, needs="switched")
    qtbot.waitUntil(lambda: shown.plan is not None and len(shown.plan.placed) == 5)
    assert "least change" in shown.summary.text()
    assert any("A slot takes one fuse tap." in text for text in texts(shown))


def test_its_effect_on_load_and_days_is_told_before_it_is_taken(shown: PlanPage) -> None:
    words = shown.effect.text()
    assert "Parked it draws" in words
    assert "Starts by the usual figures for" in words


def test_a_page_out_of_view_plans_nothing(document: Document, qtbot: Any) -> None:
    page = PlanPage(document, LIGHT)
    qtbot.addWidget(page)
    document.apply("x", edits.add_accessory, "Lamp", watts=5.0)
    qtbot.wait(20)
    assert page.plan is None


def test_what_the_plan_does_stands_right_below_its_rows(shown: PlanPage, qtbot: Any) -> None:
    """On a high screen it is not at the foot of an empty list; on a low one the list scrolls."""
    shown.resize(900, 1300)
    qtbot.wait(30)
    last = shown.list.visualRect(shown.model.index(shown.model.rowCount() - 1, 0))
    assert abs(shown.list.viewport().height() - last.bottom()) <= 4
    assert shown.effect.y() - shown.list.geometry().bottom() < shown.fontMetrics().height()
    shown.resize(300, 260)
    qtbot.wait(30)
    assert shown.list.verticalScrollBar().maximum() > 0
