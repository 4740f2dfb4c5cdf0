"""Files from strangers: whatever is done to a vehicle file, it is read whole or refused clearly.

A valid file is damaged: bytes flipped, cut, doubled; fields taken out, put elsewhere, given values
of another sort or beyond belief. What comes out is one `FileProblem` that says what and what to do,
or a vehicle that can be computed, written and read again.
"""

import copy
import json
from collections.abc import Iterator
from typing import Any

import numpy as np
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from fusemap import files
from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.errors import FileProblem
from fusemap.files import demos
from fusemap.vehicle import Vehicle
from fusemap.vehicle.validity import faults
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
