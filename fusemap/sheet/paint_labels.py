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
from fusemap.sheet.paint_ink import LINE, SMALLEST, draw_line, metrics, mm, pen, set_text
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
    """Both ends, whole where there is room, else a line each; on low tape the far end alone."""
    high = metrics(SMALLEST).height()
    if place.width() < mm(8):
        return
    ends = (label.start, f"→ {label.end}")
    made = [set_text(end, place.width(), SMALLEST, spacing=1.12) for end in ends]
    if sum(each.height for each in made) <= place.height():
        y = place.center().y() - sum(each.height for each in made) / 2
        for each in made:
            each.draw(painter, place.left(), y)
            y += each.height
        return
    shown = ends if place.height() >= 2 * high else ends[1:]
    top = place.center().y() - len(shown) * high / 2
    for index, text in enumerate(shown):
        line = QRectF(place.left(), top + index * high, place.width(), high)
        draw_line(painter, line, text, SMALLEST)
