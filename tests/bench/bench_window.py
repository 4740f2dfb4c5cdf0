"""Start, memory and edit-to-repaint of the window, beside a bare window of the same libraries.

Run by hand: python tests/bench/bench_window.py. Each start is a process of its own, so that nothing
is warm but the modules' compiled form, as after a program's first start; the two kinds take turns.
"""

import gc
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from PySide6.QtCore import QEvent, QObject  # noqa: E402
from PySide6.QtWidgets import QWidget  # noqa: E402

BARE = """
import pyqtgraph
from PySide6.QtWidgets import QApplication, QMainWindow
app = QApplication([])
window = QMainWindow()
watched = pyqtgraph.PlotWidget()
window.setCentralWidget(watched)
"""
OURS = """
from PySide6.QtWidgets import QApplication
app = QApplication([])
from fusemap.window.app import make_window, open_first
window = make_window()
open_first(window, None, "family_estate")
watched = window.work.panels.current_view()
"""
TAIL = """
import resource
from PySide6.QtCore import QEvent, QObject
class Watch(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            app.postEvent(self, QEvent(QEvent.Type.User))
        return False
    def event(self, event):
        if event.type() == QEvent.Type.User:
            print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, flush=True)
            app.exit()
        return True
watch = Watch()
watched.viewport().installEventFilter(watch)
window.resize(1366, 800)
window.show()
app.exec()
"""


CACHE = tempfile.TemporaryDirectory(prefix="fusemap-bench-")


def once(code: str) -> tuple[float, float]:
    """Seconds from starting a process to its first painted panel or plot, and megabytes then."""
    env = {**os.environ, "PYTHONPYCACHEPREFIX": CACHE.name}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    start = time.perf_counter()
    child = subprocess.Popen(
        [sys.executable, "-c", code + TAIL], stdout=subprocess.PIPE, text=True, cwd=ROOT, env=env
    )
    assert child.stdout is not None
    said = child.stdout.readline()
    seconds = time.perf_counter() - start
    child.kill()
    child.wait()
    return seconds, float(said)


def starts(rounds: int = 7) -> None:
    """Print start and memory as ratios to the bare window."""
    taken: dict[str, list[tuple[float, float]]] = {"bare": [], "ours": []}
    for code in (BARE, OURS):
        once(code)
    for _ in range(rounds):
        taken["bare"].append(once(BARE))
        taken["ours"].append(once(OURS))
    bare = [statistics.median(column) for column in zip(*taken["bare"], strict=True)]
    ours = [statistics.median(column) for column in zip(*taken["ours"], strict=True)]
    print(f"start: ours {ours[0]:.2f} s, bare {bare[0]:.2f} s: {ours[0] / bare[0]:.2f} x")
    print(f"memory: ours {ours[1]:.0f} MB, bare {bare[1]:.0f} MB: {ours[1] / bare[1]:.2f} x")


class Painted(QObject):
    """Which of some widgets are not painted yet since `wait_for`, and when the last one was."""

    def __init__(self) -> None:
        super().__init__()
        self.missing: list[QWidget] = []
        self.since = 0.0

    def wait_for(self, parts: tuple[QWidget, ...]) -> None:
        """From now on."""
        self.missing, self.since = list(parts), 0.0
        for part in parts:
            part.installEventFilter(self)

    def look(self) -> None:
        """Note the moment when nothing is missing any more."""
        if not self.missing and not self.since:
            self.since = time.perf_counter()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Told before it is painted: whoever waits looks again when the event is over."""
        if event.type() == QEvent.Type.Paint and watched in self.missing:
            self.missing.remove(watched)
            watched.removeEventFilter(self)
        return False


def edits() -> None:
    """Print how long an edit takes until lid and pane are painted with what it changed.

    Another fuse changes nothing that draws while parked; another load asks for a new forecast. To
    hold them against: the same window painted anew without an edit, in turns with them. Each comes
    when the one before is reckoned to its end, as from a hand that types.
    """
    from PySide6.QtWidgets import QApplication

    from fusemap.vehicle import Fuse, edits
    from fusemap.window.document import Document
    from fusemap.window.main_window import MainWindow
    from fusemap.window.settings import Settings
    from tests.vehicles import large

    app = QApplication.instance() or QApplication([])
    painted = Painted()

    class Watched(MainWindow):
        def event(self, event: QEvent) -> bool:
            done = super().event(event)
            painted.look()  # whatever was asked to be painted is
            return done

    def rest(seconds: float) -> None:
        until = time.perf_counter() + seconds
        while time.perf_counter() < until:
            app.processEvents()
            time.sleep(0.001)

    window = Watched(Document(), Settings())
    window.resize(1366, 800)
    window.show()
    window.document.set_vehicle(large(), None)
    slots = [s.id for panel in window.document.vehicle.panels for s in panel.slots]
    accessory = window.document.vehicle.accessories[0].id
    window.document.select("slot", slots[0])
    rest(2.0)
    gc.freeze()  # as the program does once its window stands
    lid, pane = window.work.panels.current_view().viewport(), window.work.lid.pane.pane

    def rate(n: int) -> None:
        fuse = Fuse(family="mini", rating=(10.0, 15.0, 20.0, 25.0)[(n + 1) % 4])
        window.document.apply("Rating", edits.change_slot, slots[0], fuse=fuse)

    def draw(n: int) -> None:
        standby_a = 0.001 + 1e-5 * (n + 1)
        window.document.apply("Load", edits.change_accessory, accessory, standby_a=standby_a)

    def again(_n: int) -> None:
        lid.update()
        pane.update()

    what = {
        "painted anew": (again, (lid, pane)),
        "a fuse": (rate, (lid, pane)),
        "what draws while parked": (draw, (pane,)),
    }
    times: dict[str, list[float]] = {name: [] for name in what}
    for n in range(60):
        for name, (edit, parts) in what.items():
            painted.wait_for(parts)
            start = time.perf_counter()
            edit(n)
            while not painted.since:
                app.processEvents()
            times[name].append((painted.since - start) * 1e3)
            rest(0.3)
    plain = statistics.median(times["painted anew"])
    for name, took in times.items():
        took.sort()
        print(f"edit to repaint, {name}: median {statistics.median(took):.1f} ms, "
              f"p95 {took[int(0.95 * len(took))]:.1f} ms, "
              f"{statistics.median(took) / plain:.1f} x a repaint")  # fmt: skip
    window.document.stack.setClean()


if __name__ == "__main__":
    starts()
    edits()
