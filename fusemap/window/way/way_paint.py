"""How a way is drawn: casing, core and chevrons; thin for a sense lead, dashed, or dotted.

In: the corners of a route and what kind it is. Out: paint, and the outline it stays in.
"""

from functools import cached_property, lru_cache
from typing import Final, Literal

from msgspec import Struct
from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen, QPolygonF

from fusemap.window.style.theme import Theme
from fusemap.window.way.route import Point, arrows, rounded

Kind = Literal["fitted", "sense", "preview", "open"]

CORNER: Final = 1.0
"""Radius of the corners, in widths of the line."""
CASING: Final = 0.157
"""The casing on either side, in widths of the line."""
APART: Final = 11.0
"""From one chevron to the next at least, in widths of the line."""
SENSE, PREVIEW = 0.57, 0.6
"""How broad these are, in widths of the line."""


class Line(Struct, frozen=True, dict=True):
    """A way to be painted: its corners, its kind and how broad a fitted one is [px]."""

    points: tuple[Point, ...]
    kind: Kind
    width: float

    @cached_property
    def outline(self) -> QRect:
        """All that it may touch; not to be changed."""
        if not self.points:
            return QRect()
        xs, ys = [p.x for p in self.points], [p.y for p in self.points]
        grown = self.width + 2
        whole = QRectF(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
        return whole.adjusted(-grown, -grown, grown, grown).toAlignedRect()


@lru_cache(maxsize=16)
def path_of(points: tuple[Point, ...], radius: float) -> QPainterPath:
    """The line with its corners rounded; where it turns back it has a point. Not to be changed."""
    path = QPainterPath(QPointF(*points[0]))
    for corner in rounded(points, radius):
        path.lineTo(*corner.before)
        if corner.before != corner.after:
            path.quadTo(*corner.at, *corner.after)
    path.lineTo(*points[-1])
    return path


def paint_line(painter: QPainter, line: Line, points: tuple[Point, ...], theme: Theme) -> None:
    """The way along `points`, which are its corners or the first of them."""
    if len(points) < 2:
        return
    path = path_of(points, line.width * CORNER)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if line.kind == "open":
        _stroke(painter, path, theme, "cannot_say", line.width * 0.43, dashes=(0.01, 2.2))
    elif line.kind == "preview":
        broad = line.width * PREVIEW
        _stroke(painter, path, theme, "lid_top", broad + line.width * 0.4)
        _stroke(painter, path, theme, "accent", broad, dashes=(1.9, 1.2))
    else:
        broad = line.width * (SENSE if line.kind == "sense" else 1.0)
        _stroke(painter, path, theme, "way_casing", broad)
        _stroke(painter, path, theme, "way", broad - 2 * line.width * CASING)
        if line.kind == "fitted":
            _chevrons(painter, line, points, theme)


def _stroke(
    painter: QPainter,
    path: QPainterPath,
    theme: Theme,
    role: str,
    wide: float,
    dashes: tuple[float, float] | None = None,
) -> None:
    pen = QPen(theme.colour(role), wide)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    if dashes is not None:
        pen.setCapStyle(Qt.PenCapStyle.RoundCap if dashes[0] < 1 else Qt.PenCapStyle.FlatCap)
        pen.setDashPattern(list(dashes))
    painter.setPen(pen)
    painter.drawPath(path)


def _chevrons(painter: QPainter, line: Line, points: tuple[Point, ...], theme: Theme) -> None:
    """In the sense of the current."""
    pen = QPen(theme.colour("way_chevron"), max(1.0, line.width * 0.19))
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    for chevron in _chevrons_on(points, line.width):
        painter.drawPolyline(chevron)


@lru_cache(maxsize=16)
def _chevrons_on(points: tuple[Point, ...], width: float) -> tuple[QPolygonF, ...]:
    """Where they stand on a way so broad [px]."""
    size = width * 0.2
    made = []
    for at, (x, y) in arrows(points, width * APART, width * 2.0):
        tip = QPointF(at.x + x * size, at.y + y * size)
        back, across = (
            QPointF(-x * 2 * size, -y * 2 * size),
            QPointF(y * 1.5 * size, x * 1.5 * size),
        )
        made.append(QPolygonF([tip + back + across, tip, tip + back - across]))
    return tuple(made)


def paint_grommet(painter: QPainter, at: Point, width: float, theme: Theme) -> None:
    """Where the way leaves the lid."""
    painter.setPen(QPen(theme.colour("lid_edge"), 1.0))
    painter.setBrush(theme.colour("part"))
    place = QRectF(at.x - width * 0.65, at.y - width * 1.1, width * 1.3, width * 2.2)
    painter.drawRoundedRect(place, width * 0.4, width * 0.4)
