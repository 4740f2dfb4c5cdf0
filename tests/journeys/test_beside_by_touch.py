"""Check, hunt and probing from the first step to the last with the mouse or a finger alone."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QWidget

from fusemap.files.demos import read_demo
from fusemap.probing.plan import Round
from fusemap.probing.walking import begin
from fusemap.vehicle import Fuse, Vehicle, edits
from fusemap.window.main_window import MainWindow
from tests.window.keyboard_hands import opened
from tests.window.pad_hands import ENTER, figure, finger, name, touch

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture(autouse=True)
def _no_keyboard(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: Any, **__: Any) -> None:
        raise AssertionError("there is no keyboard")

    for each in ("keyClick", "keyClicks", "keyPress"):
        monkeypatch.setattr(QTest, each, refuse)


def desk(qtbot: Any, demo: str) -> tuple[MainWindow, list[datetime]]:
    window = opened(qtbot, read_demo(demo))
    now = [datetime(2030, 5, 17, 18, 0)]
    window.tasks.now = lambda: now[0]
    return window, now


def stage(window: MainWindow, key: str) -> Any:
    """To a stage by its button on the rail."""
    (button,) = (each for each in window.findChildren(QWidget, f"stage_{key}") if each.isVisible())
    QTest.mouseClick(button, LEFT)
    QCoreApplication.processEvents()
    return getattr(window.tasks, key)


def press(button: QPushButton) -> None:
    touch(button, button.rect().center())


def test_a_whole_check_from_its_first_step_to_the_signature(qtbot: Any) -> None:
    window, _ = desk(qtbot, "small_old_car")
    page = stage(window, "check")
    asked = len(page.steps)
    for _ in range(3 * asked):
        step = page.current()
        if all(each.verdict != "open" for each in page.steps):
            break
        if step.verdict == "differs":
            finger(page, ENTER)
        elif not step.unit:
            wanted = step.expected is None or step.expected.typical > 0.5
            finger(page, "+" if wanted else "-", ENTER)
        else:
            middle = 12.4 if step.expected is None else step.expected.typical
            figure(page, f"{middle:.3f}")
    assert all(step.verdict != "open" for step in page.steps)
    assert sum(step.verdict == "agrees" for step in page.steps) > asked / 2
    if page.stack.currentWidget() is not page.end:
        finger(page, "end")
    name(page.end.keypad, "Ann Lee")
    assert page.end.by.text() == "Ann Lee"
    press(page.end.sign)
    (signed,) = window.document.vehicle.sign_offs
    assert (signed.by, signed.left_open) == ("Ann Lee", 0)


def test_a_hunt_from_locking_to_what_was_found(qtbot: Any) -> None:
    window, now = desk(qtbot, "small_old_car")
    window.tasks.find_drain()
    page = window.tasks.hunt
    assert page is not None
    finger(page, ENTER)
    now[0] += timedelta(minutes=61)
    page.tick()
    figure(page, "350", "ma")
    across = iter(("1.3", *["0"] * 40))
    for _ in range(60):
        now[0] += timedelta(minutes=1)
        kind = page.step.kind
        if kind == "end":
            break
        if kind == "across":
            figure(page, next(across))
        elif kind == "put_back":
            figure(page, "0.35")
        elif kind == "pull":
            figure(page, "0.02" if len(page.step.slots) == 1 else "0.3")
        else:
            figure(page, "0.35")
    assert page.step.kind == "end"
    assert page.found.isVisible()
    finger(page, "leave")
    assert window.tasks.shown != "hunt"


def test_three_slots_are_probed_and_one_is_corrected(qtbot: Any) -> None:
    vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 1, 4)
    for number in range(1, 5):
        fuse = Fuse(family="mini", rating=10.0)
        vehicle = edits.change_slot(vehicle, f"slot-{number}", fuse=fuse)
    window = opened(qtbot, vehicle)
    page = stage(window, "probe")
    while page.session.slot is None:
        finger(page, ENTER)
    slots = []
    for typed in (("+",), ("9", "back", "4", "0", "mv"), ("-",)):
        slots.append(page.session.slot)
        if not page.frame.keypad.isVisible():
            finger(page, "pad")
        finger(page, *typed, ENTER)
    read = window.document.vehicle.readings
    assert [each.target_id for each in read] == slots == ["slot-1", "slot-2", "slot-3"]
    assert [(each.quantity, each.value) for each in read] == [
        ("live", 1.0), ("millivolts", 40.0), ("live", 0.0),
    ]  # fmt: skip
    finger(page, "undo")
    assert window.document.vehicle.readings[-1].withdrawn
    finger(page, "options")
    assert page.options.isVisible()


@pytest.mark.parametrize("kind", ["sweep", "contacts"])
def test_at_the_end_of_a_round_another_one_can_be_chosen(qtbot: Any, kind: Any) -> None:
    window = opened(qtbot, Vehicle(name="Van"))
    page = stage(window, "probe")
    page._take(begin(page.session, window.document.vehicle, Round(kind=kind, state="ignition")))
    assert page.session.slot is None
    finger(page, "options")
    assert page.options.isVisible()


def test_the_keypad_is_remembered(qtbot: Any) -> None:
    window, _ = desk(qtbot, "small_old_car")
    page = stage(window, "check")
    page._go_to(next(n for n, step in enumerate(page.steps) if step.unit))
    assert not page.frame.keypad.isVisible()
    finger(page, "pad")
    assert window.settings.kept.stage_pad
    probe = stage(window, "probe")
    assert probe.frame.keypad.isVisible(), "on every page beside the vehicle"
    finger(probe, "close")
    assert not window.settings.kept.stage_pad
    assert not stage(window, "check").frame.keypad.isVisible()
