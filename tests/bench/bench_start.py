"""From the command to a window that says what is true, beside a bare window of the same libraries.

Run by hand: python tests/bench/bench_start.py [ROUNDS]. Each start is a process of its own; the two
kinds take turns. In ours four moments are told, each as painted: the first panel (as yet without
any figure), every card with its figure, whether the vehicle holds, and the whole frame with how
long it stands and the next step in words. Out: medians, and their ratios to the bare window's
first paint, by the clock and by what the processor did; the second hardly depends on what else the
machine does.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
ROOT = Path(__file__).parents[2]

BARE = """
import time
import pyqtgraph
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QMainWindow
app = QApplication([])
window = QMainWindow()
plot = pyqtgraph.PlotWidget()
window.setCentralWidget(plot)
class Watch(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            app.postEvent(self, QEvent(QEvent.Type.User))
        return False
    def event(self, event):
        if event.type() == QEvent.Type.User:
            print("bare", time.time(), time.process_time(), flush=True)
            app.exit()
        return True
watch = Watch()
plot.viewport().installEventFilter(watch)
window.resize(1366, 800)
window.show()
app.exec()
"""
OURS = """
import gc, sys, time
gc.disable()  # as the command does
sys.argv = ["fusemap", "--demo", "family_estate"]
from fusemap import __main__ as command
command.load_first()  # what the command loads before Qt
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication
from fusemap.window import app as start
from fusemap.window.panel.panel_model import LOOK
open_first, event = start.open_first, start.MainWindow.event
def watched_open(window, file, demo):
    open_first(window, file, demo)
    window.resize(1366, 800)
    window.watch = Watch(window)
def watched_event(window, told):
    done = event(window, told)
    if told.type() == QEvent.Type.UpdateRequest and hasattr(window, "watch"):
        window.watch.tell()  # what was to be painted is painted
    return done
start.open_first, start.MainWindow.event = watched_open, watched_event
class Watch(QObject):
    def __init__(self, window):
        super().__init__(window)
        self.frame, self.told = window.frame_, set()
        self.view = window.work.panels.current_view()
        self.view.viewport().installEventFilter(self)
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            QApplication.postEvent(self, QEvent(QEvent.Type.User))
            self.told.add("seen")
        return False
    def event(self, event):
        if event.type() == QEvent.Type.User:
            self.tell()
        return True
    def tell(self):
        for name, there in self.moments():
            if there and name not in self.told:
                self.told.add(name)
                print(name, time.time(), time.process_time(), flush=True)
        if "whole" in self.told:
            QApplication.exit()
    def moments(self):
        cells = self.frame.verdict.cells
        yield "panel", "seen" in self.told
        if "cards" not in self.told:
            model = self.view.model()
            looks = [model.index(row, column).data(LOOK)
                     for row in range(model.rowCount()) for column in range(model.columnCount())]
            yield "cards", all(look.assessed for look in looks if look is not None)
        yield "holds", cells["holds"].reckoned
        yield "whole", (all(cell.reckoned for cell in cells.values())
                        and self.frame.rail.next.words is not None)
command.main()
"""
WORDS = {
    "panel": "first painted panel, no figure yet",
    "cards": "every card with its figure",
    "holds": "whether it holds",
    "whole": "how long it stands, and the next step",
}
CACHE = tempfile.TemporaryDirectory(prefix="fusemap-bench-")


def once(code: str) -> dict[str, tuple[float, float]]:
    """Seconds from starting a process to each moment that it tells: passed, and worked."""
    env = {
        **os.environ,
        "PYTHONPYCACHEPREFIX": CACHE.name,
        "FUSEMAP_SETTINGS_DIR": tempfile.mkdtemp(dir=CACHE.name),
    }
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    began = time.time()
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, env=env, check=False
    )
    told = (line.split() for line in done.stdout.splitlines())
    return {name: (float(at) - began, float(worked)) for name, at, worked in told}


def main() -> None:
    """Print each moment in seconds, and beside the bare window."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    for code in (BARE, OURS):
        once(code)
    bare, ours = [], []
    for _ in range(rounds):
        bare.append(once(BARE)["bare"])
        ours.append(once(OURS))
    beside = [statistics.median(each) for each in zip(*bare, strict=True)]
    print(f"bare window: {beside[0]:.2f} s, {beside[1]:.2f} s of work")
    for name, words in WORDS.items():
        taken = [statistics.median(each[name][k] for each in ours) for k in (0, 1)]
        print(
            f"{words}: {taken[0]:.2f} s, {taken[0] / beside[0]:.2f} x; "
            f"work {taken[1] / beside[1]:.2f} x"
        )


if __name__ == "__main__":
    main()
