"""A row that goes on in the next line where it is wider than its room.

It is a widget and no layout: what is in it is its child and nothing besides, so that there is no
second owner of it when the window is taken apart.
"""

from collections.abc import Iterator

from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QWidget


class Flow(QWidget):
    """Widgets from left to right, each as wide as it likes, in as many lines as it takes."""

    def __init__(self, gap: int) -> None:
        super().__init__()
        self._gap = gap
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def add(self, widget: QWidget) -> None:
        """Take one more at the end."""
        told = Qt.WidgetAttribute.WA_WState_ExplicitShowHide
        shown = self.isVisible() and not (widget.isHidden() and widget.testAttribute(told))
        widget.setParent(self)
        if shown:
            widget.show()
        self.updateGeometry()

    def widgets(self) -> list[QWidget]:
        """All that is in it, in order."""
        return [each for each in self.children() if isinstance(each, QWidget)]

    # --- its room -------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """What is in it has another size, comes or goes."""
        if event.type() == QEvent.Type.LayoutRequest:
            self._lay(self.rect(), move=True)
            self.updateGeometry()
        return super().event(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put each into its place."""
        super().resizeEvent(event)
        self._lay(self.rect(), move=True)

    def showEvent(self, event: QShowEvent) -> None:
        """Nobody told it what came or went while it could not be seen."""
        super().showEvent(event)
        self._lay(self.rect(), move=True)
        self.updateGeometry()

    def hasHeightForWidth(self) -> bool:
        """The narrower, the more lines."""
        return True

    def heightForWidth(self, width: int) -> int:
        """How high its lines are at this width [px]."""
        return self._lay(QRect(0, 0, width, 0), move=False)

    def sizeHint(self) -> QSize:
        """All in one line."""
        shown = [_liked(each) for each in self._shown()]
        wide = sum(each.width() for each in shown) + self._gap * max(0, len(shown) - 1)
        return QSize(wide, max((each.height() for each in shown), default=0))

    def minimumSizeHint(self) -> QSize:
        """As wide as the widest alone."""
        shown = [_least(each) for each in self._shown()]
        return QSize(
            max((each.width() for each in shown), default=0),
            max((each.height() for each in shown), default=0),
        )

    def _shown(self) -> list[QWidget]:
        return [each for each in self.widgets() if not each.isHidden()]

    def _lay(self, rect: QRect, *, move: bool) -> int:
        top = rect.top()
        for line in self._lines(rect.width()):
            left, high = rect.left(), max(size.height() for _, size in line)
            for widget, size in line:
                if move:
                    down = (high - size.height()) // 2
                    widget.setGeometry(QRect(QPoint(left, top + down), size))
                left += size.width() + self._gap
            top += high + self._gap
        return max(0, top - rect.top() - self._gap)

    def _lines(self, width: int) -> Iterator[list[tuple[QWidget, QSize]]]:
        """What stands in each line, with its size."""
        line: list[tuple[QWidget, QSize]] = []
        used = 0
        for widget in self._shown():
            size = _liked(widget)
            size.setWidth(min(size.width(), max(width, _least(widget).width())))
            if line and used + size.width() > width:
                yield line
                line, used = [], 0
            line.append((widget, size))
            used += size.width() + self._gap
        if line:
            yield line


def _least(widget: QWidget) -> QSize:
    """The smallest a widget may be."""
    least = widget.minimumSizeHint().boundedTo(widget.maximumSize())
    return least.expandedTo(widget.minimumSize())


def _liked(widget: QWidget) -> QSize:
    """The size a widget asks for."""
    return widget.sizeHint().boundedTo(widget.maximumSize()).expandedTo(_least(widget))
