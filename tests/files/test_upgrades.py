"""Older files are brought up step by step, and no step is missing."""

import hashlib
import json
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap import files
from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.circuits import unanswered
from fusemap.errors import FileProblem
from fusemap.files import upgrades
from fusemap.files.upgrades import UPGRADES, upgraded
from fusemap.vehicle import (
    BATTERY,
    Accessory,
    Battery,
    BorrowedSlot,
    Cable,
    Feed,
    Maintainer,
    Panel,
    Parking,
    Reading,
    SecondBattery,
    Slot,
    Tap,
    Vehicle,
    edits,
    look_up,
)
from tests.strategies import vehicles

SAMPLES = Path(__file__).parent / "samples"
"""A file of each older version, frozen as it was written then."""


def test_each_older_version_has_its_upgrade():
    assert set(UPGRADES) == set(range(1, files.VERSION))


def test_the_history_tells_of_each_version():
    for version in range(1, files.VERSION + 1):
        assert any(line.startswith(f"{version} ") for line in upgrades.__doc__.splitlines())


def test_upgrades_follow_one_another_from_the_files_version_to_the_newest():
    steps = {
        1: lambda fields: fields | {"came": [*fields.get("came", ()), "1 to 2"]},
        2: lambda fields: fields | {"came": [*fields.get("came", ()), "2 to 3"]},
    }
    assert upgraded({}, 1, 3, steps) == {"came": ["1 to 2", "2 to 3"]}
    assert upgraded({}, 2, 3, steps) == {"came": ["2 to 3"]}
    assert upgraded({"name": "Van"}, 3, 3, steps) == {"name": "Van"}


FROZEN = {
    "version_1.fusemap": "d50bd1acc2f637f5",
    "version_1_everything.fusemap": "a632943ca7e7bf27",
    "version_2.fusemap": "8f6d2e24fb15893c",
    "version_2_everything.fusemap": "718daf65c3519167",
    "version_3.fusemap": "b5dbb882f895cd50",
    "version_3_everything.fusemap": "c6ef39c48d4d2e21",
    "version_4.fusemap": "4102cb8cb2b80eb1",
    "version_4_everything.fusemap": "6c8fc5fe5035ea01",
    "version_5.fusemap": "6ff3590b463ea6a4",
    "version_5_everything.fusemap": "1afcc3212c1a1c9a",
    "version_6.fusemap": "59a0bf3ac8c75a40",
    "version_6_everything.fusemap": "460227d28e897480",
    "version_7.fusemap": "848b3e5d538a4964",
    "version_7_everything.fusemap": "985dfb55fee01ea4",
}
"""The samples with the beginnings of their SHA-256: a file once written out there never changes."""


def test_each_older_version_has_a_story_and_a_sample_with_every_field_of_it():
    wanted = {
        f"version_{version}{kind}.fusemap"
        for version in range(1, files.VERSION)
        for kind in ("", "_everything")
    }
    assert {path.name for path in SAMPLES.iterdir()} == wanted == set(FROZEN)


@pytest.mark.parametrize("name", FROZEN)
def test_a_sample_is_as_it_was_written(name):
    content = (SAMPLES / name).read_bytes()
    assert hashlib.sha256(content).hexdigest().startswith(FROZEN[name])


@pytest.mark.parametrize("name", FROZEN)
def test_a_file_of_each_older_version_is_read_whole(name):
    version = int(name.removeprefix("version_")[0])
    text = (SAMPLES / name).read_text(encoding="utf-8")
    assert json.loads(text)["version"] == version
    vehicle = files.parse(text)
    assert files.parse(files.render(vehicle)) == vehicle
    told = files.render(vehicle).replace(f'"version": {files.VERSION}', f'"version": {version}')
    assert json.loads(told) == json.loads(text), "something in it was lost or came out otherwise"


@pytest.mark.parametrize("name", FROZEN)
def test_a_vehicle_of_an_older_version_can_be_computed(name):
    vehicle = files.parse((SAMPLES / name).read_text(encoding="utf-8"))
    assert findings(vehicle, assess(vehicle)) is not None


def test_a_circuit_nobody_was_asked_about_stays_unanswered_in_an_older_file():
    """The slot has neither a mark nor an answer in the file: an upgrade makes none up."""
    fields = json.loads((SAMPLES / "version_4.fusemap").read_text(encoding="utf-8"))
    slot = fields["panels"][0]["slots"][0]
    slot["circuit"] = "Airbag"
    for name in ("critical", "critical_reason", "monitored"):
        slot.pop(name, None)
    vehicle = files.parse(json.dumps(fields))
    assert unanswered(vehicle.panels[0].slots[0])


def test_what_nobody_said_supplies_a_slot_is_not_known_in_an_older_file():
    """Until version 5 no feed meant the battery as well as nobody's word; the vehicle says less."""
    vehicle = files.parse((SAMPLES / "version_5.fusemap").read_text(encoding="utf-8"))
    unsaid = [slot for slot in look_up.slots(vehicle) if slot.feed is None]
    assert "F29" in {slot.label for slot in unsaid}
    assert all(look_up.feed_of(vehicle, slot) is None for slot in unsaid)
    assert BATTERY not in {slot.feed for slot in look_up.slots(vehicle)}


def test_a_feed_that_had_the_batterys_id_gets_another_one_everywhere():
    fields = json.loads((SAMPLES / "version_5_everything.fusemap").read_text(encoding="utf-8"))
    text = json.dumps(fields).replace('"feed-1"', '"battery"')
    vehicle = files.parse(text)
    assert files.parse(json.dumps(fields)) == vehicle, "the first free id is the one it had"
    assert vehicle.feeds[1].parent == vehicle.feeds[0].id == "feed-1"


@pytest.mark.parametrize(
    "feeds", [None, 5, {}, [None], ["battery"], [{"id": BATTERY, "name": 3}], [{"id": [BATTERY]}]]
)
def test_an_upgrade_leaves_what_is_no_vehicle_to_the_gate(feeds):
    fields = {"format": files.FORMAT, "version": 5, "name": "Van", "feeds": feeds}
    fields |= {"panels": feeds, "taps": feeds, "readings": feeds}
    with pytest.raises(FileProblem):
        files.parse(json.dumps(fields))


NEW: dict[int, dict[type[msgspec.Struct], tuple[str, ...]]] = {
    2: {
        Vehicle: ("meters", "readings", "sign_offs"),
        Slot: ("borrowed",),
        Accessory: ("found",),
    },
    3: {Accessory: ("converter", "supplied_by"), Tap: ("relay_limit_a", "relay_coil_a")},
    4: {Panel: ("photo",)},
    5: {Slot: ("harmless",), Accessory: ("largest_fuse_a",)},
    6: {
        Slot: ("own_most", "function"),
        BorrowedSlot: ("own_most",),
        Feed: ("carried",),
        Tap: ("found_how",),
    },
    7: {
        Battery: ("label_standard", "charged_by", "crank_readings"),
        Parking: ("engine_fuel", "engine_l", "night_logged"),
        Accessory: ("figures_from", "parked_mode"),
    },
    8: {
        Reading: ("fuses_out",),
        Cable: ("further",),
        Feed: ("added", "cable", "unfused_m", "sleeve", "battery", "cut_off"),
        Panel: ("kind",),
        Slot: ("fuse_failed", "seen_empty"),
        Tap: ("earth", "switch", "switch_limit_a", "timer_min", "socket", "pin"),
        Accessory: ("lead_cable", "lead_back", "lead_fuse", "short_s", "output_w", "rest_from"),
        Vehicle: ("earths", "sockets"),
        SecondBattery: ("rest_v", "resistance_mohm", "link_cable", "near_fuse", "far_fuse"),
        Battery: ("stand_readings",),
        Maintainer: ("battery",),
        Parking: (
            "locked_on",
            "night_c",
            "day_c",
            "topped_up",
            "top_up_min",
            "top_up_times",
            "top_up_a",
        ),
    },
}
"""The fields that came with each version, as the history tells."""


def as_older(part: Any, version: int) -> Any:
    """A part with the defaults of what its version did not have; no slot says it is on battery."""
    if isinstance(part, tuple):
        return tuple(as_older(each, version) for each in part)
    if not isinstance(part, msgspec.Struct):
        return part
    later = {n for v in NEW if v > version for n in NEW[v].get(type(part), ())}
    kept = {
        n: as_older(getattr(part, n), version) for n in part.__struct_fields__ if n not in later
    }
    if isinstance(part, Slot) and part.feed == BATTERY:
        kept["feed"] = None
    if isinstance(part, Tap) and part.kind == "plug" and version < 8:
        kept["kind"] = "splice"
    return type(part)(**kept)


@given(vehicles(), st.integers(1, files.VERSION - 1))
def test_any_vehicle_of_an_older_version_opens_and_nothing_in_it_is_lost(vehicle, version):
    older = as_older(vehicle, version)
    text = files.render(older).replace(f'"version": {files.VERSION}', f'"version": {version}', 1)
    assert files.parse(text) == older
    if version > 5:  # the battery has that id by then
        return
    opened = files.parse(text.replace('"feed-0"', f'"{BATTERY}"'))
    ids = [feed.id for feed in older.feeds]
    own = opened.feeds[ids.index("feed-0")].id if "feed-0" in ids else "feed-0"
    assert opened == files.parse(text.replace('"feed-0"', f'"{own}"'))
    assert own != BATTERY


class TestNoFeedIsTheBattery:
    def test_no_file_of_the_newest_version_has_one(self):
        vehicle = Vehicle(name="Van", feeds=(Feed(id=BATTERY, name="Main"),))
        with pytest.raises(FileProblem, match="means the battery itself") as caught:
            files.parse(files.render(vehicle))
        assert caught.value.where == "feeds[0].id"

    def test_no_edit_makes_one(self):
        vehicle = Vehicle(name="Van")
        for _ in range(3):
            vehicle = edits.add_feed(vehicle, BATTERY)
        assert [feed.id for feed in vehicle.feeds] == ["feed-1", "feed-2", "feed-3"]


def older(version: int, **fields: object) -> Vehicle:
    """A file of an older version with nothing but these fields."""
    head = {"format": "fusemap vehicle", "version": version, "name": "Van"}
    return files.parse(json.dumps(head | fields))


def test_a_rule_of_thumb_set_for_a_start_is_set_for_the_published_line():
    """Of version 6: 40 % at 25 °C and 1 % a degree are 50 % at 15 °C, where the line begins."""
    chosen = {"crank_soc_base": 0.4, "crank_soc_slope_per_k": 0.01, "crank_soc_band": 0.05}
    rules = [{"key": key, "value": value} for key, value in chosen.items()]
    coil = {"key": "relay_coil_ma", "value": 180.0}
    vehicle = older(6, rules=[*rules, coil], parking={"coldest_c": 15.0})
    found = {rule.key: rule.value for rule in vehicle.rules}
    assert found == {
        "relay_coil_ma": 180.0,
        "start_line_soc": 0.5,
        "start_line_slope_per_k": 0.01,
        "start_line_less": 0.05,
        "start_line_more": 0.05,
    }
    assert assess(vehicle).parked.crank_soc == pytest.approx(0.5, abs=2e-3)


def test_whether_the_drive_battery_tops_it_up_is_not_known_in_an_older_file():
    vehicle = older(7, parking={"starts_by": "contactors"})
    assert vehicle.parking.topped_up == "unknown"
    assert vehicle.battery.stand_readings == ()


def test_a_rule_there_is_no_more_goes_and_leaves_nothing_behind():
    vehicle = older(6, rules=[{"key": "cranking_a_per_ah", "value": 3.0}])
    assert vehicle.rules == ()
