"""Draws the chart of the parked battery: charge over time, what a start needs, the answer on it.

In: `ChartFigures`, the span of time shown, a place. Out: the drawing, on a widget or for a file.
Known and typical is solid, what may be is tinted or hatched; curves differ by lightness and by
width, and each has its name at its end. Labels find their places in `label_places`.
"""

from dataclasses import dataclass
from math import isfinite
from typing import Final

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from fusemap.text import share
from fusemap.window.parked import chart_words as words
from fusemap.window.parked.chart_figures import ChartFigures, Course
from fusemap.window.parked.label_places import Box, Placed, Side, Wanted, placed, spread
from fusemap.window.parked.time_axis import ticks, weekends
from fusemap.window.style.theme import Theme

GRID: Final = (0, 25, 50, 75, 100)
BAR: Final = 0.42
"""Height of the answer's bar, in heights of the font."""
ROLES: Final = {"now": "text", "ticked": "accent", "second": "muted_text"}
ON_LINE: Final = 60.0
ON_CURVE: Final = 110.0
"""What it costs a label to stand there, in pixels of distance."""
MOST_POINTS: Final = 400
SHOWN: Final = ("limit", "switch")
"""Happenings that get a label of their own where there is room."""


@dataclass(frozen=True, slots=True)
class Lines:
    """A label: its lines, the first of them bold, in a colour."""

    lines: tuple[str, ...]
    colour: str
    bold: bool = True


class Drawing:
    """One drawing of the chart: where everything is, and how it is painted."""

    def __init__(
        self,
        figures: ChartFigures,
        view: tuple[float, float],
        place: QRectF,
        font: QFont,
        theme: Theme,
    ) -> None:
        self.figures = figures
        self.view = view
        self.place = place
        self.theme = theme
        self.font = font
        self.bold = QFont(font)
        self.bold.setWeight(QFont.Weight.DemiBold)
        self.plain_size = QFontMetricsF(font)
        self.bold_size = QFontMetricsF(self.bold)
        self.em = self.plain_size.height()
        self.plot = self._plot()
        self.strip = QRectF(
            self.plot.left(), self.plot.bottom() + self.em * 1.5, self.plot.width(), self.em * 0.8
        )
        self.texts: dict[str, Lines] = {}
        self.labels: dict[str, Placed] = {}
        self._place_labels()

    # --- where things are -----------------------------------------------------------------------

    def _plot(self) -> QRectF:
        """The room of the curves: names stand right of it, hours and the strip below."""
        em, style = self.em, self.theme.style
        left = self.plain_size.horizontalAdvance(style.show(share(1.0))) + em * 0.5
        names = [
            *words.need_lines(self.figures, style),
            *(line for each in self.figures.courses for line in self._end_lines(each)),
            words.chance_words(self.figures, 0.0, style),
        ]
        widest = max(map(self.bold_size.horizontalAdvance, names))
        right = min(widest + em * 0.6, self.place.width() * 0.3)
        inside = self.place.adjusted(left, em * 2.2, -right, -em * 2.5)
        return QRectF(inside.topLeft(), inside.size().expandedTo(QRectF(0, 0, 20, 20).size()))

    def _end_lines(self, course: Course) -> tuple[str, ...]:
        return words.end_lines(course, self.view[1], self.theme.style)

    def x(self, hours: float) -> float:
        """Where a moment lies."""
        left, right = self.view
        return self.plot.left() + (hours - left) / (right - left) * self.plot.width()

    def hours(self, x: float) -> float:
        """Which moment lies there [h]."""
        left, right = self.view
        return left + (x - self.plot.left()) / self.plot.width() * (right - left)

    def y(self, percent: float) -> float:
        """Where a charge lies [%]."""
        return self.plot.bottom() - percent / 100 * self.plot.height()

    def _shows(self, hours: float) -> bool:
        return self.view[0] <= hours <= self.view[1]

    # --- labels ---------------------------------------------------------------------------------

    def _place_labels(self) -> None:
        """A place for every label in the plot and beside it."""
        wanted = [*self._answer_labels(), *self._plan_label(), *self._happening_labels()]
        room = Box(self.plot.left(), self.plot.top(), self.plot.right(), self.plot.bottom())
        self.labels = placed(wanted, room, self._walls(), self._curve_boxes(), self.em * 0.25)
        self._names_beside()

    def _want(self, key: str, text: Lines, x: float, y: float, weight: int,
              sides: tuple[Side, ...] = ("above", "below", "right", "left"),
              *, clear: float = 0.0) -> Wanted:  # fmt: skip
        self.texts[key] = text
        wide, high = self._size(text)
        return Wanted(key, wide, high, x, y, sides, weight, clear)

    def _size(self, text: Lines) -> tuple[float, float]:
        first, *others = text.lines
        size = self.bold_size if text.bold else self.plain_size
        wide = max(
            size.horizontalAdvance(first),
            *(self.plain_size.horizontalAdvance(each) for each in (first, *others)),
        )
        return wide + 2, self.em * len(text.lines)

    def _answer_labels(self) -> list[Wanted]:
        """Both ends and the middle where the bar is long; else one label with a leader."""
        found = []
        y = self.y(self.figures.need[1])
        for course in self.figures.courses:
            bar = self.bar(course)
            if bar is None or course.ends_h is None:
                continue
            low, middle, high = course.ends_h
            shows = course is self.figures.shown
            role = ROLES[course.key]
            style = self.theme.style
            apart = {"low": low, "middle": middle, "high": high}
            texts = {
                name: Lines(words.end_of_bar(course, self.figures, hours, style), role)
                for name, hours in apart.items()
            }
            needed = sum(self._size(text)[0] + self.em for text in texts.values())
            if not shows or bar.width() < needed or not isfinite(high):
                whole = Lines(words.answer_lines(course, style), role)
                found.append(self._want(f"answer {course.key}", whole, bar.right(), y, 8,
                                        clear=self.em * 0.4))  # fmt: skip
                continue
            for name, hours in apart.items():
                found.append(self._want(f"{name} {course.key}", texts[name], self.x(hours),
                                        y, 9, ("below", "above"),
                                        clear=self.em * 0.45))  # fmt: skip
        return found

    def _plan_label(self) -> list[Wanted]:
        """The charge at the end of the plan."""
        figures = self.figures
        if not (figures.plan_h > 0 and self._shows(figures.plan_h)):
            return []
        course = figures.shown
        style = self.theme.style
        text = Lines(
            (
                words.charge_words(course, figures.plan_h, style),
                words.chance_words(figures, figures.plan_h, style),
            ),
            ROLES[course.key],
        )
        at = self.x(figures.plan_h), self.y(course.charge(figures.plan_h))
        return [self._want("plan", text, *at, 7, ("right", "left", "above", "below"),
                           clear=self.em * 0.3)]  # fmt: skip

    def _happening_labels(self) -> list[Wanted]:
        """What happens as it is: switched off, empty, frozen; left out where there is no room."""
        found = []
        for number, each in enumerate(self.figures.happenings):
            if each.weight in SHOWN and self._shows(each.hours) and not each.told:
                text = Lines((self.theme.style.show(each.words),), "muted_text", bold=False)
                at = self.x(each.hours), self.y(self.figures.now.charge(each.hours))
                found.append(self._want(f"event {number}", text, *at, 2, ("right", "left")))
        return found

    def _walls(self) -> list[Box]:
        """What no label may cover: bars, their rings, the flag's pole, points on curves."""
        walls = [
            _box(bar.adjusted(-2, -3, 2, 3))
            for bar in map(self.bar, self.figures.courses)
            if bar is not None
        ]
        if self.figures.plan_h > 0 and self._shows(self.figures.plan_h):
            at = self.x(self.figures.plan_h)
            walls.append(Box(at - 1, self.plot.top(), at + 1, self.plot.bottom()))
        return walls

    def _curve_boxes(self) -> list[tuple[Box, float]]:
        """Pieces of the curves and of the line of the need, which labels had better leave free."""
        need = self.y(self.figures.need[1])
        found = [(Box(self.plot.left(), need - 1, self.plot.right(), need + 1), ON_LINE)]
        for course in self.figures.courses:
            line = self.line(course)
            for first, last in zip(line[:-1], line[1:], strict=True):
                steps = max(1, int(QLineF(first, last).length() / 8))
                for n in range(steps):
                    at = first + (last - first) * (n / steps)
                    piece = Box(at.x() - 2, at.y() - 2, at.x() + 2, at.y() + 2)
                    found.append((piece, ON_CURVE))
        return found

    def _names_beside(self) -> None:
        """The names right of the plot, moved apart where they would touch."""
        style, left = self.theme.style, self.plot.right() + self.em * 0.5
        texts = {"need": Lines(words.need_lines(self.figures, style), "stop")}
        ends = {"need": self.y(self.figures.need[1])}
        for course in self.figures.courses:
            if course.hours[-1] < self.view[1]:
                continue
            texts[course.key] = Lines(self._end_lines(course), ROLES[course.key])
            ends[course.key] = self.y(course.charge(self.view[1]))
        wants = []
        for key, text in texts.items():
            high = self.em * len(text.lines)
            wants.append((ends[key] - high / 2, high + self.em * 0.25))
        tops = spread(wants, self.plot.top() - self.em * 0.5, self.plot.bottom() + self.em * 0.4)
        for (key, text), top in zip(texts.items(), tops, strict=True):
            wide, high = self._size(text)
            box = Box(left, top, left + wide, top + high)
            far = not (box.top <= ends[key] <= box.bottom)
            leader = (left - 2, top + high / 2, self.plot.right(), ends[key]) if far else None
            self.texts[f"name {key}"] = text
            self.labels[f"name {key}"] = Placed(box, leader)

    # --- geometry of what is drawn --------------------------------------------------------------

    def bar(self, course: Course) -> QRectF | None:
        """Where the answer stands on the line of the need; none where it is out of sight."""
        if course.ends_h is None:
            return None
        low, _, high = (min(each, self.figures.end_h) for each in course.ends_h)
        if low > self.view[1] or high < self.view[0]:
            return None
        left, right = self.x(max(low, self.view[0])), self.x(min(high, self.view[1]))
        high_px = self.em * BAR
        y = self.y(self.figures.need[1])
        return QRectF(left, y - high_px / 2, max(right - left, 3.0), high_px)

    def line(self, course: Course) -> list[QPointF]:
        """A curve in the span shown."""
        return self._points(course.hours, course.percent)

    def _points(self, hours: np.ndarray, values: np.ndarray) -> list[QPointF]:
        left, right = self.view
        inside = (hours > left) & (hours < right)
        own = hours[inside]
        if len(own) > MOST_POINTS:
            own = own[:: len(own) // MOST_POINTS + 1]
        end = min(right, float(hours[-1]))
        places = np.concatenate(([left], own, [end])) if end > left else np.array([left])
        charges = np.interp(places, hours, values)
        return [QPointF(self.x(float(h)), self.y(float(v)))
                for h, v in zip(places, charges, strict=True)]  # fmt: skip

    # --- drawing --------------------------------------------------------------------------------

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
        wide = self.plain_size.horizontalAdvance("Www 00") + self.em * 0.8
        most = max(2, int(self.plot.width() / wide))
        bottom = self.plot.bottom()
        for tick in ticks(self.view, self.figures.start, self.theme.style, most):
            x = self.x(tick.hours)
            long = self.em * (0.4 if tick.words else 0.22)
            painter.setPen(QPen(self.theme.colour("frame"), 1))
            painter.drawLine(QPointF(x, bottom), QPointF(x, bottom + long))
            room = self.plain_size.horizontalAdvance(tick.words)
            if tick.words and x + 3 + room <= self.place.right():
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
        pen = QPen(self.theme.colour("stop"), 1.6)
        pen.setDashPattern([5, 3])
        painter.setPen(pen)
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
        pen = QPen(self.theme.colour(ROLES[course.key]), 3.0 if course.key == "ticked" else 2.2)
        if course.key == "second":
            pen.setDashPattern([1, 3])
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
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
            if self._shows(hours):
                painter.drawLine(QPointF(x, bar.center().y() - tall - 2),
                                 QPointF(x, bar.center().y() + tall + 2))  # fmt: skip
        if self._shows(middle) and bar.width() > self.em * 1.5:
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
        wide = self.bold_size.horizontalAdvance(text) + self.em
        left = min(max(x - wide / 2, self.place.left()), self.place.right() - wide)
        flag = QRectF(left, self.place.top(), wide, self.em * 1.5)
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


def _box(place: QRectF) -> Box:
    return Box(place.left(), place.top(), place.right(), place.bottom())
