"""Menu entry, icon and file type go where the desktop looks, and away again."""

import configparser
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from fusemap.__main__ import main
from fusemap.terminal import desktop

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="for Linux")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path / "data"


def test_the_entry_starts_this_program_on_a_file(folder: Path) -> None:
    assert main(["install-desktop"]) == 0
    entry = configparser.ConfigParser(interpolation=None)
    entry.optionxform = str  # type: ignore[assignment]
    entry.read(folder / "applications" / "fusemap.desktop", encoding="utf-8")
    values = entry["Desktop Entry"]
    assert values["Exec"] == f"{desktop.command()} %f"
    assert values["Icon"] == "fusemap"
    assert (folder / "icons/hicolor/scalable/apps/fusemap.svg").read_text().startswith("<svg")


def test_the_file_type_is_that_of_the_entry(folder: Path) -> None:
    assert main(["install-desktop"]) == 0
    kind = ElementTree.parse(folder / "mime/packages/fusemap.xml").getroot()[0]
    entry = (folder / "applications" / "fusemap.desktop").read_text(encoding="utf-8")
    assert f"MimeType={kind.get('type')};" in entry
    patterns = [part.get("pattern") for part in kind if part.tag.endswith("glob")]
    assert patterns == ["*.fusemap"]


def test_it_is_taken_away_without_a_trace(folder: Path) -> None:
    assert main(["install-desktop"]) == 0
    assert main(["install-desktop", "--remove"]) == 0
    assert not any((folder / place).exists() for place in desktop.PLACES.values())
    assert main(["install-desktop", "--remove"]) == 0


def test_anything_else_is_told_how_it_is_used(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["install-desktop", "--everything"]) == 2
    assert "usage" in capsys.readouterr().err


def test_a_folder_that_cannot_be_written_is_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder.write_text("in the way")
    assert main(["install-desktop"]) == 1
    assert "fusemap:" in capsys.readouterr().err
