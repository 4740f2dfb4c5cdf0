"""The meter at its place on the stage: its words beside it, its leads to where the tips are held.

In: a `Holding` (how the meter is set, where the tips go), places. Out: paint. The leads leave the
jacks downwards, run below the meter to a gutter in which no word stands, and up it to their tips.
"""

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPainterPath, QPen

from fusemap.window.beside.big import LEFT, draw_line
from fusemap.window.beside.meter import Jacks, Setting, draw_bare_metal, draw_lead
from fusemap.window.beside.scale import SMALL
from fusemap.window.style.theme import Theme

Tips = Literal["windows", "body", "contacts", "battery", "none"]
"""Across the fuse, fuse to bare metal, contact to bare metal, between battery and its lead."""
_WRAP = Qt.TextFlag.TextWordWrap


class Holding(Struct, frozen=True):
    """How the meter is set, where the tips are held, and that in words."""

    setting: Setting
    tips: Tips
    words: str

    @property
    def lines(self) -> tuple[str, ...]:
        """Range, jacks and tips, a line for each."""
        return tuple(filter(None, (self.setting.words(), self.setting.jack_words(), self.words)))


class Pen(Struct, frozen=True):
    """What a drawing of the stage is made with: the painter, the scale [px per px], the theme."""

    painter: QPainter
    unit: float
    theme: Theme


def write_lines(pen: Pen, place: QRectF, lines: Sequence[str], strong: int = 0) -> None:
    """Lines below each other, wrapped, smaller where they must; one of them in bold."""
    painter, gap = pen.painter, SMALL * pen.unit * 0.2
    if place.width() < 8 or not lines:
        return
    font = QFont(painter.font())
    blocks: list[tuple[str, float, bool]] = []
    for share in (1.0, 0.92, 0.84, 0.76, 0.68, 0.6, 0.52):
        font.setPixelSize(max(6, round(SMALL * pen.unit * share)))
        blocks, wide = [], 0.0
        for number, text in enumerate(lines):
            font.setBold(number == strong)
            room = QFontMetricsF(font).boundingRect(QRectF(0, 0, place.width(), 9999), _WRAP, text)
            blocks.append((text, room.height(), number == strong))
            wide = max(wide, room.width())
        needed = sum(high + gap for _, high, _ in blocks)
        if needed <= place.height() and wide <= place.width():
            break
    top = place.top()
    for text, high, bold in blocks:
        font.setBold(bold)
        painter.setFont(font)
        painter.setPen(pen.theme.colour("text" if bold else "muted_text"))
        painter.drawText(QRectF(place.left(), top, place.width(), high), _WRAP, text)
        top += high + gap


def draw_leads_to_fuse(
    pen: Pen, held: Holding, jacks: Jacks, body: QRectF, lid_bottom: float, *, lying: bool
) -> None:
    """Both leads from their jacks, below the meter, up the gutter, to where the tips go."""
    if not held.setting.leads or not body.width():
        return
    unit = pen.unit
    first, second = windows_of(body, lying=lying)
    gutter = body.left() - 30 * unit
    red_x, black_x = gutter - 10 * unit, gutter + 6 * unit
    ends = [QPointF(black_x, second.y() + 6 * unit), second]
    if lying:
        under = body.bottom() + 15 * unit
        ends = [QPointF(black_x, under), QPointF(second.x() - 30 * unit, under), second]
    if held.tips in ("body", "contacts"):
        metal = QPointF(black_x + 34 * unit, lid_bottom + 4 * unit)
        draw_bare_metal(pen.painter, metal, unit, pen.theme)
        ends = [QPointF(black_x, metal.y() + 8 * unit), metal]
    for jack, x, below, last, colour in (
        (jacks.black, black_x, 12, ends, "lead_black"),
        (jacks.red, red_x, 22, [QPointF(red_x, first.y() - 6 * unit), first], "lead_red"),
    ):
        y = jacks.bottom + below * unit
        way = (jack, QPointF(jack.x(), y), QPointF(x, y), *last)
        draw_lead(pen.painter, way, colour, unit, pen.theme)


def windows_of(body: QRectF, *, lying: bool) -> tuple[QPointF, QPointF]:
    """The middles of the two test windows of a fuse, the upper or left one first."""
    middle = body.center()
    if lying:
        aside = body.width() * 0.41
        return middle - QPointF(aside, 0), middle + QPointF(aside, 0)
    up = body.height() * 0.41
    return middle - QPointF(0, up), middle + QPointF(0, up)


def draw_battery_between(pen: Pen, place: QRectF, jacks: Jacks, *, bridge: bool = False) -> None:
    """The battery, its minus lead taken off, the meter between the two: red on the lead.

    With a bridge from the one to the other the circuit is never open.
    """
    unit, painter, theme = pen.unit, pen.painter, pen.theme
    box = QRectF(0, 0, 104 * unit, 66 * unit)
    box.moveTo(place.left() + 30 * unit, place.top() + 92 * unit)
    painter.setPen(QPen(theme.colour("frame"), 2 * unit))
    painter.setBrush(theme.colour("part"))
    painter.drawRoundedRect(box, 6 * unit, 6 * unit)
    posts = []
    for share, sign in ((0.22, "−"), (0.78, "+")):
        post = QRectF(0, 0, 20 * unit, 12 * unit)
        post.moveCenter(QPointF(box.left() + box.width() * share, box.top() - 5 * unit))
        painter.setBrush(theme.colour("part_pin"))
        painter.drawRoundedRect(post, 3 * unit, 3 * unit)
        words = QRectF(post.left() - 8 * unit, box.top() + 12 * unit, 36 * unit, 36 * unit)
        draw_line(painter, words, sign, theme.colour("text"), bold=True)
        posts.append(QPointF(post.center().x(), post.top() + 3 * unit))
    end = QPointF(posts[0].x(), box.top() - 62 * unit)
    cable = QPen(theme.colour("lead_black"), 9 * unit)
    cable.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(cable)
    painter.drawLine(end, QPointF(place.right(), end.y()))
    if bridge:
        _draw_bridge(pen, posts[0], end)
    for jack, x, below, tip, colour in (
        (jacks.black, place.left() + 16 * unit, 12, posts[0], "lead_black"),
        (jacks.red, place.left() + 2 * unit, 22, end, "lead_red"),
    ):
        y = jacks.bottom + below * unit
        side = QPointF(x, tip.y() - 2 * unit)
        way = (jack, QPointF(jack.x(), y), QPointF(x, y), side, tip)
        draw_lead(painter, way, colour, unit, theme)


def _draw_bridge(pen: Pen, post: QPointF, end: QPointF) -> None:
    """A short lead from the battery's minus to the clamp that is taken off it."""
    unit, painter, theme = pen.unit, pen.painter, pen.theme
    out = post.x() + 34 * unit
    path = QPainterPath(post)
    path.cubicTo(QPointF(out, post.y()), QPointF(out, end.y()), end)
    for ink, wide in ((theme.colour("window"), 11.0), (theme.colour("accent"), 6.0)):
        line = QPen(ink, wide * unit)
        line.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(line)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)
    words = QRectF(out - 2 * unit, min(post.y(), end.y()) + 4 * unit, 110 * unit,
                   abs(post.y() - end.y()) - 8 * unit)  # fmt: skip
    bridge = QCoreApplication.translate("Meter", "bridge")
    most = min(0.8, SMALL * unit / max(1.0, words.height()))
    draw_line(painter, words, bridge, theme.colour("accent"), most=most, align=LEFT)
