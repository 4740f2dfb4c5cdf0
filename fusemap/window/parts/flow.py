"""A row that goes on in the next line where it is wider than its room."""

from collections.abc import Iterator

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem


class Flow(QLayout):
    """Widgets from left to right, each as wide as it likes, in as many lines as it takes."""

    def __init__(self, gap: int) -> None:
        super().__init__()
        self._items: list[QLayoutItem] = []
        self.setSpacing(gap)
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        """Take one more at the end."""
        self._items.append(item)

    def count(self) -> int:
        """How many there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """The one at a place; none beyond the last."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take one out; none beyond the last."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """It asks for no more room than it needs."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """The narrower, the more lines."""
        return True

    def heightForWidth(self, width: int) -> int:
        """How high its lines are at this width [px]."""
        return self._lay(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:
        """Put each into its place."""
        super().setGeometry(rect)
        self._lay(rect, move=True)

    def sizeHint(self) -> QSize:
        """All in one line."""
        shown = [item.sizeHint() for item in self._items if not item.isEmpty()]
        wide = sum(each.width() for each in shown) + self.spacing() * max(0, len(shown) - 1)
        return QSize(wide, max((each.height() for each in shown), default=0))

    def minimumSize(self) -> QSize:
        """As wide as the widest alone."""
        shown = [item.minimumSize() for item in self._items if not item.isEmpty()]
        return QSize(
            max((each.width() for each in shown), default=0),
            max((each.height() for each in shown), default=0),
        )

    def _lay(self, rect: QRect, *, move: bool) -> int:
        top = rect.top()
        for line in self._lines(rect.width()):
            left, high = rect.left(), max(size.height() for _, size in line)
            for item, size in line:
                if move:
                    down = (high - size.height()) // 2
                    item.setGeometry(QRect(QPoint(left, top + down), size))
                left += size.width() + self.spacing()
            top += high + self.spacing()
        return max(0, top - rect.top() - self.spacing())

    def _lines(self, width: int) -> Iterator[list[tuple[QLayoutItem, QSize]]]:
        """What stands in each line, with its size."""
        line: list[tuple[QLayoutItem, QSize]] = []
        used = 0
        for item in self._items:
            if item.isEmpty():
                continue
            size = item.sizeHint()
            size.setWidth(min(size.width(), max(width, item.minimumSize().width())))
            if line and used + size.width() > width:
                yield line
                line, used = [], 0
            line.append((item, size))
            used += size.width() + self.spacing()
        if line:
            yield line
