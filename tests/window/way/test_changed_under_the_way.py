"""The strip has fewer rows than when the way was found: it is painted all the same."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QImage, QPainter, QRegion
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget

from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.feed_strip import FeedStrip
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.settings import Settings
from fusemap.window.way.way_overlay import WayOverlay


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    vehicle = edits.add_panel(Vehicle(name="Motorcycle"), "Box", 1, 1)
    vehicle = edits.add_feed(vehicle, "Ignition lock", limit_a=15.0)
    vehicle = edits.change_slot(vehicle, "slot-1", circuit="Everything", feed_class="ignition")
    window = MainWindow(Document(vehicle), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1500, 1000)
    with qtbot.waitExposed(window):
        window.show()
    window.show_work()
    window.document.select("slot", "slot-1")
    QTest.qWait(100)
    return window


def test_a_chosen_slot_loses_what_supplies_it_while_its_way_is_drawn(window: MainWindow) -> None:
    """A class stepped through with the arrow keys: an exception in a paint ends the program."""
    for feed_class in ("unfed", "ignition", "unknown", "permanent", "unfed"):
        window.document.apply("Class", edits.change_slot, "slot-1", feed_class=feed_class)
        QTest.qWait(60)
    assert window.document.vehicle.panels[0].slots[0].feed_class == "unfed"


def test_a_way_that_leaves_where_no_row_is_any_more_is_left_out(window: MainWindow) -> None:
    strip = window.findChildren(FeedStrip)[0]
    image = QImage(400, 400, QImage.Format.Format_ARGB32)
    painter = QPainter(image)
    strip.paint_stations(painter, battery=True, leaves=len(strip.rows))
    painter.end()


def test_the_way_is_not_painted_over_what_is_being_typed(window: MainWindow) -> None:
    """The feed mark of the chosen card lies where the line is: the rating has to be read there."""
    overlay = window.findChildren(WayOverlay)[0]
    view = window.findChildren(PanelView)[0]
    view.setFocus()

    def inked() -> bool:
        line = view.viewport().findChild(QLineEdit, "slotEntry")
        place = line.geometry() if line is not None else card
        place = place.translated(view.viewport().mapTo(window, QPoint(0, 0)) - at)
        image = QImage(overlay.size(), QImage.Format.Format_ARGB32)
        image.fill(0)
        overlay.render(image, QPoint(), QRegion(), QWidget.RenderFlag(0))
        piece = image.copy(place)
        return any(
            piece.pixelColor(x, y).alpha() > 0
            for x in range(piece.width()) for y in range(piece.height())
        )  # fmt: skip

    at = overlay.mapTo(window, QPoint(0, 0))
    card = view.visualRect(view.panel_model.index(0, 0))
    assert inked(), "nothing is painted on the card at all"
    QTest.keyClicks(view, "15")
    QTest.qWait(50)
    assert view.viewport().findChild(QLineEdit, "slotEntry") is not None
    assert not inked()
