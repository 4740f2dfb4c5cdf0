"""One way out in a row: what it is, what it does to all else, before and after, and its button."""

from collections.abc import Callable

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.assess.verdict import Verdict
from fusemap.window.chosen.measures import label, sized, small
from fusemap.window.parts.layouts import is_wide, turn
from fusemap.window.style.measures import px
from fusemap.window.style.signs import verdict_icon
from fusemap.window.style.theme import Theme


class FixRow(QFrame):
    """Sign, title and effects; at the right the figures and the button."""

    def __init__(self, theme: Theme, number: int, title: str, lines: str) -> None:
        super().__init__()
        self._theme = theme
        self.setObjectName(f"fixRow_{number}")
        self._recommended = False
        self.mark = QLabel()
        self.mark.hide()
        self.title = label(f"fixTitle_{number}", sized(self.font(), 14, strong=True))
        self.title.setText(title)
        self.effect = label(f"fixEffect_{number}", small(self.font()), muted=True)
        self.effect.setText(lines)
        self.effect.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.figure = label(f"fixFigure_{number}", sized(self.font(), 14, strong=True))
        self.stops = label(f"fixStops_{number}", self.font(), muted=True)
        for each in (self.figure, self.stops):
            each.setWordWrap(False)
            each.hide()
        self.button: QPushButton | None = None
        self._lay_out()

    def _lay_out(self) -> None:
        gap = px(self, 8)
        self._head = head = QHBoxLayout()
        head.setSpacing(gap)
        head.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignTop)
        words = QVBoxLayout()
        words.setSpacing(px(self, 2))
        words.addWidget(self.title)
        words.addWidget(self.effect)
        words.addStretch(1)  # where the button is higher than the words
        head.addLayout(words, 1)
        self._ends = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._ends.setSpacing(gap * 2)
        top = Qt.AlignmentFlag.AlignTop
        self._ends.addWidget(self.figure, 0, top)
        self._ends.addWidget(self.stops, 0, top)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(gap + px(self, 4), gap, gap, gap)
        self._row.setSpacing(gap)
        self._row.addLayout(head, 1)
        self._row.addLayout(self._ends)
        self.effect.setVisible(bool(self.effect.text()))

    def offer(self, name: str, words: str, number: int, do: Callable[[], None]) -> QPushButton:
        """Its button, which says `words` and is called `name`."""
        button = QPushButton(words)
        button.setObjectName(f"fix_{number}")
        button.setAccessibleName(name)
        button.setAccessibleDescription(self.effect.text())
        button.setMinimumHeight(px(self, 32))
        button.clicked.connect(lambda: do())
        self._ends.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        self.button = button
        self._turn()
        return button

    def recommend(self) -> None:
        """It is the one that is recommended: ringed, with the main button."""
        self._recommended = True
        if self.button is not None:
            self.button.setProperty("kind", "main")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """A card on the page; the recommended one has a ring."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        edge = self._theme.colour("accent" if self._recommended else "line")
        painter.setPen(QPen(edge, 1.5 if self._recommended else 1))
        painter.setBrush(self._theme.colour("base"))
        place = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        painter.drawRoundedRect(place, px(self, 10), px(self, 10))
        painter.end()

    def show_figures(self, verdict: "Verdict | None", figure: str, stops: str) -> None:
        """What it makes of the place, with its sign, and of the findings that one stops for."""
        self.figure.setText(figure)
        self.stops.setText(stops)
        self.figure.setVisible(bool(figure))
        self.stops.setVisible(bool(stops))
        if verdict is not None:
            size = px(self, 20)
            self.mark.setPixmap(verdict_icon(verdict, self._theme, size).pixmap(QSize(size, size)))
            self.mark.show()
        self._turn()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The figures have another room."""
        super().resizeEvent(event)
        self._turn()

    def _turn(self) -> None:
        """Figures and button beside the words where it is wide, else below them."""
        least = self._head.minimumSize().width() + self._row.spacing() + self._ends_wide()
        wide = is_wide(self, 70) and least <= self._room()
        turn(self._row, wide)
        turn(self._ends, wide or self._ends_wide() <= self._room())

    def minimumSizeHint(self) -> QSize:
        """As narrow as the broadest of what stands at its end."""
        least = super().minimumSizeHint()
        broadest = max((each.minimumSizeHint().width() for each in self._at_end()), default=0)
        edges = self.width() - self._room()
        return QSize(min(least.width(), max(broadest, px(self, 180)) + edges), least.height())

    def _at_end(self) -> list[QWidget]:
        """Figures and button, those that there are."""
        ends = (self.figure, self.stops, self.button)
        return [each for each in ends if each is not None and not each.isHidden()]

    def _ends_wide(self) -> int:
        """What they take beside one another [px]."""
        there = self._at_end()
        return (
            sum(each.sizeHint().width() for each in there) + (len(there) - 1) * self._ends.spacing()
        )

    def _room(self) -> int:
        return self._row.contentsRect().width()
