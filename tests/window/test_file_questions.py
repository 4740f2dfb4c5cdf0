"""A file that somebody else has open, has changed, or that cannot be written: nothing is lost."""

import errno
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox, QPushButton, QWidget

from fusemap.files import backups, lock, read_vehicle, write_vehicle
from fusemap.style import Style
from fusemap.vehicle import Fuse, Vehicle, edits
from fusemap.window.files.compare_dialog import CompareDialog
from fusemap.window.files.file_questions import ask_changed
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import state_folder


@pytest.fixture
def van() -> Vehicle:
    return edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 3)


@pytest.fixture
def van_file(tmp_path: Path, van: Vehicle) -> Path:
    folder = tmp_path / "vehicles"
    folder.mkdir()
    write_vehicle(folder / "van.fusemap", van)
    return folder / "van.fusemap"


def rename(window: MainWindow, name: str = "Bus") -> None:
    window.document.apply("Rename", edits.change_vehicle, name=name)


def box(window: MainWindow, name: str) -> Any:
    found = [w for w in window.findChildren(QWidget, name) if w.isVisible()]
    return found[0] if found else None


def press(window: MainWindow, box_name: str, button: str, qtbot: Any) -> None:
    opened = box(window, box_name)
    assert opened is not None, f"{box_name} is not open"
    found = opened.findChild(QPushButton, button)
    assert found is not None
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)


def choose_file(window: MainWindow, path: Path) -> None:
    """What the user does in the file dialog."""
    (dialog,) = (d for d in window.findChildren(QFileDialog) if d.isVisible())
    dialog.fileSelected.emit(str(path))
    dialog.close()


def rows(opened: CompareDialog) -> list[tuple[str, str]]:
    items = (opened.tree.topLevelItem(row) for row in range(opened.tree.topLevelItemCount()))
    return [(item.text(0), item.text(1).replace("\u202f", " ")) for item in items]


# --- open twice ----------------------------------------------------------------------------------


def test_a_file_open_in_another_window_is_told_and_not_opened_unasked(
    make: Callable[[], MainWindow], van_file: Path
) -> None:
    first, second = make(), make()
    first.files.open_path(van_file)
    second.files.open_path(van_file)
    opened = box(second, "inUseQuestion")
    assert isinstance(opened, QMessageBox)
    assert "in another window" in opened.text()
    assert second.document.path is None


def test_opened_as_a_copy_it_has_no_file_and_leaves_the_other_alone(
    make: Callable[[], MainWindow], van_file: Path, van: Vehicle, qtbot: Any
) -> None:
    first, second = make(), make()
    first.files.open_path(van_file)
    second.files.open_path(van_file)
    press(second, "inUseQuestion", "openCopy", qtbot)
    assert second.document.vehicle == van
    assert second.document.path is None


def test_opened_all_the_same_saving_asks_again(
    make: Callable[[], MainWindow], van_file: Path, qtbot: Any
) -> None:
    first, second = make(), make()
    first.files.open_path(van_file)
    second.files.open_path(van_file)
    press(second, "inUseQuestion", "openAnyway", qtbot)
    rename(second, "Second")
    second.files.save()
    assert read_vehicle(van_file).name == "Van"
    press(second, "inUseQuestion", "saveAnyway", qtbot)
    assert read_vehicle(van_file).name == "Second"
    # the first window now finds the file changed and overwrites nothing unasked
    rename(first, "First")
    first.files.save()
    assert read_vehicle(van_file).name == "Second"
    assert first.document.modified


def test_closing_a_window_lets_the_file_go(make: Callable[[], MainWindow], van_file: Path) -> None:
    first, second = make(), make()
    first.files.open_path(van_file)
    first.close()
    second.files.open_path(van_file)
    assert second.document.path == van_file
    assert box(second, "inUseQuestion") is None


def test_taking_another_vehicle_lets_the_file_go_and_leaves_no_mark(
    window: MainWindow, van_file: Path
) -> None:
    window.files.open_path(van_file)
    assert lock.holder(van_file) is not None
    window.files.open_demo("light_truck")
    assert lock.holder(van_file) is None
    assert [path.name for path in van_file.parent.iterdir()] == ["van.fusemap"]


def test_opening_the_same_file_again_in_the_same_window_asks_nothing(
    window: MainWindow, van_file: Path
) -> None:
    for _ in range(2):
        window.files.open_path(van_file)
        assert box(window, "inUseQuestion") is None
    assert window.document.path == van_file


def test_saving_over_a_file_that_is_open_elsewhere_asks(
    make: Callable[[], MainWindow], van_file: Path, van: Vehicle, qtbot: Any
) -> None:
    first, second = make(), make()
    first.files.open_path(van_file)
    second.document.set_vehicle(edits.change_vehicle(van, name="Other"), unsaved=True)
    second.files.save_as()
    choose_file(second, van_file)
    assert read_vehicle(van_file).name == "Van"
    press(second, "inUseQuestion", "saveElsewhere", qtbot)
    choose_file(second, van_file.with_name("other.fusemap"))
    assert read_vehicle(van_file.with_name("other.fusemap")).name == "Other"


# --- changed by something else -------------------------------------------------------------------


@pytest.fixture
def changed(window: MainWindow, van: Vehicle, van_file: Path) -> MainWindow:
    """A window with an edit, whose file was changed by something else, asked to save."""
    window.files.open_path(van_file)
    rename(window)
    theirs = edits.change_slot(van, "slot-1", fuse=Fuse(family="mini", rating=10))
    write_vehicle(van_file, theirs)
    window.actions_.trigger("save")
    return window


def test_nothing_is_saved_and_what_differs_is_shown(changed: MainWindow, van_file: Path) -> None:
    assert read_vehicle(van_file).name == "Van"
    assert changed.document.modified
    assert rows(box(changed, "changedQuestion")) == [
        ("Vehicle Bus", "name “Van” → “Bus”"),
        ("Slot F1", "fuse 10 A → none"),
    ]


def test_replaced_what_stood_there_is_among_the_earlier_versions(
    changed: MainWindow, van_file: Path, qtbot: Any
) -> None:
    press(changed, "changedQuestion", "replaceFile", qtbot)
    assert read_vehicle(van_file).name == "Bus"
    assert not changed.document.modified
    (version,) = backups.versions(state_folder(), van_file)
    assert version.read().panels[0].slots[0].fuse == Fuse(family="mini", rating=10)


def test_saved_elsewhere_both_are_there(changed: MainWindow, van_file: Path, qtbot: Any) -> None:
    press(changed, "changedQuestion", "saveElsewhere", qtbot)
    other = van_file.with_name("bus.fusemap")
    choose_file(changed, other)
    assert read_vehicle(other).name == "Bus"
    assert read_vehicle(van_file).name == "Van"


def test_the_file_s_version_is_taken_up_as_a_step_that_can_be_undone(
    changed: MainWindow, van_file: Path, qtbot: Any
) -> None:
    press(changed, "changedQuestion", "takeTheirs", qtbot)
    assert changed.document.vehicle == read_vehicle(van_file)
    assert not changed.document.modified
    changed.actions_.trigger("undo")
    assert changed.document.vehicle.name == "Bus"
    changed.actions_.trigger("save")
    assert box(changed, "changedQuestion") is None
    assert read_vehicle(van_file).name == "Bus"


def test_cancel_changes_nothing(changed: MainWindow, van_file: Path, qtbot: Any) -> None:
    press(changed, "changedQuestion", "compareClose", qtbot)
    assert read_vehicle(van_file).name == "Van"
    assert changed.document.vehicle.name == "Bus"
    changed.actions_.trigger("save")
    assert box(changed, "changedQuestion") is not None, "it is asked again"


def test_a_file_made_unreadable_meanwhile_can_still_be_replaced_and_is_kept(
    window: MainWindow, van_file: Path, qtbot: Any
) -> None:
    window.files.open_path(van_file)
    rename(window)
    van_file.write_text('{"format": "fusemap vehicle", "version": 99}')
    window.actions_.trigger("save")
    assert "newer fusemap" in rows(box(window, "changedQuestion"))[0][1]
    press(window, "changedQuestion", "replaceFile", qtbot)
    assert read_vehicle(van_file).name == "Bus"
    (version,) = backups.versions(state_folder(), van_file)
    assert b"99" in version.file.read_bytes()


def test_coming_back_to_the_window_tells_once_that_the_file_was_changed(
    window: MainWindow, van_file: Path, van: Vehicle
) -> None:
    window.files.open_path(van_file)
    window.files.notice_changes()
    assert window.message.text == ""
    write_vehicle(van_file, edits.change_vehicle(van, name="Somebody else's"))
    window.activateWindow()
    QApplication.sendEvent(window, QEvent(QEvent.Type.ActivationChange))
    assert "Something else has changed “van.fusemap”" in window.message.text
    window.message.clear()
    window.files.notice_changes()
    assert window.message.text == ""


def test_a_file_that_vanished_is_told_and_saving_writes_it_anew(
    window: MainWindow, van_file: Path
) -> None:
    window.files.open_path(van_file)
    rename(window)
    van_file.unlink()
    window.files.notice_changes()
    assert "not there any more" in window.message.text
    window.actions_.trigger("save")
    assert read_vehicle(van_file).name == "Bus"


# --- a disk that does not take it ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "said"),
    [
        (errno.ENOSPC, "disk is full"),
        (errno.EROFS, "read-only"),
        (errno.EACCES, "not allowed"),
        (errno.EIO, "does not answer"),
        (errno.ENOENT, "folder is not there"),
    ],
)
def test_a_save_that_fails_says_why_and_offers_to_try_again_or_elsewhere(
    window: MainWindow,
    van_file: Path,
    monkeypatch: pytest.MonkeyPatch,
    qtbot: Any,
    code: int,
    said: str,
) -> None:
    window.files.open_path(van_file)
    rename(window)

    def fail(*args: Any) -> None:
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", fail)
        window.actions_.trigger("save")
    assert said in window.message.text
    assert read_vehicle(van_file).name == "Van"
    assert window.document.modified
    again = window.message.findChild(QPushButton, "messageChoice1")
    qtbot.mouseClick(again, Qt.MouseButton.LeftButton)
    assert read_vehicle(van_file).name == "Bus"
    assert "Saved" in window.message.text
    assert not [b for b in window.message.findChildren(QPushButton) if b.isVisible()]


def test_a_folder_that_is_gone_offers_another_name(
    window: MainWindow, van_file: Path, tmp_path: Path, qtbot: Any
) -> None:
    window.files.open_path(van_file)
    rename(window)
    van_file.parent.rename(tmp_path / "unplugged")
    window.actions_.trigger("save")
    assert "folder is not there" in window.message.text
    elsewhere = window.message.findChild(QPushButton, "messageChoice0")
    qtbot.mouseClick(elsewhere, Qt.MouseButton.LeftButton)
    choose_file(window, tmp_path / "rescued.fusemap")
    assert read_vehicle(tmp_path / "rescued.fusemap").name == "Bus"
    assert window.document.path == tmp_path / "rescued.fusemap"


def test_a_state_folder_that_takes_nothing_does_not_stop_a_save(
    window: MainWindow, van_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.files.open_path(van_file)
    rename(window)
    monkeypatch.setattr(backups, "keep", lambda state, path: False)
    window.actions_.trigger("save")
    assert read_vehicle(van_file).name == "Bus"
    assert "could not be kept" in window.message.text


# --- earlier versions ----------------------------------------------------------------------------


def test_a_new_vehicle_and_a_new_file_have_none_and_say_so(
    window: MainWindow, van_file: Path, van: Vehicle
) -> None:
    window.document.set_vehicle(van)
    window.actions_.trigger("versions")
    assert "no file yet" in window.message.text
    window.files.open_path(van_file)
    window.actions_.trigger("versions")
    assert "no earlier versions" in window.message.text


def test_a_version_is_restored_as_a_step_that_can_be_undone(
    window: MainWindow, van_file: Path, van: Vehicle, qtbot: Any
) -> None:
    window.files.open_path(van_file)
    for name in ("Second", "Third"):
        rename(window, name)
        window.actions_.trigger("save")
    window.actions_.trigger("versions")
    opened = box(window, "versionsDialog")
    assert opened.list.count() == 2
    opened.list.setCurrentRow(1)
    assert rows(opened) == [("Vehicle Van", "name “Third” → “Van”")]
    press(window, "versionsDialog", "restoreVersion", qtbot)
    assert window.document.vehicle == van
    assert window.document.modified
    assert window.document.path == van_file
    assert read_vehicle(van_file).name == "Third", "the file stays until it is saved"
    assert "Restore" in window.document.stack.undoText()
    window.actions_.trigger("undo")
    assert window.document.vehicle.name == "Third"


def test_with_unsaved_edits_the_file_itself_can_be_gone_back_to(
    window: MainWindow, van_file: Path, van: Vehicle, qtbot: Any
) -> None:
    window.files.open_path(van_file)
    rename(window)
    window.actions_.trigger("versions")
    press(window, "versionsDialog", "restoreVersion", qtbot)
    assert window.document.vehicle == van


def test_a_version_that_cannot_be_read_says_so_and_cannot_be_restored(
    window: MainWindow, van_file: Path
) -> None:
    window.files.open_path(van_file)
    rename(window)
    window.actions_.trigger("save")
    (version,) = backups.versions(state_folder(), van_file)
    version.file.write_bytes(b"{")
    window.actions_.trigger("versions")
    opened = box(window, "versionsDialog")
    assert "line 1" in rows(opened)[0][1]
    assert not opened.findChild(QPushButton, "restoreVersion").isEnabled()


# --- what was given up unsaved -------------------------------------------------------------------


def discard(window: MainWindow, qtbot: Any) -> None:
    opened = box(window, "unsavedQuestion")
    qtbot.mouseClick(opened.button(QMessageBox.StandardButton.Discard), Qt.MouseButton.LeftButton)


def given_up(path: Path | None) -> list[str]:
    found = backups.versions(state_folder(), path)
    return [version.read().name for version in found if version.given_up]


def test_work_that_gave_way_to_the_file_s_is_among_the_earlier_versions(
    changed: MainWindow, van_file: Path, qtbot: Any
) -> None:
    press(changed, "changedQuestion", "takeTheirs", qtbot)
    assert given_up(van_file) == ["Bus"]
    assert "earlier versions" in changed.message.text
    changed.close()
    assert given_up(van_file) == ["Bus"]


def test_work_discarded_at_closing_is_taken_back_from_the_earlier_versions(
    make: Callable[[], MainWindow], van_file: Path, van: Vehicle, qtbot: Any
) -> None:
    first = make()
    first.files.open_path(van_file)
    rename(first)
    first.close()
    discard(first, qtbot)
    assert not first.isVisible()
    second = make()
    second.files.open_path(van_file)
    assert second.document.vehicle == van
    second.actions_.trigger("versions")
    opened = box(second, "versionsDialog")
    assert "discarded unsaved" in opened.about.text()
    assert rows(opened) == [("Vehicle Bus", "name “Van” → “Bus”")]
    press(second, "versionsDialog", "restoreVersion", qtbot)
    assert second.document.vehicle.name == "Bus"
    assert second.document.modified


def test_a_vehicle_without_a_file_that_was_discarded_is_taken_back_in_another_without_one(
    window: MainWindow, van: Vehicle, qtbot: Any
) -> None:
    window.document.set_vehicle(van, unsaved=True)
    rename(window)
    window.files.open_demo("light_truck")
    discard(window, qtbot)
    assert window.document.path is None
    window.actions_.trigger("versions")
    press(window, "versionsDialog", "restoreVersion", qtbot)
    assert window.document.vehicle.name == "Bus"


def test_what_cannot_be_kept_is_not_discarded_unasked(
    window: MainWindow, van_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qtbot: Any
) -> None:
    window.files.open_path(van_file)
    rename(window)
    monkeypatch.setattr(backups, "give_up", lambda state, path, vehicle: False)
    window.close()
    discard(window, qtbot)
    assert window.isVisible()
    assert window.document.vehicle.name == "Bus"
    assert "cannot be kept" in window.message.text
    again = window.message.findChild(QPushButton, "messageChoice1")
    qtbot.mouseClick(again, Qt.MouseButton.LeftButton)
    assert not window.isVisible()


@pytest.fixture
def twice(qapp: QApplication) -> Iterator[None]:
    """Type of double size."""
    before = QFont(qapp.font())
    large = QFont(before)
    large.setPointSizeF(before.pointSizeF() * 2)
    qapp.setFont(large)
    yield
    qapp.setFont(before)


@pytest.mark.usefixtures("twice")
def test_which_part_differs_is_whole_where_there_is_room(
    make: Callable[[], MainWindow], qtbot: Any
) -> None:
    """The column is made for the width the box has, not for the one it had before it was shown."""
    vehicle = edits.add_accessory(Vehicle(name="Van"), "Dash camera, front and rear", watts=5.0)
    other = edits.change_accessory(vehicle, vehicle.accessories[0].id, name="Camera")
    window = make()
    ask_changed(window, Style(), Path("van.fusemap"), lambda: other, vehicle)
    opened = box(window, "changedQuestion")
    qtbot.wait(30)
    tree = opened.tree
    needed = tree.sizeHintForColumn(0)
    assert needed < tree.viewport().width() // 2
    assert tree.columnWidth(0) >= needed
