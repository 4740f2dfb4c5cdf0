"""Draws the chart of the parked battery: charge over time, what a start needs, the answer on it.

In: where everything is (`chart_layout`). Out: the drawing, on a widget or for a file. Known and
typical is solid, what may be is tinted or hatched; curves differ by lightness and by width, and
each has its name at its end.
"""

from typing import Final

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from fusemap.text import share
from fusemap.window.parked import chart_words as words
from fusemap.window.parked.chart_figures import Course
from fusemap.window.parked.chart_layout import ROLES, Layout
from fusemap.window.parked.time_axis import moment, ticks, weekends
from fusemap.window.style.colours import Theme

GRID: Final = (0, 25, 50, 75, 100)


def course_pen(key: str, theme: Theme) -> QPen:
    """The line of a course: as it is, with what is ticked, of the second battery."""
    pen = QPen(theme.colour(ROLES[key]), 3.0 if key == "ticked" else 2.2)
    if key == "second":
        pen.setDashPattern([1, 3])
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen


def need_pen(theme: Theme) -> QPen:
    """The line of what a start needs."""
    pen = QPen(theme.colour("stop"), 1.6)
    pen.setDashPattern([5, 3])
    return pen


class Drawing(Layout):
    """One drawing of the chart, painted."""

    def paint(self, painter: QPainter) -> None:
        """Everything but the cursor."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font)
        self._ground(painter)
        self._need(painter)
        painter.save()
        painter.setClipRect(self.plot.adjusted(0, -2, 0, 2))
        for course in self.figures.courses:
            self._band(painter, course)
        for course in self.figures.courses:
            self._curve(painter, course)
        painter.restore()
        self._need_line(painter)
        self._flag(painter)
        for course in self.figures.courses:
            self._bar(painter, course)
        self._events(painter)
        self._strip(painter)
        self._write_labels(painter)
        painter.restore()

    def _ground(self, painter: QPainter) -> None:
        """Weekends, the lines of the per cents, and the time axis."""
        theme, plot = self.theme, self.plot
        shade = theme.colour("text")
        shade.setAlphaF(0.05)
        for begin, end in weekends(self.view, self.figures.start):
            left, right = self.x(begin), self.x(end)
            painter.fillRect(QRectF(left, plot.top(), right - left, plot.height()), shade)
        painter.setPen(QPen(theme.colour("line"), 1))
        for value in GRID:
            y = self.y(value)
            painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
        painter.setPen(theme.colour("muted_text"))
        for value in GRID:
            text = theme.style.show(share(value / 100)) if value in (0, 100) else str(value)
            place = QRectF(
                self.place.left(), self.y(value) - self.em, plot.left() - self.place.left() - 6,
                self.em * 2,
            )  # fmt: skip
            painter.drawText(
                place, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, text
            )
        self._axis(painter)

    def _axis(self, painter: QPainter) -> None:
        """Ticks with their days; at its left end when it was locked, and no other word there."""
        style, bottom = self.theme.style, self.plot.bottom()
        wide = self.plain_size.horizontalAdvance("Www 00") + self.em * 0.8
        most = max(2, int(self.plot.width() / wide))
        taken = self.plot.left() - self.em
        if self.view[0] <= 0:
            locked = moment(self.figures.start, 0.0, style)
            painter.setPen(self.theme.colour("text"))
            painter.setFont(self.bold)
            painter.drawText(QPointF(self.plot.left(), bottom + self.em * 1.1), locked)
            painter.setFont(self.font)
            taken = self.plot.left() + self.bold_size.horizontalAdvance(locked) + self.em * 0.5
        for tick in ticks(self.view, self.figures.start, style, most):
            x = self.x(tick.hours)
            long = self.em * (0.4 if tick.words and x >= taken else 0.22)
            painter.setPen(QPen(self.theme.colour("frame"), 1))
            painter.drawLine(QPointF(x, bottom), QPointF(x, bottom + long))
            room = self.plain_size.horizontalAdvance(tick.words)
            if tick.words and x >= taken and x + 3 + room <= self.plot.right() + self.em:
                painter.setPen(self.theme.colour("muted_text"))
                painter.drawText(QPointF(x + 3, bottom + self.em * 1.1), tick.words)

    def _need(self, painter: QPainter) -> None:
        """What a start needs: the doubt about it hatched."""
        low, _, high = self.figures.need
        band = QRectF(
            QPointF(self.plot.left(), self.y(high)), QPointF(self.plot.right(), self.y(low))
        )
        colour = self.theme.colour("stop")
        tint = QColor(colour)
        tint.setAlphaF(0.05)
        below = QRectF(band.topLeft(), self.plot.bottomRight())
        painter.fillRect(below, tint)
        colour.setAlphaF(0.30)
        painter.save()
        painter.setClipRect(band)
        painter.setPen(QPen(colour, 1))
        step, high_px = self.em * 0.5, band.height()
        for n in range(int((band.width() + high_px) / step) + 1):
            x = band.left() + n * step
            painter.drawLine(QPointF(x - high_px, band.bottom()), QPointF(x, band.top()))
        painter.restore()

    def _need_line(self, painter: QPainter) -> None:
        painter.setPen(need_pen(self.theme))
        y = self.y(self.figures.need[1])
        painter.drawLine(QPointF(self.plot.left(), y), QPointF(self.plot.right() + 4, y))

    def _band(self, painter: QPainter, course: Course) -> None:
        if course.band_h is None or course.low is None or course.high is None:
            return
        upper = self._points(course.band_h, course.high)
        lower = self._points(course.band_h, course.low)
        shade = self.theme.colour(ROLES[course.key])
        shade.setAlphaF(0.20 if course.key == "now" else 0.15)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(shade)
        painter.drawPolygon(QPolygonF([*upper, *reversed(lower)]))

    def _curve(self, painter: QPainter, course: Course) -> None:
        painter.setPen(course_pen(course.key, self.theme))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF(self.line(course)))

    def _bar(self, painter: QPainter, course: Course) -> None:
        """The answer: a bar with end stops, and a ring at the middle."""
        bar = self.bar(course)
        if bar is None or course.ends_h is None:
            return
        colour, ground = self.theme.colour(ROLES[course.key]), self.theme.colour("base")
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ground)
        painter.drawRect(bar.adjusted(-1.5, -1.5, 1.5, 1.5))
        painter.setBrush(colour)
        painter.drawRect(bar)
        painter.setPen(QPen(colour, 2))
        low, middle, high = course.ends_h
        tall = bar.height() * 0.75
        for hours, x in ((low, bar.left()), (high, bar.right())):
            if self.shows(hours):
                painter.drawLine(QPointF(x, bar.center().y() - tall - 2),
                                 QPointF(x, bar.center().y() + tall + 2))  # fmt: skip
        if self.shows(middle) and bar.width() > self.em * 1.5:
            painter.setBrush(ground)
            painter.setPen(QPen(colour, 2.4))
            size = self.em * 0.36
            painter.drawEllipse(QPointF(self.x(middle), bar.center().y()), size, size)

    def _flag(self, painter: QPainter) -> None:
        """When one is back: a dark flag on a pole, with the charge as a point on it."""
        figures = self.figures
        if figures.plan_h <= 0 or figures.plan_h < self.view[0]:
            return
        beyond = figures.plan_h > self.view[1]
        ink, x = self.theme.colour("text"), min(self.x(figures.plan_h), self.plot.right())
        text = words.flag_words(figures, self.theme.style) + (" →" if beyond else "")
        if not beyond:
            painter.setPen(QPen(ink, 2))
            top = self.plot.top() - self.em * 0.4
            painter.drawLine(QPointF(x, top), QPointF(x, self.plot.bottom()))
        flag = self.flag(x, self.bold_size.horizontalAdvance(text) + self.em)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        painter.drawRoundedRect(flag, 4, 4)
        painter.setPen(self.theme.colour("base"))
        painter.setFont(self.bold)
        painter.drawText(flag, Qt.AlignmentFlag.AlignCenter, text)
        painter.setFont(self.font)
        if beyond:
            return
        course = figures.shown
        painter.setBrush(self.theme.colour(ROLES[course.key]))
        painter.setPen(QPen(self.theme.colour("base"), 1.5))
        at = QPointF(x, self.y(course.charge(figures.plan_h)))
        painter.drawEllipse(at, self.em * 0.3, self.em * 0.3)

    def _events(self, painter: QPainter) -> None:
        """A point on the curve for every happening that has its label."""
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.theme.colour("text"))
        for number, each in enumerate(self.figures.happenings):
            if f"event {number}" in self.labels:
                at = QPointF(self.x(each.hours), self.y(self.figures.now.charge(each.hours)))
                painter.drawEllipse(at, self.em * 0.22, self.em * 0.22)

    def _strip(self, painter: QPainter) -> None:
        """How many such vehicles start, over time: full where all do."""
        strip = self.strip
        ground, colour = self.theme.colour("raised"), self.theme.colour("muted_text")
        painter.fillRect(strip, ground)
        left, right = self.view
        places = np.linspace(left, right, 160)
        ordered = np.sort(self.figures.draws_h)
        gone = np.searchsorted(ordered, places, side="left") / max(1, len(ordered))
        top = [
            QPointF(self.x(float(h)), strip.bottom() - (1 - float(g)) * strip.height())
            for h, g in zip(places, gone, strict=True)
        ]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        painter.drawPolygon(QPolygonF([strip.bottomLeft(), *top, strip.bottomRight()]))
        painter.setPen(self.theme.colour("muted_text"))
        text = words.chance_words(self.figures, right, self.theme.style)
        place = QRectF(strip.right() + self.em * 0.5, strip.top() - self.em * 0.3,
                       self.place.right() - strip.right(), self.em * 1.4)  # fmt: skip
        painter.drawText(place, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, text)

    def _write_labels(self, painter: QPainter) -> None:
        for key, each in self.labels.items():
            text = self.texts[key]
            colour = self.theme.colour(text.colour)
            if each.leader is not None:
                painter.setPen(QPen(self.theme.colour("muted_text"), 1))
                painter.drawLine(QLineF(*each.leader))
            top = each.box.top
            for number, line in enumerate(text.lines):
                bold = text.bold and number == 0
                self._write(painter, each.box.left + 1, top, line, colour, bold=bold)
                top += self.em

    def _write(
        self, painter: QPainter, left: float, top: float, line: str, colour: QColor, *, bold: bool
    ) -> None:
        """A line of text with a halo of the ground, so that it can be read on any of the tints."""
        font = self.bold if bold else self.font
        path = QPainterPath()
        path.addText(QPointF(left, top + self.plain_size.ascent()), font, line)
        halo = self.theme.colour("base")
        halo.setAlphaF(0.85)
        painter.strokePath(
            path, QPen(halo, 4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap,
                       Qt.PenJoinStyle.RoundJoin)
        )  # fmt: skip
        painter.setFont(font)
        painter.setPen(colour)
        painter.drawText(QPointF(left, top + self.plain_size.ascent()), line)
        painter.setFont(self.font)
