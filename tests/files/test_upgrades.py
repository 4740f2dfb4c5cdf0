"""Older files are brought up step by step, and no step is missing."""

import json
from pathlib import Path

import pytest

from fusemap import files
from fusemap.files import upgrades
from fusemap.files.upgrades import UPGRADES, upgraded

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


@pytest.mark.parametrize("version", range(1, files.VERSION))
def test_a_file_of_each_older_version_is_read_whole(version):
    text = (SAMPLES / f"version_{version}.fusemap").read_text(encoding="utf-8")
    assert json.loads(text)["version"] == version
    vehicle = files.parse(text)
    assert files.parse(files.render(vehicle)) == vehicle
    told = files.render(vehicle).replace(f'"version": {files.VERSION}', f'"version": {version}')
    assert json.loads(told) == json.loads(text), "something in it was lost or came out otherwise"
