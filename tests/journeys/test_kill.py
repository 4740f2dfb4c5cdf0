"""Killed at any moment, the program has at most the edit in flight to lose."""

import os
from pathlib import Path

import pytest

from tests.kill import next_start, run_and_kill

pytestmark = pytest.mark.skipif(os.name == "nt", reason="there is no SIGKILL on Windows")


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_at_the_next_start_at_most_the_edit_in_flight_is_missing(seed: int, tmp_path: Path) -> None:
    killed = run_and_kill(seed, tmp_path, edits=40)
    assert killed.over, killed.complaints
    assert killed.wrong == [], "every vehicle that edits lead to can be saved"
    assert "Traceback" not in killed.complaints, killed.complaints
    assert next_start(tmp_path) in killed.allowed
