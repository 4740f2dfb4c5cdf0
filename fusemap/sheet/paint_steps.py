"""Steps of the work on paper: a box to tick, a number, the words, a small drawing at the right.

In: steps and the width there is. Out: strips. A drawing has no words of its own: those stand in the
step, and the tap stands large beside its facts. Lengths are dots of 1/1200 inch.
"""

from collections.abc import Callable, Iterator, Mapping
from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from fusemap.sheet.content import Step, Steps, StepSign
from fusemap.sheet.paint_flow import Draw, Strip, gap, keeps, lines
from fusemap.sheet.paint_ink import (
    GREY,
    Setting,
    draw_line,
    mm,
    pen,
    pt,
    set_text,
    severity,
    tick_box,
)
from fusemap.sheet.paint_job import HIGH_MM, SCALE, WIDE_MM, draw_tap

SMALL: Final = 0.28
"""A tap beside its step, of its size beside its facts."""
WEIGHT: Final = 2.2
"""How much thicker its lines are then."""
TAP_MM: Final = (WIDE_MM * SCALE * SMALL, HIGH_MM * SCALE * SMALL)
SIGN_MM: Final = (14.0, 9.0)
"""Width and height of a small drawing."""


def step_strips(block: Steps, wide: float) -> Iterator[Strip]:
    """Numbered steps with boxes to tick."""
    if block.title:
        title = set_text(block.title, wide, 10, bold=True)
        for strip in lines(title):
            yield Strip(strip.height, strip.draw, keep=True, gap=pt(6))
    for number, step in enumerate(block.items, start=block.first):
        yield from _one(step, number, wide)


def _one(step: Step, number: int, wide: float) -> Iterator[Strip]:
    """The lines of a step; with a drawing they stay together, and have its height at least."""
    across, high = _size(step)
    room = wide - (across + mm(4) if across else 0.0)
    parts = [set_text(step.text, room - mm(14), 9)]
    if step.detail:
        parts.append(set_text(step.detail, room - mm(14), 8, colour=GREY))
    if step.caution:
        parts.append(set_text(step.caution, room - mm(20), 8, bold=True))
    rows = [(made, index) for made in parts for index in range(made.lines)]
    strips = []
    for position, (made, index) in enumerate(rows):
        warns = bool(step.caution) and made is parts[-1]
        strip = Strip(
            made.line_height,
            _step(number if position == 0 else 0, made, index, warns),
            keep=keeps(position, len(rows), 3) or (warns and position < len(rows) - 1),
            gap=pt(3.4) if position == 0 else 0.0,
        )
        strips.append(strip)
    if across:
        strips[0] = replace(strips[0], draw=_with(strips[0].draw, step, wide - across))
        left = high - sum(strip.height for strip in strips)
        strips += [gap(left)] if left > 0 else []
        strips[:-1] = [replace(strip, keep=True) for strip in strips[:-1]]
    yield from strips


def _size(step: Step) -> tuple[float, float]:
    """Width and height of the drawing of a step; none where it has none."""
    if step.picture is not None:
        return mm(TAP_MM[0]), mm(TAP_MM[1])
    return (mm(SIGN_MM[0]), mm(SIGN_MM[1])) if step.sign else (0.0, 0.0)


def _with(draw: Draw, step: Step, left: float) -> Draw:
    """A line of a step with the drawing of the whole step at its right."""

    def both(painter: QPainter, x: float, y: float) -> None:
        draw(painter, x, y)
        painter.save()
        painter.translate(x + left, y + pt(1))
        if step.picture is not None:
            painter.scale(SMALL, SMALL)
            draw_tap(painter, 0.0, 0.0, step.picture, WEIGHT)
        else:
            SIGNS[step.sign](painter)
        painter.restore()

    return both


def draw_earth(painter: QPainter) -> None:
    """A ring terminal under a nut on the body, the cable from the left."""
    painter.setPen(pen(0.9))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawLine(_at(0, 2.6), _at(7.4, 2.6))
    painter.drawEllipse(QRectF(_at(7.4, 1.2), _at(10.2, 4.0)))
    painter.drawLine(_at(8.8, 4.0), _at(8.8, 5.8))
    painter.drawLine(_at(5.4, 5.8), _at(12.2, 5.8))
    for x in (6.4, 8.8, 11.2):
        painter.drawLine(_at(x, 5.8), _at(x - 1.2, 7.8))


def draw_crossing(painter: QPainter) -> None:
    """A cable through sheet metal in a grommet, hanging lower outside, at the left."""
    painter.setPen(pen(1.6, GREY))
    painter.drawLine(_at(7, 0), _at(7, 1.6))
    painter.drawLine(_at(7, 5.2), _at(7, 8.6))
    painter.setPen(pen(0.9))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(QRectF(_at(6.0, 1.6), _at(8.0, 5.2)))
    painter.drawPolyline([_at(0, 6.6), _at(3, 6.6), _at(6, 3.4), _at(14, 3.4)])


def draw_joint(painter: QPainter) -> None:
    """Two stripped ends in a crimp: the bare wire in the sleeve, pressed twice."""
    painter.setPen(pen(2.2, GREY))
    painter.drawLine(_at(0, 4.4), _at(3.6, 4.4))
    painter.drawLine(_at(10.4, 4.4), _at(14, 4.4))
    painter.setPen(pen(0.9))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawLine(_at(3.6, 4.4), _at(6.6, 4.4))
    painter.drawLine(_at(7.4, 4.4), _at(10.4, 4.4))
    painter.drawRect(QRectF(_at(4.4, 3.0), _at(9.6, 5.8)))
    for x in (5.6, 8.4):
        painter.drawLine(_at(x, 2.0), _at(x, 3.6))
        painter.drawLine(_at(x, 5.2), _at(x, 6.8))


def draw_ring(painter: QPainter) -> None:
    """A cable with its ring terminal, seen from above, on a stud with its nut."""
    painter.setPen(pen(2.2, GREY))
    painter.drawLine(_at(0, 4.4), _at(4.4, 4.4))
    painter.setPen(pen(0.9))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(QRectF(_at(4.4, 3.2), _at(7.2, 5.6)))
    painter.drawEllipse(QRectF(_at(7.2, 1.8), _at(12.4, 7.0)))
    corners = [(9.0, 3.0), (10.6, 3.0), (11.4, 4.4), (10.6, 5.8), (9.0, 5.8), (8.2, 4.4)]
    painter.drawPolygon([_at(x, y) for x, y in corners])


SIGNS: Final[Mapping[StepSign, Callable[[QPainter], None]]] = {
    "earth": draw_earth,
    "crossing": draw_crossing,
    "joint": draw_joint,
    "ring": draw_ring,
}


def _at(x: float, y: float) -> QPointF:
    return QPointF(mm(x), mm(y))


def _step(number: int, made: Setting, index: int, warns: bool) -> Draw:
    """One line of a step; the first has the box and the number, a caution its mark."""

    def draw(painter: QPainter, x: float, y: float) -> None:
        if number:
            size = mm(3.4)
            tick_box(painter, QRectF(x, y + (made.line_height - size) / 2, size, size))
            place = QRectF(x + mm(4.4), y, mm(8), made.line_height)
            draw_line(painter, place, str(number), 9, bold=True, align="right", least=0.85)
        if warns and index == 0:
            mark = QRectF(x + mm(14), y + (made.line_height - mm(3.4)) / 2, mm(3.4), mm(3.4))
            severity(painter, mark, "caution")
        made.draw(painter, x + mm(20 if warns else 14), y, index, index + 1)

    return draw
