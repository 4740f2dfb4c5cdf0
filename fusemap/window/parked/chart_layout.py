"""Where everything in the chart of the parked battery is: plot, curves, answers, labels.

In: `ChartFigures`, the span of time shown, a place and a font. Out: pixels for hours and per cents,
the answers as bars, and a place for every label, found by `label_places`. Nothing is painted here.
"""

from itertools import pairwise
from math import isfinite
from typing import Final

import numpy as np
from msgspec import Struct
from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QFont, QFontMetricsF

from fusemap.text import share
from fusemap.window.parked import chart_words as words
from fusemap.window.parked.chart_figures import ChartFigures, Course
from fusemap.window.parked.label_places import Box, Placed, Side, Wanted, placed, spread
from fusemap.window.style.theme import Theme

CLEAR: Final = 0.4
"""So far from the frame round the chart its flag keeps, in heights of the font."""
BAR: Final = 0.42
"""Height of the answer's bar, in heights of the font."""
ROLES: Final = {"now": "text", "ticked": "accent", "second": "muted_text"}
ON_LINE: Final = 60.0
ON_CURVE: Final = 110.0
"""What it costs a label to stand there, in pixels of distance."""
MOST_POINTS: Final = 400
SHOWN: Final = ("limit", "switch")
"""Happenings that get a label of their own where there is room."""


class Lines(Struct, frozen=True):
    """A label: its lines, the first of them bold, in a colour."""

    lines: tuple[str, ...]
    colour: str
    bold: bool = True


class Layout:
    """Where everything is in one drawing of the chart."""

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
        left = self.plain_size.horizontalAdvance(style.show(share(1.0))) + em * 0.8
        names = [
            *words.need_lines(self.figures, style),
            *(line for each in self.figures.courses for line in self._end_lines(each)),
            *(words.chance_words(self.figures, hour, style) for hour in (0.0, self.view[1])),
        ]
        widest = max(map(self.bold_size.horizontalAdvance, names))
        right = min(widest + em * 0.9, self.place.width() * 0.4)
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

    def flag(self, x: float, wide: float) -> QRectF:
        """A flag so wide on a pole at x: clear of the frame round the chart, over the plot."""
        room = self.place.adjusted(self.em * CLEAR, self.em * CLEAR, -self.em * CLEAR, 0)
        left = max(room.left(), min(x - wide / 2, room.right() - wide))
        return QRectF(left, room.top(), wide, self.em * 1.5)

    def shows(self, hours: float) -> bool:
        return self.view[0] <= hours <= self.view[1]

    # --- labels ---------------------------------------------------------------------------------

    def _place_labels(self) -> None:
        """A place for every label in the plot and beside it."""
        room = Box(self.plot.left(), self.plot.top(), self.plot.right(), self.plot.bottom())
        for apart in (True, False):
            answers = self._answer_labels(apart=apart)
            wanted = [*answers, *self._plan_label(), *self._happening_labels()]
            self.labels = placed(wanted, room, self._walls(), self._curve_boxes(), self.em * 0.25)
            if all(each.key in self.labels for each in answers):
                break  # else the answer is one label, which has room where three have none
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

    def _answer_labels(self, *, apart: bool) -> list[Wanted]:
        """Both ends and the middle `apart` where the bar is long; else one label with a leader."""
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
            ends = {"low": low, "middle": middle, "high": high}
            texts = {
                name: Lines(words.end_of_bar(course, self.figures, hours, style), role)
                for name, hours in ends.items()
                if isfinite(hours)
            }
            needed = sum(self._size(text)[0] + self.em for text in texts.values())
            if not (apart and shows) or len(texts) < len(ends) or bar.width() < needed:
                whole = Lines(words.answer_lines(course, style), role)
                found.append(self._want(f"answer {course.key}", whole, bar.right(), y, 8,
                                        clear=self.em * 0.4))  # fmt: skip
                continue
            for name, hours in ends.items():
                found.append(self._want(f"{name} {course.key}", texts[name], self.x(hours),
                                        y, 9, ("below", "above"),
                                        clear=self.em * 0.45))  # fmt: skip
        return found

    def _plan_label(self) -> list[Wanted]:
        """The charge at the end of the plan."""
        figures = self.figures
        if not (figures.plan_h > 0 and self.shows(figures.plan_h)):
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
        return [self._want("plan", text, *at, 10, ("right", "left", "above", "below"),
                           clear=self.em * 0.3)]  # fmt: skip

    def _happening_labels(self) -> list[Wanted]:
        """What happens as it is: switched off, empty, frozen; left out where there is no room."""
        found = []
        for number, each in enumerate(self.figures.happenings):
            if each.weight in SHOWN and self.shows(each.hours) and not each.told:
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
        if self.figures.plan_h > 0 and self.shows(self.figures.plan_h):
            at = self.x(self.figures.plan_h)
            walls.append(Box(at - 1, self.plot.top(), at + 1, self.plot.bottom()))
        return walls

    def _curve_boxes(self) -> list[tuple[Box, float]]:
        """Pieces of the curves and of the line of the need, which labels had better leave free."""
        need = self.y(self.figures.need[1])
        found = [(Box(self.plot.left(), need - 1, self.plot.right(), need + 1), ON_LINE)]
        for course in self.figures.courses:
            line = self.line(course)
            for first, last in pairwise(line):
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


def _box(place: QRectF) -> Box:
    return Box(place.left(), place.top(), place.right(), place.bottom())
