"""The chart of one tap's fuse against its cable: current across, time up, both on log axes.

In: a `TapBand`. Out: the picture; the current under the mouse, or under the cursor that Left and
Right move, is told by `read`. The band is drawn as steps between the published points, which are
marked. pyqtgraph is loaded with this module: import it when the first chart is shown.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent
from PySide6.QtWidgets import QGraphicsScene

from fusemap.assess.band import FuseBand, TapBand
from fusemap.assess.result import Floats
from fusemap.window.chain.band_parts import (
    BandLegend,
    CurrentAxis,
    DurationAxis,
    Entry,
    Shape,
    brush,
    ground,
    pen,
)
from fusemap.window.chain.band_words import tr
from fusemap.window.style.theme import Theme
from fusemap.window.texts.languages import said
from fusemap.window.texts.numbers import quantity

SHOWN_S: Final = (0.01, 50000.0)
"""The times shown [s]."""
BEYOND: Final = (1e-4, 1e8)
"""Stand for no time at all and for ever, both out of the picture [s]."""
STEP: Final = 1.02
"""How far a key moves the cursor: a share of the current."""


class BandChart(pg.GraphicsLayoutWidget):  # type: ignore[misc]
    """One plot with the band of each fuse, the cable's curve and the currents there are."""

    read = Signal(float)
    """The current being read [A]."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.band: TapBand | None = None
        self.cursor_a = 0.0
        self.setObjectName("bandChart")
        self.setAccessibleName(self.tr("Fuse and cable: time over current"))
        self.setBackground(theme.colour("base"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFrameShape(self.Shape.NoFrame)
        self.setAntialiasing(True)
        self.plot = self._plot()
        self.legend = BandLegend(theme, self.font())
        self.addItem(self.legend, 0, 0)
        self.addItem(self.plot, 1, 0)
        self._items: list[Any] = []
        self._cursor = pg.InfiniteLine(angle=90, pen=pg.mkPen(theme.colour("text"), width=1))
        self._cursor.setZValue(20)
        self._cursor.hide()
        self.plot.addItem(self._cursor, ignoreBounds=True)
        self.scene().sigMouseMoved.connect(self._mouse_moved)

    def _plot(self) -> Any:
        axes: dict[str, Any] = {"bottom": CurrentAxis("bottom"), "left": DurationAxis("left")}
        plot = pg.PlotItem(axisItems=axes)
        plot.setMenuEnabled(False)
        plot.hideButtons()
        plot.setMouseEnabled(x=False, y=False)
        plot.showGrid(x=True, y=True, alpha=0.15)
        for side, title in (("bottom", tr("Current")), ("left", tr("Time"))):
            axis = axes[side]
            axis.setPen(pg.mkPen(self._theme.colour("frame")))
            axis.setTextPen(pg.mkPen(self._theme.colour("text")))
            axis.setTickFont(self.font())
            axis.enableAutoSIPrefix(False)
            size = f"{self.font().pointSizeF():g}pt"
            axis.setLabel(title, **{"color": self._theme.text, "font-size": size})
        axes["left"].setWidth(QFontMetricsF(self.font()).horizontalAdvance("00000000") * 1.6)
        return plot

    # --- what is drawn --------------------------------------------------------------------------

    def show_band(self, band: TapBand) -> None:
        """Draw another tap."""
        self.band = band
        for item in self._items:
            self.plot.removeItem(item)
        entries = [*self._entries(band)]
        self._items = [*self._drawn(band)]
        for item in self._items:
            self.plot.addItem(item, ignoreBounds=True)
        self.legend.show_entries(entries)
        low, high = np.log10(band.span_a)
        self.plot.setXRange(low, high, padding=0)
        self.plot.setYRange(*np.log10(SHOWN_S), padding=0)
        self.set_cursor(self.cursor_a or band.load_a, tell=self._cursor.isVisible())

    def _entries(self, band: TapBand) -> Iterator[Entry]:
        if band.fuse is not None:
            yield Entry("band", tr("Fuse opens: {fuse}").format(fuse=said(band.fuse.name)))
        if band.host is not None:
            yield Entry(
                "second_band", tr("Host fuse opens: {fuse}").format(fuse=said(band.host.name))
            )
        if band.cable is not None:
            yield Entry("curve", tr("Cable is harmed: {cable}").format(cable=said(band.cable.name)))
        yield Entry("load", tr("Load: {load}").format(load=quantity(band.load_a, "A")))
        if band.fault_a is not None:
            fault = quantity(band.fault_a, "A")
            yield Entry("fault", tr("Short at the far end: {fault}").format(fault=fault))

    def _drawn(self, band: TapBand) -> Iterator[Any]:
        shapes: tuple[Shape, Shape] = ("band", "second_band")
        for shape, each in zip(shapes, (band.fuse, band.host), strict=True):
            if each is not None:
                yield from self._steps(shape, each)
        currents, seconds = band.cable_curve()
        if currents.size:
            curve = pg.PlotCurveItem(_log(currents), _log(seconds), pen=pen("curve", self._theme))
            curve.setZValue(5)
            yield curve
        marks: tuple[tuple[Shape, float | None, str, float], ...] = (
            ("load", band.load_a, tr("Load"), 0.95),
            ("fault", band.fault_a, tr("Short at the far end"), 0.88),
        )
        for shape, current, words, height in marks:
            if current is not None and current > 0:
                yield self._mark(shape, current, words, height)

    def _steps(self, shape: Shape, band: FuseBand) -> Iterator[Any]:
        """A band between its soonest and latest times, with its published points."""
        across = np.repeat(_log(band.edge_a), 2)[1:-1]
        line = pen(shape, self._theme)
        lower, upper = (
            pg.PlotCurveItem(across, np.repeat(_log(times), 2), pen=line)
            for times in (band.soonest_s, band.latest_s)
        )
        yield pg.FillBetweenItem(lower, upper, brush=ground(shape, self._theme))
        yield pg.FillBetweenItem(lower, upper, brush=brush(shape, self._theme))
        yield lower
        yield upper
        yield self._points(shape, band)

    def _points(self, shape: Shape, band: FuseBand) -> Any:
        """The published points: what lies between them is not known."""
        x = np.tile(_log(band.point_a), 2)
        y = _log(np.concatenate([band.point_min_s, band.point_max_s]))
        seen = (y > np.log10(BEYOND[0])) & (y < np.log10(BEYOND[1]))
        made = pg.ScatterPlotItem(
            x[seen],
            y[seen],
            symbol="o" if shape == "band" else "s",
            size=QFontMetricsF(self.font()).height() * 0.45,
            pen=pg.mkPen(pen(shape, self._theme).color()),
            brush=pg.mkBrush(self._theme.colour("base")),
        )
        made.setZValue(6)
        return made

    def _mark(self, shape: Shape, current_a: float, words: str, height: float) -> Any:
        """A line at a current, its words level beside it at a share of the picture's height."""
        line = pen(shape, self._theme)
        back = self._theme.colour("base")
        back.setAlphaF(0.85)
        options = {"position": height, "color": line.color(), "fill": back}
        made = pg.InfiniteLine(
            _one_log(current_a), angle=90, pen=line, label=words, labelOpts=options
        )
        made.label.setFont(self.font())
        made.setZValue(4)
        return made

    # --- the cursor -----------------------------------------------------------------------------

    def set_cursor(self, current_a: float, *, tell: bool = True) -> None:
        """Read this current."""
        if self.band is None:
            return
        low, high = self.band.span_a
        self.cursor_a = min(max(low, current_a), high)
        self._cursor.setPos(_one_log(self.cursor_a))
        self._cursor.setVisible(tell)
        if tell:
            self.read.emit(self.cursor_a)

    def _mouse_moved(self, place: QPointF) -> None:
        if self.plot.vb.sceneBoundingRect().contains(place):
            self.set_cursor(10.0 ** float(self.plot.vb.mapSceneToView(place).x()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and Right read, with Control in larger steps."""
        key = event.key()
        if key not in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            super().keyPressEvent(event)
            return
        far = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        step = STEP**5 if far else STEP
        self.set_cursor(self.cursor_a * (step if key == Qt.Key.Key_Right else 1 / step))

    # --- Qt -------------------------------------------------------------------------------------

    def changeEvent(self, event: QEvent) -> None:
        """The axes follow the font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "plot"):
            self.legend.set_font(self.font())
            for side in ("left", "bottom"):
                self.plot.getAxis(side).setTickFont(self.font())

    @contextmanager
    def picture(self) -> Iterator[tuple[QGraphicsScene, QRectF]]:
        """What is drawn, for an export; without the cursor."""
        seen = self._cursor.isVisible()
        self._cursor.hide()
        yield self.scene(), QRectF(self.ci.sceneBoundingRect())
        self._cursor.setVisible(seen)


def _log(values: Floats) -> Floats:
    """Logarithms; none and for ever go out of the picture."""
    return np.asarray(np.log10(np.clip(values, *BEYOND)))


def _one_log(value: float) -> float:
    return float(np.log10(max(value, BEYOND[0])))
