"""A label in one line: where there is little room its end is left out, and dots say so."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy


class Cut(QLabel):
    """Words in one line, as far as there is room for them; `text()` is all of them."""

    def __init__(self, name: str = "") -> None:
        super().__init__()
        self.setObjectName(name)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def paintEvent(self, event: QPaintEvent) -> None:
        """As much as there is room for."""
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        end = Qt.TextElideMode.ElideRight
        shown = painter.fontMetrics().elidedText(self.text(), end, self.width())
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignVCenter, shown)
        painter.end()
