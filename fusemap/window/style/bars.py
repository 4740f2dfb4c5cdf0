"""A load against its limit as a bar with two ends, and the dots of what is still reckoned.

In: shares of the limit, known and most, 1 at the limit. Out: drawn into a place. Whatever draws a
load or hatches what may be does it here.
"""

from typing import Final

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from fusemap.window.style.colours import Theme

_STOP_OUT: Final = 0.75
"""How far the stop at the end stands out, in heights of the bar; never less than 2 px."""
_FULL: Final = 1.0 + 1e-9


def draw_load_bar(
    painter: QPainter,
    place: QRectF,
    known: float | None,
    most: float,
    theme: Theme,
    role: str = "load",
) -> None:
    """Draw a load on a track that ends at its limit.

    Solid up to `known`, hatched on to `most`, both shares of the limit; `known` None: nothing was
    measured, all of it is hatched. `role` is the colour: that of its verdict where it does not or
    may not hold. Past the limit it has a stop at its end.
    """
    colour, most = theme.colour(role), 1.0 if known is None else max(known, most)
    known = known or 0.0
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("load_track"))
    painter.drawRoundedRect(place, place.height() / 2, place.height() / 2)
    solid, maybe = QRectF(place), QRectF(place)
    solid.setWidth(place.width() * min(1.0, known))
    maybe.setLeft(solid.right())
    maybe.setRight(place.left() + place.width() * min(1.0, most))
    if known > 0:
        painter.setBrush(colour)
        painter.drawRoundedRect(solid, place.height() * 0.3, place.height() * 0.3)
    if maybe.width() > 0.5:
        hatch(painter, maybe, colour)
    if most > _FULL:
        out = max(2.0, place.height() * _STOP_OUT)
        painter.fillRect(
            QRectF(place.right() - 1.0, place.top() - out, 2.0, place.height() + 2 * out), colour
        )


def hatch(painter: QPainter, place: QRectF, colour: QColor) -> None:
    """Slanting strokes over a place, as dense as it is high: what may be."""
    painter.save()
    painter.setClipRect(place, Qt.ClipOperation.IntersectClip)
    high = place.height()
    painter.setPen(QPen(colour, max(1.0, high * 0.3)))
    x, step = place.left() - high, max(3.0, high * 0.9)
    lines = []
    while x < place.right():
        lines.append(QLineF(x, place.bottom(), x + high * 0.5, place.top()))
        x += step
    painter.drawLines(lines)
    painter.restore()


def draw_dots(painter: QPainter, place: QRectF, colour: QColor) -> None:
    """Three dots in a place: this is being reckoned. Never an old figure, never a zero."""
    size = min(place.height() * 0.32, place.width() / 5)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    for number in (-1, 0, 1):
        middle = place.center() + QPointF(number * size * 1.7, 0)
        painter.drawEllipse(middle, size / 2, size / 2)
    painter.restore()
