"""The end of a hunt, drawn: the answer large, the current split up, what it costs, what to do.

In: a `FoundShown`. Out: paint. The current runs from the battery to the right and splits; each
stream is as wide as its share. What was not found is hatched, so that it is told without colours.
"""

from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen

from fusemap.window.beside.big import LEFT, RIGHT, draw_line
from fusemap.window.beside.pieces import Piece, draw_wrapped
from fusemap.window.beside.scale import BODY, FIGURE, SMALL, type_font
from fusemap.window.chosen.parts_drawn import draw_fuse
from fusemap.window.hunt.found import FoundShown, Stream
from fusemap.window.style.theme import Theme

WIDE: Final = 1310.0
HIGH: Final = 530.0
GAP: Final = 18.0
"""The drawing in the design [px]."""


class FoundCard(Piece):
    """Draws the end of a hunt."""

    def __init__(self, theme: Theme) -> None:
        super().__init__("huntFound", "", theme)
        self.setAccessibleName(self.tr("What was found"))
        self.shown: FoundShown | None = None

    def show_found(self, shown: FoundShown | None) -> None:
        """Show this."""
        self.shown = shown
        lines = [] if shown is None else [
            shown.headline,
            *(f"{row.time} {row.words}" for row in shown.costs),
            *(f"{head}: {text}" for head, text in shown.columns),
        ]  # fmt: skip
        self._told("\n".join(lines))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it from above."""
        if self.shown is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font())
        self._draw_answer(painter, self._box(0, 0, WIDE, 156))
        self._draw_streams(painter, self._box(10, 172, 850, 356))
        self._draw_costs(painter, self._box(884, 172, WIDE, 356))
        many = max(1, len(self.shown.columns))
        wide = (WIDE - GAP * (many - 1)) / many
        for number, (head, text) in enumerate(self.shown.columns):
            left = (wide + GAP) * number
            self._draw_column(painter, self._box(left, 372, left + wide, HIGH), head, text)

    def _box(self, left: float, top: float, right: float, bottom: float) -> QRectF:
        across, down = self.width() / WIDE, self.height() / HIGH
        return QRectF(left * across, top * down, (right - left) * across, (bottom - top) * down)

    # --- the answer -----------------------------------------------------------------------------

    def _draw_answer(self, painter: QPainter, place: QRectF) -> None:
        assert self.shown is not None
        shown, unit, colour = self.shown, self._unit, self._theme.colour
        edge = 3 * unit
        painter.setPen(QPen(colour(shown.tone), edge))
        painter.setBrush(colour("raised"))
        painter.drawRoundedRect(place.adjusted(edge, edge, -edge, -edge), 18 * unit, 18 * unit)
        inside = place.adjusted(30 * unit, 14 * unit, -28 * unit, -14 * unit)
        sign = QRectF(inside.left(), inside.center().y() - 33 * unit, 66 * unit, 66 * unit)
        _draw_sign(painter, sign, colour(shown.tone), colour("base"), good=shown.tone == "good")
        left = sign.right() + 28 * unit
        right = inside.right()
        if shown.figure:
            wide = inside.width() * (0.42 if " " in shown.figure.strip() and shown.of else 0.28)
            right -= wide
            figure = QRectF(right, inside.top(), wide, inside.height() * (0.72 if shown.of else 1))
            draw_line(painter, figure, shown.figure, colour("text"), bold=True, most=1.0,
                      align=RIGHT)  # fmt: skip
            of = QRectF(right, figure.bottom(), wide, inside.bottom() - figure.bottom())
            draw_line(painter, of, shown.of, colour("muted_text"), align=RIGHT,
                      most=min(0.9, BODY * unit / max(1.0, of.height())))  # fmt: skip
        room = QRectF(left, inside.top(), right - left - 20 * unit, inside.height())
        if not shown.under:
            font = type_font(self, FIGURE, unit, strong=True)
            draw_wrapped(painter, room, shown.title, font, colour("text"), middle=True)
            return
        half = QRectF(room.left(), room.top(), room.width(), room.height() / 2)
        most = min(0.9, FIGURE * unit / half.height())
        draw_line(painter, half, shown.title, colour("text"), bold=True, most=most, align=LEFT)
        draw_line(painter, half.translated(0, half.height()), shown.under, colour("text"),
                  most=most, align=LEFT)  # fmt: skip

    # --- the split ------------------------------------------------------------------------------

    def _draw_streams(self, painter: QPainter, place: QRectF) -> None:
        """The battery, the whole current, and where it goes."""
        assert self.shown is not None
        unit, streams = self._unit, self.shown.streams
        if not streams:
            return
        body = QRectF(0, 0, 88 * unit, 66 * unit)
        body.moveTo(place.left(), place.center().y() - 36 * unit)
        self._draw_battery(painter, body)
        high = place.height() * 0.56
        trunk = QRectF(body.right() + 2 * unit, body.center().y() - high / 2, 96 * unit, high)
        painter.fillRect(trunk, self._theme.colour("accent"))
        draw_line(painter, trunk.adjusted(5 * unit, 0, -5 * unit, 0), self.shown.whole,
                  self._theme.colour("accent_text"), bold=True,
                  most=min(0.5, BODY * unit / trunk.height()))  # fmt: skip
        ends = place.left() + place.width() * 0.48
        row = place.height() / len(streams)
        start = trunk.top()
        for number, stream in enumerate(streams):
            wide = max(2.5 * unit, stream.part * high)
            middle = place.top() + row * (number + 0.5)
            shown = min(wide, row * 0.86)
            path = _stream_path(trunk.right(), ends, (start, start + wide),
                                (middle - shown / 2, middle + shown / 2))  # fmt: skip
            self._fill(painter, path, stream)
            start += stream.part * high
            words = QRectF(
                ends + 14 * unit, middle - row / 2, place.right() - ends - 14 * unit, row
            )
            self._draw_stream_words(painter, words, stream)

    def _fill(self, painter: QPainter, path: QPainterPath, stream: Stream) -> None:
        accent = self._theme.colour("accent")
        if stream.sort == "rest":
            painter.setPen(QPen(accent, 1.5 * self._unit))
            painter.setBrush(QBrush(accent, Qt.BrushStyle.BDiagPattern))
        else:
            painter.setPen(Qt.PenStyle.NoPen)
            if stream.sort == "small":
                accent.setAlphaF(0.7)
            painter.setBrush(accent)
        painter.drawPath(path)

    def _draw_stream_words(self, painter: QPainter, place: QRectF, stream: Stream) -> None:
        unit, colour = self._unit, self._theme.colour
        main = stream.sort == "found"
        high = min(place.height() * 0.9, 42 * unit)
        line = QRectF(place.left(), place.center().y() - high / 2, place.width(), high)
        most = min(0.8, BODY * unit / high)
        figure = QRectF(line.right() - 120 * unit, line.top(), 120 * unit, high)
        if stream.sort == "rest":
            figure.setLeft(line.right() - 220 * unit)
        draw_line(painter, figure, stream.figure, colour("text"), bold=True, most=most, align=RIGHT)
        left = line.left()
        if stream.fuse is not None and main:
            body = QRectF(left, line.center().y() - 21 * unit, 30 * unit, 42 * unit)
            draw_fuse(painter, body, self._theme, stream.fuse)
            left = body.right() + 12 * unit
        if stream.name:
            font = type_font(self, BODY, unit, strong=True)
            wide = min(QFontMetricsF(font).horizontalAdvance(stream.name), line.width() * 0.3)
            name = QRectF(left, line.top(), wide + 2, high)
            draw_line(painter, name, stream.name, colour("text"), bold=True, most=most, align=LEFT)
            left = name.right() + 12 * unit
        words = QRectF(left, line.top(), figure.left() - left - 8 * unit, high)
        ink = colour("text" if main else "muted_text")
        draw_line(painter, words, stream.words, ink, most=most, align=LEFT)

    def _draw_battery(self, painter: QPainter, body: QRectF) -> None:
        unit, colour = self._unit, self._theme.colour
        painter.setPen(QPen(colour("frame"), 2 * unit))
        painter.setBrush(colour("part_pin"))
        for at in (0.22, 0.78):
            post = QRectF(0, 0, 18 * unit, 11 * unit)
            post.moveCenter(QPointF(body.left() + body.width() * at, body.top() - 4 * unit))
            painter.drawRoundedRect(post, 3 * unit, 3 * unit)
        painter.setBrush(colour("part"))
        painter.drawRoundedRect(body, 6 * unit, 6 * unit)
        for at, sign in ((0.22, "+"), (0.78, "−")):
            place = QRectF(0, 0, 34 * unit, 34 * unit)
            place.moveCenter(QPointF(body.left() + body.width() * at, body.center().y()))
            draw_line(painter, place, sign, colour("text"), bold=True)

    # --- what it costs, what to do --------------------------------------------------------------

    def _draw_costs(self, painter: QPainter, place: QRectF) -> None:
        assert self.shown is not None
        rows, unit, colour = self.shown.costs, self._unit, self._theme.colour
        if not rows:
            return
        head = QRectF(place.left(), place.top(), place.width(), 36 * unit)
        draw_line(painter, head, self.tr("What it costs, typically"), colour("text"), bold=True,
                  most=BODY / 36, align=LEFT)  # fmt: skip
        high = (place.height() - head.height()) / 2
        for number, row in enumerate(rows):
            top = head.bottom() + number * high
            ink = colour("text" if number == 0 else "accent")
            line = QRectF(place.left(), top, place.width(), high * 0.62)
            most = min(0.84, FIGURE * unit / line.height())
            font = type_font(self, SMALL, unit)
            wide = line.width() * 0.7
            time = QRectF(line.left(), line.top(), wide, line.height())
            draw_line(painter, time, row.time, ink, bold=True, most=most, align=LEFT)
            words = QRectF(time.right(), line.top(), line.right() - time.right(), line.height())
            draw_line(painter, words, row.words, colour("muted_text"), align=RIGHT,
                      most=min(0.8, font.pixelSize() / line.height()))  # fmt: skip
            if row.part is not None:
                track = QRectF(line.left(), line.bottom() + 4 * unit, line.width(), 11 * unit)
                _draw_bar(painter, track, colour("load_track"), ink, row.part)

    def _draw_column(self, painter: QPainter, place: QRectF, head: str, text: str) -> None:
        unit, colour = self._unit, self._theme.colour
        line = QRectF(place.left(), place.top(), place.width(), 34 * unit)
        draw_line(painter, line, head, colour("text"), bold=True, most=BODY / 34, align=LEFT)
        below = QRectF(place.left(), line.bottom(), place.width(), place.bottom() - line.bottom())
        draw_wrapped(painter, below, text, type_font(self, SMALL, unit), colour("muted_text"))


def _stream_path(
    left: float, right: float, start: tuple[float, float], end: tuple[float, float]
) -> QPainterPath:
    """From the edge of the trunk to the row of its words; (upper, lower) of each."""
    half = (left + right) / 2
    path = QPainterPath(QPointF(left, start[0]))
    path.cubicTo(QPointF(half, start[0]), QPointF(half, end[0]), QPointF(right, end[0]))
    path.lineTo(right, end[1])
    path.cubicTo(QPointF(half, end[1]), QPointF(half, start[1]), QPointF(left, start[1]))
    path.closeSubpath()
    return path


def _draw_bar(painter: QPainter, track: QRectF, ground: QColor, ink: QColor, part: float) -> None:
    round_ = track.height() / 2
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ground)
    painter.drawRoundedRect(track, round_, round_)
    filled = QRectF(track)
    filled.setWidth(max(track.height(), track.width() * min(1.0, part)))
    painter.setBrush(ink)
    painter.drawRoundedRect(filled, round_, round_)


def _draw_sign(
    painter: QPainter, place: QRectF, ground: QColor, ink: QColor, *, good: bool
) -> None:
    """A tick, or a mark of question where it is not found."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ground)
    painter.drawEllipse(place)
    if not good:
        draw_line(painter, place, "?", ink, bold=True, most=0.7)
        return
    pen = QPen(ink, place.width() * 0.12)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    side = place.width()
    tick = QPainterPath(place.topLeft() + QPointF(0.28 * side, 0.52 * side))
    tick.lineTo(place.topLeft() + QPointF(0.44 * side, 0.68 * side))
    tick.lineTo(place.topLeft() + QPointF(0.73 * side, 0.36 * side))
    painter.drawPath(tick)
