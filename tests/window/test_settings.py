"""Settings: kept between starts, and never in the way."""

import os
from pathlib import Path

import pytest

from fusemap.window.settings import MOST_RECENT, Kept, Settings


def test_what_is_saved_is_there_at_the_next_start(tmp_path: Path) -> None:
    settings = Settings(tmp_path)
    settings.kept.theme = "dark"
    settings.kept.splitters["main"] = "AAAA"
    assert settings.save()
    again = Settings(tmp_path)
    assert again.kept == settings.kept
    assert again.kept.theme == "dark"


def test_the_first_start_has_the_defaults(tmp_path: Path) -> None:
    assert Settings(tmp_path / "nowhere").kept == Kept()


def test_settings_go_where_the_environment_says(settings_dir: Path) -> None:
    Settings().save()
    assert (settings_dir / "settings.json").is_file()


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"\xff\xfe", b"null", b'"dark"'])
def test_a_broken_file_gives_the_defaults(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "settings.json").write_bytes(content)
    assert Settings(tmp_path).kept == Kept()


def test_one_broken_field_costs_only_itself(tmp_path: Path) -> None:
    (tmp_path / "settings.json").write_text('{"theme": "pink", "earth_word": "ground", "new": 1}')
    kept = Settings(tmp_path).kept
    assert kept.theme == "system"
    assert kept.earth_word == "ground"


def test_a_folder_that_cannot_be_written_to_only_costs_the_memory(tmp_path: Path) -> None:
    blocked = tmp_path / "a file, not a folder"
    blocked.write_text("")
    assert not Settings(blocked).save()


def test_recent_files_are_newest_first_each_once_and_not_too_many(tmp_path: Path) -> None:
    settings = Settings(tmp_path)
    for number in range(MOST_RECENT + 3):
        settings.add_recent(tmp_path / f"{number}.fusemap")
    settings.add_recent(tmp_path / "5.fusemap")
    recent = Settings(tmp_path).recent
    assert recent[0] == tmp_path / "5.fusemap"
    assert len(recent) == len(set(recent)) == MOST_RECENT


def test_a_file_that_is_gone_is_forgotten(tmp_path: Path) -> None:
    settings = Settings(tmp_path)
    settings.add_recent(tmp_path / "gone.fusemap")
    settings.drop_recent(tmp_path / "gone.fusemap")
    assert Settings(tmp_path).recent == ()


def test_no_half_written_file_is_left(tmp_path: Path) -> None:
    Settings(tmp_path).save()
    assert [path.name for path in tmp_path.iterdir()] == ["settings.json"]


@pytest.mark.skipif(os.name == "nt", reason="names are no bytes on Windows")
@pytest.mark.parametrize("name", [b"K\xfcbel.fusemap", "Kübel 🚐.fusemap".encode(), b"\xff:\xfe"])
def test_a_recent_file_of_any_name_is_known_again(tmp_path: Path, name: bytes) -> None:
    path = tmp_path / os.fsdecode(name)
    settings = Settings(tmp_path)
    settings.add_recent(path)
    settings.add_recent(tmp_path / "other.fusemap")
    settings.add_recent(path)
    assert settings.save()
    again = Settings(tmp_path)
    assert again.recent == (path, tmp_path / "other.fusemap")
    again.drop_recent(path)
    assert Settings(tmp_path).recent == (tmp_path / "other.fusemap",)


def test_names_that_are_text_stand_in_the_file_as_they_are(tmp_path: Path) -> None:
    (tmp_path / "settings.json").write_text('{"recent": ["/home/Kübel.fusemap"]}', "utf-8")
    settings = Settings(tmp_path)
    assert settings.recent == (Path("/home/Kübel.fusemap"),)
    settings.add_recent(Path("/home/Kübel.fusemap"))
    assert "/home/Kübel.fusemap" in settings.path.read_text("utf-8")


def test_values_that_cannot_be_written_only_cost_the_memory(tmp_path: Path) -> None:
    settings = Settings(tmp_path)
    settings.kept.splitters["\udcff"] = "AAAA"
    assert not settings.save()
