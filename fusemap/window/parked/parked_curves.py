"""What the chart of the parked battery draws: charge with its band, who took it, others beside it.

In: a `Series`, the scale of the time axis. Out: pyqtgraph's items, for the chart to put into its
plots. Colours are the theme's; curves beside each other differ by dashes as well.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont

from fusemap.window.parked.parked_series import Compared, Series, tr
from fusemap.window.parts.chart_parts import TimeAxis, TimeScale
from fusemap.window.style.theme import Theme
from fusemap.window.texts.numbers import percent

LOG_POINTS = 300
"""Points of a curve on the logarithmic axis besides its own."""


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
        words = tr("needed to start: {charge}").format(charge=percent(s.crank_percent / 100))
        ground = self._theme.colour("base")
        ground.setAlphaF(0.8)
        label = pg.TextItem(words, color=self._theme.colour("stop"), fill=ground)
        label.textItem.document().setDocumentMargin(1)
        label.setZValue(10)
        label.setFont(font)
        return label


def plot_over_time(theme: Theme, scale: TimeScale, font: QFont, title: str) -> Any:
    """An empty plot whose lower axis is the time."""
    axes = {"bottom": TimeAxis("bottom", scale), "left": pg.AxisItem("left")}
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
