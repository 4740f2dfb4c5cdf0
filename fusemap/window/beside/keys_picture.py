"""The keys as a picture: what each does stands on it; the filled one is Enter and goes on.

A click on a key presses it. In: keys. Out: paint, and `pressed(name)`.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.window.beside.big import draw_line
from fusemap.window.beside.keypad import TOUCH
from fusemap.window.beside.scale import BODY, SMALL, type_font
from fusemap.window.beside.shown import KeyShown
from fusemap.window.style.icons import draw_icon
from fusemap.window.style.theme import Theme

_CENTRE = Qt.AlignmentFlag.AlignCenter
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
EDGE: Final = 20
BETWEEN: Final = 16
"""Inside a key at left and right, and between its cap and its words [px of the design]."""
OPENS_PAD: Final = "pad"
"""What the key presses that opens the keypad: nothing on the page."""
LEAST: Final = 0.8
"""Type that would have to be smaller than this share of its size stands below the cap instead."""


class KeysPicture(QWidget):
    """Draws keys: a row of small ones, and below it the wide ones and the main one."""

    pressed = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._unit = 1.0
        self.keys: Sequence[KeyShown] = ()
        self.setObjectName("stageKeys")
        self.setAccessibleName(self.tr("Keys"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_keys(self, keys: Sequence[KeyShown], unit: float) -> None:
        """Show these keys; `unit` is the scale of the stage."""
        if (keys, unit) == (self.keys, self._unit):
            return
        self.keys, self._unit = keys, unit
        told = "; ".join(f"{key.cap} {key.words}" for key in keys)
        self.setAccessibleDescription(told)
        self.update()

    def sizeHint(self) -> QSize:
        """Room for two rows."""
        return QSize(640, 200)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Press the key that was clicked."""
        for key, place in self.places():
            if place.contains(event.position()):
                self.pressed.emit(key.press)
                return

    def places(self) -> Iterator[tuple[KeyShown, QRectF]]:
        """Every key with its place."""
        gap = 10 * self._unit
        row = [key for key in self.keys if key.place == "row"]
        below = [key for key in self.keys if key.place != "row"]
        high = self.height()
        top = 0.0
        if row:
            # both rows for a finger, where there is little height
            first = max(high * 0.31, min(TOUCH, (high - gap) / 2)) if below else high
            yield from self._in_a_row(row, self._row_weights(row), 0.0, first)
            top = first + gap
        yield from self._in_a_row(below, self._weights(below), top, high - top)

    def _in_a_row(
        self, keys: Sequence[KeyShown], weights: Sequence[float], top: float, high: float
    ) -> Iterator[tuple[KeyShown, QRectF]]:
        """These beside each other over the whole width, as wide to each other as they weigh."""
        gap = 10 * self._unit
        room = self.width() - gap * (len(keys) - 1)
        left = 0.0
        for key, weight in zip(keys, weights, strict=True):
            wide = room * weight / sum(weights)
            yield key, QRectF(left, top, wide, high)
            left += wide + gap

    def _row_weights(self, keys: Sequence[KeyShown]) -> list[float]:
        """How wide the small keys are to each other: alike, unless words need more than that."""
        words = QFontMetricsF(type_font(self, SMALL, self._unit)).horizontalAdvance
        alike = self.width() / max(1, len(keys)) - 10 * self._unit
        needed = [max(TOUCH, words(key.words) / 0.88) for key in keys]
        return needed if max(needed, default=0.0) > alike else [1.0] * len(keys)

    def _weights(self, keys: Sequence[KeyShown]) -> list[float]:
        """How wide the keys below are to each other: two by their kind, more by their words."""
        if len(keys) <= 2:
            return [1.0 if key.place == "main" else 2.2 for key in keys]
        if self._sideways(keys):
            return [self._wide_sideways(key) for key in keys]
        metrics = QFontMetricsF(type_font(self, BODY, self._unit))
        least = 110 * self._unit
        return [
            max(least, *(metrics.horizontalAdvance(text) for text in (key.words, key.more)))
            + 40 * self._unit
            for key in keys
        ]

    def _sideways(self, keys: Sequence[KeyShown]) -> float:
        """At which share of its size the type of all of them has room with the cap at the left of
        its words; 0 where that would be too small.
        """
        if len(keys) <= 2:
            return 0.0
        room = self.width() - 10 * self._unit * (len(keys) - 1)
        share = min(1.0, room / sum(map(self._wide_sideways, keys)))
        return share if share >= LEAST else 0.0

    def _wide_sideways(self, key: KeyShown) -> float:
        """How wide a key is with the cap at the left of its words [px]."""
        strong = QFontMetricsF(type_font(self, BODY, self._unit, strong=True)).horizontalAdvance
        plain = QFontMetricsF(type_font(self, SMALL, self._unit)).horizontalAdvance
        words = max(strong(key.words), plain(key.more))
        return strong(key.cap) + words + (2 * EDGE + BETWEEN + 6) * self._unit

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw them."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        sideways = self._sideways([key for key in self.keys if key.place != "row"])
        for key, place in self.places():
            self._draw(painter, place, key, sideways)

    def _draw(self, painter: QPainter, place: QRectF, key: KeyShown, sideways: float) -> None:
        main = key.place == "main"
        colour = self._theme.colour
        ground, edge = ("accent", "accent") if main else ("raised", "line")
        ink, second = ("accent_text", "accent_text") if main else ("text", "muted_text")
        painter.setPen(QPen(colour(edge), 1.5))
        painter.setBrush(colour(ground))
        painter.drawRoundedRect(place.adjusted(1, 1, -1, -1), 10 * self._unit, 10 * self._unit)
        if key.press == OPENS_PAD:
            self._draw_nine(painter, place)
        edge_px = min(14 * self._unit, place.width() * 0.06)
        inside = place.adjusted(edge_px, 4 * self._unit, -edge_px, -4 * self._unit)
        if key.place == "row":
            self._draw_row(painter, inside, key, ink, second)
            return
        if sideways:
            self._draw_sideways(painter, place, key, (ink, second), sideways)
            return
        strong = type_font(self, BODY, self._unit, strong=True)
        lines = [text for text in (key.cap, key.words, key.more) if text]
        share = inside.height() / len(lines)
        high = min(share, QFontMetricsF(strong).height() * 1.25)
        top = inside.center().y() - high * len(lines) / 2
        for number, text in enumerate(lines):
            line = QRectF(inside.left(), top + number * high, inside.width(), high)
            first = number == 0
            draw_line(painter, line, text, colour(ink if first else second), bold=first,
                      most=0.76 if first else 0.7, align=_CENTRE)  # fmt: skip

    def _draw_nine(self, painter: QPainter, place: QRectF) -> None:
        """Nine keys in the corner: this one opens the keypad."""
        side = 24 * self._unit
        mark = QRectF(place.right() - 1.4 * side, place.top() + 0.4 * side, side, side)
        draw_icon(painter, mark, "keypad", self._theme.colour("accent"))

    def _draw_sideways(
        self, painter: QPainter, place: QRectF, key: KeyShown, inks: tuple[str, str], share: float
    ) -> None:
        """The cap at the left, what it does beside it, more in a second line below that."""
        ink, second = inks
        strong = type_font(self, BODY, self._unit, strong=True)
        plain = type_font(self, SMALL, self._unit)
        for font in (strong, plain):
            font.setPixelSize(int(font.pixelSize() * share))
        cap = QFontMetricsF(strong).horizontalAdvance(key.cap)
        edge = EDGE * self._unit * share
        inside = place.adjusted(edge, 0, -edge, 0)
        left = inside.left() + cap + BETWEEN * self._unit * share
        high = QFontMetricsF(strong).height()
        lines = [(key.words, ink, strong), (key.more, second, plain)][: 2 if key.more else 1]
        top = inside.center().y() - high * len(lines) / 2
        colour = self._theme.colour
        painter.setFont(strong)
        painter.setPen(colour(ink))
        middle = QRectF(inside.left(), inside.top(), cap + 2, inside.height())
        painter.drawText(middle, _LEFT, key.cap)
        for number, (text, role, font) in enumerate(lines):
            painter.setFont(font)
            painter.setPen(colour(role))
            line = QRectF(left, top + number * high, inside.right() - left + 2, high)
            painter.drawText(line, _LEFT, text)

    def _draw_row(
        self, painter: QPainter, inside: QRectF, key: KeyShown, ink: str, second: str
    ) -> None:
        """The cap and its words beside each other, in the middle."""
        strong = type_font(self, BODY, self._unit, strong=True)
        plain = type_font(self, SMALL, self._unit)
        gap = 10 * self._unit
        cap = QFontMetricsF(strong).horizontalAdvance(key.cap)
        words = QFontMetricsF(plain).horizontalAdvance(key.words)
        high = QFontMetricsF(strong).height()
        if cap + gap + words > inside.width():
            # too long for one line: the cap above its words
            half = inside.height() / 2
            above = QRectF(inside.left(), inside.top(), inside.width(), half)
            draw_line(painter, above, key.cap, self._theme.colour(ink), bold=True, align=_CENTRE)
            draw_line(painter, above.translated(0, half), key.words, self._theme.colour(second),
                      most=0.76, align=_CENTRE)  # fmt: skip
            return
        left = inside.left() + max(0.0, (inside.width() - cap - gap - words) / 2)
        top = inside.center().y() - high / 2
        draw_line(painter, QRectF(left, top, cap + 2, high), key.cap, self._theme.colour(ink),
                  bold=True, align=_LEFT)  # fmt: skip
        rest = QRectF(left + cap + gap, top, inside.right() - left - cap - gap, high)
        draw_line(painter, rest, key.words, self._theme.colour(second), most=0.74, align=_LEFT)
