"""The lid as it will be: slots, gaps and relay places, to be changed with keys or the mouse.

In: a `Lid`. Out: `asked` with a place and what it is to be, `moved` with the cursor's place. Space
or a click makes a slot a gap, a gap a relay place, a relay place a slot; a drag does the same to
all places it goes over. The widget keeps nothing of its own but the cursor.
"""

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QColor,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.text import Style
from fusemap.vehicle.edits.panels import Lid, Place, Unlike
from fusemap.window.panel.slot_words import family_name
from fusemap.window.style.letters import scaled_font

Kind = Unlike | None
"""What a place is; `None` for a fuse slot."""

NEXT: Final[dict[Kind, Kind]] = {None: "gap", "gap": "relay", "relay": None}

STEPS: Final = {
    Qt.Key.Key_Left: (0, -1),
    Qt.Key.Key_Right: (0, 1),
    Qt.Key.Key_Up: (-1, 0),
    Qt.Key.Key_Down: (1, 0),
}
SET_KEYS: Final[dict[Qt.Key, Kind]] = {
    Qt.Key.Key_Delete: "gap",
    Qt.Key.Key_Backspace: "gap",
    Qt.Key.Key_Insert: None,
}
_ROLE = QPalette.ColorRole


class LidGrid(QWidget):
    """Shows a lid; a place of it has the cursor."""

    asked = Signal(object, object)
    moved = Signal(object)

    def __init__(self, style: Style) -> None:
        super().__init__()
        self._style = style
        self.lid = Lid(rows=1, columns=1)
        self.labels: dict[Place, str] = {}
        self.cursor_place: Place = (0, 0)
        self._painting: Kind | str = ""
        self.setObjectName("lidPreview")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_lid(self, lid: Lid, labels: dict[Place, str]) -> None:
        """Show this lid with these labels."""
        self.lid, self.labels = lid, labels
        row, column = self.cursor_place
        self._go((min(row, lid.rows - 1), min(column, lid.columns - 1)))
        self.updateGeometry()
        self._tell()
        self.update()

    def sizeHint(self) -> QSize:
        """Room for this lid with its labels."""
        em = self.fontMetrics().height()
        wide, high = max(14.0, self.lid.columns * 3.6), max(7.0, self.lid.rows * 2.4)
        return QSize(round(em * min(wide, 44.0)), round(em * min(high, 20.0)))

    def minimumSizeHint(self) -> QSize:
        """Still to be made out."""
        em = self.fontMetrics().height()
        return QSize(em * 12, round(em * min(max(5.0, self.lid.rows * 1.5), 16.0)))

    # --- where the places are -------------------------------------------------------------------

    def cell(self, place: Place) -> QRectF:
        """Where a place is drawn."""
        em = self.fontMetrics().height()
        wide = min(self.width() / self.lid.columns, max(em * 4.4, self.width() / 7))
        high = min(self.height() / self.lid.rows, max(wide * 0.75, em * 1.5))
        wide = min(wide, high * 2.5)
        return QRectF(place[1] * wide, place[0] * high, wide, high)

    def place_at(self, point: QPointF) -> Place | None:
        """The place under a point."""
        first = self.cell((0, 0))
        row, column = int(point.y() // first.height()), int(point.x() // first.width())
        inside = 0 <= row < self.lid.rows and 0 <= column < self.lid.columns
        return (row, column) if inside else None

    # --- keys and mouse -------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows walk, Space goes on to the next kind, Delete leaves a gap, Insert fills it."""
        row, column = self.cursor_place
        key = Qt.Key(event.key())
        if key in STEPS:
            down, right = STEPS[key]
            self._go((row + down, column + right))
        elif key == Qt.Key.Key_Home:
            self._go((row, 0))
        elif key == Qt.Key.Key_End:
            self._go((row, self.lid.columns - 1))
        elif key == Qt.Key.Key_Space:
            self.asked.emit(self.cursor_place, NEXT[self._kind(self.cursor_place)])
        elif key in SET_KEYS:
            self.asked.emit(self.cursor_place, SET_KEYS[key])
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click makes the place something else."""
        place = self.place_at(event.position())
        if place is None or event.button() != Qt.MouseButton.LeftButton:
            super().mousePressEvent(event)
            return
        self._go(place)
        self._painting = NEXT[self._kind(place)]
        self.asked.emit(place, self._painting)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Dragging makes the same of every place it goes over."""
        place = self.place_at(event.position())
        if place is not None and self._painting != "" and place != self.cursor_place:
            self._go(place)
            self.asked.emit(place, self._painting)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The drag is over."""
        self._painting = ""

    def _kind(self, place: Place) -> Kind:
        return self.lid.kinds.get(place)

    def _go(self, place: Place) -> None:
        inside = 0 <= place[0] < self.lid.rows and 0 <= place[1] < self.lid.columns
        if inside and place != self.cursor_place:
            self.cursor_place = place
            self.moved.emit(place)
            self._tell()
            self.update()

    def _tell(self) -> None:
        """Say to a screen reader what is under the cursor."""
        row, column = self.cursor_place
        where = self.tr("row {row}, column {column}").format(row=row + 1, column=column + 1)
        words = f"{self.tr('Lid')}: {where}, {self.place_words(self.cursor_place)}"
        if words != self.accessibleName():
            self.setAccessibleName(words)
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.NameChanged))

    def place_words(self, place: Place) -> str:
        """What a place is, in words."""
        kind = self._kind(place)
        if kind is not None:
            return self.tr("gap") if kind == "gap" else self.tr("relay place")
        label = self.labels.get(place) or self.tr("slot without a label")
        return f"{label}, {self._family_name(place)}"

    def _family_name(self, place: Place) -> str:
        return self._style.show(family_name(self.lid.family_at(place)))

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """The places, and the cursor while the keyboard is here."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for place in self.lid.places():
            cell = self.cell(place)
            gap = max(0.5, cell.width() * 0.05)
            self._paint_place(painter, place, cell.adjusted(gap, gap, -gap, -gap))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(self.palette().color(_ROLE.Highlight), 3))
            painter.drawRoundedRect(self.cell(self.cursor_place).adjusted(2, 2, -2, -2), 4, 4)

    def _paint_place(self, painter: QPainter, place: Place, box: QRectF) -> None:
        colours, kind = self.palette(), self._kind(place)
        if kind == "gap":
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(colours.color(_ROLE.Dark), 1, Qt.PenStyle.DotLine))
            painter.drawRoundedRect(box, 3, 3)
            return
        painter.setPen(QPen(colours.color(_ROLE.Dark), 1))
        painter.setBrush(colours.color(_ROLE.Mid if kind == "relay" else _ROLE.Base))
        painter.drawRoundedRect(box, 3, 3)
        text = colours.color(_ROLE.Text)
        if kind == "relay":
            self._write(painter, box, self.tr("relay"), text)
        elif self.lid.family_at(place) == self.lid.family:
            self._write(painter, box, self.labels.get(place, ""), text, bold=True)
        else:
            self._paint_other(painter, place, box, text)

    def _paint_other(self, painter: QPainter, place: Place, box: QRectF, text: QColor) -> None:
        """A slot of another family: a bar at its head, and the family's name below the label."""
        bar = QRectF(box.left(), box.top(), box.width(), max(2.0, box.height() * 0.12))
        painter.fillRect(bar.adjusted(1, 1, -1, 0), self.palette().color(_ROLE.Highlight))
        low = box.adjusted(0, bar.height(), 0, 0)
        half = low.height() / 2
        if half < self.fontMetrics().height() * 0.8:
            self._write(painter, low, self.labels.get(place, ""), text, bold=True)
            return
        upper = low.adjusted(0, 0, 0, -half)
        self._write(painter, upper, self.labels.get(place, ""), text, bold=True)
        name = self._family_name(place)
        self._write(painter, low.adjusted(0, half, 0, 0), name, text)

    def _write(
        self, painter: QPainter, box: QRectF, words: str, colour: QColor, *, bold: bool = False
    ) -> None:
        """Words in a box, smaller where they would not fit; nothing where there is no room."""
        room = box.width() - 4
        wide = QFontMetricsF(scaled_font(self.font(), 1.0, bold)).horizontalAdvance(words)
        high = self.fontMetrics().height()
        most = max(1.0, box.height() / (high * 4))  # in a large place they are larger, too
        size = min(most, room / wide if wide else most, box.height() / high)
        if size < 0.55:
            return
        painter.setFont(scaled_font(self.font(), max(0.6, size * 0.98), bold))
        painter.setPen(colour)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextSingleLine, words)
