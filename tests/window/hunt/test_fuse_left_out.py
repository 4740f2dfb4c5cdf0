"""A fuse that a hunt left out is named until it is back, whatever becomes of the window."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fusemap.files import write_vehicle
from fusemap.files.demos import read_demo
from fusemap.vehicle import Vehicle
from fusemap.window.main_window import MainWindow
from fusemap.window.start.recent import RecentRow, SaidRow
from fusemap.window.texts.languages import speak
from tests.window.opened_again import comes_next, keys, opened_file

Open = Callable[[Vehicle], MainWindow]
LANGUAGES = ("en", "de", "fr", "nl", "es")


@pytest.fixture
def open_(qtbot: Any, tmp_path: Path) -> Iterator[Open]:
    """Opens a vehicle of one file in a window of its own, as each start of the program does."""

    def opened(vehicle: Vehicle) -> MainWindow:
        return opened_file(qtbot, vehicle, tmp_path / "car.fusemap")

    yield opened
    speak("en")


def hunted(window: MainWindow, text: str) -> Vehicle:
    """The vehicle after these keys of a hunt: fuse 2 is asked first, and then pulled."""
    window.tasks.find_drain()
    keys(text)
    return window.document.vehicle


TO_PULL = "⏎⏎0.35⏎1.3⏎"
OUT = TO_PULL + "0.08⏎"


def test_after_the_program_was_killed_the_next_step_names_the_fuse(open_: Open, qtbot: Any) -> None:
    vehicle = hunted(open_(read_demo("small_old_car")), OUT)
    window = open_(vehicle)
    assert window.tasks.shown != "hunt"
    assert comes_next(window, qtbot) == "Put fuse 2 back"
    QTest.mouseClick(window.frame_.rail.next, Qt.MouseButton.LeftButton)
    assert window.tasks.shown == "hunt"
    keys("0.35⏎")
    window.tasks.show("plan")
    assert "fuse 2" not in comes_next(window, qtbot), "it is back"


def test_one_that_was_to_be_pulled_may_be_out(open_: Open, qtbot: Any) -> None:
    """Pulled, and the computer fails before the figure is typed."""
    first = open_(read_demo("small_old_car"))
    vehicle = hunted(first, TO_PULL + "0.0")
    first.tasks.show("plan")
    assert first.frame_.rail.next.words == "See that fuse 2 is in"
    assert comes_next(open_(vehicle), qtbot) == "See that fuse 2 is in"


def test_work_that_was_not_kept_puts_no_fuse_back(open_: Open, qtbot: Any) -> None:
    before = read_demo("small_old_car")
    hunted(open_(before), OUT)
    window = open_(before)
    assert comes_next(window, qtbot) == "Put fuse 2 back"
    window.tasks.find_drain()
    assert window.tasks.hunt is not None
    assert window.tasks.hunt.step.kind == "put_back"


@pytest.mark.parametrize("change", ["language", "theme"])
def test_in_another_look_it_is_still_said(open_: Open, qtbot: Any, change: str) -> None:
    window = open_(read_demo("small_old_car"))
    hunted(window, OUT)
    window.tasks.show("plan")
    if change == "language":
        window.look.set_language("de")
    else:
        window.look.set_theme("dark")
    QTest.qWait(50)
    assert "2" in comes_next(window, qtbot)
    assert window.tasks.not_back is not None


def test_it_goes_back_before_anything_is_waited_for(open_: Open) -> None:
    """Somebody opened the vehicle: it is awake, and nothing is read until it is locked again."""
    window = open_(read_demo("small_old_car"))
    hunted(window, OUT + "l")
    page = window.tasks.hunt
    assert page is not None
    assert (page.step.kind, page.step.quantity) == ("put_back", None)
    keys("⏎")
    assert page.step.kind == "prepare"
    assert page.hunt.scene.out == ()


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_first_page_names_it_at_its_file(open_: Open, qtbot: Any, language: str) -> None:
    window = open_(read_demo("small_old_car"))
    hunted(window, TO_PULL)
    path = window.document.path
    assert path is not None
    write_vehicle(path, window.document.vehicle)
    window.document.stack.setClean()
    window.settings.add_recent(path)
    window.look.set_language(language)

    def said() -> str:
        window.show_start()
        (row,) = (each for each in window.start.findChildren(RecentRow) if each.isVisible())
        qtbot.waitUntil(lambda: row.stage.text() != "", timeout=20_000)
        return str(row.stage.text())

    may_be = said()
    assert "2" in may_be
    assert may_be.startswith("⚠")
    window.tasks.find_drain()
    keys("0.08⏎")
    out = window.tasks.not_back
    assert out is not None
    window.document.stack.setClean()
    is_out = said()
    assert is_out == "⚠ " + window.look.theme.style.show(out)
    english = ("⚠ See that fuse 2 is in", "⚠ Put fuse 2 back")
    for told, in_english in zip((may_be, is_out), english, strict=True):
        assert (told == in_english) == (language == "en")
        assert ("See that" in told or "Put" in told) == (language == "en")


def test_the_first_page_names_it_of_what_is_in_hand(open_: Open) -> None:
    window = open_(read_demo("small_old_car"))
    window.files.open_demo("small_old_car")
    hunted(window, OUT)
    window.show_start()
    (row,) = (r for r in window.start.findChildren(SaidRow, "startBack") if r.isVisible())
    assert "Put fuse 2 back" in row.accessibleDescription()
