"""The chart of one tap's fuse against its cable: current across, time up, both on log axes.

In: a `TapBand`. Out: the picture; the current under the mouse, or under the cursor that Left and
Right move, is told by `read`. The band is drawn as steps between the published points, which are
marked; the legend tells what is what by shape and word. The chart's own units are the logarithms of
amperes and seconds. pyqtgraph is loaded with this module: import it when the first chart is shown.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from math import log10
from typing import Any, Final, Literal

import numpy as np
import pyqtgraph as pg
from msgspec import Struct
from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import QGraphicsScene, QGraphicsSceneResizeEvent

from fusemap.assess.band import FuseBand, TapBand
from fusemap.assess.result import Floats
from fusemap.text import Amount, Argument, Style, say
from fusemap.window.chain.band_words import short_time
from fusemap.window.style.theme import Theme

SHOWN_S: Final = (0.01, 50000.0)
"""The times shown [s]."""
BEYOND: Final = (1e-4, 1e8)
"""Stand for no time at all and for ever, both out of the picture [s]."""
CURSOR_STEP: Final = 1.02
"""How far a key moves the cursor: a share of the current."""
SECONDS: Final = (0.001, 0.01, 0.1, 1.0, 10.0, 60.0, 600.0, 3600.0, 36000.0, 360000.0)
"""Where the time axis has its ticks [s]."""
STEPS: Final = (1.0, 2.0, 5.0)
"""Where a decade of the current axis has its ticks."""
Shape = Literal["band", "second_band", "curve", "load", "fault"]
PATTERNS: Final = {
    "band": Qt.BrushStyle.BDiagPattern,
    "second_band": Qt.BrushStyle.FDiagPattern,
}
LINES: Final = {
    "band": Qt.PenStyle.SolidLine,
    "second_band": Qt.PenStyle.DashLine,
    "curve": Qt.PenStyle.SolidLine,
    "load": Qt.PenStyle.DotLine,
    "fault": Qt.PenStyle.DashDotLine,
}
COLOURS: Final = {
    "band": "band",
    "second_band": "host_band",
    "curve": "stop",
    "load": "good",
    "fault": "caution",
}


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
        self.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)  # one stop, not two
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
        axes: dict[str, Any] = {
            "bottom": CurrentAxis("bottom", self._theme.style),
            "left": DurationAxis("left", self._theme.style),
        }
        plot = pg.PlotItem(axisItems=axes)
        plot.setMenuEnabled(False)
        plot.hideButtons()
        plot.setMouseEnabled(x=False, y=False)
        plot.showGrid(x=True, y=True, alpha=0.15)
        for side, title in (("bottom", self.tr("Current")), ("left", self.tr("Time"))):
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

    def _entries(self, band: TapBand) -> Iterator["Entry"]:
        if band.fuse is not None:
            yield self._entry("band", say("Fuse opens: {fuse}", fuse=band.fuse.name))
        if band.host is not None:
            yield self._entry("second_band", say("Host fuse opens: {fuse}", fuse=band.host.name))
        if band.cable is not None:
            yield self._entry("curve", say("Cable is harmed: {cable}", cable=band.cable.name))
        yield self._entry("load", say("Load: {load}", load=Amount(band.load_a, "A")))
        if band.fault_a is not None:
            fault = Amount(band.fault_a, "A")
            yield self._entry("fault", say("Short at the far end: {fault}", fault=fault))

    def _entry(self, shape: Shape, words: Argument) -> "Entry":
        return Entry(shape, self._theme.style.show(words))

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
            ("load", band.load_a, self.tr("Load"), 0.95),
            ("fault", band.fault_a, self.tr("Short at the far end"), 0.88),
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
        made.setZValue(7)  # no curve runs through its words
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
        step = CURSOR_STEP**5 if far else CURSOR_STEP
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


# --- its parts ----------------------------------------------------------------------------------


def pen(shape: Shape, theme: Theme) -> QPen:
    """The line a shape is drawn with; lines differ by their dashes, not by colour alone."""
    width = 3.0 if shape == "curve" else 1.5
    made = QPen(theme.colour(COLOURS[shape]), width, LINES[shape])
    made.setCosmetic(True)
    return made


def brush(shape: Shape, theme: Theme) -> QBrush:
    """How an area is filled: hatched, each band in its own direction."""
    return QBrush(theme.colour(COLOURS[shape]), PATTERNS[shape])


def ground(shape: Shape, theme: Theme) -> QColor:
    """The tint below the hatching."""
    colour = theme.colour(COLOURS[shape])
    colour.setAlphaF(0.13)
    return colour


class CurrentAxis(pg.AxisItem):  # type: ignore[misc]
    """Amperes on a log axis."""

    def __init__(self, orientation: str, style: Style) -> None:
        super().__init__(orientation)
        self._words = style

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """One, two, five in every decade, or the decades alone where there is no room."""
        decades = range(int(low) - 1, int(high) + 2)
        room = QFontMetricsF(self.font()).horizontalAdvance("00000000")
        fine = size / max(0.1, high - low) > room * len(STEPS)
        steps = STEPS if fine else STEPS[:1]
        found = [n + log10(step) for n in decades for step in steps]
        return [(1.0, [value for value in found if low <= value <= high])]

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """The currents with their unit."""
        return [self._words.show(Amount(10.0**value, "A", significant=2)) for value in values]

    def font(self) -> QFont:
        """The font its ticks are written in."""
        return self.style["tickFont"] or QFont()


class DurationAxis(pg.AxisItem):  # type: ignore[misc]
    """Seconds, minutes and hours on a log axis."""

    def __init__(self, orientation: str, style: Style) -> None:
        super().__init__(orientation)
        self._words = style

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """The round times."""
        return [(1.0, [log10(each) for each in SECONDS if low <= log10(each) <= high])]

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """The times in words."""
        return [self._words.show(short_time(round(10.0**value, 6))) for value in values]


class Entry(Struct, frozen=True):
    """One line of the legend."""

    shape: Shape
    words: str


class BandLegend(pg.GraphicsWidget):  # type: ignore[misc]
    """What is what, by shape and word, in as many lines above the plot as it takes."""

    def __init__(self, theme: Theme, font: QFont) -> None:
        super().__init__()
        self._theme = theme
        self._font = font
        self.entries: tuple[Entry, ...] = ()

    def show_entries(self, entries: Sequence[Entry]) -> None:
        """Show these."""
        self.entries = tuple(entries)
        self.fit(self.size().width())
        self.update()

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        self._font = font
        self.fit(self.size().width())

    def fit(self, width: float) -> None:
        """Take the height that the entries need at a width."""
        lines = max((place.bottom() for place, _ in self.places(width)), default=0.0)
        self.setFixedHeight(lines + 2)

    def resizeEvent(self, event: QGraphicsSceneResizeEvent) -> None:
        """Another width may take other lines."""
        super().resizeEvent(event)
        if event.newSize().width() != event.oldSize().width():
            self.fit(event.newSize().width())

    def places(self, width: float) -> list[tuple[QRectF, Entry]]:
        """Where each entry stands: sample and words."""
        metrics = QFontMetricsF(self._font)
        line = metrics.height() * 1.25
        found: list[tuple[QRectF, Entry]] = []
        left, top = 4.0, 2.0
        for entry in self.entries:
            wide = line * 2.6 + metrics.horizontalAdvance(entry.words)
            if left > 4.0 and left + wide > width:
                left, top = 4.0, top + line
            found.append((QRectF(left, top, wide, line), entry))
            left += wide + line * 0.6
        return found

    def paint(self, painter: QPainter, *_: object) -> None:
        """Sample and words, one beside the other."""
        painter.setFont(self._font)
        for place, entry in self.places(self.size().width()):
            sample = QRectF(place.left(), place.top() + 3, place.height() * 1.8, place.height() - 6)
            self._draw_sample(painter, sample, entry.shape)
            painter.setPen(self._theme.colour("text"))
            words = place.adjusted(place.height() * 2.1, 0, place.height(), 0)
            painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, entry.words)

    def _draw_sample(self, painter: QPainter, place: QRectF, shape: Shape) -> None:
        painter.setPen(pen(shape, self._theme))
        if shape in PATTERNS:
            painter.fillRect(place, ground(shape, self._theme))
            painter.fillRect(place, brush(shape, self._theme))
            painter.drawRect(place)
        else:
            middle = place.center().y()
            painter.drawLine(QLineF(place.left(), middle, place.right(), middle))
