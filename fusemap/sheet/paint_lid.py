"""Lid cards on paper: true size, one face with the panel, one with what was added, a fold between.

In: `LidCard`s and the shape of the page. Out: strips, a card each; entries that do not fit go on on
a further card. Type is large enough for an arm's length: 11 points and more for what was added.
Lengths are dots of 1/1200 inch.
"""

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from fusemap.sheet.content import LidCard, LidEntry, SlotPicture
from fusemap.sheet.paint_flow import Strip
from fusemap.sheet.paint_ink import (
    GREY,
    INK,
    LINE,
    SMALLEST,
    WHITE,
    Setting,
    badge,
    badge_width,
    draw_line,
    mm,
    padlock,
    pen,
    pt,
    set_text,
)

FACE_MM = (88.0, 113.0)
"""Width and height of a face; unfolded the card is twice as wide."""

MARGIN = mm(4)
WIDEST = mm(20)
"""No place of the panel is drawn wider, however few there are."""


class Line(Struct, frozen=True):
    """One line of an entry: the text it is of, its number in it, how far in, the badge before it.

    `first` begins an entry, with room above it.
    """

    made: Setting
    index: int
    inset: float
    badge: str = ""
    first: bool = False

    @property
    def height(self) -> float:
        """Height with the room above."""
        return self.made.line_height + (pt(5) if self.first else 0.0)


def lid_strips(card: LidCard, vehicle: str, date: str, wide: float) -> Iterator[Strip]:
    """All cards that the entries of one need; the panel stands on the first alone."""
    face = mm(FACE_MM[0])
    head = f"{vehicle} · {date}"
    further = replace(card, panel=None)
    pages = list(_pages(card, face - 2 * MARGIN)) or [[]]
    for number, entry_lines in enumerate(pages, start=1):
        count = f" ({number}/{len(pages)})" if len(pages) > 1 else ""
        yield _card(card if number == 1 else further, head, count, entry_lines, wide)


def _card(card: LidCard, head: str, count: str, entry_lines: list[Line], wide: float) -> Strip:
    face, high = mm(FACE_MM[0]), mm(FACE_MM[1])
    faces = 1 if card.panel is None else 2
    left = max(0.0, (wide - faces * face) / 2)

    def draw(painter: QPainter, x: float, y: float) -> None:
        x += left
        y += mm(5)
        outline(painter, QRectF(x, y, face, high), faces, card.cut, card.fold)
        if card.panel is not None:
            _front(painter, QRectF(x, y, face, high), card, head)
            x += face
        _back(painter, QRectF(x, y, face, high), card, (count, head), entry_lines)

    return Strip(high + mm(5.6), draw)


def outline(painter: QPainter, face: QRectF, faces: int, cut: str, fold: str) -> None:
    """Where to cut and to fold a card of one face or two."""
    x, y, wide = face.left(), face.top(), face.width()
    painter.setPen(pen(0.6, INK, dashed=True))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(QRectF(x, y, faces * wide, face.height()))
    above = y - mm(1.6)
    draw_line(painter, QRectF(x, above - mm(1.5), mm(40), mm(3)), cut, SMALLEST, colour=GREY)
    if faces == 1:
        return
    painter.setPen(pen(0.4, LINE, dashed=True))
    painter.drawLine(QPointF(x + wide, y), QPointF(x + wide, y + face.height()))
    middle = QRectF(x + wide - mm(20), above - mm(1.5), mm(40), mm(3))
    draw_line(painter, middle, fold, SMALLEST, align="centre", colour=GREY)


# --- the front: the panel -------------------------------------------------------------------------


def _front(painter: QPainter, face: QRectF, card: LidCard, head: str) -> None:
    inside = face.adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
    title = fitted(card.title, inside.width(), ((12, 2), (9.5, 3), (7.5, 5)), bold=True)
    whose = fitted(head, inside.width(), ((7.5, 4),), colour=GREY)
    title.draw(painter, inside.left(), inside.top())
    whose.draw(painter, inside.left(), inside.top() + title.height)
    top = inside.top() + title.height + whose.height + mm(1.5)
    foot = scale_high(card.scale, inside.width())
    if card.panel is not None and card.panel.slots:  # an empty panel has nothing to show
        _grid(
            painter, QRectF(inside.left(), top, inside.width(), inside.bottom() - top - foot), card
        )
    draw_scale(
        painter, QRectF(inside.left(), inside.bottom() - foot, inside.width(), foot), card.scale
    )


def fitted(
    text: str,
    wide: float,
    sizes: tuple[tuple[float, int], ...],
    *,
    bold: bool = False,
    colour: str = INK,
) -> Setting:
    """A text in the first size (points, most lines) that takes it; cut with “…” where none does."""
    for points, most in sizes:
        made = set_text(text, wide, points, bold=bold, colour=colour, spacing=1.1)
        if made.lines <= most:
            return made
    last = made.layout.lineAt(most - 1)
    kept = made.layout.text()[: last.textStart() + last.textLength() - 2]
    return set_text(f"{kept.rstrip()}…", wide, points, bold=bold, colour=colour, spacing=1.1)


def _grid(painter: QPainter, room: QRectF, card: LidCard) -> None:
    """The panel small: label and rating in every place, tapped places black."""
    assert card.panel is not None
    panel = card.panel
    wide = min(room.width() / panel.columns, WIDEST)
    high = room.height() / panel.rows
    high = min(high, wide * 1.1)
    for slot in panel.slots:
        place = QRectF(
            room.left() + slot.column * wide, room.top() + slot.row * high, wide, high
        ).adjusted(mm(0.25), mm(0.25), -mm(0.25), -mm(0.25))
        _small_slot(painter, place, slot)


def _small_slot(painter: QPainter, place: QRectF, slot: SlotPicture) -> None:
    tapped = bool(slot.badges)
    painter.setPen(pen(0.5, INK if slot.kind == "fuse" else LINE))
    painter.setBrush(QColor(INK if tapped else WHITE))
    painter.drawRect(place)
    if slot.kind == "blocked":
        painter.drawLine(place.topLeft(), place.bottomRight())
        painter.drawLine(place.bottomLeft(), place.topRight())
        return
    ink = WHITE if tapped else INK
    half = place.height() / 2
    size = max(SMALLEST, min(8.0, half / pt(1) * 0.8))
    inside = place.adjusted(mm(0.3), 0, -mm(0.3), 0)
    top = QRectF(inside.left(), inside.top(), inside.width(), half)
    draw_line(painter, top, slot.label, size, align="centre", colour=ink, least=0.5)
    word = slot.rating or slot.kind_word
    low = top.translated(0, half)
    draw_line(
        painter, low, word, size, bold=bool(slot.rating), align="centre", colour=ink, least=0.4
    )
    if slot.critical and not tapped:
        side = min(mm(2.2), half * 0.6)
        padlock(painter, QRectF(place.right() - side, place.top() + mm(0.1), side, side))


def scale_high(words: str, wide: float) -> float:
    """Height of the line that shows the scale, with its words above."""
    return set_text(words, wide, SMALLEST, spacing=1.1).height + mm(3.6)


def draw_scale(painter: QPainter, place: QRectF, words: str) -> None:
    """A line of 50 mm at the foot of a place, and what it is for."""
    y = place.bottom() - mm(1)
    x = place.left()
    painter.setPen(pen(0.8))
    painter.drawLine(QPointF(x, y), QPointF(x + mm(50), y))
    for at in (x, x + mm(50)):
        painter.drawLine(QPointF(at, y - mm(1.2)), QPointF(at, y + mm(1)))
    made = set_text(words, place.width(), SMALLEST, colour=GREY, spacing=1.1)
    made.draw(painter, x, y - mm(1.6) - made.height)


# --- the back: what was added ---------------------------------------------------------------------


def _pages(card: LidCard, wide: float) -> Iterator[list[Line]]:
    """The entries, as many on each card as it holds; one longer than a card goes on on the next."""
    room, further = _room(card, wide), _room(replace(card, panel=None), wide)
    page: list[Line] = []
    used = 0.0
    for entry in card.entries:
        lines = _lines(entry, wide)
        if page and used + sum(line.height for line in lines) > room:
            yield page
            page, used, room = [], 0.0, further
        for line in lines:
            if page and used + line.height > room:
                yield page
                page, used, room = [], 0.0, further
            page.append(line)
            used += line.height
    if page:
        yield page


def _lines(entry: LidEntry, wide: float) -> list[Line]:
    inset = badge_width(entry.badge, mm(5)) + mm(2)
    room = wide - inset
    parts = (
        set_text(f"{entry.slot}  {entry.accessory}", room, 11.5, bold=True, spacing=1.1),
        set_text(entry.fuse, room, 11, spacing=1.1),
        set_text(entry.note, room, 8.5, colour=GREY, spacing=1.12),
    )
    found = [Line(made, index, inset) for made in parts for index in range(made.lines)]
    return [replace(found[0], badge=entry.badge, first=True), *found[1:]]


def _warnings(card: LidCard, wide: float) -> list[Setting]:
    return [
        set_text(text, wide - mm(3), 8.5 if index else 11, bold=index == 0, spacing=1.1)
        for index, text in enumerate(card.warnings)
    ]


def _room(card: LidCard, wide: float) -> float:
    below = sum(made.height for made in _warnings(card, wide)) + pt(10)
    if card.panel is None:
        below += _foot_high(card, wide)
    head = _heading(card, " (99/99)", wide)
    return mm(FACE_MM[1]) - 2 * MARGIN - head.height - mm(3) - below


def _heading(card: LidCard, count: str, wide: float) -> Setting:
    """What the entries are; on a card of one face its title."""
    title = card.title if card.panel is None else card.subtitle
    return set_text(title + count, wide, 12, bold=True, spacing=1.1)


def _back(
    painter: QPainter, face: QRectF, card: LidCard, words: tuple[str, str], entry_lines: list[Line]
) -> None:
    count, whose = words
    inside = face.adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
    if card.panel is None:
        inside.setBottom(_foot(painter, inside, card, whose))
    head = _heading(card, count, inside.width())
    head.draw(painter, inside.left(), inside.top())
    y = inside.top() + head.height + mm(2)
    for line in entry_lines:
        top = y + line.height - line.made.line_height
        if line.badge:
            badge(painter, inside.left(), top, mm(5), line.badge)
        line.made.draw(painter, inside.left() + line.inset, top, line.index, line.index + 1)
        y += line.height
    _draw_warnings(painter, inside, card)


def _foot_high(card: LidCard, wide: float) -> float:
    """Height of the foot of a card of one face."""
    return mm(7.4) + scale_high(card.scale, wide)


def _foot(painter: QPainter, inside: QRectF, card: LidCard, whose: str) -> float:
    """The foot of a card of one face: whose it is, and the scale; gives where it begins."""
    high = _foot_high(card, inside.width())
    foot = QRectF(inside.left(), inside.bottom() - high, inside.width(), high)
    draw_scale(painter, foot.adjusted(0, mm(4), 0, 0), card.scale)
    made = fitted(whose, foot.width(), ((7.5, 2),), colour=GREY)
    made.draw(painter, foot.left(), foot.top() + mm(0.6))
    return foot.top()


def _draw_warnings(painter: QPainter, inside: QRectF, card: LidCard) -> None:
    made = _warnings(card, inside.width())
    y = inside.bottom() - sum(setting.height for setting in made) - pt(2)
    painter.setPen(pen(1.2))
    painter.drawLine(QPointF(inside.left(), y - pt(3)), QPointF(inside.right(), y - pt(3)))
    for setting in made:
        setting.draw(painter, inside.left(), y)
        y += setting.height
