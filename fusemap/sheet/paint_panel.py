"""A panel on paper: its places in their true arrangement, with fuses, live sides and marks.

In: a `PanelPicture` and the width there is. Out: strips, one per row of places, and the legend.
Fuse colours stand as words too. Lengths are dots of 1/1200 inch.
"""

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from fusemap.sheet.content import PanelPicture, SlotPicture
from fusemap.sheet.paint_flow import Draw, Strip, set_line
from fusemap.sheet.paint_ink import (
    GREY,
    INK,
    LINE,
    PALE,
    SMALLEST,
    WHITE,
    Setting,
    arrow_head,
    badge,
    draw_line,
    eye,
    feed_mark,
    mm,
    padlock,
    pen,
    pt,
    set_text,
)
from fusemap.vehicle import FEED_CLASSES, FeedClass

WIDEST_MM, HIGH_MM = 32.0, 27.0
FEED_MM = 6.8
"""Width of the place of a feed mark: “15R” whole."""
WORD_LINES = 3
"""So many lines has the circuit's name in its place."""
FEED_OF: Final[dict[str, FeedClass]] = {f"feed:{each}": each for each in FEED_CLASSES}
"""The feed classes by the keys of the legend."""

WAYS = {"left": (-1, 0), "right": (1, 0), "top": (0, -1), "bottom": (0, 1)}
"""From the middle of a fuse to its sides."""


def panel_strips(picture: PanelPicture, wide: float) -> Iterator[Strip]:
    """The panel's name, a strip per row of places, the legend."""
    title = " – ".join(part for part in (picture.name, picture.continued) if part)
    heading = set_text(title, wide, 9.5, bold=True)
    together = mm(HIGH_MM) * picture.rows < mm(165)
    for index in range(heading.lines if title else 0):
        yield Strip(
            heading.line_height,
            set_line(heading, index),
            keep=True,
            gap=pt(6) if index == 0 else 0.0,
        )
    cell = min(mm(WIDEST_MM), wide / max(1, picture.columns))
    rows: dict[int, list[SlotPicture]] = {}
    for slot in picture.slots:
        rows.setdefault(slot.row, []).append(slot)
    for row in range(picture.rows):
        yield Strip(
            mm(HIGH_MM),
            _row_painter(rows.get(row, []), cell, picture.columns),
            gap=pt(2) if row == 0 else 0.0,
            keep=row < (picture.rows if picture.legend else picture.rows - 1)
            if together
            else row == 0 and picture.rows > 1,
        )
    yield from _legend(picture, wide)


def _row_painter(slots: list[SlotPicture], cell: float, columns: int) -> Draw:
    def draw(painter: QPainter, x: float, y: float) -> None:
        painter.setPen(pen(0.4, LINE, dashed=True))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(x, y, cell * columns, mm(HIGH_MM)))
        for slot in slots:
            draw_slot(painter, QRectF(x + slot.column * cell, y, cell, mm(HIGH_MM)), slot)

    return draw


def draw_slot(painter: QPainter, cell: QRectF, slot: SlotPicture) -> None:
    """One place: label and feed mark above, the fuse in the middle, the circuit below."""
    card = cell.adjusted(mm(0.5), mm(0.5), -mm(0.5), -mm(0.5))
    tapped = bool(slot.badges)
    painter.setPen(pen(1.8 if tapped else 0.5, INK if tapped or slot.kind == "fuse" else LINE))
    painter.setBrush(QColor(PALE if slot.kind != "fuse" else WHITE))
    painter.drawRect(card)
    inside = card.adjusted(mm(0.8), mm(0.6), -mm(0.8), -mm(0.5))
    top = QRectF(inside.left(), inside.top(), inside.width(), mm(3.2))
    mark = QRectF(top.right() - mm(FEED_MM), top.top(), mm(FEED_MM), mm(3.2))
    _head(painter, top.adjusted(0, 0, -mm(FEED_MM + 0.6) if slot.kind == "fuse" else 0.0, 0), slot)
    middle = QRectF(inside.left(), top.bottom() + mm(0.1), inside.width(), mm(9.6))
    if slot.kind == "fuse":
        feed_mark(painter, mark, slot.feed_class)
        _fuse(painter, middle, slot)
        _marks(painter, middle, slot)
        colour = QRectF(inside.left(), middle.bottom() - mm(0.2), inside.width(), mm(3.2))
        below_it = slot.colour or slot.kind_word
        draw_line(painter, colour, below_it, SMALLEST, align="centre", colour=GREY)
    else:
        draw_line(painter, middle, slot.kind_word, SMALLEST, align="centre")
    below = QRectF(
        inside.left(),
        middle.bottom() + mm(3),
        inside.width(),
        inside.bottom() - middle.bottom() - mm(3),
    )
    _words(painter, below, slot)


def _head(painter: QPainter, place: QRectF, slot: SlotPicture) -> None:
    """The label."""
    draw_line(painter, place, slot.label, 7.5, bold=True)


def _fuse(painter: QPainter, place: QRectF, slot: SlotPicture) -> None:
    """The fuse from above: body on its colour, rating, blades, the arrow of the live side."""
    upright = slot.orientation == "upright"
    wide, high = (mm(6.6), mm(5.6)) if upright else (mm(8.6), mm(5.2))
    body = QRectF(0, 0, min(wide, place.width() * 0.6), high)
    body.moveCenter(place.center())
    out = mm(0.6)
    blades = (
        body.adjusted(mm(1.5), -out, -mm(1.5), out)
        if upright
        else body.adjusted(-out, mm(1.2), out, -mm(1.2))
    )
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(GREY))
    painter.drawRect(blades)
    painter.setPen(pen(0.7, INK, dashed=not slot.rating))
    painter.setBrush(QColor(slot.colour_hex))
    painter.drawRoundedRect(body, mm(0.7), mm(0.7))
    draw_line(
        painter,
        body,
        slot.rating,
        10.0,
        bold=True,
        align="centre",
        colour=slot.ink_hex,
        least=SMALLEST / 10.0,
    )
    if slot.live_side in WAYS:
        _live(painter, body, slot.live_side)


def _live(painter: QPainter, body: QRectF, side: str) -> None:
    """An arrow that points into the fuse from its live side."""
    dx, dy = WAYS[side]
    edge = QPointF(
        body.center().x() + dx * body.width() / 2, body.center().y() + dy * body.height() / 2
    )
    tip = edge + QPointF(dx, dy) * mm(0.1)
    box = QRectF(0, 0, mm(2.3), mm(2.3))
    box.moveCenter(tip + QPointF(dx, dy) * mm(0.9))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(WHITE))
    painter.drawRect(box)
    arrow_head(painter, tip, QPointF(-dx, -dy), mm(1.8))


def _marks(painter: QPainter, place: QRectF, slot: SlotPicture) -> None:
    """Padlock and eye at the right, the numbers of the accessories at the left."""
    size = mm(2.9)
    right = place.right() - size
    if slot.critical:
        padlock(painter, QRectF(right, place.top() + mm(0.6), size, size))
    if slot.monitored:
        eye(painter, QRectF(right, place.bottom() - size - mm(0.4), size, size))
    if not slot.badges:
        return
    high = min(mm(3.4), place.height() / len(slot.badges))
    y = place.center().y() - high * len(slot.badges) / 2
    for number in slot.badges:
        badge(painter, place.left(), y, high * 0.94, number)
        y += high


def _words(painter: QPainter, place: QRectF, slot: SlotPicture) -> None:
    """The circuit on three lines; what is longer stands whole in the tables."""
    circuit = set_text(slot.circuit, place.width(), SMALLEST, align="centre", spacing=1.12)
    lines = min(WORD_LINES, circuit.lines)
    top = place.bottom() - circuit.line_height * max(1.5, lines)
    if circuit.lines <= WORD_LINES:
        circuit.draw(painter, place.left(), top)
        return
    circuit.draw(painter, place.left(), top, 0, WORD_LINES - 1)
    over = circuit.layout.lineAt(WORD_LINES - 1).textStart()
    high = circuit.line_height
    last = QRectF(place.left(), top + high * (WORD_LINES - 1), place.width(), high)
    rest = circuit.layout.text()[over:].strip()
    draw_line(painter, last, rest, SMALLEST, align="centre")


# --- the legend -----------------------------------------------------------------------------------


def _legend(picture: PanelPicture, wide: float) -> Iterator[Strip]:
    """What the marks mean, as small drawings and words in lines."""
    if not picture.legend:
        return
    line: list[tuple[str, Setting]] = []
    used = 0.0
    for key, words in picture.legend:
        made = set_text(words, wide * 0.9, SMALLEST, colour=GREY)
        needed = mm(_beside(key) + 4.0) + made.natural
        if line and used + needed > wide:
            yield _legend_line(line)
            line, used = [], 0.0
        line.append((key, made))
        used += needed
    yield _legend_line(line)


def _legend_line(entries: list[tuple[str, Setting]]) -> Strip:
    high = max(mm(4.4), max(made.height for _, made in entries) + pt(1))

    def draw(painter: QPainter, x: float, y: float) -> None:
        for key, made in entries:
            draw_mark(painter, QRectF(x, y + mm(0.6), mm(3.2), mm(3.2)), key)
            made.draw(painter, x + mm(_beside(key)), y + mm(0.7))
            x += mm(_beside(key) + 4.0) + made.natural

    return Strip(high, draw)


def _beside(key: str) -> float:
    """How far from its mark the words of the legend begin [mm]."""
    return (FEED_MM if key in FEED_OF else 3.2) + 1.4


def draw_mark(painter: QPainter, place: QRectF, key: str) -> None:
    """One mark of the legend."""
    if key == "badge":
        badge(painter, place.left(), place.top(), place.height(), "1")
    elif key == "critical":
        padlock(painter, place)
    elif key == "monitored":
        eye(painter, place)
    elif key == "live":
        arrow_head(painter, QPointF(place.right(), place.center().y()), QPointF(1, 0), mm(2.6))
    elif key == "live_unknown":
        painter.setPen(pen(0.7))
        painter.setBrush(QColor(WHITE))
        painter.drawRoundedRect(place, mm(0.6), mm(0.6))
        draw_line(painter, place, "?", SMALLEST, align="centre")
    elif key in FEED_OF:  # "asked" names slots, and has no mark of its own
        place.setWidth(mm(FEED_MM))
        feed_mark(painter, place, FEED_OF[key])
