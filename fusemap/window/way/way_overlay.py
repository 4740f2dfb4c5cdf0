"""The current's way over lid, lane and pane: one transparent widget that takes no mouse.

In: the page it lies on, the panels, and the pane with the stations of what is chosen. Out: paint
alone. What is drawn follows what the document says is chosen, or what is in hand over a slot. The
way runs where no card is; on the chosen card fuse, feed mark and the verdict's shape are painted
once more above it, and the pads of the pane are left out, so that it passes under all of them.
"""

from typing import Final, Protocol

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import (
    QEasingCurve,
    QEvent,
    QObject,
    QPoint,
    QPointF,
    QRectF,
    QSizeF,
    Qt,
    QVariantAnimation,
)
from PySide6.QtGui import (
    QFontInfo,
    QFontMetricsF,
    QGuiApplication,
    QPainter,
    QPaintEvent,
    QRegion,
)
from PySide6.QtWidgets import QApplication, QLineEdit, QStyle, QWidget

from fusemap.errors import EditRefused
from fusemap.vehicle import look_up
from fusemap.window.panel.panel_drop import Payload, Stuck, put_on
from fusemap.window.panel.panel_page import PanelPage
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.panel.slot_paint import SlotPainter
from fusemap.window.parts.later import Later
from fusemap.window.way.course import Leg, leg_of, legs, slot_leg
from fusemap.window.way.lid_places import (
    box_of,
    lid_on,
    paint_seat,
    places_of,
    seat_on,
    source_on,
)
from fusemap.window.way.route import Box, Point, Route, Stop, Tapped, route, trimmed
from fusemap.window.way.way_paint import Kind, Line, paint_grommet, paint_line

DRAWN_MS: Final = 180
"""So long the way takes to be drawn along its length."""
EM: Final = 14
"""The font that sizes are given for [px]."""
WIDTH, LARGE, LARGE_FROM = 7.0, 9.0, 160.0
"""Breadth of the way; on pages at least so many font heights wide [px at a font of 14 px]."""
PAD: Final = 38.0
"""Edge of a station's pad in the pane [px at a font of 14 px]."""
IN_LID: Final = ("link", "battery", "feed", "host", "?")
"""How the keys of stations begin that stand in the lid and are not visited a second time."""


class Pane(Protocol):
    """What the way needs of the pane beside the lid: it is a widget, and these."""

    stations_moved: object

    def station_places(self) -> tuple[tuple[str, QPointF], ...]:
        """Key and middle of the pad of every station, top to bottom, in its own coordinates."""


class Drawn(Struct, frozen=True):
    """A leg as it is drawn: its route, its line, and the row of the strip it leaves at."""

    leg: Leg
    route: Route
    line: Line
    leaves: int | None


class WayOverlay(QWidget):
    """Lies over a page and shows the way of what is chosen on it."""

    def __init__(self, page: QWidget, panels: PanelPages, pane: QWidget | None = None) -> None:
        super().__init__(page)
        self._page, self._panels, self._pane = page, panels, pane
        self.drawn: tuple[Drawn, ...] = ()
        self._chosen: tuple[object, ...] = ()
        self._shown = 1.0
        self._tried: tuple[tuple[object, ...], Leg | None] | None = None
        self.animated = True
        self.setObjectName("wayOverlay")
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_NoSystemBackground)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._soon = Later(self.refresh, self)
        self._motion = QVariantAnimation(self)
        self._motion.setDuration(DRAWN_MS)
        self._motion.setStartValue(0.0)
        self._motion.setEndValue(1.0)
        self._motion.setEasingCurve(QEasingCurve.Type.OutCubic)
        self._motion.valueChanged.connect(self._grow)
        document = panels.document
        placing = panels.placing
        for told in (document.selected, document.changed, panels.moved, placing.changed,
                     placing.waits):  # fmt: skip
            told.connect(self._later)
        moved = getattr(pane, "stations_moved", None)
        if moved is not None:
            moved.connect(self._later)
        page.installEventFilter(self)
        self.setGeometry(page.rect())
        self.raise_()
        self.show()
        self._later()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """As large as the page, and above all that is put onto it."""
        if watched is self._page and event.type() in (
            QEvent.Type.Resize, QEvent.Type.Show, QEvent.Type.LayoutRequest
        ):  # fmt: skip
            self.setGeometry(self._page.rect())
            self.raise_()
            self._later()
        return False

    def _later(self, *_: object) -> None:
        self._soon.start()

    # --- what is drawn --------------------------------------------------------------------------

    def refresh(self) -> None:
        """Find the ways of what is chosen now, and repaint what differs."""
        page = self._panels.current_page()
        made: tuple[Drawn, ...] = ()
        if page is not None and self.isVisible() and page.view.isVisible():
            made = tuple(each for each in self._made(page) if len(each.route.points) > 1)
        if made == self.drawn:
            return
        old, self.drawn = self.drawn, made
        chosen = tuple((each.leg.slot, each.leg.tap, each.line.kind) for each in made)
        if chosen != self._chosen:
            self._chosen = chosen
            self._start(chosen)
        region = QRegion()
        for each in (*old, *made):
            region += each.line.outline
        self.update(region)

    def _made(self, page: PanelPage) -> list[Drawn]:
        placing = self._panels.placing
        if placing.active:
            leg = self._in_hand(page)
            return [] if leg is None else self._drawn(page, leg, "preview", 0.0)
        if placing.waiting is not None:
            leg = self._waiting(placing.waiting)
            return self._drawn(page, leg, "preview", 0.0)
        document = self._panels.document
        found: list[Drawn] = []
        for leg in legs(document.vehicle, document.selection):
            kind: Kind = "fitted" if leg.lead == "power" else "sense"
            # the sense lead lies below the supply
            found = [*self._drawn(page, leg, kind, 1.0 if found else 0.0), *found]
        return found

    def _waiting(self, stuck: Stuck) -> Leg:
        """The way to a slot of which nobody knows from where it is supplied."""
        slot = look_up.slot(self._panels.document.vehicle, stuck.slot_id)
        return replace(slot_leg(self._panels.document.vehicle, slot), known=False, feeds=())

    def _in_hand(self, page: PanelPage) -> Leg | None:
        """The way that what is in hand would take from the slot under the pointer."""
        placing, view = self._panels.placing, page.view
        slot = view.panel_model.slot(view.pointed())
        offer = None if slot is None else placing.offers.get(slot.id)
        payload, accessory = placing.payload, placing.accessory
        if slot is None or offer is None or payload is None or accessory is None:
            return None
        document = self._panels.document
        vehicle = document.vehicle
        if not offer.fits:
            rules = offer.candidate.rules
            if rules != ("unknown",):
                return None
            return slot_leg(vehicle, slot, tap="?", accessory=accessory.id, lead=payload.lead)
        asked = (vehicle, payload, slot.id)
        if self._tried is None or self._tried[0] != asked:
            self._tried = (asked, self._would_be(payload, slot.id))
        return self._tried[1]

    def _would_be(self, payload: Payload, slot_id: str) -> Leg | None:
        """The way once what is in hand is on this slot."""
        document = self._panels.document
        try:
            style = self._panels.theme.style
            after = put_on(document.vehicle, document.assessment, payload, slot_id, style)
        except EditRefused:
            return None
        placed = payload.accessory or after.accessories[-1].id
        tap = look_up.tap_of(after, placed, payload.lead)
        return None if tap is None else leg_of(after, tap)

    def _drawn(self, page: PanelPage, leg: Leg, kind: Kind, aside: float) -> list[Drawn]:
        if not leg.fed:
            return []
        source, leaves = source_on(page, leg, self._page)
        seated = None if leg.slot is None else seat_on(page.view, leg.slot, self._page)
        if not source or (leg.slot is not None and seated is None):
            return []
        width = self._width(page)
        seat, tapped = seated or (None, None)
        if tapped is not None:
            tapped = Tapped(tapped.side, through=leg.through, ends=not leg.tap)
        found = route(
            lid_on(self._panels, page, self._page),
            source,
            seat,
            tapped,
            goal=self._goal(leg),
            pane=self._pane_box(),
            aside=aside * width,
        )
        line = Line(found.points, kind if leg.known else "open", width)
        return [Drawn(leg, found, line, leaves)]

    def _width(self, page: PanelPage) -> float:
        """How broad the way is: the gutter holds it with air on both sides."""
        em = QFontInfo(self.font()).pixelSize() / EM
        large = self._page.width() >= LARGE_FROM * EM * em
        unit = QFontMetricsF(page.view.delegate.font(page.view.font())).height()
        return max(3.0, min((LARGE if large else WIDTH) * em, unit * 0.66 - 3.0))

    def _goal(self, leg: Leg) -> list[Stop]:
        """What it visits in the pane: all that does not stand in the lid, from the tap to earth."""
        if not leg.tap or self._pane is None or not self._pane.isVisible():
            return []
        shift = QPointF(self._pane.mapTo(self._page, QPoint(0, 0)))
        seen = self._seen_of_pane()
        found = []
        for key, place in getattr(self._pane, "station_places")():  # noqa: B009
            if key.startswith(IN_LID) or (leg.lead == "sense" and key != "device"):
                continue
            at = place + shift
            # what is scrolled away is led to the edge of what is seen
            y = min(max(at.y(), seen.top()), seen.bottom())
            found.append(Stop(key, Point(at.x(), y)))
        return found

    def _seen_of_pane(self) -> QRectF:
        """What of the pane shows stations, in coordinates of the page: it may be scrolled."""
        scroller = getattr(self._pane, "scroller", None)
        widget = self._pane if scroller is None else scroller.viewport()
        if widget is None or not widget.isVisible():
            return QRectF()
        return QRectF(QPointF(widget.mapTo(self._page, QPoint(0, 0))), QSizeF(widget.size()))

    def _pane_box(self) -> Box | None:
        if self._pane is None or not self._pane.isVisible():
            return None
        shift = QPointF(self._pane.mapTo(self._page, QPoint(0, 0)))
        return box_of(QRectF(self._pane.rect()).translated(shift))

    # --- motion ---------------------------------------------------------------------------------

    def _start(self, chosen: tuple[object, ...]) -> None:
        self._motion.stop()
        self._shown = 1.0
        if self.animated and chosen and moves():
            self._shown = 0.0
            self._motion.start()

    def _grow(self, share: object) -> None:
        self._shown = float(share)  # type: ignore[arg-type]
        region = QRegion()
        for each in self.drawn:
            region += each.line.outline
        self.update(region)

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ways, and above them what they pass under."""
        page = self._panels.current_page()
        touched = [
            each for each in self.drawn
            if event.region().intersects(each.line.outline)
        ]  # fmt: skip
        if page is None or not touched:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setClipRegion(event.region() - self._pads() - self._relays(page)
                              - self._typed_on(page))  # fmt: skip
        for each in touched:
            points = trimmed(each.route.points, self._shown)
            paint_line(painter, each.line, points, self._panels.theme)
            if each.route.grommet is not None and self._shown >= 1:
                paint_grommet(painter, each.route.grommet, each.line.width, self._panels.theme)
        for each in touched:
            self._paint_stations(painter, page, each, event.region())
        painter.end()

    def _typed_on(self, page: PanelPage) -> QRegion:
        """The line that is open on a card: what is typed there is read while it is typed."""
        view = page.view
        line = view.viewport().findChild(QLineEdit, "slotEntry")
        if line is None or not line.isVisible():
            return QRegion()
        return QRegion(line.rect().translated(line.mapTo(self._page, QPoint(0, 0))))

    def _relays(self, page: PanelPage) -> QRegion:
        """The relays larger than one place: the way goes on beneath them."""
        view, covered = page.view, QRegion()
        shift = view.viewport().mapTo(self._page, QPoint(0, 0))
        for block in view.panel_model.blocks():
            cards = [places_of(view, view.panel_model.index(*cell)).card for cell in block]
            whole = cards[0]
            for each in cards[1:]:
                whole |= each
            covered += whole.translated(QPointF(shift)).toAlignedRect()
        # what is scrolled out of sight covers nothing
        return covered & QRegion(view.viewport().rect().translated(shift))

    def _pads(self) -> QRegion:
        """The pads of the pane that ways visit."""
        half = PAD / 2 * QFontInfo(self.font()).pixelSize() / EM
        pads = QRegion()
        for each in self.drawn:
            for corner, key in each.route.stops:
                if key in each.leg.source or key in each.leg.at_slot:
                    continue
                x, y = each.route.points[corner]
                pads += QRectF(x - half, y - half, 2 * half, 2 * half).toAlignedRect()
        return pads

    def _paint_stations(
        self, painter: QPainter, page: PanelPage, drawn: Drawn, seen: QRegion
    ) -> None:
        """What stands on the way: marks in the strip, fuse, feed mark and shape on the card."""
        strip, view = page.strip, page.view
        corner = strip.mapTo(self._page, QPoint(0, 0))
        if seen.intersects(strip.rect().translated(corner)):
            painter.save()
            painter.translate(corner)
            strip.paint_stations(painter, battery=drawn.leg.known, leaves=drawn.leaves)
            painter.restore()
        port = view.viewport()
        corner = port.mapTo(self._page, QPoint(0, 0))
        if drawn.leg.slot is None or not seen.intersects(port.rect().translated(corner)):
            return
        painter.save()
        painter.translate(corner)
        painter.setClipRect(port.rect(), Qt.ClipOperation.IntersectClip)
        font = view.delegate.font(view.font())
        paint_seat(SlotPainter(painter, self._panels.theme, font), view, drawn.leg.slot)
        painter.restore()


def moves() -> bool:
    """Whether things may move: not where it is asked to keep still, nor where nobody sees it."""
    style, hint = QApplication.style(), QStyle.StyleHint.SH_Widget_Animation_Duration
    return QGuiApplication.platformName() != "offscreen" and style.styleHint(hint) > 0
