"""The commands that need no vehicle: what they print, what they give as JSON, how they end."""

import json

import pytest

from fusemap.cli import run


def data(capsys: pytest.CaptureFixture[str], *line: str, status: int = 0) -> dict[str, object]:
    """What a command line gives as JSON."""
    assert run([*line, "--json"]) == status
    return json.loads(capsys.readouterr().out)


def test_90_watts_at_12_volts(capsys: pytest.CaptureFixture[str]) -> None:
    """A 10 A fuse for 90 W at 12 V: common practice, no source."""
    found = data(capsys, "chain", "--watts", "90", "--volts", "12")
    assert found["fuse"] == {
        "family": "mini",
        "rating_a": 10.0,
        "decided_by": "load",
        "held_back_by": None,
    }
    assert found["load_a"] == pytest.approx(7.4, abs=0.15)
    assert found["section_mm2"] >= 0.75


def test_feet_and_metres_are_the_same_way(capsys: pytest.CaptureFixture[str]) -> None:
    feet = data(capsys, "chain", "--amps", "5", "--out", "10ft")
    metres = data(capsys, "chain", "--amps", "5", "--out", "3.048m")
    assert feet["drop_v"] == pytest.approx(metres["drop_v"])


def test_every_section_shows_why_it_passes_or_not(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "chain", "--amps", "15", "--out", "6", "--return", "cable")
    smallest = next(row for row in found["sections"] if row["passes"])
    assert smallest["area_mm2"] <= found["section_mm2"]
    for row in found["sections"]:
        criteria = [value for value in row.values() if isinstance(value, dict)]
        assert row["passes"] == all(c["passed"] for c in criteria)


def test_a_24_volt_load_is_sized_on_24_volts(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "chain", "--watts", "90", "--volts", "24")
    assert found["load_a"] == pytest.approx(3.7, abs=0.2)


def test_what_decided_is_what_the_next_thinner_section_breaks(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """25 W over 18 m and back, 5 %: the fuse alone takes 0.11 V of the 0.6 V."""
    line = ("--watts", "25", "--volts", "12", "--out", "18m", "--back", "18m", "--drop", "5")
    found = data(capsys, "chain", *line)
    assert (found["section_mm2"], found["decided_by"]) == (3.0, "voltage drop")
    below = next(row for row in found["sections"] if row["area_mm2"] == 2.5)
    assert not below["drop"]["passed"]


def test_what_no_fuse_carries_ends_with_1(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "chain", "--watts", "3000", status=1)
    assert found["fuse"]["rating_a"] is None
    assert run(["chain", "--watts", "3000"]) == 1
    assert "No mini fuse will do" in capsys.readouterr().out


@pytest.mark.parametrize(
    "line",
    [
        ["chain"],
        ["chain", "--watts", "90", "--amps", "3"],
        ["chain", "--watts", "-4"],
        ["chain", "--amps", "3", "--return", "body", "--back", "2"],
        ["chain", "--amps", "nan"],
        ["chain", "--amps", "3", "--out", "long"],
        ["chain", "--amps", "3", "--bundle", "0"],
        ["chain", "--amps", "3", "--drop", "0"],
        ["chain", "--amps", "3", "--ambient", "900"],
        ["millivolts", "--family", "mini", "--rating", "12", "--mv", "3"],
        ["millivolts", "--family", "micro2", "--rating", "10", "--mv", "3"],
        ["millivolts", "--family", "mini", "--rating", "10", "--mv", "nan"],
        ["millivolts", "--family", "mini", "--rating", "10", "--mv", "1e308", "--json"],
        ["millivolts", "--family", "mini", "--rating", "10", "--mv", "2", "--resistance", "2e-309"],
        ["millivolts", "--family", "mini", "--rating", "10", "--mv", "2", "--resolution", "1e300"],
        ["tables", "nothing"],
    ],
)
def test_a_wrong_line_ends_with_2_and_a_message(
    line: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(line) == 2
    shown = capsys.readouterr()
    assert shown.err.strip()
    assert "Traceback" not in shown.err


def test_ten_millivolts_across_a_ten_amp_mini(capsys: pytest.CaptureFixture[str]) -> None:
    """Cold 7.42 mΩ (Littelfuse MINI, series 297 data sheet): 7.42 mV would be 1 A."""
    found = data(capsys, "millivolts", "--family", "mini", "--rating", "10", "--mv", "7.42")
    assert found["current_a"] == pytest.approx(1.0, rel=0.01)
    assert found["low_a"] < found["current_a"] < found["high_a"]


def test_full_rating_is_read_at_the_published_drop(capsys: pytest.CaptureFixture[str]) -> None:
    """108 mV at 10 A (same data sheet): the cold value alone would read 14.6 A."""
    found = data(capsys, "millivolts", "--family", "mini", "--rating", "10", "--mv", "108")
    assert found["current_a"] == pytest.approx(10.0, rel=0.01)


def test_too_few_millivolts_are_below_the_floor(capsys: pytest.CaptureFixture[str]) -> None:
    line = ("millivolts", "--family", "mini", "--rating", "30", "--mv", "0.1")
    assert data(capsys, *line)["below_floor"] is True
    assert run(list(line)) == 0
    assert "below" in capsys.readouterr().out


def test_tables_say_what_is_from_memory(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "tables", "--memory")
    for table in found["tables"]:
        status = table["columns"].index("status")
        assert table["rows"]
        assert {row[status] for row in table["rows"]} == {"memory"}
    assert run(["tables"]) == 0
    assert "ISO 8820" in capsys.readouterr().out
