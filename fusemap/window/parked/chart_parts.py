"""What the chart of the parked battery is drawn of: a time axis, labels that keep apart, curves.

In: a `Series`. Out: pyqtgraph's items, for the chart to put into its plots. Colours are the
theme's; curves beside each other differ by dashes as well.

pyqtgraph is loaded with this module: import it when the first chart is shown.
"""

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QGraphicsItem

from fusemap.text import Style, Text, many, say, share
from fusemap.window.parked.parked_words import Compared, Happening, Series
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

LOG_POINTS = 300
"""Points of a curve on the logarithmic axis besides its own."""


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

    def __init__(self, orientation: str, scale: TimeScale, style: Style) -> None:
        super().__init__(orientation)
        self._words = style
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
            return [self._words.show(tick_words(value, spacing)) for value in values]
        hours = [float(self._scale.to_hours(value)) for value in values]
        return [
            self._words.show(tick_words(hour, 168.0 if hour > 167.5 else 1.0)) for hour in hours
        ]


def tick_words(hours: float, spacing: float) -> Text:
    """A tick: “6 h”, “3 days”, “2 weeks”.

    >>> [str(tick_words(h, s)) for h, s in ((6, 3), (72, 24), (336, 168), (30, 6), (0, 24))]
    ['6 h', '3 days', '2 weeks', '1 d 6 h', '0']
    """
    if hours == 0:
        return Text("0", bare=True)
    whole = round(hours)
    days, rest = divmod(whole, 24)
    if spacing >= 168:
        return many("{n} week", "{n} weeks", whole // 168)
    if days == 0:
        return say("{n} h", n=whole)
    if rest:
        return say("{days} d {hours} h", days=days, hours=rest)
    return many("{n} day", "{n} days", days)


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
        label = pg.TextItem(self._theme.style.show(happening.words), color=colour, fill=ground)
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


class ParkedCurves:
    """Makes the items of one chart."""

    def __init__(self, theme: Theme, scale: TimeScale) -> None:
        self._theme = theme
        self._scale = scale

    def x(self, hours: Any) -> Any:
        """Where some hours lie on the axis."""
        return self._scale.to_axis(hours)

    def curve(self, hours: Any, values: Any, pen: Any) -> Any:
        """A curve over time; on the logarithmic axis with enough points to be round."""
        if self._scale.log:
            more = self._scale.to_hours(np.linspace(0.0, self.x(hours[-1]), LOG_POINTS))
            dense = np.unique(np.concatenate((hours, np.minimum(more, hours[-1]))))
            hours, values = dense, np.interp(dense, hours, values)
        return pg.PlotCurveItem(self.x(hours), values, pen=pen, antialias=True)

    def compared(self, compared: Sequence[Compared]) -> list[Any]:
        """The charge of other vehicles: each with a colour and a dash of its own."""
        dashes = (Qt.PenStyle.DashLine, Qt.PenStyle.DashDotLine, Qt.PenStyle.DotLine)
        items = []
        for place, each in enumerate(compared):
            colour = QColor(self._theme.chart[(place + 1) % len(self._theme.chart)])
            pen = pg.mkPen(colour, width=2, style=dashes[place % len(dashes)])
            items.append(self.curve(each.hours, each.charge_percent, pen))
        return items

    def charge(self, s: Series, label: Any) -> list[Any]:
        """The charge with its band, and the line below which it does not start, with its label."""
        needed = self._theme.colour("stop")
        shade = QColor(needed)
        shade.setAlphaF(0.10)
        below = pg.LinearRegionItem(
            (0, s.crank_percent), "horizontal", brush=shade, pen=pg.mkPen(None), movable=False
        )
        below.setZValue(-10)
        pen = pg.mkPen(needed, width=1.5, style=Qt.PenStyle.DashLine)
        limit = pg.InfiniteLine(s.crank_percent, angle=0, pen=pen)
        thick = pg.mkPen(self._theme.colour("chart_1"), width=2.5)
        curve = self.curve(s.hours, s.charge_percent, thick)
        return [below, *self._band(s), limit, label, curve]

    def _band(self, s: Series) -> tuple[Any, ...]:
        """Where the charge is in 9 of 10 cases."""
        edge = pg.mkPen(self._theme.colour("chart_1"), width=1, style=Qt.PenStyle.DotLine)
        low, high = (
            self.curve(s.band.time_h, soc * 100, edge) for soc in (s.band.low_soc, s.band.high_soc)
        )
        shade = self._theme.colour("chart_1")
        shade.setAlphaF(0.18)
        return pg.FillBetweenItem(low, high, brush=pg.mkBrush(shade)), low, high

    def taken(self, s: Series) -> list[Any]:
        """The layers on top of each other, the largest lowest."""
        items: list[Any] = []
        lower = self.curve(s.hours, 0 * s.hours, pg.mkPen(None))
        sum_ah = 0 * s.hours
        for layer, name in zip(s.layers, self._theme.chart, strict=False):
            sum_ah = sum_ah + layer.charge_ah
            colour = QColor(name)
            edge = pg.mkPen(self._theme.colour("base"), width=1)
            upper = self.curve(s.hours, sum_ah, edge)
            items += [pg.FillBetweenItem(lower, upper, brush=pg.mkBrush(colour)), upper]
            lower = upper
        return items

    def crank_label(self, s: Series, font: QFont) -> Any:
        """The words at the line below which it does not start."""
        words = self._theme.style.show(
            say("needed to start: {charge}", charge=share(s.crank_percent / 100))
        )
        ground = self._theme.colour("base")
        ground.setAlphaF(0.8)
        label = pg.TextItem(words, color=self._theme.colour("stop"), fill=ground)
        label.textItem.document().setDocumentMargin(1)
        label.setZValue(10)
        label.setFont(font)
        return label


def plot_over_time(theme: Theme, scale: TimeScale, font: QFont, title: str) -> Any:
    """An empty plot whose lower axis is the time."""
    axes = {"bottom": TimeAxis("bottom", scale, theme.style), "left": pg.AxisItem("left")}
    plot = pg.PlotItem(axisItems=axes)
    plot.setMenuEnabled(False)
    plot.hideButtons()
    plot.setMouseEnabled(x=True, y=False)
    plot.showGrid(x=True, y=True, alpha=0.15)
    line, text = theme.colour("frame"), theme.colour("text")
    for axis in axes.values():
        axis.setPen(pg.mkPen(line))
        axis.setTextPen(pg.mkPen(text))
        axis.setTickFont(font)
    style = {"color": theme.text, "font-size": f"{font.pointSizeF():g}pt"}
    axes["left"].setLabel(title, **style)
    axes["left"].enableAutoSIPrefix(False)
    return plot
