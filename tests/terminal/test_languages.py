"""Every command in every language and both systems of units: nothing English, no foreign figure."""

import json
import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

from fusemap import cli, files, tables
from fusemap.catalogues import LANGUAGES, messages
from fusemap.files import demos
from fusemap.sheet import UNITS, paper_style
from fusemap.terminal.command import NO_LIMIT, Answer, Indented, Line, Table, as_json, as_words
from fusemap.text import NARROW_SPACE, Argument, Listing, Style, Text
from fusemap.vehicle import StateLoads, look_up
from tests.said import given_names, not_in
from tests.vehicles import one_slot, with_accessory

DEMOS = [f"demo:{key}" for key, _ in demos.demo_names()]
MINI = ("millivolts", "--family", "mini", "--rating", "10", "--mv")
REPORTS = [("report", demo) for demo in DEMOS]
PARKED = [("parked", demo, "--draws", "20") for demo in DEMOS]
CHAINS = [
    ("chain", "--watts", "90", "--out", "3.5"),
    ("chain", "--amps", "5", "--out", "8ft", "--return", "cable", "--ambient", "104F"),
    ("chain", "--watts", "25", "--volts", "12", "--out", "18", "--back", "18", "--drop", "5"),
    ("chain", "--watts", "3000"),
]
MILLIVOLTS = [(*MINI, "7.42"), (*MINI, "0.1"), (*MINI, "130"), (*MINI, "5000")]
MIXED = [*REPORTS, *PARKED, *CHAINS, *MILLIVOLTS]
TABLES = [("tables",), ("tables", "--memory"), *(("tables", key) for key in tables.reading.TITLES)]
COMMANDS = [*MIXED, *TABLES]

WRONG = [
    ("report", "demo:spaceship"),
    ("report", "nowhere.fusemap"),
    ("parked", DEMOS[0], "--draws", "0"),
    ("parked", DEMOS[0], "--start-charge", "130"),
    ("chain", "--amps", "3", "--return", "body", "--back", "2"),
    ("chain", "--amps", "3", "--out", "900ft"),
    ("chain", "--amps", "3", "--ambient", "900"),
    (*MINI, "90000"),
    ("millivolts", "--family", "mini", "--rating", "12", "--mv", "3"),
    ("millivolts", "--family", "micro2", "--rating", "10", "--mv", "3"),
    ("tables", "nothing"),
    ("sheet", DEMOS[0], "/nowhere/sheet.pdf"),
]
"""A line for every complaint that a command has of its own."""

OTHERS = [code for code in LANGUAGES if code != "en"]
STYLES = [(code, units) for code in LANGUAGES for units in UNITS]
WORD = re.compile(r"[^\W\d_]{3}")
METRIC, AMERICAN = re.compile(r"\d °C|\d m\b"), re.compile(r"\d °F|\d ft\b")
DECIMAL_POINT = re.compile(r"\d\.\d")


@cache
def answer(line: tuple[str, ...]) -> Answer:
    """What a command line answers, before any language."""
    asked = cli._parser().parse_args(line)
    found: Answer = cli.COMMANDS[asked.command].answer(asked)
    return found


def style(code: str, units: str) -> Style:
    return paper_style(code, units, ground=units == "us")


def said(lines: tuple[Line, ...]) -> Iterator[Argument]:
    """Everything that is said, line by line and cell by cell."""
    for line in lines:
        if isinstance(line, Table):
            yield from (cell for row in line.rows for cell in row)
        else:
            yield line.line if isinstance(line, Indented) else line


def names(part: Argument) -> Iterator[str]:
    """What stands in a text as it was given, in no language."""
    if isinstance(part, str):
        yield part
    elif isinstance(part, Text):
        for each in part.parts.values():
            yield from names(each)
    elif isinstance(part, Listing):
        for each in part.parts:
            yield from names(each)


@cache
def sources() -> frozenset[str]:
    return frozenset(source for info in tables.all_tables() for source in info.sources)


@cache
def given() -> frozenset[str]:
    """What somebody called something, what stands in the tables, and the sources they cite."""
    found = {NO_LIMIT, *sources()}
    for key, _ in demos.demo_names():
        vehicle = demos.read_demo(key)
        found.update((vehicle.name, *given_names(vehicle)))
        for slot in look_up.slots(vehicle):
            found.update((look_up.slot_name(slot), slot.circuit, slot.critical_reason, slot.note))
    for info in tables.all_tables():
        found.update((info.key, *info.columns, *(cell for row in info.rows for cell in row)))
    return frozenset(found)


def without(words: Iterable[str], text: str) -> str:
    """What was printed without these words."""
    for each in sorted(filter(WORD.search, words), key=len, reverse=True):
        text = text.replace(each.replace(NARROW_SPACE, " "), "")
    return text


@cache
def published(code: str) -> frozenset[str]:
    """The words of the tables in a language: “engine space at 50 °C” is a row of its source."""
    return frozenset(Style(code).show(Text(word)) for word in given())


@pytest.mark.parametrize("line", COMMANDS, ids=" ".join)
def test_every_language_has_the_words_of_every_line(line: tuple[str, ...]) -> None:
    for code in OTHERS:
        unknown = {
            template
            for part in said(tuple(answer(line).lines))
            for template in not_in(messages(code), part)
        }
        assert unknown <= sources(), code


@pytest.mark.parametrize("line", COMMANDS, ids=" ".join)
def test_what_is_no_text_is_a_name_or_a_source(line: tuple[str, ...]) -> None:
    found = {name.strip() for part in said(tuple(answer(line).lines)) for name in names(part)}
    assert {name for name in found if WORD.search(name)} <= given()


@pytest.mark.parametrize("code", OTHERS)
@pytest.mark.parametrize("line", COMMANDS, ids=" ".join)
def test_figures_have_the_decimal_sign_of_the_language(line: tuple[str, ...], code: str) -> None:
    shown = without(given(), as_words(answer(line).lines, Style(code)))
    assert not DECIMAL_POINT.search(shown), DECIMAL_POINT.search(shown)


@pytest.mark.parametrize("code", LANGUAGES)
@pytest.mark.parametrize("line", MIXED, ids=" ".join)
def test_temperatures_and_lengths_are_in_the_units_that_were_chosen(
    line: tuple[str, ...], code: str
) -> None:
    for units, other in (("us", METRIC), ("metric", AMERICAN)):
        shown = as_words(answer(line).lines, style(code, units))
        assert not other.search(without(published(code), shown))


@pytest.mark.parametrize("code", OTHERS)
@pytest.mark.parametrize("line", WRONG, ids=" ".join)
def test_a_complaint_is_in_the_language_too(
    line: tuple[str, ...], code: str, capsys: pytest.CaptureFixture[str]
) -> None:
    told = []
    for language in ("en", code):
        assert cli.run([*line, "--language", language]) == cli.CANNOT
        shown = capsys.readouterr()
        assert shown.out == ""
        assert "Traceback" not in shown.err
        told.append(shown.err)
    assert told[0] != told[1]


def test_a_complaint_is_in_the_units_that_were_asked_for(
    capsys: pytest.CaptureFixture[str],
) -> None:
    asked = ["--units", "us", "--language", "de"]
    assert cli.run(["chain", "--amps", "3", "--ambient", "900", *asked]) == cli.CANNOT
    shown = capsys.readouterr().err
    assert "1652 °F" in shown
    assert "°C" not in shown


@pytest.mark.parametrize(("code", "units"), STYLES)
@pytest.mark.parametrize("line", [REPORTS[0], PARKED[0], CHAINS[0], MILLIVOLTS[0], TABLES[0]])
def test_the_options_choose_what_is_printed(
    line: tuple[str, ...], code: str, units: str, capsys: pytest.CaptureFixture[str]
) -> None:
    options = ["--language", code, "--units", units]
    assert cli.run([*line, *options]) in (cli.DONE, cli.STOP)
    assert capsys.readouterr().out == as_words(answer(line).lines, style(code, units)) + "\n"
    assert cli.run([*line, "--json", *options]) in (cli.DONE, cli.STOP)
    assert json.loads(capsys.readouterr().out) == json.loads(as_json(answer(line).data))


def test_the_environment_does_not_choose_the_language(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("LANG", "LC_ALL", "LC_MESSAGES", "LANGUAGE"):
        monkeypatch.setenv(name, "de_DE.UTF-8")
    assert cli.run(["tables"]) == cli.DONE
    assert "Fuse families" in capsys.readouterr().out


@pytest.mark.parametrize("command", cli.COMMANDS)
def test_the_help_names_the_options_and_says_that_english_is_usual(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run([command, "--help"]) == cli.DONE
    told = " ".join(capsys.readouterr().out.split())
    assert "--language {en,de,es,fr,nl}" in told
    assert "--units {metric,us}" in told
    assert "without it English" in told


def test_the_readme_names_the_options() -> None:
    readme = Path(__file__).resolve().parents[2] / "README.md"
    told = readme.read_text(encoding="utf-8").partition("## On the command line")[2]
    assert "--language" in told
    assert "--units metric|us" in told


@pytest.mark.parametrize("code", LANGUAGES)
def test_a_load_that_nobody_measured_is_not_told_as_none(
    code: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "van.fusemap"
    files.write_vehicle(path, with_accessory(one_slot(own_load=StateLoads())))
    cli.run(["report", str(path), "--json", "--language", code])
    [slot] = json.loads(capsys.readouterr().out)["slots"]
    assert (slot["own_a"], slot["own_known"]) == (None, False)
    cli.run(["report", str(path), "--language", code])
    line = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("  F1"))
    assert messages(code).single("not measured") in line


def test_a_load_that_was_measured_as_none_is_told_as_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "van.fusemap"
    files.write_vehicle(path, with_accessory(one_slot(own_a=0.0)))
    cli.run(["report", str(path), "--json"])
    [slot] = json.loads(capsys.readouterr().out)["slots"]
    assert (slot["own_a"], slot["own_known"]) == (0.0, True)
