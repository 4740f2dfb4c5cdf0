"""Text and marks on paper: fonts, lines broken to a width, signs that no font has, drawings.

In: texts, widths and sizes. Out: set texts that know their height and draw themselves line by line.
All lengths are dots of 1/1200 inch, whatever the device; sizes of type are points. Source of the
point: 1/72 inch, as in PDF (ISO 32000-1, 8.3.2.3).

Marks are our own drawings. They carry a meaning by shape and sign, never by colour alone.
Severities: an octagon, a triangle, a disc. Feed classes: the terminal number, or a sign. A padlock
for critical, an eye for monitored, a tick box, a number on black for an accessory.
"""

from functools import cache
from typing import Final, Literal

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QFontMetrics,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QTextLayout,
    QTextOption,
)

from fusemap.hyphens import SHORTEST, softened
from fusemap.shapes import regular_polygon
from fusemap.sheet.style import FEED_SIGNS
from fusemap.vehicle import FeedClass

DOTS: Final = 1200
"""Dots per inch in which everything is laid out."""

FAMILIES: Final = ("DejaVu Sans", "Noto Sans", "Segoe UI", "Helvetica Neue", "Arial")
"""Fonts for print in order of preference; the first there is. All can be embedded."""

SMALLEST: Final = 7.5
"""No type on paper is smaller [points]: it is read lying under a dash."""

INK: Final = "#111111"
GREY: Final = "#4d4d4d"
LINE: Final = "#9a9a9a"
PALE: Final = "#ececec"
WHITE: Final = "#ffffff"
STOP: Final = "#a3150f"

Align = Literal["left", "right", "centre"]
_FLAGS: Final = {
    "left": Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignAbsolute,
    "right": Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignAbsolute,
    "centre": Qt.AlignmentFlag.AlignHCenter,
}


def pt(points: float) -> float:
    """Points in dots."""
    return points * DOTS / 72


def mm(millimetres: float) -> float:
    """Millimetres in dots."""
    return millimetres * DOTS / 25.4


@cache
def family() -> str:
    """The font of the sheet: the first of `FAMILIES` there is, else what the system offers."""
    there = set(QFontDatabase.families())
    usual = QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont).family()
    return next((name for name in FAMILIES if name in there), usual)


@cache
def font(points: float, bold: bool = False) -> QFont:
    """The sheet's font in a size, spaced the same on every device."""
    made = QFont(family())
    made.setPixelSize(round(pt(points)))
    made.setBold(bold)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    # a ligature is one sign to a viewer: nobody would find “off” by typing it
    made.setFeature(QFont.Tag("liga"), 0)
    return made


@cache
def metrics(points: float, bold: bool = False) -> QFontMetricsF:
    """Measures of that font [dots]."""
    return QFontMetricsF(font(points, bold))


@cache
def _has(sign: str) -> bool:
    """Whether any font of this system has a sign."""
    return sign.isspace() or QFontMetrics(font(9)).inFontUcs4(ord(sign))


def drawable(text: str) -> str:
    """A text in which signs that no font here has stand as their number: “[U+4E2D]”.

    An empty box would lose what was written; the number can be looked up.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(sign if _has(sign) else f"[U+{ord(sign):04X}]" for sign in text)


class Setting(Struct, frozen=True, eq=False):
    """A text broken into lines of a width."""

    layout: QTextLayout
    line_height: float
    ascent: float
    colour: str

    @property
    def lines(self) -> int:
        """How many lines there are."""
        return self.layout.lineCount()

    @property
    def natural(self) -> float:
        """Width of the widest line, as it is drawn."""
        widths = (self.layout.lineAt(i).naturalTextWidth() for i in range(self.lines))
        return max(widths, default=0.0)

    @property
    def height(self) -> float:
        """Height of all lines."""
        return self.lines * self.line_height

    def draw(
        self, painter: QPainter, x: float, y: float, first: int = 0, last: int | None = None
    ) -> None:
        """Draw the lines from `first` to before `last`, the first one at the top of the place."""
        painter.setPen(QColor(self.colour))
        end = self.lines if last is None else min(last, self.lines)
        for index in range(first, end):
            line = self.layout.lineAt(index)
            top = y + (index - first) * self.line_height + self.ascent - line.ascent()
            line.draw(painter, QPointF(x, top - line.y()))


def set_text(
    text: str,
    width: float,
    points: float = 9.0,
    *,
    bold: bool = False,
    align: Align = "left",
    colour: str = INK,
    spacing: float = 1.22,
) -> Setting:
    """A text broken to a width; a word longer than it between syllables, else anywhere."""
    layout = QTextLayout(breakable(text, width, points, bold), font(points, bold))
    option = QTextOption(_FLAGS[align])
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    option.setTextDirection(Qt.LayoutDirection.LeftToRight)
    layout.setTextOption(option)
    layout.beginLayout()
    while True:
        line = layout.createLine()
        if not line.isValid():
            break
        line.setLineWidth(max(width, pt(points) * 1.1))
    layout.endLayout()
    layout.setCacheEnabled(True)
    measure = metrics(points, bold)
    height = pt(points) * spacing
    lead = (height - measure.ascent() - measure.descent()) / 2
    return Setting(layout, height, lead + measure.ascent(), colour)


def breakable(text: str, width: float, points: float, bold: bool = False) -> str:
    """A text as it can be drawn; words wider than the width have soft hyphens."""
    measure = metrics(points, bold)
    return " ".join(
        softened(word)
        if len(word) >= SHORTEST and measure.horizontalAdvance(word) > width
        else word
        for word in drawable(text).split(" ")
    )


def draw_line(
    painter: QPainter,
    place: QRectF,
    text: str,
    points: float,
    *,
    bold: bool = False,
    align: Align = "left",
    colour: str = INK,
    least: float = 1.0,
) -> None:
    """A single line in the middle of a place; made smaller down to `least`, then cut with “…”."""
    shown = drawable(text)
    wide = metrics(points, bold).horizontalAdvance(shown)
    if wide > place.width() and least < 1.0:
        smaller = round(points * max(least, place.width() / wide * 0.99), 2)
        points = max(smaller, min(points, SMALLEST))
    fitting = metrics(points, bold).elidedText(shown, Qt.TextElideMode.ElideRight, place.width())
    made = set_text(fitting, place.width() + pt(1), points, bold=bold, align=align, colour=colour)
    offset = {"left": 0.0, "right": -pt(1), "centre": -pt(0.5)}[align]
    top = place.center().y() - made.line_height / 2
    made.draw(painter, place.left() + offset, top, last=1)


def pen(width_pt: float, colour: str = INK, *, dashed: bool = False) -> QPen:
    """A pen of a width in points."""
    made = QPen(QColor(colour), pt(width_pt))
    made.setCapStyle(Qt.PenCapStyle.FlatCap)
    made.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if dashed:
        made.setDashPattern([4.0, 3.0])
    return made


def severity(painter: QPainter, place: QRectF, kind: str) -> None:
    """The mark of a severity in a square, or of a question."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(STOP if kind == "stop" else INK))
    if kind == "stop":
        painter.drawPolygon(_polygon(place, 8, 0.5))
        painter.setBrush(QColor(WHITE))
        wide, high = place.width() * 0.56, place.height() * 0.16
        painter.drawRect(
            QRectF(place.center().x() - wide / 2, place.center().y() - high / 2, wide, high)
        )
        return
    if kind == "caution":
        painter.drawPolygon(_polygon(place, 3, 0.0))
        place = place.adjusted(0, place.height() * 0.2, 0, place.height() * 0.06)
    else:
        painter.drawEllipse(place)
    sign = {"caution": "!", "question": "?"}.get(kind, "i")
    size = place.height() / pt(1) * 0.66
    draw_line(painter, place, sign, size, bold=True, align="centre", colour=WHITE)


def _polygon(place: QRectF, corners: int, turned: float) -> QPolygonF:
    """A regular polygon, point up, turned by a share of a corner and stretched to its place."""
    return QPolygonF(
        [
            QPointF(place.left() + x * place.width(), place.top() + y * place.height())
            for x, y in regular_polygon(corners, turned)
        ]
    )


def badge_width(text: str, high: float) -> float:
    """Width of a badge of this height."""
    return max(high, metrics(_badge_size(high), True).horizontalAdvance(text) + high * 0.5)


def _badge_size(high: float) -> float:
    return max(SMALLEST, round(high / pt(1) * 0.68, 2))


def badge(
    painter: QPainter, x: float, y: float, high: float, text: str, wide: float | None = None
) -> float:
    """An accessory's number in white on black; gives its width, its own where none is given."""
    wide = badge_width(text, high) if wide is None else wide
    place = QRectF(x, y, wide, high)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(INK))
    painter.drawRoundedRect(place, high * 0.3, high * 0.3)
    draw_line(
        painter, place, text, _badge_size(high), bold=True, align="centre", colour=WHITE, least=0.6
    )
    return wide


def tick_box(painter: QPainter, place: QRectF) -> None:
    """An empty box to tick."""
    painter.setPen(pen(0.9))
    painter.setBrush(QColor(WHITE))
    painter.drawRect(place)


def padlock(painter: QPainter, place: QRectF) -> None:
    """Critical: leave alone."""
    w, h = place.width(), place.height()
    body = QRectF(place.left() + w * 0.1, place.top() + h * 0.44, w * 0.8, h * 0.56)
    bow = QPainterPath()
    bow.moveTo(place.left() + w * 0.27, body.top())
    bow.lineTo(place.left() + w * 0.27, place.top() + h * 0.3)
    bow.arcTo(
        QRectF(place.left() + w * 0.27, place.top() + h * 0.06, w * 0.46, h * 0.48), 180, -180
    )
    bow.lineTo(place.left() + w * 0.73, body.top())
    painter.setPen(QPen(QColor(INK), w * 0.13))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(bow)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(INK))
    painter.drawRect(body)


def feed_mark(painter: QPainter, place: QRectF, feed_class: FeedClass) -> None:
    """The mark of a feed class, in black and white, in the middle of a place broader than high."""
    high, number = place.height(), FEED_SIGNS[feed_class]
    round_ = feed_class in ("delayed_off", "unfed")
    mark = QRectF(0, 0, high if round_ else min(high * 1.45, place.width()), high)
    if feed_class == "accessory":
        mark.setWidth(place.width())
    mark.moveCenter(place.center())
    filled = feed_class == "permanent"
    line = pen(0.6)
    if feed_class == "unknown":
        line.setDashPattern([2.0, 1.5])
    painter.setPen(line)
    painter.setBrush(QColor(INK if filled else WHITE))
    if not round_:
        corner = high * (0.5 if feed_class == "lighting" else 0.2)
        painter.drawRoundedRect(mark, corner, corner)
        ink, sign = WHITE if filled else INK, number
        draw_line(painter, mark, sign, SMALLEST, bold=True, align="centre", colour=ink)
        return
    painter.drawEllipse(mark)
    if feed_class == "unfed":
        off = high * 0.146
        inner = mark.adjusted(off, off, -off, -off)
        painter.drawLine(inner.bottomLeft(), inner.topRight())
        return
    painter.setBrush(QColor(INK))
    painter.drawPie(mark, 90 * 16, -120 * 16)


def eye(painter: QPainter, place: QRectF) -> None:
    """Monitored: the vehicle watches."""
    middle, w, h = place.center(), place.width(), place.height() * 0.34
    path = QPainterPath(QPointF(place.left(), middle.y()))
    path.quadTo(QPointF(middle.x(), middle.y() - h * 2), QPointF(place.right(), middle.y()))
    path.quadTo(QPointF(middle.x(), middle.y() + h * 2), QPointF(place.left(), middle.y()))
    painter.setPen(QPen(QColor(INK), w * 0.1))
    painter.setBrush(QColor(WHITE))
    painter.drawPath(path)
    painter.setBrush(QColor(INK))
    painter.drawEllipse(middle, w * 0.16, w * 0.16)


def arrow_head(painter: QPainter, tip: QPointF, way: QPointF, size: float) -> None:
    """A filled head of an arrow that points along `way`, a direction of length 1."""
    back = tip - way * size
    aside = QPointF(-way.y(), way.x()) * (size * 0.5)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(INK))
    painter.drawPolygon(QPolygonF([tip, back + aside, back - aside]))
