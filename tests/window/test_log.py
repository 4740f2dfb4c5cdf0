"""The log helps to mend a fault, stays small, and holds no more than needed."""

import sys
from pathlib import Path

import pytest

from fusemap.window import crash
from fusemap.window.crash import Log


@pytest.fixture
def made(tmp_path: Path) -> Log:
    return Log(tmp_path / "state")


def text(made: Log) -> str:
    return made.path.read_text(encoding="utf-8")


def test_an_entry_is_on_disk_at_once_with_its_time_and_kind(made: Log) -> None:
    made.write("fault", "first line\nsecond line")
    when, rest = text(made).split(" ", 1)
    assert when.startswith("20")
    assert rest == "fault: first line\n    second line\n"


def test_the_versions_in_use_stand_in_it(made: Log) -> None:
    made.started()
    for word in ("fusemap 0", "Python 3", "PySide6", sys.platform):
        assert word in text(made)


def test_the_user_s_own_folder_does_not(made: Log) -> None:
    made.write("fault", f'File "{Path.home()}/vehicles/van.py"')
    assert str(Path.home()) not in text(made)
    assert "~/vehicles/van.py" in text(made)


def test_it_stays_small(made: Log) -> None:
    for number in range(200):
        made.write("fault", f"{number} " + "x" * 20_000)
    files = sorted(path.name for path in made.path.parent.iterdir())
    assert files == ["fusemap.log", "fusemap.log.1"]
    both = sum(path.stat().st_size for path in made.path.parent.iterdir())
    assert both < 2 * crash.MOST_BYTES + 2 * crash.MOST_LETTERS
    assert "199 x" in text(made)


@pytest.mark.parametrize("odd", ["\ud800", "\x00", "🚐"])
def test_any_text_can_be_written(made: Log, odd: str) -> None:
    made.write("fault", odd)
    assert "fault" in text(made)


def test_where_it_cannot_be_written_it_is_done_without(tmp_path: Path) -> None:
    (tmp_path / "blocked").write_text("")
    blocked = Log(tmp_path / "blocked")
    blocked.write("fault", "x")
    blocked.started()
    blocked.watch_crashes()
    assert (tmp_path / "blocked").read_text() == ""


def test_what_a_crash_below_python_left_is_taken_in_at_the_next_start(made: Log) -> None:
    made.path.parent.mkdir()
    made.path.with_name("crash.log").write_text("Fatal Python error: Segmentation fault")
    made.started()
    assert "Segmentation fault" in text(made)


def test_crashes_are_watched_for_until_the_end(made: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    enabled: list[bool] = []
    monkeypatch.setattr(crash.faulthandler, "enable", lambda file: enabled.append(True))
    monkeypatch.setattr(crash.faulthandler, "disable", lambda: enabled.append(False))
    assert not made.watching
    made.watch_crashes()
    assert made.watching
    made.close()
    made.close()
    assert enabled == [True, False]
    assert not made.watching
