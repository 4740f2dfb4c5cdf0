"""The meter as a step of the check wants it, and its leads onto the way of the current.

The leads leave the jacks downwards, run up the left edge of the stage, along above the way, and
down onto the pads of the stations: over everything, and across no word.
"""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from fusemap.probing.check_step import CheckStep
from fusemap.window.beside.frame import StageFrame
from fusemap.window.beside.meter import Jacks, draw_lead, draw_meter
from fusemap.window.beside.meter_place import Pen, write_lines
from fusemap.window.beside.pieces import Piece
from fusemap.window.beside.scale import scale_of
from fusemap.window.probe.check_way import WayRow, holding
from fusemap.window.probe.check_words import typed_words
from fusemap.window.style.theme import Theme, draw_severity


class MeterOfStep(Piece):
    """The meter as a step wants it, with its words; where the leads leave it."""

    def __init__(self, theme: Theme) -> None:
        super().__init__("checkMeter", self.tr("The meter"), theme)
        self._step: CheckStep | None = None
        self._typed = ""
        self.jacks: Jacks | None = None

    def show_step(self, step: CheckStep | None, typed: str) -> None:
        """Show the meter for this step."""
        self._step, self._typed = step, typed
        held = None if step is None else holding(step)
        self._told("" if held is None else ", ".join(held.lines))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it; nothing where a step is answered by yes or no."""
        self.jacks = None
        if self._step is None:
            return
        held = holding(self._step)
        if held.setting.range == "none":
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        unit = self._unit
        high = self.height() - 34 * unit
        place = QRectF(14 * unit, 0, 204 * unit, high)
        typed = typed_words(self._step, self._typed or "–")
        self.jacks = draw_meter(painter, place, held.setting, typed, self._theme)
        pen = Pen(painter, unit, self._theme)
        words = QRectF(self.rect()).adjusted(232 * unit, 4 * unit, 0, 0)
        lines = [held.setting.words(), held.setting.jack_words()]
        write_lines(pen, words, lines)
        if held.words:
            self._draw_caution(pen, held.words)

    def _draw_caution(self, pen: Pen, text: str) -> None:
        """What is easily forgotten, with its triangle."""
        unit = pen.unit
        room = QRectF(self.rect()).adjusted(232 * unit, 150 * unit, 0, 0)
        side = 34 * unit
        mark = QRectF(room.left(), room.top(), side, side)
        draw_severity(pen.painter, mark, "caution", self._theme)
        write_lines(pen, room.adjusted(side + 8 * unit, 0, 0, 0), [text])


class Leads(QWidget):
    """The leads from the meter to the way's row, over everything and under no word."""

    def __init__(self, frame: StageFrame, way: WayRow, meter: MeterOfStep, theme: Theme) -> None:
        super().__init__(frame)
        self._frame, self._way, self._meter = frame, way, meter
        self._theme = theme
        self._step: CheckStep | None = None
        self.setObjectName("checkLeads")
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def show_step(self, step: CheckStep) -> None:
        """Show the leads for this step."""
        self._step = step
        self.setGeometry(self._frame.rect())
        self.raise_()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Down from the jacks, up the left edge, along above the row, and onto the pads."""
        step, jacks = self._step, self._meter.jacks
        if step is None or jacks is None or not holding(step).setting.leads:
            return
        tips = self._way.tips(step)
        if tips is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        unit = scale_of(self._frame).unit
        meter, row = QPointF(self._meter.pos()), QPointF(self._way.pos())
        for jack, tip, number, colour in (
            (jacks.black, tips[1], 0, "lead_black"), (jacks.red, tips[0], 1, "lead_red"),
        ):  # fmt: skip
            start = meter + jack
            below = meter.y() + jacks.bottom + (12 + 10 * number) * unit
            side = (20 - 12 * number) * unit
            above = row.y() + (4 - 9 * number) * unit
            end = row + tip
            way = (start, QPointF(start.x(), below), QPointF(side, below), QPointF(side, above),
                   QPointF(end.x(), above), end)  # fmt: skip
            draw_lead(painter, way, colour, unit, self._theme)
