"""The real things on the way, each on its pad: few strokes, one grey, metal pins.

Colour only where the thing itself has a standard one: the body of a fuse. All is drawn on a field
of 40 and scaled into its place.
"""

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from fusemap import tables
from fusemap.vehicle import Fuse
from fusemap.window.style.theme import Theme

FIELD: Final = 40.0
BLADE: Final = (9.0, 5.0, 22.0, 30.0)
LARGE: Final = (3.0, 8.0, 34.0, 24.0)
"""Where a fuse stands in the field: left, top, width, height. One that is bolted in is broad, and
so has room for three digits."""
BOLTED: Final = 100.0
"""From this rating on a fuse is drawn as one that is bolted in [A]."""
READABLE: Final = 8
"""A rating in smaller letters is left out [px]."""
LIGHT_BODY: Final = "#3c494e"
LIGHT_PINS: Final = "#e8ebec"
DARK_BODY: Final = "#4a585d"
DARK_PINS: Final = "#c9cfd1"
DARK_RIM: Final = "#8a999e"


class Ink:
    """The two greys of a theme, and the pens made of them."""

    def __init__(self, theme: Theme) -> None:
        self.theme = theme
        self.body = QColor(DARK_BODY if theme.dark else LIGHT_BODY)
        self.pins = QColor(DARK_PINS if theme.dark else LIGHT_PINS)
        self.rim = QPen(QColor(DARK_RIM), 1.2) if theme.dark else QPen(Qt.PenStyle.NoPen)
        self.line = QColor(DARK_RIM if theme.dark else LIGHT_BODY)

    def stroke(self, width: float = 2.4) -> QPen:
        """A stroke on the pad."""
        pen = QPen(self.line, width)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        return pen


def draw_part(
    painter: QPainter, place: QRectF, part: str, theme: Theme, fuse: Fuse | None = None
) -> None:
    """Draw a part into a square."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(place.topLeft())
    painter.scale(place.width() / FIELD, place.height() / FIELD)
    ink = Ink(theme)
    if part == "fuse":
        large = fuse is not None and fuse.rating >= BOLTED
        draw_fuse(painter, QRectF(*(LARGE if large else BLADE)), theme, fuse)
    else:
        _DRAW[part](painter, ink)
    painter.restore()


def fuse_colours(fuse: Fuse | None, theme: Theme) -> tuple[QColor, QColor]:
    """Body and writing of a fuse; of one whose colour no list has, those of the pad."""
    found = None if fuse is None else tables.fuse_colour(fuse.family, fuse.rating)
    if found is None:
        return theme.colour("slot_empty"), theme.colour("text")
    return QColor(found.hex), QColor(found.text_hex)


def draw_fuse(painter: QPainter, place: QRectF, theme: Theme, fuse: Fuse | None) -> None:
    """A blade fuse from above, in its body's colour, with its rating."""
    fill, writing = fuse_colours(fuse, theme)
    edge = QColor(0, 0, 0, 110) if fuse is not None else theme.colour("frame")
    pen = QPen(edge, 1.1)
    if fuse is None:
        pen.setStyle(Qt.PenStyle.DashLine)
    painter.setPen(pen)
    painter.setBrush(fill)
    painter.drawRoundedRect(place, 3, 3)
    if fuse is None:
        return
    window = QRectF(0, 0, place.width() * 0.4, place.height() * 0.09)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(255, 255, 255, 200))
    for share in (0.12, 0.88):
        window.moveCenter(QPointF(place.center().x(), place.top() + place.height() * share))
        painter.drawRect(window)
    text = theme.style.number(fuse.rating)
    font = QFont(painter.font().family())
    font.setPixelSize(round(place.height() * 0.45))
    font.setWeight(QFont.Weight.DemiBold)
    wide = QFontMetricsF(font).horizontalAdvance(text)
    if wide > place.width() * 0.92:
        font.setPixelSize(max(1, int(font.pixelSize() * place.width() * 0.92 / wide)))
    device = painter.device()
    scale = abs(painter.deviceTransform().m11()) / (device.devicePixelRatioF() if device else 1.0)
    if font.pixelSize() * scale < READABLE:  # the words beside it say the rating
        return
    painter.setFont(font)
    painter.setPen(writing)
    painter.drawText(place, Qt.AlignmentFlag.AlignCenter, text)


def _battery(painter: QPainter, ink: Ink) -> None:
    painter.setPen(ink.rim)
    painter.setBrush(ink.body)
    for left in (9.0, 25.0):
        painter.drawRect(QRectF(left, 9, 6, 5))
    painter.drawRoundedRect(QRectF(5, 13, 30, 19), 2.5, 2.5)
    painter.setPen(QPen(ink.pins, 2.2))
    for line in (((10, 23), (15, 23)), ((12.5, 20.5), (12.5, 25.5)), ((25, 23), (30, 23))):
        painter.drawLine(QPointF(*line[0]), QPointF(*line[1]))


def _relay(painter: QPainter, ink: Ink) -> None:
    painter.setPen(ink.rim)
    painter.setBrush(ink.body)
    painter.drawRoundedRect(QRectF(10, 6, 20, 22), 2.5, 2.5)
    painter.setPen(QPen(ink.line, 1))
    painter.setBrush(ink.pins)
    for left in (12.0, 18.5, 25.0):
        painter.drawRect(QRectF(left, 28, 3, 6))
    painter.setPen(QPen(ink.pins, 1.8))
    painter.drawRect(QRectF(13.5, 12, 6, 8))
    painter.drawLine(QPointF(22, 20), QPointF(26, 12))


def _feed(painter: QPainter, ink: Ink) -> None:
    """A cable that comes from above and goes on in three."""
    painter.setPen(ink.stroke(3))
    painter.drawLine(QPointF(20, 6), QPointF(20, 18))
    painter.drawLine(QPointF(9, 18), QPointF(31, 18))
    for x in (9.0, 20.0, 31.0):
        painter.drawLine(QPointF(x, 18), QPointF(x, 33))


def _tap(painter: QPainter, ink: Ink) -> None:
    """Two fuses in one holder with a lead out."""
    painter.setPen(ink.rim)
    painter.setBrush(ink.body)
    painter.drawRoundedRect(QRectF(7, 8, 24, 18), 2.5, 2.5)
    painter.setPen(QPen(ink.line, 1))
    painter.setBrush(ink.pins)
    for left in (11.0, 16.0):
        painter.drawRect(QRectF(left, 26, 3, 7))
    for left in (10.0, 20.5):
        painter.drawRoundedRect(QRectF(left, 11, 7.5, 10), 1.2, 1.2)
    painter.setPen(ink.stroke(2.4))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline([QPointF(26, 26), QPointF(26, 31), QPointF(34, 31)])


def _cable(painter: QPainter, ink: Ink) -> None:
    """A reel with an end hanging out."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(ink.stroke(3.2))
    painter.drawEllipse(QPointF(19, 20), 12, 12)
    painter.drawEllipse(QPointF(19, 20), 7, 7)
    painter.setPen(ink.stroke(2.4))
    painter.drawPolyline([QPointF(29, 26), QPointF(33, 31), QPointF(36, 31)])
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink.line)
    painter.drawEllipse(QPointF(19, 20), 2.6, 2.6)


def _device(painter: QPainter, ink: Ink) -> None:
    """A box with two contacts."""
    painter.setPen(ink.rim)
    painter.setBrush(ink.body)
    painter.drawRoundedRect(QRectF(6, 10, 28, 20), 3.5, 3.5)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink.pins)
    for left in (10.5, 22.5):
        painter.drawRoundedRect(QRectF(left, 15, 7, 10), 1.5, 1.5)


def _earth(painter: QPainter, ink: Ink) -> None:
    painter.setPen(ink.stroke(3))
    painter.drawLine(QPointF(20, 7), QPointF(20, 19))
    for half, y in ((13, 19), (8, 25.5), (3.5, 32)):
        painter.drawLine(QPointF(20 - half, y), QPointF(20 + half, y))


_DRAW: Final[dict[str, Callable[[QPainter, Ink], None]]] = {
    "battery": _battery,
    "relay": _relay,
    "feed": _feed,
    "tap": _tap,
    "cable": _cable,
    "device": _device,
    "earth": _earth,
}
