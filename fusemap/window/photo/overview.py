"""The whole photo of a panel with its slots in outline; a click takes one, or shows a grey.

In: a panel with a photo, the slot in hand. Out: `picked` with a slot's id; while a grey is asked
for, `shown` with its colour, encoded 0 to 1.
"""

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import QColor, QImage, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.photo.places import corners_of
from fusemap.vehicle import Panel, Slot

AROUND: Final = 3
"""So far round a click the grey is looked at [px of the photo]."""
_LIGHT, _DARK = QColor("#ffffff"), QColor("#10161c")
_DONE: Final = QColor(16, 22, 28, 120)


class Overview(QWidget):
    """The photo, the slots on it, the one in hand."""

    picked = Signal(str)
    shown = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._image: QImage | None = None
        self._panel: Panel | None = None
        self._slot: Slot | None = None
        self.asks_grey = False
        self.setObjectName("walkPhoto")
        self.setAccessibleName(self.tr("Photo of the lid"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_panel(self, image: QImage | None, panel: Panel | None, slot: Slot | None) -> None:
        """Show this panel's photo with this slot in hand."""
        self._image, self._panel, self._slot = image, panel, slot
        self.update()

    def ask_grey(self, on: bool) -> None:
        """Whether the next click shows something grey or white."""
        self.asks_grey = on
        self.setCursor(Qt.CursorShape.CrossCursor if on else Qt.CursorShape.PointingHandCursor)

    def sizeHint(self) -> QSize:
        """Small beside the piece."""
        em = self.fontMetrics().height()
        return QSize(em * 18, em * 12)

    def minimumSizeHint(self) -> QSize:
        """Still to be clicked on."""
        em = self.fontMetrics().height()
        return QSize(em * 10, em * 4)

    def picture(self) -> QRectF:
        """Where the photo is drawn."""
        if self._image is None:
            return QRectF()
        room = QRectF(self.rect())
        size = QSizeF(self._image.size()).scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
        return QRectF(QPointF(0, 0), size)

    def outline(self, slot: Slot) -> QPolygonF:
        """A slot's place on the screen."""
        assert self._panel is not None
        assert self._panel.photo is not None
        area, size = self.picture(), (self._panel.rows, self._panel.columns)
        corners = [(c.across, c.down) for c in self._panel.photo.corners]
        quad = corners_of(corners, size, (slot.row, slot.column), -0.04)
        return QPolygonF([QPointF(x * area.width(), y * area.height()) for x, y in quad])

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take a slot in hand, or show a grey."""
        if self._image is None or self._panel is None:
            return
        if self.asks_grey:
            if self.picture().contains(event.position()):
                self.shown.emit(self._colour_at(event.position()))
            return
        for slot in self._panel.slots:
            if self.outline(slot).containsPoint(event.position(), Qt.FillRule.OddEvenFill):
                self.picked.emit(slot.id)
                return

    def _colour_at(self, at: QPointF) -> tuple[float, float, float]:
        """The middle one of the colours round a point, each part for itself."""
        assert self._image is not None
        scale = self._image.width() / self.picture().width()
        x, y = round(at.x() * scale), round(at.y() * scale)
        spots = [
            self._image.pixelColor(x + right, y + down)
            for right in range(-AROUND, AROUND + 1)
            for down in range(-AROUND, AROUND + 1)
            if self._image.valid(x + right, y + down)
        ]
        parts = ([s.redF() for s in spots], [s.greenF() for s in spots], [s.blueF() for s in spots])
        red, green, blue = (sorted(part)[len(part) // 2] for part in parts)
        return red, green, blue

    def paintEvent(self, event: QPaintEvent) -> None:
        """The photo; what is answered a little darker, the slot in hand in a frame."""
        if self._image is None or self._panel is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(self.picture(), self._image)
        for slot in self._panel.slots:
            known = slot.fuse is not None or bool(slot.circuit)
            painter.setBrush(_DONE if known else Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(_LIGHT, 1.0))
            painter.drawPolygon(self.outline(slot))
        if self._slot is not None:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            for colour, wide in ((_DARK, 6.0), (_LIGHT, 3.0)):
                painter.setPen(QPen(colour, wide))
                painter.drawPolygon(self.outline(self._slot))
