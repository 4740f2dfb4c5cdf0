"""The page of Panel and Plan: the lid, beside it what is chosen, below both the shelf.

In: the three views. The lid has three quarters of the width; where the window is narrow, or its
letters large, the pane goes under the lid. Out: sizes the user has dragged, to be kept.
"""

from typing import Final

from PySide6.QtCore import QByteArray, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QSplitter, QVBoxLayout, QWidget

from fusemap.window.frame.drawing import px
from fusemap.window.style.theme import space

LID_PER_CENT: Final = 73
"""So much of the width is the lid's [%]."""
NARROW: Final = 1200
"""Below this width the pane goes under the lid [px of the design]."""
UNDER_PER_CENT: Final = 62
"""So much of the height is the lid's where the pane is under it [%]."""
SHELF_HIGH: Final = 150
"""The shelf is no higher than this [px of the design]."""


class LidPage(QWidget):
    """Lid, pane and shelf. `head` are lines that are there while there is something to say."""

    def __init__(self, lid: QWidget, pane: QWidget, shelf: QWidget, *head: QWidget) -> None:
        super().__init__()
        self.setObjectName("lidPage")
        self.shelf = shelf
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setObjectName("lidSplitter")
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(lid)
        self.split.addWidget(pane)
        self.split.splitterMoved.connect(self._dragged)
        self._as_dragged: dict[Qt.Orientation, QByteArray] = {}
        shelf.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        column = QVBoxLayout(self)
        edge = space(self, "small")
        column.setContentsMargins(edge, 0, edge, 0)
        column.setSpacing(edge)
        for line in head:
            column.addWidget(line)
        column.addWidget(self.split, 1)
        column.addWidget(shelf)

    def show_shelf(self, shown: bool) -> None:
        """The shelf belongs to the plan; while the panel is filled in its room is the lid's."""
        self.shelf.setVisible(shown)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Pane beside the lid where that is wide enough, else under it."""
        super().resizeEvent(event)
        self.shelf.setFixedHeight(min(px(self, SHELF_HIGH), self.height() // 3))
        self._share()

    @property
    def beside(self) -> bool:
        """Whether the pane stands beside the lid."""
        return self.width() >= px(self, NARROW)

    def _share(self) -> None:
        way = Qt.Orientation.Horizontal if self.beside else Qt.Orientation.Vertical
        if self.split.orientation() != way:
            self.split.setOrientation(way)
        if way in self._as_dragged:
            self.split.restoreState(self._as_dragged[way])
            return
        part = LID_PER_CENT if self.beside else UNDER_PER_CENT
        whole = self.split.width() if self.beside else self.split.height()
        self.split.setSizes([whole * part // 100, whole * (100 - part) // 100])

    def _dragged(self, *_: object) -> None:
        self._as_dragged[self.split.orientation()] = self.split.saveState()

    # --- sizes that are kept --------------------------------------------------------------------

    def state(self) -> bytes:
        """What the user dragged, beside each other; nothing where that was never done."""
        return bytes(self._as_dragged.get(Qt.Orientation.Horizontal, QByteArray()).data())

    def restore(self, state: bytes) -> None:
        """Take sizes up again."""
        if state:
            self._as_dragged[Qt.Orientation.Horizontal] = QByteArray(state)
