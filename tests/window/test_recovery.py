"""Lost work is offered at the next start with what differs; nothing is decided unasked."""

import json
import os
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton

from fusemap.files import backups, compact, write_vehicle
from fusemap.vehicle import Fuse, Vehicle, edits
from fusemap.window.app import make_window, open_first
from fusemap.window.files.file_questions import RecoveryDialog
from fusemap.window.main_window import MainWindow

GONE = 2**22 + 1
"""A number no process has."""


def left_behind(
    folder: Path, vehicle: Vehicle, file: Path | str = "", *, number: int = 0, day: int = 17
) -> Path:
    """What a process that no longer runs has left."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"unsaved-{GONE + number}-1-a.kept"
    note = {
        "owner": {"pid": GONE + number},
        "file": str(file),
        "when": f"2025-05-{day}T18:30:00",
        "turn": 1,
    }
    path.write_bytes(json.dumps(note).encode() + b"\n" + compact(vehicle))
    return path


@pytest.fixture
def make(qtbot: Any, monkeypatch: pytest.MonkeyPatch) -> Callable[[], MainWindow]:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)

    def make() -> MainWindow:
        window = make_window()
        qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
        with qtbot.waitExposed(window):
            window.show()
        return window

    return make


@pytest.fixture
def start(make: Callable[[], MainWindow]) -> Callable[..., MainWindow]:
    def start(file: Path | None = None, demo: str | None = None) -> MainWindow:
        window = make()
        open_first(window, file, demo)
        return window

    return start


@pytest.fixture
def van() -> Vehicle:
    return edits.add_panel(Vehicle(name="Lost van"), "Cabin", 2, 3)


def dialog(window: MainWindow) -> RecoveryDialog | None:
    return next((d for d in window.findChildren(RecoveryDialog) if d.isVisible()), None)


def press(window: MainWindow, name: str, qtbot: Any) -> None:
    box = dialog(window)
    assert box is not None
    button = box.findChild(QPushButton, name)
    assert button is not None
    assert button.isEnabled()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def shown(window: MainWindow) -> list[tuple[str, str]]:
    """The rows of what differs."""
    box = dialog(window)
    assert box is not None
    items = (box.tree.topLevelItem(row) for row in range(box.tree.topLevelItemCount()))
    return [(item.text(0), item.text(1).replace("\u202f", " ")) for item in items]


def about(window: MainWindow) -> str:
    box = dialog(window)
    assert box is not None
    return box.about.text()


def test_without_lost_work_nothing_is_asked(start: Callable[..., MainWindow]) -> None:
    window = start()
    assert dialog(window) is None
    window.show_lost_work()
    assert dialog(window) is None
    assert "no unsaved work" in window.message.text


def test_nothing_is_taken_up_unasked(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle
) -> None:
    path = left_behind(settings_dir, van)
    window = start()
    assert dialog(window) is not None
    assert "Lost van" in about(window)
    assert "no file yet" in about(window)
    assert window.document.vehicle != van
    assert path.exists()


def test_taken_up_it_is_in_hand_unsaved_and_kept_anew(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle, qtbot: Any
) -> None:
    path = left_behind(settings_dir, van)
    window = start()
    press(window, "takeUp", qtbot)
    assert window.document.vehicle == van
    assert window.document.modified
    assert not path.exists()
    assert list(settings_dir.glob(f"unsaved-{os.getpid()}-*.kept")), "kept before it was let go"


def test_it_stays_kept_where_it_cannot_be_kept_anew(
    start: Callable[..., MainWindow],
    settings_dir: Path,
    van: Vehicle,
    qtbot: Any,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    path = left_behind(settings_dir, van)
    window = start()

    def full(*args: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    press(window, "takeUp", qtbot)
    assert window.document.vehicle == van
    assert path.exists()


def test_what_differs_from_its_file_is_shown_and_it_belongs_to_it_again(
    start: Callable[..., MainWindow], settings_dir: Path, tmp_path: Path, van: Vehicle, qtbot: Any
) -> None:
    file = tmp_path / "van.fusemap"
    write_vehicle(file, edits.change_slot(van, "slot-1", fuse=Fuse(family="mini", rating=10)))
    os.utime(file, (1_700_000_000, 1_700_000_000))
    lost = edits.change_slot(van, "slot-1", fuse=Fuse(family="mini", rating=15))
    left_behind(settings_dir, edits.add_accessory(lost, "Cool box", watts=45.0), file)
    window = start()
    assert shown(window) == [
        ("Slot F1", "fuse rating 10 A → 15 A"),
        ("Accessory Cool box", "added"),
    ]
    assert str(file) in about(window)
    assert "later" not in about(window)
    press(window, "takeUp", qtbot)
    assert window.document.path == file
    window.files.save()
    assert "Cool box" in file.read_text(encoding="utf-8")


def test_a_file_written_later_than_the_work_is_pointed_out(
    start: Callable[..., MainWindow], settings_dir: Path, tmp_path: Path, van: Vehicle
) -> None:
    file = tmp_path / "van.fusemap"
    write_vehicle(file, Vehicle(name="Later"))
    left_behind(settings_dir, van, file)
    assert "The file was written later" in about(start())


def test_a_file_that_is_gone_is_pointed_out(
    start: Callable[..., MainWindow], settings_dir: Path, tmp_path: Path, van: Vehicle
) -> None:
    left_behind(settings_dir, van, tmp_path / "gone.fusemap")
    assert "not there now" in about(start())


def test_work_that_was_saved_in_the_last_moment_is_not_offered(
    start: Callable[..., MainWindow], settings_dir: Path, tmp_path: Path, van: Vehicle
) -> None:
    file = tmp_path / "van.fusemap"
    write_vehicle(file, van)
    path = left_behind(settings_dir, van, file)
    assert dialog(start()) is None
    assert not path.exists()


def test_decided_later_it_is_offered_again(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle, qtbot: Any
) -> None:
    left_behind(settings_dir, van)
    window = start()
    press(window, "compareClose", qtbot)
    assert dialog(window) is None
    window.actions_.trigger("lost_work")
    assert dialog(window) is not None
    press(window, "takeUp", qtbot)
    assert window.document.vehicle == van


def test_discarding_can_be_taken_back_until_the_box_is_closed(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle, qtbot: Any
) -> None:
    path = left_behind(settings_dir, van)
    window = start()
    press(window, "giveUp", qtbot)
    box = dialog(window)
    assert box is not None
    assert "will be discarded" in about(window)
    assert not box.findChild(QPushButton, "takeUp").isEnabled()
    press(window, "giveUp", qtbot)
    press(window, "compareClose", qtbot)
    assert path.exists()
    window.show_lost_work()
    press(window, "giveUp", qtbot)
    press(window, "compareClose", qtbot)
    assert not path.exists()


def test_what_was_discarded_is_done_with_by_a_button_that_says_so(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle, qtbot: Any
) -> None:
    path = left_behind(settings_dir, van)
    window = start()
    box = dialog(window)
    assert box is not None
    leave = box.findChild(QPushButton, "compareClose")
    assert leave.text() == "Decide &later"
    press(window, "giveUp", qtbot)
    assert leave.text() == "&Done"
    press(window, "giveUp", qtbot)
    assert leave.text() == "Decide &later"
    press(window, "giveUp", qtbot)
    press(window, "compareClose", qtbot)
    assert not path.exists()


def test_of_several_each_is_shown_and_one_taken_up_leaves_the_others(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle, qtbot: Any
) -> None:
    for number, name in enumerate(("oldest", "middle", "newest")):
        vehicle = edits.change_vehicle(van, name=name)
        left_behind(settings_dir, vehicle, number=number, day=10 + number)
    window = start()
    box = dialog(window)
    assert box is not None
    assert [box.list.item(row).text().splitlines()[0] for row in range(3)] == [
        "newest", "middle", "oldest",
    ]  # fmt: skip
    box.list.setCurrentRow(1)
    press(window, "takeUp", qtbot)
    assert window.document.vehicle.name == "middle"
    window.document.stack.setClean()
    window.show_lost_work()
    box = dialog(window)
    assert box is not None
    assert box.list.count() == 2


def test_work_that_cannot_be_read_is_told_and_stays(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle, qtbot: Any
) -> None:
    path = left_behind(settings_dir, van)
    path.write_bytes(path.read_bytes().replace(b'"version":', b'"version":9'))
    window = start()
    assert "newer fusemap" in shown(window)[0][1]
    assert str(path) in about(window)
    box = dialog(window)
    assert box is not None
    assert not box.findChild(QPushButton, "takeUp").isEnabled()
    press(window, "compareClose", qtbot)
    assert path.exists()


def test_it_is_offered_beside_a_file_asked_for_and_asks_before_it_takes_its_place(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle, qtbot: Any
) -> None:
    left_behind(settings_dir, van)
    window = start(demo="light_truck")
    assert window.document.vehicle.system_v == 24
    window.document.apply("Rename", edits.change_vehicle, name="Edited")
    press(window, "takeUp", qtbot)
    assert window.document.vehicle.name == "Edited", "its changes are asked about first"


def test_a_name_that_looks_like_markup_is_shown_as_it_is(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle
) -> None:
    left_behind(settings_dir, edits.change_vehicle(van, name="<b>Van</b>"))
    window = start()
    box = dialog(window)
    assert box is not None
    labels = [label for label in box.findChildren(QLabel) if "<b>" in label.text()]
    assert labels
    assert all(label.textFormat() == Qt.TextFormat.PlainText for label in labels)


def test_everything_in_the_box_can_be_reached_and_is_named(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle, qtbot: Any
) -> None:
    left_behind(settings_dir, van)
    left_behind(settings_dir, van, number=1)
    box = dialog(start())
    assert box is not None
    for widget in (box.list, box.tree):
        assert widget.accessibleName()
    qtbot.keyClick(box, Qt.Key.Key_Escape)
    assert not box.isVisible()


def test_lost_work_that_was_discarded_is_among_the_earlier_versions(
    start: Callable[..., MainWindow], settings_dir: Path, van: Vehicle, qtbot: Any
) -> None:
    path = left_behind(settings_dir, van)
    window = start()
    press(window, "giveUp", qtbot)
    assert "20 days" in about(window)
    press(window, "compareClose", qtbot)
    assert not path.exists()
    (version,) = backups.versions(settings_dir, None)
    assert version.given_up
    assert version.read() == van


def test_lost_work_that_cannot_be_put_there_is_offered_again(
    start: Callable[..., MainWindow],
    settings_dir: Path,
    van: Vehicle,
    qtbot: Any,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    path = left_behind(settings_dir, van)
    window = start()
    monkeypatch.setattr(backups, "give_up", lambda state, file, vehicle: False)
    press(window, "giveUp", qtbot)
    press(window, "compareClose", qtbot)
    assert path.exists()
    window.show_lost_work()
    assert dialog(window) is not None
