"""Icons of our own in one colour and few strokes; words or a spoken name always stand with them.

Three lines, an arrow back, a lens, tips that lead on, back and down, a plus, a cross, a tick,
three dots, a car, a loudspeaker with its sound and without, a letter taken back, nine keys.
"""

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen

from fusemap.window.style.marks import drawn_icon

Strokes = Callable[[QPainter, QRectF], None]
_STROKE: Final = 0.09
"""How wide a stroke is, as a share of the icon."""


def icon(name: str, colour: QColor, size: int, ratio: float = 2.0) -> QIcon:
    """The icon of that name in one colour; `size` in px."""
    return drawn_icon(lambda painter, place: draw_icon(painter, place, name, colour), size, ratio)


def draw_icon(painter: QPainter, place: QRectF, name: str, colour: QColor) -> None:
    """Draw one of `ICONS` into a square."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(colour, place.width() * _STROKE)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    ICONS[name](painter, place)
    painter.restore()


def _line(painter: QPainter, place: QRectF, *corners: tuple[float, float]) -> None:
    """A line through corners given as shares of the square, from its left and its top."""
    painter.drawPolyline([_at(place, across, down) for across, down in corners])


def _at(place: QRectF, across: float, down: float) -> QPointF:
    return QPointF(place.left() + place.width() * across, place.top() + place.height() * down)


def _menu(painter: QPainter, place: QRectF) -> None:
    for down, end in ((0.26, 0.88), (0.5, 0.88), (0.74, 0.64)):
        _line(painter, place, (0.12, down), (end, down))


def _undo(painter: QPainter, place: QRectF) -> None:
    """An arrow that goes back on itself."""
    path = QPainterPath(_at(place, 0.14, 0.37))
    path.lineTo(_at(place, 0.6, 0.37))
    path.cubicTo(_at(place, 0.96, 0.37), _at(place, 0.96, 0.82), _at(place, 0.6, 0.82))
    path.lineTo(_at(place, 0.4, 0.82))
    painter.drawPath(path)
    _line(painter, place, (0.35, 0.15), (0.14, 0.37), (0.35, 0.59))


def _search(painter: QPainter, place: QRectF) -> None:
    across = place.width() * 0.29
    painter.drawEllipse(_at(place, 0.43, 0.43), across, across)
    _line(painter, place, (0.65, 0.65), (0.88, 0.88))


def _on(painter: QPainter, place: QRectF) -> None:
    _line(painter, place, (0.38, 0.22), (0.66, 0.5), (0.38, 0.78))


def _back(painter: QPainter, place: QRectF) -> None:
    _line(painter, place, (0.62, 0.22), (0.34, 0.5), (0.62, 0.78))


def _down(painter: QPainter, place: QRectF) -> None:
    _line(painter, place, (0.22, 0.38), (0.5, 0.66), (0.78, 0.38))


def _plus(painter: QPainter, place: QRectF) -> None:
    _line(painter, place, (0.5, 0.16), (0.5, 0.84))
    _line(painter, place, (0.16, 0.5), (0.84, 0.5))


def _close(painter: QPainter, place: QRectF) -> None:
    _line(painter, place, (0.22, 0.22), (0.78, 0.78))
    _line(painter, place, (0.78, 0.22), (0.22, 0.78))


def _tick(painter: QPainter, place: QRectF) -> None:
    _line(painter, place, (0.16, 0.52), (0.4, 0.76), (0.86, 0.26))


def _more(painter: QPainter, place: QRectF) -> None:
    """Three dots: there is more."""
    painter.setBrush(painter.pen().color())
    for across in (0.2, 0.5, 0.8):
        painter.drawEllipse(_at(place, across, 0.5), place.width() * 0.05, place.width() * 0.05)


def _car(painter: QPainter, place: QRectF) -> None:
    """A car from its side: roof, body, two wheels."""
    _line(painter, place, (0.24, 0.44), (0.34, 0.24), (0.64, 0.24), (0.76, 0.44))
    _line(painter, place, (0.16, 0.7), (0.08, 0.7), (0.08, 0.44), (0.92, 0.44), (0.92, 0.7),
          (0.84, 0.7))  # fmt: skip
    _line(painter, place, (0.4, 0.7), (0.6, 0.7))
    for across in (0.28, 0.72):
        painter.drawEllipse(_at(place, across, 0.7), place.width() * 0.09, place.width() * 0.09)


def _loudspeaker(painter: QPainter, place: QRectF) -> None:
    _line(painter, place, (0.1, 0.38), (0.26, 0.38), (0.46, 0.2), (0.46, 0.8), (0.26, 0.62),
          (0.1, 0.62), (0.1, 0.38))  # fmt: skip


def _sound(painter: QPainter, place: QRectF) -> None:
    """A loudspeaker with two waves."""
    _loudspeaker(painter, place)
    for size in (0.18, 0.36):
        wave = QRectF(0, 0, place.width() * size * 1.4, place.height() * size * 1.9)
        wave.moveCenter(_at(place, 0.5, 0.5))
        painter.drawArc(wave, -52 * 16, 104 * 16)


def _sound_off(painter: QPainter, place: QRectF) -> None:
    """A loudspeaker, crossed."""
    _loudspeaker(painter, place)
    _line(painter, place, (0.6, 0.38), (0.86, 0.64))
    _line(painter, place, (0.86, 0.38), (0.6, 0.64))


def _erase(painter: QPainter, place: QRectF) -> None:
    """A sign that points back, with a cross in it."""
    _line(painter, place, (0.13, 0.5), (0.35, 0.24), (0.87, 0.24), (0.87, 0.76), (0.35, 0.76),
          (0.13, 0.5))  # fmt: skip
    _line(painter, place, (0.5, 0.38), (0.74, 0.62))
    _line(painter, place, (0.74, 0.38), (0.5, 0.62))


def _keypad(painter: QPainter, place: QRectF) -> None:
    """Three rows of keys."""
    painter.setBrush(painter.pen().color())
    for down in (0.2, 0.5, 0.8):
        for across in (0.2, 0.5, 0.8):
            painter.drawEllipse(_at(place, across, down), place.width() * 0.06,
                                place.width() * 0.06)  # fmt: skip


ICONS: Final[dict[str, Strokes]] = {
    "menu": _menu,
    "undo": _undo,
    "search": _search,
    "on": _on,
    "back": _back,
    "down": _down,
    "plus": _plus,
    "close": _close,
    "tick": _tick,
    "more": _more,
    "car": _car,
    "sound": _sound,
    "sound_off": _sound_off,
    "erase": _erase,
    "keypad": _keypad,
}
"""Every icon by its name, drawn into a square in the pen of its colour."""
