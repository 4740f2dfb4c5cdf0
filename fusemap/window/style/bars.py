"""A load against its limit as a bar with two ends, and the dots of what is still reckoned.

In: shares of the limit, known and most, 1 at the limit. Out: drawn into a place.
"""

from math import radians, tan
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from fusemap.window.style.colours import VERDICT_ROLES, Theme

if TYPE_CHECKING:
    from fusemap.assess.verdict import Verdict

LEAN: Final = 115.0
"""How the hatching of what may be leans [degrees from the bar's own direction]."""
_STOP_OUT: Final = 0.75
"""How far the stop at the end stands out, in heights of the bar."""
_FULL: Final = 1.0 + 1e-9


def draw_load_bar(
    painter: QPainter,
    place: QRectF,
    known: float | None,
    most: float,
    theme: Theme,
    *,
    verdict: "Verdict" = "holds",
) -> None:
    """Draw a load on a track that ends at its limit.

    Solid up to `known`, hatched on to `most`, both shares of the limit; `known` None: nothing was
    measured, all of it is hatched. One that does not or may not hold is in its verdict's colour;
    past the limit it has a stop at its end.
    """
    judged = verdict in ("fails", "may_not_hold")
    colour = theme.colour(VERDICT_ROLES[verdict] if judged else "load")
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    track = QPainterPath()
    track.addRoundedRect(place, place.height() / 2, place.height() / 2)
    painter.fillPath(track, theme.colour("load_track"))
    painter.setClipPath(track, Qt.ClipOperation.IntersectClip)
    solid, end = _ends(place, known, most)
    hatched = QRectF(QPointF(solid, place.top()), QPointF(end, place.bottom()))
    if hatched.width() > 0:
        hatch(painter, hatched, colour)
    if solid > place.left():
        painter.fillRect(QRectF(place.topLeft(), QPointF(solid, place.bottom())), colour)
    painter.restore()
    if max(known or 0.0, most) > _FULL:
        _draw_stop(painter, place, colour)


def _ends(place: QRectF, known: float | None, most: float) -> tuple[float, float]:
    """Where the solid and where the hatched part ends, within the track."""
    if known is None:
        return place.left(), place.right()
    share = min(1.0, max(0.0, known))
    furthest = min(1.0, max(share, most))
    return place.left() + place.width() * share, place.left() + place.width() * furthest


def _draw_stop(painter: QPainter, place: QRectF, colour: QColor) -> None:
    wide, out = max(2.0, place.height() / 2), place.height() * _STOP_OUT
    painter.fillRect(
        QRectF(place.right() - wide, place.top() - out, wide, place.height() + 2 * out), colour
    )


def hatch(painter: QPainter, place: QRectF, colour: QColor) -> None:
    """Leaning strokes over a place: what may be."""
    step = max(3.0, place.height())
    run = place.height() / tan(radians(180.0 - LEAN))
    painter.save()
    painter.setClipRect(place, Qt.ClipOperation.IntersectClip)
    painter.setPen(QPen(colour, step * 0.45, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
    x = place.left() - step
    while x < place.right() + run + step:
        painter.drawLine(QPointF(x, place.top()), QPointF(x - run, place.bottom()))
        x += step
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
