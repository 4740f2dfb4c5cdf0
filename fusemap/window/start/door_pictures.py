"""What the doors of the first page show: each is drawn into a field of 292 by 158.

The colours of fuses are the standard's, from the table; all else is of the palette or its theme, so
that a door looks right in any.
"""

from collections.abc import Callable
from itertools import pairwise
from typing import Final

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPalette, QPen, QPolygonF

from fusemap.tables import fuse_colour
from fusemap.window.style.colours import DARK, LIGHT, Theme

Draw = Callable[[QPainter, QPalette], None]
SIZE: Final = QSizeF(292, 158)
_ROLE = QPalette.ColorRole
LID: Final = (10, 7.5, 3, 15, 20, 30, 5, 7.5, 20, 10, 25, 15)
"""Ratings of the fuses that the drawn lids hold [A]."""
LONG: Final = 40.0
"""A piece of the way that is longer shows its sense, in units of the field."""


def draw_accessory(painter: QPainter, colours: QPalette) -> None:
    """The current's way: battery, fuse, accessory."""
    _card(painter, colours, QRectF(102, 24, 78, 110))
    _way(painter, colours, ((40, 52), (40, 26), (141, 26), (141, 44)))
    _way(painter, colours, ((141, 112), (141, 144), (206, 144), (206, 79), (222, 79)))
    _battery(painter, colours, QRectF(16, 52, 48, 38))
    _fuse(painter, QRectF(120, 40, 42, 72), 15, colours, worded=True)
    _card(painter, colours, QRectF(218, 48, 60, 62))
    _camera(painter, colours, QRectF(228, 62, 40, 34))


def draw_drain(painter: QPainter, colours: QPalette) -> None:
    """The charge as it falls over the days, with its doubt, down to what a start needs."""
    ink, accent = colours.color(_ROLE.PlaceholderText), colours.color(_ROLE.Highlight)
    band = QPolygonF([QPointF(30, 26), QPointF(150, 130), QPointF(246, 130)])
    doubt = QColor(accent)
    doubt.setAlpha(56)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(doubt)
    painter.drawPolygon(band)
    need = QRectF(30, 70, 232, 26)
    stop = colours.color(_ROLE.BrightText)
    painter.fillRect(need, QBrush(stop, Qt.BrushStyle.BDiagPattern))
    painter.setPen(QPen(stop, 1.6, Qt.PenStyle.DashLine))
    painter.drawLine(QPointF(30, 83), QPointF(262, 83))
    painter.setPen(QPen(ink, 1.5))
    painter.drawLine(QPointF(30, 131), QPointF(262, 131))
    painter.setPen(QPen(accent, 4))
    painter.drawLine(QPointF(30, 26), QPointF(196, 130))
    painter.setPen(QPen(accent, 3))
    for x in (95, 152):
        painter.drawLine(QPointF(x, 76), QPointF(x, 90))
    painter.drawLine(QPointF(95, 83), QPointF(152, 83))
    painter.setBrush(colours.color(_ROLE.Base))
    painter.drawEllipse(QPointF(121, 83), 7, 7)


def draw_photo(painter: QPainter, colours: QPalette) -> None:
    """A picture of a lid, askew, with the four corners that lay the grid."""
    ink, accent = _look(colours).colour("part"), colours.color(_ROLE.Highlight)
    painter.save()
    painter.translate(146, 79)
    painter.rotate(-7)
    lid = QRectF(-92, -58, 184, 116)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    painter.drawRoundedRect(lid, 9, 9)
    for number, rating in enumerate(LID):
        row, column = divmod(number, 4)
        place = QRectF(-72 + column * 40, -46 + row * 34, 20, 25)
        _fuse(painter, place, rating, colours)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(accent, 2.2))
    painter.drawRect(lid)
    painter.setPen(QPen(accent, 3))
    painter.setBrush(colours.color(_ROLE.Base))
    for corner in (lid.topLeft(), lid.topRight(), lid.bottomLeft(), lid.bottomRight()):
        painter.drawEllipse(corner, 7, 7)
    painter.restore()


def draw_look(painter: QPainter, colours: QPalette) -> None:
    """A panel that is filled in, one of its slots chosen."""
    for number, rating in enumerate((7.5, 15, 7.5, 20, 10, 15, 20, 30)):
        row, column = divmod(number, 4)
        place = QRectF(26 + column * 61, 17 + row * 66, 54, 58)
        _card(painter, colours, place, chosen=number == 2)
        _fuse(painter, QRectF(place.center() - QPointF(12, 18), QSizeF(24, 36)), rating, colours,
              worded=True)  # fmt: skip


# --- what they are made of ------------------------------------------------------------------------


def _look(colours: QPalette) -> Theme:
    """The theme that this palette is of."""
    return DARK if colours.color(_ROLE.Window).lightness() < 128 else LIGHT


def _card(painter: QPainter, colours: QPalette, place: QRectF, *, chosen: bool = False) -> None:
    edge = colours.color(_ROLE.Highlight if chosen else _ROLE.Mid)
    painter.setPen(QPen(edge, 3 if chosen else 1))
    painter.setBrush(colours.color(_ROLE.Base))
    painter.drawRoundedRect(place, 9, 9)


def _fuse(
    painter: QPainter, place: QRectF, rating: float, colours: QPalette, *, worded: bool = False
) -> None:
    """A blade fuse from its face: body, the two test windows, its rating [A]."""
    known = fuse_colour("mini", rating)
    body = colours.color(_ROLE.Base) if known is None else QColor(known.hex)
    ink = colours.color(_ROLE.Text) if known is None else QColor(known.text_hex)
    rim = QColor(0, 0, 0, 72)
    painter.setPen(QPen(rim, 1))
    painter.setBrush(body)
    corner = place.width() * 0.14
    painter.drawRoundedRect(place, corner, corner)
    if not worded:
        return
    wide, high = place.width() * 0.36, place.height() * 0.07
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(255, 255, 255, 190))
    for y in (place.top() + high, place.bottom() - 2 * high):
        painter.drawRoundedRect(QRectF(place.center().x() - wide / 2, y, wide, high), 1, 1)
    font = painter.font()
    font.setPixelSize(round(place.width() * 0.5))
    font.setBold(True)
    painter.setFont(font)
    painter.setPen(ink)
    words = f"{rating:g}"
    size = painter.fontMetrics().horizontalAdvance(words)
    if size > place.width() * 0.86:
        font.setPixelSize(max(1, round(font.pixelSize() * place.width() * 0.86 / size)))
        painter.setFont(font)
    painter.drawText(place, int(Qt.AlignmentFlag.AlignCenter), words)


def _way(painter: QPainter, colours: QPalette, points: tuple[tuple[float, float], ...]) -> None:
    """A piece of the current's way through these points, with its sense."""
    path = QPainterPath(QPointF(*points[0]))
    for point in points[1:]:
        path.lineTo(QPointF(*point))
    look = _look(colours)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for role, width in (("way_casing", 9.2), ("way", 7.0)):
        pen = QPen(look.colour(role), width)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawPath(path)
    painter.setPen(QPen(look.colour("way_chevron"), 1.4))
    for start, end in pairwise(points):
        _chevron(painter, QPointF(*start), QPointF(*end))


def _chevron(painter: QPainter, start: QPointF, end: QPointF) -> None:
    """In the middle of a piece that is long enough: which way the current flows."""
    run = QLineF(start, end)
    if run.length() < LONG:
        return
    ahead, across = run.unitVector(), run.unitVector().normalVector()
    middle = run.center()
    step = QPointF(ahead.dx(), ahead.dy()) * 2
    side = QPointF(across.dx(), across.dy()) * 2.4
    painter.drawPolyline([middle - step + side, middle + step, middle - step - side])


def _battery(painter: QPainter, colours: QPalette, place: QRectF) -> None:
    look = _look(colours)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours.color(_ROLE.Dark))
    for x in (0.16, 0.62):
        left = place.left() + place.width() * x
        painter.drawRect(QRectF(left, place.top() - 6, place.width() * 0.22, 8))
    painter.setBrush(look.colour("part"))
    painter.drawRoundedRect(place, 3, 3)
    painter.setPen(QPen(look.colour("part_pin"), 2.4))
    for x, upright in ((0.27, True), (0.73, False)):
        middle = QPointF(place.left() + place.width() * x, place.center().y())
        painter.drawLine(middle - QPointF(5, 0), middle + QPointF(5, 0))
        if upright:
            painter.drawLine(middle - QPointF(0, 5), middle + QPointF(0, 5))


def _camera(painter: QPainter, colours: QPalette, place: QRectF) -> None:
    ink, ground = _look(colours).colour("part"), _look(colours).colour("part_pin")
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    painter.drawRoundedRect(place, 5, 5)
    painter.drawRect(QRectF(place.left() + 12, place.top() - 5, 16, 6))
    painter.setPen(QPen(ground, 2.5))
    painter.drawEllipse(place.center(), 9, 9)
    painter.setBrush(ground)
    painter.drawEllipse(place.center(), 4, 4)
