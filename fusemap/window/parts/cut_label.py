"""A label in one line: where there is little room its end is left out, and dots say so.

Pointed at, it says its words whole, unless what is round it has more to say.
"""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QHelpEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QToolTip, QWidget

from fusemap.window.texts.plain import plain_tip


class Cut(QLabel):
    """Words in one line, as far as there is room for them; `text()` is all of them."""

    def __init__(self, name: str = "") -> None:
        super().__init__()
        self.setObjectName(name)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    @property
    def is_cut(self) -> bool:
        """Whether there is not room for all of it."""
        return self.fontMetrics().horizontalAdvance(self.text()) > self.width()

    def event(self, event: QEvent) -> bool:
        """Pointed at, it says whole what ends in dots."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            around: QWidget | None = self
            while around is not None and not around.toolTip():
                around = around.parentWidget()
            if around is None and self.is_cut:
                QToolTip.showText(event.globalPos(), plain_tip(self.text()), self)
                return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """As much as there is room for."""
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        end = Qt.TextElideMode.ElideRight
        shown = painter.fontMetrics().elidedText(self.text(), end, self.width())
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignVCenter, shown)
        painter.end()
