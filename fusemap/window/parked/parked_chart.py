"""The chart of the parked battery as a widget: zoomed by wheel and keys, read by mouse and keys.

In: `ChartFigures`. Out: the picture; the moment under the mouse, or under the cursor that Left and
Right move, is written beside it and told by `read`. While something is reckoned three dots stand
where the curves were.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QGraphicsItem,
    QGraphicsScene,
    QSizePolicy,
    QStyleOptionGraphicsItem,
    QWidget,
)

from fusemap.window.parked.chart_figures import ChartFigures
from fusemap.window.parked.chart_paint import Drawing
from fusemap.window.parked.chart_words import read_lines
from fusemap.window.style.theme import Theme

STEPS: Final = 50
"""So many steps of the cursor across the chart."""
LEAST_VIEW_H: Final = 1.0


class ParkedChart(QWidget):
    """Charge over time, the answer on the line of what a start needs."""

    read = Signal(float)
    """The moment being read [h since locking]."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.figures: ChartFigures | None = None
        self.waiting = True
        self.cursor_h = 0.0
        self.cursor_shown = False
        self._view: tuple[float, float] = (0.0, 24.0)
        self._zoomed = False
        self._drawing: Drawing | None = None
        self._still: QPixmap | None = None
        self.setObjectName("parkedChart")
        self.setAccessibleName(self.tr("Charge left over the time parked"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def minimumSizeHint(self) -> QSize:
        """What it can be read at."""
        em = self.fontMetrics().height()
        return QSize(em * 24, em * 13)

    def sizeHint(self) -> QSize:
        """What it likes; no higher than it has to be, so that the page is not scrolled for it."""
        em = self.fontMetrics().height()
        return QSize(em * 50, em * 13)

    # --- what is drawn --------------------------------------------------------------------------

    def wait(self) -> None:
        """Something is being reckoned: what is drawn may not be true any more."""
        self.waiting = True
        self._anew()

    def show_figures(self, figures: ChartFigures) -> None:
        """Draw these; what the user zoomed to stays the same span of time."""
        self.figures = figures
        self.waiting = False
        if not self._zoomed:
            self._view = 0.0, figures.first_view_h()
        self._keep_inside(*self._view)
        self.cursor_h = min(self.cursor_h, figures.end_h)

    def _anew(self) -> None:
        self._drawing = self._still = None
        self.update()

    @property
    def drawing(self) -> Drawing | None:
        """Where everything is now; nothing while it waits."""
        if self._drawing is None and self.figures is not None and not self.waiting:
            place = QRectF(self.rect()).adjusted(2, 2, -2, -2)
            self._drawing = Drawing(self.figures, self._view, place, self.font(), self._theme)
        return self._drawing

    # --- what part of it ------------------------------------------------------------------------

    @property
    def shown_h(self) -> tuple[float, float]:
        """The span of time shown [h]."""
        return self._view

    def zoom_to(self, hours: float) -> None:
        """Show so many hours from locking on, and from now on as the user wants it."""
        self._zoomed = True
        self._keep_inside(0.0, hours)

    def zoom(self, factor: float, around_h: float | None = None) -> None:
        """Show more or less round a moment, or round the cursor."""
        self._zoomed = True
        left, right = self._view
        middle = self.cursor_h if around_h is None else around_h
        if not left <= middle <= right:
            middle = (left + right) / 2
        self._keep_inside(middle - (middle - left) * factor, middle + (right - middle) * factor)

    def show_whole(self) -> None:
        """Show what is shown at first again."""
        self._zoomed = False
        if self.figures is not None:
            self._keep_inside(0.0, self.figures.first_view_h())

    def _keep_inside(self, left: float, right: float) -> None:
        """Show this span, moved and cut so that it lies within the forecast."""
        end = self.figures.end_h if self.figures is not None else max(right, LEAST_VIEW_H)
        wide = min(max(right - left, LEAST_VIEW_H), end)
        left = min(max(0.0, left), end - wide)
        self._view = left, left + wide
        self._anew()

    # --- the cursor -----------------------------------------------------------------------------

    def set_cursor(self, hour: float, *, tell: bool = True) -> None:
        """Read this moment."""
        if self.figures is None or self.waiting:
            return
        self.cursor_h = min(max(0.0, hour), self.figures.end_h)
        self.cursor_shown = tell
        self.update()
        if tell:
            self.setAccessibleDescription(". ".join(self.cursor_lines()))
            self.read.emit(self.cursor_h)

    def cursor_lines(self) -> tuple[str, ...]:
        """What is to be read at the cursor."""
        if self.figures is None:
            return ()
        return read_lines(self.figures, self.cursor_h, self._theme.style)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read under the mouse."""
        drawing = self.drawing
        if drawing is not None and drawing.plot.left() <= event.position().x():
            self.set_cursor(min(drawing.hours(event.position().x()), self._view[1]))

    def leaveEvent(self, event: QEvent) -> None:
        """The mouse is gone, and with it what was read."""
        self.cursor_shown = self.hasFocus() and self.cursor_shown
        self.update()
        super().leaveEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """With Control, zoom where the mouse is; else the page scrolls."""
        drawing = self.drawing
        if drawing is None or not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            event.ignore()
            return
        factor = 0.8 if event.angleDelta().y() > 0 else 1.25
        self.zoom(factor, drawing.hours(event.position().x()))
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and Right read, with Control they move the span; + and − zoom, Home shows all."""
        left, right = self._view
        step, key = (right - left) / STEPS, event.key()
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            step = step if key == Qt.Key.Key_Right else -step
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                self._zoomed = True
                self._keep_inside(left + 5 * step, right + 5 * step)
            else:
                self.set_cursor(self.cursor_h + step)
                self._follow()
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Minus):
            self.zoom(0.7 if key == Qt.Key.Key_Plus else 1 / 0.7)
        elif key == Qt.Key.Key_Home:
            self.show_whole()
        elif key == Qt.Key.Key_End and self.figures is not None:
            self.zoom_to(self.figures.end_h)
        else:
            super().keyPressEvent(event)

    def _follow(self) -> None:
        """Move the span so that the cursor is in it."""
        left, right = self._view
        off = max(0.0, self.cursor_h - right) + min(0.0, self.cursor_h - left)
        if off:
            self._zoomed = True
            self._keep_inside(left + off, right + off)

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Other room for the labels."""
        super().resizeEvent(event)
        self._anew()

    def changeEvent(self, event: QEvent) -> None:
        """Another font, other labels."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_still"):
            self._anew()

    def paintEvent(self, event: QPaintEvent) -> None:
        """What was drawn once, and the cursor over it."""
        painter = QPainter(self)
        drawing = self.drawing
        if drawing is None:
            self._dots(painter)
        else:
            if self._still is None:
                self._still = self._picture(drawing)
            painter.drawPixmap(0, 0, self._still)
            if self.cursor_shown:
                self._cursor(painter, drawing)
        if self.hasFocus():
            self._focus_ring(painter)
        painter.end()

    def _picture(self, drawing: Drawing) -> QPixmap:
        ratio = self.devicePixelRatioF()
        made = QPixmap(self.size() * ratio)
        made.setDevicePixelRatio(ratio)
        made.fill(Qt.GlobalColor.transparent)
        inside = QPainter(made)
        drawing.paint(inside)
        inside.end()
        return made

    def _dots(self, painter: QPainter) -> None:
        """Three grey dots, where a figure will stand."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._theme.colour("muted_text"))
        size, middle = self.fontMetrics().height() * 0.2, QPointF(self.rect().center())
        for place in (-1, 0, 1):
            painter.drawEllipse(middle + QPointF(place * size * 4, 0), size, size)

    def _cursor(self, painter: QPainter, drawing: Drawing) -> None:
        """A line at the moment read, and beside it what is read there."""
        if not self._view[0] <= self.cursor_h <= self._view[1]:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        x, ink = drawing.x(self.cursor_h), self._theme.colour("text")
        painter.setPen(QPen(ink, 1))
        painter.drawLine(QPointF(x, drawing.plot.top()), QPointF(x, drawing.strip.bottom()))
        lines, em = self.cursor_lines(), drawing.em
        wide = max(drawing.bold_size.horizontalAdvance(each) for each in lines) + em
        high = em * len(lines) + em * 0.5
        left = x + em * 0.5 if x + em * 0.5 + wide < self.width() else x - em * 0.5 - wide
        box = QRectF(max(0.0, left), drawing.plot.top() + em * 0.3, wide, high)
        painter.setBrush(self._theme.colour("raised"))
        painter.setPen(QPen(self._theme.colour("frame"), 1))
        painter.drawRoundedRect(box, 4, 4)
        painter.setPen(ink)
        for number, each in enumerate(lines):
            painter.setFont(drawing.font if number else drawing.bold)
            top = box.top() + em * 0.25 + number * em
            painter.drawText(
                QPointF(box.left() + em * 0.5, top + drawing.plain_size.ascent()), each
            )

    def _focus_ring(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(self._theme.colour("accent"), 2))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 4, 4)

    # --- files ----------------------------------------------------------------------------------

    @contextmanager
    def picture(self) -> Iterator[tuple[QGraphicsScene, QRectF]]:
        """The drawing as a scene, without the cursor, for an export."""
        scene = QGraphicsScene()
        if self.drawing is not None:
            scene.addItem(_Drawn(self.drawing))
        yield scene, QRectF(self.rect())


class _Drawn(QGraphicsItem):
    """The drawing as an item of a scene."""

    def __init__(self, drawing: Drawing) -> None:
        super().__init__()
        self._drawing = drawing

    def boundingRect(self) -> QRectF:
        """All of it."""
        return self._drawing.place

    def paint(
        self, painter: QPainter, _option: QStyleOptionGraphicsItem, _widget: QWidget | None = None
    ) -> None:
        """Draw it."""
        self._drawing.paint(painter)
