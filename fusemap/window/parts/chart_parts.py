"""Parts of the parked chart: a time axis in hours, days and weeks; labels that keep apart.

pyqtgraph is loaded with this module: import it when the first chart is shown.
"""

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QGraphicsItem

from fusemap.window.parked.parked_series import Happening, tr
from fusemap.window.style.theme import Theme

STEPS_H: Final = (1, 3, 6, 12, 24, 48, 96, 168, 336, 672, 1344)
"""Distances of the ticks [h]: hours, then days, then weeks."""
WEIGHTS: Final = ("limit", "plan", "switch", "quiet")
"""Which label comes first where there is not room for all."""
Span = tuple[float, float]
ROWS: Final = 3
"""Rows of labels above the curve."""
LOG_FROM_H: Final = 0.25
"""Where the logarithmic time axis turns straight towards locking [h]."""


class TimeScale:
    """Hours on the axis: as they are, or logarithmic, so that hours and months show together."""

    def __init__(self) -> None:
        self.log = False

    def to_axis(self, hours: Any) -> Any:
        """Place on the axis of some hours [h], a number or an array.

        >>> scale = TimeScale()
        >>> scale.log = True
        >>> round(float(scale.to_hours(scale.to_axis(30.0))), 9), float(scale.to_axis(0.0))
        (30.0, 0.0)
        """
        return np.log1p(np.asarray(hours) / LOG_FROM_H) if self.log else hours

    def to_hours(self, place: Any) -> Any:
        """Hours [h] at a place on the axis."""
        return np.expm1(np.asarray(place)) * LOG_FROM_H if self.log else place


class TimeAxis(pg.AxisItem):  # type: ignore[misc]
    """Hours since locking, said in hours, days or weeks as it suits what is shown."""

    def __init__(self, orientation: str, scale: TimeScale) -> None:
        super().__init__(orientation)
        self._scale = scale

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """Even steps; on the logarithmic axis the hours, days and weeks there is room for."""
        if not self._scale.log:
            return super().tickValues(low, high, size)  # type: ignore[no-any-return]
        apart = self._label_width() / max(1.0, size) * (high - low)
        places: list[float] = []
        for hours in (0, *STEPS_H):
            place = float(self._scale.to_axis(hours))
            inside = low <= place <= high
            if inside and (not places or place - places[-1] >= apart):
                places.append(place)
        return [(1.0, places)]

    def _label_width(self) -> float:
        font: QFont = self.style["tickFont"] or QFont()
        return float(QFontMetricsF(font).horizontalAdvance("000 days") * 1.6)

    def tickSpacing(self, low: float, high: float, size: float) -> list[tuple[float, float]]:
        """One tick about every six widths of a label."""
        most = max(2.0, size / max(1.0, self._label_width()))
        wanted = (high - low) / most
        step = next((each for each in STEPS_H if each >= wanted), STEPS_H[-1])
        return [(float(step), 0.0)]

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """The ticks in words."""
        if not self._scale.log:
            return [tick_words(value, spacing) for value in values]
        hours = [float(self._scale.to_hours(value)) for value in values]
        return [tick_words(hour, 168.0 if hour > 167.5 else 1.0) for hour in hours]


def tick_words(hours: float, spacing: float) -> str:
    """A tick: “6 h”, “3 days”, “2 weeks”.

    >>> [tick_words(h, s) for h, s in ((6, 3), (72, 24), (336, 168), (30, 6), (0, 24))]
    ['6 h', '3 days', '2 weeks', '1 d 6 h', '0']
    """
    if hours == 0:
        return "0"
    whole = round(hours)
    days, rest = divmod(whole, 24)
    if spacing >= 168:
        weeks = whole // 168
        return tr("{n} week").format(n=weeks) if weeks == 1 else tr("{n} weeks").format(n=weeks)
    if days == 0:
        return tr("{n} h").format(n=whole)
    if rest:
        return tr("{days} d {hours} h").format(days=days, hours=rest)
    return tr("{n} day").format(n=days) if days == 1 else tr("{n} days").format(n=days)


class Labels:
    """A line and a label for each happening; labels go into rows above 100 % and keep apart.

    Where there is no room the quiet ones lose their label first, and their line with it.
    """

    def __init__(self, plot: Any, theme: Theme, font: QFont, scale: TimeScale) -> None:
        self._plot = plot
        self._theme = theme
        self._scale = scale
        self._font = font
        self._shown: list[tuple[Happening, Any, Any]] = []

    def show(self, happenings: Sequence[Happening]) -> None:
        """Show these instead of what was there."""
        for _, line, label in self._shown:
            self._plot.removeItem(line)
            self._plot.removeItem(label)
        self._shown = [(each, *self._made(each)) for each in happenings]
        for _, line, label in self._shown:
            self._plot.addItem(line, ignoreBounds=True)
            self._plot.addItem(label, ignoreBounds=True)

    def _made(self, happening: Happening) -> tuple[Any, Any]:
        colour = self._theme.colour(
            {"limit": "stop", "plan": "accent", "switch": "caution", "quiet": "muted_text"}[
                happening.weight
            ]
        )
        dash = pg.QtCore.Qt.PenStyle.DotLine if happening.weight == "quiet" else None
        pen = pg.mkPen(colour, width=1 if happening.weight == "quiet" else 1.5, style=dash)
        line = pg.InfiniteLine(self._at(happening), angle=90, pen=pen)
        ground = self._theme.colour("base")
        ground.setAlphaF(0.8)
        label = pg.TextItem(happening.words, color=colour, fill=ground)
        label.setZValue(10)
        label.textItem.document().setDocumentMargin(1)
        label.setFont(self._font)
        return line, label

    def _at(self, happening: Happening) -> float:
        return float(self._scale.to_axis(happening.hours))

    def place(self, top: float, row_height: float) -> None:
        """Put the labels where there is room; `top` and `row_height` in the units of the axis."""
        (left, right), width = self._plot.viewRange()[0], self._plot.vb.width()
        if right <= left or width <= 0:
            return
        per_pixel = (right - left) / width
        taken: list[list[Span]] = [[] for _ in range(ROWS)]
        for each, line, label in sorted(self._shown, key=lambda s: WEIGHTS.index(s[0].weight)):
            needed = (label.boundingRect().width() + 4) * per_pixel
            found = None
            at = self._at(each)
            if left <= at <= right:
                found = self._room(each, needed, (left, right), taken)
            label.setVisible(found is not None)
            # nobody can tell what a line without a name is; zoomed in on, it has room for one
            line.setVisible(found is not None or each.told)
            if found is not None:
                row, span = found
                taken[row].append(span)
                label.setAnchor(((at - span[0]) / needed, 0))
                label.setPos(at, top - row * row_height)

    def _room(
        self, each: Happening, needed: float, view: Span, taken: list[list[Span]]
    ) -> tuple[int, Span] | None:
        """Row and span for a label beside its line: right or left, if it can across no other.

        Where there is room at neither side it is written across its own line.
        """
        at = self._at(each)
        across = min(max(at - needed / 2, view[0]), view[1] - needed)
        sides = ((at, at + needed), (at - needed, at), (across, across + needed))
        inside = [span for span in sides if span[0] >= view[0] and span[1] <= view[1]]
        clear = [span for span in inside if not self._crosses(span, each)]
        for span in clear if each.weight == "quiet" else [*clear, *inside]:
            for row in range(ROWS):
                if _free(taken[row], span):
                    return row, span
        return None

    def _crosses(self, span: Span, own: Happening) -> bool:
        """Whether a label there would be written across the line of another."""
        others = (self._at(h) for h, _, _ in self._shown if h is not own and h.weight != "quiet")
        return any(span[0] < place < span[1] for place in others)

    @property
    def visible_words(self) -> list[str]:
        """The labels that can be read now."""
        return [each.words for each, _, label in self._shown if label.isVisible()]


class Legend(QGraphicsItem):
    """Names beside the colours of the layers, the uppermost first, in a corner of the plot.

    It fills the height there is and goes on in a second column; `low` puts it into the lower left.
    """

    def __init__(self, box: Any, theme: Theme, font: QFont, *, low: bool = False) -> None:
        super().__init__(box)
        self._box = box
        self._low = low
        self._theme = theme
        self._font = font
        self._names: list[str] = []
        self.setZValue(30)
        self.setPos(8, 6)

    def show_names(self, names: Sequence[str]) -> None:
        """Show these; the colours are the theme's chart colours in the same order."""
        self.prepareGeometryChange()
        self._names = list(names)
        self.settle()
        self.update()

    def settle(self) -> None:
        """Go to the corner: the upper left, or with `low` the lower left."""
        top = self._box.height() - self.boundingRect().bottom() - 6 if self._low else 6
        self.setPos(8, max(6.0, float(top)))

    def places(self) -> list[tuple[QRectF, str, str]]:
        """Where each name stands, from the swatch on: place, colour, name."""
        metrics = QFontMetricsF(self._font)
        line = metrics.height() * 1.15
        rows = max(1, int((self._box.height() - 12) / line * 0.8))
        named = list(zip(self._theme.chart, self._names, strict=False))[::-1]
        found, left = [], 0.0
        for start in range(0, len(named), rows):
            column = named[start : start + rows]
            width = max(metrics.horizontalAdvance(name) for _, name in column) + line * 1.2
            for row, (colour, name) in enumerate(column):
                found.append((QRectF(left, row * line, width, line), colour, name))
            left += width + line
        return found

    def boundingRect(self) -> QRectF:
        """Everything."""
        whole = QRectF()
        for place, _, _ in self.places():
            whole = whole.united(place)
        return whole.adjusted(-4, -3, 4, 3)

    def paint(self, painter: QPainter, *_: object) -> None:
        """A ground that lets little through, then swatch and name, line by line."""
        if not self._names:
            return
        ground = self._theme.colour("base")
        ground.setAlphaF(0.85)
        painter.fillRect(self.boundingRect(), ground)
        painter.setFont(self._font)
        for place, colour, name in self.places():
            side = place.height() * 0.62
            swatch = QRectF(place.left(), place.center().y() - side / 2, side, side)
            painter.fillRect(swatch, QColor(colour))
            painter.setPen(self._theme.colour("text"))
            text = place.adjusted(place.height(), 0, 0, 0)
            painter.drawText(text, Qt.AlignmentFlag.AlignVCenter, name)


def _free(taken: Sequence[Span], span: Span) -> bool:
    return all(span[1] <= start or span[0] >= end for start, end in taken)
