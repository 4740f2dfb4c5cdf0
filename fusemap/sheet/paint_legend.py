"""The legend card on paper: true size, a line for every slot, black where something was added.

In: a `LegendCard` and the width of the page. Out: strips, a card each, of two faces with a fold
between them, or of one where its lines have room there. Lengths are dots of 1/1200 inch.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from fusemap.sheet.content import LegendCard, LegendRow
from fusemap.sheet.paint_flow import Strip
from fusemap.sheet.paint_ink import (
    GREY,
    INK,
    LINE,
    SMALLEST,
    WHITE,
    Setting,
    draw_line,
    feed_mark,
    metrics,
    mm,
    pen,
    set_text,
)
from fusemap.sheet.paint_lid import FACE_MM, MARGIN, draw_scale, fitted, outline, scale_high
from fusemap.vehicle import FeedClass

FEED: Final = mm(9.8)
AMPS: Final = mm(10)
SLOT_MOST: Final = mm(20)
PAD: Final = mm(0.5)
MARK_HIGH: Final = mm(3.0)


class Line(Struct, frozen=True, eq=False):
    """A line of the legend as it is set: slot, words below each other, rating, feed."""

    slot: Setting
    words: tuple[Setting, ...]
    rating: str
    feed_class: FeedClass | None
    added: bool

    @property
    def height(self) -> float:
        """Height with the room above and below."""
        words = sum(made.height for made in self.words)
        return max(words, self.slot.height, MARK_HIGH) + 2 * PAD


def legend_strips(card: LegendCard, head: str, wide: float) -> Iterator[Strip]:
    """All cards that the lines need; `head` says whose it is and of when."""
    inside = mm(FACE_MM[0]) - 2 * MARGIN
    slot_wide = _slot_wide(card)
    room = inside - slot_wide - AMPS - FEED
    lines = [_line(row, slot_wide, room) for row in card.rows]
    faces = _even(lines, _room(card, head, inside, alone=True))
    if len(faces) > 1:
        faces = _even(lines, _room(card, head, inside, alone=False))
        faces += [[]] * (len(faces) % 2)
    for first in range(0, len(faces), 2):
        pair = faces[first : first + 2]
        count = f" ({first // 2 + 1}/{-(-len(faces) // 2)})" if len(faces) > 2 else ""
        yield _card(card, (head, count), pair, slot_wide, wide)


def _slot_wide(card: LegendCard) -> float:
    measure = metrics(SMALLEST, True)
    names = [card.heads[0], *(row.slot for row in card.rows)]
    longest = max(measure.horizontalAdvance(name) for name in names)
    return min(SLOT_MOST, longest + mm(1.6))


def _line(row: LegendRow, slot_wide: float, room: float) -> Line:
    ink = WHITE if row.added else INK
    slot = set_text(row.slot, slot_wide - mm(1), SMALLEST, bold=True, colour=ink, spacing=1.12)
    words = [
        set_text(text, room - mm(1), SMALLEST, bold=bold, colour=ink, spacing=1.12)
        for text, bold in ((row.what, False), *((f"+ {each}", True) for each in row.added))
        if text
    ]
    return Line(slot, tuple(words), row.rating, row.feed_class, bool(row.added))


def _even(lines: Sequence[Line], room: float) -> list[list[Line]]:
    """The fewest faces, filled alike where that makes no more of them."""
    faces = list(_faces(lines, room))
    alike = sum(line.height for line in lines) / len(faces) + max(line.height for line in lines)
    filled = list(_faces(lines, min(room, alike)))
    return filled if len(filled) == len(faces) else faces


def _faces(lines: Sequence[Line], room: float) -> Iterator[list[Line]]:
    face: list[Line] = []
    used = 0.0
    for line in lines:
        if face and used + line.height > room:
            yield face
            face, used = [], 0.0
        face.append(line)
        used += line.height
    if face:
        yield face


def _title(card: LegendCard, count: str, wide: float) -> Setting:
    return fitted(card.title + count, wide, ((11, 1), (9.5, 2), (SMALLEST, 5)), bold=True)


def _room(card: LegendCard, head: str, wide: float, *, alone: bool) -> float:
    """What a face has for lines. Of two the left one has the scale, the right one the note."""
    above = _title(card, " (9/9)", wide).height + _whose(head, wide).height + mm(5)
    foot = _note(card, wide).height, scale_high(card.scale, wide)
    below = _warning(card, wide).height + mm(3) + (sum(foot) if alone else max(foot))
    return mm(FACE_MM[1]) - 2 * MARGIN - above - below


def _whose(head: str, wide: float) -> Setting:
    return fitted(head, wide, ((SMALLEST, 2),), colour=GREY)


def _note(card: LegendCard, wide: float) -> Setting:
    return set_text(card.note, wide, SMALLEST, colour=GREY, spacing=1.12)


def _warning(card: LegendCard, wide: float) -> Setting:
    return set_text(card.warning, wide, 8.5, bold=True, spacing=1.1)


def _card(
    card: LegendCard,
    words: tuple[str, str],
    faces: Sequence[list[Line]],
    slot_wide: float,
    wide: float,
) -> Strip:
    face, high = mm(FACE_MM[0]), mm(FACE_MM[1])
    left = max(0.0, (wide - len(faces) * face) / 2)

    def draw(painter: QPainter, x: float, y: float) -> None:
        place = QRectF(x + left, y + mm(5), face, high)
        outline(painter, place, len(faces), card.cut, card.fold)
        for number, lines in enumerate(faces):
            inside = place.adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
            _face(painter, inside, card, words, lines, slot_wide)
            _foot(painter, inside, card, scale=number == 0, note=number == len(faces) - 1)
            place.translate(face, 0)

    return Strip(high + mm(5.6), draw)


def _face(
    painter: QPainter,
    inside: QRectF,
    card: LegendCard,
    words: tuple[str, str],
    lines: Sequence[Line],
    slot_wide: float,
) -> None:
    head, count = words
    title, whose = _title(card, count, inside.width()), _whose(head, inside.width())
    title.draw(painter, inside.left(), inside.top())
    y = inside.top() + title.height
    whose.draw(painter, inside.left(), y)
    y = _heads(painter, QRectF(inside.left(), y + whose.height + mm(0.6), inside.width(), mm(3.8)),
               card, slot_wide)  # fmt: skip
    for line in lines:
        _draw(painter, QRectF(inside.left(), y, inside.width(), line.height), line, slot_wide)
        y += line.height


def _foot(painter: QPainter, inside: QRectF, card: LegendCard, *, scale: bool, note: bool) -> None:
    """The warning, below it what the signs mean, and the line that shows the scale."""
    wide, y = inside.width(), inside.bottom()
    if scale:
        high = scale_high(card.scale, wide)
        y -= high
        draw_scale(painter, QRectF(inside.left(), y, wide, high), card.scale)
    if note:
        said = _note(card, wide)
        y -= said.height + mm(0.6)
        said.draw(painter, inside.left(), y)
    warning = _warning(card, wide)
    warning.draw(painter, inside.left(), y - warning.height - mm(0.6))


def _heads(painter: QPainter, place: QRectF, card: LegendCard, slot_wide: float) -> float:
    """The names of the columns; gives where the lines begin."""
    at = _columns(place, slot_wide)
    for column, name in zip(at, card.heads, strict=True):
        right = "right" if column is at[2] else "left"
        draw_line(painter, column, name, SMALLEST, bold=True, align=right, colour=GREY)  # type: ignore[arg-type]
    painter.setPen(pen(0.8))
    painter.drawLine(place.bottomLeft(), place.bottomRight())
    return place.bottom()


def _columns(place: QRectF, slot_wide: float) -> tuple[QRectF, QRectF, QRectF, QRectF]:
    x, y, high = place.left(), place.top(), place.height()
    words = place.width() - slot_wide - AMPS - FEED
    return (
        QRectF(x + mm(0.6), y, slot_wide - mm(0.6), high),
        QRectF(x + slot_wide, y, words, high),
        QRectF(x + slot_wide + words, y, AMPS - mm(1.6), high),
        QRectF(place.right() - FEED, y, FEED, high),
    )


def _draw(painter: QPainter, place: QRectF, line: Line, slot_wide: float) -> None:
    slot, words, amps, feed = _columns(place, slot_wide)
    if line.added:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(INK))
        painter.drawRect(place.adjusted(0, 0, -FEED, 0))
    ink = WHITE if line.added else INK
    top = place.top() + PAD
    line.slot.draw(painter, slot.left(), top)
    y = top
    for made in line.words:
        made.draw(painter, words.left(), y)
        y += made.height
    first = QRectF(amps.left(), top, amps.width(), line.slot.line_height)
    draw_line(painter, first, line.rating, SMALLEST, bold=True, align="right", colour=ink)
    if line.feed_class is not None:
        mark = QRectF(feed.left() + mm(0.3), top, feed.width() - mm(0.6), MARK_HIGH)
        feed_mark(painter, mark, line.feed_class)
    painter.setPen(pen(0.3, LINE))
    painter.drawLine(QPointF(place.left(), place.bottom()), QPointF(place.right(), place.bottom()))
