"""What stands on the way of a current, each drawn into a square in few strokes; our own drawings.

Battery, fuse, tap, reel of cable, accessory, vehicle, earth, tow socket. Colour only where the real
thing has a standard one: the body of a fuse.
"""

from collections.abc import Callable
from math import cos, sin, tau
from typing import Final, Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from fusemap.vehicle import Fuse
from fusemap.window.beside.big import draw_line
from fusemap.window.panel.fuse_paint import fuse_colours
from fusemap.window.style.icons import draw_icon
from fusemap.window.style.theme import Theme

Part = Literal["battery", "slot", "tap", "cable", "accessory", "vehicle", "earth", "socket"]
SOCKET_RING: Final = 6
"""How many contacts are drawn round the middle of a socket, whatever its kind."""


def draw_part(
    painter: QPainter, place: QRectF, part: Part, theme: Theme, fuse: Fuse | None = None
) -> None:
    """Draw one of the parts; a slot and a tap with the fuse that is in them."""
    painter.save()
    unit = place.width() / 40
    _DRAWN[part](painter, place, unit, theme, fuse)
    painter.restore()


def _body(painter: QPainter, theme: Theme, unit: float) -> None:
    painter.setPen(QPen(theme.colour("frame"), 1.2 * unit))
    painter.setBrush(theme.colour("part"))


def _battery(
    painter: QPainter, place: QRectF, unit: float, theme: Theme, fuse: Fuse | None
) -> None:
    _body(painter, theme, unit)
    box = place.adjusted(2 * unit, 11 * unit, -2 * unit, -6 * unit)
    for share in (0.24, 0.76):
        post = QRectF(0, 0, 7 * unit, 5 * unit)
        post.moveCenter(QPointF(box.left() + box.width() * share, box.top() - 2 * unit))
        painter.drawRect(post)
    painter.drawRoundedRect(box, 2.5 * unit, 2.5 * unit)
    for share, sign in ((0.26, "+"), (0.74, "−")):
        words = QRectF(0, 0, 14 * unit, 14 * unit)
        words.moveCenter(QPointF(box.left() + box.width() * share, box.center().y() + 2 * unit))
        draw_line(painter, words, sign, theme.colour("text"), bold=True, most=1.0)


def _fuse_body(painter: QPainter, body: QRectF, unit: float, theme: Theme, fuse: Fuse) -> None:
    fill, ink = fuse_colours(fuse.family, fuse.rating, theme)
    painter.setPen(QPen(theme.colour("frame"), 1.2 * unit))
    painter.setBrush(fill)
    painter.drawRoundedRect(body, 3 * unit, 3 * unit)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("part_pin"))
    for share in (0.1, 0.9):
        window = QRectF(0, 0, body.width() * 0.4, 2.2 * unit)
        window.moveCenter(QPointF(body.center().x(), body.top() + body.height() * share))
        painter.drawRect(window)
    draw_line(painter, body.adjusted(unit, 5 * unit, -unit, -5 * unit),
              theme.style.number(fuse.rating), ink, bold=True, most=0.7)  # fmt: skip


def _slot(painter: QPainter, place: QRectF, unit: float, theme: Theme, fuse: Fuse | None) -> None:
    body = place.adjusted(8 * unit, 3 * unit, -8 * unit, -3 * unit)
    if fuse is not None:
        _fuse_body(painter, body, unit, theme, fuse)
        return
    painter.setPen(QPen(theme.colour("frame"), 1.5 * unit, Qt.PenStyle.DashLine))
    painter.setBrush(theme.colour("slot_empty"))
    painter.drawRoundedRect(body, 3 * unit, 3 * unit)


def _tap(painter: QPainter, place: QRectF, unit: float, theme: Theme, fuse: Fuse | None) -> None:
    """A block on two blades, with the accessory's fuse in its head and a lead that leaves it."""
    _body(painter, theme, unit)
    for x in (13.0, 20.0):
        painter.drawRect(QRectF(place.left() + x * unit, place.top() + 27 * unit, 3 * unit,
                                11 * unit))  # fmt: skip
    block = QRectF(place.left() + 6 * unit, place.top() + 19 * unit, 26 * unit, 10 * unit)
    painter.drawRoundedRect(block, 2 * unit, 2 * unit)
    pen = QPen(theme.colour("accent"), 3 * unit)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    start = QPointF(block.right() - 3 * unit, block.center().y())
    painter.drawLine(start, start + QPointF(9 * unit, 10 * unit))
    if fuse is not None:
        head = QRectF(block.left() + 4 * unit, place.top() + 1 * unit, 16 * unit, 20 * unit)
        _fuse_body(painter, head, unit * 0.8, theme, fuse)


def _cable(painter: QPainter, place: QRectF, unit: float, theme: Theme, fuse: Fuse | None) -> None:
    """A reel seen from its side, its end hanging out."""
    middle = place.center()
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for radius, wide in ((16.0, 2.0), (12.5, 2.0), (9.0, 2.0)):
        painter.setPen(QPen(theme.colour("frame"), wide * unit))
        painter.drawEllipse(middle, radius * unit, radius * unit)
    _body(painter, theme, unit)
    painter.drawEllipse(middle, 5 * unit, 5 * unit)
    pen = QPen(theme.colour("frame"), 2.4 * unit)
    painter.setPen(pen)
    painter.drawLine(middle + QPointF(0, 16 * unit), middle + QPointF(17 * unit, 16 * unit))
    painter.setPen(QPen(QColor("#c8763a"), 2.4 * unit))  # copper
    painter.drawLine(middle + QPointF(17 * unit, 16 * unit), middle + QPointF(20 * unit, 16 * unit))


def _accessory(
    painter: QPainter, place: QRectF, unit: float, theme: Theme, fuse: Fuse | None
) -> None:
    """A device with its lamp: whatever it is."""
    _body(painter, theme, unit)
    box = place.adjusted(3 * unit, 8 * unit, -3 * unit, -8 * unit)
    painter.drawRoundedRect(box, 4 * unit, 4 * unit)
    painter.setBrush(theme.colour("window"))
    painter.drawRoundedRect(box.adjusted(4 * unit, 4 * unit, -13 * unit, -4 * unit), 2 * unit,
                            2 * unit)  # fmt: skip
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("accent"))
    painter.drawEllipse(QPointF(box.right() - 6.5 * unit, box.top() + 7 * unit), 2.6 * unit,
                        2.6 * unit)  # fmt: skip


def _vehicle(
    painter: QPainter, place: QRectF, unit: float, theme: Theme, fuse: Fuse | None
) -> None:
    draw_icon(painter, place, "car", theme.colour("text"))


def _earth(painter: QPainter, place: QRectF, unit: float, theme: Theme, fuse: Fuse | None) -> None:
    painter.setPen(QPen(theme.colour("text"), 3 * unit))
    x, y = place.center().x(), place.top() + 20 * unit
    painter.drawLine(QPointF(x, place.top() + 5 * unit), QPointF(x, y))
    for number, half in enumerate((15.0, 10.0, 5.0)):
        line = y + 6 * number * unit
        painter.drawLine(QPointF(x - half * unit, line), QPointF(x + half * unit, line))


def _socket(painter: QPainter, place: QRectF, unit: float, theme: Theme, fuse: Fuse | None) -> None:
    """A round socket with a ring of contacts, one in the middle. No standard's places."""
    middle = place.center()
    _body(painter, theme, unit)
    painter.drawEllipse(middle, 17 * unit, 17 * unit)
    painter.setBrush(theme.colour("part_pin"))
    for number in range(SOCKET_RING):
        angle = tau * number / SOCKET_RING
        at = QPointF(sin(angle) * 10.5 * unit, -cos(angle) * 10.5 * unit)
        painter.drawEllipse(middle + at, 2.4 * unit, 2.4 * unit)
    painter.drawEllipse(middle, 2.4 * unit, 2.4 * unit)


_Draw = Callable[[QPainter, QRectF, float, Theme, "Fuse | None"], None]
_DRAWN: Final[dict[Part, _Draw]] = {
    "battery": _battery,
    "slot": _slot,
    "tap": _tap,
    "cable": _cable,
    "accessory": _accessory,
    "vehicle": _vehicle,
    "earth": _earth,
    "socket": _socket,
}
