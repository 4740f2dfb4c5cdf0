"""A load on its track: solid what is known, hatched what may be.

In: shares of the limit. Out: paint.
"""

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from fusemap.window.style.theme import Theme


def paint_load(
    painter: QPainter, line: QRectF, known: float, most: float, colour: QColor, theme: Theme
) -> None:
    """A load on a track that ends at the limit: solid what is known, hatched what may be.

    `known` and `most` are shares of the limit. Past it there is a stop at its end.
    """
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("load_track"))
    painter.drawRoundedRect(line, line.height() / 2, line.height() / 2)
    solid, maybe = QRectF(line), QRectF(line)
    solid.setWidth(line.width() * min(1.0, known))
    maybe.setLeft(solid.right())
    maybe.setRight(line.left() + line.width() * min(1.0, max(known, most)))
    if known > 0:
        painter.setBrush(colour)
        painter.drawRoundedRect(solid, line.height() * 0.3, line.height() * 0.3)
    if maybe.width() > 0.5:
        _hatch(painter, maybe, colour)
    if max(known, most) > 1.0 + 1e-9:
        over = max(2.0, line.height() * 0.75)
        painter.fillRect(QRectF(line.right() - 1.0, line.top() - over, 2.0,
                                line.height() + 2 * over), colour)  # fmt: skip


def _hatch(painter: QPainter, place: QRectF, colour: QColor) -> None:
    """Slanting strokes, as dense as the place is high, in one stroke of the pen."""
    painter.save()
    painter.setClipRect(place)
    high = place.height()
    painter.setPen(QPen(colour, max(1.0, high * 0.3)))
    x, step = place.left() - high, max(3.0, high * 0.9)
    lines = []
    while x < place.right():
        lines.append(QLineF(x, place.bottom(), x + high * 0.5, place.top()))
        x += step
    painter.drawLines(lines)
    painter.restore()
