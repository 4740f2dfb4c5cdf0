"""A connection on paper: the picture of its tap, its facts beside it, its predicted figures below.

In: a `Job` and the width there is. Out: strips that stay together where a page can hold them. The
picture shows the live side, host fuse, accessory fuse, and where the lead branches off; a slot is
drawn the way its live side lies under the dash, fuses as in circuit diagrams. Source of the fuse's
sign: IEC 60617, a rectangle with the conductor through it. Our own drawing. Lengths are dots of
1/1200 inch.
"""

from collections.abc import Iterator
from itertools import zip_longest
from typing import Final

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from fusemap.assess.verdict import Verdict
from fusemap.sheet.content import Job, Predicted, TapPicture
from fusemap.sheet.paint_flow import Draw, Strip, fact_strips
from fusemap.sheet.paint_ink import (
    GREY,
    INK,
    LINE,
    SMALLEST,
    WHITE,
    Align,
    Setting,
    arrow_head,
    badge,
    badge_width,
    draw_line,
    mm,
    pen,
    pt,
    set_text,
    severity,
)
from fusemap.vehicle.words import BEHIND

WIDE_MM, HIGH_MM = 64.0, 40.0
"""Room of the picture, in the units that it is drawn in."""
SCALE: Final = 1.5
"""Millimetres on paper of such a unit: so large that its words can be read."""
APART = mm(4)
SIGNS: Final[dict[Verdict, str]] = {
    "fails": "stop",
    "may_not_hold": "caution",
    "unchecked": "question",
}
"""The sign beside a figure that does not plainly hold."""


def job_strips(job: Job, wide: float) -> Iterator[Strip]:
    """Title, picture with facts, figures."""
    yield from _title(job, wide)
    yield from _body(job, wide)
    yield from _figures(job, wide)


def _title(job: Job, wide: float) -> Iterator[Strip]:
    high = mm(5.4)
    inset = badge_width(job.badge, high) + mm(2.5)
    made = set_text(job.title, wide - inset, 11, bold=True)
    for index in range(made.lines):

        def draw(painter: QPainter, x: float, y: float, index: int = index) -> None:
            if index == 0:
                painter.setPen(pen(0.5, LINE))
                painter.drawLine(QPointF(x, y), QPointF(x + wide, y))
                badge(painter, x, y + pt(3), high, job.badge)
            made.draw(painter, x + inset, y + pt(4), index, index + 1)

        last = index == made.lines - 1
        height = max(high + pt(5), made.line_height + pt(5)) if last else made.line_height
        yield Strip(height, draw, keep=True, gap=pt(7) if index == 0 else 0.0)


def _body(job: Job, wide: float) -> Iterator[Strip]:
    """The picture at the left; the facts at its right, the rest of them below."""
    left = mm(WIDE_MM * SCALE) + APART
    facts = list(fact_strips(job.facts, wide - left, mm(31), 8.2))
    beside, used = 0, 0.0
    while beside < len(facts) and used + facts[beside].height < mm(90):
        used += facts[beside].height + facts[beside].gap
        beside += 1
    high = max(mm(HIGH_MM * SCALE), used)

    def draw(painter: QPainter, x: float, y: float) -> None:
        painter.setPen(pen(0.4, LINE))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(x, y, mm(WIDE_MM * SCALE), mm(HIGH_MM * SCALE)))
        draw_tap(painter, x, y, job.picture)
        at = y
        for strip in facts[:beside]:
            strip.draw(painter, x + left, at)
            at += strip.height + strip.gap

    yield Strip(high, draw, keep=bool(facts[beside:]) or bool(job.predicted))
    for strip in facts[beside:]:
        yield Strip(strip.height, _beside([(left, strip)]), gap=strip.gap)


def _figures(job: Job, wide: float) -> Iterator[Strip]:
    """The predicted figures in two columns."""
    half = (wide - mm(6)) / 2
    usual = job.predicted[0].state if job.predicted else ""
    count = -(-len(job.predicted) // 2)
    rows = list(zip_longest(job.predicted[:count], job.predicted[count:]))
    for index, (first, second) in enumerate(rows):
        cells = [(0.0, _figure(first, half, usual if index else ""))]
        if second is not None:
            cells.append((half + mm(6), _figure(second, half, usual)))
        high = max(cell.height for _, cell in cells)
        yield Strip(
            high,
            _beside(cells),
            keep=index < len(rows) - 1,
            gap=pt(4) if index == 0 else pt(0.6),
        )


def _beside(strips: list[tuple[float, Strip]]) -> Draw:
    """How strips draw themselves side by side, each so far from the left."""

    def draw(painter: QPainter, x: float, y: float) -> None:
        for inset, strip in strips:
            strip.draw(painter, x + inset, y)

    return draw


def _figure(predicted: Predicted, wide: float, usual: str) -> Strip:
    """Name, figure, limit and, where it is not the `usual` one, the state of a prediction."""
    name = set_text(predicted.name, mm(33), 7.5, colour=GREY)
    load = set_text(predicted.load.text, mm(18), 8.2, bold=True, align="right")
    said = []
    if predicted.bound:
        limit = "" if predicted.limit is None else predicted.limit.text
        said.append(f"{predicted.bound} {limit}".rstrip())
    if predicted.state and predicted.state != usual:
        said.append(predicted.state)
    rest = set_text(", ".join(said), wide - mm(58), SMALLEST, bold=predicted.stands_out)
    high = max(name.height, load.height, rest.height)

    def draw(painter: QPainter, x: float, y: float) -> None:
        _draw_figure(painter, x, y, (name, load, rest), predicted.verdict)

    return Strip(high, draw)


def _draw_figure(
    painter: QPainter, x: float, y: float, parts: tuple[Setting, Setting, Setting], verdict: Verdict
) -> None:
    name, load, rest = parts
    name.draw(painter, x, y + pt(0.4))
    load.draw(painter, x + mm(33), y)
    rest.draw(painter, x + mm(57), y + pt(0.6))
    if verdict in SIGNS:
        severity(painter, QRectF(x + mm(52.4), y + pt(0.6), mm(3), mm(3)), SIGNS[verdict])


# --- the picture of a tap -------------------------------------------------------------------------


class Board(Struct, frozen=True):
    """A painter with places in mm from the picture's top left; `flip` turns left and right.

    Drawn small its lines have more `weight`, and there is no room for words.
    """

    painter: QPainter
    x: float
    y: float
    words: dict[str, str]
    flip: bool = False
    weight: float = 1.0

    def at(self, x: float, y: float) -> QPointF:
        """A place of the page."""
        across = WIDE_MM - x if self.flip else x
        return QPointF(self.x + mm(across * SCALE), self.y + mm(y * SCALE))

    def line(self, *points: tuple[float, float], wide: float = 1.1) -> None:
        """A conductor through several places."""
        self.painter.setPen(pen(wide * self.weight))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.drawPolyline([self.at(*point) for point in points])

    def arrow(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """A conductor that leads on."""
        self.line(start, end)
        a, b = self.at(*start), self.at(*end)
        way = b - a
        length = (way.x() ** 2 + way.y() ** 2) ** 0.5
        arrow_head(self.painter, b, way / length, mm(2.2))

    def box(
        self, x: float, y: float, w: float, h: float, fill: str = WHITE, *, dashed: bool = False
    ) -> QRectF:
        """A rectangle from its top left corner."""
        place = QRectF(self.at(x, y), self.at(x + w, y + h)).normalized()
        weight = (0.6 if dashed else 0.9) * self.weight
        self.painter.setPen(pen(weight, GREY if dashed else INK, dashed=dashed))
        self.painter.setBrush(Qt.BrushStyle.NoBrush if dashed else QColor(fill))
        self.painter.drawRect(place)
        return place

    def fuse(self, x: float, y: float, *, upright: bool = False) -> None:
        """A fuse around its middle, the conductor through it."""
        w, h = (2.6, 6.4) if upright else (6.4, 2.6)
        self.box(x - w / 2, y - h / 2, w, h)
        if upright:
            self.line((x, y - h / 2), (x, y + h / 2), wide=0.6)
        else:
            self.line((x - w / 2, y), (x + w / 2, y), wide=0.6)

    def dot(self, x: float, y: float, size: float = 1.0) -> None:
        """A joint, with a light rim so that it is seen on black too."""
        self.painter.setPen(pen(0.7, WHITE))
        self.painter.setBrush(QColor(INK))
        self.painter.drawEllipse(self.at(x, y), mm(size), mm(size))

    def number(self, x: float, y: float) -> None:
        """The accessory's number, beginning (flipped: ending) at a place, its middle at y."""
        high = mm(4.2)
        said = self.words["to"] if self.weight == 1.0 else ""
        wide = min(mm(6.8 * SCALE), badge_width(said, high))
        left = self.at(x, y).x() - (wide if self.flip else 0.0)
        badge(self.painter, left, self.at(x, y).y() - high / 2, high, said, wide)

    def say(
        self,
        x: float,
        y: float,
        w: float,
        key: str,
        *,
        align: Align = "left",
        bold: bool = False,
        size: float = SMALLEST,
    ) -> None:
        """A word of the picture on a line of this width, its middle at y."""
        place = QRectF(self.at(x, y - 1.5), self.at(x + w, y + 1.5)).normalized()
        if self.flip and align != "centre":
            align = "left" if align == "right" else "right"
        if self.weight == 1.0:
            text = self.words.get(key, key)
            draw_line(self.painter, place, text, size, bold=bold, align=align)


def draw_tap(
    painter: QPainter, x: float, y: float, picture: TapPicture, weight: float = 1.0
) -> None:
    """The picture with its top left corner at a place of the page."""
    words = dict(picture.words)
    flip = picture.live_side == "right" and picture.kind != "own_feed"
    board = Board(painter, x, y, words, flip, weight)
    if picture.kind == "own_feed":
        _own_feed(board, picture)
    elif picture.live_side in ("top", "bottom"):
        _on_slot_upright(board, picture)
    else:
        _on_slot(board, picture)


# --- on a slot ------------------------------------------------------------------------------------


def _branches_at_live(picture: TapPicture) -> bool:
    return picture.kind not in BEHIND and picture.way_round == "live_side"


def _joint_word(picture: TapPicture) -> str:
    words = {
        "two_fuse": "common",
        "take_off_lead": "take_off",
        "terminal": "terminal",
        "plug": "plug",
    }
    return words.get(picture.kind, "splice")


def _on_slot(b: Board, picture: TapPicture) -> None:
    """Live side at the left (or, flipped, at the right): the branch leads down."""
    level, live, load = 12.0, 8.0, 38.0
    b.box(3, 5.6, 40, 12, dashed=True)
    b.say(3, 2.4, 40, "source", align="centre", bold=True, size=8)
    b.line((live, level), (load, level))
    _contact(b, live - 1.2, level - 2.6, 2.4, 5.2, full=picture.live_side != "unknown")
    _contact(b, load - 1.2, level - 2.6, 2.4, 5.2, full=False)
    if picture.output:
        b.box(19, level - 2.2, 8, 4.4)
    else:
        b.fuse(23, level)
    b.say(13, 8, 20, "host", align="centre")
    b.say(13, 15.4, 20, "host_rating", align="centre", bold=True)
    crossed = picture.kind not in BEHIND and not _branches_at_live(picture)
    b.say(9.4, 20, 27 if crossed else 45, "live", bold=True)
    b.say(16, 23, 20.6, "load", align="right")
    if picture.added:
        b.line((load, level), (48, level))
    else:
        b.arrow((load, level), (57, level))
        b.say(44, 8.6, 19.5, "circuit", align="left")
    node = live if _branches_at_live(picture) else load
    if picture.kind in BEHIND:
        node = 48.0
    b.dot(node, level, 1.3)
    _branch_down(b, picture, node, level)


def _branch_down(b: Board, picture: TapPicture, node: float, level: float) -> None:
    """From the joint down to the accessory fuse and out."""
    low = 31.0
    b.line((node, level), (node, low))
    if node < 20:
        b.say(node + 1.4, 26.4, 30, _joint_word(picture))
        start, fuse, end = node, 27.0, 47.0
    else:
        b.say(node - 31.4, 26.4, 30, _joint_word(picture), align="right")
        start, fuse, end = node, 27.0, 8.0
    b.arrow((start, low), (end, low))
    _accessory_fuse(b, picture, fuse, low)
    if end > start:
        b.number(48, low)
    else:
        b.number(1, low - 3.4)


def _accessory_fuse(b: Board, picture: TapPicture, x: float, y: float) -> None:
    """The accessory fuse on its lead; only its words where there is none."""
    if picture.fused:
        b.fuse(x, y)
        b.say(x - 14, y + 3.4, 28, "accessory_fuse", align="centre")
        b.say(x - 14, y + 6.4, 28, "accessory_rating", align="centre", bold=True)
    else:
        b.say(x - 14, y + 3.4, 28, "no_fuse", align="centre", bold=True)


def _contact(b: Board, x: float, y: float, w: float, h: float, *, full: bool) -> None:
    """A contact of the slot: the live one filled."""
    b.box(x, y, w, h, INK if full else WHITE)


def _on_slot_upright(b: Board, picture: TapPicture) -> None:
    """Live side at the top (or, turned over, at the bottom): the branch leads to the right."""
    at_top = picture.live_side == "top"

    def turned(y: float) -> float:
        return y if at_top else 42.0 - y

    column, live, load, out = 14.0, turned(9), turned(29), turned(37)
    b.say(0.5, 2.0, 27, "source", align="centre", bold=True, size=8)
    top, low = sorted((turned(5), turned(33)))
    b.box(7, top, 14, low - top, dashed=True)
    b.line((column, live), (column, out))
    b.arrow((column, out), (43, out))
    _contact(b, column - 2.6, live - 1.2, 5.2, 2.4, full=True)
    _contact(b, column - 2.6, load - 1.2, 5.2, 2.4, full=False)
    b.fuse(column, turned(19), upright=True)
    _pair(b, 22, turned(19), 15, ("host", "host_rating"))
    b.say(22, turned(5.6), 26, "live", bold=True)
    reversed_ = picture.kind not in BEHIND and not _branches_at_live(picture)
    room = 14.6 if picture.kind in BEHIND else 20
    b.say(22, turned(32.4 if reversed_ else 29), room, "load")
    b.say(44, out, 19.5, "circuit")
    if picture.kind in BEHIND:
        _branch_right(b, picture, (37.2, out), turned(24), turned(33.4))
    else:
        node = live if _branches_at_live(picture) else load
        inward = turned(12.4) if node == live else turned(26)
        _branch_right(b, picture, (column, node), node, inward)


def _branch_right(
    b: Board, picture: TapPicture, node: tuple[float, float], level: float, word: float
) -> None:
    """From the joint to the accessory fuse on its level, and out to the right."""
    x, y = node
    fuse = 47.0
    b.dot(x, y, 1.3)
    b.line((x, y), (x, level))
    b.arrow((x, level), (55.4, level))
    b.say(22.0 if x < 20 else x + 1.8, word, 15, _joint_word(picture))
    if picture.fused:
        b.fuse(fuse, level)
    words = ("accessory_fuse", "accessory_rating") if picture.fused else ("no_fuse", "")
    _pair(b, fuse - 9, level + (4.8 if level < 20 else -4.8), 18, words, align="centre")
    b.number(56.2, level)


def _pair(
    b: Board, x: float, y: float, w: float, keys: tuple[str, str], *, align: Align = "left"
) -> None:
    """A name with its figure under it, around a middle."""
    b.say(x, y - 1.4, w, keys[0], align=align, bold=not keys[1])
    if keys[1]:
        b.say(x, y + 1.4, w, keys[1], align=align, bold=True)


# --- own feed -------------------------------------------------------------------------------------


def _own_feed(b: Board, picture: TapPicture) -> None:
    """The source, its fuse, perhaps a relay with its terminals, the accessory."""
    level = 14.0
    b.box(1, level - 4.5, 12, 9)
    b.say(1.4, level, 11.2, "+", align="centre", bold=True, size=10)
    b.say(0.5, 6.4, 40, "source", bold=True, size=8)
    fuse = 22.0
    if picture.relay:
        b.line((13, level), (38, level))
        _relay(b, level)
        b.arrow((52, level), (60, level))
        b.number(55, level - 3.4)
    else:
        b.arrow((13, level), (54, level))
        b.number(55, level)
        fuse = 32.0
    if picture.fused:
        b.fuse(fuse, level)
    key = "accessory_fuse" if picture.fused else "no_fuse"
    b.say(fuse - 9, level + 4.6, 18, key, align="centre")
    b.say(fuse - 9, level + 7.6, 18, "accessory_rating", align="centre", bold=True)


def _relay(b: Board, level: float) -> None:
    """A relay: contact 30–87 above, coil 86–85 below."""
    b.box(36, level - 5.5, 18, 23)
    b.line((36, level), (41, level))
    b.line((41, level), (48, level - 3.4))
    b.line((49, level), (54, level))
    b.dot(41, level, 0.7)
    b.dot(49, level, 0.7)
    b.say(36.6, level + 2.6, 6, "30", bold=True)
    b.say(47.6, level + 2.6, 6, "87", align="right", bold=True)
    coil = level + 11.5
    b.box(41, coil - 2.5, 8, 5)
    b.line((41, coil), (30, coil))
    b.line((49, coil), (59, coil))
    b.line((59, coil), (59, coil + 5))
    for step, half in enumerate((2.2, 1.4, 0.6)):
        b.line((59 - half, coil + 5 + step), (59 + half, coil + 5 + step))
    b.say(36.6, coil - 4.4, 6, "86", bold=True)
    b.say(47.6, coil - 4.4, 6, "85", align="right", bold=True)
    b.say(14, coil, 15.5, "sense", align="right")
    b.say(50, coil + 9.6, 13.5, "earth", align="right")
