"""Paint of the panel beside a plain table of the same size, with and without the current's way.

Run: python tests/bench/bench_lid.py. Prints medians, 95th percentiles and ratios of one run, in
time of the processor, so that what else runs on the machine counts little.
"""

import os
import statistics
import time

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication, QHBoxLayout, QTableWidget, QTableWidgetItem, QWidget

from fusemap.files.demos import read_demo
from fusemap.window.document import Document
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.style.theme import LIGHT, apply_theme
from fusemap.window.way.way_overlay import WayOverlay

SIZE = (1000, 580)


def painted(widget: QWidget, rounds: int = 100) -> tuple[float, float]:
    """Median and 95th percentile of a repaint [ms of processor time]."""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        widget.repaint()
        times.append((time.process_time() - start) * 1e3)
    times.sort()
    return statistics.median(times), times[int(0.95 * rounds)]


def main() -> None:
    """Print both, and what the way adds."""
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    apply_theme(app, LIGHT)
    plain = QTableWidget(6, 6)
    for row in range(6):
        for column in range(6):
            plain.setItem(row, column, QTableWidgetItem("Climate control panel 121 %"))
    document = Document(read_demo("family_estate"))
    _ = document.assessment
    page = QWidget()
    row_of = QHBoxLayout(page)
    panels = PanelPages(document, LIGHT)
    row_of.addWidget(panels)
    for widget in (plain, page):
        widget.resize(*SIZE)
        widget.show()
    view = panels.current_view()
    assert view is not None

    def settle() -> None:
        for _ in range(10):
            app.processEvents()

    settle()
    bare, cards = painted(plain.viewport()), painted(view.viewport())
    WayOverlay(page, panels)
    document.select("tap", document.vehicle.taps[2].id)
    settle()
    way = painted(view.viewport())
    for name, (median, p95) in (("plain table", bare), ("panel", cards), ("with the way", way)):
        print(f"{name}: median {median:.2f} ms, p95 {p95:.2f} ms, {median / bare[0]:.1f} x plain")


if __name__ == "__main__":
    main()
