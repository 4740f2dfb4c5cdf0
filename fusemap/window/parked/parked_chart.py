"""The chart of the parked battery: charge left over time, and below it who took it.

In: a `Series`. Out: the picture; the moment under the mouse, or under the cursor that Left and
Right move, is told by `read`. The wheel, + and − zoom in time. pyqtgraph is loaded with this
module: import it when the first chart is shown.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QGraphicsScene

from fusemap.text import Argument, say, share
from fusemap.window.parked.chart_parts import (
    ROWS,
    Labels,
    Legend,
    ParkedCurves,
    TimeScale,
    plot_over_time,
)
from fusemap.window.parked.parked_words import Compared, Happening, Series, gone_ah
from fusemap.window.parts.later import Later
from fusemap.window.style.theme import Theme

TALL = 24
"""Lines of text above which both plots are shown."""


class ParkedChart(pg.GraphicsLayoutWidget):  # type: ignore[misc]
    """Two plots over one time axis."""

    read = Signal(float)
    """The moment being read [h since locking]."""
    height_changed = Signal(bool)
    """Whether there is room for both plots."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.series: Series | None = None
        self.cursor_h = 0.0
        self._by_consumer = False
        self._zoomed = False
        # In the next turn: whoever follows changes this size again, amid the change of it.
        self._told = Later(lambda: self.height_changed.emit(self.both), self)
        self.scale = TimeScale()
        self.compared: tuple[Compared, ...] = ()
        self._curves = ParkedCurves(theme, self.scale)
        self.setObjectName("parkedChart")
        self.setAccessibleName(self.tr("Charge left over the time parked"))
        self.setBackground(theme.colour("base"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFrameShape(self.Shape.NoFrame)
        self.setAntialiasing(True)
        self.charge = plot_over_time(theme, self.scale, self.font(), self.tr("Charge left"))
        self.taken = plot_over_time(
            theme, self.scale, self.font(), self.tr("Gone since locking, Ah")
        )
        self.taken.setXLink(self.charge)
        self._labels = Labels(self.charge, theme, self.font(), self.scale)
        self._items: list[tuple[Any, Any]] = []
        self._crank_label: Any = None
        self._legend = Legend(self.taken.vb, theme, self.font())
        self._names = Legend(self.charge.vb, theme, self.font(), low=True)
        self._cursors = [self._cursor(plot) for plot in (self.charge, self.taken)]
        self.scene().sigMouseMoved.connect(self._mouse_moved)
        self.charge.sigXRangeChanged.connect(self._range_changed)
        for plot in (self.charge, self.taken):
            plot.vb.sigRangeChangedManually.connect(self._zoomed_by_hand)
        self._arrange()

    # --- its parts ------------------------------------------------------------------------------

    def _cursor(self, plot: Any) -> Any:
        line = pg.InfiniteLine(angle=90, pen=pg.mkPen(self._theme.colour("text"), width=1))
        line.setZValue(20)
        line.hide()
        plot.addItem(line, ignoreBounds=True)
        return line

    @property
    def both(self) -> bool:
        """Whether there is room for both plots."""
        return bool(self.height() >= self.fontMetrics().height() * TALL)

    def show_consumers(self, on: bool) -> None:
        """Where there is room for one plot only: who took the charge, instead of what is left."""
        self._by_consumer = on
        self._arrange()

    def _arrange(self) -> None:
        """Both plots, or the one that is asked for."""
        wanted = [self.charge, self.taken] if self.both else [self._single()]
        inside = [item for item in (self.charge, self.taken) if item in self.ci.items]
        if inside == wanted:
            return
        for item in inside:
            self.removeItem(item)
        for row, item in enumerate(wanted):
            self.addItem(item, row, 0)
        width = QFontMetricsF(self.font()).horizontalAdvance("0000") * 2.2
        for plot in wanted:
            plot.getAxis("left").setWidth(width)
        self._fit()

    def _single(self) -> Any:
        return self.taken if self._by_consumer else self.charge

    # --- what is drawn --------------------------------------------------------------------------

    def show_series(self, series: Series) -> None:
        """Draw another forecast; what the user zoomed to stays the same span of time."""
        self.series = series
        for plot, item in self._items:
            plot.removeItem(item)
        make = self._curves
        self._crank_label = make.crank_label(series, self.font())
        in_charge = [*make.charge(series, self._crank_label), *make.compared(self.compared)]
        self._items = [(self.charge, item) for item in in_charge]
        self._items += [(self.taken, item) for item in make.taken(series)]
        for plot, item in self._items:
            plot.addItem(item, ignoreBounds=True)
        self._legend.show_names(self._shown(layer.name for layer in series.layers))
        others = self._shown(each.name for each in self.compared)
        self._names.show_names([self.tr("As it is"), *others] if others else [])
        self._labels.show((*series.happenings, *_plan(series)))
        end = self._curves.x(series.end_h)
        for plot in (self.charge, self.taken):
            plot.setLimits(xMin=0, xMax=end, minXRange=self._curves.x(1.0))
        if not self._zoomed:
            self._view(series.first_view_h())
        self._fit()
        self.set_cursor(min(self.cursor_h, series.end_h), tell=self._cursors[0].isVisible())

    def _shown(self, names: Iterable[Argument]) -> list[str]:
        return [self._theme.style.show(name) for name in names]

    def show_compared(self, compared: tuple[Compared, ...]) -> None:
        """Draw the charge of other vehicles beside this one's."""
        self.compared = compared
        if self.series is not None:
            self.show_series(self.series)

    def show_log(self, on: bool) -> None:
        """A logarithmic time axis, on which hours and months show together, or a plain one."""
        shown = self.shown_h
        self.scale.log = on
        if self.series is not None:
            for plot in (self.charge, self.taken):
                plot.setLimits(xMin=None, xMax=None, minXRange=None)
            self.show_series(self.series)
            self.zoom_to(self.series.end_h if on else shown[1])

    # --- what part of it ------------------------------------------------------------------------

    def zoom_to(self, hours: float) -> None:
        """Show so many hours from locking on, and from now on as the user wants it."""
        self._zoomed = True
        self._view(hours)

    def _view(self, hours: float) -> None:
        if self.series is not None:
            self.charge.setXRange(0, self._curves.x(min(hours, self.series.end_h)), padding=0)

    def zoom(self, factor: float) -> None:
        """Show more or less round the cursor."""
        self._zoomed = True
        left, right = self.charge.viewRange()[0]
        cursor = self._curves.x(self.cursor_h)
        middle = cursor if left <= cursor <= right else (left + right) / 2
        self.charge.setXRange(
            middle - (middle - left) * factor, middle + (right - middle) * factor, padding=0
        )

    @property
    def shown_h(self) -> tuple[float, float]:
        """The span of time shown [h]."""
        left, right = self.charge.viewRange()[0]
        return float(self.scale.to_hours(left)), float(self.scale.to_hours(right))

    def _zoomed_by_hand(self, *_: object) -> None:
        self._zoomed = True

    def _range_changed(self, *_: object) -> None:
        self._fit()

    def _fit(self) -> None:
        """The heights of both axes, and the labels' places, for the span shown."""
        height = float(self.charge.vb.height())
        line = QFontMetricsF(self.font()).height() * 1.25
        room = min(0.45, ROWS * line / height) if height > 0 else 0.3
        top = 100 / (1 - room)
        self.charge.setYRange(0, top, padding=0)
        self.charge.getAxis("left").setTicks(
            [[(value, self._theme.style.show(share(value / 100))) for value in range(0, 101, 25)]]
        )
        self._labels.place(top, (top - 100) / ROWS)
        self._names.settle()
        if self.series is not None:
            self._place_crank_label(self.series)
            most = gone_ah(self.series, self.shown_h[1])
            self.taken.setYRange(0, max(most, 1e-3) * 1.05, padding=0)

    def _place_crank_label(self, s: Series) -> None:
        """Below its line, at the end where the curve is farther away."""
        left, right = self.charge.viewRange()[0]
        crank = next((self._curves.x(h.hours) for h in s.happenings if h.weight == "limit"), right)
        at_left = crank - left > (right - left) * 0.4
        self._crank_label.setAnchor((0, -0.15) if at_left else (1, -0.15))
        self._crank_label.setPos(left if at_left else right, s.crank_percent)

    # --- the cursor -----------------------------------------------------------------------------

    def set_cursor(self, hour: float, *, tell: bool = True) -> None:
        """Read this moment."""
        if self.series is None:
            return
        self.cursor_h = min(max(0.0, hour), self.series.end_h)
        for line in self._cursors:
            line.setPos(self._curves.x(self.cursor_h))
            line.setVisible(tell)
        if tell:
            self.read.emit(self.cursor_h)

    def _mouse_moved(self, place: QPointF) -> None:
        for plot in (self.charge, self.taken):
            if plot.scene() is not None and plot.sceneBoundingRect().contains(place):
                self.set_cursor(float(self.scale.to_hours(plot.vb.mapSceneToView(place).x())))
                return

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and Right read, with Control they move the span; + and − zoom, Home shows all."""
        left, right = self.charge.viewRange()[0]
        step = (right - left) / 50
        key = event.key()
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            step = step if key == Qt.Key.Key_Right else -step
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                self._move(step * 5)
            else:
                self.set_cursor(float(self.scale.to_hours(self._curves.x(self.cursor_h) + step)))
                self._follow()
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Minus):
            self.zoom(0.7 if key == Qt.Key.Key_Plus else 1 / 0.7)
        elif key == Qt.Key.Key_Home and self.series is not None:
            self.zoom_to(self.series.end_h)
        else:
            super().keyPressEvent(event)

    def _follow(self) -> None:
        """Move the span so that the cursor is in it."""
        left, right = self.charge.viewRange()[0]
        cursor = self._curves.x(self.cursor_h)
        if cursor > right:
            self._move(cursor - right)
        elif cursor < left:
            self._move(cursor - left)

    def _move(self, along: float) -> None:
        """Move the span along the axis, in the axis' own units."""
        left, right = self.charge.viewRange()[0]
        end = right if self.series is None else self._curves.x(self.series.end_h)
        along = min(max(along, -left), end - right)
        self._zoomed = True
        self.charge.setXRange(left + along, right + along, padding=0)

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """One plot or two, and other room for the labels."""
        super().resizeEvent(event)
        if hasattr(self, "charge"):
            self._arrange()
            self.ci.layout.activate()  # labels are fitted to the width there is now, not later
            self._fit()
            self._told.start()

    def changeEvent(self, event: QEvent) -> None:
        """The axes follow the font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "charge"):
            for plot in (self.charge, self.taken):
                for side in ("left", "bottom"):
                    plot.getAxis(side).setTickFont(self.font())

    @contextmanager
    def picture(self) -> Iterator[tuple[QGraphicsScene, QRectF]]:
        """What is drawn, and which part of it is shown, for an export; without the cursor."""
        seen = [line for line in self._cursors if line.isVisible()]
        for line in seen:
            line.hide()
        yield self.scene(), QRectF(self.ci.sceneBoundingRect())
        for line in seen:
            line.show()


def _plan(series: Series) -> tuple[Happening, ...]:
    """The line at the end of the time it is planned to stand."""
    if not 0 < series.stand_h <= series.end_h:
        return ()
    return (Happening(series.stand_h, say("Planned until here"), "plan", told=True),)
