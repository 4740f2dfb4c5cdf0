"""The meter as it has to be set, drawn: range on the dial, leads in their jacks; the leads' way.

A meter of no make: a display, a dial with the ranges that are asked for beside a vehicle, three
jacks. The words of ranges and jacks are those of the trade. In: a `Setting`, places. Out: paint.
"""

from collections.abc import Sequence
from math import cos, radians, sin
from typing import Final, Literal

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from fusemap.window.beside.big import RIGHT, draw_line
from fusemap.window.style.theme import Theme

translate = QCoreApplication.translate
Range = Literal["mV", "V", "mA", "10A", "clamp", "none"]
Jack = Literal["10A", "COM", "VΩ"]

DIAL: Final[tuple[tuple[str, float], ...]] = (
    ("OFF", 225.0), ("V", 180.0), ("mV", 137.0), ("Ω", 90.0), ("mA", 43.0), ("10A", 0.0),
)  # fmt: skip
"""Words round the dial with the angle each stands at, counted from the right against the clock."""
JACKS: Final[tuple[Jack, ...]] = ("10A", "COM", "VΩ")
GLASS: Final = "#c9d3c4"
GLASS_INK: Final = "#10181a"
"""The display of the meter, dark on grey-green, as such displays are."""
HIGH: Final = 274.0
WIDE: Final = 202.0
"""The drawn meter in the design [px]."""


class Setting(Struct, frozen=True):
    """How the meter is set for a reading; a clamp has no leads, and goes round one or `several`."""

    range: Range
    several: bool = False

    @property
    def red(self) -> Jack:
        """The jack that the red lead is in."""
        return "10A" if self.range in ("mA", "10A") else "VΩ"

    @property
    def leads(self) -> bool:
        """Whether the two leads are used."""
        return self.range not in ("clamp", "none")

    def words(self) -> str:
        """The range in the words that stand beside the meter."""
        return {
            "mV": translate("Meter", "mV, DC"),
            "V": translate("Meter", "V, DC"),
            "mA": translate("Meter", "10 A or mA, DC"),
            "10A": translate("Meter", "10 A, DC"),
            "clamp": translate("Meter", "Clamp, A, DC"),
            "none": "",
        }[self.range]

    def jack_words(self) -> str:
        """Where the leads are plugged in."""
        if self.range == "clamp":
            return translate("Meter", "zero it first, arrow with the current")
        if self.range == "none":
            return ""
        if self.red == "10A":
            return translate("Meter", "red in 10A, black in COM")
        return translate("Meter", "red in VΩ, black in COM")


class Jacks(Struct, frozen=True):
    """Where the two leads leave the drawn meter, and where its underside is."""

    red: QPointF
    black: QPointF
    bottom: float


def draw_meter(
    painter: QPainter, place: QRectF, setting: Setting, shows: str, theme: Theme
) -> Jacks:
    """Draw the meter into a place of 202 × 274 shares; what its display shows is `shows`."""
    unit = min(place.width() / WIDE, place.height() / HIGH)
    body = QRectF(0, 0, WIDE * unit, HIGH * unit)
    body.moveCenter(place.center())
    painter.setPen(QPen(theme.colour("line"), 2 * unit))
    painter.setBrush(theme.colour("raised"))
    painter.drawRoundedRect(body, 14 * unit, 14 * unit)
    _draw_glass(painter, body, unit, shows)
    if setting.range == "clamp":
        return _draw_jaw(painter, body, unit, setting, theme)
    _draw_dial(painter, body, unit, setting, theme)
    return _draw_jacks(painter, body, unit, setting, theme)


def _draw_glass(painter: QPainter, body: QRectF, unit: float, shows: str) -> None:
    glass = QRectF(body.left() + 13 * unit, body.top() + 13 * unit, body.width() - 26 * unit,
                   56 * unit)  # fmt: skip
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(GLASS))
    painter.drawRoundedRect(glass, 5 * unit, 5 * unit)
    ink = QColor(GLASS_INK)
    high = max(18 * unit, 11.0)  # to be read in a small picture, too
    small = QRectF(glass.left() + 8 * unit, glass.top() + 4 * unit, 34 * unit, high)
    draw_line(painter, small, "DC", ink, bold=True)
    room = glass.adjusted(46 * unit, 4 * unit, -10 * unit, -4 * unit)
    draw_line(painter, room, shows, ink, bold=True, most=0.74, align=RIGHT)


def _draw_dial(
    painter: QPainter, body: QRectF, unit: float, setting: Setting, theme: Theme
) -> None:
    middle = QPointF(body.center().x(), body.top() + 152 * unit)
    radius = 46 * unit
    painter.setPen(QPen(theme.colour("line"), 2 * unit))
    painter.setBrush(theme.colour("window"))
    painter.drawEllipse(middle, radius, radius)
    for word, angle in DIAL:
        there = _round(middle, radius + 25 * unit, angle)
        chosen = word == ("mA" if setting.range == "mA" else setting.range)
        size = (22 if chosen else 16) * unit
        room = QRectF(there.x() - 24 * unit, there.y() - size * 0.65, 48 * unit, size * 1.3)
        ink = theme.colour("accent" if chosen else "muted_text")
        draw_line(painter, room, word, ink, bold=chosen, most=0.78)
        if chosen:
            pen = QPen(theme.colour("accent"), 7 * unit)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            painter.setPen(pen)
            painter.drawLine(_round(middle, radius * 0.86, angle),
                             _round(middle, radius * 0.72, angle + 180))  # fmt: skip


def _round(middle: QPointF, radius: float, angle: float) -> QPointF:
    return QPointF(
        middle.x() + radius * cos(radians(angle)), middle.y() - radius * sin(radians(angle))
    )


def _draw_jacks(
    painter: QPainter, body: QRectF, unit: float, setting: Setting, theme: Theme
) -> Jacks:
    """Three jacks at the foot; the two that are used are ringed and named in white."""
    used = (setting.red, "COM") if setting.leads else ()
    at: dict[Jack, QPointF] = {}
    for number, jack in enumerate(JACKS):
        point = QPointF(body.left() + (40 + 61 * number) * unit, body.bottom() - 24 * unit)
        at[jack] = point
        bright = jack in used
        name = QRectF(point.x() - 30 * unit, point.y() - 32 * unit, 60 * unit, 20 * unit)
        draw_line(painter, name, jack, theme.colour("text" if bright else "muted_text"),
                  bold=bright, most=0.78)  # fmt: skip
        painter.setPen(QPen(theme.colour("text" if bright else "frame"), 2.5 * unit))
        fill = theme.colour("window")
        if bright:
            fill = theme.colour("lead_red" if jack != "COM" else "lead_black")
        painter.setBrush(fill)
        painter.drawEllipse(point, 10 * unit, 10 * unit)
    return Jacks(at[setting.red], at["COM"], body.bottom())


def _draw_jaw(
    painter: QPainter, body: QRectF, unit: float, setting: Setting, theme: Theme
) -> Jacks:
    """A clamp closed round one cable, and the arrow of the current."""
    middle = QPointF(body.center().x(), body.top() + 166 * unit)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(theme.colour("part"), 20 * unit))
    painter.drawEllipse(middle, 56 * unit, 56 * unit)
    painter.setPen(QPen(theme.colour("raised"), 5 * unit))
    for angle in (90.0, 270.0):
        painter.drawLine(_round(middle, 44 * unit, angle), _round(middle, 68 * unit, angle))
    pen = QPen(theme.colour("lead_red"), 12 * unit)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.drawLine(QPointF(body.left() + 24 * unit, middle.y() + 60 * unit),
                     QPointF(body.right() - 24 * unit, middle.y() - 60 * unit))  # fmt: skip
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("text"))
    tip = QPointF(middle.x() + 13 * unit, middle.y() - 10 * unit)
    painter.drawPolygon(QPolygonF([
        tip, tip + QPointF(-21 * unit, 2 * unit), tip + QPointF(-9 * unit, 17 * unit)
    ]))  # fmt: skip
    words = QRectF(body.left() + 8 * unit, body.bottom() - 34 * unit, body.width() - 16 * unit,
                   26 * unit)  # fmt: skip
    cables = translate("Meter", "one cable only")
    if setting.several:
        cables = translate("Meter", "all of them together")
    draw_line(painter, words, cables, theme.colour("text"), most=0.7)
    return Jacks(middle, middle, body.bottom())


# --- the leads ------------------------------------------------------------------------------------


def draw_lead(
    painter: QPainter, way: Sequence[QPointF], colour: str, unit: float, theme: Theme
) -> None:
    """A lead along a way, with a casing in the ground's colour, its tip at the last place."""
    if len(way) < 3:
        return
    path = _rounded(way[:-1], 12 * unit)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for ink, wide in ((theme.colour("window"), 10.0), (theme.colour(colour), 6.0)):
        pen = QPen(ink, wide * unit)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        painter.drawPath(path)
    _draw_tip(painter, way[-2], way[-1], colour, unit, theme)


def _rounded(way: Sequence[QPointF], radius: float) -> QPainterPath:
    """A way with round corners."""
    path = QPainterPath(way[0])
    for before, here, after in zip(way, way[1:], way[2:], strict=False):
        path.lineTo(_towards(here, before, radius))
        path.quadTo(here, _towards(here, after, radius))
    path.lineTo(way[-1])
    return path


def _towards(here: QPointF, there: QPointF, far: float) -> QPointF:
    way = there - here
    length = max(1e-6, (way.x() ** 2 + way.y() ** 2) ** 0.5)
    return here + way * min(1.0, far / length * min(1.0, length / (2 * far)) if far else 0.0)


def _draw_tip(
    painter: QPainter, start: QPointF, end: QPointF, colour: str, unit: float, theme: Theme
) -> None:
    """The handle in the lead's colour, and the bare point."""
    handle = _towards_share(start, end, 0.62)
    for a, b, ink, wide in (
        (start, end, theme.colour("window"), 9.0),
        (handle, end, theme.colour("text"), 4.0),
        (start, handle, theme.colour(colour), 14.0),
    ):
        pen = QPen(ink, wide * unit)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.drawLine(a, b)


def _towards_share(start: QPointF, end: QPointF, share: float) -> QPointF:
    return start + (end - start) * share


def draw_bare_metal(painter: QPainter, at: QPointF, unit: float, theme: Theme) -> None:
    """The sign of the body: a bolt's head on bare metal, three lines below it."""
    painter.setPen(QPen(theme.colour("text"), 3.5 * unit))
    painter.drawLine(at, at + QPointF(0, 12 * unit))
    for number, half in enumerate((18.0, 12.0, 6.0)):
        y = at.y() + (12 + 7 * number) * unit
        painter.drawLine(QPointF(at.x() - half * unit, y), QPointF(at.x() + half * unit, y))
