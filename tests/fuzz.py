"""Inputs from strangers with some sense in them, and what must hold for each.

Files, pasted tables and command lines. What must hold: no fault, two seconds at most, one clear
message where it is refused; a file that is accepted can be computed and comes back the same when it
is written and read. Used by `tests/test_fuzz.py` in short and `tests/bench/fuzz.py` at length.
"""

import contextlib
import copy
import io
import json
import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from fusemap import cli, files
from fusemap.errors import FileProblem
from fusemap.files import demos
from fusemap.files.validate import check_vehicle
from fusemap.probing import paste
from fusemap.vehicle import Vehicle
from tests.files.test_strangers import (
    DEMOS,
    KEYS_THERE_ARE,
    ODD_VALUES,
    assert_clear,
    assert_usable,
    at,
    damaged_bytes,
    damaged_fields,
    places,
)
from tests.strategies import vehicles

LONGEST_S = 2.0
"""What takes longer hangs, for the one who waits [s]."""
WHEN = "2025-05-17T18:30:00"
WORST = [
    *ODD_VALUES, 1e308, -1e308, 1e-308, 5e-324, 2**53, 2**63, 2**64, -(2**63), 0.1 + 0.2, "\u202e",
    "\x00", "é" * 600, [[]] * 40, {"": {}}, "-0", "1e3", "2025-13-45T99:99", "0000-00-00", [1, "a"],
]  # fmt: skip
COLUMNS = ("Slot", "Rating", "Circuit", "Feed", "mV", "Current", "Live side", "Panel", "Family",
           "Asleep", "Ign", "Note", "", "Slot", "Klemme", "🚐")  # fmt: skip
CELLS = ("F1", "F2", "f3", "4", "F9", "", "10", "7,5", "15 A", "Radio", "live", "dead", "+", "-",
         "0.4", "35 mA", "permanent", "30", "top", "mini", "maxi", "x" * 40, "“", "ö", '"', '""',
         '"a', "1e99", "-5", "nan", "inf", "\x00", "\u202e", "=1+1", "1;2", "1\t2", "0,4-0,6",
         "9" * 30, "F1\nF2")  # fmt: skip
NUMBERS = ("0", "1", "-1", "7.5", "60", "1e9", "1e308", "1e-308", "nan", "inf", "-inf", "", "x",
           "3m", "8ft", "2,5m", "3%", "100%", "0%", "-0", "99999999999999999999", "0x10", "１２",
           "1_0", " 5 ", "5ft'", "12V")  # fmt: skip


# --- files ----------------------------------------------------------------------------------------


@st.composite
def worse_fields(draw: st.DrawFn) -> str:
    """A file of any vehicle, or a demo, with the worst values put into one to six of its places."""
    made = st.builds(files.render, vehicles(usual=True))
    tree = json.loads(draw(st.sampled_from(DEMOS) | made))
    for _ in range(draw(st.integers(1, 6))):
        found = list(places(tree))
        *way, last = draw(st.sampled_from(found))
        holder = at(tree, tuple(way))
        if draw(st.booleans()) and isinstance(holder, dict):
            last = draw(st.sampled_from(KEYS_THERE_ARE))
        holder[last] = copy.deepcopy(draw(st.sampled_from(WORST)))
    return json.dumps(tree, ensure_ascii=draw(st.booleans()))


@st.composite
def swapped_references(draw: st.DrawFn) -> str:
    """A file in which ids and what refers to them were mixed up: loops, clashes, loose ends."""
    tree = json.loads(draw(st.sampled_from(DEMOS)))
    ids = [way for way in places(tree) if way[-1] in REFERENCES]
    words = sorted({at(tree, way) for way in ids if isinstance(at(tree, way), str)})
    for _ in range(draw(st.integers(1, 5))):
        *way, last = draw(st.sampled_from(ids))
        at(tree, tuple(way))[last] = draw(st.sampled_from([*words, "", "gone", None]))
    for feed in tree.get("feeds", ()):
        if draw(st.integers(0, 3)) == 0:
            feed["parent"] = draw(st.sampled_from(words))
    return json.dumps(tree)


@st.composite
def other_numbers(draw: st.DrawFn) -> str:
    """A file in which numbers are others, from nothing to far beyond, so that many are accepted."""
    tree = json.loads(draw(st.sampled_from(DEMOS)))
    found = [way for way in places(tree) if type(at(tree, way)) in (int, float)]
    for _ in range(draw(st.integers(1, 8))):
        *way, last = draw(st.sampled_from(found))
        old = at(tree, tuple(way))[last]
        scaled = st.floats(-4.0, 4.0).map(lambda power, old=old: old * 10.0**power)
        at(tree, tuple(way))[last] = draw(scaled | st.floats(0.0, 30.0) | st.integers(0, 70))
    return json.dumps(tree)


REFERENCES = {"id", "feed", "slot", "parent", "accessory", "supplied_by", "meter", "corrects",
              "target_id", "key", "fuse_out", "fuses_out"}  # fmt: skip


def strange_files() -> st.SearchStrategy[str | bytes]:
    """A file a stranger might send."""
    any_vehicle = st.builds(files.render, vehicles())
    return st.one_of(
        damaged_fields(), worse_fields(), swapped_references(), damaged_bytes(), other_numbers(),
        other_numbers(), any_vehicle,
    )  # fmt: skip


def check_file(content: str | bytes) -> str:
    """Read it; what is accepted must be usable. Says which it was."""
    try:
        vehicle = files.parse(content, "stranger.fusemap")
    except FileProblem as refusal:
        assert_clear(refusal)
        return "refused"
    assert_usable(vehicle)
    return "accepted"


# --- pasted tables --------------------------------------------------------------------------------


@st.composite
def strange_tables(draw: st.DrawFn) -> str:
    """A table as it might be pasted: ours, damaged, or none at all."""
    sign = draw(st.sampled_from(["\t", ";", ",", "|", " "]))
    end = draw(st.sampled_from(["\n", "\r\n", "\r", "\n\n"]))
    if draw(st.integers(0, 5)) == 0:
        text = paste.export(demos.read_demo("small_old_car"))
        cut = draw(st.integers(0, len(text)))
        return text[:cut] + draw(st.text(max_size=5)) + text[cut:]
    head = draw(st.lists(st.sampled_from(COLUMNS), max_size=8))
    cells = st.sampled_from(CELLS) | st.text(max_size=6)
    rows = draw(st.lists(st.lists(cells, max_size=9), max_size=8))
    return end.join(sign.join(row) for row in [head, *rows])


def check_table(text: str) -> str:
    """Preview it and take it in: the vehicle can still be saved, and no row has vanished."""
    for vehicle in pasted_into():
        pasted = paste.preview(vehicle, text, WHEN)
        assert len(pasted.rows) + bool(pasted.heading) == len(paste.split(text))
        done = paste.take_in(vehicle, pasted, WHEN)
        check_vehicle(done)
        assert files.parse(files.compact(done)) == done
    return "accepted" if any(row.usable for row in pasted.rows) else "refused"


def pasted_into() -> Iterator[Vehicle]:
    """The vehicles a table is pasted into."""
    yield demos.read_demo("small_old_car")
    yield demos.read_demo("family_estate")


# --- command lines --------------------------------------------------------------------------------


@st.composite
def command_lines(draw: st.DrawFn, sheets: bool = False) -> list[str]:
    """A command line with some sense in it; `sheets` also asks for paper, which takes a while."""
    command = draw(st.sampled_from(["chain", "chain", "millivolts", "report", "parked", "tables",
                                    "sheet" if sheets else "chain", ""]))  # fmt: skip
    number = st.sampled_from(NUMBERS) | st.floats().map(str) | st.integers().map(str)
    word = number | st.sampled_from(WORDS) | st.text(max_size=5)
    options = st.sampled_from(OPTIONS[command])
    line = [command] if command else []
    if draw(st.booleans()):
        line += START.get(command, [])
    for _ in range(draw(st.integers(0, 5))):
        option = draw(options)
        line.append(option)
        if option not in FLAGS and draw(st.integers(0, 9)):
            line.append(draw(word))
    if draw(st.integers(0, 3)) == 0:
        line.append(draw(word))
    return [part.replace("/", "_") for part in line]


WORDS = ("mini", "maxi", "pvc", "cabin", "constant_power", "body", "cable", "demo:family_estate",
         "demo:", "demo:x", "good.fusemap", "bad.fusemap", "gone.fusemap", ".", "fuses", "de", "us",
         "pdf", "csv", "out.pdf", "--", "-", "-h")  # fmt: skip
START = {
    "chain": ["--watts", "60"],
    "millivolts": ["--family", "mini", "--rating", "10", "--mv", "2"],
    "report": ["good.fusemap"],
    "parked": ["good.fusemap"],
    "sheet": ["good.fusemap", "out.csv"],
}
OPTIONS = {
    "chain": ("--watts", "--amps", "--volts", "--load-kind", "--out", "--back", "--return",
              "--drop", "--ambient", "--place", "--bundle", "--insulation", "--fuse-family",
              "--json"),
    "millivolts": ("--family", "--rating", "--mv", "--meter-counts", "--resolution",
                   "--resistance", "--json"),
    "report": ("--json",),
    "parked": ("--json",),
    "tables": ("--memory", "--json"),
    "sheet": ("--part", "--paper", "--language", "--units", "--format", "--json"),
    "": ("--version", "--help", "-x"),
}  # fmt: skip
FLAGS = {"--json", "--memory", "--version", "--help", "-h", "-x"}


def check_line(line: list[str]) -> str:
    """Carry it out: an exit status there is, something said where it is refused, no traceback."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = cli.run(line)
    assert status in (cli.DONE, cli.STOP, cli.CANNOT)
    assert "Traceback" not in err.getvalue()
    if status == cli.CANNOT:
        assert err.getvalue().strip()
        return "refused"
    assert err.getvalue() == ""
    if "--json" in line and not {"-h", "--help"} & set(line):
        json.loads(out.getvalue())
    return "accepted"


@contextlib.contextmanager
def inside(folder: Path) -> Iterator[None]:
    """Be in a folder with a good file and a bad one; nothing may appear anywhere above it."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "good.fusemap").write_text(demos.demo_text("small_old_car"), encoding="utf-8")
    (folder / "bad.fusemap").write_text("{", encoding="utf-8")
    before = set(folder.parent.iterdir())
    here = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(here)
    assert set(folder.parent.iterdir()) == before, "written outside its folder"


# --- time -----------------------------------------------------------------------------------------


def in_time(check: Callable[[Any], str], given: Any) -> tuple[str, float]:
    """What a check says, and how long it took [s]; it is tried again before it counts as slow."""
    for _ in range(2):
        start = time.process_time()
        said = check(given)
        took = time.process_time() - start
        if took < LONGEST_S:
            break
    return said, took
