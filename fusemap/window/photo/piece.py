"""The straightened piece of a panel's photo that shows one slot, as large as there is room.

In: a panel with a photo and a slot on it. Out: paint. What stands round the slot is seen too, a
little darker, since a label is often printed beside its place. It stands upright as the photo does,
however the panel is turned, so that what is printed can be read.
"""

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QImage,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPixmap,
    QPolygonF,
    QTransform,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.photo.places import Point, corners_of, upright
from fusemap.vehicle import PanelPhoto, Slot, Vehicle, look_up
from fusemap.window.photo.taking import image_of

BEYOND: Final = 0.22
"""How much of its surroundings is shown at each side [share of a place]."""
FLATTEST: Final = 2.2
"""A place is never shown wider or higher than this: a grid laid askew would be a line."""
_SHADE: Final = QColor(16, 22, 28, 90)
LIGHT, DARK = QColor("#ffffff"), QColor("#10161c")


class PieceView(QWidget):
    """Shows a slot on its panel's photo; hidden while there is none."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._photo: PanelPhoto | None = None
        self._image: QImage | None = None
        self._quad: tuple[Point, ...] = ()
        self._kept: QPixmap | None = None
        self.setObjectName(name)
        self.setAccessibleName(self.tr("Slot on the photo"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.hide()

    @property
    def image(self) -> QImage | None:
        """The whole photo; `None` where there is none that can be drawn."""
        return self._image

    def show_slot(self, vehicle: Vehicle, slot: Slot | None) -> None:
        """Show this slot; nothing where its panel has no photo."""
        panel = None if slot is None else look_up.panel_of(vehicle, slot.id)
        photo = None if panel is None else panel.photo
        if photo is not self._photo:
            self._photo = photo
            self._image = None if photo is None else image_of(photo)
        self._kept = None
        if self._image is None or panel is None or slot is None or photo is None:
            self.hide()
            return
        corners = [(c.across, c.down) for c in photo.corners]
        size, place = (panel.rows, panel.columns), (slot.row, slot.column)
        self._quad = upright(corners_of(corners, size, place, BEYOND))
        self.setAccessibleDescription(slot.label)
        self.show()
        self.update()

    def sizeHint(self) -> QSize:
        """Large enough to read what is printed."""
        em = self.fontMetrics().height()
        return QSize(em * 16, em * 16)

    def minimumSizeHint(self) -> QSize:
        """Still of use."""
        em = self.fontMetrics().height()
        return QSize(em * 6, em * 6)

    def area(self) -> QRectF:
        """Where the piece is drawn, in the shape that it has on the photo."""
        room = QRectF(self.rect()).adjusted(2, 2, -2, -2)
        size = self._shape().scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
        place = QRectF(QPointF(0, 0), size)
        place.moveCenter(room.center())
        return place

    def _shape(self) -> QSizeF:
        a, b, c, d = self._on_image(self._quad)
        wide = _length(b - a) + _length(c - d)
        high = _length(d - a) + _length(c - b)
        ratio = min(FLATTEST, max(1 / FLATTEST, wide / max(high, 1e-6)))
        return QSizeF(ratio, 1.0)

    def _on_image(self, quad: tuple[Point, ...]) -> list[QPointF]:
        assert self._image is not None
        return [QPointF(x * self._image.width(), y * self._image.height()) for x, y in quad]

    def paintEvent(self, event: QPaintEvent) -> None:
        """The piece straightened, the slot itself in a frame."""
        if self._image is None or not self._quad:
            return
        place, ratio = self.area(), self.devicePixelRatioF()
        if self._kept is None or self._kept.size() != (place.size() * ratio).toSize():
            self._kept = self._straightened((place.size() * ratio).toSize())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.drawPixmap(place, self._kept, QRectF(self._kept.rect()))
        inset = BEYOND / (1 + 2 * BEYOND)
        inner = place.adjusted(
            place.width() * inset, place.height() * inset,
            -place.width() * inset, -place.height() * inset,
        )  # fmt: skip
        round_ = QPainterPath()
        round_.addRect(place)
        round_.addRect(inner)
        painter.fillPath(round_, _SHADE)
        for colour, wide in ((DARK, 4.0), (LIGHT, 2.0)):
            painter.setPen(QPen(colour, wide))
            painter.drawRect(inner)

    def _straightened(self, size: QSize) -> QPixmap:
        assert self._image is not None
        made = QImage(size.expandedTo(QSize(1, 1)), QImage.Format.Format_RGB32)
        made.fill(DARK)
        area = QRectF(made.rect())
        square = [area.topLeft(), area.topRight(), area.bottomRight(), area.bottomLeft()]
        seen = QPolygonF(self._on_image(self._quad))
        way = QTransform.quadToQuad(seen, QPolygonF(square))
        painter = QPainter(made)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setTransform(way if isinstance(way, QTransform) else QTransform())
        painter.drawImage(0, 0, self._image)
        painter.end()
        return QPixmap.fromImage(made)


def _length(way: QPointF) -> float:
    return float((way.x() ** 2 + way.y() ** 2) ** 0.5)
