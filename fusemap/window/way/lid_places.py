"""Where things on the lid stand, for the way: from the widgets of a page to boxes and points.

In: a page of the panels and the widget whose coordinates are wanted. Out: what `route` is asked
with. Nothing here decides where the way runs.
"""

from PySide6.QtCore import QModelIndex, QPoint, QPointF, QRectF
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QWidget

from fusemap.vehicle import BATTERY, look_up
from fusemap.vehicle.words import FeedClass
from fusemap.window.panel.card_places import Places
from fusemap.window.panel.panel_delegate import shown_as
from fusemap.window.panel.panel_page import PanelPage
from fusemap.window.panel.panel_pages import PanelPages, rim_of
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.panel.slot_paint import SlotPainter
from fusemap.window.style.theme import space
from fusemap.window.way.course import Leg
from fusemap.window.way.route import UNKNOWN, Box, Lid, Point, Seat, Stop, Tapped


def box_of(place: QRectF) -> Box:
    """A rectangle of Qt."""
    return Box(place.left(), place.top(), place.right(), place.bottom())


def rect_of(box: Box) -> QRectF:
    """The same back."""
    return QRectF(QPointF(box.left, box.top), QPointF(box.right, box.bottom))


def _shift(widget: QWidget, on: QWidget) -> QPointF:
    return QPointF(widget.mapTo(on, QPoint(0, 0)))


def lid_on(panels: PanelPages, page: PanelPage, on: QWidget) -> Lid:
    """The lid with its lanes."""
    view, strip = page.view, page.strip
    rim = QRectF(panels.rect()).translated(_shift(panels, on))
    field = QRectF(view.viewport().rect()).translated(_shift(view.viewport(), on))
    beside = _shift(strip, on)
    edge, air = float(rim_of(panels)), float(space(page, "small"))
    return Lid(
        rim=box_of(rim),
        field=box_of(field),
        lane=field.left() - air,
        bus=beside.x() + strip.bus,
        ceiling=beside.y() + strip.ceiling,
        inner=(field.right() + rim.right() - edge) / 2,
        edge=air,
    )


def places_of(view: PanelView, index: QModelIndex) -> Places:
    """The places on a card, in coordinates of the viewport."""
    unit = QFontMetricsF(view.delegate.font(view.font())).height()
    return Places.on(QRectF(view.visualRect(index)), unit)


def seat_on(view: PanelView, slot_id: str, on: QWidget) -> tuple[Seat, Tapped] | None:
    """A slot as it stands on the screen; `None` where it is on another panel."""
    index = view.panel_model.index_of(slot_id)
    look = view.panel_model.look(index)
    if look is None:
        return None
    shift, at = _shift(view.viewport(), on), places_of(view, index)
    orientation, side = shown_as(index, look)
    cell = QRectF(view.visualRect(index)).translated(shift)
    seat = Seat(
        cell=box_of(cell),
        column=box_of(at.fuse.translated(shift)),
        fuse=box_of(at.body(orientation).translated(shift)),
        mark=box_of(at.feed.translated(shift)),
        words_below=at.shape == "below",
    )
    return seat, Tapped(side)


def source_on(page: PanelPage, leg: Leg, on: QWidget) -> tuple[list[Stop], int | None]:
    """The stops in the strip, and the row at which the way leaves it."""
    strip, vehicle = page.strip, page.document.vehicle
    if not strip.rows:
        return [], None
    shift = _shift(strip, on)

    def at(row: int) -> Point:
        place = strip.station(row) + shift
        return Point(place.x(), place.y())

    slot = None if leg.slot is None else look_up.slot(vehicle, leg.slot)
    if not leg.known:
        row = strip.row_for(None)
        return ([], None) if row is None else ([Stop(UNKNOWN, at(row))], row)
    stops, last = [Stop("battery", at(0))], 0
    feed_class: FeedClass | None = None if slot is None else slot.feed_class
    for feed in leg.feeds:
        row = strip.row_for(feed, feed_class if feed == leg.feeds[-1] else None)
        last = last if row is None else row
        stops.append(Stop(f"feed:{feed}", at(last)))
    if slot is not None and slot.feed == BATTERY:
        row = strip.row_for(BATTERY, feed_class)
        if row is not None:
            last = row
            stops.append(Stop("", at(row)))
    return stops, last


def paint_seat(painter_of: SlotPainter, view: PanelView, slot_id: str) -> None:
    """Fuse, feed mark and the verdict's shape of a slot, once more above the way."""
    index = view.panel_model.index_of(slot_id)
    look = view.panel_model.look(index)
    if look is not None and look.slot.kind == "fuse":
        orientation, side = shown_as(index, look)
        painter_of.stations(places_of(view, index), look, orientation, side)
