"""Marks on paper that carry a meaning by shape and letter, never by colour alone. Our own drawings.

Severities: an octagon, a triangle, a disc. A padlock for critical, an eye for monitored, a tick
box, a number on black for an accessory. Lengths are dots of 1/1200 inch.
"""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from fusemap.shapes import regular_polygon
from fusemap.sheet.paint_text import INK, STOP, WHITE, draw_line, metrics, pt


def pen(width_pt: float, colour: str = INK, *, dashed: bool = False) -> QPen:
    """A pen of a width in points."""
    made = QPen(QColor(colour), pt(width_pt))
    made.setCapStyle(Qt.PenCapStyle.FlatCap)
    made.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if dashed:
        made.setDashPattern([4.0, 3.0])
    return made


def severity(painter: QPainter, place: QRectF, kind: str) -> None:
    """The mark of a severity in a square."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(STOP if kind == "stop" else INK))
    if kind == "stop":
        painter.drawPolygon(_polygon(place, 8, 0.5))
        painter.setBrush(QColor(WHITE))
        wide, high = place.width() * 0.56, place.height() * 0.16
        painter.drawRect(
            QRectF(place.center().x() - wide / 2, place.center().y() - high / 2, wide, high)
        )
        return
    if kind == "caution":
        painter.drawPolygon(_polygon(place, 3, 0.0))
        place = place.adjusted(0, place.height() * 0.2, 0, place.height() * 0.06)
    else:
        painter.drawEllipse(place)
    sign = "!" if kind == "caution" else "i"
    size = place.height() / pt(1) * 0.66
    draw_line(painter, place, sign, size, bold=True, align="centre", colour=WHITE)


def _polygon(place: QRectF, corners: int, turned: float) -> QPolygonF:
    """A regular polygon, point up, turned by a share of a corner and stretched to its place."""
    return QPolygonF(
        [
            QPointF(place.left() + x * place.width(), place.top() + y * place.height())
            for x, y in regular_polygon(corners, turned)
        ]
    )


def badge_width(text: str, high: float) -> float:
    """Width of a badge of this height."""
    return max(high, metrics(_badge_size(high), True).horizontalAdvance(text) + high * 0.5)


def _badge_size(high: float) -> float:
    return round(high / pt(1) * 0.68, 2)


def badge(
    painter: QPainter, x: float, y: float, high: float, text: str, wide: float | None = None
) -> float:
    """An accessory's number in white on black; gives its width, its own where none is given."""
    wide = badge_width(text, high) if wide is None else wide
    place = QRectF(x, y, wide, high)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(INK))
    painter.drawRoundedRect(place, high * 0.3, high * 0.3)
    draw_line(
        painter, place, text, _badge_size(high), bold=True, align="centre", colour=WHITE, least=0.6
    )
    return wide


def tick_box(painter: QPainter, place: QRectF) -> None:
    """An empty box to tick."""
    painter.setPen(pen(0.9))
    painter.setBrush(QColor(WHITE))
    painter.drawRect(place)


def padlock(painter: QPainter, place: QRectF) -> None:
    """Critical: leave alone."""
    w, h = place.width(), place.height()
    body = QRectF(place.left() + w * 0.1, place.top() + h * 0.44, w * 0.8, h * 0.56)
    bow = QPainterPath()
    bow.moveTo(place.left() + w * 0.27, body.top())
    bow.lineTo(place.left() + w * 0.27, place.top() + h * 0.3)
    bow.arcTo(
        QRectF(place.left() + w * 0.27, place.top() + h * 0.06, w * 0.46, h * 0.48), 180, -180
    )
    bow.lineTo(place.left() + w * 0.73, body.top())
    painter.setPen(QPen(QColor(INK), w * 0.13))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(bow)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(INK))
    painter.drawRect(body)


def eye(painter: QPainter, place: QRectF) -> None:
    """Monitored: the vehicle watches."""
    middle, w, h = place.center(), place.width(), place.height() * 0.34
    path = QPainterPath(QPointF(place.left(), middle.y()))
    path.quadTo(QPointF(middle.x(), middle.y() - h * 2), QPointF(place.right(), middle.y()))
    path.quadTo(QPointF(middle.x(), middle.y() + h * 2), QPointF(place.left(), middle.y()))
    painter.setPen(QPen(QColor(INK), w * 0.1))
    painter.setBrush(QColor(WHITE))
    painter.drawPath(path)
    painter.setBrush(QColor(INK))
    painter.drawEllipse(middle, w * 0.16, w * 0.16)


def arrow_head(painter: QPainter, tip: QPointF, way: QPointF, size: float) -> None:
    """A filled head of an arrow that points along `way`, a direction of length 1."""
    back = tip - way * size
    aside = QPointF(-way.y(), way.x()) * (size * 0.5)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(INK))
    painter.drawPolygon(QPolygonF([tip, back + aside, back - aside]))
