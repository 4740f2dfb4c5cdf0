"""A photo with a grid over it, whose corners are dragged onto those of the panel.

In: a picture and the corners so far. Out: `moved` at every change. By keyboard: Tab goes from
corner to corner, the arrow keys move one, with Shift in larger steps. A corner may be drawn outside
a picture that does not show the whole panel. While one is moved, a loupe shows what is below it.
"""

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QColor,
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
    QTransform,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.text import Style, share
from fusemap.vehicle import PhotoPoint
from fusemap.vehicle.edits.panels import Place
from fusemap.vehicle.validity import FARTHEST_CORNERS, is_grid
from fusemap.window.style.letters import scaled_font

Corners = tuple[PhotoPoint, ...]

STEP: Final = 0.002
"""What an arrow key moves a corner by [share of the picture]."""
LARGE_STEP: Final = 0.02
ARROWS: Final = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
LIGHT, DARK = QColor("#ffffff"), QColor("#10161c")
ACCENT: Final = QColor("#0f7cc0")
LOUPE: Final = 3.0
"""How many times larger the loupe shows the picture."""
LOUPE_EMS: Final = 5.5
"""Its half width [heights of the font]."""

_INSET = 0.08
FIRST_CORNERS: Corners = tuple(
    PhotoPoint(across=across, down=down)
    for across, down in (
        (_INSET, _INSET), (1 - _INSET, _INSET), (1 - _INSET, 1 - _INSET), (_INSET, 1 - _INSET),
    )
)  # fmt: skip
"""Where the corners of a new photo are, a little inside: there they can be taken hold of."""


class FitView(QWidget):
    """The photo with the grid over it; one corner is chosen."""

    moved = Signal()
    label_down = 0.5
    """How far down in its place a label stands."""

    def __init__(self, image: QImage, corners: Corners, style: Style) -> None:
        super().__init__()
        self._style = style
        self._image = image
        self.rows, self.columns = 1, 1
        self.labels: Mapping[Place, str] = {}
        self.corners = corners
        self.chosen = 0
        self._span = _span_of(corners)
        self._grip: QPointF | None = None
        self._fitting = False
        self.setObjectName("fitView")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._tell()

    def show_grid(self, rows: int, columns: int, labels: Mapping[Place, str]) -> None:
        """Lay a grid of this size over the photo, its places labelled so."""
        self.rows, self.columns, self.labels = rows, columns, labels
        self.update()

    def sizeHint(self) -> QSize:
        """As large as there is room for."""
        em = self.fontMetrics().height()
        return QSize(em * 46, em * 32)

    def minimumSizeHint(self) -> QSize:
        """Still to be worked on."""
        em = self.fontMetrics().height()
        return QSize(em * 16, em * 12)

    # --- where things are -----------------------------------------------------------------------

    def picture(self) -> QRectF:
        """Where the photo is drawn, with room round it for the corners that lie outside."""
        edge = self._handle() * 1.6
        room = QRectF(self.rect()).adjusted(edge, edge, -edge, -edge)
        span, wide, high = self._span, self._image.width(), self._image.height()
        whole = QSizeF(span.width() * wide, span.height() * high)
        scale = (
            whole.scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio).width() / whole.width()
        )
        left = room.center().x() - span.center().x() * wide * scale
        top = room.center().y() - span.center().y() * high * scale
        return QRectF(left, top, wide * scale, high * scale)

    def at(self, corner: int) -> QPointF:
        """Where a corner is on the screen."""
        area, point = self.picture(), self.corners[corner]
        return QPointF(
            area.left() + point.across * area.width(), area.top() + point.down * area.height()
        )

    def _handle(self) -> float:
        return self.fontMetrics().height() * 0.7

    def _point(self, place: QPointF) -> PhotoPoint:
        """A place of the screen as one of the picture."""
        area = self.picture()
        across = (place.x() - area.left()) / area.width()
        down = (place.y() - area.top()) / area.height()
        return PhotoPoint(across=_share(across), down=_share(down))

    # --- moving ---------------------------------------------------------------------------------

    @property
    def image(self) -> QImage:
        """The photo itself."""
        return self._image

    def set_corners(self, corners: Corners) -> None:
        """Lay the grid elsewhere."""
        if corners != self.corners and is_grid(corners):
            self.corners = corners
            if self._grip is None:  # under the mouse the picture stays where it is
                self._span = _span_of(corners)
            self._tell()
            self.update()
            self.moved.emit()

    def turn(self) -> None:
        """Turn the grid by a quarter: the photo was taken from another side."""
        self.set_corners((*self.corners[1:], self.corners[0]))

    def _move(self, corner: int, to: PhotoPoint) -> None:
        """Move a corner; where it would bend the grid inwards it stays."""
        self.set_corners(tuple(to if at == corner else c for at, c in enumerate(self.corners)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrow keys move the chosen corner."""
        way = ARROWS.get(Qt.Key(event.key()))
        if way is None:
            super().keyPressEvent(event)
            return
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        self._fitting = True
        step, point = LARGE_STEP if shift else STEP, self.corners[self.chosen]
        across = _share(point.across + way[0] * step)
        self._move(self.chosen, PhotoPoint(across=across, down=_share(point.down + way[1] * step)))

    def focusNextPrevChild(self, next: bool) -> bool:
        """Tab goes to the next corner, after the last one out of here."""
        to = self.chosen + (1 if next else -1)
        if not 0 <= to < self.stops():
            return super().focusNextPrevChild(next)
        self._choose(to)
        return True

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """The loupe is put away."""
        super().focusOutEvent(event)
        self._fitting = False
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Come in by Tab at the first corner, backwards at the last."""
        super().focusInEvent(event)
        if event.reason() == Qt.FocusReason.TabFocusReason:
            self._choose(0)
        elif event.reason() == Qt.FocusReason.BacktabFocusReason:
            self._choose(self.stops() - 1)

    def stops(self) -> int:
        """How many stops the Tab key makes here: one at each corner."""
        return len(self.corners)

    @property
    def gripped(self) -> bool:
        """Whether the mouse has a corner in hand."""
        return self._grip is not None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the nearest corner, where one is near."""
        nearest = min(range(4), key=lambda at: _distance(self.at(at), event.position()))
        if (
            event.button() == Qt.MouseButton.LeftButton
            and _distance(self.at(nearest), event.position()) <= self._handle() * 2
        ):
            self._choose(nearest)
            self._grip = self.at(nearest) - event.position()
            self._fitting = True

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the corner that was taken."""
        if self._grip is not None:
            self._move(self.chosen, self._point(event.position() + self._grip))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let it go; a corner drawn outside then has room round it again."""
        if self._grip is not None:
            self._grip, self._fitting = None, False
            self._span = _span_of(self.corners)
            self.update()

    def _choose(self, corner: int) -> None:
        self.chosen = corner
        self._fitting = False
        self._tell()
        self.update()

    # --- words ----------------------------------------------------------------------------------

    def corner_words(self) -> str:
        """The chosen corner and where it is."""
        names = (
            self.tr("top left"),
            self.tr("top right"),
            self.tr("bottom right"),
            self.tr("bottom left"),
        )
        point = self.corners[self.chosen]
        return self.tr("Corner {corner}: {across} from the left, {down} from the top").format(
            corner=names[self.chosen],
            across=self._style.show(share(point.across)),
            down=self._style.show(share(point.down)),
        )

    def _tell(self) -> None:
        self.setAccessibleName(self.corner_words())
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.NameChanged))

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """The photo, the grid as it would lie, its labels and its handles."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(self.picture(), self._image)
        lay = self.lay()
        self._paint_places(painter, lay)
        self._paint_lines(painter, lay)
        self._paint_labels(painter, lay)
        for corner in range(4):
            self._paint_handle(painter, corner)
        if self._fitting:
            self._paint_loupe(painter, lay)

    def _paint_places(self, painter: QPainter, lay: QTransform) -> None:
        """What is to be seen of the places below the lines."""

    def lay(self) -> QTransform:
        """The way from rows and columns to the screen."""
        area = QRectF(0, 0, self.columns, self.rows)
        grid = [area.topLeft(), area.topRight(), area.bottomRight(), area.bottomLeft()]
        seen = [self.at(corner) for corner in range(4)]
        made = QTransform.quadToQuad(QPolygonF(grid), QPolygonF(seen))
        return made if isinstance(made, QTransform) else QTransform()

    def _paint_lines(self, painter: QPainter, lay: QTransform) -> None:
        """Each line of the grid, light on dark, to be seen on any picture."""
        rows, columns = self.rows, self.columns
        lines = [((0, row), (columns, row)) for row in range(rows + 1)]
        lines += [((column, 0), (column, rows)) for column in range(columns + 1)]
        ends = [(lay.map(QPointF(*a)), lay.map(QPointF(*b))) for a, b in lines]
        for colour, wide in ((DARK, 3.6), (LIGHT, 1.6)):
            painter.setPen(QPen(colour, wide))
            for start, end in ends:
                painter.drawLine(start, end)

    def _paint_labels(self, painter: QPainter, lay: QTransform) -> None:
        """The labels of the slots, so that one sees which way the grid lies."""
        font = scaled_font(self.font(), 0.9, bold=True)
        for (row, column), label in self.shown_labels().items():
            middle = lay.map(QPointF(column + 0.5, row + self.label_down))
            left = lay.map(QPointF(column, row + self.label_down))
            path = QPainterPath()
            path.addText(QPointF(0, 0), font, label)
            # No wider than four fifths of its place, so that the labels do not run together.
            room = 1.6 * _distance(middle, left)
            size = min(1.0, room / max(1.0, path.boundingRect().width()))
            path = QTransform.fromScale(size, size).map(path)
            path.translate(middle - path.boundingRect().center())
            painter.strokePath(path, QPen(DARK, 3.0 * size))
            painter.fillPath(path, LIGHT)

    def shown_labels(self) -> Mapping[Place, str]:
        """What stands in the places."""
        return self.labels

    def _paint_handle(self, painter: QPainter, corner: int) -> None:
        chosen = corner == self.chosen and self.hasFocus()
        size = self._handle() * (0.85 if chosen else 0.65)
        painter.setPen(QPen(LIGHT, 3.0))
        fill = QColor(ACCENT if chosen else DARK)
        fill.setAlphaF(0.75 if chosen else 0.5)
        painter.setBrush(fill)
        painter.drawEllipse(self.at(corner), size, size)
        painter.setPen(QPen(DARK, 1.2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(self.at(corner), size + 1.8, size + 1.8)
        painter.setBrush(LIGHT)
        painter.drawEllipse(self.at(corner), 2.0, 2.0)

    def loupe(self) -> QRectF:
        """Where the loupe is: in the half of the view in which the chosen corner is not."""
        half = min(self.fontMetrics().height() * LOUPE_EMS, self.width() * 0.2, self.height() * 0.3)
        at, edge = self.at(self.chosen), self._handle()
        left = self.width() - 2 * half - edge if at.x() < self.width() / 2 else edge
        top = self.height() - 2 * half - edge if at.y() < self.height() / 2 else edge
        return QRectF(left, top, 2 * half, 2 * half)

    def _paint_loupe(self, painter: QPainter, lay: QTransform) -> None:
        """What is below the chosen corner, larger, with the lines that meet there."""
        place, at = self.loupe(), self.at(self.chosen)
        glass = QPainterPath()
        glass.addEllipse(place)
        painter.save()
        painter.setClipPath(glass)
        painter.fillPath(glass, DARK)
        painter.translate(place.center())
        painter.scale(LOUPE, LOUPE)
        painter.translate(-at)
        painter.drawImage(self.picture(), self._image)
        for colour, wide in ((DARK, 1.4), (LIGHT, 0.6)):
            painter.setPen(QPen(colour, wide))
            for other in (self.chosen - 1, (self.chosen + 1) % 4):
                painter.drawLine(at, self.at(other))
        painter.restore()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, wide in ((DARK, 5.0), (LIGHT, 2.5)):
            painter.setPen(QPen(colour, wide))
            painter.drawEllipse(place)


def _span_of(corners: Corners) -> QRectF:
    """The part of the plane that is shown: the picture, and round it what is drawn outside."""
    across, down = [each.across for each in corners], [each.down for each in corners]
    left, top = min(0.0, *across), min(0.0, *down)
    return QRectF(left, top, max(1.0, *across) - left, max(1.0, *down) - top)


def _share(value: float) -> float:
    """A share of the picture, to a tenth of a thousandth: finer than a pixel of it."""
    least, most = FARTHEST_CORNERS
    return round(min(most, max(least, value)), 4)


def _distance(one: QPointF, other: QPointF) -> float:
    return (one - other).manhattanLength()
