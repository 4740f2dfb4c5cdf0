"""The piece of the photo that stands beside the line while one types on a panel."""

from typing import Final

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from fusemap.window.photo.piece import DARK, LIGHT, PieceView

SHARE: Final = 0.5
"""Of the panel's height and width at most."""
EMS: Final = 17
"""And no larger than this [heights of the font]."""


class PieceBeside(PieceView):
    """Lies over the panel, right of the slot or left of it, never over the line."""

    def __init__(self, panel: QWidget) -> None:
        super().__init__("pieceBeside")
        self.setParent(panel)

    def stand_by(self, line: QRect) -> None:
        """Stand beside this place of the panel, where there is more room."""
        panel = self.parentWidget()
        if panel is None or self.image is None:
            return
        room, most = panel.rect(), self.fontMetrics().height() * EMS
        high = min(round(room.height() * SHARE), most)
        gap = self.fontMetrics().height() // 2
        right, left = room.right() - line.right() - gap, line.left() - gap
        wide = min(round(room.width() * SHARE), most, max(right, left))
        self.resize(wide, high)
        wide, high = (
            self.area().toAlignedRect().width() + 4,
            self.area().toAlignedRect().height() + 4,
        )
        x = line.right() + gap if right >= left else line.left() - gap - wide
        y = min(max(0, line.center().y() - high // 2), room.height() - high)
        self.setGeometry(x, y, wide, high)
        self.raise_()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The piece in a frame: it lies on cards, and often on the photo itself."""
        super().paintEvent(event)
        painter, edge = QPainter(self), QRectF(self.rect())
        for colour, inset in ((DARK, 0.5), (LIGHT, 1.5), (DARK, 2.5)):
            painter.setPen(QPen(colour, 1.0))
            painter.drawRect(edge.adjusted(inset, inset, -inset, -inset))
