"""Two vehicles of one name, neither with a file yet, are two: nothing of one is the other's."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fusemap.files import kept
from fusemap.vehicle.edits.panels import Lid
from fusemap.window.document import Document
from fusemap.window.files.rescue import Rescue
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings, state_folder

NAME = "My vehicle"


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    window = MainWindow(Document(), Settings())
    window.recovery.rescue = Rescue(window.document, state_folder())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1366, 768)
    with qtbot.waitExposed(window):
        window.show()
    return window


def make(window: MainWindow) -> None:
    """A new vehicle with two fuses, as behind the door; what was in hand needs no saving."""
    window.document.stack.setClean()
    window.files.create(NAME, 12, Lid(rows=1, columns=2))


def hunt_to_a_figure(window: MainWindow) -> None:
    """All off and the meter in, then a figure that is typed and not entered."""
    window.tasks.find_drain()
    hunt = window.tasks.hunt
    assert hunt is not None
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Return, Qt.Key.Key_7):
        QTest.keyClick(hunt, key)
    assert hunt.typed == "7"


def test_a_new_vehicle_of_the_same_name_begins_its_own_hunt(window: MainWindow) -> None:
    make(window)
    hunt_to_a_figure(window)
    make(window)
    hunt = window.tasks.hunt
    assert hunt is not None
    assert hunt.typed == ""
    assert hunt.step.kind == "prepare"


def test_a_reading_typed_for_the_one_is_not_the_others(window: MainWindow) -> None:
    make(window)
    window.tasks.show("probe")
    probe = window.tasks.probe
    assert probe is not None
    QTest.keyClick(probe, Qt.Key.Key_5)
    typed = probe.session.typed
    assert typed == "5"
    make(window)
    assert probe.session.typed == ""


def test_what_a_killed_window_left_goes_on_with_its_own_hunt(window: MainWindow) -> None:
    """Its vehicle is taken up with the mark it had, from the file that is kept at every edit."""
    make(window)
    mark = window.document.mark
    hunt_to_a_figure(window)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(kept, "_still_kept", lambda file, note: False)
        lost = kept.lost_work(state_folder())
    assert [each.mark for each in lost] == [mark]
    make(window)
    window.document.stack.setClean()
    window.recovery._take(lost[0])
    assert window.document.mark == mark
    hunt = window.tasks.hunt
    assert hunt is not None
    assert hunt.typed == "7"
