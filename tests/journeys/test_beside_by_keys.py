"""Probe, hunt and check in the running window with nothing but keys, and by ear.

Every key goes to whatever has the keyboard; nothing is focused or clicked for it.
"""

from datetime import datetime, timedelta
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from fusemap.files.demos import read_demo
from fusemap.window.main_window import MainWindow
from tests.window.keyboard_hands import opened

Key = Qt.Key
PLAIN, CTRL, ALT = (
    Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
)  # fmt: skip


class Desk:
    """The window, and what is heard of all three pages."""

    def __init__(self, window: MainWindow) -> None:
        self.window = window
        self.now = datetime(2030, 5, 17, 18, 0)
        window.tasks.now = lambda: self.now
        self.heard: list[str] = []
        self._listened: set[int] = set()

    def press(self, *keys: Any, held: Qt.KeyboardModifier = PLAIN) -> str:
        """Press keys where the keyboard is; the last sound."""
        self.heard.clear()
        for key in keys:
            for each in key if isinstance(key, str) else [key]:
                at = QApplication.focusWidget()
                assert at is not None
                QTest.keyClick(at, Key.Key_Return if each == "\n" else each, held)
                QCoreApplication.processEvents()
        self._listen()
        return self.heard[-1] if self.heard else ""

    def go(self, key: Qt.Key, held: Qt.KeyboardModifier) -> str:
        """To a stage by its key; which is shown then."""
        self.press(key, held=held)
        return self.window.tasks.shown

    def _listen(self) -> None:
        for page in (self.window.tasks.probe, self.window.tasks.check, self.window.tasks.hunt):
            if page is not None and id(page) not in self._listened:
                self._listened.add(id(page))
                page.herald.sounded.connect(self.heard.append)

    @property
    def readings(self) -> int:
        return len([each for each in self.window.document.vehicle.readings if not each.withdrawn])


@pytest.fixture
def desk(qtbot: Any) -> Desk:
    return Desk(opened(qtbot, read_demo("small_old_car")))


def test_each_stage_takes_its_keys_at_once(desk: Desk) -> None:
    assert desk.go(Key.Key_2, ALT) == "probe"
    assert desk.press("-\n") in ("stored", "done")
    assert desk.readings == 1
    assert desk.go(Key.Key_D, CTRL) == "hunt"
    assert desk.press("\n") == "stored", "locked"
    desk.now += timedelta(minutes=61)
    assert desk.press("0.31\n") == "stored"
    assert desk.window.document.vehicle.parking.rest_current_a == pytest.approx(0.31)
    assert desk.go(Key.Key_6, ALT) == "check"
    assert desk.press("+\n") == "stored"
    assert desk.readings == 3
    assert [reading.purpose for reading in desk.window.document.vehicle.readings] == [
        "probe", "probe", "check",
    ]  # fmt: skip


def test_what_is_half_typed_waits_for_its_own_stage(desk: Desk) -> None:
    desk.go(Key.Key_2, ALT)
    desk.press("1.")
    desk.go(Key.Key_D, CTRL)
    desk.press("\n")
    desk.now += timedelta(minutes=61)
    desk.press("0.3")
    desk.go(Key.Key_6, ALT)
    desk.press("-")
    desk.go(Key.Key_2, ALT)
    tasks = desk.window.tasks
    assert (tasks.probe.session.typed, tasks.hunt.typed, tasks.check.typed) == ("1.", "0.3", "-")  # type: ignore[union-attr]
    assert desk.press("2\n") in ("stored", "done")
    assert desk.window.document.vehicle.readings[-1].value == 1.2
    desk.go(Key.Key_D, CTRL)
    assert desk.press("1\n") == "stored"
    assert desk.window.document.vehicle.readings[-1].value == 0.31
    desk.go(Key.Key_6, ALT)
    assert desk.press("\n") == "doubted", "no where yes was expected"
    assert desk.window.document.vehicle.readings[-1].value == 0.0


def test_undo_of_the_window_in_the_middle_of_each(desk: Desk) -> None:
    """What is half typed stays; the reading is gone from the vehicle and from the walk."""
    desk.go(Key.Key_D, CTRL)
    desk.press("\n")
    desk.now += timedelta(minutes=61)
    desk.press("0.31\n")
    desk.press("1.")
    desk.press(Key.Key_Z, held=CTRL)
    hunt = desk.window.tasks.hunt
    assert hunt is not None
    assert desk.readings == 0
    assert hunt.step.kind == "whole"
    assert desk.press(Key.Key_Escape) == ""
    assert desk.press("0.32\n") == "stored"
    desk.go(Key.Key_6, ALT)
    desk.press("+\n")
    desk.press(Key.Key_Z, held=CTRL)
    assert desk.readings == 1
    assert desk.press("12.4\n") == "stored"
    assert desk.readings == 2


def test_escape_leaves_the_hunt_for_where_it_began_and_keeps_it(desk: Desk) -> None:
    desk.go(Key.Key_2, ALT)
    desk.go(Key.Key_D, CTRL)
    desk.press("\n")
    desk.press(Key.Key_Escape)
    assert desk.window.tasks.shown == "probe"
    assert desk.go(Key.Key_D, CTRL) == "hunt"
    hunt = desk.window.tasks.hunt
    assert hunt is not None
    assert hunt.step.kind == "wait"


@pytest.mark.parametrize("rubbish", ["1e99", "--", "0,,3", "99999999999999999999999999", "٣٤", "½"])
def test_rubbish_typed_on_any_of_them_is_no_reading_and_no_fault(desk: Desk, rubbish: str) -> None:
    for key, held in ((Key.Key_2, ALT), (Key.Key_D, CTRL), (Key.Key_6, ALT)):
        desk.go(key, held)
        if key == Key.Key_D:
            desk.press("\n")
            desk.now += timedelta(minutes=61)
        before = desk.readings
        typed = [each for each in rubbish if each.isascii()]
        desk.press("".join(typed))
        desk.window.repaint()
        assert desk.press("\n") == "doubted" or desk.readings == before + 1
        desk.press(Key.Key_Escape)
        for reading in desk.window.document.vehicle.readings:
            assert abs(reading.value) < 100_000
