"""`fusemap sheet`: every part into files, without a display."""

import csv
import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pypdf
import pytest

from fusemap import cli
from fusemap.assess import assess
from fusemap.files import demos
from fusemap.sheet import PARTS

DEMO = "demo:family_estate"


@pytest.fixture(autouse=True)
def _application(qapp: Any) -> None:
    """One application for all tests; the command makes its own where there is none."""


def run(*argv: str) -> int:
    return cli.run(["sheet", *argv])


def complaint(capsys: pytest.CaptureFixture[str], *argv: str) -> str:
    assert run(*argv) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err


def table(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"))))


class TestFormats:
    @pytest.mark.parametrize("part", PARTS)
    @pytest.mark.parametrize("paper", ["a4", "letter"])
    def test_every_part_becomes_a_pdf(self, tmp_path: Path, part: str, paper: str) -> None:
        out = tmp_path / "out.pdf"
        assert run(DEMO, str(out), "--part", part, "--paper", paper) == 0
        page = pypdf.PdfReader(out).pages[0]
        assert float(page.mediabox.width) == pytest.approx(
            {"a4": 595.3, "letter": 612}[paper], abs=1
        )
        assert "Family estate" in page.extract_text()

    def test_the_ending_says_what_to_write(self, tmp_path: Path) -> None:
        assert run(DEMO, str(tmp_path / "map.png"), "--part", "map") == 0
        names = sorted(path.name for path in tmp_path.iterdir())
        assert names[:2] == ["map-1.png", "map-2.png"]
        assert (tmp_path / names[0]).read_bytes().startswith(b"\x89PNG")

    def test_the_diagram_becomes_one_svg(self, tmp_path: Path) -> None:
        out = tmp_path / "diagram.svg"
        assert run(DEMO, str(out), "--part", "diagram") == 0
        assert "Dash camera" in out.read_text(encoding="utf-8")
        assert run(DEMO, str(tmp_path / "lid.svg"), "--part", "lid") != 0

    def test_a_name_without_an_ending_gets_a_pdf(self, tmp_path: Path) -> None:
        assert run(DEMO, str(tmp_path / "sheet")) == 0
        assert (tmp_path / "sheet").read_bytes().startswith(b"%PDF")

    def test_every_table_becomes_a_csv_with_plain_numbers(self, tmp_path: Path) -> None:
        assert run(DEMO, str(tmp_path / "x.csv"), "--language", "de", "--units", "us") == 0
        a = assess(demos.read_demo("family_estate"))
        rows = table(tmp_path / "x-predicted.csv")
        drawn = [float(row["load"]) for row in rows if row["figure"] == "Stromaufnahme"]
        assert sorted(drawn) == sorted(float(x) for x in a.taps.current_a.max(axis=0))
        assert {row["load [unit]"] for row in rows} >= {"A", "V", "°C"}
        assert {"x-parts.csv", "x-checks.csv", "x-order.csv", "x-undo.csv"} <= {
            path.name for path in tmp_path.iterdir()
        }

    def test_the_lid_card_is_a_table_too(self, tmp_path: Path) -> None:
        assert run(DEMO, str(tmp_path / "x.csv"), "--part", "lid") == 0
        assert [row["slot"] for row in table(tmp_path / "x-lid.csv")][:2] == ["F2", "F13"]

    def test_json_says_what_was_written(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        out = tmp_path / "x.pdf"
        assert run(DEMO, str(out), "--json") == 0
        said = json.loads(capsys.readouterr().out)
        assert said["files"] == [str(out)]
        assert said["pages"] == len(pypdf.PdfReader(out).pages)
        assert (said["part"], said["format"], said["units"]) == ("sheet", "pdf", "metric")


class TestLanguageAndUnits:
    def test_a_german_sheet_with_american_units(self, tmp_path: Path) -> None:
        out = tmp_path / "x.pdf"
        assert run(DEMO, str(out), "--language", "de", "--units", "us") == 0
        text = "".join(page.extract_text() for page in pypdf.PdfReader(out).pages)
        assert "Einbaublatt" in text
        assert "AWG" in text
        assert "°F" in text
        # a caution names a temperature in both scales
        assert "°C" not in re.sub(r"80\s°C\s\(176\s°F\)", "", text)

    def test_american_units_say_ground_in_english(self, tmp_path: Path) -> None:
        out = tmp_path / "x.pdf"
        assert run(DEMO, str(out), "--units", "us") == 0
        text = "".join(page.extract_text() for page in pypdf.PdfReader(out).pages)
        assert "Ground first" in text
        assert "arth" not in text


class TestProblems:
    def test_a_folder_that_is_not_there(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        out = tmp_path / "gone" / "x.pdf"
        assert "the folder is not there" in complaint(capsys, DEMO, str(out))

    def test_a_folder_in_the_place_of_the_file(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert "this is a folder" in complaint(capsys, DEMO, str(tmp_path))

    def test_a_full_disk(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def full(*args: Any) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(os, "fsync", full)
        assert "the disk is full" in complaint(capsys, DEMO, str(tmp_path / "x.pdf"))
        assert list(tmp_path.glob("*.pdf")) == []

    def test_no_such_vehicle(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        said = complaint(capsys, str(tmp_path / "gone.fusemap"), str(tmp_path / "x.pdf"))
        assert "no such file" in said

    @pytest.mark.parametrize(
        "wrong", [("--part", "poster"), ("--paper", "a3"), ("--language", "xx"), ("--units", "si")]
    )
    def test_a_wrong_choice_names_those_there_are(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str], wrong: tuple[str, str]
    ) -> None:
        assert "choose from" in complaint(capsys, DEMO, str(tmp_path / "x.pdf"), *wrong)


def test_it_needs_no_display(tmp_path: Path) -> None:
    plain = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    plain.pop("QT_QPA_PLATFORM", None)
    out = tmp_path / "x.pdf"
    command = (sys.executable, "-m", "fusemap", "sheet", DEMO, str(out))
    done = subprocess.run(
        command, env=plain, capture_output=True, text=True, timeout=120, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, f"{out}\n", "")
    assert len(pypdf.PdfReader(out).pages) > 3
