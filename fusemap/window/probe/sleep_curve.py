"""The whole vehicle's current on the way to sleep, as a small curve."""

from collections.abc import Sequence
from math import log10
from typing import Final

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPen, QPolygonF

from fusemap.text import Amount, given
from fusemap.window.beside.big import draw_line
from fusemap.window.style.theme import Theme

LEAST_A: Final = 0.001
"""Currents below this are drawn as this [A]."""


def draw_sleep_curve(
    painter: QPainter, place: QRectF, points: Sequence[tuple[float, float]], theme: Theme
) -> None:
    """The whole vehicle's current on the way to sleep as a small curve with its figures.

    The points are minutes after locking and amperes, rising in time; nothing is drawn with fewer
    than two. The current stands on a log axis: it falls from amperes to milliamperes.
    """
    if len(points) < 2:
        return
    line = place.height() * 0.16
    inside = place.adjusted(place.width() * 0.05, line * 1.1, -place.width() * 0.05, -line * 1.1)
    logs = [log10(max(LEAST_A, amperes)) for _, amperes in points]
    low, high = min(logs), max(max(logs), min(logs) + 0.5)
    last = max(minute for minute, _ in points) or 1.0
    at = [
        QPointF(
            inside.left() + inside.width() * minute / last,
            inside.bottom() - inside.height() * (value - low) / (high - low),
        )
        for (minute, _), value in zip(points, logs, strict=True)
    ]
    painter.setPen(QPen(theme.colour("accent"), max(2.0, line * 0.1)))
    painter.drawPolyline(QPolygonF(at))
    for number, ((minute, amperes), point) in enumerate(zip(points, at, strict=True)):
        painter.setBrush(theme.colour("accent"))
        painter.drawEllipse(point, line * 0.18, line * 0.18)
        if number in (0, len(points) - 1):
            wide = place.width() * 0.3
            left = min(max(place.left(), point.x() - wide / 2), place.right() - wide)
            above = QRectF(left, point.y() - line * 1.2, wide, line)
            draw_line(painter, above, theme.style.show(Amount(amperes, "A")), theme.colour("text"))
            below = QRectF(left, place.bottom() - line, wide, line)
            words = theme.style.show(given(round(minute), "min"))
            draw_line(painter, below, words, theme.colour("muted_text"))
