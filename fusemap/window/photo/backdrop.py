"""A panel's photo as it lies behind the slots: the four corners of its grid are the panel's own.

In: a photo and how the panel is turned and mirrored. Out: the piece of the picture behind each
place of the screen. The picture is decoded and warped when it is first drawn, and once.
"""

from functools import cached_property
from typing import Final, Literal

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QImage, QPainter, QPixmap, QPolygonF, QTransform

from fusemap.vehicle import PanelPhoto
from fusemap.window.panel.arrangement import Arrangement
from fusemap.window.photo.taking import image_of

Strength = Literal["off", "faint", "strong", "alone"]
"""How strongly a photo is seen; “alone” has no cards before it."""

SHOWN: Final[dict[Strength, float]] = {"off": 0.0, "faint": 0.7, "strong": 1.0, "alone": 1.0}
"""How much of the photo is seen in a gap."""
COVERED: Final[dict[Strength, float]] = {"off": 1.0, "faint": 0.65, "strong": 0.4, "alone": 0.4}
"""How much of it a slot's card hides where no words stand."""
WIDE, HIGH = 7.4, 7.9
"""Shape of a place while the picture is straightened; it is then laid into cells of any shape."""
WORDS_COVERED: Final = 0.94
"""How much of it is hidden where words stand: enough for 4.5:1 over black and white alike."""
LONGEST_SIDE: Final = 1600
"""Of the warped picture [px]: more than there is in the photo."""
MOST_SIZED: Final = 8_000_000
"""A panel larger than this on the screen [px] is drawn from the warped picture each time."""


class Backdrop:
    """The photo behind a panel shown in this arrangement."""

    def __init__(self, photo: PanelPhoto, arrangement: Arrangement) -> None:
        self.photo = photo
        self.arrangement = arrangement
        self._last: QPixmap | None = None

    def is_for(self, photo: PanelPhoto | None, arrangement: Arrangement) -> bool:
        """Whether this is that photo in that arrangement."""
        return self.photo is photo and self.arrangement == arrangement

    @property
    def broken(self) -> bool:
        """Whether the picture is known to be one that cannot be drawn; decodes nothing."""
        return self.__dict__.get("picture", True) is None

    @cached_property
    def picture(self) -> QPixmap | None:
        """The whole grid's picture, upright and straight; `None` where it cannot be drawn."""
        image = image_of(self.photo)
        if image is None:
            return None
        rows, columns = self.arrangement.size
        wide, high = columns * WIDE, rows * HIGH
        scale = LONGEST_SIDE / max(wide, high)
        warped = QImage(
            max(1, round(wide * scale)),
            max(1, round(high * scale)),
            QImage.Format.Format_RGB32,
        )
        warped.fill(Qt.GlobalColor.black)
        painter = QPainter(warped)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setTransform(self._warp(image, warped))
        painter.drawImage(0, 0, image)
        painter.end()
        return QPixmap.fromImage(warped)

    def _warp(self, image: QImage, onto: QImage) -> QTransform:
        """The way from the photo to the straight grid."""
        corners = self.arrangement.corners(self.photo.corners)
        seen = [QPointF(c.across * image.width(), c.down * image.height()) for c in corners]
        area = QRectF(0, 0, onto.width(), onto.height())
        straight = [area.topLeft(), area.topRight(), area.bottomRight(), area.bottomLeft()]
        made = QTransform.quadToQuad(QPolygonF(seen), QPolygonF(straight))
        return made if isinstance(made, QTransform) else QTransform()

    def paint(
        self, painter: QPainter, row: int, column: int, cell: QRectF, strength: Strength
    ) -> None:
        """Draw what lies behind a place of the screen."""
        if self.picture is None:
            return
        ratio = painter.device().devicePixelRatio()
        picture = self._sized(self.picture, cell.size() * ratio)
        rows, columns = self.arrangement.size
        wide, high = picture.width() / columns, picture.height() / rows
        painter.setOpacity(SHOWN[strength])
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawPixmap(cell, picture, QRectF(column * wide, row * high, wide, high))
        painter.setOpacity(1.0)

    def _sized(self, picture: QPixmap, cell: QSizeF) -> QPixmap:
        """The picture for places of this size [px], made once: a piece is then only copied."""
        rows, columns = self.arrangement.size
        size = QSizeF(cell.width() * columns, cell.height() * rows).toSize()
        if size.width() * size.height() > MOST_SIZED or size.isEmpty():
            return picture
        if self._last is None or self._last.size() != size:
            self._last = picture.scaled(
                size,
                Qt.AspectRatioMode.IgnoreAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
        return self._last
