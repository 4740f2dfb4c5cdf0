"""A slot refuses what a default of the library forbids, and offers to let the default go."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget

from fusemap.probing.session import spots_left
from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Converter, Slot, Vehicle, edits, look_up
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.offer_paint import reason_text
from fusemap.window.panel.panel_drop import Payload
from tests.plain import plain

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


# --- nobody knows when it is live ----------------------------------------------------------------


@pytest.fixture
def unread(opened: MainWindow) -> MainWindow:
    """Of the clock's slot nobody knows when it is live."""
    opened.document.apply("x", edits.change_slot, "slot-8", feed_class="unknown")
    return opened


TRACKER = {"accessory": "accessory-3", "lead": "power"}


def test_a_slot_that_was_not_measured_opens_three_ways_and_no_message(unread: MainWindow) -> None:
    assert drop(unread, TRACKER, "slot-8") == ""
    ways = unread.work.ways
    assert ways.isVisible()
    assert "F8" in ways.accessibleName()
    assert "When it is live was not measured" in ways.accessibleName()
    assert "own feed" not in ways.accessibleName()
    head = ways.findChild(QWidget, "waysHead")
    assert head.accessibleName().startswith("F8, not placed, "), "as of any chosen thing"
    for button in ways.feeds.values():
        assert "border: 1px" in button.styleSheet(), "seen to be something to press"
        assert min(button.width(), button.height()) >= 28
    assert ways.measure.hasFocus(), "the recommended one"


def test_who_knows_when_it_is_live_says_so_and_it_is_placed_in_one_step(unread: MainWindow) -> None:
    before = unread.document.vehicle
    drop(unread, TRACKER, "slot-8")
    QTest.keyClick(unread.work.ways.measure, Key.Key_1)
    QTest.keyClick(unread.work.ways.feeds["permanent"], Key.Key_Return)
    vehicle = unread.document.vehicle
    assert look_up.slot(vehicle, "slot-8").feed_class == "permanent"
    assert look_up.tap_of(vehicle, "accessory-3").slot == "slot-8"
    assert not unread.work.ways.isVisible()
    unread.document.stack.undo()
    assert unread.document.vehicle == before


def test_what_is_known_and_forbids_it_is_noted_and_then_offered_to_be_let_go(
    unread: MainWindow,
) -> None:
    drop(unread, TRACKER, "slot-8")
    unread.work.ways.feeds["ignition"].click()
    QApplication.processEvents()
    assert look_up.slot(unread.document.vehicle, "slot-8").feed_class == "ignition"
    assert look_up.tap_of(unread.document.vehicle, "accessory-3") is None
    assert "needs a permanent feed" in unread.message.text
    (offer,) = offers(unread)
    offer.click()
    assert look_up.tap_of(unread.document.vehicle, "accessory-3").slot == "slot-8"


def test_placed_all_the_same_it_stays_open(unread: MainWindow) -> None:
    drop(unread, TRACKER, "slot-8")
    QTest.keyClick(unread.work.ways.measure, Key.Key_3)
    vehicle = unread.document.vehicle
    assert look_up.tap_of(vehicle, "accessory-3").slot == "slot-8"
    assert look_up.slot(vehicle, "slot-8").feed_class == "unknown"
    open_ones = {f.code for f in unread.document.findings if f.place_id == "slot-8"}
    assert "class_unknown" in open_ones


def test_measured_first_it_is_taken_up_again_on_the_way_back(
    unread: MainWindow, qtbot: Any
) -> None:
    drop(unread, TRACKER, "slot-8")
    unread.work.ways.measure.click()
    assert unread.tasks.shown == "probe"
    assert unread.tasks.probe.session.slot == "slot-8"
    unread.document.apply("read", edits.change_slot, "slot-8", feed_class="permanent")
    unread.tasks.show("plan")
    qtbot.waitUntil(lambda: unread.work.panels.placing.active)
    assert unread.document.selection.id == "slot-8"
    QTest.keyClick(unread.panels.view, Key.Key_Return)
    assert look_up.tap_of(unread.document.vehicle, "accessory-3").slot == "slot-8"


def keys(window: MainWindow, typed: str) -> None:
    for sign in typed:
        QTest.keyClick(window.tasks.probe, Key.Key_Return if sign == "⏎" else sign)


def test_two_readings_of_that_slot_alone_and_it_comes_back_by_itself(
    unread: MainWindow, qtbot: Any
) -> None:
    """Dead asleep, live with the key at accessory: nothing else is asked for on the way."""
    unread.document.apply("x", edits.change_accessory, "accessory-3", needs="either")
    drop(unread, TRACKER, "slot-8")
    unread.work.ways.measure.click()
    session = unread.tasks.probe.session
    assert (session.slot, session.only) == ("slot-8", ("slot-8",))
    keys(unread, "-⏎")
    assert unread.tasks.shown == "probe"
    keys(unread, "⏎")
    session = unread.tasks.probe.session
    assert (session.slot, session.round.state) == ("slot-8", "accessory")
    keys(unread, "+⏎")
    assert unread.tasks.shown == "plan"
    assert look_up.slot(unread.document.vehicle, "slot-8").feed_class == "accessory"
    qtbot.waitUntil(lambda: unread.work.panels.placing.active)
    assert unread.document.selection.id == "slot-8"
    unread.tasks.show("probe")
    assert unread.tasks.probe.session.only == ()
    assert len(spots_left(unread.tasks.probe.session, unread.document.vehicle)) > 1


def test_a_slot_that_is_live_asleep_takes_one_reading(unread: MainWindow, qtbot: Any) -> None:
    drop(unread, TRACKER, "slot-8")
    unread.work.ways.measure.click()
    keys(unread, "+0.3⏎")
    assert unread.tasks.shown == "plan"
    assert look_up.slot(unread.document.vehicle, "slot-8").feed_class == "permanent"
    qtbot.waitUntil(lambda: unread.work.panels.placing.active)


def test_escape_leaves_all_as_it_was(unread: MainWindow) -> None:
    before = unread.document.vehicle
    drop(unread, TRACKER, "slot-8")
    QTest.keyClick(unread.work.ways.measure, Key.Key_Escape)
    assert not unread.work.ways.isVisible()
    assert unread.document.vehicle == before
    assert unread.work.focused_pane() == "panel"


def test_a_slot_that_can_take_it_is_one_press_away(unread: MainWindow) -> None:
    drop(unread, TRACKER, "slot-8")
    button = unread.work.ways.findChild(QPushButton, "waysSlot_slot-4")
    assert button.isVisible()
    button.click()
    assert look_up.tap_of(unread.document.vehicle, "accessory-3").slot == "slot-4"


def test_where_a_reading_would_not_help_what_would_remain_is_said(
    unread: MainWindow,
) -> None:
    """A heater of 20 A is too heavy for the slot, whenever that may be live."""
    unread.document.apply("x", edits.add_accessory, "Heater", amperes=20.0, needs="either")
    heater = unread.document.vehicle.accessories[-1].id
    told = drop(unread, {"accessory": heater, "lead": "power"}, "slot-8")
    assert "too heavy for a slot" in told
    assert "Measure it" not in told
    assert not unread.work.ways.isVisible()


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


def test_what_no_reading_would_cure_is_said_first(opened: MainWindow) -> None:
    """A charger of 36 A: nobody has to measure when a slot is live that could never carry it."""
    document = opened.document
    document.apply("x", edits.change_slot, "slot-8", feed_class="unknown")
    placing = opened.work.panels.placing
    assert placing.begin(Payload(kind="dc_charger"))
    candidate = placing.offers["slot-8"].candidate
    assert candidate.rules[-1] == "unknown"
    assert "too heavy for a slot" in plain(candidate.reasons[0])
    assert "live" not in str(candidate.verdict)
    first = plain(placing.offer_words("slot-8")).partition(". ")[0]
    assert first.endswith("is too heavy for a slot; above 10 A it belongs on an own feed")


def test_what_is_too_heavy_for_any_slot_is_given_an_own_feed_at_once(opened: MainWindow) -> None:
    before = opened.document.vehicle
    drop(opened, {"kind": "dc_charger"}, "slot-8")
    (offer,) = offers(opened)
    assert offer.text() == "Give it an own feed"
    offer.click()
    vehicle = opened.document.vehicle
    charger = vehicle.accessories[-1]
    tap = look_up.tap_of(vehicle, charger.id)
    assert (tap.kind, tap.slot) == ("own_feed", None)
    assert tap.fuse is not None
    assert tap.cable_out is not None
    opened.document.stack.undo()
    assert opened.document.vehicle == before


# --- made for another voltage --------------------------------------------------------------------


@pytest.fixture
def truck(opened: MainWindow) -> MainWindow:
    """The van with 24 V and nothing in it yet; a radio for 12 V lies ready."""
    vehicle = opened.document.vehicle
    for each in vehicle.accessories:
        vehicle = edits.remove_accessory(vehicle, each.id)
    vehicle = edits.change_vehicle(vehicle, system_v=24)
    vehicle = edits.add_accessory(vehicle, "Radio", amperes=8.0, rated_v=13.8)
    opened.document.set_vehicle(vehicle)
    return opened


def radio(window: MainWindow) -> dict[str, str]:
    (each,) = (a for a in window.document.vehicle.accessories if a.name == "Radio")
    return {"accessory": each.id, "lead": "power"}


def with_step_down(truck: MainWindow) -> Vehicle:
    """Its vehicle, in which a converter lies ready, too."""
    vehicle = edits.add_accessory(
        truck.document.vehicle, "Step-down", watts=2.0, rated_v=27.6,
        converter=Converter(output_v=13.8, rating_a=10.0),
    )  # fmt: skip
    truck.document.set_vehicle(vehicle)
    return vehicle


def test_what_is_made_for_12_v_is_told_of_a_converter_and_of_no_own_feed(
    truck: MainWindow, qtbot: Any
) -> None:
    placing = truck.work.panels.placing
    assert truck.work.panels.start_placing(radio(truck))
    offers_ = [each for each in placing.offers.values() if "voltage" in each.candidate.rules]
    assert any(each.candidate.margin_a < 0 for each in offers_), "too heavy besides"
    slot = Slot(id="a", row=0, column=0)
    said = {reason_text(slot, each, Style()) for each in offers_}
    assert said == {"converter", "leave alone"}
    hint = truck.work.panels.current_page().hint
    qtbot.waitUntil(lambda: "behind a converter" in hint.text())
    assert "own feed" not in hint.toolTip()


def test_it_is_hung_behind_the_converter_there_is_in_one_step(truck: MainWindow) -> None:
    vehicle = with_step_down(truck)
    told = drop(truck, radio(truck), "slot-2")
    assert "needs a converter" in told
    (offer,) = offers(truck)
    assert offer.text() == "Hang it behind Step-down"
    offer.click()
    after = {each.name: each for each in truck.document.vehicle.accessories}
    assert after["Radio"].supplied_by == after["Step-down"].id
    assert truck.document.selection.id == after["Radio"].id
    truck.document.stack.undo()
    assert truck.document.vehicle == vehicle


def test_without_a_converter_one_is_taken_up_first(truck: MainWindow) -> None:
    told = drop(truck, radio(truck), "slot-2")
    assert "lace a converter first" in told
    (offer,) = offers(truck)
    assert offer.text() == "First place: 24 to 12 V converter"
    offer.click()
    placing = truck.work.panels.placing
    assert placing.accessory is not None
    assert placing.accessory.converter is not None


def test_a_kind_of_the_library_is_added_behind_the_converter(truck: MainWindow) -> None:
    vehicle = with_step_down(truck)
    drop(truck, {"kind": "two_way_radio", "lead": "power"}, "slot-2")
    (offer,) = offers(truck)
    offer.click()
    added = truck.document.vehicle.accessories[-1]
    assert (added.kind, added.supplied_by) == ("two_way_radio", vehicle.accessories[-1].id)
    assert truck.document.selection.id == added.id
