"""What is pushed in the pane: words that lead on, and the one main button. Both wrap."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QLabel

from fusemap.window.chosen.measures import sized
from fusemap.window.parts.layouts import WrappingButton
from fusemap.window.style.measures import px


class MainButton(WrappingButton):
    """The one that is recommended: filled with the accent."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        layout = self.layout()
        assert layout is not None
        layout.setContentsMargins(px(self, 14), px(self, 7), px(self, 14), px(self, 7))
        label = self.findChild(QLabel, "wayWords")
        assert label is not None
        label.setFont(sized(self.font(), 14, strong=True))
        label.setForegroundRole(QPalette.ColorRole.HighlightedText)
        self._words = label

    def wide(self) -> int:
        """How wide it is with its words in one line [px]."""
        metrics = self._words.fontMetrics()
        return metrics.horizontalAdvance(self.words()) + px(self, 30)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The accent, darker where it is pushed; a ring outside it where the keyboard stands."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        fill = self.palette().color(QPalette.ColorRole.Highlight)
        if self.isDown() or self.underMouse():
            fill = fill.darker(115 if self.isDown() else 106)
        ring = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        edge = px(self, 8)
        if self.hasFocus():
            painter.setPen(QPen(self.palette().color(QPalette.ColorRole.Highlight), 2))
            painter.drawRoundedRect(ring, edge, edge)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(fill)
        inner = 3 if self.hasFocus() else 1
        painter.drawRoundedRect(ring.adjusted(inner, inner, -inner, -inner), edge, edge)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter does what Space does."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)


class LinkButton(WrappingButton):
    """Words in the accent; the keyboard's ring when it stands there."""

    def __init__(self, name: str, text: str = "") -> None:
        super().__init__(text)
        self.setObjectName(name)
        self.setFlat(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        layout = self.layout()
        assert layout is not None
        edge = px(self, 5)
        layout.setContentsMargins(edge, px(self, 2), edge, px(self, 2))
        label = self.findChild(QLabel, "wayWords")
        assert label is not None
        label.setForegroundRole(QPalette.ColorRole.Link)
        self._words = label

    def set_quiet(self) -> None:
        """Words like any other: what it leads to is no more than the same in full."""
        self._words.setForegroundRole(QPalette.ColorRole.WindowText)
        self.set_flush()

    def set_flush(self) -> None:
        """Its words begin where other words do."""
        layout = self.layout()
        assert layout is not None
        layout.setContentsMargins(0, px(self, 2), 0, px(self, 2))

    def minimumSizeHint(self) -> QSize:
        """Its words wrap wherever there is room for one of them."""
        return QSize(px(self, 48), px(self, 28))

    def heightForWidth(self, width: int) -> int:
        """As high as its words need, and large enough to be hit."""
        layout = self.layout()
        assert layout is not None
        return max(layout.totalHeightForWidth(width), px(self, 28))

    def paintEvent(self, event: QPaintEvent) -> None:
        """No frame but the keyboard's."""
        painter = QPainter(self)
        if self.isDown() or self.underMouse():
            painter.fillRect(self.rect(), self.palette().alternateBase())
        if self.hasFocus():
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(self.palette().color(QPalette.ColorRole.Link), 2))
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -1, -1), 5, 5)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter does what Space does."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)
