"""Killed at any moment, the program has at most the edit in flight to lose."""

import os
import sys
import threading
from pathlib import Path
from typing import Any

import pytest

from tests.kill import run_and_kill
from tests.random_edits import found_by_the_next_start, sum_of

pytestmark = pytest.mark.skipif(os.name == "nt", reason="there is no SIGKILL on Windows")


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_at_the_next_start_at_most_the_edit_in_flight_is_missing(
    seed: int, tmp_path: Path, qapp: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    killed = run_and_kill(seed, tmp_path, edits=40)
    assert killed.over, killed.complaints
    assert killed.wrong == [], "every vehicle that edits lead to can be saved"
    assert "Traceback" not in killed.complaints, killed.complaints
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    monkeypatch.setenv("FUSEMAP_SETTINGS_DIR", str(tmp_path / "state"))
    found = found_by_the_next_start(tmp_path / "state", tmp_path / "vehicle.fusemap")
    assert sum_of(found) in killed.allowed
