"""Predicted beside measured, large, with the band in which a reading agrees drawn on a scale."""

from math import ceil, floor, log10
from typing import Final

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF

from fusemap.probing.check_step import CheckStep
from fusemap.text import Amount, Text
from fusemap.window.beside.big import LEFT, RIGHT, draw_line
from fusemap.window.beside.pieces import Piece
from fusemap.window.beside.scale import ENTRY, FIGURE, SMALL
from fusemap.window.probe.check_words import typed_words
from fusemap.window.style.signs import draw_verdict
from fusemap.window.style.theme import Theme

UPPER = 100.0
"""How high what was predicted and measured stands [px of the design]."""
LOWEST: Final = 204.0
"""A card that is lower is drawn smaller as a whole [px of the design]."""
_CENTRE = Qt.AlignmentFlag.AlignCenter


def round_step(top: float) -> float:
    """The step between the marks of a scale up to `top`: 1, 2 or 5 of a power of ten.

    >>> round_step(1.5), round_step(42)
    (0.5, 20.0)
    """
    power: float = 10.0 ** floor(log10(top / 3))
    return next((size * power for size in (1.0, 2.0, 5.0) if size * power >= top / 3), 10 * power)


class CheckCard(Piece):
    """The figure of a step: what should come out, what came out, and what is being typed."""

    def __init__(self, theme: Theme) -> None:
        super().__init__("checkCard", self.tr("Predicted and measured"), theme)
        self._step: CheckStep | None = None
        self._typed = ""

    @property
    def _scaled(self) -> float:
        """The stage's scale, or less where the keypad leaves little height."""
        return min(self._unit, self.height() / LOWEST)

    def show_step(self, step: CheckStep | None, typed: str) -> None:
        """Show this step; what is typed stands in the place of what was measured."""
        self._step, self._typed = step, typed
        self._told(self._words())

    def _words(self) -> str:
        if self._step is None:
            return ""
        show = self._theme.style.show
        parts = [self.tr("predicted {value}").format(value=show(self._step.predicted_words))]
        if self._typed:
            parts.append(typed_words(self._step, self._typed, "▁"))
        elif self._step.reading is not None:
            measured = show(self._step.measured_words)
            parts.append(self.tr("measured {value}").format(value=measured))
            parts.append(self.verdict_word())
        return ", ".join(parts)

    def verdict_word(self) -> str:
        """The verdict as a word; empty while there is none."""
        step = self._step
        if step is None or step.verdict == "open":
            return ""
        if step.verdict == "differs":
            return self.tr("differs")
        return self.tr("agrees") if step.expected else self.tr("noted")

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        step, unit = self._step, self._scaled
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        place = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        asks = step is not None and (step.verdict == "open" or bool(self._typed))
        edge = QPen(self._theme.colour("accent" if asks else "line"), 3 * unit if asks else 1.5)
        painter.setPen(edge)
        painter.setBrush(self._theme.colour("base"))
        painter.drawRoundedRect(place.adjusted(2, 2, -2, -2), 16 * unit, 16 * unit)
        if step is None:
            return
        inside = place.adjusted(28 * unit, 12 * unit, -28 * unit, -12 * unit)
        scaled = bool(step.unit) and step.expected is not None
        upper = QRectF(inside.left(), inside.top(), inside.width(),
                       inside.height() * (0.52 if scaled else 1.0))  # fmt: skip
        if not scaled:  # with no scale below it stands in the middle
            high = min(inside.height(), UPPER * unit)
            upper = QRectF(inside.left(), inside.center().y() - high / 2, inside.width(), high)
        self._draw_predicted(painter, upper, step)
        self._draw_measured(painter, upper, step)
        if scaled:
            self._draw_scale(painter, inside, step)

    def _draw_predicted(self, painter: QPainter, upper: QRectF, step: CheckStep) -> None:
        unit, colour = self._scaled, self._theme.colour
        wide = upper.width() * 0.31
        name = QRectF(upper.left(), upper.top(), wide, 32 * unit)
        draw_line(painter, name, self.tr("predicted"), colour("muted_text"), align=LEFT,
                  most=SMALL * unit / name.height())  # fmt: skip
        figure = QRectF(upper.left(), name.bottom(), wide, 56 * unit)
        words = self._predicted_figure(step)
        draw_line(painter, figure, words, colour("text"), bold=True, align=LEFT,
                  most=FIGURE * unit / figure.height())  # fmt: skip

    def _predicted_figure(self, step: CheckStep) -> str:
        """The middle of the band; its ends stand on the scale."""
        show = self._theme.style.show
        if step.expected is None or not step.unit or step.expected.low <= 0:
            return show(step.predicted_words)
        digits = 3 if step.unit == "V" else 2
        return show(Amount(step.expected.typical, step.unit, significant=digits))

    def _draw_measured(self, painter: QPainter, upper: QRectF, step: CheckStep) -> None:
        """What was measured with its verdict, or what is being typed, as large as there is room."""
        unit, colour = self._scaled, self._theme.colour
        left = upper.left() + upper.width() * 0.32
        name = QRectF(left, upper.top(), upper.width() * 0.2, 32 * unit)
        draw_line(painter, name, self.tr("measured"), colour("muted_text"), align=LEFT,
                  most=SMALL * unit / name.height())  # fmt: skip
        figure = QRectF(left + upper.width() * 0.2, upper.top() - 4 * unit,
                        upper.width() * 0.48, upper.height() + 8 * unit)  # fmt: skip
        figure.setHeight(min(figure.height(), 130 * unit))
        most = min(0.9, ENTRY * unit / figure.height())
        if self._typed or step.verdict == "open":
            shown = self._typed or "+   −"
            if step.unit:
                shown = typed_words(step, self._typed, "▁")
            ink = colour("text" if self._typed or step.unit else "muted_text")
            draw_line(painter, figure, shown, ink, bold=True, most=most, align=RIGHT)
            return
        differs = step.verdict == "differs"
        ink = colour("stop" if differs else "text")
        side = 40 * unit
        mark = QRectF(left, name.bottom() + 4 * unit, side, side)
        if step.expected is not None:
            draw_verdict(painter, mark, "fails" if differs else "holds", self._theme)
        word = QRectF(mark.right() + 10 * unit, mark.top(), upper.width() * 0.2 - side, side)
        draw_line(painter, word, self.verdict_word(), ink, bold=True, align=LEFT,
                  most=SMALL * unit / word.height())  # fmt: skip
        draw_line(painter, figure, self._theme.style.show(step.measured_words), ink, bold=True,
                  most=most, align=RIGHT)  # fmt: skip

    def _draw_scale(self, painter: QPainter, inside: QRectF, step: CheckStep) -> None:
        """A line from nothing (or from below the band) with the band on it, and the reading."""
        unit, colour = self._scaled, self._theme.colour
        low, high = max(0.0, step.agrees[0]), step.agrees[1]
        value = step.counted
        axis = Axis(*scale_ends(step), inside.left(), inside.width())
        line = inside.bottom() - 42 * unit
        painter.setPen(QPen(colour("frame"), 2 * unit))
        painter.drawLine(QPointF(inside.left(), line), QPointF(inside.right(), line))
        left = axis.at(low)
        band = QRectF(left, line - 14 * unit, max(4 * unit, axis.at(high) - left), 28 * unit)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour("good"))
        painter.drawRoundedRect(band, 6 * unit, 6 * unit)
        show = self._theme.style.show
        ends = _joined(show(_bare(low, step)), show(_bare(high, step)))
        label = QRectF(band.center().x() - 110 * unit, band.top() - 32 * unit, 220 * unit,
                       30 * unit)  # fmt: skip
        label.moveLeft(min(max(inside.left(), label.left()), inside.right() - label.width()))
        draw_line(painter, label, ends, colour("good"), bold=True, most=SMALL / 30)
        self._draw_marks(painter, inside, line, axis)
        if value is not None and not self._typed:
            x = min(max(axis.at(value), inside.left()), inside.right())
            ink = colour("stop" if step.verdict == "differs" else "text")
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(ink)
            painter.drawPolygon(QPolygonF([
                QPointF(x, line - 2 * unit), QPointF(x - 14 * unit, line - 25 * unit),
                QPointF(x + 14 * unit, line - 25 * unit),
            ]))  # fmt: skip

    def _draw_marks(self, painter: QPainter, inside: QRectF, line: float, axis: "Axis") -> None:
        """Marks at round figures, each with its figure."""
        unit, colour = self._scaled, self._theme.colour
        size = round_step(axis.end - axis.start)
        figure = size * ceil(axis.start / size - 1e-9)
        while figure <= axis.end + 1e-9:
            x = axis.at(figure)
            painter.setPen(QPen(colour("frame"), 2 * unit))
            painter.drawLine(QPointF(x, line - 7 * unit), QPointF(x, line + 7 * unit))
            room = QRectF(x - 28 * unit, line + 12 * unit, 56 * unit, 30 * unit)
            words = self._theme.style.number(round(figure, 6))
            align = _CENTRE
            if room.left() < inside.left():  # at an end of the scale it ends where that does
                room.moveLeft(inside.left())
                align = LEFT
            elif room.right() > inside.right():
                room.moveRight(inside.right())
                align = RIGHT
            draw_line(painter, room, words, colour("muted_text"), most=SMALL / 30, align=align)
            figure += size


class Axis(Struct, frozen=True):
    """A scale from `start` to `end`, drawn from `left` over `wide` px."""

    start: float
    end: float
    left: float
    wide: float

    def at(self, figure: float) -> float:
        """Where a figure stands [px]."""
        return self.left + self.wide * (figure - self.start) / (self.end - self.start)


def scale_ends(step: CheckStep) -> tuple[float, float]:
    """Where the scale of a step begins and ends, in its unit: from zero, but for volts, whose band
    is narrow, and below it for a minus sign that counts.
    """
    low, high, value = max(0.0, step.agrees[0]), step.agrees[1], step.counted
    top = max(high, value or 0.0)
    if step.unit == "V":
        bottom = min(low, value if value is not None else low)
        margin = max(0.3, (top - bottom) * 0.3)
        return bottom - margin if bottom < 0 else max(0.0, bottom - margin), top + margin
    return 0.0, top * 1.25 or 1.0


def _joined(low: str, high: str) -> str:
    """Both ends of a band, the unit once where it is the same.

    >>> _joined("0.2 A", "0.4 A"), _joined("90 mA", "0.12 A")
    ('0.2–0.4 A', '90 mA–0.12 A')
    """
    figure, blank, unit = low.replace("\u202f", " ").rpartition(" ")
    same = blank and high.replace("\u202f", " ").endswith(f" {unit}")
    return f"{figure if same else low}–{high}"


def _bare(value: float, step: CheckStep) -> Text | Amount:
    return Amount(value, step.unit, significant=3 if step.unit == "V" else 2)
