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
    rescue.failed.connect(told.append)
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
