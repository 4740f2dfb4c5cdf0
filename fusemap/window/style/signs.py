"""Small signs, each drawn into a square: padlock, eye and branch for slots, tick and cross for what
may be and what may not.

They are our own; their words stand in tooltips and spoken texts.
"""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen


def draw_padlock(painter: QPainter, place: QRectF, colour: QColor, ground: QColor) -> None:
    """A closed padlock: leave this circuit alone."""
    wide, high = place.width(), place.height()
    body = QRectF(place.left() + wide * 0.14, place.top() + high * 0.44, wide * 0.72, high * 0.5)
    bow = QRectF(place.left() + wide * 0.28, place.top() + high * 0.08, wide * 0.44, high * 0.7)
    painter.save()
    painter.setPen(QPen(colour, wide * 0.13))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(bow, wide * 0.22, wide * 0.22)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawRoundedRect(body, wide * 0.1, wide * 0.1)
    painter.setBrush(ground)
    painter.drawEllipse(body.center(), wide * 0.09, wide * 0.09)
    painter.restore()


def draw_eye(painter: QPainter, place: QRectF, colour: QColor, ground: QColor) -> None:
    """An open eye: the vehicle watches this circuit."""
    left = QPointF(place.left(), place.center().y())
    right = QPointF(place.right(), place.center().y())
    up = QPointF(0, place.height() * 0.62)
    lids = QPainterPath(left)
    lids.quadTo(place.center() - up, right)
    lids.quadTo(place.center() + up, left)
    painter.save()
    painter.setPen(QPen(colour, place.width() * 0.09))
    painter.setBrush(ground)
    painter.drawPath(lids)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawEllipse(place.center(), place.width() * 0.15, place.width() * 0.15)
    painter.restore()


def draw_branch(
    painter: QPainter, place: QRectF, colour: QColor, *, turned_over: bool = False
) -> None:
    """A line that forks off another, downwards from the live side, upwards from the load side."""
    x, top, bottom = place.left() + place.width() * 0.3, place.top(), place.bottom()
    start, end = (top + place.height() * 0.25, bottom - place.height() * 0.18)
    if turned_over:
        start, end = (bottom - place.height() * 0.25, top + place.height() * 0.18)
    far = place.right() - place.width() * 0.12
    path = QPainterPath(QPointF(x, start))
    path.cubicTo(QPointF(x, end), QPointF(x, end), QPointF(far, end))
    dot = place.width() * 0.13
    painter.save()
    painter.setPen(_round_pen(colour, place.width() * 0.13))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawLine(QPointF(x, top), QPointF(x, bottom))
    painter.drawPath(path)
    painter.setBrush(colour)
    painter.drawEllipse(QPointF(far, end), dot, dot)
    painter.restore()


def draw_tick(painter: QPainter, place: QRectF, colour: QColor) -> None:
    """A tick: this slot can take it."""
    painter.save()
    painter.setPen(_round_pen(colour, place.width() * 0.16))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    path = QPainterPath(QPointF(place.left() + place.width() * 0.14, place.center().y()))
    path.lineTo(place.left() + place.width() * 0.4, place.bottom() - place.height() * 0.2)
    path.lineTo(place.right() - place.width() * 0.12, place.top() + place.height() * 0.2)
    painter.drawPath(path)
    painter.restore()


def draw_cross(painter: QPainter, place: QRectF, colour: QColor) -> None:
    """A cross: this slot cannot."""
    inside = place.adjusted(
        place.width() * 0.2, place.height() * 0.2, -place.width() * 0.2, -place.height() * 0.2
    )
    painter.save()
    painter.setPen(_round_pen(colour, place.width() * 0.16))
    painter.drawLine(inside.topLeft(), inside.bottomRight())
    painter.drawLine(inside.topRight(), inside.bottomLeft())
    painter.restore()


def _round_pen(colour: QColor, width: float) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen
