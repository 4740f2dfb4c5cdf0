"""Text on paper: fonts, lines broken to a width, signs that no font has.

In: texts, widths and sizes. Out: set texts that know their height and draw themselves line by line.
All lengths are dots of 1/1200 inch, whatever the device; sizes of type are points. Source of the
point: 1/72 inch, as in PDF (ISO 32000-1, 8.3.2.3).
"""

from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QFontMetrics,
    QFontMetricsF,
    QPainter,
    QTextLayout,
    QTextOption,
)

DOTS: Final = 1200
"""Dots per inch in which everything is laid out."""

FAMILIES: Final = ("DejaVu Sans", "Noto Sans", "Segoe UI", "Helvetica Neue", "Arial")
"""Fonts for print in order of preference; the first there is. All can be embedded."""

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


@dataclass(frozen=True, eq=False)
class Setting:
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
    """A text broken to a width; words longer than it are broken anywhere."""
    layout = QTextLayout(drawable(text), font(points, bold))
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
        points = round(points * max(least, place.width() / wide * 0.99), 2)
    fitting = metrics(points, bold).elidedText(shown, Qt.TextElideMode.ElideRight, place.width())
    made = set_text(fitting, place.width() + pt(1), points, bold=bold, align=align, colour=colour)
    offset = {"left": 0.0, "right": -pt(1), "centre": -pt(0.5)}[align]
    top = place.center().y() - made.line_height / 2
    made.draw(painter, place.left() + offset, top, last=1)
