"""Older files are brought up step by step, and no step is missing."""

import hashlib
import json
from pathlib import Path

import pytest

from fusemap import files
from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.files import upgrades
from fusemap.files.upgrades import UPGRADES, upgraded
from fusemap.leave_alone import unanswered
from fusemap.vehicle import Vehicle

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
    "version_5.fusemap": "1aafa0743ea9c9b3",
    "version_5_everything.fusemap": "99b76bc3211e79e1",
    "version_6.fusemap": "41856de92a54e3c6",
    "version_6_everything.fusemap": "8d1b372be53f71cd",
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


def older(version: int, **fields: object) -> Vehicle:
    """A file of an older version with nothing but these fields."""
    head = {"format": "fusemap vehicle", "version": version, "name": "Van"}
    return files.parse(json.dumps(head | fields))


def test_a_rule_of_thumb_set_for_a_start_is_set_for_the_published_line():
    """Of version 6: 40 % at 25 °C and 1 % a degree are 50 % at 15 °C, where the line begins."""
    chosen = {"crank_soc_base": 0.4, "crank_soc_slope_per_k": 0.01, "crank_soc_band": 0.05}
    rules = [{"key": key, "value": value} for key, value in chosen.items()]
    vehicle = older(6, rules=[*rules, {"key": "relay_coil_ma", "value": 180.0}])
    found = {rule.key: rule.value for rule in vehicle.rules}
    assert found == {
        "relay_coil_ma": 180.0,
        "start_line_soc": 0.5,
        "start_line_slope_per_k": 0.01,
        "start_line_less": 0.05,
        "start_line_more": 0.05,
    }
    assert assess(vehicle).parked.crank_soc == pytest.approx(0.5, abs=2e-3)


def test_a_rule_there_is_no_more_goes_and_leaves_nothing_behind():
    vehicle = older(6, rules=[{"key": "cranking_a_per_ah", "value": 3.0}])
    assert vehicle.rules == ()
