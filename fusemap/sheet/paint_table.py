"""Tables on paper: a head on every page, cells that wrap, boxes to write into.

In: a `Table` and the width there is. Out: strips; a row higher than half a page goes on in further
strips, so that no line is lost. Lengths are dots of 1/1200 inch.
"""

import re
from collections.abc import Iterator
from functools import cache
from itertools import zip_longest
from typing import Final

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from fusemap.sheet.content import Box, Row, Table, cell_text
from fusemap.sheet.paint_flow import Draw, Strip, nothing
from fusemap.sheet.paint_ink import (
    GREY,
    LINE,
    PALE,
    SMALLEST,
    WHITE,
    Align,
    Setting,
    draw_line,
    drawable,
    metrics,
    mm,
    pen,
    pt,
    set_text,
)
from fusemap.text import Style, say

PAD = pt(2.6)
POINTS = 8.0
TITLE_POINTS = 7.5
MOST_LINES = 24
"""Lines of a row that are kept together."""
MOST_FOR_A_WORD = 0.35
"""The share of the width that a column gets for its longest word; a longer word is broken."""
_BREAKS: Final = re.compile(r"[ \n\t]+|(?<=[-‐–/])")
"""Where a line may end, as the text layout has it."""


class Place(Struct, frozen=True):
    """Where a column is, and how it is set."""

    x: float
    wide: float
    align: Align


def places(table: Table, wide: float) -> list[Place]:
    """The columns by their shares of the width, none narrower than its longest word."""
    shares = [column.share for column in table.columns]
    least = [min(each, wide * MOST_FOR_A_WORD) for each in _longest_words(table)]
    if sum(least) > wide:
        least = _heads_first(table, least, wide)
    found, x = [], 0.0
    for column, share in zip(table.columns, _shared(shares, least, wide), strict=True):
        found.append(Place(x, share, column.align))
        x += share
    return found


def _heads_first(table: Table, least: list[float], wide: float) -> list[float]:
    """Where not every word has room: the heads whole, what is left to the words of the cells."""
    found = [_word_room(column.title, TITLE_POINTS, bold=True) for column in table.columns]
    left = max(0.0, wide - sum(found))
    for index, needed in enumerate(least):
        more = min(left, max(0.0, needed - found[index]))
        found[index] += more
        left -= more
    return found


def _longest_words(table: Table) -> list[float]:
    """For each column the room its longest word takes [dots]."""
    found = [_word_room(column.title, TITLE_POINTS, bold=True) for column in table.columns]
    for row in table.rows:
        for index, cell in enumerate(row.cells):
            # the name of a group has the whole width
            if row.kind != "group" or index:
                room = _word_room(cell_text(cell), POINTS, bold=row.kind != "plain")
                found[index] = max(found[index], room)
    return found


@cache
def _word_room(text: str, points: float, *, bold: bool) -> float:
    measure = metrics(points, bold)
    words = (measure.horizontalAdvance(drawable(word)) for word in _BREAKS.split(text))
    return max(words, default=0.0) + 2 * PAD + pt(0.5)


def _shared(shares: list[float], least: list[float], wide: float) -> list[float]:
    """Widths by shares; a column that needs more has it, the others share what is left.

    >>> _shared([50, 50], [0, 0], 100.0), _shared([10, 45, 45], [30, 0, 0], 100.0)
    ([50.0, 50.0], [30, 35.0, 35.0])
    """
    if sum(least) > wide:
        least = [0.0] * len(least)
    fixed: set[int] = set()
    while True:
        left = wide - sum(least[i] for i in fixed)
        whole = sum(share for i, share in enumerate(shares) if i not in fixed) or 1.0
        found = [least[i] if i in fixed else left * share / whole for i, share in enumerate(shares)]
        narrow = {i for i, each in enumerate(found) if each < least[i]} - fixed
        if not narrow:
            return found
        fixed |= narrow


def table_strips(table: Table, wide: float, style: Style) -> Iterator[Strip]:
    """The head, then every row; a head or a group's name has two rows on its page.

    Where a group goes on on another page its name stands there again, as the style says it.
    """
    at = places(table, wide)
    top = head = _head(table, at, wide)
    yield Strip(head.height, head.draw, keep=True, gap=pt(5))
    first = True
    for row, after in zip_longest(table.rows, table.rows[1:]):
        if row.kind == "group":
            name = style.show(say("{name} (continued)", name=cell_text(row.cells[0])))
            again = next(_row(Row((name, *row.cells[1:]), "group"), at, wide, top, 0.0))
            head = _stacked(top, again)
        # not alone under its head, and no sum on a page of its own
        keep = row.kind == "group" or (
            after is not None and after.kind != "group" and (first or after.kind == "total")
        )
        above = top if row.kind == "group" else head
        yield from _row(row, at, wide, above, least=mm(7) if table.tall else 0.0, keep=keep)
        first = row.kind == "group"
    yield Strip(pt(2), nothing)


def _stacked(upper: Strip, lower: Strip) -> Strip:
    """One strip of two, one below the other."""

    def draw(painter: QPainter, x: float, y: float) -> None:
        upper.draw(painter, x, y)
        lower.draw(painter, x, y + upper.height)

    return Strip(upper.height + lower.height, draw)


def _head(table: Table, at: list[Place], wide: float) -> Strip:
    made = [
        set_text(
            column.title,
            place.wide - 2 * PAD,
            TITLE_POINTS,
            bold=True,
            align=place.align,
        )
        for column, place in zip(table.columns, at, strict=True)
    ]
    high = max(setting.height for setting in made) + pt(3)

    def draw(painter: QPainter, x: float, y: float) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(PALE))
        painter.drawRect(QRectF(x, y, wide, high))
        for setting, place in zip(made, at, strict=True):
            setting.draw(painter, x + place.x + PAD, y + high - setting.height - pt(1.5))
        _rule(painter, x, y + high, wide, 0.9)

    return Strip(high, draw)


def _rule(painter: QPainter, x: float, y: float, wide: float, thick: float) -> None:
    painter.setPen(pen(thick, LINE if thick < 0.8 else "#111111"))
    painter.drawLine(QPointF(x, y), QPointF(x + wide, y))


def _row(
    row: Row, at: list[Place], wide: float, head: Strip, least: float, *, keep: bool = False
) -> Iterator[Strip]:
    """A row in one strip, or in several where it is very long."""
    bold = row.kind != "plain"
    if row.kind == "group":
        at = [Place(0.0, wide, "left"), *at[1:]]
    made = [
        None
        if isinstance(cell, Box) or (row.kind == "group" and index > 0)
        else set_text(cell_text(cell), place.wide - 2 * PAD, POINTS, bold=bold, align=place.align)
        for index, (cell, place) in enumerate(zip(row.cells, at, strict=True))
    ]
    count = max((setting.lines for setting in made if setting is not None), default=1)
    line = pt(POINTS) * 1.22
    for first in range(0, count, MOST_LINES):
        last = min(count, first + MOST_LINES)
        high = (last - first) * line + pt(3.2)
        if row.kind == "plain":
            high = max(high, least)
        piece = Piece(row, made, at, wide, high, first, last, least > 0)
        yield Strip(high, piece.drawing(), keep=keep, head=head)


class Piece(Struct, frozen=True):
    """Some lines of a row."""

    row: Row
    made: list[Setting | None]
    at: list[Place]
    wide: float
    high: float
    first: int
    last: int
    tall: bool

    def drawing(self) -> Draw:
        """How it draws itself."""
        return self._draw

    def _draw(self, painter: QPainter, x: float, y: float) -> None:
        if self.row.kind == "group":
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor("#f6f6f6"))
            painter.drawRect(QRectF(x, y, self.wide, self.high))
        for cell, setting, place in zip(self.row.cells, self.made, self.at, strict=True):
            if setting is not None:
                top = y + pt(1.6)
                if self.tall and self.row.kind == "plain":
                    top = y + max(pt(1.6), min((self.high - setting.height) / 2, pt(5.5)))
                setting.draw(painter, x + place.x + PAD, top, self.first, self.last)
            elif isinstance(cell, Box):
                _box(painter, QRectF(x + place.x, y, place.wide, self.high), cell)
        _rule(painter, x, y + self.high, self.wide, 0.9 if self.row.kind == "total" else 0.4)
        if self.row.kind == "total":
            _rule(painter, x, y, self.wide, 0.4)


def _box(painter: QPainter, place: QRectF, box: Box) -> None:
    """An empty box, with its unit at the right."""
    painter.setPen(pen(0.6, GREY))
    painter.setBrush(QColor(WHITE))
    painter.drawRect(place)
    if box.unit:
        room = place.adjusted(0, 0, -pt(3), 0)
        draw_line(painter, room, box.unit, SMALLEST, align="right", colour=GREY)
