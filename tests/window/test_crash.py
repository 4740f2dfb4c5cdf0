"""A fault of the program: the work is kept first, it is told calmly, and the program goes on."""

import os
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QPlainTextEdit, QPushButton

from fusemap.errors import InputProblem
from fusemap.files.kept import lost_work
from fusemap.vehicle import Vehicle, edits
from fusemap.window import app, crash
from fusemap.window.crash import Crash, Log
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import state_folder


@pytest.fixture
def window(qtbot: Any, monkeypatch: pytest.MonkeyPatch) -> MainWindow:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    made = app.make_window()
    qtbot.addWidget(made, before_close_func=lambda w: w.document.stack.setClean())
    made.show()
    made.document.set_vehicle(Vehicle(name="Van"))
    made.document.apply("Rename", edits.change_vehicle, name="Bus")
    return made


def fault(error: BaseException) -> None:
    """What Python does with an exception that nobody caught."""
    try:
        raise error
    except BaseException as raised:
        sys.excepthook(type(raised), raised, raised.__traceback__)


def log_text() -> str:
    return Log(state_folder()).path.read_text(encoding="utf-8")


def test_the_work_is_kept_before_anything_is_told(
    window: MainWindow, settings_dir: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    when_told: list[bool] = []
    show_error = window.message.show_error

    def told(*args: Any) -> None:
        texts = [path.read_text(encoding="utf-8") for path in settings_dir.glob("*.kept")]
        when_told.append(any('"Bus"' in text for text in texts))
        show_error(*args)

    monkeypatch.setattr(window.message, "show_error", told)
    fault(ZeroDivisionError("just a test"))
    assert when_told == [True]


def test_it_is_told_quietly_with_its_place_and_the_program_goes_on(window: MainWindow) -> None:
    fault(ZeroDivisionError("just a test"))
    assert "just a test" in window.message.text
    assert "test_crash.py" in window.message.text
    assert "your work is kept" in window.message.text.lower()
    assert not [w for w in window.findChildren(QDialog) if w.isVisible()]
    window.document.apply("Rename", edits.change_vehicle, name="Tram")
    assert window.document.vehicle.name == "Tram"


def test_it_stands_in_the_log_with_the_lines_of_code(window: MainWindow) -> None:
    fault(ZeroDivisionError("just a test"))
    assert "fault: Traceback" in log_text()
    assert "raise error" in log_text()
    assert "Bus" not in log_text(), "nothing of the vehicle"


def test_the_details_can_be_looked_at_and_copied(window: MainWindow, qtbot: Any) -> None:
    fault(ZeroDivisionError("just a test"))
    button = window.message.findChild(QPushButton, "messageChoice0")
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    box = window.findChild(QDialog, "faultDetails")
    assert box is not None
    shown = box.findChild(QPlainTextEdit, "faultText").toPlainText()
    assert "Traceback" in shown
    assert "PySide6" in shown
    qtbot.mouseClick(box.findChild(QPushButton, "faultCopy"), Qt.MouseButton.LeftButton)
    assert QGuiApplication.clipboard().text() == shown


def test_an_error_a_user_can_cause_is_told_as_such(window: MainWindow) -> None:
    fault(InputProblem("it is below zero", "length", "enter a length"))
    assert window.message.text == "length: it is below zero. Enter a length."


def test_where_the_work_cannot_be_kept_it_says_so(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*args: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    fault(ZeroDivisionError("just a test"))
    assert "save your work under another name now" in window.message.text.lower()


@pytest.mark.parametrize("part", ["_keep", "_log", "_message"])
def test_a_fault_while_telling_of_one_ends_nothing(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, part: str
) -> None:
    hook = sys.excepthook
    assert isinstance(hook, Crash)
    monkeypatch.setattr(hook, part, None)
    fault(ZeroDivisionError("just a test"))
    window.document.apply("Rename", edits.change_vehicle, name="Tram")
    assert window.document.vehicle.name == "Tram"


def test_a_fault_that_comes_again_and_again_fills_no_log(window: MainWindow) -> None:
    for _ in range(10 * crash.MOST_TOLD):
        fault(ZeroDivisionError("just a test"))
    assert log_text().count("fault: Traceback") == crash.MOST_TOLD


def test_a_fault_in_another_thread_is_told_from_the_window_s(
    window: MainWindow, qtbot: Any
) -> None:
    def work() -> None:
        raise LookupError("in another thread")

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    qtbot.waitUntil(lambda: "in another thread" in window.message.text)


def test_ctrl_c_keeps_the_work_and_ends(
    window: MainWindow, settings_dir: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ended: list[bool] = []
    monkeypatch.setattr(crash.QApplication, "quit", lambda: ended.append(True))
    fault(KeyboardInterrupt())
    assert ended == [True]
    assert list(settings_dir.glob("*.kept"))


FAULTY = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QWidget
from fusemap.vehicle import edits
from fusemap.window import app
from fusemap.window.main_window import MainWindow

class Faulty(QWidget):
    def paintEvent(self, event):
        raise ValueError("while painting")

def later():
    (window,) = [w for w in QApplication.topLevelWidgets() if isinstance(w, MainWindow)]
    window.document.apply("Rename", edits.change_vehicle, name="After the fault")
    QTimer.singleShot(500, lambda: print("told:", window.message.text, flush=True))
    QTimer.singleShot(600, lambda: 1 / 0)
    QTimer.singleShot(1500, lambda: (print("still here", flush=True), QApplication.exit(7)))
    faulty = Faulty(window)
    faulty.show()

original = app.open_first
def open_first(*args):
    original(*args)
    QTimer.singleShot(0, later)
app.open_first = open_first
sys.exit(app.run(["--demo", "light_truck"]))
"""


def test_faults_in_the_running_program_end_nothing_and_lose_nothing(settings_dir: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", FAULTY],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env=os.environ | {"FUSEMAP_SETTINGS_DIR": str(settings_dir)},
    )
    assert done.returncode == 7, done.stderr
    assert "told:" in done.stdout
    assert "while painting" in done.stdout
    assert "still here" in done.stdout
    (lost,) = lost_work(settings_dir)
    assert lost.vehicle is not None
    assert lost.vehicle.name == "After the fault"
    log = (settings_dir / "fusemap.log").read_text(encoding="utf-8")
    assert "while painting" in log
    assert "ZeroDivisionError" in log
    assert " start: fusemap" in log
