"""A connection on paper: its picture, its facts beside it, its predicted figures below.

In: a `Job` and the width there is. Out: strips that stay together where a page can hold them.
Lengths are dots of 1/1200 inch.
"""

from collections.abc import Iterator
from itertools import zip_longest

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from fusemap.sheet.content import Job, Predicted
from fusemap.sheet.paint_blocks import fact_strips
from fusemap.sheet.paint_flow import Draw, Strip
from fusemap.sheet.paint_marks import badge, badge_width, pen, severity
from fusemap.sheet.paint_tap import HIGH_MM, WIDE_MM, draw_tap
from fusemap.sheet.paint_text import GREY, LINE, Setting, mm, pt, set_text

APART = mm(4)


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
    left = mm(WIDE_MM) + APART
    facts = list(fact_strips(job.facts, wide - left, mm(31), 8.2))
    beside, used = 0, 0.0
    while beside < len(facts) and used + facts[beside].height < mm(90):
        used += facts[beside].height + facts[beside].gap
        beside += 1
    high = max(mm(HIGH_MM), used)

    def draw(painter: QPainter, x: float, y: float) -> None:
        painter.setPen(pen(0.4, LINE))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(x, y, mm(WIDE_MM), mm(HIGH_MM)))
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
    if predicted.limit is not None:
        said.append(f"{predicted.bound} {predicted.limit.text}")
    if predicted.state and predicted.state != usual:
        said.append(predicted.state)
    rest = set_text(", ".join(said), wide - mm(58), 7.2, bold=not predicted.passed)
    high = max(name.height, load.height, rest.height)

    def draw(painter: QPainter, x: float, y: float) -> None:
        _draw_figure(painter, x, y, (name, load, rest), predicted.passed)

    return Strip(high, draw)


def _draw_figure(
    painter: QPainter, x: float, y: float, parts: tuple[Setting, Setting, Setting], passed: bool
) -> None:
    name, load, rest = parts
    name.draw(painter, x, y + pt(0.4))
    load.draw(painter, x + mm(33), y)
    rest.draw(painter, x + mm(57), y + pt(0.6))
    if not passed:
        severity(painter, QRectF(x + mm(52.4), y + pt(0.6), mm(3), mm(3)), "stop")
