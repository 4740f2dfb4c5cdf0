"""Two things side by side where there is room, else one below the other.

`SideBySide` is a list or chart with what belongs to it, to be dragged; `turn` does the same for a
row of words and buttons. How much room there is, is counted in letters: `is_wide`.
"""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QSplitter, QWidget


def is_wide(widget: QWidget, letters: int) -> bool:
    """Whether a widget is wider than so many letters of its font."""
    return widget.width() > widget.fontMetrics().averageCharWidth() * letters


def turn(row: QBoxLayout, wide: bool) -> None:
    """A row as a row where it is wide, else as a column."""
    ways = QBoxLayout.Direction
    row.setDirection(ways.LeftToRight if wide else ways.TopToBottom)


class SideBySide(QSplitter):
    """The main thing, and what belongs to it; neither can be dragged away."""

    def __init__(self, name: str, main: QWidget, side: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self.setObjectName(name)
        self.setChildrenCollapsible(False)
        self.addWidget(main)
        self.addWidget(side)
        self.setSizes([3000, 2000])
        # in a scroll area it takes the height there is, not the height it would like
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.setMinimumHeight(self.fontMetrics().height() * 8)
        self.setStretchFactor(0, 3)
        self.setStretchFactor(1, 2)

    def turn(self, wide: bool) -> None:
        """Side by side where it is wide, else one below the other."""
        self.setOrientation(Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical)
