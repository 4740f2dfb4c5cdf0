"""Pages filled from the top, and the blocks of a sheet as the strips that fill them.

In: the blocks of `content`, the width there is and the shape of the page. Out: strips of a height
that draw themselves, each short enough for any page, and for each page the strips with their
places. A strip stays whole, a heading stays with what follows; nothing is lost: what does not fit
goes on on the next page, a long cell in further strips. Lengths are dots of 1/1200 inch.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final, Literal

from msgspec import Struct, field
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from fusemap.sheet.content import Bullets, Cell, FindingNote, Paragraph, cell_text
from fusemap.sheet.paint_ink import (
    GREY,
    INK,
    LINE,
    WHITE,
    Setting,
    mm,
    pen,
    pt,
    set_text,
    severity,
)

Paper = Literal["a4", "letter"]
SIZES_MM: Final[dict[Paper, tuple[float, float]]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height. Source: ISO 216 (A4); ANSI/ASME Y14.1 (Letter, 8.5 × 11 inches)."""

Draw = Callable[[QPainter, float, float], None]


class PageShape(Struct, frozen=True):
    """Size of a page and where on it the content goes [dots]."""

    width: float
    height: float
    left: float
    top: float
    right: float
    bottom: float

    @property
    def wide(self) -> float:
        """Width of the content."""
        return self.width - self.left - self.right

    @property
    def high(self) -> float:
        """Height of the content."""
        return self.height - self.top - self.bottom


def page_shape(paper: Paper) -> PageShape:
    """A page with room for its head and foot."""
    width, height = SIZES_MM[paper]
    return PageShape(mm(width), mm(height), mm(15), mm(21), mm(15), mm(18))


def bare_shape(size_mm: tuple[float, float]) -> PageShape:
    """A page without margins, head and foot."""
    return PageShape(mm(size_mm[0]), mm(size_mm[1]), 0.0, 0.0, 0.0, 0.0)


class Strip(Struct, frozen=True, eq=False):
    """A piece that is not broken: its height, how it draws itself at a place, what belongs to it.

    `keep` holds it on the page of the strip after it; `head` is drawn again above it where it
    begins a page; `gap` is room above it, which falls away at the top of a page.
    """

    height: float
    draw: Draw
    keep: bool = False
    head: "Strip | None" = None
    gap: float = 0.0
    new_page: bool = False


class Flow(Struct, eq=False):
    """Pages being filled."""

    shape: PageShape
    pages: list[list[tuple[float, Strip]]] = field(default_factory=lambda: [[]])
    _used: float = 0.0

    def add(self, strips: Iterable[Strip]) -> None:
        """Put strips below each other, in groups that stay together where a page can hold them."""
        group: list[Strip] = []
        for strip in strips:
            group.append(strip)
            if not strip.keep:
                self._place(group)
                group = []
        self._place(group)

    def _place(self, group: list[Strip]) -> None:
        if not group:
            return
        needed = sum(strip.height + strip.gap for strip in group)
        at_top = not self.pages[-1]
        too_low = self._used + needed > self.shape.high + 0.5
        if not at_top and (group[0].new_page or (too_low and self._worth_breaking(needed))):
            self._break()
        for strip in group:
            self._put(strip)

    def _worth_breaking(self, needed: float) -> bool:
        """A group larger than a page is broken anyway; it begins where there is room."""
        return needed <= self.shape.high or self._used > self.shape.high * 0.6

    def _put(self, strip: Strip) -> None:
        gap = strip.gap if self.pages[-1] else 0.0
        if self.pages[-1] and self._used + gap + strip.height > self.shape.high + 0.5:
            self._break()
            gap = 0.0
        if not self.pages[-1] and strip.head is not None and len(self.pages) > 1:
            self._append(strip.head)
        self._used += gap
        self._append(strip)

    def _append(self, strip: Strip) -> None:
        self.pages[-1].append((self._used, strip))
        self._used += strip.height

    def _break(self) -> None:
        self.pages.append([])
        self._used = 0.0

    def draw(self, painter: QPainter, page: int) -> None:
        """Draw one page's strips."""
        for y, strip in self.pages[page]:
            strip.draw(painter, self.shape.left, self.shape.top + y)


def set_line(made: Setting, index: int, inset: float = 0.0) -> Draw:
    """How one line of a set text draws itself, its left edge so far in."""

    def draw(painter: QPainter, x: float, y: float) -> None:
        made.draw(painter, x + inset, y, index, index + 1)

    return draw


def nothing(painter: QPainter, x: float, y: float) -> None:
    """Draws nothing."""


def gap(height: float) -> Strip:
    """Empty room."""
    return Strip(height, nothing)


def keeps(index: int, count: int, first: int = 2) -> bool:
    """Whether a line of a text stays with the next: neither its first nor its last is alone.

    >>> [keeps(index, 5, 1) for index in range(5)], [keeps(index, 2, 0) for index in range(2)]
    ([True, False, False, True, False], [True, False])
    """
    return index < min(first, count - 1) or index == count - 2


def lines(made: Setting, inset: float = 0.0, *, keep_first: int = 0) -> Iterator[Strip]:
    """A set text, a strip per line; the first `keep_first` stay with the line after them."""
    for index in range(made.lines):
        yield Strip(
            made.line_height,
            set_line(made, index, inset),
            keep=keeps(index, made.lines, keep_first),
        )


def heading(title: str, wide: float, new_page: bool = False) -> Iterator[Strip]:
    """A section's heading with a rule under it."""
    made = set_text(title, wide, 12.5, bold=True)
    for index in range(made.lines):
        yield Strip(
            made.line_height,
            set_line(made, index),
            keep=True,
            gap=pt(13) if index == 0 else 0.0,
            new_page=new_page and index == 0,
        )

    def rule(painter: QPainter, x: float, y: float) -> None:
        painter.setPen(pen(1.2))
        painter.drawLine(QPointF(x, y + pt(1)), QPointF(x + wide, y + pt(1)))

    yield Strip(pt(5), rule, keep=True)


# --- texts ----------------------------------------------------------------------------------------


def text_strips(block: Paragraph, wide: float) -> Iterator[Strip]:
    """Running text; a loud one white on black."""
    if block.role == "loud":
        yield from _loud(block.text, wide)
        return
    size = {"plain": 9.0, "small": 7.5, "lead": 10.0}[block.role]
    colour = GREY if block.role == "small" else INK
    yield Strip(pt(2), nothing, keep=True)
    yield from lines(set_text(block.text, wide, size, colour=colour), keep_first=2)
    yield Strip(pt(3), nothing)


def _loud(text: str, wide: float) -> Iterator[Strip]:
    made = set_text(text, wide - mm(14), 12, bold=True, colour=WHITE)
    high = max(made.height, mm(8)) + mm(3)

    def draw(painter: QPainter, x: float, y: float) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(INK))
        painter.drawRect(QRectF(x, y, wide, high))
        painter.setBrush(QColor(WHITE))
        size = mm(8)
        place = QRectF(x + mm(2), y + (high - size) / 2, size, size)
        painter.drawEllipse(place.adjusted(-mm(0.5), -mm(0.5), mm(0.5), mm(0.5)))
        severity(painter, place, "stop")
        made.draw(painter, x + mm(12), y + (high - made.height) / 2)

    yield Strip(high, draw, keep=True, gap=pt(3))
    yield Strip(pt(3), nothing, keep=True)


def bullet_strips(block: Bullets, wide: float) -> Iterator[Strip]:
    """A list with a mark before each text."""
    for item in block.items:
        made = set_text(item, wide - mm(5), 9)
        for index in range(made.lines):
            yield Strip(
                made.line_height,
                _bullet(made, index),
                keep=keeps(index, made.lines),
                gap=pt(2.2) if index == 0 else 0.0,
            )


def _bullet(made: Setting, index: int) -> Draw:
    def draw(painter: QPainter, x: float, y: float) -> None:
        if index == 0:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(INK))
            size = mm(1.5)
            painter.drawRect(QRectF(x + mm(0.8), y + made.line_height / 2 - size / 2, size, size))
        made.draw(painter, x + mm(5), y, index, index + 1)

    return draw


# --- steps and facts ------------------------------------------------------------------------------


def fact_strips(
    rows: Sequence[tuple[str, Cell]], wide: float, label: float = mm(52), points: float = 9.0
) -> Iterator[Strip]:
    """Names and what is to be said of each; a line to write on where nothing is."""
    for name, cell in rows:
        text = cell_text(cell)
        left = set_text(name, label - mm(2), points - 0.5, colour=GREY)
        right = set_text(text, wide - label, points)
        if not text:
            yield _blank(left, label, wide)
            continue
        count = max(left.lines, right.lines)
        high = max(left.line_height, right.line_height)
        for index in range(count):
            yield Strip(
                high,
                _fact(left, right, label, index),
                keep=keeps(index, count),
                gap=pt(1.6) if index == 0 else 0.0,
            )


def _fact(left: Setting, right: Setting, label: float, index: int) -> Draw:
    def draw(painter: QPainter, x: float, y: float) -> None:
        left.draw(painter, x, y + pt(0.3), index, index + 1)
        right.draw(painter, x + label, y, index, index + 1)

    return draw


def _blank(left: Setting, label: float, wide: float) -> Strip:
    """A name with a line to write on."""
    high = max(mm(7.6), left.height + pt(3))

    def draw(painter: QPainter, x: float, y: float) -> None:
        left.draw(painter, x, y + high - left.height - pt(1))
        painter.setPen(pen(0.5, LINE))
        painter.drawLine(
            QPointF(x + label, y + high), QPointF(x + min(wide, label * 2.4), y + high)
        )

    return Strip(high, draw)


# --- findings -------------------------------------------------------------------------------------


def finding_strips(note: FindingNote, wide: float) -> Iterator[Strip]:
    """A finding: mark and word, where, what, the sum, what to do; a heavy bar beside a stop."""
    inset, room = mm(9), wide - mm(10)
    head = set_text(f"{note.word.upper()}   {note.where}", room, 9.5, bold=True)
    parts = [head, set_text(note.what, room, 9)]
    if note.sum:
        parts.append(set_text(note.sum, room, 7.5, colour=GREY))
    if note.remedy:
        parts.append(set_text(f"→ {note.remedy}", room, 9, bold=note.severity == "stop"))
    total = [(made, index) for made in parts for index in range(made.lines)]
    bar = {"stop": 2.2, "caution": 0.8, "note": 0.3}[note.severity]
    for position, (made, index) in enumerate(total):
        first, last = position == 0, position == len(total) - 1
        yield Strip(
            made.line_height + (pt(2) if last else 0.0),
            _finding_line(made, index, inset, bar, note.severity if first else "", last),
            keep=keeps(position, len(total), 4),
            gap=pt(4) if first else 0.0,
        )


def _finding_line(
    made: Setting, index: int, inset: float, bar: float, mark: str, last: bool
) -> Draw:
    high = made.line_height + (pt(2) if last else 0.0)

    def draw(painter: QPainter, x: float, y: float) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(INK))
        painter.drawRect(QRectF(x, y, mm(bar), high + pt(0.3)))
        if mark:
            size = mm(4.2)
            severity(
                painter, QRectF(x + mm(3.6), y + (made.line_height - size) / 2, size, size), mark
            )
        made.draw(painter, x + inset, y, index, index + 1)

    return draw
