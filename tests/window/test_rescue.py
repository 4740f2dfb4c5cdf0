"""Work is kept while it is not saved, and offered again after the process was killed."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from fusemap.files import render, write_vehicle
from fusemap.vehicle import Vehicle, edits
from fusemap.window.app import make_window, open_first
from fusemap.window.document import Document
from fusemap.window.rescue import Rescue, lost_work


@pytest.fixture
def document(qapp: Any) -> Document:
    return Document(edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 3))


@pytest.fixture
def rescue(document: Document, tmp_path: Path) -> Rescue:
    return Rescue(document, tmp_path)


def rename(document: Document, name: str) -> None:
    document.apply("Rename", edits.change_vehicle, name=name)


def kept(folder: Path) -> list[Path]:
    return list(folder.glob("unsaved-*.json"))


def left_behind(folder: Path, vehicle: Vehicle, file: str = "", pid: int = 2**22 + 1) -> Path:
    """What a process that no longer runs has left."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"unsaved-{pid}-1.json"
    note = json.dumps({"file": file, "pid": pid})
    path.write_text(f"{note}\n{render(vehicle)}", encoding="utf-8")
    return path


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


def test_a_folder_that_cannot_be_written_to_does_not_stop_the_work(
    document: Document, tmp_path: Path
) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("")
    rescue = Rescue(document, blocked)
    rename(document, "Bus")
    rescue.keep()
    assert document.vehicle.name == "Bus"


def test_work_of_a_process_that_still_runs_is_not_lost(
    document: Document, rescue: Rescue, tmp_path: Path
) -> None:
    rename(document, "Bus")
    rescue.keep()
    assert kept(tmp_path)
    assert list(lost_work(tmp_path)) == []


@pytest.mark.parametrize("content", ["", "{}\n{}", "no json\n", '{"file": ""}\n{"version": 1}'])
def test_a_broken_keeping_is_passed_over(tmp_path: Path, content: str) -> None:
    left_behind(tmp_path, Vehicle(name="Van")).write_text(content)
    assert list(lost_work(tmp_path)) == []


def test_lost_work_comes_back_at_the_next_start(settings_dir: Path, qtbot: Any) -> None:
    lost = edits.add_panel(Vehicle(name="Lost van"), "Cabin", 2, 3)
    path = left_behind(settings_dir, lost)
    window = make_window()
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    open_first(window, None, None)
    window.show()
    assert window.document.vehicle == lost
    assert window.document.modified
    assert "Lost van" in window.message.text
    assert not path.exists()


def test_lost_work_belongs_to_its_file_again(
    settings_dir: Path, tmp_path: Path, qtbot: Any
) -> None:
    file = tmp_path / "van.fusemap"
    write_vehicle(file, Vehicle(name="Van"))
    left_behind(settings_dir, Vehicle(name="Van, edited"), str(file))
    window = make_window()
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    open_first(window, None, None)
    assert window.document.path == file
    window.files.save()
    assert "Van, edited" in file.read_text(encoding="utf-8")


def test_closing_in_the_ordinary_way_leaves_nothing(settings_dir: Path, qtbot: Any) -> None:
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
from fusemap.window.rescue import Rescue
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
    assert found.vehicle.name in ("Edit 3", "Edit 4")
    found.forget()
    assert list(lost_work(tmp_path)) == []
