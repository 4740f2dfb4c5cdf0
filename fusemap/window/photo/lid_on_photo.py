"""A lid drawn on its photo: the grid laid over it, gaps and relay places marked on the picture.

In: a picture and a `Lid`. Out: `asked` with a place and what it is to be, `sized` with rows and
columns, `moved` with the cursor's place, and the four corners. A line is dragged until as many rows
or columns lie between the corners as the picture has. By keyboard: Tab goes from corner to corner
and then to the places; arrows walk there, Space makes a gap or a relay place; Ctrl and the arrows
make more or fewer rows and columns.
"""

from collections.abc import Callable
from typing import Final, Literal

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPen,
    QPolygonF,
    QTransform,
)

from fusemap.photo.places import count_at, meant, projection
from fusemap.text import Style
from fusemap.vehicle.edits.panels import Lid, Place
from fusemap.vehicle.validity import MOST_ROWS
from fusemap.window.panel.lid_grid import NEXT, SET_KEYS, STEPS, Kind
from fusemap.window.photo.fit_view import ACCENT, DARK, FIRST_CORNERS, LIGHT, FitView
from fusemap.window.photo.fit_view import ARROWS as CORNER_ARROWS

Axis = Literal["row", "column"]
PLACES: Final = 4
"""The stop of the Tab key after the four corners: the places."""
GRASP: Final = 0.35
"""So near to a line the mouse takes hold of it [heights of the font]."""


class LidOnPhoto(FitView):
    """The photo, the grid and what each place is; a corner or the places have the keyboard."""

    asked = Signal(object, object)
    moved_to = Signal(object)
    sized = Signal(int, int)
    label_down = 0.86  # a rating is printed in the middle of a fuse
    done = Signal()
    """Enter was pressed."""

    def __init__(self, image: QImage, style: Style, words: Callable[[Place], str]) -> None:
        super().__init__(image, FIRST_CORNERS, style)
        self.lid = Lid(rows=1, columns=1)
        self.cursor_place: Place = (0, 0)
        self._words = words
        self._painting: Kind | str = ""
        self._line: tuple[Axis, int] | None = None
        self.setObjectName("lidOnPhoto")

    def show_lid(self, lid: Lid, labels: dict[Place, str]) -> None:
        """Show this lid with these labels."""
        self.lid = lid
        row, column = self.cursor_place
        self._go((min(row, lid.rows - 1), min(column, lid.columns - 1)))
        self.show_grid(lid.rows, lid.columns, labels)
        self._tell()

    # --- where things are -----------------------------------------------------------------------

    def share_at(self, point: QPointF) -> tuple[float, float]:
        """A place of the screen as shares of the grid, from its top left."""
        area = self.picture()
        there = (
            (point.x() - area.left()) / area.width(), (point.y() - area.top()) / area.height()
        )  # fmt: skip
        return meant(projection([(c.across, c.down) for c in self.corners]), there)

    def place_at(self, point: QPointF) -> Place | None:
        """The place under a point of the screen."""
        across, down = self.share_at(point)
        if not (0 <= across < 1 and 0 <= down < 1):
            return None
        return int(down * self.rows), int(across * self.columns)

    def line_at(self, point: QPointF) -> tuple[Axis, int] | None:
        """The line within the grid that is under a point, and which one from the first."""
        across, down = self.share_at(point)
        if not (0 <= across <= 1 and 0 <= down <= 1):
            return None
        lay, near = self.lay(), self.fontMetrics().height() * GRASP
        column, row = round(across * self.columns), round(down * self.rows)
        onto = {
            ("column", column): QPointF(column, down * self.rows),
            ("row", row): QPointF(across * self.columns, row),
        }
        for (axis, line), at in onto.items():
            count = self.columns if axis == "column" else self.rows
            if 0 < line < count and (lay.map(at) - point).manhattanLength() <= near:
                return ("column" if axis == "column" else "row"), line
        return None

    # --- keys and mouse -------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl and the arrows make rows and columns; on the places the keys of a lid."""
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.done.emit()
        elif event.modifiers() & Qt.KeyboardModifier.ControlModifier and key in CORNER_ARROWS:
            right, down = CORNER_ARROWS[key]
            self._size(self.rows + down, self.columns + right)
        elif self.chosen != PLACES:
            super().keyPressEvent(event)
        elif key in STEPS:
            down, right = STEPS[key]
            self._go((self.cursor_place[0] + down, self.cursor_place[1] + right))
        elif key == Qt.Key.Key_Space:
            self.asked.emit(self.cursor_place, NEXT[self._kind(self.cursor_place)])
        elif key in SET_KEYS:
            self.asked.emit(self.cursor_place, SET_KEYS[key])
        else:
            event.ignore()

    def stops(self) -> int:
        """The four corners, then the places."""
        return PLACES + 1

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a corner or a line; a click on a place makes it something else."""
        super().mousePressEvent(event)
        if event.button() != Qt.MouseButton.LeftButton or self.gripped:
            return
        self._line = self.line_at(event.position())
        place = self.place_at(event.position())
        if self._line is None and place is not None:
            self._choose(PLACES)
            self._go(place)
            self._painting = NEXT[self._kind(place)]
            self.asked.emit(place, self._painting)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """A line dragged says how many there are; a drag over places makes them all the same."""
        super().mouseMoveEvent(event)
        over = self.line_at(event.position()) if self._line is None else self._line
        self._show_cursor(over)
        if self._line is not None:
            self._drag_line(*self._line, event.position())
            return
        place = self.place_at(event.position())
        if place is not None and self._painting != "" and place != self.cursor_place:
            self._go(place)
            self.asked.emit(place, self._painting)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The drag is over."""
        super().mouseReleaseEvent(event)
        self._painting, self._line = "", None

    def _show_cursor(self, line: tuple[Axis, int] | None) -> None:
        shapes = {"row": Qt.CursorShape.SplitVCursor, "column": Qt.CursorShape.SplitHCursor}
        self.setCursor(Qt.CursorShape.ArrowCursor if line is None else shapes[line[0]])

    def _drag_line(self, axis: Axis, line: int, to: QPointF) -> None:
        across, down = self.share_at(to)
        if axis == "row":
            self._size(count_at(down, line), self.columns)
        else:
            self._size(self.rows, count_at(across, line))

    def _size(self, rows: int, columns: int) -> None:
        asked = tuple(min(MOST_ROWS, max(1, each)) for each in (rows, columns))
        if asked != (self.rows, self.columns):
            self.sized.emit(*asked)

    def _kind(self, place: Place) -> Kind:
        return self.lid.kinds.get(place)

    def _go(self, place: Place) -> None:
        inside = 0 <= place[0] < self.lid.rows and 0 <= place[1] < self.lid.columns
        if inside and place != self.cursor_place:
            self.cursor_place = place
            self.moved_to.emit(place)
            self._tell()
            self.update()

    # --- words and painting ---------------------------------------------------------------------

    def corner_words(self) -> str:
        """The chosen corner and where it is, or the place under the cursor and what it is."""
        if self.chosen != PLACES:
            return super().corner_words()
        row, column = self.cursor_place
        where = self.tr("row {row}, column {column}").format(row=row + 1, column=column + 1)
        return f"{where}: {self._words(self.cursor_place)}"

    def _paint_places(self, painter: QPainter, lay: QTransform) -> None:
        """Gaps hatched, relay places tinted and named, a ring where the keyboard is."""
        for place, kind in self.lid.kinds.items():
            if place[0] < self.rows and place[1] < self.columns:
                self._paint_kind(painter, lay, place, kind)
        if self.hasFocus() and self.chosen == PLACES:
            row, column = self.cursor_place
            ring = lay.map(_square(row, column, 0.06))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            for colour, wide in ((DARK, 6.0), (ACCENT, 3.5)):
                painter.setPen(QPen(colour, wide))
                painter.drawPolygon(ring)

    def _paint_kind(self, painter: QPainter, lay: QTransform, place: Place, kind: Kind) -> None:
        inside = lay.map(_square(*place, 0.04))
        painter.setPen(Qt.PenStyle.NoPen)
        shade = QColor(DARK)
        shade.setAlphaF(0.72)
        painter.setBrush(shade)
        painter.drawPolygon(inside)
        if kind == "gap":
            painter.setPen(QPen(LIGHT, 1.4))
            a, b, c, d = inside.toList()
            painter.drawLine(a, c)
            painter.drawLine(b, d)

    def shown_labels(self) -> dict[Place, str]:
        """The labels of the slots, and what a relay place is."""
        relays = [place for place, kind in self.lid.kinds.items() if kind == "relay"]
        within = (place for place in relays if place[0] < self.rows and place[1] < self.columns)
        return {**self.labels, **dict.fromkeys(within, self.tr("relay"))}


def _square(row: int, column: int, inset: float) -> QPolygonF:
    """The corners of a place in rows and columns, a little inside."""
    area = QRectF(column, row, 1, 1).adjusted(inset, inset, -inset, -inset)
    corners = [area.topLeft(), area.topRight(), area.bottomRight(), area.bottomLeft()]
    return QPolygonF(corners)
