"""Random keys on a page beside the vehicle, for the test that kills the program among them.

`python -m tests.beside_keys TASK SEED FILE COUNT` opens the window on a file (no screen needed),
goes to Probe, Check or the hunt, presses COUNT random keys and says a line on standard output for
the page as it is at the beginning and after each: ``VEHICLE PAGE``, sums of both. `python -m
tests.beside_keys TASK next FILE` is the start after that: its line is what was found.
"""

import hashlib
import os
import random
import sys
import time
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from fusemap.window.app import make_window, open_first
from fusemap.window.main_window import MainWindow
from tests.random_edits import say, settle, sum_of
from tests.window.probe.hand import press

KEYS = {
    "probe": "0123456789.-+*/⏎⏎⏎⏎⌫←→",
    "check": "0123456789.-+yn*/⏎⏎⏎⏎⌫←→",
    "hunt": "0123456789.-*/⏎⏎⏎⏎⏎⌫clpf",
}


class Clock:
    """Half a minute goes by at each look: the same at every run."""

    def __init__(self) -> None:
        self.now = datetime(2030, 5, 17, 18, 0)

    def __call__(self) -> datetime:
        return self.now


def state(window: MainWindow, task: str) -> str:
    """Sums of the vehicle and of all that a page has to lose."""
    page: Any = getattr(window.tasks, task)
    kept: object = {
        "probe": lambda: page.session,
        "hunt": lambda: (page.hunt.scene, page.hunt.done, page.typed, page.rows),
        "check": lambda: (page.current().key, page.current().target_id, page.typed),
    }[task]()
    written = msgspec.json.encode(kept, enc_hook=str)
    return f"{sum_of(window.document.vehicle)} {hashlib.sha256(written).hexdigest()[:16]}"


def opened(task: str, file: Path, clock: Clock) -> MainWindow:
    """The window with what was lost taken up, at the page."""
    window = make_window()
    window.show()
    open_first(window, file, None)
    settle()
    box = window.findChild(QDialog, "recoveryDialog")
    if box is not None:
        QTest.mouseClick(box.findChild(QWidget, "takeUp"), Qt.MouseButton.LeftButton)
        settle()
    window.tasks.now = clock
    window.tasks.show(task)  # type: ignore[arg-type]
    settle()
    return window


def main(task: str, seed: str, file: str, count: str = "0") -> None:
    """Press keys, or only look."""
    clock, app = Clock(), QApplication([])
    window = opened(task, Path(file), clock)
    page: Any = getattr(window.tasks, task)
    say(state(window, task))
    if seed == "next":
        app.processEvents()
        os._exit(0)
    chance = random.Random(int(seed))
    for _ in range(int(count)):
        press(page, chance.choice(KEYS[task]))
        clock.now += timedelta(minutes=chance.choice((0.2, 1, 30)))
        say(state(window, task))
    time.sleep(60)  # to be killed


if __name__ == "__main__":
    main(*sys.argv[1:])
