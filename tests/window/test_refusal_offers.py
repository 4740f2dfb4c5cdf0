"""A slot refuses what a default of the library forbids, and offers to let the default go."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton

from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.main_window import MainWindow

Key = Qt.Key


@pytest.fixture
def opened(window: MainWindow, van: Vehicle, qtbot: Any) -> MainWindow:
    """The window with the van in it, and a tracker that is to be live always."""
    van = edits.add_accessory(van, "Tracker", watts=1.0, needs="permanent")
    window.document.set_vehicle(van)
    qtbot.waitUntil(lambda: window.work is not None and window.work.focused_pane() == "panel")
    return window


def drop(window: MainWindow, payload: dict[str, str], slot_id: str) -> str:
    """Take something up, put it onto a slot by keys; what the message says then."""
    assert window.work.panels.start_placing(payload)
    window.document.select("slot", slot_id)
    QTest.keyClick(window.panels.view, Key.Key_Return)
    QApplication.processEvents()  # the bar lays its buttons out
    return window.message.text.replace(NARROW_SPACE, " ")


def offers(window: MainWindow) -> list[QPushButton]:
    return [b for b in window.message.findChildren(QPushButton) if b.isVisible()]


def test_it_may_work_with_the_ignition_only_sets_its_needs_and_places_it(
    opened: MainWindow,
) -> None:
    document = opened.document
    before = document.vehicle
    told = drop(opened, {"accessory": "accessory-3", "lead": "power"}, "slot-2")
    assert told.startswith("F2: It needs a permanent feed; this slot is ignition.")
    (offer,) = offers(opened)
    assert offer.text() == "It may work with the ignition only"
    offer.click()
    assert look_up.accessory(document.vehicle, "accessory-3").needs == "either"
    assert look_up.tap_of(document.vehicle, "accessory-3").slot == "slot-2"
    assert look_up.tap_of(document.vehicle, "accessory-3").fuse is not None
    assert not opened.work.panels.placing.active
    document.stack.undo()
    assert document.vehicle == before


def test_it_may_stay_live_when_parked(opened: MainWindow) -> None:
    told = drop(opened, {"accessory": "accessory-2", "lead": "power"}, "slot-4")
    assert "needs a switched feed" in told
    (offer,) = offers(opened)
    assert offer.text() == "It may stay live when parked"
    offer.click()
    assert look_up.tap_of(opened.document.vehicle, "accessory-2").slot == "slot-4"


def test_a_kind_of_the_library_is_added_with_the_need_let_go(opened: MainWindow) -> None:
    drop(opened, {"kind": "tracker", "lead": "power"}, "slot-2")
    (offer,) = offers(opened)
    offer.click()
    added = opened.document.vehicle.accessories[-1]
    assert (added.kind, added.needs) == ("tracker", "either")
    assert look_up.tap_of(opened.document.vehicle, added.id).slot == "slot-2"


def test_what_is_no_default_is_not_offered_away(opened: MainWindow) -> None:
    told = drop(opened, {"accessory": "accessory-3", "lead": "power"}, "slot-3")
    assert "must be left alone" in told
    assert offers(opened) == []


def test_a_slot_that_was_not_measured_is_to_be_measured(opened: MainWindow) -> None:
    document = opened.document
    document.apply("x", edits.change_slot, "slot-8", feed_class="unknown")
    told = drop(opened, {"accessory": "accessory-3", "lead": "power"}, "slot-8")
    assert told.startswith("F8: When it is live was not measured. Measure it")
    assert "own feed" not in told


def test_where_nothing_was_measured_yet_the_hint_says_so(opened: MainWindow) -> None:
    document = opened.document
    for slot in look_up.slots(document.vehicle):
        if slot.kind == "fuse" and not look_up.taps_on(document.vehicle, slot.id):
            document.apply("x", edits.change_slot, slot.id, feed_class="unknown")
    opened.work.panels.start_placing({"accessory": "accessory-3", "lead": "power"})
    assert opened.work.panels.placing.ranked == ()
    hint = opened.work.panels.pages()[0].hint.text()
    assert "measure" in hint
    assert "own feed" not in hint
