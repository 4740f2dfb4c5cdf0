"""The way of one tap in a row, the place in question in its verdict.

In: stations. Out: a drawing, as many lines of it as the width asks for; its words are told to who
hears them.
"""

from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QHelpEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from fusemap.window.chosen.measures import sized, small
from fusemap.window.chosen.parts_drawn import draw_part
from fusemap.window.chosen.station_button import COLOURS
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:
    from fusemap.window.chosen.stations import Station

PAD, CELL = 48, 118
"""The pad's edge, and the least room for one station, at type of 14 px."""
WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop


class StationRow(QWidget):
    """Pads on a line, name and figure below each; the one at `broken` stands out."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.stations: tuple[Station, ...] = ()
        self.broken = ""
        self.setObjectName("findingWay")
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def show_way(self, stations: "tuple[Station, ...]", broken: str) -> None:
        """Show these, the one with this key as the place in question."""
        self.stations, self.broken = stations, broken
        show = self._theme.style.show
        self.setAccessibleName("; ".join(show(each.words) for each in stations))
        self.setVisible(bool(stations))
        self.updateGeometry()
        self.update()

    # --- places ---------------------------------------------------------------------------------

    def _in_line(self, width: int) -> int:
        """How many stand in one line: as many in each as in the others, or one less."""
        many = len(self.stations) or 1
        lines = -(-many // max(1, width // self._cell()))
        return -(-many // lines)

    def _cell(self) -> int:
        """The least room for one: that of its longest word."""
        name = QFontMetrics(sized(self.font(), 12, strong=True))
        words = (w for s in self.stations for w in self._theme.style.show(s.title).split())
        longest = max(map(name.horizontalAdvance, words), default=0)
        return max(px(self, CELL), longest + px(self, 14))

    def _line_high(self, width: int) -> int:
        """How high one line of stations is: the pad, and the longest words below it."""
        cell = width // self._in_line(width)
        words = max((self._words_high(each, cell) for each in self.stations), default=0)
        return px(self, PAD + 6) + words + px(self, 8)

    def _words_high(self, station: "Station", cell: int) -> int:
        room = QRect(0, 0, max(1, cell - px(self, 8)), 9999)
        name = QFontMetrics(sized(self.font(), 12, strong=True))
        second = QFontMetrics(small(self.font()))
        show = self._theme.style.show
        high = name.boundingRect(room, WRAP, show(station.title)).height()
        figure = show(station.figure)
        return high + (second.boundingRect(room, WRAP, figure).height() if figure else 0)

    def hasHeightForWidth(self) -> bool:
        """The narrower, the more lines."""
        return True

    def heightForWidth(self, width: int) -> int:
        """As many lines as it takes."""
        lines = -(-len(self.stations) // self._in_line(width))
        return lines * self._line_high(width) + px(self, 4)

    def sizeHint(self) -> QSize:
        """All in one line."""
        width = self._cell() * max(1, len(self.stations))
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        """One below the other, if it must be."""
        return QSize(px(self, CELL), px(self, PAD))

    def pads(self) -> list[QRectF]:
        """The square of each sign."""
        count, high = self._in_line(self.width()), self._line_high(self.width())
        cell, edge = self.width() / count, px(self, PAD)
        return [
            QRectF((number % count + 0.5) * cell - edge / 2, (number // count) * high + px(self, 3),
                   edge, edge)
            for number in range(len(self.stations))
        ]  # fmt: skip

    def event(self, event: QEvent) -> bool:
        """Under the pointer a station says all of itself, its fuse first."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), plain_tip(self.told_at(event.pos())), self)
            return True
        return super().event(event)

    def told_at(self, point: QPoint) -> str:
        """What is said of the station there; nothing beside them."""
        show = self._theme.style.show
        for station, pad in zip(self.stations, self.pads(), strict=True):
            if pad.contains(QPointF(point)):
                told = (show(station.rated.capital()), show(station.words))
                return "\n".join(filter(None, told))
        return ""

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """The line first, the pads on it, their words below."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pads, cell = self.pads(), self.width() / self._in_line(self.width())
        for one, other in pairwise(pads):
            if one.top() == other.top():
                self._paint_line(painter, one.center(), other.center())
            else:  # on to the next line
                self._paint_line(painter, one.center(), QPointF(self.width(), one.center().y()))
                self._paint_line(painter, QPointF(0, other.center().y()), other.center())
        for station, pad in zip(self.stations, pads, strict=True):
            self._paint(painter, station, pad, round(cell))
        painter.end()

    def _paint_line(self, painter: QPainter, one: QPointF, other: QPointF) -> None:
        """The way between two pads, with the sense of the current."""
        painter.setPen(QPen(self._theme.colour("accent"), px(self, 6)))
        painter.drawLine(one, other)
        pen = QPen(self._theme.colour("accent_text"), px(self, 1.5))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        tip, size = (one + other) / 2 + QPointF(px(self, 1), 0), px(self, 2)
        painter.drawPolyline([tip + QPointF(-size, -size), tip, tip + QPointF(-size, size)])

    def _paint(self, painter: QPainter, station: "Station", pad: QRectF, cell: int) -> None:
        here, theme, show = station.key == self.broken, self._theme, self._theme.style.show
        role = COLOURS.get(station.verdict or "", "text") if here else "text"
        other = "accent" if here else "line"  # in question without a verdict of its own
        edge = role if role in ("stop", "caution") else other
        tint = {"stop": "stop_tint", "caution": "caution_tint"}.get(role, "base")
        painter.setPen(QPen(theme.colour(edge), 2.5 if here else 1))
        painter.setBrush(theme.colour(tint))
        painter.drawRoundedRect(pad, px(self, 9), px(self, 9))
        draw_part(painter, pad.adjusted(3, 3, -3, -3), station.part, theme, station.fuse)
        painter.setPen(theme.colour(role if here else "text"))
        font = sized(self.font(), 12, strong=True)
        painter.setFont(font)
        wide = cell - px(self, 8)
        left = round(pad.center().x() - wide / 2)
        room = QRect(left, round(pad.bottom()) + px(self, 3), wide, 9999)
        used = painter.boundingRect(room, WRAP, show(station.title)).height()
        painter.drawText(room, WRAP, show(station.title))
        painter.setFont(small(self.font()))
        painter.setPen(theme.colour(role if here else "muted_text"))
        room.translate(0, used)
        painter.drawText(room, WRAP, show(station.figure))
