"""A circuit diagram on paper and as SVG: symbols as in IEC 60617, black on white, our own drawing.

In: a `Circuit`, the room. Out: strips, one per page of the diagram; SVG of the whole without a
break. The symbols' shapes are from memory of the standard's names. Lengths are dots of 1/1200 inch
on paper, a hundredth of a millimetre in the SVG.
"""

from collections.abc import Iterator
from math import cos, inf, pi, sin

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF
from PySide6.QtSvg import QSvgGenerator

from fusemap.sheet.circuit import Circuit
from fusemap.sheet.circuit_drawing import LINE_MM, POINTS, Drawing, Symbol, Words
from fusemap.sheet.circuit_layout import lay_out
from fusemap.sheet.paint_flow import Draw, Strip
from fusemap.sheet.paint_ink import DOTS, INK, WHITE, drawable, metrics, mm, pen, set_text

WIDE_MM = 180.0


class PaperType:
    """The sheet's font, measured in millimetres."""

    def clean(self, text: str) -> str:
        """A text as it can be drawn."""
        return drawable(text)

    def wide(self, text: str, bold: bool) -> float:
        """How wide a text is on one line [mm]."""
        return metrics(POINTS, bold).horizontalAdvance(text) / mm(1)


def circuit_strips(
    circuit: Circuit, wide: float, high: float, first: float | None = None
) -> Iterator[Strip]:
    """A strip for each page of the diagram; `high` is what a page has room for, and the `first`."""
    at_first = None if first is None else first / mm(1)
    pages = lay_out(circuit, wide / mm(1), high / mm(1), PaperType(), at_first)
    for number, drawing in enumerate(pages):
        yield Strip(mm(drawing.high), _drawer(drawing), new_page=number > 0)


def _drawer(drawing: Drawing) -> Draw:
    def draw(painter: QPainter, x: float, y: float) -> None:
        painter.save()
        painter.translate(x, y)
        draw_circuit(painter, drawing)
        painter.restore()

    return draw


def draw_circuit(painter: QPainter, drawing: Drawing) -> None:
    """A page of a diagram, its corner at the painter's origin."""
    for line in drawing.lines:
        painter.setPen(pen(1.0, INK, dashed=line.dashed))
        painter.drawLine(_at(line.x1, line.y1), _at(line.x2, line.y2))
    for symbol in drawing.symbols:
        draw_symbol(painter, symbol)
    for words in drawing.words:
        _draw_words(painter, words)


def _at(x: float, y: float) -> QPointF:
    return QPointF(mm(x), mm(y))


def _draw_words(painter: QPainter, words: Words) -> None:
    for index, line in enumerate(words.lines):
        made = set_text(line, mm(words.wide + 4), POINTS, bold=words.bold, spacing=1.25)
        made.draw(painter, mm(words.x), mm(words.y + index * LINE_MM), last=1)


def draw_symbol(painter: QPainter, symbol: Symbol) -> None:
    """One symbol in its place. Shapes: IEC 60617, by name and from memory; contacts at rest."""
    place = QRectF(_at(symbol.x, symbol.y), _at(symbol.x + symbol.wide, symbol.y + symbol.high))
    painter.setPen(pen(1.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    middle = place.center()
    match symbol.kind:
        case "fuse":
            painter.drawRect(place)
            painter.drawLine(QPointF(place.left(), middle.y()), QPointF(place.right(), middle.y()))
        case "fuse_upright":
            painter.drawRect(place)
            painter.drawLine(QPointF(middle.x(), place.top()), QPointF(middle.x(), place.bottom()))
        case "box" | "coil":
            painter.drawRect(place)
        case "dot":
            painter.setBrush(QColor(INK))
            painter.drawEllipse(place)
        case "ring":
            painter.setBrush(QColor(WHITE))
            painter.drawEllipse(place)
        case "arrow":
            painter.setBrush(QColor(INK))
            tip = QPointF(place.right(), middle.y())
            painter.drawPolygon(QPolygonF([place.topLeft(), tip, place.bottomLeft()]))
        case "battery":
            painter.drawLine(place.topLeft(), place.bottomLeft())
            painter.setPen(pen(2.2))
            short = place.height() / 4
            painter.drawLine(
                QPointF(place.right(), middle.y() - short),
                QPointF(place.right(), middle.y() + short),
            )
        case "chassis":
            _chassis(painter, place)
        case "contact":
            _contact(painter, place)
        case "switch":
            _contact(painter, place.adjusted(0, mm(1.8), 0, 0))
            _by_hand(painter, place)
        case "output":
            painter.drawRect(place)
            _output(painter, place)
        case "pins":
            _pins(painter, place, symbol.pins, symbol.pin)
        case "cores":
            painter.drawLine(place.bottomLeft(), place.topRight())


def _chassis(painter: QPainter, place: QRectF) -> None:
    """The body: a bar with three slanting strokes below it."""
    painter.drawLine(place.topLeft(), place.topRight())
    for share in (0.0, 0.5, 1.0):
        x = place.left() + place.width() * share
        painter.drawLine(QPointF(x, place.top()), QPointF(x - mm(1.2), place.bottom()))


def _contact(painter: QPainter, place: QRectF) -> None:
    """A make contact at rest, its line at the height of 3.4 mm below the top of its place."""
    level = place.top() + mm(3.4)
    hinge, fixed = place.left() + mm(2), place.right() - mm(1.6)
    painter.drawLine(QPointF(place.left(), level), QPointF(hinge, level))
    painter.drawLine(QPointF(hinge, level), QPointF(fixed, level - mm(2.8)))
    painter.drawLine(QPointF(fixed, level), QPointF(place.right(), level))


def _by_hand(painter: QPainter, place: QRectF) -> None:
    """What a hand moves: a bar over the contact, a dashed line from it down to the blade."""
    x, top = place.center().x(), place.top() + mm(0.2)
    painter.drawLine(QPointF(x - mm(1.2), top), QPointF(x + mm(1.2), top))
    painter.setPen(pen(1.0, INK, dashed=True))
    painter.drawLine(QPointF(x, top), QPointF(x, place.top() + mm(3.7)))


def _pins(painter: QPainter, place: QRectF, count: int, at: int) -> None:
    """A socket: so many pins in a circle, the one that is meant filled. No standard's places."""
    painter.setBrush(QColor(WHITE))
    painter.drawEllipse(place)
    painter.setPen(pen(0.6))
    around, small = place.width() * 0.36, place.width() * (0.05 if count > 8 else 0.07)
    for number in range(1, count + 1):
        turn = 2 * pi * (number - 1) / count - pi / 2
        where = place.center() + QPointF(around * cos(turn), around * sin(turn))
        painter.setBrush(QColor(INK if number == at else WHITE))
        size = small * (1.9 if number == at else 1.0)
        painter.drawEllipse(where, size, size)


def _output(painter: QPainter, place: QRectF) -> None:
    """An electronic output: a triangle that points the way of the current."""
    middle, left, right = place.center().y(), place.left() + mm(1.6), place.right() - mm(1.6)
    high = place.height() * 0.3
    ends = [QPointF(left, middle - high), QPointF(right, middle), QPointF(left, middle + high)]
    painter.drawPolygon(QPolygonF(ends))


def circuit_svg(circuit: Circuit, title: str) -> bytes:
    """The whole diagram as an SVG, unbroken, in millimetres."""
    (drawing,) = lay_out(circuit, WIDE_MM, inf, PaperType())
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    made = QSvgGenerator()
    made.setOutputDevice(buffer)
    made.setTitle(title)
    made.setResolution(DOTS)
    size = QSize(round(mm(WIDE_MM + 6)), round(mm(drawing.high + 6)))
    made.setSize(size)
    made.setViewBox(QRectF(0, 0, size.width(), size.height()))
    painter = QPainter(made)
    painter.translate(mm(3), mm(3))
    draw_circuit(painter, drawing)
    painter.end()
    buffer.close()
    return bytes(data.data())
