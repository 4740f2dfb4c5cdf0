"""The started program reckons in one thread, unless its user has said otherwise."""

import os
import subprocess
import sys

import pytest

from fusemap.__main__ import THREADS

REPORT = """
import os, sys
from importlib.abc import MetaPathFinder

class Watch(MetaPathFinder):
    def find_spec(self, name, path, target=None):
        if name == "numpy":
            print("numpy loaded with", *sorted({os.environ.get(n, "-") for n in sys.argv[1:]}))

sys.meta_path.insert(0, Watch())
assert "numpy" not in sys.modules
from fusemap.__main__ import main
main(["report", "demo:light_truck"])
tasks = "/proc/self/task"
print("threads", len(os.listdir(tasks)) if os.path.isdir(tasks) else 1)
"""


def started(**environment: str) -> list[str]:
    """What the program says that is started with this environment."""
    clean = {name: value for name, value in os.environ.items() if name not in THREADS}
    done = subprocess.run(
        [sys.executable, "-c", REPORT, *THREADS],
        capture_output=True, text=True, timeout=120, check=True, env=clean | environment,
    )  # fmt: skip
    return done.stdout.splitlines()


def test_linear_algebra_has_one_thread_before_numpy_is_loaded() -> None:
    said = started()
    assert "numpy loaded with 1" in said
    assert said[-1] == "threads 1"


@pytest.mark.parametrize("name", ["OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"])
def test_the_user_s_own_number_of_threads_is_left(name: str) -> None:
    assert "numpy loaded with - 2" in started(**{name: "2"})
