"""What `fusemap report --json` says, held to a schema over every demo and trade vehicle.

Both ends of everything, the grounds of all limits, the four verdicts, what the circuits are and who
said so, and what to measure next; written out here, and not taken from the program.
"""

import json
from collections.abc import Iterator
from functools import cache
from typing import Any, Final

import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.files.demos import demo_names, read_demo
from fusemap.terminal.command import as_json
from fusemap.terminal.report_data import report_data
from fusemap.vehicle import Battery, Parking, StateLoads, Vehicle, edits
from tests import trade_vehicles, unknown_vehicles

Data = dict[str, Any]
NUMBER = (int, float)
MAYBE = (int, float, type(None))
VERDICTS = {"holds", "may_not_hold", "fails", "unchecked"}
GROUNDS = {"published", "user", "analogy", "assumed", "none"}
FUNCTIONS = {
    "leave_alone", "regulated", "control", "supply", "watched", "comfort", "unclear",
}  # fmt: skip
STATES = {"asleep", "awake", "accessory", "ignition", "running"}

WHOLE: Final[dict[str, Any]] = {
    "vehicle": str, "system_v": int, "verdict": VERDICTS, "counts": dict, "measure_next": list,
    "slots": list, "unanswered": list, "feeds": list, "sockets": list, "taps": list,
    "findings": list, "standing": dict,
}  # fmt: skip
SLOT: Final[dict[str, Any]] = {
    "id": str, "panel": str, "label": str, "circuit": str, "fuse": (dict, type(None)),
    "feed_class": str, "critical": bool, "monitored": bool, "unanswered": list,
    "function": FUNCTIONS, "function_answered": bool, "state": STATES, "own_a": MAYBE,
    "own_most_a": NUMBER, "own_known": bool, "accessories_a": NUMBER,
    "accessories_most_a": NUMBER, "host_fuse_a": NUMBER, "host_fuse_most_a": NUMBER,
    "host_fuse_limit_a": MAYBE, "host_fuse_least_a": MAYBE, "host_fuse_ground": GROUNDS,
    "live_contact_a": NUMBER, "live_contact_most_a": NUMBER, "contact_limit_a": MAYBE,
    "contact_ground": GROUNDS, "room_a": MAYBE, "share": MAYBE, "most_share": MAYBE,
    "verdict": VERDICTS,
}  # fmt: skip
FEED: Final[dict[str, Any]] = {
    "id": str, "name": str, "state": STATES, "current_a": NUMBER, "most_a": NUMBER,
    "limit_a": MAYBE, "limit_least_a": MAYBE, "limit_ground": GROUNDS, "share": MAYBE,
    "most_share": MAYBE, "verdict": VERDICTS, "cut_off_v": MAYBE,
}  # fmt: skip
TAP: Final[dict[str, Any]] = {
    "id": str, "title": str, "accessory": str, "lead": {"power", "sense"},
    "socket": (str, type(None)), "pin": (int, type(None)), "short_s": MAYBE, "current_a": NUMBER,
    "most_a": NUMBER, "lowest_voltage_v": MAYBE, "verdict": VERDICTS, "hops": list,
}  # fmt: skip
HOP: Final[dict[str, Any]] = {
    "key": str, "title": str, "quantity": str, "load_known": MAYBE, "load_most": MAYBE,
    "limit": MAYBE, "limit_least": MAYBE, "limit_ground": GROUNDS, "unit": str, "at_most": bool,
    "verdict": VERDICTS, "passed": bool, "share": MAYBE, "most_share": MAYBE,
    "state": (str, type(None)), "missing": (str, type(None)), "basis": str,
}  # fmt: skip
STANDING: Final[dict[str, Any]] = {
    "verdict": VERDICTS, "planned_h": NUMBER, "low_h": MAYBE, "high_h": MAYBE, "unanswered": list,
}  # fmt: skip
UNANSWERED: Final[dict[str, Any]] = {"key": str, "what": str, "answer": str, "low_h": MAYBE}
WANTED: Final[dict[str, Any]] = {
    "place": {"slot", "feed", "tap", "vehicle"}, "place_id": str,
    "how": {"say", "label", "warmth", "length", "millivolts", "volts", "contacts", "clamp"},
    "state": STATES | {None}, "what": str, "settles": list,
}  # fmt: skip
SETTLED: Final[dict[str, Any]] = {
    "place": {"slot", "feed", "tap", "vehicle"}, "place_id": str, "key": str, "states": list,
}  # fmt: skip
SLACK: Final = 1e-6


def named(name: str) -> Vehicle:
    """A demo vehicle, one of the trade, the same with nothing measured, or a random one."""
    kind, _, which = name.partition(":")
    if kind == "demo":
        return read_demo(which)
    if kind == "random":
        return unknown_vehicles.vehicle(np.random.default_rng(int(which)))
    vehicle = next(make for make in trade_vehicles.BUILT if make.__name__ == which)()
    if kind == "unread":
        for panel in vehicle.panels:
            for slot in panel.slots:
                vehicle = edits.change_slot(vehicle, slot.id, own_load=StateLoads())
    return vehicle


NAMES = (
    *(f"demo:{key}" for key, _ in demo_names()),
    *(f"{kind}:{make.__name__}" for make in trade_vehicles.BUILT for kind in ("trade", "unread")),
    *(f"random:{seed}" for seed in range(20)),
)


@cache
def report(name: str) -> Data:
    vehicle = named(name)
    a = assess(vehicle)
    data: Data = json.loads(as_json(report_data(a, findings(vehicle, a))))
    return data


def wrong(data: Data, schema: dict[str, Any], where: str) -> Iterator[str]:
    """Keys that are missing or too many, and values of another kind."""
    if data.keys() != schema.keys():
        yield f"{where}: {sorted(data.keys() ^ schema.keys())}"
    for key, value in data.items():
        wanted = schema.get(key)
        is_right = value in wanted if isinstance(wanted, set) else isinstance(value, wanted or ())
        if not is_right:
            yield f"{where}.{key}: {value!r}"


def pairs(data: Data) -> Iterator[tuple[Data, dict[str, Any], str]]:
    """Every part of a report with its schema."""
    yield data, WHOLE, "report"
    yield data["standing"], STANDING, "standing"
    yield from ((each, UNANSWERED, "unanswered") for each in data["standing"]["unanswered"])
    for key, schema in (("slots", SLOT), ("feeds", FEED), ("taps", TAP), ("measure_next", WANTED)):
        yield from ((each, schema, key) for each in data[key])
    yield from ((hop, HOP, "hops") for tap in data["taps"] for hop in tap["hops"])
    yield from ((each, SETTLED, "settles") for w in data["measure_next"] for each in w["settles"])


def passes(load: float, limit: float, at_most: bool) -> bool:
    over = load - limit if at_most else limit - load
    return over > SLACK * max(1.0, abs(limit))


@pytest.mark.parametrize("name", NAMES)
def test_every_part_has_its_keys_and_kinds(name: str) -> None:
    found = [
        each for part, schema, where in pairs(report(name)) for each in wrong(part, schema, where)
    ]
    assert not found, "\n".join(found[:20])


@pytest.mark.parametrize("name", NAMES)
def test_what_is_not_known_is_null_and_has_its_most(name: str) -> None:
    for slot in report(name)["slots"]:
        assert (slot["own_a"] is None) is not slot["own_known"], slot["id"]
        own = slot["own_a"] or 0.0
        assert slot["own_most_a"] >= own - SLACK
        assert slot["host_fuse_most_a"] >= slot["host_fuse_a"] - SLACK
        assert slot["live_contact_most_a"] >= slot["live_contact_a"] - SLACK
    for feed in report(name)["feeds"]:
        assert feed["most_a"] >= feed["current_a"] - SLACK, feed["id"]


@pytest.mark.parametrize("name", NAMES)
def test_a_verdict_is_that_of_the_two_ends_beside_it(name: str) -> None:
    for tap in report(name)["taps"]:
        for hop in tap["hops"]:
            known, most, limit = hop["load_known"], hop["load_most"], hop["limit"]
            least = hop["limit_least"]
            where = (tap["id"], hop["key"])
            if hop["verdict"] == "unchecked":
                assert hop["missing"] or limit is None or known is None, where
                continue
            assert hop["limit_ground"] != "none", where
            assert limit is not None, where
            assert least <= limit or not hop["at_most"], where
            if hop["verdict"] == "fails":  # past all bounds is null, too
                assert known is None or passes(known, limit * (1 - 2 * SLACK), hop["at_most"]), (
                    where
                )
            elif hop["verdict"] == "holds":
                assert not passes(most, least, hop["at_most"]), where
            else:
                assert not passes(known, limit, hop["at_most"]), where
                assert most is None or passes(most, least * (1 - SLACK), hop["at_most"]), where
    for feed in report(name)["feeds"]:
        if feed["limit_a"] is None:
            assert (feed["verdict"], feed["limit_ground"]) == ("unchecked", "none"), feed["id"]


@pytest.mark.parametrize("name", NAMES)
def test_the_whole_is_no_greener_than_any_tap(name: str) -> None:
    data = report(name)
    taps = {tap["verdict"] for tap in data["taps"]}
    if data["verdict"] == "holds":
        assert taps <= {"holds"}
    if data["verdict"] != "fails":
        assert "fails" not in taps
        assert data["counts"]["stop"] == 0


@pytest.mark.parametrize("name", NAMES)
def test_what_to_measure_next_is_there_where_something_may_not_hold(name: str) -> None:
    data = report(name)
    open_ = {
        (tap["id"], hop["key"])
        for tap in data["taps"]
        for hop in tap["hops"]
        if hop["verdict"] == "may_not_hold"
    }
    assert bool(data["measure_next"]) or not open_
    ids = {part["id"] for key in ("slots", "feeds", "taps") for part in data[key]}
    for wanted in data["measure_next"]:
        assert wanted["place_id"] in ids or wanted["place"] == "vehicle"
        assert wanted["what"]
        assert wanted["settles"]


@pytest.mark.parametrize("name", NAMES)
def test_a_standing_that_may_not_hold_says_what_would_settle_it(name: str) -> None:
    data = report(name)
    those = [each for each in data["measure_next"] if each["place"] == "vehicle"]
    assert all(settled["key"] == "standing" for each in those for settled in each["settles"])
    assert bool(those) == (data["standing"]["verdict"] == "may_not_hold")


def test_what_nobody_answered_is_told_with_what_an_answer_would_gain() -> None:
    """A diesel in the frost: its engine first, then its coldest night."""
    vehicle = Vehicle(
        name="Bench",
        battery=Battery(capacity_ah=70.0, cca_a=640.0, soh=0.95, rest_v=12.7),
        parking=Parking(temperature_c=4.0, rest_current_a=0.03, awake_current_a=1.0),
    )
    a = assess(vehicle)
    data = json.loads(as_json(report_data(a, findings(vehicle, a))))
    found = {each["key"]: each for each in data["standing"]["unanswered"]}
    assert set(found) == {"start: ", "coldest"}
    assert all(each["low_h"] >= data["standing"]["low_h"] for each in found.values())
    assert data["standing"]["verdict"] == "may_not_hold"
    assert data["measure_next"][0]["place_id"] == "start"
    assert data["measure_next"][0]["how"] == "say"


def test_reports_have_every_verdict_every_ground_and_both_kinds_of_answer() -> None:
    hops = [hop for name in NAMES for tap in report(name)["taps"] for hop in tap["hops"]]
    slots = [slot for name in NAMES for slot in report(name)["slots"]]
    assert {hop["verdict"] for hop in hops} == VERDICTS
    assert {hop["limit_ground"] for hop in hops} >= GROUNDS - {"none"}
    assert {slot["function_answered"] for slot in slots} == {True, False}
    assert {slot["own_known"] for slot in slots} == {True, False}
    assert {slot["function"] for slot in slots} >= {"leave_alone", "comfort", "unclear", "control"}
    assert any(report(name)["measure_next"] for name in NAMES)
