"""Marks that carry a meaning by shape, letter and word, never by colour alone. Our own drawings.

Severities: an octagon, a triangle, a disc. Feed classes: a letter on a shape of its own each.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QCoreApplication, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from fusemap.shapes import regular_polygon
from fusemap.text import Text
from fusemap.vehicle.words import FEED, FeedClass
from fusemap.window.style.colours import Theme

if TYPE_CHECKING:
    from fusemap.checks.finding import Severity


@dataclass(frozen=True, slots=True)
class FeedMark:
    """How a feed class is marked: its letter, the shape round it, and its word."""

    letter: str
    shape: str
    word: Text


@dataclass(frozen=True, slots=True)
class SeverityMark:
    """How a severity is marked: its shape, the sign in it, and its word."""

    shape: str
    sign: str
    word: str


_FEED: Final[dict[FeedClass, str]] = {
    "permanent": "square",
    "ignition": "diamond",
    "accessory": "disc",
    "delayed_off": "tab",
    "lighting": "hexagon",
    "unfed": "ring",
    "unknown": "frame",
}
_SEVERITY: Final[dict[str, tuple[str, str]]] = {
    "stop": ("octagon", "bar"),
    "caution": ("triangle", "!"),
    "note": ("disc", "i"),
}


def feed_mark(feed_class: FeedClass) -> FeedMark:
    """The mark of a feed class."""
    words = FEED[feed_class]
    return FeedMark(words.letter, _FEED[feed_class], words.label.capital())


def severity_shape(severity: "Severity") -> SeverityMark:
    """The mark of a severity."""
    translate = QCoreApplication.translate
    words = {
        "stop": translate("SeverityMark", "Stop"),
        "caution": translate("SeverityMark", "Caution"),
        "note": translate("severity", "Note"),
    }
    return SeverityMark(*_SEVERITY[severity], words[severity])


def draw_feed_mark(painter: QPainter, place: QRectF, feed_class: FeedClass, theme: Theme) -> None:
    """Draw the mark of a feed class into a square, so that it stands out on any colour."""
    letter, shape = FEED[feed_class].letter, _FEED[feed_class]
    hollow = shape in ("ring", "frame")
    fill, ink = theme.colour("mark"), theme.colour("mark_text")
    if hollow:
        fill, ink = ink, fill
    width = max(1.0, place.width() / 14)
    inside = place.adjusted(width, width, -width, -width)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(ink, width, Qt.PenStyle.DotLine if hollow else Qt.PenStyle.SolidLine))
    painter.setBrush(fill)
    painter.drawPath(_outline(shape, inside))
    _write(painter, place, letter, 0.6, ink)
    painter.restore()


def draw_severity(painter: QPainter, place: QRectF, severity: "Severity", theme: Theme) -> None:
    """Draw the mark of a severity into a square."""
    shape, sign = _SEVERITY[severity]
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour(severity))
    painter.drawPath(_outline(shape, place.adjusted(0.5, 0.5, -0.5, -0.5)))
    ink = theme.colour("base")
    if sign == "bar":
        across = place.width() * 0.24
        painter.setBrush(ink)
        painter.drawRect(place.adjusted(across, place.height() * 0.42, -across, -across * 1.75))
    else:
        lower = place.height() * 0.16 if shape == "triangle" else 0.0
        _write(painter, place.adjusted(0, lower, 0, 0), sign, 0.62, ink)
    painter.restore()


def draw_doubt(painter: QPainter, place: QRectF, *, half: bool, theme: Theme) -> None:
    """Draw what is not sure into a square: a half filled ring, or a question mark in one."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    colour = theme.colour("caution" if half else "muted_text")
    ring = place.adjusted(1.5, 1.5, -1.5, -1.5)
    painter.setPen(QPen(colour, max(1.5, place.width() / 9)))
    painter.setBrush(theme.colour("base"))
    painter.drawEllipse(ring)
    if half:
        painter.setBrush(colour)
        painter.drawChord(ring, 90 * 16, 180 * 16)
    else:
        _write(painter, place, "?", 0.62, colour)
    painter.restore()


def _write(painter: QPainter, place: QRectF, letter: str, share: float, ink: QColor) -> None:
    """A bold letter in the middle, as high as that share of the place."""
    font = QFont(painter.font())
    font.setBold(True)
    font.setPixelSize(max(1, round(place.height() * share)))
    painter.setFont(font)
    painter.setPen(ink)
    painter.drawText(place, Qt.AlignmentFlag.AlignCenter, letter)


def _outline(shape: str, place: QRectF) -> QPainterPath:
    path = QPainterPath()
    if shape in ("disc", "ring"):
        path.addEllipse(place)
    elif shape == "tab":
        # Flat on the left, round on the right: it stays on for a while, then ends.
        middle = place.left() + place.width() * 0.45
        path.moveTo(middle, place.bottom())
        path.lineTo(place.bottomLeft())
        path.lineTo(place.topLeft())
        path.lineTo(middle, place.top())
        path.arcTo(place, 90, -180)
        path.closeSubpath()
    elif shape in ("square", "frame"):
        inset = place.width() * 0.06
        path.addRect(place.adjusted(inset, inset, -inset, -inset))
    else:
        corners, turned = {
            "diamond": (4, 0.0),
            "hexagon": (6, 0.0),
            "octagon": (8, 0.5),
            "triangle": (3, 0.0),
        }[shape]
        path.addPolygon(_regular(place, corners, turned))
        path.closeSubpath()
    return path


def _regular(place: QRectF, corners: int, turned: float) -> QPolygonF:
    """A regular polygon, point up, turned by a share of a corner and stretched to its place."""
    return QPolygonF(
        [
            QPointF(place.left() + x * place.width(), place.top() + y * place.height())
            for x, y in regular_polygon(corners, turned)
        ]
    )


def severity_icon(severity: "Severity", theme: Theme, size: int = 16, ratio: float = 2.0) -> QIcon:
    """The mark of a severity as an icon."""
    return drawn_icon(lambda p, place: draw_severity(p, place, severity, theme), size, ratio)


def feed_icon(feed_class: FeedClass, theme: Theme, size: int = 16, ratio: float = 2.0) -> QIcon:
    """The mark of a feed class as an icon."""
    return drawn_icon(lambda p, place: draw_feed_mark(p, place, feed_class, theme), size, ratio)


def drawn_icon(draw: Callable[[QPainter, QRectF], None], size: int, ratio: float = 2.0) -> QIcon:
    """An icon of what is drawn into a square."""
    pixmap = QPixmap(QSize(size, size) * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    draw(painter, QRectF(0, 0, size, size))
    painter.end()
    return QIcon(pixmap)


def app_icon() -> QIcon:
    """The program's own icon: a blade fuse over a grid of slots."""
    icon = QIcon()
    for size in (16, 32, 64, 128, 256):
        pixmap = QPixmap(size, size)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(size / 32, size / 32)
        _draw_app_icon(painter)
        painter.end()
        icon.addPixmap(pixmap)
    return icon


def _draw_app_icon(painter: QPainter) -> None:
    """On a square of 32."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor("#0f5c86"))
    painter.drawRoundedRect(QRectF(1, 1, 30, 30), 6, 6)
    painter.setBrush(QColor("#cfe3ef"))
    for left in (8.5, 19.5):
        painter.drawRect(QRectF(left, 17, 4, 10))
    painter.setBrush(QColor("#f4b73b"))
    painter.drawRoundedRect(QRectF(5.5, 5, 21, 14), 2.5, 2.5)
    painter.setPen(QPen(QColor("#1a222c"), 2.2))
    painter.drawPolyline(
        [QPointF(10.5, 14), QPointF(14, 9.5), QPointF(18, 14.5), QPointF(21.5, 10)]
    )
