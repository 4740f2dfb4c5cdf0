"""Blocks of the first page: lines to write on, the panel at a glance.

In: the blocks and the width there is. Out: strips. Lengths are dots of 1/1200 inch.
"""

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter

from fusemap.sheet.content import Blanks, PlanView, SlotPicture
from fusemap.sheet.paint_flow import Draw, Strip, set_line
from fusemap.sheet.paint_ink import (
    GREY,
    INK,
    LINE,
    WHITE,
    draw_line,
    metrics,
    mm,
    pen,
    pt,
    set_text,
)

BLANK_MM = 6.4
CELL_WIDE_MM, CELL_HIGH_MM = 20.0, 3.6
SHARES = (0.52, 0.24, 0.24)
"""Lines to write on beside each other; what is longest, the vehicle, has the first."""


def blank_strips(block: Blanks, wide: float) -> Iterator[Strip]:
    """Names with lines to write on, three in a row."""
    across = len(SHARES)
    rows = [block.names[i : i + across] for i in range(0, len(block.names), across)]
    for index, row in enumerate(rows):
        yield Strip(mm(BLANK_MM), _blanks(row, wide), keep=index < len(rows) - 1)


def _blanks(names: tuple[str, ...], wide: float) -> Draw:
    room = wide - (len(SHARES) - 1) * mm(6)

    def draw(painter: QPainter, x: float, y: float) -> None:
        low = y + mm(BLANK_MM) - mm(1)
        left = x
        for name, share in zip(names, SHARES, strict=False):
            each = room * share
            made = set_text(name, each, 8, colour=GREY)
            made.draw(painter, left, low - made.line_height, last=1)
            painter.setPen(pen(0.5, LINE))
            start = left + min(made.natural + mm(2), each * 0.8)
            painter.drawLine(QPointF(start, low), QPointF(left + each, low))
            left += each + mm(6)

    return draw


# --- the panel at a glance ------------------------------------------------------------------------


def plan_strips(block: PlanView, wide: float) -> Iterator[Strip]:
    """The panel's name, then its rows of places, low and together."""
    panel = block.panel
    made = set_text(panel.name, wide, 9, bold=True)
    for index in range(made.lines):
        above = 0.0 if index else pt(5)
        yield Strip(made.line_height, set_line(made, index), keep=True, gap=above)
    cell = min(mm(CELL_WIDE_MM), wide / max(1, panel.columns))
    rows: dict[int, list[SlotPicture]] = {}
    for slot in panel.slots:
        rows.setdefault(slot.row, []).append(slot)
    for row in range(panel.rows):
        yield Strip(
            mm(CELL_HIGH_MM), _places(rows.get(row, []), cell), keep=row < min(panel.rows, 24) - 1
        )


def _places(slots: list[SlotPicture], cell: float) -> Draw:
    def draw(painter: QPainter, x: float, y: float) -> None:
        for slot in slots:
            place = QRectF(x + slot.column * cell, y, cell, mm(CELL_HIGH_MM))
            _place(painter, place.adjusted(mm(0.3), mm(0.3), -mm(0.3), -mm(0.3)), slot)

    return draw


def _place(painter: QPainter, place: QRectF, slot: SlotPicture) -> None:
    """A place: its label, and its rating; black with the accessory's number where it is tapped."""
    tapped = bool(slot.badges)
    painter.setPen(pen(0.5, INK if slot.kind == "fuse" else LINE))
    painter.setBrush(QColor(INK if tapped else WHITE))
    painter.drawRect(place)
    ink = WHITE if tapped else INK
    inside = place.adjusted(mm(0.8), 0, -mm(0.8), 0)
    beside = f"({', '.join(slot.badges)})" if tapped else slot.rating
    taken = metrics(7.5, tapped).horizontalAdvance(beside) + mm(0.6) if beside else 0.0
    label = inside.adjusted(0, 0, -min(taken, inside.width() * 0.7), 0)
    draw_line(painter, label, slot.label, 7.5, colour=ink)
    if beside:
        draw_line(
            painter, inside, beside, 7.5, bold=tapped, align="right", colour=ink if tapped else GREY
        )
