"""Killed at any moment beside the vehicle, the next start misses at most the key in flight."""

import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from fusemap.files.demos import demo_text
from tests.kill import ROOT

pytestmark = pytest.mark.skipif(os.name == "nt", reason="there is no SIGKILL on Windows")

KEYS = 120


def command(task: str, seed: str, folder: Path) -> list[str]:
    file = str(folder / "vehicle.fusemap")
    return [sys.executable, "-m", "tests.beside_keys", task, seed, file, str(KEYS)]


def running(task: str, seed: str, folder: Path) -> "subprocess.Popen[str]":
    folder.mkdir(exist_ok=True)
    file = folder / "vehicle.fusemap"
    if not file.exists():
        file.write_text(demo_text("small_old_car"), encoding="utf-8")
    environment = os.environ | {
        "FUSEMAP_SETTINGS_DIR": str(folder / "state"),
        "PYTHONPATH": os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")]),
    }
    return subprocess.Popen(
        command(task, seed, folder), stdout=subprocess.PIPE, text=True, cwd=ROOT, env=environment
    )


def lines(child: "subprocess.Popen[str]", many: int, wait_s: float = 0.0) -> list[str]:
    """So many of its lines and those of some hundredths of a second; then it is killed."""
    assert child.stdout is not None
    found = [child.stdout.readline().strip() for _ in range(many)]
    time.sleep(wait_s)
    child.kill()
    return [*found, *child.stdout.read().split("\n")[:-1]]


@pytest.fixture(scope="module", params=["probe", "check", "hunt"])
def walked(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple:
    """A task, and what there is to lose after each key of one walk that nobody killed."""
    folder = tmp_path_factory.mktemp(request.param)
    with running(request.param, "7", folder / "whole") as child:
        whole = lines(child, KEYS + 1)
    assert len(set(whole)) > KEYS / 3, "the keys do something"
    return request.param, whole, folder


@pytest.mark.parametrize("after", [23, 64, 101])
def test_at_most_the_key_in_flight_is_missing(walked: tuple, after: int) -> None:
    task, whole, folder = walked
    with running(task, "7", folder / str(after)) as child:
        told = lines(child, after, random.Random(after).uniform(0, 0.03))
    assert told == whole[: len(told)], "each run presses the same keys"
    with running(task, "next", folder / str(after)) as child:
        (found,) = lines(child, 1)
    before, flying = (line.split() for line in whole[len(told) - 1 : len(told) + 1])
    vehicle, page = found.split()
    assert vehicle in (before[0], flying[0])
    assert page in (before[1], flying[1])
