"""What the tests of the window share: a small invented vehicle, its document, a window."""

from collections.abc import Callable
from typing import Any

import pytest

from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Fuse, StateLoads, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.settings import Settings
from fusemap.window.style.theme import LIGHT

MEASURED = {"asleep": 0.0, "awake": 0.0, "accessory": 0.0, "ignition": 2.0, "running": 3.0}


def _slot(vehicle: Vehicle, slot_id: str, rating: float | None, **fields: Any) -> Vehicle:
    """The vehicle with one slot filled in."""
    fuse = None if rating is None else Fuse(family="mini", rating=rating)
    return edits.change_slot(vehicle, slot_id, fuse=fuse, **fields)


@pytest.fixture
def van() -> Vehicle:
    """Two rows of four and an engine bay: radio, sockets, airbags, a gap, a relay, a dash cam."""
    v = edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 4)
    v = edits.add_panel(v, "Engine bay", 1, 2, family="maxi", place="engine_bay")
    loads = StateLoads(**MEASURED)
    v = _slot(v, "slot-1", 10, circuit="Radio", feed_class="accessory", own_load=loads)
    v = _slot(v, "slot-2", 15, circuit="12 V socket", feed_class="ignition", own_load=loads,
             live_side="left")  # fmt: skip
    v = _slot(v, "slot-3", 7.5, circuit="Airbags", feed_class="ignition", critical=True,
             critical_reason="airbags")  # fmt: skip
    v = _slot(v, "slot-4", 20, circuit="Horn", feed_class="permanent", own_load=loads)
    v = _slot(v, "slot-5", None, circuit="", feed_class="unfed")
    v = edits.change_slot(v, "slot-6", kind="relay", label="R1", circuit="Starter relay")
    v = edits.remove_slot(v, "slot-7")
    v = _slot(v, "slot-8", 5, circuit="Clock", feed_class="ignition", own_load=loads)
    v = edits.add_accessory(v, "Dash cam", watts=6.0)
    v = edits.add_accessory(v, "Cool box", watts=45.0, needs="switched")
    return edits.place(v, "accessory-1", slot="slot-1", fuse=Fuse(family="mini", rating=3))


@pytest.fixture
def document(qapp: Any, van: Vehicle) -> Document:
    return Document(van)


@pytest.fixture
def refused(document: Document) -> list[str]:
    """What the document refused, in words."""
    told: list[str] = []
    document.refused.connect(lambda error: told.append(str(error).replace(NARROW_SPACE, " ")))
    return told


@pytest.fixture
def pages(document: Document, qtbot: Any) -> PanelPages:
    """The panels' pages on the screen."""
    pages = PanelPages(document, LIGHT)
    qtbot.addWidget(pages)
    pages.resize(900, 600)
    pages.show()
    qtbot.waitExposed(pages)
    return pages


@pytest.fixture
def make(qtbot: Any) -> Callable[[], MainWindow]:
    """Makes windows without a vehicle."""

    def make() -> MainWindow:
        window = MainWindow(Document(), Settings())
        # Whatever a test leaves unsaved is given up with it.
        qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
        with qtbot.waitExposed(window):
            window.show()
        window.activateWindow()
        return window

    return make


@pytest.fixture
def window(make: Callable[[], MainWindow]) -> MainWindow:
    return make()


@pytest.fixture
def opened(window: MainWindow, qtbot: Any) -> MainWindow:
    """The window with a demo vehicle in it, and the keyboard on its panel."""
    window.resize(1200, 800)
    window.files.open_demo("")
    qtbot.waitUntil(lambda: window.work is not None and window.work.focused_pane() == "panel")
    return window
