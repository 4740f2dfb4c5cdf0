"""What stands in the user's folders for work, log and settings is the user's alone to read."""

import os
import stat
from pathlib import Path

import pytest

from fusemap.files import atomic, backups, write_vehicle
from fusemap.files.atomic import make_folder
from fusemap.files.kept import Keeper
from fusemap.vehicle import Vehicle
from fusemap.window.crash import Log
from fusemap.window.settings import Settings

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has other rights")


@pytest.fixture(autouse=True)
def usual_mask():
    """Others may read, as most systems have it."""
    before = os.umask(0o022)
    yield
    os.umask(before)


def modes(folder: Path) -> dict[str, str]:
    """The rights of a folder and of all in it."""
    return {
        str(path.relative_to(folder.parent)): oct(stat.S_IMODE(path.stat().st_mode))
        for path in (folder, *folder.rglob("*"))
    }


def all_private(folder: Path) -> bool:
    return all(
        stat.S_IMODE(path.stat().st_mode) == (0o700 if path.is_dir() else 0o600)
        for path in (folder, *folder.rglob("*"))
    )


def test_kept_work_is_read_by_nobody_else(tmp_path):
    keeper = Keeper(tmp_path / "new" / "state", "1")
    for name in ("Van", "Bus", "Tram"):
        keeper.write(Vehicle(name=name), None)
        keeper.settle()
    assert len(list((tmp_path / "new" / "state").iterdir())) == 2
    assert all_private(tmp_path / "new"), modes(tmp_path / "new")


def test_earlier_versions_are_read_by_nobody_else(tmp_path):
    van, state = tmp_path / "van.fusemap", tmp_path / "state"
    write_vehicle(van, Vehicle(name="Van"))
    assert backups.keep(state, van)
    assert len(backups.versions(state, van)) == 1
    assert all_private(state), modes(state)
    assert stat.S_IMODE(van.stat().st_mode) == 0o644, "the vehicle's own file is the user's affair"


def test_folders_of_earlier_versions_that_others_could_read_are_closed(tmp_path):
    van, state = tmp_path / "van.fusemap", tmp_path / "state"
    write_vehicle(van, Vehicle(name="Van"))
    (state / "versions").mkdir(parents=True)
    assert backups.keep(state, van)
    assert all_private(state / "versions"), modes(state)


def test_log_and_settings_are_read_by_nobody_else(tmp_path):
    log = Log(tmp_path / "state" / "fusemap")
    log.started()
    log.watch_crashes()
    log.close()
    Settings(tmp_path / "config" / "fusemap").save()
    assert all_private(tmp_path / "state"), modes(tmp_path / "state")
    assert all_private(tmp_path / "config"), modes(tmp_path / "config")


def test_a_folder_that_is_there_keeps_its_rights(tmp_path):
    there = tmp_path / "shared"
    there.mkdir(mode=0o755)
    make_folder(there)
    assert stat.S_IMODE(there.stat().st_mode) == 0o755


def test_a_name_taken_by_kept_work_lasts_over_a_cut_of_power(tmp_path, monkeypatch):
    """The folder is forced out after the file has taken its name in it."""
    forced: list[str] = []
    fsync = os.fsync

    def noting(number):
        kind = os.fstat(number).st_mode
        forced.append("folder" if stat.S_ISDIR(kind) else "file")
        fsync(number)

    state = tmp_path / "state"
    keeper = Keeper(state, "1")
    keeper.write(Vehicle(name="Van"), None)
    keeper.settle()
    monkeypatch.setattr(os, "fsync", noting)
    keeper.write(Vehicle(name="Bus"), None)
    keeper.settle()
    assert forced == ["file", "folder"]


def test_a_new_folder_lasts_over_a_cut_of_power(tmp_path, monkeypatch):
    forced: list[Path] = []
    monkeypatch.setattr(atomic, "sync_folder", forced.append)
    monkeypatch.setattr("fusemap.files.atomic.sync_folder", forced.append)
    make_folder(tmp_path / "a" / "b")
    assert forced == [tmp_path, tmp_path / "a"]
