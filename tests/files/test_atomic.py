"""A file is written whole or not at all, wherever it lies."""

import errno
import os
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from fusemap.errors import FileProblem
from fusemap.files import atomic

posix = pytest.mark.skipif(sys.platform == "win32", reason="permissions and links of POSIX")


def write_refused(path: Path, content: bytes = b"new") -> FileProblem:
    with pytest.raises(FileProblem) as caught:
        atomic.write_whole(path, content)
    assert caught.value.remedy
    return caught.value


def failing(code: int):
    """A system call that fails with an error of this code."""

    def fail(*args, **kwargs):
        raise OSError(code, os.strerror(code))

    return fail


@pytest.fixture
def old(tmp_path) -> Path:
    path = tmp_path / "estate.fusemap"
    path.write_bytes(b"old")
    return path


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def test_the_new_content_takes_the_place_of_the_old(old):
    atomic.write_whole(old, b"new")
    assert old.read_bytes() == b"new"
    assert names(old.parent) == ["estate.fusemap"]


def test_a_new_file_is_made(tmp_path):
    atomic.write_whole(tmp_path / "new.fusemap", b"new")
    assert (tmp_path / "new.fusemap").read_bytes() == b"new"


@posix
def test_a_new_file_has_the_permissions_any_new_file_gets(tmp_path):
    (tmp_path / "usual").touch()
    atomic.write_whole(tmp_path / "new.fusemap", b"new")
    assert (tmp_path / "new.fusemap").stat().st_mode == (tmp_path / "usual").stat().st_mode


@posix
@pytest.mark.parametrize("mode", [0o600, 0o664, 0o640])
def test_a_file_keeps_its_permissions(old, mode):
    old.chmod(mode)
    atomic.write_whole(old, b"new")
    assert stat.S_IMODE(old.stat().st_mode) == mode


@posix
def test_a_link_stays_and_the_file_it_leads_to_is_written(old, tmp_path):
    shelf = tmp_path / "shelf"
    shelf.mkdir()
    link = shelf / "link.fusemap"
    link.symlink_to(Path("..") / old.name)
    atomic.write_whole(link, b"new")
    assert link.is_symlink()
    assert old.read_bytes() == b"new"
    assert names(shelf) == ["link.fusemap"]


@posix
def test_a_link_in_a_circle_is_told(tmp_path):
    (tmp_path / "a").symlink_to(tmp_path / "b")
    (tmp_path / "b").symlink_to(tmp_path / "a")
    assert "circle" in write_refused(tmp_path / "a").what


@posix
def test_a_file_marked_read_only_stays(old):
    old.chmod(0o444)
    assert "read-only" in write_refused(old).what
    assert old.read_bytes() == b"old"


def test_a_folder_is_not_a_file(tmp_path):
    assert "folder" in write_refused(tmp_path).what


@posix
def test_a_pipe_is_not_a_file_to_keep_a_vehicle_in(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    assert "ordinary" in write_refused(tmp_path / "pipe").what


def test_a_folder_that_is_gone_is_told(tmp_path):
    error = write_refused(tmp_path / "gone" / "estate.fusemap")
    assert "folder is not there" in error.what
    assert error.where.endswith("estate.fusemap")


def test_a_name_too_long_is_told(tmp_path):
    assert "too long" in write_refused(tmp_path / ("a" * 300)).what


@pytest.mark.parametrize(
    ("call", "code", "words"),
    [
        ("open", errno.EACCES, "not allowed"),
        ("open", errno.EROFS, "disk is read-only"),
        ("write", errno.ENOSPC, "disk is full"),
        ("write", errno.EDQUOT, "used up"),
        ("fsync", errno.ENOSPC, "disk is full"),
        ("close", errno.EIO, "does not answer"),
        ("replace", errno.EACCES, "not allowed"),
        ("replace", errno.EIO, "does not answer"),
        ("replace", errno.EXDEV, os.strerror(errno.EXDEV)),
    ],
)
def test_the_message_says_why_it_could_not_be_saved(old, monkeypatch, call, code, words):
    monkeypatch.setattr(os, call, failing(code))
    error = write_refused(old)
    monkeypatch.undo()
    assert words in error.what


STEPS = (
    "stat", "lstat", "readlink", "open", "chown", "chmod", "write", "fsync", "close", "replace",
    "unlink", "scandir", "listdir",
)  # fmt: skip
"""Every call of the system that a save may make."""


class Disk:
    """Counts the calls of the system, and lets one of them fail."""

    def __init__(self, monkeypatch, fail_at: int | None = None, code: int = 0) -> None:
        self.calls: list[str] = []
        for name in STEPS:
            if hasattr(os, name):
                monkeypatch.setattr(os, name, self.watched(name, getattr(os, name), fail_at, code))

    def watched(self, name, really, fail_at, code):
        def call(*args, **kwargs):
            self.calls.append(name)
            if len(self.calls) - 1 == fail_at:
                if name == "close":
                    really(*args, **kwargs)  # a failing close has closed all the same
                raise OSError(code, os.strerror(code))
            return really(*args, **kwargs)

        return call


def steps_of_a_save(folder: Path) -> list[str]:
    """Which calls of the system a save makes, in order."""
    path = folder / "counted.fusemap"
    path.write_bytes(b"old")
    with pytest.MonkeyPatch.context() as patch:
        disk = Disk(patch)
        atomic.write_whole(path, b"new")
    path.unlink()
    return disk.calls


@posix
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EIO])
def test_whatever_step_fails_the_old_file_is_whole_or_the_new_one_is(tmp_path, code):
    steps = steps_of_a_save(tmp_path)
    assert {"open", "write", "fsync", "close", "replace"} <= set(steps)
    path = tmp_path / "estate.fusemap"
    for number, step in enumerate(steps):
        path.write_bytes(b"old")
        refused = None
        with pytest.MonkeyPatch.context() as patch:
            Disk(patch, number, code)
            try:
                atomic.write_whole(path, b"new")
            except FileProblem as problem:
                refused = problem
        where = f"step {number}, {step}"
        assert path.read_bytes() == (b"new" if refused is None else b"old"), where
        assert names(tmp_path) == ["estate.fusemap"], where
        assert refused is None or refused.remedy, where
        assert refused is not None or step not in ("write", "replace"), where


@posix
def test_a_disk_that_takes_a_byte_at_a_time_gets_it_all(old, monkeypatch):
    write = os.write
    monkeypatch.setattr(os, "write", lambda number, rest: write(number, rest[:1]))
    atomic.write_whole(old, b"new content")
    assert old.read_bytes() == b"new content"


def test_what_a_killed_save_left_is_taken_away_later(old):
    left = old.parent / ".fusemap-0123456789abcdef.part"
    fresh = old.parent / ".fusemap-fedcba9876543210.part"
    others = old.parent / ".somebody.part"
    for path in (left, fresh, others):
        path.write_bytes(b"half")
    for path in (left, others):
        os.utime(path, (time.time() - 7200,) * 2)
    atomic.write_whole(old, b"new")
    assert names(old.parent) == sorted([fresh.name, others.name, old.name])


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_really_full_disk_is_told_while_writing(old, monkeypatch):
    really_open = os.open

    def open_full(path, flags, mode=0o777):
        really_open_number = really_open(path, flags, mode)
        if str(path).endswith(".part"):
            os.close(really_open_number)
            return really_open("/dev/full", os.O_WRONLY)
        return really_open_number

    monkeypatch.setattr(os, "open", open_full)
    monkeypatch.setattr(atomic, "_take_over", lambda part, old: None)
    error = write_refused(old, b"n" * 100_000)
    monkeypatch.undo()
    assert "disk is full" in error.what
    assert old.read_bytes() == b"old"
    assert names(old.parent) == ["estate.fusemap"]


def test_stopped_in_the_middle_the_old_file_is_whole(old, monkeypatch):
    def stop(*args):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        atomic.write_whole(old, b"new")
    monkeypatch.undo()
    assert old.read_bytes() == b"old"
    assert names(old.parent) == ["estate.fusemap"]


@posix
def test_the_content_is_on_the_disk_before_it_takes_the_name_and_then_the_name_is(old, monkeypatch):
    steps = []
    fsync, replace = os.fsync, os.replace

    def watch_fsync(number):
        is_folder = stat.S_ISDIR(os.fstat(number).st_mode)
        steps.append("folder safe" if is_folder else "content safe")
        fsync(number)

    def watch_replace(part, target):
        steps.append("renamed")
        assert Path(part).read_bytes() == b"new"
        replace(part, target)

    monkeypatch.setattr(os, "fsync", watch_fsync)
    monkeypatch.setattr(os, "replace", watch_replace)
    atomic.write_whole(old, b"new")
    assert steps == ["content safe", "renamed", "folder safe"]


@posix
def test_a_disk_that_cannot_make_names_last_still_saves(old, monkeypatch):
    fsync = os.fsync

    def no_folders(number):
        if stat.S_ISDIR(os.fstat(number).st_mode):
            raise OSError(errno.EINVAL, "not for folders")
        fsync(number)

    monkeypatch.setattr(os, "fsync", no_folders)
    atomic.write_whole(old, b"new")
    assert old.read_bytes() == b"new"


WRITER = """
import sys
import time
from pathlib import Path
from fusemap.files.atomic import write_whole
path = Path(sys.argv[1])
while True:
    for sign in (b"a", b"b"):
        write_whole(path, sign * 300_000)
        print("written", flush=True)
"""


@posix
@pytest.mark.parametrize("moment_s", [0.0, 0.0007, 0.0031])
def test_killed_at_any_moment_the_file_is_one_of_the_two_whole(tmp_path, moment_s):
    path = tmp_path / "estate.fusemap"
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE
    ) as writer:
        for _ in range(3):
            assert writer.stdout.readline() == b"written\n"
        time.sleep(moment_s)
        writer.kill()
    assert path.read_bytes() in (b"a" * 300_000, b"b" * 300_000)
