"""What a check or a round of probing took out is named until it is back, whatever becomes of the
window."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMessageBox, QPushButton, QWidget

from fusemap.assess import assess
from fusemap.files import write_vehicle
from fusemap.files.demos import read_demo
from fusemap.probing import final_check
from fusemap.probing.plan import Round
from fusemap.probing.walking import begin
from fusemap.vehicle import Vehicle, reading_edits
from fusemap.window.main_window import MainWindow
from fusemap.window.start.recent import RecentRow, SaidRow
from fusemap.window.texts.languages import LANGUAGES, speak
from tests.window.opened_again import comes_next, keys, opened_file

Open = Callable[..., MainWindow]


@pytest.fixture
def open_(qtbot: Any, tmp_path: Path) -> Iterator[Open]:
    """Opens a vehicle of one file in a window of its own, as each start of the program does."""

    def opened(vehicle: Vehicle, name: str = "car") -> MainWindow:
        return opened_file(qtbot, vehicle, tmp_path / f"{name}.fusemap")

    yield opened
    speak("en")


def checked(window: MainWindow, text: str) -> Vehicle:
    """The vehicle after these keys of a check: its first open step pulls the fuse of slot 1."""
    window.tasks.show("check")
    keys(text)
    return window.document.vehicle


def old_car() -> Vehicle:
    """Of its first lead all is read that comes before the host fuse is pulled."""
    vehicle = read_demo("small_old_car")
    for step in final_check.steps(vehicle, assess(vehicle)):
        if step.key == "stays_on":
            break
        fields = final_check.fields(step) | {
            "when": "2026-05-17T17:50:00",
            "value": step.expected.typical,
        }
        vehicle = reading_edits.add_reading(vehicle, **fields)
    return vehicle


# --- the check ------------------------------------------------------------------------------------


@pytest.mark.parametrize("answer", ["+⏎", "-⏎"])
def test_after_the_program_was_killed_the_fuse_of_a_check_is_named(
    open_: Open, qtbot: Any, answer: str
) -> None:
    vehicle = checked(open_(old_car()), answer)
    window = open_(vehicle)
    assert comes_next(window, qtbot) == "Put fuse 1 back"
    QTest.mouseClick(window.frame_.rail.next, Qt.MouseButton.LeftButton)
    assert window.tasks.shown == "check"
    assert window.tasks.check.current().key == "host", "which asks whether it is in again"
    assert "Put fuse 1 back" in comes_next(window, qtbot), "on this page, too"
    keys("+⏎")
    window.tasks.show("plan")
    assert "fuse 1" not in comes_next(window, qtbot)
    assert window.tasks.not_back is None


def test_a_circuit_that_does_not_work_again_leaves_it_named(open_: Open) -> None:
    window = open_(old_car())
    checked(window, "+⏎-⏎")
    assert window.tasks.not_back == "Put fuse 1 back"
    keys("i")
    assert window.tasks.not_back is None


def test_half_an_answer_and_a_kill_say_that_it_may_be_out(open_: Open, qtbot: Any) -> None:
    vehicle = checked(open_(old_car()), "+")
    assert comes_next(open_(vehicle), qtbot) == "See that fuse 1 is in"


def test_half_an_answer_that_was_left_behind_says_that_it_is_out(open_: Open) -> None:
    window = open_(old_car())
    checked(window, "+→→→")
    assert window.tasks.not_back == "Put fuse 1 back"


def test_killed_with_the_step_in_view_it_may_be_out(open_: Open, qtbot: Any) -> None:
    open_(old_car()).tasks.show("check")
    assert comes_next(open_(old_car()), qtbot) == "See that fuse 1 is in"


def test_who_only_looked_at_the_check_has_taken_nothing_out(open_: Open, qtbot: Any) -> None:
    window = open_(old_car())
    window.tasks.show("check")
    window.tasks.show("plan")
    assert window.tasks.not_back is None
    assert "See that" not in comes_next(open_(old_car()), qtbot)


def test_a_step_that_is_passed_over_takes_nothing_out(open_: Open) -> None:
    window = open_(old_car())
    checked(window, "⏎")
    window.tasks.show("plan")
    assert window.tasks.not_back is None


def test_work_that_was_not_kept_puts_no_fuse_back(open_: Open, qtbot: Any) -> None:
    checked(open_(old_car()), "+⏎")
    assert comes_next(open_(old_car()), qtbot) == "Put fuse 1 back"


def test_a_slot_that_is_gone_from_the_plan_is_named_as_it_was(open_: Open, qtbot: Any) -> None:
    checked(open_(old_car()), "+⏎")
    assert comes_next(open_(Vehicle(name="Small old car")), qtbot) == "Put fuse 1 back"


def test_another_file_is_another_vehicle(open_: Open, qtbot: Any) -> None:
    checked(open_(old_car()), "+⏎")
    assert "fuse 1 back" not in comes_next(open_(old_car(), "other"), qtbot)


def test_under_another_file_it_is_still_named(open_: Open, qtbot: Any, tmp_path: Path) -> None:
    window = open_(old_car())
    vehicle = checked(window, "+⏎")
    window.document.mark_saved(tmp_path / "other.fusemap")
    QTest.qWait(20)
    assert comes_next(open_(vehicle, "other"), qtbot) == "Put fuse 1 back"


@pytest.mark.parametrize("change", ["language", "theme"])
def test_in_another_look_it_is_still_said(open_: Open, change: str) -> None:
    window = open_(old_car())
    checked(window, "+⏎")
    window.tasks.show("plan")
    if change == "language":
        window.look.set_language("de")
    else:
        window.look.set_theme("dark")
    QTest.qWait(50)
    assert window.tasks.not_back is not None
    assert "1" in window.look.theme.style.show(window.tasks.not_back)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_first_page_names_it_at_its_file(open_: Open, qtbot: Any, language: Any) -> None:
    window = open_(old_car())
    path = window.document.path
    assert path is not None
    checked(window, "+⏎")
    write_vehicle(path, window.document.vehicle)
    window.document.stack.setClean()
    window.settings.add_recent(path)
    window.look.set_language(language)
    window.show_start()
    (row,) = (each for each in window.start.findChildren(RecentRow) if each.isVisible())
    qtbot.waitUntil(lambda: row.stage.text() != "", timeout=20_000)
    out = window.tasks.not_back
    assert out is not None
    assert row.stage.text() == "⚠ " + window.look.theme.style.show(out)
    assert ("Put" in row.stage.text()) == (language == "en")


def test_the_first_page_names_it_of_what_is_in_hand(open_: Open) -> None:
    window = open_(old_car())
    window.files.open_demo("small_old_car")
    checked(window, "→→+⏎")  # past what is read before the fuse is pulled
    window.show_start()
    (row,) = (r for r in window.start.findChildren(SaidRow, "startBack") if r.isVisible())
    assert "Put fuse 1 back" in row.accessibleDescription()


def test_a_lead_that_was_parted_for_a_meter_in_line_is_named(open_: Open, qtbot: Any) -> None:
    window = open_(read_demo("family_estate"))
    window.tasks.show("check")
    page: Any = window.tasks.check
    page._go_to(next(row for row, step in enumerate(page.steps)
                     if step.key == "current" and step.quantity == "inline_current"
                     and step.target_id == "tap-6"))  # fmt: skip
    vehicle = checked(window, "0.036⏎")
    again = open_(vehicle)
    assert comes_next(again, qtbot) == "Join the lead to Tracker again"
    again.tasks.show("check")
    keys("i")
    assert again.tasks.not_back is None


@pytest.mark.parametrize(("volts", "joined"), [("12.3", True), ("0", False)])
def test_a_device_that_has_its_voltage_says_that_its_lead_is_joined(
    open_: Open, volts: str, joined: bool
) -> None:
    window = open_(read_demo("family_estate"))
    window.tasks.show("check")
    page: Any = window.tasks.check
    of_tracker = [row for row, step in enumerate(page.steps) if step.target_id == "tap-6"]
    page._go_to(next(row for row in of_tracker if page.steps[row].key == "current"))
    keys("0.036⏎")
    assert page.current().key == "volts"
    keys(f"{volts}⏎")
    assert (window.tasks.not_back is None) == joined


def test_read_it_again_is_of_the_step_in_hand(open_: Open) -> None:
    """Whatever was stored after it: the key says so of what differs."""
    window = open_(old_car())
    checked(window, "-⏎⏎+⏎")
    page: Any = window.tasks.check
    keyed = [step.key for step in page.steps]
    row, after = keyed.index("stays_on"), keyed.index("host")
    assert page.steps[row].verdict == "differs"
    page._go_to(row)
    keys("/")
    assert page.steps[row].verdict == "open"
    assert page.steps[after].verdict == "agrees"


# --- probing --------------------------------------------------------------------------------------


def probing(window: MainWindow) -> Any:
    window.tasks.show("probe")
    page: Any = window.tasks.probe
    whole = begin(page.session, window.document.vehicle, Round(kind="whole", state="asleep"))
    page._take(whole)
    return page


def read(page: Any, figure: str) -> None:
    """A figure, once more where it is doubted."""
    keys(f"{figure}⏎")
    if page.session.doubts:
        keys(f"{figure}⏎")


def test_a_fuse_pulled_for_the_whole_is_named_after_a_kill(open_: Open, qtbot: Any) -> None:
    first = open_(old_car())
    page = probing(first)
    read(page, "0.35")
    keys("p")
    slot = page.session.fuse_out
    assert slot is not None
    first.tasks.show("plan")
    joined = "Join the battery’s minus lead again"
    may_be = str(first.tasks.not_back)
    assert may_be.startswith("See that ")
    assert may_be.endswith(joined)
    first.tasks.show("probe")
    read(page, "0.3")
    vehicle = first.document.vehicle
    assert vehicle.readings[-1].fuse_out == slot
    window = open_(vehicle)
    put = may_be.replace("See that", "Put").replace("is in", "back")
    assert comes_next(window, qtbot) == put
    QTest.mouseClick(window.frame_.rail.next, Qt.MouseButton.LeftButton)
    assert window.tasks.shown == "probe"
    keys("i")
    assert window.tasks.not_back == joined, "the meter is in line until that is said, too"
    keys("i")
    assert window.tasks.not_back is None


def test_the_minus_lead_is_named_after_a_kill_until_it_is_joined(open_: Open, qtbot: Any) -> None:
    first = open_(old_car())
    page = probing(first)
    keys("0.3")
    window = open_(first.document.vehicle)
    assert comes_next(window, qtbot) == "See that the battery’s minus lead is joined"
    page = probing(window)
    read(page, "0.35")
    assert window.tasks.not_back == "Join the battery’s minus lead again"
    again = open_(window.document.vehicle)
    assert comes_next(again, qtbot) == "Join the battery’s minus lead again"
    probing(again)
    keys("i")
    assert again.tasks.not_back is None


def test_a_clamp_takes_no_lead_off(open_: Open) -> None:
    window = open_(old_car())
    page = probing(window)
    page._take(replace(page.session, current_by="clamp_current"))
    read(page, "0.35")
    assert window.tasks.not_back is None


def test_the_minus_lead_of_a_check_is_named_until_the_engine_runs(open_: Open) -> None:
    window = open_(old_car())
    window.tasks.show("check")
    page: Any = window.tasks.check
    for key, figure in (("rest", "0.02"), ("lamps", "+")):
        page._go_to([step.key for step in page._steps].index(key))
        for _ in range(2):  # once more where it is doubted
            if page.current().key == key and page.current().verdict == "open":
                keys(f"{figure}⏎")
        out = "Join the battery’s minus lead again" if key == "rest" else None
        assert window.tasks.not_back == out


def test_nothing_is_read_of_the_whole_before_it_is_back(open_: Open) -> None:
    window = open_(old_car())
    page = probing(window)
    read(page, "0.35")
    keys("p")
    read(page, "0.3")
    readings = len(window.document.vehicle.readings)
    keys("p")
    assert "first, then press I" in str(page.session.message)
    page._take(begin(page.session, window.document.vehicle, page.session.round))
    assert page.session.fuse_out is None
    read(page, "0.35")
    assert len(window.document.vehicle.readings) == readings
    assert "first, then press I" in str(page.session.message)
    keys("i")
    read(page, "0.35")
    assert len(window.document.vehicle.readings) == readings + 1


def test_a_fuse_out_for_its_contacts_is_named(open_: Open, qtbot: Any) -> None:
    first = open_(old_car())
    first.tasks.show("probe")
    page: Any = first.tasks.probe
    vehicle = first.document.vehicle
    contacts = begin(replace(page.session, sure=False, job=False), vehicle,
                     Round(kind="contacts", state="ignition"))  # fmt: skip
    slot = next(each for each in vehicle.panels[0].slots if each.label == "1")
    page._take(replace(contacts, slot=slot.id))
    keys("8⏎")
    assert first.document.vehicle.readings[-1].target_id == slot.id
    assert comes_next(open_(first.document.vehicle), qtbot) == "Put fuse 1 back"


# --- closing --------------------------------------------------------------------------------------


def asked(window: MainWindow) -> QMessageBox:
    window.document.stack.setClean()
    window.close()
    box = window.findChild(QMessageBox, "stillOutQuestion")
    assert box is not None
    return box


def press(box: QMessageBox, name: str) -> None:
    button = box.findChild(QPushButton, name)
    assert button is not None
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    QTest.qWait(20)


@pytest.mark.parametrize("page", ["check", "hunt"])
def test_closing_asks_and_what_is_noted_is_named_again(open_: Open, qtbot: Any, page: str) -> None:
    window = open_(old_car())
    if page == "check":
        checked(window, "+⏎")
    else:
        window.tasks.find_drain()
        keys("⏎⏎0.35⏎1.3⏎0.08⏎")
    vehicle, named = window.document.vehicle, str(window.tasks.not_back)
    box = asked(window)
    assert named in box.text()
    assert window.isVisible()
    press(box, "stillOutKeep")
    assert not window.isVisible()
    again = open_(vehicle)
    assert comes_next(again, qtbot) == named
    press(asked(again), "stillOutIn")
    assert not again.isVisible()
    last = open_(vehicle)
    assert named not in comes_next(last, qtbot)
    assert last.tasks.not_back is None
    last.close()
    assert not last.isVisible(), "nothing is asked where nothing is out"


def test_one_that_was_to_be_pulled_and_is_said_to_be_in_is_not_named_again(
    open_: Open, qtbot: Any
) -> None:
    window = open_(old_car())
    window.tasks.find_drain()
    keys("⏎⏎0.35⏎1.3⏎")
    vehicle = window.document.vehicle
    press(asked(window), "stillOutIn")
    again = open_(vehicle)
    assert "is in" not in comes_next(again, qtbot)
    again.tasks.find_drain()
    keys("0")
    again.tasks.show("plan")
    assert str(again.tasks.not_back).startswith("See that"), "asked for again, it may be out again"


def test_who_does_not_close_after_all_has_it_named_still(open_: Open) -> None:
    window = open_(old_car())
    checked(window, "+⏎")
    box = asked(window)
    box.reject()
    assert window.isVisible()
    assert window.tasks.not_back == "Put fuse 1 back"


def test_unsaved_work_is_asked_about_after_it(open_: Open) -> None:
    window = open_(old_car())
    checked(window, "+⏎")
    assert window.document.modified
    window.close()
    box = window.findChild(QMessageBox, "stillOutQuestion")
    assert box is not None
    press(box, "stillOutKeep")
    assert window.isVisible()
    assert window.findChild(QWidget, "unsavedQuestion") is not None
