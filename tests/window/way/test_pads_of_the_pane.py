"""In the pane the way passes under the pads it visits, and over no other one."""

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF
from PySide6.QtGui import QPainterPath, QPainterPathStroker

from fusemap.vehicle import Vehicle
from fusemap.window.way.way_overlay import PAD, WayOverlay
from tests.window.all_pages import settle
from tests.window.keyboard_hands import opened
from tests.window.more_pages import TRADE


@pytest.mark.parametrize("made", TRADE, ids=lambda made: made.__name__)
def test_the_way_covers_no_pad_of_the_pane(qtbot: Any, made: Callable[[], Vehicle]) -> None:
    window = opened(qtbot, made())
    way = window.findChild(WayOverlay)
    assert way is not None
    looked_at = 0
    for tap in window.document.vehicle.taps:
        window.document.select("tap", tap.id)
        settle()
        way.refresh()
        for drawn in way.drawn:
            visited = {key for _, key in drawn.route.stops}
            line = QPainterPath(QPointF(*drawn.route.points[0]))
            for point in drawn.route.points[1:]:
                line.lineTo(QPointF(*point))
            band = QPainterPathStroker().createStroke(line)
            for key, middle in pads(way):
                inside = QRectF(middle, middle).adjusted(-PAD / 4, -PAD / 4, PAD / 4, PAD / 4)
                if band.intersects(inside):
                    looked_at += 1
                    assert key in visited, (tap.id, key)
            assert [key for _, key in drawn.route.stops].count("battery") <= 1, tap.id
    assert looked_at > 2 or not window.document.vehicle.taps


def pads(way: WayOverlay) -> list[tuple[str, QPointF]]:
    """Every station of the pane with the middle of its pad, where the way is drawn."""
    pane: Any = way._pane
    shift = QPointF(pane.mapTo(way._page, QPoint(0, 0)))
    return [(key, middle + shift) for key, middle in pane.station_places()]
