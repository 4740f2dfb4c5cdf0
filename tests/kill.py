"""Kill the program at a random moment of random edits, and hold what the next start finds.

Used by the short test in `tests/journeys/test_kill.py` and the long one, `bench/kill_test.py`.
"""

import os
import random
import subprocess
import sys
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

from fusemap.files.demos import demo_text

ROOT = Path(__file__).parents[1]


@dataclass
class Killed:
    """How a child ended: the sum of the last vehicle that was kept, those told since, and more."""

    edits: int = 0
    changes: int = 0
    over: str = ""
    told_since: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    complaints: str = ""

    def hear(self, line: str) -> None:
        """Take in a line of the child."""
        word, _, rest = line.partition(" ")
        if word in ("ready", "done"):
            self.over = rest.split()[-1]
            self.edits = int(rest.split()[0]) if word == "done" else 0
            self.told_since.clear()
        elif word == "keeping":
            self.told_since.append(rest)
        elif word == "changed":
            self.changes += 1
            if self.told_since[-1:] == [rest]:  # it was kept before anything showed it
                self.over = rest
                self.told_since.clear()
            else:
                self.told_since.append(rest)
        elif word == "wrong":
            self.wrong.append(rest)

    @property
    def allowed(self) -> set[str]:
        """Sums of the vehicles the next start may find: at most the edit in flight is missing."""
        return {self.over, *self.told_since}


def run_and_kill(seed: int, folder: Path, edits: int, demo: str = "light_truck") -> Killed:
    """Run the child on a copy of a demo vehicle and kill it somewhere among its edits."""
    chance = random.Random(seed)
    file = folder / "vehicle.fusemap"
    file.write_text(demo_text(demo), encoding="utf-8")
    kill_after = chance.randrange(edits)
    killed = Killed()
    command = [sys.executable, "-m", "tests.random_edits", str(seed), str(file), str(edits)]
    with subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env=_environment(folder),
    ) as child:
        assert child.stdout is not None
        assert child.stderr is not None
        complaints: list[str] = []
        reading = threading.Thread(target=lambda: complaints.append(child.stderr.read()))  # type: ignore[union-attr]
        reading.start()
        for line in child.stdout:
            killed.hear(line.rstrip("\n"))
            if killed.edits >= kill_after and line.startswith(("ready", "done")):
                break
        time.sleep(chance.uniform(0.0, 0.08))
        child.kill()
        for line in child.stdout:
            killed.hear(line.rstrip("\n"))
        reading.join()
    killed.complaints = complaints[0]
    return killed


def next_start(folder: Path) -> str:
    """The sum of the vehicle that the next start has in hand, its lost work taken up."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.random_edits", "next", str(folder / "vehicle.fusemap")],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env=_environment(folder),
        timeout=120,
        check=False,
    )
    said = done.stdout.split()
    assert said[:1] == ["found"], done.stderr
    assert said[2:] == [], "lost work is still there after it was taken up"
    assert "Traceback" not in done.stderr, done.stderr
    return said[1]


def _environment(folder: Path) -> dict[str, str]:
    """The folder's own state, and this very source."""
    return os.environ | {
        "FUSEMAP_SETTINGS_DIR": str(folder / "state"),
        "PYTHONPATH": os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")]),
    }
