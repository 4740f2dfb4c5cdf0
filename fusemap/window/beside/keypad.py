"""A keypad as a picture, to type by mouse or touch alone; the keyboard stays with the page.

In: a `Pad`, what Enter does now. Out: paint, and `pressed(key)` for every key that one on the
picture presses; `closed` for the one that puts the keypad away.
"""

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.window.beside.big import draw_line
from fusemap.window.beside.scale import BODY, SMALL, type_font
from fusemap.window.beside.shown import KeyShown, Pad, PadKey
from fusemap.window.style.icons import draw_icon
from fusemap.window.style.theme import Theme

TOUCH: Final = 44
"""No key beside the vehicle is lower or narrower [px]: it is hit with a finger, in a glove."""
GAP: Final = 6
"""Between two keys [px]."""
ROWS: Final = 3
LAST: Final = 2.4
"""How wide the last column, with Enter, is to the others."""
MOST: Final = 0.56
"""How high a cap may be, as a share of its key."""


class Keypad(QWidget):
    """Draws columns of keys and, at the right, take back, put away and Enter."""

    pressed = Signal(str)
    closed = Signal()

    def __init__(self, theme: Theme, key: str = "keypad") -> None:
        super().__init__()
        self._theme = theme
        self._unit = 1.0
        self._pad = Pad(columns=())
        self._enter: KeyShown | None = None
        self._down: PadKey | None = None
        self.setObjectName(key)
        self.setAccessibleName(self.tr("Keypad"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def show_pad(self, pad: Pad, enter: KeyShown | None, unit: float) -> None:
        """Show these keys; `enter` stands at the right, `unit` is the scale of the stage."""
        self._pad, self._enter, self._unit = pad, enter, unit
        self.setAccessibleDescription("  ".join(key.cap for key, _ in self.places() if key.cap))
        self.updateGeometry()
        self.update()

    @staticmethod
    def least(rows: int = ROWS) -> int:
        """The least height of a pad of so many rows [px]."""
        return rows * TOUCH + (rows - 1) * GAP

    def sizeHint(self) -> QSize:
        """Keys of the least size."""
        rows = max((len(column) for column in self._pad.columns), default=ROWS)
        return QSize(TOUCH * (len(self._pad.columns) + 3), self.least(rows))

    def minimumSizeHint(self) -> QSize:
        """No less."""
        return self.sizeHint()

    # --- pressing -------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Press the key under the finger."""
        for key, place in self.places():
            if place.contains(event.position()):
                self._down = key
                self.update()
                if not key.presses:
                    self.closed.emit()
                for each in key.presses:
                    self.pressed.emit(each)
                return

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The finger is gone."""
        self._down = None
        self.update()

    # --- where they stand -----------------------------------------------------------------------

    def places(self) -> Iterator[tuple[PadKey, QRectF]]:
        """Every key with its place."""
        columns = self._pad.columns
        if not columns:
            return
        room = QRectF(self.rect())
        wide = (room.width() - GAP * len(columns)) / (len(columns) + LAST)
        left = 0.0
        for column in columns:
            yield from _stacked(column, QRectF(left, 0, wide, room.height()))
            left += wide + GAP
        yield from self._last(QRectF(left, 0, room.width() - left, room.height()))

    def _last(self, room: QRectF) -> Iterator[tuple[PadKey, QRectF]]:
        """Take back and put away beside each other, Enter below them."""
        high = room.height() if self._enter is None else (room.height() - 2 * GAP) / ROWS
        wide = (room.width() - GAP) / 2
        yield PadKey(("back",), "", "erase"), QRectF(room.left(), 0, wide, high)
        yield PadKey((), "", "down"), QRectF(room.left() + wide + GAP, 0, wide, high)
        if self._enter is not None:
            below = room.adjusted(0, high + GAP, 0, 0)
            yield PadKey((self._enter.press,), self._enter.words, "enter"), below

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw them."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for key, place in self.places():
            self._draw(painter, place, key)

    def _draw(self, painter: QPainter, place: QRectF, key: PadKey) -> None:
        main = key.icon == "enter"
        colour = self._theme.colour
        ground = "accent" if main else "raised" if key.usable else "window"
        ink = "accent_text" if main else "text" if key.usable else "muted_text"
        painter.setPen(QPen(colour("accent" if main or key == self._down else "line"),
                            3.0 if key == self._down else 1.5))  # fmt: skip
        painter.setBrush(colour(ground))
        painter.drawRoundedRect(place.adjusted(1, 1, -1, -1), 8, 8)
        inside = place.adjusted(6, 3, -6, -3)
        if main:
            self._draw_enter(painter, inside)
        elif key.icon:
            side = min(inside.width(), inside.height(), max(28.0, self._type(BODY) * 1.4))
            mark = QRectF(0, 0, side, side)
            mark.moveCenter(inside.center())
            draw_icon(painter, mark, key.icon, colour(ink))
        else:
            high = self._type(BODY) * 1.2
            draw_line(painter, inside, key.cap, colour(ink), bold=True,
                      most=max(MOST, min(0.8, high / inside.height())))  # fmt: skip

    def _draw_enter(self, painter: QPainter, inside: QRectF) -> None:
        """What Enter does now, in one line or two."""
        assert self._enter is not None
        ink = self._theme.colour("accent_text")
        lines = [(self._enter.words, True, BODY)]
        if self._enter.more:
            lines.append((self._enter.more, False, SMALL))
        high = min(inside.height() / len(lines), 46 * self._unit + 8)
        top = inside.center().y() - high * len(lines) / 2
        for number, (text, strong, size) in enumerate(lines):
            line = QRectF(inside.left(), top + number * high, inside.width(), high)
            most = min(0.8, self._type(size) / high)
            draw_line(painter, line, text, ink, bold=strong, most=most)

    def _type(self, size: float) -> int:
        """A size of type of the design [px]."""
        return type_font(self, size, self._unit).pixelSize()


def _stacked(keys: tuple[PadKey, ...], room: QRectF) -> Iterator[tuple[PadKey, QRectF]]:
    """Keys below one another, all as high as each other."""
    high = (room.height() - GAP * (len(keys) - 1)) / len(keys)
    for number, key in enumerate(keys):
        yield key, QRectF(room.left(), number * (high + GAP), room.width(), high)
