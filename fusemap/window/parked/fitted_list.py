"""A list as high as its rows: what is around it scrolls as a whole, the list itself never does."""

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QSize, Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QListWidget, QListWidgetItem, QSizePolicy

from fusemap.window.parts.later import Later

Index = QModelIndex | QPersistentModelIndex
MORE = "more"
"""What the row stands for that opens the others, or folds them again."""
KEY = Qt.ItemDataRole.UserRole
LOOK = Qt.ItemDataRole.UserRole + 1
"""The value a delegate draws a row from."""


class FittedList(QListWidget):
    """Rows of different heights, all of them seen."""

    def __init__(self, name: str, title: str) -> None:
        super().__init__()
        self._fit = Later(self.fit, self)
        self.setObjectName(name)
        self.setAccessibleName(title)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.setMouseTracking(True)
        self.viewport().setAutoFillBackground(False)

    def add(self, key: str, look: object, words: str) -> QListWidgetItem:
        """A row that stands for this key, spoken in these words."""
        item = QListWidgetItem(words)
        item.setData(KEY, key)
        item.setData(LOOK, look)
        self.addItem(item)
        return item

    def row_of(self, key: str) -> QListWidgetItem | None:
        """The row that stands for a key."""
        rows = (self.item(n) for n in range(self.count()))
        return next((row for row in rows if row.data(KEY) == key), None)

    def fit(self) -> None:
        """Take the height that all rows need at this width."""
        self.doItemsLayout()
        high = sum(self.sizeHintForRow(n) for n in range(self.count()))
        if high != self.height() or high != self.maximumHeight():
            self.setFixedHeight(high)

    def minimumSizeHint(self) -> QSize:
        """As narrow as may be: its height follows."""
        return QSize(self.fontMetrics().height() * 12, self.minimumHeight())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Texts that wrap elsewhere need another height."""
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self._fit.start()

    def changeEvent(self, event: QEvent) -> None:
        """Another font needs another height."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_fit"):
            self._fit.start()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter does what a click does, on any desktop."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentItem() is not None:
            self.itemActivated.emit(self.currentItem())
            return
        super().keyPressEvent(event)
