"""Labels on paper: with lines to cut along, on sheets that were bought, on endless tape.

In: a `LabelSheet` and the width there is. Out: strips; of sheets and tape one for each sheet or
label, drawn from the corner of what goes through the printer. Lengths are dots of 1/1200 inch.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from fusemap.sheet.content import Label, LabelSheet
from fusemap.sheet.paint_flow import Strip
from fusemap.sheet.paint_ink import LINE, SMALLEST, Setting, draw_line, metrics, mm, pen, set_text
from fusemap.sheet.stock import Stock

LARGEST: Final = 13.0
"""Points of the number, where the label is high enough."""
INSIDE: Final = mm(1.2)
"""Between the edge of a label and its words; a printer may be off by as much."""
LOW: Final = mm(13)
"""On a label lower than this the words stand beside the number."""


def label_strips(sheet: LabelSheet, wide: float) -> Iterator[Strip]:
    """Rows with lines to cut along; of a bought stock whole sheets or single labels."""
    stock = sheet.stock
    if stock.kind == "tape":
        for label in sheet.labels:
            yield _page(stock, [(0, label)])
        return
    if stock.kind == "sheet":
        yield from _sheets(sheet)
        return
    across = max(1, min(stock.across, int(wide / mm(stock.pitch_x_mm))))
    for first in range(0, len(sheet.labels), across):
        yield _row(sheet.labels[first : first + across], stock)


def _row(labels: Sequence[Label], stock: Stock) -> Strip:
    def draw(painter: QPainter, x: float, y: float) -> None:
        for index, label in enumerate(labels):
            place = _at(stock, index, 0).translated(x, y)
            painter.setPen(pen(0.3, LINE, dashed=True))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(place)
            _label(painter, place, label)

    return Strip(mm(stock.high_mm), draw)


def _sheets(sheet: LabelSheet) -> Iterator[Strip]:
    """As many labels on a sheet as it has; on the first those are left out that are used."""
    stock = sheet.stock
    on_one = stock.across * stock.down
    taken = stock.taken % on_one
    numbered = list(enumerate(sheet.labels, start=taken))
    while numbered:
        first = numbered[0][0] // on_one
        here = [(n % on_one, label) for n, label in numbered if n // on_one == first]
        yield _page(stock, here)
        numbered = numbered[len(here) :]


def _page(stock: Stock, labels: Sequence[tuple[int, Label]]) -> Strip:
    def draw(painter: QPainter, x: float, y: float) -> None:
        for number, label in labels:
            row, column = divmod(number, stock.across)
            _label(painter, _at(stock, column, row).translated(x, y), label)

    return Strip(mm(stock.size_mm[1]), draw, new_page=True)


def _at(stock: Stock, column: int, row: int) -> QRectF:
    """Where a label lies, from the corner of the sheet."""
    return QRectF(
        mm(stock.left_mm + column * stock.pitch_x_mm),
        mm(stock.top_mm + row * stock.pitch_y_mm),
        mm(stock.wide_mm),
        mm(stock.high_mm),
    )


def _label(painter: QPainter, place: QRectF, label: Label) -> None:
    """The number large; beside or below it where the cable comes from and goes to."""
    inside = place.adjusted(INSIDE, 0, -INSIDE, 0)
    low = place.height() < LOW
    points = max(SMALLEST, min(LARGEST, place.height() / mm(1) * 1.6))
    wide = metrics(points, True).horizontalAdvance(label.number) + mm(1.5)
    if low:
        number = QRectF(inside.left(), inside.top(), min(wide, inside.width()), inside.height())
        rest = inside.adjusted(number.width(), 0, 0, 0)
    else:
        number = QRectF(inside.left(), inside.top() + mm(1), inside.width(), mm(6))
        rest = QRectF(inside.left(), number.bottom(), inside.width(), 0)
        rest.setBottom(place.bottom() - mm(1))
    draw_line(painter, number, label.number, points, bold=True, least=0.5)
    _ends(painter, rest, label)


def _ends(painter: QPainter, place: QRectF, label: Label) -> None:
    """Both ends as far as there is room, the far one first; on low tape that one alone."""
    if place.width() < mm(8):
        return
    start = set_text(label.start, place.width(), SMALLEST, spacing=1.12)
    end = set_text(f"→ {label.end}", place.width(), SMALLEST, spacing=1.12)
    high = start.line_height
    room = max(1, int(place.height() / high))
    for_end = min(end.lines, max(room - start.lines, room - room // 2))
    for_start = min(start.lines, room - for_end)
    y = place.center().y() - (for_start + for_end) * high / 2
    for made, count in ((start, for_start), (end, for_end)):
        _so_many(painter, made, QRectF(place.left(), y, place.width(), high), count)
        y += count * high


def _so_many(painter: QPainter, made: Setting, line: QRectF, count: int) -> None:
    """So many lines of a text from a line on, the last one cut with “…” where there are more."""
    if count >= made.lines:
        made.draw(painter, line.left(), line.top())
    elif count:
        made.draw(painter, line.left(), line.top(), 0, count - 1)
        rest = made.layout.text()[made.layout.lineAt(count - 1).textStart() :]
        last = line.translated(0, (count - 1) * made.line_height)
        draw_line(painter, last, rest, SMALLEST)
