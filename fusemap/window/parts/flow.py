"""A row that goes on in the next line where it is wider than its room."""

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

    def itemAt(self, index: int) -> QLayoutItem | None:  # type: ignore[override]
        """The one at a place; none beyond the last."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:  # type: ignore[override]
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
        left, top, high = rect.left(), rect.top(), 0
        for item in self._items:
            if item.isEmpty():
                continue
            size = item.sizeHint()
            wide = min(size.width(), max(rect.width(), item.minimumSize().width()))
            if left > rect.left() and left + wide > rect.left() + rect.width():
                left, top, high = rect.left(), top + high + self.spacing(), 0
            if move:
                item.setGeometry(QRect(QPoint(left, top), QSize(wide, size.height())))
            left += wide + self.spacing()
            high = max(high, size.height())
        return top + high - rect.top()
