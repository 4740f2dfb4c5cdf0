"""Tables on paper: a head on every page, cells that wrap, boxes to write into.

In: a `Table` and the width there is. Out: strips; a row higher than half a page goes on in further
strips, so that no line is lost. Lengths are dots of 1/1200 inch.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from fusemap.sheet.content import Box, Column, Row, Table, cell_text
from fusemap.sheet.paint_flow import Draw, Strip, nothing
from fusemap.sheet.paint_marks import pen
from fusemap.sheet.paint_text import (
    GREY,
    LINE,
    PALE,
    WHITE,
    Align,
    Setting,
    draw_line,
    metrics,
    mm,
    pt,
    set_text,
)

PAD = pt(2.6)
POINTS = 8.0
MOST_LINES = 24
"""Lines of a row that are kept together."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a column is, and how it is set."""

    x: float
    wide: float
    align: Align


def places(columns: tuple[Column, ...], wide: float) -> list[Place]:
    """The columns by their shares of the width."""
    whole = sum(column.share for column in columns)
    found, x = [], 0.0
    for column in columns:
        share = wide * column.share / whole
        found.append(Place(x, share, column.align))
        x += share
    return found


def table_strips(table: Table, wide: float) -> Iterator[Strip]:
    """The head, then every row; rows of a group stay with the group's name."""
    at = places(table.columns, wide)
    head = _head(table, at, wide)
    yield Strip(head.height, head.draw, keep=True, gap=pt(5))
    for row in table.rows:
        yield from _row(row, at, wide, head, least=mm(7) if table.tall else 0.0)
    yield Strip(pt(2), nothing)


def _head(table: Table, at: list[Place], wide: float) -> Strip:
    made = [
        set_text(
            column.title,
            place.wide - 2 * PAD,
            _title_size(column.title, place.wide - 2 * PAD),
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


def _title_size(title: str, wide: float) -> float:
    """The size at which no word of a title has to be broken, within reason."""
    word = max(title.split() or [""], key=len)
    for size in (7.2, 6.6, 6.0, 5.4):
        if metrics(size, True).horizontalAdvance(word) <= wide:
            return size
    return 5.0


def _rule(painter: QPainter, x: float, y: float, wide: float, thick: float) -> None:
    painter.setPen(pen(thick, LINE if thick < 0.8 else "#111111"))
    painter.drawLine(QPointF(x, y), QPointF(x + wide, y))


def _row(row: Row, at: list[Place], wide: float, head: Strip, least: float) -> Iterator[Strip]:
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
        yield Strip(high, piece.drawing(), keep=row.kind == "group", head=head)


@dataclass(frozen=True, slots=True)
class Piece:
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
        draw_line(painter, room, box.unit, 6.5, align="right", colour=GREY)
