"""Work that is not saved: written at every edit, found again when its process is gone."""

import errno
import json
import os
from datetime import datetime
from pathlib import Path

import msgspec
import pytest

from fusemap.files import compact, kept, lock, parse
from fusemap.files.demos import read_demo
from fusemap.files.kept import Keeper, lost_work
from fusemap.vehicle import Vehicle, edits

GONE = 2**22 + 1
"""A number no process has."""


def left_behind(
    folder: Path,
    vehicle: Vehicle,
    file: str = "",
    *,
    pid: int = GONE,
    turn: int = 1,
    word: str = "1-a",
    when: str = "2025-05-17T18:30:00",
    computer: str = "",
) -> Path:
    """What a process has left."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"unsaved-{pid}-{word}.kept"
    note = {"owner": {"pid": pid, "computer": computer}, "file": file, "when": when, "turn": turn}
    path.write_bytes(json.dumps(note).encode() + b"\n" + compact(vehicle))
    return path


def names(folder: Path) -> list[str]:
    return [lost.vehicle.name for lost in lost_work(folder)]


@pytest.fixture
def keeper(tmp_path: Path) -> Keeper:
    return Keeper(tmp_path, "1")


@pytest.fixture
def gone(monkeypatch):
    """From now on this process counts as one that no longer runs."""

    def go() -> None:
        monkeypatch.setattr(kept.os, "getpid", lambda: GONE)
        monkeypatch.setattr(lock, "is_running", lambda pid: False)

    return go


@pytest.mark.parametrize("key", ["family_estate", "light_truck"])
def test_the_file_on_one_line_says_the_same(key):
    assert parse(compact(read_demo(key))) == read_demo(key)
    assert b"\n" not in compact(read_demo(key))
    assert parse(compact(Vehicle(name=""))) == Vehicle(name="")


def test_whenever_the_process_goes_the_newest_write_is_found(tmp_path, keeper, gone):
    for number in range(7):
        keeper.write(Vehicle(name=str(number)), None)
    gone()
    assert names(tmp_path) == ["6"]
    keeper.settle()
    assert names(tmp_path) == ["6"]


def test_after_a_cut_of_power_what_was_safe_on_the_disk_is_found(tmp_path, keeper, gone):
    keeper.write(Vehicle(name="safe"), None)
    keeper.settle()
    keeper.write(Vehicle(name="not on the disk yet"), None)
    keeper.settle()
    gone()
    newest = max(tmp_path.glob("*.kept"), key=lambda path: b"not on" in path.read_bytes())
    for rest in (b"", b"\0" * 300, newest.read_bytes()[:-40]):
        newest.write_bytes(rest)
        assert names(tmp_path) == ["safe"]


def test_a_burst_of_edits_leaves_the_safe_one_alone(tmp_path, keeper, monkeypatch):
    """While the disk is still at it, the file that is safe is not written."""
    keeper.write(Vehicle(name="safe"), None)
    keeper.settle()
    monkeypatch.setattr(kept, "_force_out", lambda file: False)
    for number in range(5):
        keeper.write(Vehicle(name=str(number)), None)
        keeper.settle()
        texts = [path.read_bytes() for path in tmp_path.glob("*.kept")]
        assert any(b'"safe"' in text for text in texts)
        assert any(f'"{number}"'.encode() in text for text in texts)


def test_where_a_file_in_use_keeps_its_name_it_is_forced_out_before_it_takes_one(
    tmp_path, keeper, gone, monkeypatch
):
    steps: list[str] = []
    monkeypatch.setattr(kept, "AT_ONCE", True)
    monkeypatch.setattr(kept, "_force_out", lambda file: steps.append(file.suffix) or True)
    for number in range(3):
        keeper.write(Vehicle(name=str(number)), None)
    assert steps == [".new"] * 3
    assert len(list(tmp_path.glob("*.kept"))) == 2, "two take turns all the same"
    gone()
    assert names(tmp_path) == ["2"]


def test_it_knows_its_file_and_when(tmp_path, keeper, gone):
    keeper.write(Vehicle(name="Van"), tmp_path / "van.fusemap")
    gone()
    (lost,) = lost_work(tmp_path)
    assert lost.path == tmp_path / "van.fusemap"
    assert abs((datetime.now() - lost.when).total_seconds()) < 60
    assert lost.elsewhere == ""
    lost.forget()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", [b"K\xc3\xbcbel.fusemap", b"broken \xff\xfe name.fusemap"])
def test_any_name_a_file_can_have_is_known_again(tmp_path, keeper, gone, name):
    path = tmp_path / os.fsdecode(name)
    keeper.write(Vehicle(name="Van"), path)
    gone()
    assert lost_work(tmp_path)[0].path == path


def test_work_of_a_process_that_still_runs_is_not_lost(tmp_path, keeper):
    keeper.write(Vehicle(name="Van"), None)
    assert lost_work(tmp_path) == ()


def test_a_number_given_to_a_new_process_does_not_hide_lost_work(tmp_path, monkeypatch):
    left_behind(tmp_path, Vehicle(name="Van"), pid=os.getppid())
    assert lost_work(tmp_path) == (), "it cannot be told apart without a start"
    monkeypatch.setattr(lock, "started_at", lambda pid: "200")
    path = next(tmp_path.glob("*.kept"))
    path.write_bytes(path.read_bytes().replace(b'{"pid": ', b'{"started": "100", "pid": ', 1))
    assert names(tmp_path) == ["Van"]


def test_work_kept_by_another_computer_is_found_and_says_so(tmp_path):
    left_behind(tmp_path, Vehicle(name="Van"), pid=1, computer="another computer")
    (lost,) = lost_work(tmp_path)
    assert lost.elsewhere == "another computer"


def test_several_come_newest_first(tmp_path):
    left_behind(tmp_path, Vehicle(name="older"), when="2025-05-16T09:00:00", pid=GONE)
    left_behind(tmp_path, Vehicle(name="newer"), when="2025-05-17T09:00:00", pid=GONE + 1)
    assert names(tmp_path) == ["newer", "older"]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{}\n{}",
        b"no json\n",
        b"\xff\xfe",
        b'{"owner": {"pid": 1}, "file": "", "when": "x"}\n',
    ],
)
def test_what_cannot_be_read_is_told_and_not_thrown_away(tmp_path, content):
    path = left_behind(tmp_path, Vehicle(name="Van"))
    path.write_bytes(content)
    (lost,) = lost_work(tmp_path)
    assert lost.vehicle is None
    assert lost.problem is not None
    assert path.exists()


def test_a_time_no_calendar_has_costs_nothing_but_itself(tmp_path):
    left_behind(tmp_path, Vehicle(name="Van"), when="the other day")
    (lost,) = lost_work(tmp_path)
    assert lost.problem is not None


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EIO])
@pytest.mark.parametrize("step", ["write_bytes", "replace", "mkdir"])
def test_a_write_that_fails_leaves_what_was_kept_before(
    tmp_path, keeper, gone, monkeypatch, step, code
):
    keeper.write(Vehicle(name="before"), None)
    keeper.settle()

    def fail(*args, **kwargs):
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patch:
        patch.setattr(Path, step, fail)
        with pytest.raises(OSError, match=os.strerror(code)):
            keeper.write(Vehicle(name="lost"), None)
    gone()
    assert names(tmp_path) == ["before"]
    assert list(tmp_path.glob("*.new")) == []


def test_half_a_write_of_a_killed_process_is_taken_away(tmp_path):
    (tmp_path / f"unsaved-{GONE}-1-a.new").write_bytes(b"half")
    mine = tmp_path / f"unsaved-{os.getpid()}-1-a.new"
    mine.write_bytes(b"half")
    assert lost_work(tmp_path) == ()
    assert list(tmp_path.iterdir()) == [mine]


def test_a_folder_that_is_not_there_holds_nothing(tmp_path):
    assert lost_work(tmp_path / "nowhere") == ()


def test_everything_an_edit_can_make_is_kept(tmp_path, keeper, gone):
    van = edits.add_panel(Vehicle(name="Kübel 🚐"), "Cabin", 2, 3)
    keeper.write(van, None)
    gone()
    assert lost_work(tmp_path)[0].vehicle == van


def test_a_note_the_reader_refuses_in_any_way_leaves_the_other_work_to_be_found(
    tmp_path, monkeypatch
):
    """Older releases of the reader raise what is no ValueError."""
    left_behind(tmp_path, Vehicle(name="Van"), word="1-a")
    broken = left_behind(tmp_path, Vehicle(name="Lost"), word="2-a", pid=GONE + 1)
    broken.write_bytes(b"{}\n" + broken.read_bytes().partition(b"\n")[2])
    read = msgspec.json.decode

    def older(content, **kinds):
        try:
            return read(content, **kinds)
        except msgspec.ValidationError as error:
            raise msgspec.MsgspecError(str(error)) from None

    monkeypatch.setattr(msgspec.json, "decode", older)
    found = lost_work(tmp_path)
    assert [one.vehicle.name for one in found if one.vehicle] == ["Van"]
    assert [one.problem.what for one in found if one.problem] == ["it cannot be read"]
