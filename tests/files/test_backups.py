"""What stood in a file before a save is still there afterwards."""

import errno
import os
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fusemap import files
from fusemap.files import backups
from fusemap.files.backups import KEEP, KEEP_DAYS, Version
from fusemap.vehicle import Vehicle


@pytest.fixture
def state(tmp_path: Path) -> Path:
    return tmp_path / "state"


@pytest.fixture
def van(tmp_path: Path) -> Path:
    return tmp_path / "van.fusemap"


def save(state: Path, path: Path, name: str) -> None:
    """Save as the window does."""
    assert backups.keep(state, path)
    files.write_vehicle(path, Vehicle(name=name))


def names(state: Path, path: Path) -> list[str]:
    return [version.read().name for version in backups.versions(state, path)]


def test_a_new_file_has_no_earlier_versions(state, van):
    save(state, van, "first")
    assert names(state, van) == []


def test_each_save_keeps_what_was_there_newest_first(state, van):
    for name in ("first", "second", "third"):
        save(state, van, name)
    assert names(state, van) == ["second", "first"]
    assert [version.number for version in backups.versions(state, van)] == [2, 1]


def test_the_time_is_that_at_which_it_was_saved(state, van):
    save(state, van, "first")
    os.utime(van, (1_700_000_000, 1_700_000_000))
    save(state, van, "second")
    (version,) = backups.versions(state, van)
    assert version.when == datetime.fromtimestamp(1_700_000_000)


def test_what_somebody_else_wrote_is_kept_byte_by_byte(state, van):
    van.write_bytes(b"{ broken, but somebody's work")
    save(state, van, "ours")
    (version,) = backups.versions(state, van)
    assert version.file.read_bytes() == b"{ broken, but somebody's work"


def test_saving_the_same_again_keeps_nothing_new(state, van):
    save(state, van, "first")
    for _ in range(3):
        assert backups.keep(state, van)
    assert names(state, van) == ["first"]


def test_two_files_of_one_name_have_versions_of_their_own(state, tmp_path):
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        save(state, tmp_path / folder / "van.fusemap", folder)
        save(state, tmp_path / folder / "van.fusemap", "now")
    assert names(state, tmp_path / "a" / "van.fusemap") == ["a"]
    assert names(state, tmp_path / "b" / "van.fusemap") == ["b"]


def test_a_link_has_the_versions_of_the_file_it_leads_to(state, van):
    save(state, van, "first")
    link = van.with_name("link.fusemap")
    link.symlink_to(van.name)
    save(state, link, "second")
    assert names(state, van) == ["first"]


def test_a_name_full_of_odd_signs_stays_inside_the_state_folder(state, tmp_path):
    path = tmp_path / "..\n~ $(x) ü.fusemap"
    save(state, path, "first")
    save(state, path, "second")
    assert names(state, path) == ["first"]
    assert {entry.name for entry in tmp_path.iterdir()} == {"state", path.name}


def test_only_so_many_are_kept(state, van):
    for number in range(KEEP + 5):
        save(state, van, str(number))
    assert names(state, van) == [str(number) for number in reversed(range(4, KEEP + 4))]


def test_of_earlier_days_the_last_of_each_is_kept_besides():
    now = datetime(2025, 5, 17, 12)
    made = [Version(10_000 - n, now - timedelta(hours=n), Path(str(n))) for n in range(24 * 60)]
    dropped = set(backups.to_drop(made, now))
    kept = [version for version in made if version not in dropped]
    assert kept[:KEEP] == made[:KEEP]
    besides = kept[KEEP:]
    assert len(besides) == KEEP_DAYS
    assert all(version.when.hour == 23 for version in besides)


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EIO])
def test_a_state_folder_that_takes_nothing_stops_no_save(state, van, monkeypatch, code):
    files.write_vehicle(van, Vehicle(name="first"))

    def fail(*args, **kwargs):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "write", fail)
    assert not backups.keep(state, van)
    monkeypatch.undo()
    assert names(state, van) == []
    assert files.read_vehicle(van).name == "first"


def test_a_file_far_too_large_is_not_copied(state, van):
    with open(van, "wb") as file:
        file.truncate(files.validate.MOST_BYTES + 1)
    assert not backups.keep(state, van)
    assert backups.versions(state, van) == ()


def test_strange_files_among_the_versions_are_passed_over(state, van):
    save(state, van, "first")
    save(state, van, "second")
    (version,) = backups.versions(state, van)
    (version.file.parent / "notes.txt").write_text("x")
    (version.file.parent / "000009 2025-99-99T00-00-00.fusemap").write_text("x")
    assert names(state, van) == ["first"]


# --- work that was given up unsaved --------------------------------------------------------------


class Clock(datetime):
    """A clock that can be set on."""

    ahead = timedelta(0)

    @classmethod
    def now(cls, tz=None):
        return datetime.now(tz) + cls.ahead


@pytest.fixture
def clock(monkeypatch):
    monkeypatch.setattr(Clock, "ahead", timedelta(0))
    monkeypatch.setattr(backups, "datetime", Clock)
    return Clock


def given_up(state: Path, path: Path | None) -> list[str]:
    return [v.read().name for v in backups.versions(state, path) if v.given_up]


def test_work_given_up_is_among_the_earlier_versions(state, van):
    save(state, van, "in the file")
    assert backups.give_up(state, van, Vehicle(name="given up"))
    assert given_up(state, van) == ["given up"]
    save(state, van, "saved later")
    assert names(state, van) == ["in the file", "given up"]
    assert [version.given_up for version in backups.versions(state, van)] == [False, True]


def test_it_stays_for_twenty_days_whatever_is_saved_meanwhile(state, van, clock):
    backups.give_up(state, van, Vehicle(name="given up"))
    for number in range(KEEP + 5):
        save(state, van, str(number))
    clock.ahead = timedelta(days=19, hours=23)
    save(state, van, "nearly three weeks later")
    assert given_up(state, van) == ["given up"]
    clock.ahead = timedelta(days=20, hours=1)
    save(state, van, "after that")
    assert given_up(state, van) == []
    assert len(names(state, van)) >= KEEP


def test_it_takes_no_saved_version_s_place(state, van):
    for number in range(KEEP + 5):
        save(state, van, str(number))
    before = names(state, van)
    for number in range(KEEP):
        backups.give_up(state, van, Vehicle(name=f"given up {number}"))
    assert [name for name in names(state, van) if not name.startswith("given")] == before


def test_it_goes_after_its_time_though_its_file_is_never_saved_again(state, van, clock):
    backups.give_up(state, van, Vehicle(name="given up"))
    clock.ahead = timedelta(days=21)
    backups.give_up(state, van.with_name("another.fusemap"), Vehicle(name="Bus"))
    assert backups.versions(state, van) == ()


def test_the_same_given_up_again_is_kept_once_and_its_time_begins_anew(state, van, clock):
    backups.give_up(state, van, Vehicle(name="given up"))
    clock.ahead = timedelta(days=15)
    backups.give_up(state, van, Vehicle(name="given up"))
    assert given_up(state, van) == ["given up"]
    clock.ahead = timedelta(days=30)
    save(state, van, "later")
    save(state, van, "still later")
    assert given_up(state, van) == ["given up"]


def test_work_without_a_file_has_a_place_of_its_own(state, van, tmp_path):
    backups.give_up(state, None, Vehicle(name="no file yet"))
    assert given_up(state, None) == ["no file yet"]
    odd = tmp_path / "no-file"
    save(state, odd, "first")
    save(state, odd, "second")
    assert given_up(state, None) == ["no file yet"]
    assert names(state, odd) == ["first"]


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EIO])
def test_where_it_cannot_be_put_that_is_said(state, van, monkeypatch, code):
    backups.give_up(state, van, Vehicle(name="before"))

    def fail(*args, **kwargs):
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", fail)
        assert not backups.give_up(state, van, Vehicle(name="before"))
    assert given_up(state, van) == ["before"]
