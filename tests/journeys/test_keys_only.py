"""Three jobs in the running window with nothing but keys, read back from the vehicle and the page.

Every key goes to whatever has the keyboard; nothing is focused, selected or clicked for it.
"""

from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel

from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.chosen.station_button import StationButton
from fusemap.window.main_window import MainWindow
from tests.window.keyboard_hands import opened

Key = Qt.Key
PLAIN = Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier
ALT = Qt.KeyboardModifier.AltModifier


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 2, 3, family="mini")
    return opened(qtbot, vehicle, 900)


def press(*keys: Qt.Key | str, held: Qt.KeyboardModifier = PLAIN) -> None:
    """Press keys one by one where the keyboard is."""
    for key in keys:
        for each in key if isinstance(key, str) else [key]:
            popup = QApplication.activePopupWidget()
            at = (popup.focusWidget() or popup) if popup else QApplication.focusWidget()
            at = at or QApplication.activeWindow()
            assert at is not None
            QTest.keyClick(at, each, held)
            QCoreApplication.sendPostedEvents()
            QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def go_to(*words: str) -> None:
    """Go somewhere by a few letters."""
    press(Key.Key_G, held=CTRL)
    press(*words, Key.Key_Return)


def tab_to(name: str) -> None:
    """Tab until the field of that name has the keyboard."""
    for _ in range(80):
        focused = QApplication.focusWidget()
        if focused is not None and focused.accessibleName().startswith(name):
            return
        press(Key.Key_Tab)
    raise AssertionError(f"Tab never came to {name}")


def test_know_the_panel(window: MainWindow) -> None:
    press(Key.Key_1, held=ALT)
    press("15 Radio", Key.Key_Return)
    press("20 Horn", Key.Key_Return)
    press("10 Airbags", Key.Key_Return)
    press(Key.Key_Left, Key.Key_Left, Key.Key_Left, Key.Key_Home)
    press(Key.Key_Up, Key.Key_Up)
    press(Key.Key_Space, "15R")
    press(Key.Key_Right, Key.Key_Space, "30")
    press(Key.Key_Right, Key.Key_Space, "15", Key.Key_Return, Key.Key_Space, "C")
    radio, horn, airbags = window.document.vehicle.panels[0].slots[:3]
    assert [(s.fuse.rating, s.circuit) for s in (radio, horn, airbags) if s.fuse] == [
        (15, "Radio"), (20, "Horn"), (10, "Airbags"),
    ]  # fmt: skip
    assert [s.feed_class for s in (radio, horn, airbags)] == [
        "accessory", "permanent", "ignition",
    ]  # fmt: skip
    assert airbags.critical


def test_choose_the_source_and_see_the_chain(window: MainWindow) -> None:
    press(Key.Key_1, held=ALT)
    press("15 Radio", Key.Key_Return)
    press(Key.Key_Left, Key.Key_Space, "15R")
    press(Key.Key_3, held=ALT)
    tab_to("Search the accessories")
    press("usb", Key.Key_Down, Key.Key_Return)
    press(Key.Key_Return)
    (tap,) = window.document.vehicle.taps
    assert tap.slot == window.document.vehicle.panels[0].slots[0].id
    go_to("accessory usb")
    assert window.document.selection is not None
    assert window.document.selection.kind == "accessory"
    for _ in range(50):
        stations = [each for each in window.findChildren(StationButton) if each.isVisible()]
        if len(stations) > 2:
            break
        QTest.qWait(100)
    assert len(stations) > 2, "its way, station by station"
    window.activateWindow()  # here nobody gives it the keyboard back from a box that closed
    QTest.qWait(50)
    press(Key.Key_Z, held=CTRL)
    assert not window.document.vehicle.taps


def test_say_how_long_it_may_stand(window: MainWindow) -> None:
    press(Key.Key_B, held=CTRL)
    tab_to("Capacity (20 h)")
    press("70", Key.Key_Return)
    press(Key.Key_K, held=CTRL)
    tab_to("Rest current, asleep")
    press("35 mA", Key.Key_Return)
    assert window.document.vehicle.battery.capacity_ah == 70
    assert window.document.vehicle.parking.rest_current_a == pytest.approx(0.035)
    press(Key.Key_4, held=ALT)
    QTest.qWait(200)
    headline = window.findChild(QLabel, "parkedHeadline")
    assert headline is not None
    assert "Starts for" in headline.text()
    before = headline.text()
    press(Key.Key_K, held=CTRL)
    tab_to("Rest current, asleep")
    press("0,35", Key.Key_Return)
    press(Key.Key_4, held=ALT)
    QTest.qWait(200)
    assert headline.text() != before


def test_what_was_done_by_keys_is_taken_back_by_keys(window: MainWindow) -> None:
    before = window.document.vehicle
    press(Key.Key_1, held=ALT)
    press("15 Radio", Key.Key_Return)
    press(Key.Key_Z, held=CTRL)
    assert window.document.vehicle == before
    assert look_up.slot(window.document.vehicle, "slot-1").fuse is None
