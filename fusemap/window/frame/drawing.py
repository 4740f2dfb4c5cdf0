"""Measures, letters and small icons of the frame, as shares of the font's height.

A size is given as the design has it, for a font of 14 px (`px`). The icons are our own: three
lines, an arrow back, a lens, a tip that leads on, a tick.
"""

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontInfo, QIcon, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QWidget

from fusemap.window.style.marks import drawn_icon
from fusemap.window.style.signs import draw_tick

DESIGN: Final = 14
"""The font's height that the design is drawn for [px]."""
SMALL, BODY, FIGURE = 12, 14, 24
"""The three sizes of letters [px of the design]."""


def px(widget: QWidget, size: float) -> int:
    """A size of the design for this widget's font [px], at least 1."""
    return max(1, round(size * QFontInfo(widget.font()).pixelSize() / DESIGN))


def letters(widget: QWidget, size: int = BODY, *, strong: bool = False) -> QFont:
    """The font of one of the three sizes."""
    font = QFont(widget.font())
    font.setPixelSize(px(widget, size))
    font.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
    return font


def draw_dots(painter: QPainter, place: QRectF, colour: QColor) -> None:
    """Three dots where a figure is being reckoned."""
    across = place.height() / 6
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    for number in range(3):
        x = place.left() + across * (0.5 + 2 * number)
        painter.drawEllipse(QPointF(x, place.center().y()), across / 2, across / 2)
    painter.restore()


def frame_icon(name: str, colour: QColor, size: int) -> QIcon:
    """The icon of that name in one colour."""
    draw = _ICONS[name]

    def drawn(painter: QPainter, place: QRectF) -> None:
        pen = QPen(colour, place.width() * 0.1)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        draw(painter, place)

    return drawn_icon(drawn, size)


def _at(place: QRectF, across: float, down: float) -> QPointF:
    return QPointF(place.left() + place.width() * across, place.top() + place.height() * down)


def _menu(painter: QPainter, place: QRectF) -> None:
    for down in (0.25, 0.5, 0.75):
        painter.drawLine(_at(place, 0.12, down), _at(place, 0.88, down))


def _undo(painter: QPainter, place: QRectF) -> None:
    """An arrow that goes back on itself."""
    path = QPainterPath(_at(place, 0.15, 0.38))
    path.lineTo(_at(place, 0.6, 0.38))
    path.cubicTo(_at(place, 0.98, 0.38), _at(place, 0.98, 0.82), _at(place, 0.6, 0.82))
    path.lineTo(_at(place, 0.4, 0.82))
    painter.drawPath(path)
    for down in (0.16, 0.6):
        painter.drawLine(_at(place, 0.15, 0.38), _at(place, 0.36, down))


def _search(painter: QPainter, place: QRectF) -> None:
    across = place.width() * 0.28
    painter.drawEllipse(_at(place, 0.43, 0.43), across, across)
    painter.drawLine(_at(place, 0.64, 0.64), _at(place, 0.88, 0.88))


def _on(painter: QPainter, place: QRectF) -> None:
    painter.drawLine(_at(place, 0.38, 0.2), _at(place, 0.66, 0.5))
    painter.drawLine(_at(place, 0.66, 0.5), _at(place, 0.38, 0.8))


def _back(painter: QPainter, place: QRectF) -> None:
    painter.drawLine(_at(place, 0.62, 0.2), _at(place, 0.34, 0.5))
    painter.drawLine(_at(place, 0.34, 0.5), _at(place, 0.62, 0.8))


_ICONS: Final[dict[str, Callable[[QPainter, QRectF], None]]] = {
    "menu": _menu,
    "undo": _undo,
    "search": _search,
    "on": _on,
    "back": _back,
}

__all__ = [
    "BODY",
    "DESIGN",
    "FIGURE",
    "SMALL",
    "draw_dots",
    "draw_tick",
    "frame_icon",
    "letters",
    "px",
]
