"""A hunt in the whole window: another language in the middle of it, and the window closed on it."""

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from fusemap.files.demos import read_demo
from fusemap.window.document import Document
from fusemap.window.hunt.page import HuntPage
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import speak
from tests.window.keyboard_hands import opened

ENTER = Qt.Key.Key_Return


@pytest.fixture
def window(qtbot: Any) -> Iterator[MainWindow]:
    window = opened(qtbot, read_demo("small_old_car"))
    window.tasks.show("hunt")
    yield window
    speak("en")


def page(window: MainWindow) -> HuntPage:
    found = window.tasks.hunt
    assert isinstance(found, HuntPage)
    return found


def type_(*keys: str | Qt.Key) -> None:
    """Where the keyboard is, as a hand does."""
    for key in keys:
        at = QApplication.focusWidget()
        assert at is not None
        if isinstance(key, str):
            QTest.keyClicks(at, key)
        else:
            QTest.keyClick(at, key)


def test_another_language_in_the_middle_leaves_hunt_and_half_a_figure_as_they_are(
    window: MainWindow,
) -> None:
    type_(ENTER, ENTER, "0.35", ENTER, "1.")
    before = page(window)
    step, state, readings = before.step, before.hunt, window.document.vehicle.readings
    assert step.kind == "across"
    window.look.set_language("de")
    QTest.qWait(30)
    after = page(window)
    assert window.tasks.shown == "hunt"
    assert (after.step, after.hunt, after.typed) == (step, state, "1.")
    assert window.document.vehicle.readings == readings
    words = [key.words for key in after.frame.picture.keys]
    assert "zurück" in words
    assert "back" not in words
    type_("2", ENTER)
    assert len(window.document.vehicle.readings) == len(readings) + 1
    assert window.document.vehicle.readings[-1].value == pytest.approx(1.2)


def test_taken_up_in_another_window_the_half_figure_is_there(
    window: MainWindow, qtbot: Any
) -> None:
    """Closed, or the power cut: the hunt goes on where it was."""
    type_(ENTER, ENTER, "0.35", ENTER, "1.2")
    vehicle, state = window.document.vehicle, page(window).hunt
    other = MainWindow(Document(vehicle), Settings())
    qtbot.addWidget(other, before_close_func=lambda w: w.document.stack.setClean())
    other.show()
    other.show_work()
    other.tasks.show("hunt")
    assert page(other).hunt == state
    assert page(other).typed == "1.2"
