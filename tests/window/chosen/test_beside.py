"""The chosen thing in short, and behind “More” in full: by keys there and back."""

from typing import Any

import pytest
from PySide6.QtCore import Qt

from fusemap.vehicle import Fuse, edits
from fusemap.window.chosen.beside import Beside
from fusemap.window.details import Details
from fusemap.window.document import Document
from fusemap.window.style.theme import LIGHT
from tests.vehicles import one_slot, with_accessory
from tests.window.keyboard_hands import focus, press


@pytest.fixture
def beside(qtbot: Any) -> Beside:
    document = Document(with_accessory(one_slot()))
    shown = Beside(document, LIGHT, Details(document, LIGHT))
    qtbot.addWidget(shown)
    shown.resize(360, 700)
    with qtbot.waitExposed(shown):
        shown.show()
    shown.activateWindow()
    document.select("slot", "slot-1")
    qtbot.wait(20)
    return shown


def test_enter_on_more_opens_the_long_form_and_escape_leads_back(beside: Beside) -> None:
    beside.pane.head.more.setFocus()
    press(Qt.Key.Key_Return)
    assert beside.long
    assert beside.details.page_name == "slot"
    assert beside.details.isAncestorOf(focus())
    press(Qt.Key.Key_Escape)
    assert not beside.long
    assert focus() is beside.pane.head.more


def test_another_choice_is_shown_in_short(beside: Beside) -> None:
    beside.show_more()
    beside._document.select("accessory", "accessory-1")
    assert not beside.long


def test_a_page_that_is_asked_for_is_shown_in_full(beside: Beside) -> None:
    beside.details.show_page("rules")
    assert beside.long


def test_what_has_no_short_form_is_shown_in_full(beside: Beside) -> None:
    beside._document.select("panel", beside._document.vehicle.panels[0].id)
    assert beside.long
    assert not beside.back.isVisible()


def test_the_short_form_follows_every_edit(beside: Beside, qtbot: Any) -> None:
    fuse = Fuse(family="mini", rating=20)
    assert beside._document.apply("Fuse", edits.change_slot, "slot-1", fuse=fuse)
    qtbot.waitUntil(lambda: "20" in beside.pane.facts.values["fuse"].accessibleName())
