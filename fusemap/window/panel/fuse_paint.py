"""How a fuse in its place is drawn: the body on its standard's colour, the windows at which it is
tested, the arrow at its live side; and the places where there is none.

In: the places on a card; out: paint.
"""

from typing import Final

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen, QPolygonF

from fusemap import tables
from fusemap.vehicle import Slot
from fusemap.vehicle.words import LiveSide, Orientation
from fusemap.window.panel.card_places import Places
from fusemap.window.panel.card_words import narrowed
from fusemap.window.style.letters import scaled_font
from fusemap.window.style.theme import Theme

ROOM: Final = 0.94
"""Share of a body that its rating may take up."""
_MIDDLE: Final = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextSingleLine


class FusePainter(Struct, frozen=True):
    """Draws fuses with one painter, theme and font."""

    painter: QPainter
    theme: Theme
    font: QFont

    def paint(self, at: Places, slot: Slot, orientation: Orientation, side: LiveSide) -> None:
        """The fuse or its empty place, and the arrow at its live side, as seen on the screen."""
        body = at.body(orientation)
        if slot.fuse is None:
            self._body(body, at.unit, self.theme.colour("sealed"), self.theme.colour("frame"))
            self._slits(body, orientation)
        else:
            fill, ink = fuse_colours(slot.family, slot.fuse.rating, self.theme)
            self._body(body, at.unit, fill, rim_of(fill))
            self._windows(body, orientation, at.unit, ink)
            share_ = 0.86 if orientation == "lying" or at.shape == "flat" else 0.5
            large = scaled_font(self.font, min(1.05, body.height() / at.unit * share_), bold=True)
            rating = self.theme.style.number(slot.fuse.rating)
            self.painter.setFont(narrowed(large, rating, body.width() * ROOM))
            self.painter.setPen(ink)
            self.painter.drawText(body, _MIDDLE, rating)
        if side != "unknown":
            self._live_arrow(body, side, at.unit, flat=at.shape == "flat")

    def _body(self, body: QRectF, unit: float, fill: QColor, rim: QColor) -> None:
        self.painter.setPen(QPen(rim, max(1.0, unit * 0.07)))
        self.painter.setBrush(fill)
        self.painter.drawRoundedRect(body, unit * 0.22, unit * 0.22)

    def _windows(self, body: QRectF, orientation: Orientation, unit: float, ink: QColor) -> None:
        """The two windows at which a fuse is tested, at its contacts."""
        long, flat = unit * 0.55, unit * 0.15
        painter, pale = self.painter, QColor(ink)
        pale.setAlphaF(0.75)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pale)
        along = body.height() if orientation == "upright" else body.width()
        if along < unit * 1.7:
            return
        off = unit * 0.26
        for near in (True, False):
            window = QRectF(0, 0, long, flat)
            window.moveCenter(body.center())
            if orientation == "upright":
                y = body.top() + off if near else body.bottom() - off
                window.moveCenter(QPointF(body.center().x(), y))
            else:
                window = QRectF(0, 0, flat, long)
                x = body.left() + off * 0.7 if near else body.right() - off * 0.7
                window.moveCenter(QPointF(x, body.center().y()))
            painter.drawRoundedRect(window, flat * 0.3, flat * 0.3)

    def _slits(self, body: QRectF, orientation: Orientation) -> None:
        """The two openings that the blades of a fuse would go into."""
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.theme.colour("frame"))
        for share_ in (0.25, 0.75):
            slit = QRectF(0, 0, body.width() * 0.4, body.height() * 0.09)
            middle = QPointF(body.center().x(), body.top() + body.height() * share_)
            if orientation == "lying":
                slit = QRectF(0, 0, body.width() * 0.09, body.height() * 0.4)
                middle = QPointF(body.left() + body.width() * share_, body.center().y())
            slit.moveCenter(middle)
            self.painter.drawRect(slit)

    def _live_arrow(self, body: QRectF, side: LiveSide, unit: float, *, flat: bool) -> None:
        """An arrow pointing into the body from its live side."""
        deep, half, middle = unit * 0.28, unit * 0.3, body.center()
        if flat:
            deep, half = unit * (0.16 if side in ("left", "right") else 0.09), unit * 0.28
        tip, out = {
            "left": (QPointF(body.left(), middle.y()), QPointF(-1, 0)),
            "right": (QPointF(body.right(), middle.y()), QPointF(1, 0)),
            "top": (QPointF(middle.x(), body.top()), QPointF(0, -1)),
            "bottom": (QPointF(middle.x(), body.bottom()), QPointF(0, 1)),
        }[side]
        tip += out * unit * (0.0 if flat else 0.04)
        back, along = tip + out * deep, QPointF(out.y(), out.x()) * half
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.theme.colour("text"))
        self.painter.drawPolygon(QPolygonF([tip, back + along, back - along]))

    def paint_none(self, at: Places, slot: Slot) -> None:
        """A relay with its coil and contact, or a blocked place, crossed out: no place to tap."""
        painter, body = self.painter, at.body("upright")
        pen = QPen(self.theme.colour("muted_text"), max(1.0, at.unit * 0.08))
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        inner = body.adjusted(body.width() * 0.2, body.height() * 0.2, -body.width() * 0.2,
                              -body.height() * 0.2)  # fmt: skip
        if slot.kind != "relay":
            painter.drawLine(inner.topLeft(), inner.bottomRight())
            painter.drawLine(inner.bottomLeft(), inner.topRight())
            return
        middle, coil = body.center().y(), QRectF(0, 0, body.width() * 0.5, body.height() * 0.36)
        coil.moveCenter(QPointF(body.left() + body.width() * 0.25, middle))
        painter.drawRect(coil)
        hinge = QPointF(body.right() - body.width() * 0.12, middle + body.height() * 0.22)
        painter.drawLine(hinge, hinge + QPointF(0, body.height() * 0.16))
        painter.drawLine(hinge, hinge + QPointF(-body.width() * 0.22, -body.height() * 0.34))
        top = QPointF(hinge.x(), middle - body.height() * 0.3)
        painter.drawLine(top, top + QPointF(0, body.height() * 0.12))


def rim_of(fill: QColor) -> QColor:
    """The rim of a fuse's body: its colour, darker by 28 %."""
    return QColor.fromRgbF(*(part * 0.72 for part in (fill.redF(), fill.greenF(), fill.blueF())))


def fuse_colours(family: str, rating: float, theme: Theme) -> tuple[QColor, QColor]:
    """Fill and ink of a fuse; plain where the standard gives it no colour."""
    known = tables.fuse_colour(family, rating)
    if known is None:
        return theme.colour("slot"), theme.colour("text")
    return QColor(known.hex), QColor(known.text_hex)
