"""Small drawings, each into a square; they are our own.

Signs: padlock, eye and branch for slots, tick and cross for what may be and what may not; their
words stand in tooltips and spoken texts. Icons: turning, mirroring and zooming a view, in the
colour of the buttons' text.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from fusemap.window.style.marks import draw_holds, drawn_icon
from fusemap.window.style.theme import Theme, draw_doubt, draw_severity

if TYPE_CHECKING:
    from fusemap.assess.verdict import Verdict

Draw = Callable[[QPainter, float], None]


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


def draw_verdict(painter: QPainter, place: QRectF, verdict: "Verdict", theme: Theme) -> None:
    """A verdict in a square: disc with tick, half disc, octagon with bar, dashed “?”."""
    if verdict == "holds":
        draw_holds(painter, place, theme)
    elif verdict == "fails":
        draw_severity(painter, place, "stop", theme)
    else:
        draw_doubt(painter, place, half=verdict == "may_not_hold", theme=theme)


def verdict_icon(verdict: "Verdict", theme: Theme, size: int) -> QIcon:
    """The mark of a verdict as an icon."""
    return drawn_icon(lambda painter, place: draw_verdict(painter, place, verdict, theme), size)


def _round_pen(colour: QColor, width: float) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen


def view_icon(name: str, theme: Theme, size: int, ratio: float = 2.0) -> QIcon:
    """One of `ICONS` as an icon of this size [px]."""
    pixmap = QPixmap(QSize(size, size) * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(theme.colour("text"), size * 0.1)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    ICONS[name](painter, float(size))
    painter.end()
    return QIcon(pixmap)


def _turn_right(painter: QPainter, size: float) -> None:
    """Three quarters of a circle, clockwise, with a head."""
    ring = QRectF(size * 0.18, size * 0.2, size * 0.64, size * 0.64)
    path = QPainterPath()
    path.arcMoveTo(ring, 100)
    path.arcTo(ring, 100, 260)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path.toReversed())
    end = QPointF(ring.center().x() + size * 0.02, ring.top())
    head = QPolygonF(
        [
            end + QPointF(size * 0.2, 0),
            end + QPointF(-size * 0.06, -size * 0.16),
            end + QPointF(-size * 0.06, size * 0.16),
        ]
    )
    painter.setBrush(painter.pen().color())
    painter.drawPolygon(head)


def _turn_left(painter: QPainter, size: float) -> None:
    painter.translate(size, 0)
    painter.scale(-1, 1)
    _turn_right(painter, size)


def _mirror(painter: QPainter, size: float) -> None:
    """A dashed line with a full triangle and its hollow image."""
    middle = size / 2
    pen, dashed = painter.pen(), QPen(painter.pen())
    dashed.setStyle(Qt.PenStyle.DotLine)
    painter.setPen(dashed)
    painter.drawLine(QPointF(middle, size * 0.1), QPointF(middle, size * 0.9))
    pen.setWidthF(size * 0.07)
    painter.setPen(pen)
    for way, brush in ((-1, pen.color()), (1, Qt.BrushStyle.NoBrush)):
        painter.setBrush(brush)
        near, far = middle + way * size * 0.15, middle + way * size * 0.4
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(near, size * 0.25),
                    QPointF(far, size * 0.75),
                    QPointF(near, size * 0.75),
                ]
            )
        )


def _larger(painter: QPainter, size: float) -> None:
    _smaller(painter, size)
    painter.drawLine(QPointF(size / 2, size * 0.2), QPointF(size / 2, size * 0.8))


def _smaller(painter: QPainter, size: float) -> None:
    painter.drawLine(QPointF(size * 0.2, size / 2), QPointF(size * 0.8, size / 2))


def _whole(painter: QPainter, size: float) -> None:
    """The four corners of a frame."""
    for x, to_x in ((0.15, 1), (0.85, -1)):
        for y, to_y in ((0.2, 1), (0.8, -1)):
            corner = QPointF(x * size, y * size)
            painter.drawLine(corner, corner + QPointF(to_x * size * 0.2, 0))
            painter.drawLine(corner, corner + QPointF(0, to_y * size * 0.2))


def _photo(painter: QPainter, size: float) -> None:
    """A framed picture: two hills and the sun."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    pen = painter.pen()
    pen.setWidthF(size * 0.08)
    painter.setPen(pen)
    painter.drawRoundedRect(QRectF(size * 0.1, size * 0.18, size * 0.8, size * 0.64), 1, 1)
    hills = ((0.14, 0.76), (0.38, 0.46), (0.54, 0.64), (0.68, 0.52), (0.86, 0.76))
    painter.drawPolyline([QPointF(x * size, y * size) for x, y in hills])
    painter.setBrush(pen.color())
    painter.drawEllipse(QPointF(size * 0.68, size * 0.35), size * 0.05, size * 0.05)


def _name(painter: QPainter, size: float) -> None:
    """A pencil over a line."""
    painter.drawLine(QPointF(size * 0.14, size * 0.86), QPointF(size * 0.86, size * 0.86))
    shaft = [(0.24, 0.68), (0.28, 0.5), (0.66, 0.12), (0.82, 0.28), (0.44, 0.66)]
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolygon(QPolygonF([QPointF(x * size, y * size) for x, y in shaft]))


ICONS: Final[dict[str, Draw]] = {
    "name": _name,
    "turn_left": _turn_left,
    "turn_right": _turn_right,
    "mirror": _mirror,
    "larger": _larger,
    "smaller": _smaller,
    "whole": _whole,
    "photo": _photo,
}
"""Every icon by its name, drawn into a square of that size."""
