"""How things are laid out in the room there is, and when.

Two things stand side by side where there is room, else one below the other: `SideBySide` is a list
or chart with what belongs to it, to be dragged; `turn` does the same for a row of words and
buttons. How much room there is, is counted in letters: `is_wide`. The words of a `WrappingButton`
and of `WholeWords` wrap where they are longer than the room for them.

`lay_out_now` lays out at once what has just been filled, instead of in some turns of the event loop
to come. Qt asks for a new layout by an event to the widget around; that one asks the next, a turn
later. What is painted in between has rows of no height, and a gap where the old ones were. The main
window calls it before it is painted, so that no view has to.
"""

from typing import Final

from PySide6.QtCore import QCoreApplication, QEvent, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from fusemap.window.style.measures import px
from fusemap.window.style.theme import space

LOW: Final = 112
"""What stands side by side is at least so high [px of the design]."""


def is_wide(widget: QWidget, letters: int) -> bool:
    """Whether a widget is wider than so many letters of its font."""
    return widget.width() > widget.fontMetrics().averageCharWidth() * letters


def turn(row: QBoxLayout, wide: bool) -> None:
    """A row as a row where it is wide, else as a column."""
    ways = QBoxLayout.Direction
    row.setDirection(ways.LeftToRight if wide else ways.TopToBottom)


class SideBySide(QSplitter):
    """The main thing, and what belongs to it; neither can be dragged away.

    Below each other each keeps `least` [px of the design]: what is around is scrolled before them.
    """

    def __init__(
        self, name: str, main: QWidget, side: QWidget, least: tuple[int, int] = (0, 0)
    ) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self._least = least
        self.setObjectName(name)
        self.setChildrenCollapsible(False)
        self.addWidget(main)
        self.addWidget(side)
        self.setSizes([3000, 2000])
        # in a scroll area it takes the height there is, not the height it would like
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.setMinimumHeight(px(self, LOW))
        self.setStretchFactor(0, 3)
        self.setStretchFactor(1, 2)

    def turn(self, wide: bool) -> None:
        """Side by side where it is wide, else one below the other."""
        self.setOrientation(Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical)
        self.keep_heights()

    def keep_heights(self) -> None:
        """Ask for what those of both need that are shown now."""
        below, high = self.orientation() == Qt.Orientation.Vertical, 0
        for at, least in enumerate(self._least):
            part = self.widget(at)
            assert part is not None
            part.setMinimumHeight(px(self, least) if below and least else 0)
            if part.isVisibleTo(self):
                high += part.minimumHeight() + (self.handleWidth() if at else 0)
        self.setMinimumHeight(max(px(self, LOW), high))


class WholeWords(QLabel):
    """Words that wrap and are never squeezed: at least as high as they need at their width."""

    def __init__(self, key: str) -> None:
        super().__init__()
        self.setObjectName(key)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)

    def setText(self, text: str) -> None:
        """Say this, in as many lines as it takes."""
        super().setText(text)
        self._keep_room()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width, other lines."""
        super().resizeEvent(event)
        self._keep_room()

    def _keep_room(self) -> None:
        self.setMinimumHeight(0)
        if self.text() and self.isVisible():
            self.setMinimumHeight(max(0, self.heightForWidth(self.width())))


class WrappingButton(QPushButton):
    """A button whose words wrap: a label lies on it and lets the mouse through."""

    def __init__(self, text: str = "") -> None:
        super().__init__()
        self._label = QLabel()
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setWordWrap(True)
        self._label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._label.setObjectName("wayWords")
        column = QVBoxLayout(self)
        edge = space(self, "small")
        column.setContentsMargins(edge * 2, edge, edge * 2, edge)
        column.addWidget(self._label)
        policy = self.sizePolicy()
        policy.setHeightForWidth(True)
        policy.setHorizontalPolicy(policy.Policy.Preferred)
        policy.setVerticalPolicy(policy.Policy.Minimum)
        self.setSizePolicy(policy)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.show_words(text)

    def show_words(self, text: str) -> None:
        """Put these words on it."""
        self._label.setText(text)
        self.setAccessibleName(text)

    def words(self) -> str:
        """What stands on it."""
        return self._label.text()

    def hasHeightForWidth(self) -> bool:
        """As high as its words need."""
        return True

    def heightForWidth(self, width: int) -> int:
        """As high as its words need at this width."""
        layout = self.layout()
        assert layout is not None
        return max(layout.heightForWidth(width), self.fontMetrics().height() * 2)

    def sizeHint(self) -> QSize:
        """The room its words would like."""
        layout = self.layout()
        assert layout is not None
        return layout.sizeHint()

    def minimumSizeHint(self) -> QSize:
        """The least it gets by with."""
        layout = self.layout()
        assert layout is not None
        return layout.minimumSize()


DEEP: Final = 16
"""More widgets than lie in one another; each round answers the requests of one of them."""


def lay_out_now() -> None:
    """Answer every request for a layout that waits, and those that come of it, from inside out."""
    for _ in range(DEEP):
        QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)
