"""Files from strangers: whatever is done to a vehicle file, it is read whole or refused clearly.

A valid file is damaged: bytes flipped, cut, doubled; fields taken out, put elsewhere, given values
of another sort or beyond belief. What comes out is one `FileProblem` that says what and what to do,
or a vehicle that can be computed, written and read again.
"""

import copy
import json
import os
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from fusemap import files
from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.errors import FileProblem
from fusemap.files import demos
from fusemap.vehicle import Vehicle
from fusemap.vehicle.validity import MOST, MOST_OTHERS, MOST_SLOTS, faults
from tests.strategies import vehicles

# The largest one is left out: a failure prints its file, and it has nothing the others have not.
DEMOS = [demos.demo_text(key) for key in ("small_old_car", "light_truck")]
ODD_VALUES = [
    None, True, False, 0, -1, 1, 2, 12, 60, 61, 0.5, -0.0, 1e-300, 1e300, 10**30, "", "x", "mini",
    "permanent", "slot-1", "feed-main", [], {}, [None], [[]], {"id": "x"}, float("inf"),
    float("nan"), "\ud800", "two\nlines", "` - at `$.name`", "x" * 500,
]  # fmt: skip
KEYS_THERE_ARE = [
    "format", "version", "id", "name", "rows", "slots", "fuse", "family", "rating", "parent",
    "feed", "slot", "accessory", "leads", "watts", "amperes", "cut_off", "off_v", "on_v", "value",
    "key", "kind", "section_mm2", "length_m", "bundle", "duty", "wake_ups", "timetable", "unheard",
    "", "`", " - at `$.", "two\nlines", "[0]", "\ud800",
]  # fmt: skip
BOUNDED = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def places(value: Any, steps: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place in a tree of dicts and lists, as the steps that lead there."""
    inside = value.items() if isinstance(value, dict) else enumerate(value)
    for step, part in inside:
        yield (*steps, step)
        if isinstance(part, (dict, list)):
            yield from places(part, (*steps, step))


def at(tree: Any, steps: tuple[Any, ...]) -> Any:
    for step in steps:
        tree = tree[step]
    return tree


@st.composite
def damaged_fields(draw: st.DrawFn) -> str:
    """A vehicle file in which one to four fields are not what they were."""
    tree = json.loads(draw(st.sampled_from(DEMOS)))
    for _ in range(draw(st.integers(1, 4))):
        found = list(places(tree))
        if not found:
            break
        *way, last = draw(st.sampled_from(found))
        holder = at(tree, tuple(way))
        match draw(st.sampled_from(["replace", "replace", "remove", "add", "copy", "double"])):
            case "replace":
                holder[last] = copy.deepcopy(draw(st.sampled_from(ODD_VALUES)))
            case "remove":
                del holder[last]
            case "add" if isinstance(holder, dict):
                key = draw(st.sampled_from(KEYS_THERE_ARE))
                holder[key] = copy.deepcopy(draw(st.sampled_from(ODD_VALUES)))
            case "copy":
                holder[last] = copy.deepcopy(at(tree, draw(st.sampled_from(found))))
            case "double" if isinstance(holder, list):
                holder.append(copy.deepcopy(holder[last]))
    return json.dumps(tree)


@st.composite
def damaged_bytes(draw: st.DrawFn) -> bytes:
    """A vehicle file in which bytes are other ones, missing, or there twice."""
    content = bytearray(draw(st.sampled_from(DEMOS)).encode())
    for _ in range(draw(st.integers(1, 3))):
        start = draw(st.integers(0, len(content)))
        length = draw(st.integers(0, 40))
        put = draw(
            st.binary(max_size=8)
            | st.sampled_from([b"", b"{", b"]", b'"', b",", b"0", b"-", b"e9", b"\\u0000", b"\xef"])
        )
        content[start : start + length] = put
    return bytes(content)


def read_or_refused(content: str | bytes) -> Vehicle | None:
    """The vehicle, or nothing when it was refused in one clear message."""
    try:
        return files.parse(content, "stranger.fusemap")
    except FileProblem as refusal:
        assert_clear(refusal)
        event("refused")
        return None


def assert_clear(problem: FileProblem) -> None:
    """One line that says what, where and what to do, in our style."""
    assert problem.what
    assert problem.where
    assert problem.remedy
    assert not problem.where.startswith("$")
    assert str(problem).isprintable()
    assert len(str(problem)) < 1000


def assert_usable(vehicle: Vehicle) -> None:
    """It can be computed, judged, written, and read again."""
    assert list(faults(vehicle)) == []
    a = assess(vehicle)
    for figures in (a.battery_a, a.battery_v, a.slots.live_contact_a, a.feeds.current_a):
        assert np.isfinite(figures).all()
    for finding in findings(vehicle, a):
        assert finding.what
    assert all(chain.title for chain in a.chains.values())
    assert a.parked.hours >= 0
    assert files.parse(files.render(vehicle)) == vehicle
    event("read")


@BOUNDED
@given(damaged_fields())
def test_a_file_with_damaged_fields_is_read_whole_or_refused_clearly(content):
    vehicle = read_or_refused(content)
    if vehicle is not None:
        assert_usable(vehicle)


@BOUNDED
@given(damaged_bytes())
def test_a_file_with_damaged_bytes_is_read_whole_or_refused_clearly(content):
    vehicle = read_or_refused(content)
    if vehicle is not None:
        assert_usable(vehicle)


@BOUNDED
@given(st.binary(max_size=200) | st.text(max_size=200))
def test_what_is_no_vehicle_file_at_all_is_refused(content):
    assert read_or_refused(content) is None


@settings(BOUNDED, max_examples=60)
@given(vehicles(usual=True))
def test_any_usual_vehicle_can_be_computed_and_judged(vehicle):
    assert_usable(vehicle)


@settings(BOUNDED, max_examples=60)
@given(vehicles())
def test_any_vehicle_a_file_may_hold_can_be_computed_and_judged(vehicle):
    assert_usable(vehicle)


# --- one thing wrong, by hand ---------------------------------------------------------------------


def refused(text: str | bytes) -> FileProblem:
    """The one clear message a file is refused with."""
    with pytest.raises(FileProblem) as caught:
        files.parse(text, "stranger.fusemap")
    assert_clear(caught.value)
    return caught.value


def small_car() -> dict[str, Any]:
    return json.loads(DEMOS[0])


@pytest.mark.parametrize(
    ("old", "where"),
    [
        ('"name": "Small old car"', "name"),
        ('"rating": 20.0', "panels[0].slots[2].fuse.rating"),
        ('"format": "fusemap vehicle"', "format"),
        ('"battery": {', "battery"),
    ],
)
def test_a_field_that_stands_twice_is_refused_with_its_place(old, where):
    text = DEMOS[0]
    assert old in text
    value = "{}" if old.endswith("{") else old.partition(": ")[2]
    twice = text.replace(old, f"{old.partition(':')[0]}: {value}, {old}", 1)
    found = refused(twice)
    assert (found.where, found.what) == (where, "this field stands here twice")


@pytest.mark.parametrize(
    "note",
    [r"a \": b", r"\u0022: \u0022:", r"\\\":", r"\"note\": \"x\"", '": '.replace('"', r"\u0022")],
)
def test_a_text_that_looks_like_a_field_twice_is_none(note):
    head = '{"format": "fusemap vehicle", "version": 1, "name": "Van", "note": "'
    text = f'{head}{note}"}}'
    assert files.parse(text).note == json.loads(text)["note"]


def test_a_field_twice_is_found_behind_a_text_that_looks_like_one():
    text = r'{"format":"fusemap vehicle","version":1,"name":"V","note":"\u0022:","name":"W"}'
    assert refused(text).where == "name"


def test_a_text_without_end_is_refused_with_its_place():
    car = small_car()
    car["panels"][0]["slots"][2]["circuit"] = "x" * 501
    assert refused(json.dumps(car)).where == "panels[0].slots[2].circuit"


@pytest.mark.parametrize("sign", ["\x00", "\x1b[31m", "\u202e", "\u2067", "\u200b", "\U000e0041"])
@pytest.mark.parametrize("place", ["name", "accessories", "feeds"])
def test_signs_that_nobody_sees_are_refused_with_their_place(sign, place):
    car = small_car()
    if place == "name":
        car["name"] += sign
    else:
        car[place][0]["name"] += sign
    assert refused(json.dumps(car)).where == ("name" if place == "name" else f"{place}[0].name")


LISTS = {
    "feeds": lambda n: {"id": f"f{n}", "name": "F"},
    "accessories": lambda n: {"id": f"a{n}", "name": "A", "watts": 1.0},
    "panels": lambda n: {"id": f"p{n}", "name": "P", "rows": 1, "columns": 1},
    "rules": lambda n: {"key": f"r{n}", "value": 1.0},
    "readings": lambda n: {"id": f"r{n}", "when": "2025-05-17", "quantity": "volts", "value": 12.0},
    "log": lambda n: {"when": "2025-05-17", "text": "x"},
    "meters": lambda n: {"id": f"m{n}", "name": "M"},
}


@pytest.mark.parametrize("name", LISTS)
def test_more_of_something_than_any_vehicle_has_is_refused_with_its_place(name):
    many = MOST.get(name, MOST_OTHERS) + 1
    car = small_car() | {name: [LISTS[name](n) for n in range(many)]}
    found = refused(json.dumps(car))
    assert found.where == name
    assert str(many) in found.what


def test_slots_are_counted_over_all_panels():
    def panel(n: int) -> dict[str, Any]:
        slots = [{"id": f"s{n}-{s}", "row": s // 60, "column": s % 60} for s in range(120)]
        return {"id": f"p{n}", "name": "P", "rows": 2, "columns": 60, "slots": slots}

    panels = [panel(n) for n in range(MOST_SLOTS // 120 + 1)]
    text = json.dumps({"format": files.FORMAT, "version": 1, "name": "V", "panels": panels})
    assert refused(text).where == f"panels[{MOST_SLOTS // 120}].slots"


CANNOT_BE = (
    "NaN",
    "Infinity",
    "-Infinity",
    "1e308",
    "-1e308",
    "1e999",
    "-1",
    "9" * 400,
    "9" * 5000,
)


@pytest.mark.parametrize("number", CANNOT_BE, ids=lambda number: number[:9])
def test_numbers_that_cannot_be_are_refused(number):
    text = DEMOS[0].replace('"capacity_ah": ', f'"capacity_ah": {number}, "was": ', 1)
    assert '"was": ' in text
    text = text.replace('"was": ', '"reserve_min": ', 1)
    assert_clear(refused(text))


def test_a_rule_given_twice_is_refused():
    rule = {"key": "continuous_load_share", "value": 0.75}
    car = small_car() | {"rules": [rule, rule]}
    assert refused(json.dumps(car)).where == "rules[1].key"


def test_what_is_nested_or_endless_is_refused_before_it_fills_the_memory():
    for text in ("[" * 1_000_000, '{"a":' * 200_000, '{"a":[' + "[]," * 3_000_000 + "[]]}"):
        assert_clear(refused(text))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs a pipe with a name")
def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.fusemap")
    said: list[FileProblem] = []

    def read() -> None:
        try:
            files.read_vehicle(tmp_path / "pipe.fusemap")
        except FileProblem as problem:
            said.append(problem)

    reading = threading.Thread(target=read, daemon=True)
    reading.start()
    reading.join(timeout=10)
    assert not reading.is_alive()
    assert "ordinary" in said[0].what


@pytest.mark.skipif(not os.path.exists("/dev/zero"), reason="needs a device without end")
def test_a_device_is_no_file():
    with pytest.raises(FileProblem, match="ordinary"):
        files.read_vehicle(Path("/dev/zero"))


def test_a_name_with_a_zero_byte_is_no_file(tmp_path):
    with pytest.raises(FileProblem, match="no such file"):
        files.read_vehicle(tmp_path / "a\0b")


def test_a_load_at_work_for_no_time_at_all_is_still_computed():
    car = small_car()
    for accessory in car["accessories"]:
        accessory |= {"duty": 1e-308, "duty_period_s": 1.0, "works_in": ["asleep", "awake"]}
    vehicle = files.parse(json.dumps(car))
    assert assess(vehicle).parked.hours > 0
