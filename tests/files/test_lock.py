"""A file that is open somewhere says so; a mark that nobody stands behind counts for nothing."""

import os
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from fusemap.files import lock
from fusemap.files.lock import Owner


@pytest.fixture
def van(tmp_path: Path) -> Path:
    path = tmp_path / "van.fusemap"
    path.write_text("{}")
    return path


def others(path: Path, **fields: object) -> None:
    """A mark of somebody else."""
    owner = Owner(pid=fields.pop("pid", 1), **fields)
    mark = lock.Mark(owner=owner, since="2025-05-17T18:30:00+00:00", token="0" * 16)
    lock.mark_file(path).write_bytes(msgspec.json.encode(mark))


def test_an_open_file_says_who_has_it(van):
    assert lock.holder(van) is None
    held = lock.take(van)
    assert held.held
    found = lock.holder(van)
    assert found.is_mine
    assert found.owner.user == lock.user()
    held.release()
    assert lock.holder(van) is None
    assert [entry.name for entry in van.parent.iterdir()] == ["van.fusemap"]


def test_a_link_has_the_mark_of_the_file_it_leads_to(van):
    link = van.with_name("link.fusemap")
    link.symlink_to(van.name)
    held = lock.take(link)
    assert lock.holder(van) is not None
    held.release()


def test_another_process_that_runs_has_it(van):
    code = (
        "import sys; from pathlib import Path; from fusemap.files import lock;"
        "lock.take(Path(sys.argv[1])); print('taken', flush=True); sys.stdin.read()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(van)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as other:
        assert other.stdout.readline() == b"taken\n"
        found = lock.holder(van)
        assert found.owner.pid == other.pid
        assert not found.is_mine
        other.kill()
        other.wait()
    assert lock.mark_file(van).exists()
    assert lock.holder(van) is None, "whoever had it is gone"


def test_a_process_of_the_same_number_that_was_started_later_is_not_the_one(van):
    me = lock.myself()
    if not me.started:
        pytest.skip("this system does not tell when a process was started")
    others(van, pid=os.getpid(), started="1", computer=me.computer)
    assert lock.holder(van) is None


def test_one_of_another_computer_cannot_be_asked_and_counts(van):
    others(van, pid=2**22 + 1, computer="another computer")
    assert lock.holder(van).owner.computer == "another computer"


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"\xff", b'{"owner": {"pid": "x"}}'])
def test_a_mark_that_nobody_can_read_counts_for_nothing(van, content):
    lock.mark_file(van).write_bytes(content)
    assert lock.holder(van) is None
    assert lock.take(van).held


def test_a_mark_taken_over_by_somebody_else_is_left_to_them(van):
    held = lock.take(van)
    others(van, computer="another computer")
    held.release()
    assert lock.holder(van).owner.computer == "another computer"


def test_where_no_mark_can_be_made_it_is_done_without(tmp_path):
    held = lock.take(tmp_path / "no folder" / "van.fusemap")
    assert not held.held
    held.release()


def test_a_negative_or_huge_number_is_no_process():
    assert not lock.is_running(-1)
    assert not lock.is_running(0)
    assert not lock.is_running(10**12)
    assert lock.is_running(os.getpid())
