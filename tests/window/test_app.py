"""The start: command line, what is opened first, and what a fault of the program does."""

import sys
import threading
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QWidget

from fusemap import __main__
from fusemap.files import write_vehicle
from fusemap.files.demos import read_demo
from fusemap.vehicle import Vehicle, edits
from fusemap.window import app
from fusemap.window.main_window import MainWindow


@pytest.fixture
def window(qtbot: Any, monkeypatch: pytest.MonkeyPatch) -> MainWindow:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    made = app.make_window()
    qtbot.addWidget(made, before_close_func=lambda w: w.document.stack.setClean())
    return made


def test_a_file_on_the_command_line_is_opened(window: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "van.fusemap"
    write_vehicle(path, Vehicle(name="Van"))
    app.open_first(window, path, None)
    assert window.document.path == path


class Styled(QObject):
    """Counts how often each widget is styled anew."""

    def __init__(self) -> None:
        super().__init__()
        self.times: Counter[int] = Counter()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Holds nothing back."""
        if event.type() == QEvent.Type.StyleChange:
            self.times[id(watched)] += 1
        return False


def test_the_views_are_made_inside_what_they_stand_in(window: MainWindow) -> None:
    """Qt styles whatever is in a widget anew each time that is put into another one.

    Made from the outside in, a widget is styled about twice; the other way round, nearly ten times.
    """
    styled = Styled()
    app_ = QApplication.instance()
    assert app_ is not None
    app_.installEventFilter(styled)
    app.open_first(window, None, "family_estate")
    app_.removeEventFilter(styled)
    assert styled.times.total() < 3 * len(window.findChildren(QWidget))


def test_a_file_that_is_not_there_leaves_the_start_page_and_a_message(
    window: MainWindow, tmp_path: Path
) -> None:
    app.open_first(window, tmp_path / "none.fusemap", None)
    window.show()
    assert window.pages.currentWidget() is window.start
    assert "none.fusemap" in window.message.text


def test_a_demo_vehicle_by_name(window: MainWindow) -> None:
    app.open_first(window, None, "light_truck")
    assert window.document.vehicle == read_demo("light_truck")


def test_a_demo_vehicle_that_does_not_exist_is_told(window: MainWindow) -> None:
    app.open_first(window, None, "flying_carpet")
    assert "flying_carpet" in window.message.text


def test_a_fault_of_the_program_keeps_work_and_window(
    window: MainWindow, settings_dir: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    window.document.set_vehicle(Vehicle(name="Van"))
    window.document.apply("Rename", edits.change_vehicle, name="Bus")
    try:
        raise ZeroDivisionError("just a test")
    except ZeroDivisionError as error:
        sys.excepthook(type(error), error, error.__traceback__)
    assert "just a test" in window.message.text
    assert "test_app.py" in window.message.text
    assert "just a test" in capsys.readouterr().err
    # one file, or two where the disk had the first before the second write
    kept = [each.read_text(encoding="utf-8") for each in settings_dir.glob("unsaved-*.kept")]
    assert any('"Bus"' in each for each in kept)


@pytest.mark.parametrize(
    ("words", "file", "demo"),
    [
        ([], None, None),
        (["van.fusemap"], Path("van.fusemap"), None),
        (["--demo"], None, ""),
        (["--demo", "light_truck"], None, "light_truck"),
    ],
)
def test_the_command_line_is_understood(
    words: list[str], file: Path | None, demo: str | None
) -> None:
    asked = app._parser().parse_args(words)
    assert (asked.file, asked.demo) == (file, demo)


def test_the_version_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert __main__.main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("fusemap 0.")


def test_without_a_sub_command_the_window_runs_and_ends(
    qapp: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    seen: list[str] = []

    def exec_once() -> int:
        (window,) = [
            w for w in qapp.topLevelWidgets() if isinstance(w, MainWindow) and w.isVisible()
        ]
        qapp.processEvents()
        seen.append(window.windowTitle())
        window.close()
        window.deleteLater()
        return 0

    monkeypatch.setattr(type(qapp), "exec", staticmethod(exec_once))
    assert __main__.main(["--demo"]) == 0
    assert seen == ["Family estate[*] – fusemap"]
