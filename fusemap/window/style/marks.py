"""Marks that carry a meaning by shape, sign and word, never by colour alone. Our own drawings.

Verdicts: a disc with a tick, a disc half full, an octagon with a bar, a dashed square with “?”. A
caution of the work, which is no verdict: a triangle. Feed classes: the terminal number of DIN 72552
on a plate, filled for what is live always, outlined for what is switched, with round ends for the
lamps; a clock for what stays on for a time, a circle struck through for nothing, a dashed “?”.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QIcon,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
    QPolygonF,
)

from fusemap.shapes import regular_polygon
from fusemap.text import Text
from fusemap.vehicle.words import FEED, FeedClass
from fusemap.window.style.colours import Theme

if TYPE_CHECKING:
    from fusemap.checks.finding import Severity


class FeedMark(Struct, frozen=True):
    """How a feed class is marked: its terminal number or sign, its shape, and its word."""

    sign: str
    shape: str
    word: Text


class SeverityMark(Struct, frozen=True):
    """How a severity is marked: its shape, the sign in it, and its word."""

    shape: str
    sign: str
    word: str


_FEED: Final[dict[FeedClass, str]] = {
    "permanent": "filled",
    "ignition": "outlined",
    "accessory": "broad",
    "delayed_off": "clock",
    "lighting": "round",
    "unfed": "struck",
    "unknown": "dashed",
}
FEED_WIDE: Final = 1.85
"""Width of the broadest mark of a feed class, against its height."""
_WIDE: Final = {"broad": FEED_WIDE, "clock": 1.0, "struck": 1.0, "dashed": 1.2}
_USUAL: Final = 1.45
_NARROWEST: Final = 1.2
"""So narrow a plate may become where the place is a square."""
_SEVERITY: Final[dict[str, tuple[str, str]]] = {
    "stop": ("octagon", "bar"),
    "caution": ("triangle", "!"),
    "note": ("disc", "i"),
}


def feed_mark(feed_class: FeedClass) -> FeedMark:
    """The mark of a feed class."""
    words = FEED[feed_class]
    return FeedMark(_sign(feed_class), _FEED[feed_class], words.label.capital())


def _sign(feed_class: FeedClass) -> str:
    """What is written in the mark."""
    return "?" if feed_class == "unknown" else FEED[feed_class].terminal


def severity_shape(severity: "Severity") -> SeverityMark:
    """The mark of a severity."""
    translate = QCoreApplication.translate
    words = {
        "stop": translate("SeverityMark", "Stop"),
        "caution": translate("SeverityMark", "Caution"),
        "note": translate("severity", "Note"),
    }
    return SeverityMark(*_SEVERITY[severity], words[severity])


def feed_mark_place(place: QRectF, feed_class: FeedClass) -> QRectF:
    """Where in a place its mark stands: in the middle, as large as it goes."""
    broad = _WIDE.get(_FEED[feed_class], _USUAL)
    high = min(place.height(), place.width() / min(broad, _NARROWEST))
    mark = QRectF(0, 0, min(high * broad, place.width()), high)
    mark.moveCenter(place.center())
    return mark


def draw_feed_mark(painter: QPainter, place: QRectF, feed_class: FeedClass, theme: Theme) -> None:
    """Draw the mark of a feed class into a place, so that it stands out on any colour."""
    shape, mark = _FEED[feed_class], feed_mark_place(place, feed_class)
    fill, ink = theme.colour("mark_text"), theme.colour("mark")
    if shape == "filled":
        fill, ink = ink, fill
    width = max(1.0, mark.height() / 12)
    inside = mark.adjusted(width / 2, width / 2, -width / 2, -width / 2)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(theme.colour("mark"), width, _line(shape)))
    painter.setBrush(fill)
    if shape in ("clock", "struck"):
        painter.drawEllipse(inside)
        _draw_round_sign(painter, inside, shape, ink)
    else:
        corner = inside.height() * (0.5 if shape == "round" else 0.22)
        painter.drawRoundedRect(inside, corner, corner)
        _write(painter, mark, _sign(feed_class), 0.74, ink)
    painter.restore()


def _line(shape: str) -> Qt.PenStyle:
    return Qt.PenStyle.DotLine if shape == "dashed" else Qt.PenStyle.SolidLine


def _draw_round_sign(painter: QPainter, place: QRectF, shape: str, ink: QColor) -> None:
    """A third of the dial, which is never the half that means a doubt; or a stroke across."""
    if shape == "struck":
        off = place.width() * 0.146
        inner = place.adjusted(off, off, -off, -off)
        painter.drawLine(inner.bottomLeft(), inner.topRight())
        return
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    painter.drawPie(place, 90 * 16, -120 * 16)


def draw_severity(painter: QPainter, place: QRectF, severity: "Severity", theme: Theme) -> None:
    """Draw the mark of a severity into a square."""
    shape, sign = _SEVERITY[severity]
    if severity == "caution":
        draw_caution(painter, place, theme)
        return
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour(severity))
    painter.drawPath(_outline(shape, place.adjusted(0.5, 0.5, -0.5, -0.5)))
    ink = theme.colour("base")
    if sign == "bar":
        across, high = place.width() * 0.22, place.height() * 0.16
        bar = QRectF(0, 0, place.width() - 2 * across, high)
        bar.moveCenter(place.center())
        painter.setBrush(ink)
        painter.drawRoundedRect(bar, high * 0.3, high * 0.3)
    else:
        _write(painter, place, sign, 0.62, ink)
    painter.restore()


def draw_caution(painter: QPainter, place: QRectF, theme: Theme) -> None:
    """A triangle with “!”: a caution of the work. It is no verdict and has no figure of its own."""
    rim = max(1.0, place.width() / 14)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(theme.colour("caution_rim"), rim)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(theme.colour("caution_sign"))
    painter.drawPath(_outline("triangle", place.adjusted(rim, rim, -rim, -rim)))
    lower = place.height() * 0.16
    _write(painter, place.adjusted(0, lower, 0, 0), "!", 0.62, theme.colour("caution_ink"))
    painter.restore()


def draw_holds(painter: QPainter, place: QRectF, theme: Theme) -> None:
    """A disc with a tick: it holds."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("good"))
    painter.drawEllipse(place.adjusted(0.5, 0.5, -0.5, -0.5))
    pen = QPen(theme.colour("base"), max(1.4, place.width() * 0.12))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    corners = ((0.28, 0.52), (0.44, 0.68), (0.73, 0.36))
    painter.drawPolyline(
        [
            QPointF(place.left() + x * place.width(), place.top() + y * place.height())
            for x, y in corners
        ]
    )
    painter.restore()


def draw_doubt(painter: QPainter, place: QRectF, *, half: bool, theme: Theme) -> None:
    """Draw what is not sure into a square: a disc with its left half full, or a dashed “?”.

    `half`: it may not hold; else nothing can be said.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    colour = theme.colour("caution" if half else "cannot_say")
    width = max(1.2, place.width() / 12)
    inside = place.adjusted(*(side * (width / 2 + 0.5) for side in (1, 1, -1, -1)))
    painter.setPen(QPen(colour, width))
    painter.setBrush(theme.colour("base"))
    if half:
        painter.drawEllipse(inside)
        painter.setBrush(colour)
        painter.drawChord(inside, 90 * 16, 180 * 16)
    else:
        painter.setPen(dashed_pen(colour, width))
        corner = inside.width() * 0.2
        painter.drawRoundedRect(inside, corner, corner)
        _write(painter, place, "?", 0.66, colour)
    painter.restore()


def dashed_pen(colour: QColor, width: float) -> QPen:
    """The pen round what is not known: short dashes of even length."""
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setDashPattern([2.2, 1.8])
    return pen


def _write(painter: QPainter, place: QRectF, sign: str, share: float, ink: QColor) -> None:
    """A bold sign in the middle, as high as that share of the place, smaller where it is broad."""
    font = QFont(painter.font().family())
    font.setBold(True)
    font.setPixelSize(max(1, round(place.height() * share)))
    wide, room = QFontMetricsF(font).horizontalAdvance(sign), place.width() * 0.9
    if wide > room:
        font.setPixelSize(max(1, int(font.pixelSize() * room / wide)))
    painter.setFont(font)
    painter.setPen(ink)
    painter.drawText(place, Qt.AlignmentFlag.AlignCenter, sign)


def _outline(shape: str, place: QRectF) -> QPainterPath:
    path = QPainterPath()
    if shape == "disc":
        path.addEllipse(place)
    else:
        corners, turned = {
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


def feed_icon(
    feed_class: FeedClass,
    theme: Theme,
    size: int = 16,
    ratio: float = 2.0,
    wide: float = FEED_WIDE,
) -> QIcon:
    """The mark of a feed class as an icon, `wide` times as wide as it is high."""
    return drawn_icon(
        lambda p, place: draw_feed_mark(p, place, feed_class, theme),
        size,
        ratio,
        round(size * wide),
    )


def drawn_icon(
    draw: Callable[[QPainter, QRectF], None], size: int, ratio: float = 2.0, wide: int | None = None
) -> QIcon:
    """An icon of what is drawn into a square, or into a place so wide."""
    pixmap = QPixmap(QSize(wide or size, size) * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    draw(painter, QRectF(0, 0, wide or size, size))
    painter.end()
    icon = QIcon(pixmap)
    icon.addPixmap(pixmap, QIcon.Mode.Selected)  # on a chosen row Qt would tint it
    return icon


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
