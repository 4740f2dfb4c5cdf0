"""Parts of the chart of fuse and cable: two log axes in words, and its legend by shape and word.

The chart's own units are the logarithms of amperes and seconds. pyqtgraph is loaded with this
module: import it when the first chart is shown.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log10
from typing import Final, Literal

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QGraphicsSceneResizeEvent

from fusemap.window.chain.band_words import time_words
from fusemap.window.style.theme import Theme
from fusemap.window.texts.numbers import quantity

SECONDS: Final = (0.001, 0.01, 0.1, 1.0, 10.0, 60.0, 600.0, 3600.0, 36000.0, 360000.0)
"""Where the time axis has its ticks [s]."""
STEPS: Final = (1.0, 2.0, 5.0)
"""Where a decade of the current axis has its ticks."""
Shape = Literal["band", "second_band", "curve", "load", "fault"]
PATTERNS: Final = {
    "band": Qt.BrushStyle.BDiagPattern,
    "second_band": Qt.BrushStyle.FDiagPattern,
}
LINES: Final = {
    "band": Qt.PenStyle.SolidLine,
    "second_band": Qt.PenStyle.DashLine,
    "curve": Qt.PenStyle.SolidLine,
    "load": Qt.PenStyle.DotLine,
    "fault": Qt.PenStyle.DashDotLine,
}
COLOURS: Final = {
    "band": "chart_1",
    "second_band": "chart_4",
    "curve": "stop",
    "load": "good",
    "fault": "caution",
}


def pen(shape: Shape, theme: Theme) -> QPen:
    """The line a shape is drawn with; lines differ by their dashes, not by colour alone."""
    width = 3.0 if shape == "curve" else 1.5
    made = QPen(theme.colour(COLOURS[shape]), width, LINES[shape])
    made.setCosmetic(True)
    return made


def brush(shape: Shape, theme: Theme) -> QBrush:
    """How an area is filled: hatched, each band in its own direction."""
    return QBrush(theme.colour(COLOURS[shape]), PATTERNS[shape])


def ground(shape: Shape, theme: Theme) -> QColor:
    """The tint below the hatching."""
    colour = theme.colour(COLOURS[shape])
    colour.setAlphaF(0.13)
    return colour


class CurrentAxis(pg.AxisItem):  # type: ignore[misc]
    """Amperes on a log axis."""

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """One, two, five in every decade, or the decades alone where there is no room."""
        decades = range(int(low) - 1, int(high) + 2)
        room = QFontMetricsF(self.font()).horizontalAdvance("00000000")
        fine = size / max(0.1, high - low) > room * len(STEPS)
        steps = STEPS if fine else STEPS[:1]
        found = [n + log10(step) for n in decades for step in steps]
        return [(1.0, [value for value in found if low <= value <= high])]

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """The currents with their unit."""
        return [quantity(10.0**value, "A", 2) for value in values]

    def font(self) -> QFont:
        """The font its ticks are written in."""
        return self.style["tickFont"] or QFont()


class DurationAxis(pg.AxisItem):  # type: ignore[misc]
    """Seconds, minutes and hours on a log axis."""

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """The round times."""
        return [(1.0, [log10(each) for each in SECONDS if low <= log10(each) <= high])]

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """The times in words."""
        return [time_words(round(10.0**value, 6)) for value in values]


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the legend."""

    shape: Shape
    words: str


class BandLegend(pg.GraphicsWidget):  # type: ignore[misc]
    """What is what, by shape and word, in as many lines above the plot as it takes."""

    def __init__(self, theme: Theme, font: QFont) -> None:
        super().__init__()
        self._theme = theme
        self._font = font
        self.entries: tuple[Entry, ...] = ()

    def show_entries(self, entries: Sequence[Entry]) -> None:
        """Show these."""
        self.entries = tuple(entries)
        self.fit(self.size().width())
        self.update()

    def set_font(self, font: QFont) -> None:
        """Write in another font."""
        self._font = font
        self.fit(self.size().width())

    def fit(self, width: float) -> None:
        """Take the height that the entries need at a width."""
        lines = max((place.bottom() for place, _ in self.places(width)), default=0.0)
        self.setFixedHeight(lines + 2)

    def resizeEvent(self, event: QGraphicsSceneResizeEvent) -> None:
        """Another width may take other lines."""
        super().resizeEvent(event)
        if event.newSize().width() != event.oldSize().width():
            self.fit(event.newSize().width())

    def places(self, width: float) -> list[tuple[QRectF, Entry]]:
        """Where each entry stands: sample and words."""
        metrics = QFontMetricsF(self._font)
        line = metrics.height() * 1.25
        found: list[tuple[QRectF, Entry]] = []
        left, top = 4.0, 2.0
        for entry in self.entries:
            wide = line * 2.6 + metrics.horizontalAdvance(entry.words)
            if left > 4.0 and left + wide > width:
                left, top = 4.0, top + line
            found.append((QRectF(left, top, wide, line), entry))
            left += wide + line * 0.6
        return found

    def paint(self, painter: QPainter, *_: object) -> None:
        """Sample and words, one beside the other."""
        painter.setFont(self._font)
        for place, entry in self.places(self.size().width()):
            sample = QRectF(place.left(), place.top() + 3, place.height() * 1.8, place.height() - 6)
            self._draw_sample(painter, sample, entry.shape)
            painter.setPen(self._theme.colour("text"))
            words = place.adjusted(place.height() * 2.1, 0, place.height(), 0)
            painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, entry.words)

    def _draw_sample(self, painter: QPainter, place: QRectF, shape: Shape) -> None:
        painter.setPen(pen(shape, self._theme))
        if shape in PATTERNS:
            painter.fillRect(place, ground(shape, self._theme))
            painter.fillRect(place, brush(shape, self._theme))
            painter.drawRect(place)
        else:
            middle = place.center().y()
            painter.drawLine(QLineF(place.left(), middle, place.right(), middle))
