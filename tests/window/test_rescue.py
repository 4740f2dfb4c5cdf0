"""Work is kept while it is not saved; a killed process loses at most its last edit."""

import errno
import os
import signal
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QFrame

from fusemap.files.kept import lost_work
from fusemap.vehicle import Vehicle, edits
from fusemap.window.app import make_window
from fusemap.window.document import Document
from fusemap.window.files.rescue import Rescue


@pytest.fixture
def document(qapp: Any) -> Document:
    return Document(edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 3))


@pytest.fixture
def rescue(document: Document, tmp_path: Path) -> Rescue:
    return Rescue(document, tmp_path)


def rename(document: Document, name: str) -> None:
    document.apply("Rename", edits.change_vehicle, name=name)


def kept(folder: Path) -> list[Path]:
    return list(folder.glob("unsaved-*.kept"))


def test_an_edit_is_on_disk_by_the_next_turn(
    document: Document, rescue: Rescue, tmp_path: Path, qtbot: Any
) -> None:
    rename(document, "Bus")
    qtbot.waitUntil(lambda: bool(kept(tmp_path)))
    assert '"Bus"' in kept(tmp_path)[0].read_text(encoding="utf-8")


def test_saving_takes_the_kept_work_away(
    document: Document, rescue: Rescue, tmp_path: Path, qtbot: Any
) -> None:
    rename(document, "Bus")
    qtbot.waitUntil(lambda: bool(kept(tmp_path)))
    document.mark_saved(tmp_path / "van.fusemap")
    qtbot.waitUntil(lambda: not kept(tmp_path))


def test_undoing_everything_takes_it_away_too(
    document: Document, rescue: Rescue, tmp_path: Path, qtbot: Any
) -> None:
    rename(document, "Bus")
    qtbot.waitUntil(lambda: bool(kept(tmp_path)))
    document.stack.undo()
    qtbot.waitUntil(lambda: not kept(tmp_path))


def test_a_folder_that_cannot_be_written_to_is_told_once_and_does_not_stop_the_work(
    document: Document, tmp_path: Path
) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("")
    rescue = Rescue(document, blocked)
    told: list[Any] = []
    rescue.trouble.connect(told.append)
    for name in ("Bus", "Tram"):
        rename(document, name)
        assert not rescue.keep()
    assert document.vehicle.name == "Tram"
    assert len(told) == 1
    assert "cannot be kept" in told[0].what
    assert told[0].remedy


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EIO])
def test_a_full_disk_leaves_the_last_keeping_and_goes_on_when_there_is_room(
    document: Document, rescue: Rescue, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    rename(document, "Kept")
    assert rescue.keep()

    def fail(*args: Any, **kwargs: Any) -> None:
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", fail)
        rename(document, "Not kept")
        assert not rescue.keep()
    assert any('"Kept"' in path.read_text(encoding="utf-8") for path in kept(tmp_path))
    assert rescue.keep()
    assert any('"Not kept"' in path.read_text(encoding="utf-8") for path in kept(tmp_path))


def test_closing_in_the_ordinary_way_leaves_nothing(
    settings_dir: Path, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    window = make_window()
    qtbot.addWidget(window)
    window.document.set_vehicle(Vehicle(name="Van"), unsaved=True)
    qtbot.waitUntil(lambda: bool(kept(settings_dir)))
    window.document.stack.setClean()
    window.close()
    assert kept(settings_dir) == []


KILLED = """
import os, signal
from PySide6.QtCore import QCoreApplication
app = QCoreApplication([])
from pathlib import Path
from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.files.rescue import Rescue
document = Document(Vehicle(name="Van"))
rescue = Rescue(document, Path({folder!r}))
for number in range(5):
    document.apply("Rename", edits.change_vehicle, name=f"Edit {{number}}")
    app.processEvents()
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.skipif(os.name == "nt", reason="there is no SIGKILL on Windows")
def test_a_killed_process_loses_at_most_its_last_edit(tmp_path: Path) -> None:
    code = KILLED.format(folder=str(tmp_path))
    done = subprocess.run([sys.executable, "-c", code], timeout=60, check=False)
    assert done.returncode == -signal.SIGKILL
    (found,) = lost_work(tmp_path)
    assert found.vehicle is not None
    assert found.vehicle.name in ("Edit 3", "Edit 4")
    found.forget()
    assert lost_work(tmp_path) == ()


# --- at the moment of the edit ------------------------------------------------------------------


def kept_names(folder: Path) -> list[str]:
    """The vehicle's name in the newest of the kept files."""
    texts = sorted(kept(folder), key=lambda path: path.stat().st_mtime_ns)
    return [path.read_text(encoding="utf-8").partition('"name":"')[2].partition('"')[0]
            for path in texts]  # fmt: skip


def test_an_edit_is_on_disk_when_apply_comes_back(
    document: Document, rescue: Rescue, tmp_path: Path
) -> None:
    """Keys that queue are all done before the event loop turns: each is kept by itself."""
    for name in ("Bus", "Tram", "Train"):
        rename(document, name)
        assert name in kept_names(tmp_path)


def test_an_edit_is_on_disk_before_any_view_begins_to_show_it(
    document: Document, tmp_path: Path
) -> None:
    """A view may reckon for seconds; whoever pulls the plug meanwhile loses nothing."""
    found: list[bool] = []
    document.changed.connect(lambda old, new: found.append(new.name in kept_names(tmp_path)))
    rescue = Rescue(document, tmp_path)
    rename(document, "Bus")
    rename(document, "Tram")
    document.stack.undo()
    document.stack.redo()
    assert found == [True] * 4
    rescue.forget()


def test_what_is_taken_up_unsaved_is_kept_at_once(
    document: Document, rescue: Rescue, tmp_path: Path
) -> None:
    document.set_vehicle(Vehicle(name="Taken up"), unsaved=True)
    assert kept_names(tmp_path) == ["Taken up"]


def test_saving_and_undoing_take_it_away_at_once(
    document: Document, rescue: Rescue, tmp_path: Path
) -> None:
    rename(document, "Bus")
    document.stack.undo()
    assert kept(tmp_path) == []
    rename(document, "Tram")
    document.mark_saved(tmp_path / "van.fusemap")
    assert kept(tmp_path) == []
    document.stack.undo()
    assert kept_names(tmp_path) == ["Van"]


def test_an_edit_is_written_once(
    document: Document, rescue: Rescue, monkeypatch: pytest.MonkeyPatch, qtbot: Any
) -> None:
    from fusemap.files.kept import Keeper

    written: list[str] = []
    write = Keeper.write

    def noting(keeper: Keeper, vehicle: Vehicle, path: Path | None, mark: str) -> None:
        written.append(vehicle.name)
        write(keeper, vehicle, path, mark)

    monkeypatch.setattr(Keeper, "write", noting)
    rename(document, "Bus")
    rename(document, "Tram")
    qtbot.wait(10)
    assert written == ["Bus", "Tram"]


# --- while it cannot be kept --------------------------------------------------------------------


def test_what_stops_the_keeping_is_told_until_it_works_again(
    document: Document, rescue: Rescue, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[Any] = []
    rescue.trouble.connect(told.append)

    def fail(*args: Any, **kwargs: Any) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", fail)
        rename(document, "Bus")
        rename(document, "Tram")
    assert len(told) == 1
    assert "the disk is full" in str(told[0])
    rename(document, "Train")
    assert told[1:] == [None]


def test_work_that_is_saved_needs_no_keeping_and_nothing_is_amiss_then(
    document: Document, tmp_path: Path
) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("")
    rescue = Rescue(document, blocked)
    told: list[Any] = []
    rescue.trouble.connect(told.append)
    rename(document, "Bus")
    document.mark_saved(tmp_path / "van.fusemap")
    assert [error is None for error in told] == [False, True]


def test_a_disk_that_does_not_take_it_for_good_is_told(
    document: Document, rescue: Rescue, monkeypatch: pytest.MonkeyPatch, qtbot: Any
) -> None:
    from fusemap.files import kept as keeping

    told: list[Any] = []
    rescue.trouble.connect(told.append)
    with monkeypatch.context() as patch:
        patch.setattr(keeping, "_force_out", lambda file: False)
        rename(document, "Bus")
        qtbot.waitUntil(lambda: bool(told))
    assert "cut of power" in told[0].what
    rename(document, "Tram")
    qtbot.waitUntil(lambda: told[1:] == [None])


def test_where_it_is_forced_out_first_a_failure_of_that_is_told_too(
    document: Document, rescue: Rescue, monkeypatch: pytest.MonkeyPatch, qtbot: Any
) -> None:
    from fusemap.files import kept as keeping

    told: list[Any] = []
    rescue.trouble.connect(told.append)
    monkeypatch.setattr(keeping, "AT_ONCE", True)
    monkeypatch.setattr(keeping, "_force_out", lambda file: False)
    rename(document, "Bus")
    qtbot.waitUntil(lambda: bool(told))
    assert "cut of power" in told[0].what


@pytest.fixture
def started(settings_dir: Path, qtbot: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    """The program's own window, with its keeping."""
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    window = make_window()
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    with qtbot.waitExposed(window):
        window.show()
    return window


def test_a_mark_stays_in_the_window_while_work_cannot_be_kept(
    started: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*args: Any, **kwargs: Any) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    started.document.set_vehicle(edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 3))
    mark = started.findChild(QFrame, "standingMark")
    assert not mark.isVisible()
    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", fail)
        for name in ("Bus", "Tram", "Train"):
            rename(started.document, name)
            assert mark.isVisible()
            assert "cannot be kept" in mark.text
        started.show_start()
        assert mark.isVisible(), "on every page"
    rename(started.document, "Ship")
    assert not mark.isVisible()
