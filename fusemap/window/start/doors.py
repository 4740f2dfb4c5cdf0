"""The doors of the first page: a picture, what one wants to do, what it leads to, and its key.

In: title and words of a door, and which picture it has. Out: buttons that are pressed by mouse,
Enter, Space or their number, and a row of them that wraps where there is little room.
"""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import (
    QFont,
    QFontMetrics,
    QKeyEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPalette,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractButton, QGridLayout, QSizePolicy, QWidget

from fusemap.window.start.door_pictures import SIZE, Draw
from fusemap.window.style.letters import FIGURE, SMALL, letters
from fusemap.window.style.measures import px
from fusemap.window.style.theme import space

_ROLE = QPalette.ColorRole
LEAST_EMS: Final = 13
MOST_EMS: Final = 24
"""A door is never narrower or wider than so many heights of its font."""
PICTURE_EMS: Final = 11
"""Nor is its picture higher: on a wide door it stands in the middle."""
BESIDE: Final = 0.3
"""The share of a door's width that its picture has, where the words stand beside it."""
STEPS: Final[dict[int, int]] = {
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Down: 1,
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Up: -1,
}
"""How many doors an arrow goes on."""
_WRAPPED: Final = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignTop)


class Door(QAbstractButton):
    """One way in. Its height follows its width, as its words need."""

    def __init__(self, key: str, number: int, title: str, words: str, draw: Draw) -> None:
        super().__init__()
        self.setObjectName(f"door_{key}")
        self.setText(title)
        self.setAccessibleName(title)
        self.setAccessibleDescription(f"{words} ({number})")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.beside = False
        self._number = str(number)
        self._words = words
        self._draw = draw

    # --- how large ------------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:
        """As narrow as may be."""
        wide = self.fontMetrics().height() * LEAST_EMS
        return QSize(wide, self.heightForWidth(wide))

    def sizeHint(self) -> QSize:
        """As narrow as may be: the row shares out what there is."""
        return self.minimumSizeHint()

    def hasHeightForWidth(self) -> bool:
        """Its words wrap."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Picture, title, words and the line of the key [px]."""
        words = self._parts(width)[2]
        high = round(words.bottom()) + self.fontMetrics().height() + space(self) * 2
        least = round(width * BESIDE * SIZE.height() / SIZE.width())
        return max(high, least) if self.beside else high

    def _parts(self, width: int) -> tuple[QRectF, QRectF, QRectF]:
        """Where picture, title and words are."""
        edge = space(self, "large")
        high = width * SIZE.height() / SIZE.width()
        picture = QRectF(0, 0, width, min(high, self.fontMetrics().height() * PICTURE_EMS))
        room = QRectF(edge, picture.bottom() + edge * 0.8, width - 2 * edge, 10_000)
        if self.beside:
            picture = QRectF(0, 0, width * BESIDE, max(self.height(), high * BESIDE))
            room = QRectF(picture.right() + edge, edge, width * (1 - BESIDE) - 2 * edge, 10_000)
        titled = QFontMetrics(self._title_font()).boundingRect(room.toRect(), _WRAPPED, self.text())
        title = QRectF(room.left(), room.top(), room.width(), titled.height())
        below = room.translated(0, title.height() + space(self, "small"))
        worded = self.fontMetrics().boundingRect(below.toRect(), _WRAPPED, self._words)
        return picture, title, QRectF(below.left(), below.top(), room.width(), worded.height())

    def _title_font(self) -> QFont:
        return letters(self, FIGURE, strong=True)

    # --- how it looks ---------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """A card with the picture at its head; a ring where the keyboard is."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = self.palette()
        radius = space(self) * 1.2
        card = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        outline = QPainterPath()
        outline.addRoundedRect(card, radius, radius)
        pressed = self.isDown()
        painter.fillPath(outline, colours.color(_ROLE.AlternateBase if pressed else _ROLE.Base))
        picture, title, words = self._parts(self.width())
        painter.save()
        painter.setClipPath(outline)
        painter.fillRect(picture, colours.color(_ROLE.AlternateBase))
        scale = min(picture.height() / SIZE.height(), picture.width() / SIZE.width())
        room = picture.size() - SIZE * scale
        painter.translate(room.width() / 2, room.height() / 2)
        painter.scale(scale, scale)
        self._draw(painter, colours)
        painter.restore()
        self._paint_frame(painter, outline)
        painter.setPen(colours.color(_ROLE.Text))
        painter.setFont(self._title_font())
        painter.drawText(title, _WRAPPED, self.text())
        painter.setFont(self.font())
        painter.setPen(colours.color(_ROLE.PlaceholderText))
        painter.drawText(words, _WRAPPED, self._words)
        self._paint_key(painter)

    def _paint_key(self, painter: QPainter) -> None:
        """Its number as the key it is."""
        painter.setFont(letters(self, SMALL))
        size, edge = px(self, 20), space(self)
        key = QRectF(self.width() - edge - size, self.height() - edge - size, size, size)
        painter.setPen(QPen(self.palette().color(_ROLE.Mid), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(key.adjusted(0.5, 0.5, -0.5, -0.5), px(self, 4), px(self, 4))
        painter.setPen(self.palette().color(_ROLE.PlaceholderText))
        painter.drawText(key, int(Qt.AlignmentFlag.AlignCenter), self._number)

    def _paint_frame(self, painter: QPainter, outline: QPainterPath) -> None:
        colours = self.palette()
        colour, width = colours.color(_ROLE.Mid), 1.0
        if self.hasFocus():
            colour, width = colours.color(_ROLE.Highlight), 2.5
        elif self.underMouse():
            colour = colours.color(_ROLE.Dark)
        painter.setPen(QPen(colour, width))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(outline)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens it too; what else is pressed goes to the page."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() == Qt.Key.Key_Space:
            super().keyPressEvent(event)
        else:
            event.ignore()


class DoorRow(QWidget):
    """Doors side by side, as many in a row as there is room for."""

    def __init__(self, doors: Sequence[Door]) -> None:
        super().__init__()
        self.doors = tuple(doors)
        self._columns = 0
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(space(self, "large"))
        self._arrange(len(self.doors))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """All in one row where it is wide enough, else two and two, else below each other."""
        super().resizeEvent(event)
        self._arrange(self._fitting())

    def minimumSizeHint(self) -> QSize:
        """One door wide; what is wider wraps."""
        hint = super().minimumSizeHint()
        return QSize(self.doors[0].minimumSizeHint().width(), hint.height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrows go from door to door."""
        step = STEPS.get(event.key())
        if step is None:
            super().keyPressEvent(event)
        else:
            self.step(step)

    def step(self, by: int) -> None:
        """The keyboard from a door to the next, round and round."""
        at = next((n for n, door in enumerate(self.doors) if door.hasFocus()), -1)
        to = self.doors[(at + by) % len(self.doors)]
        to.setFocus(Qt.FocusReason.TabFocusReason)

    def widest(self) -> int:
        """How wide all doors are beside each other, none wider than it may be [px]."""
        most = self.fontMetrics().height() * MOST_EMS
        return len(self.doors) * (most + self._grid.spacing()) - self._grid.spacing()

    def _fitting(self) -> int:
        least = self.doors[0].minimumSizeHint().width() + self._grid.spacing()
        for columns in (len(self.doors), 2):
            if self.width() + self._grid.spacing() >= columns * least:
                return columns
        return 1

    def _arrange(self, columns: int) -> None:
        if columns == self._columns:
            return
        for number, door in enumerate(self.doors):
            self._grid.addWidget(door, number // columns, number % columns)
        most = self.fontMetrics().height() * MOST_EMS
        for column in range(len(self.doors)):
            self._grid.setColumnStretch(column, 1 if column < columns else 0)
        for door in self.doors:
            # In one row its words stand below the picture, else there is room beside it.
            door.beside = columns < len(self.doors)
            door.setMaximumWidth(most * 2 if door.beside else most)
            door.updateGeometry()
            door.update()
        self._columns = columns
