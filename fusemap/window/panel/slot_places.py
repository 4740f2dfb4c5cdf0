"""Where on the card of a slot everything goes, in shares of the height of its font.

In: the cell and the font; out: rectangles. Nothing overlaps and nothing leaves the card.
"""

from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFont, QFontMetricsF

from fusemap.vehicle.words import Orientation

WIDE: Final = 7.4
HIGH: Final = 7.9
"""Size of a cell, in heights of its font."""


def card_size(font: QFont) -> QSize:
    """Room that a slot takes up with this font [px]."""
    height = QFontMetricsF(font).height()
    return QSize(int(WIDE * height), int(HIGH * height))


def scaled(font: QFont, factor: float, bold: bool = False) -> QFont:
    """A font so much larger."""
    made = QFont(font)
    if font.pointSizeF() > 0:
        made.setPointSizeF(max(1.0, font.pointSizeF() * factor))
    else:
        made.setPixelSize(max(1, round(font.pixelSize() * factor)))
    made.setBold(bold)
    return made


@dataclass(frozen=True, slots=True)
class Places:
    """Where on a card everything goes. Nothing overlaps and nothing leaves the card."""

    unit: float
    card: QRectF
    label: QRectF
    feed: QRectF
    centre: QRectF
    words: QRectF
    bar: QRectF

    @classmethod
    def on(cls, cell: QRectF, unit: float) -> "Places":
        """The places on a cell, `unit` being the height of its font [px]."""
        card = cell.adjusted(unit * 0.2, unit * 0.2, -unit * 0.2, -unit * 0.2)
        inside = card.adjusted(unit * 0.32, unit * 0.26, -unit * 0.32, -unit * 0.28)
        x, y, wide = inside.left(), inside.top(), inside.width()
        feed = QRectF(inside.right() - unit * 1.15, y, unit * 1.15, unit * 1.15)
        label = QRectF(x, y, wide - feed.width() - unit * 0.2, unit * 1.15)
        centre = QRectF(x, label.bottom() + unit * 0.1, wide, unit * 2.75)
        bar = QRectF(x, inside.bottom() - unit * 0.9, wide, unit * 0.9)
        top = centre.bottom() + unit * 0.12
        words = QRectF(x, top, wide, bar.top() - top - unit * 0.08)
        return cls(unit, card, label, feed, centre, words, bar)

    def body(self, orientation: Orientation) -> QRectF:
        """The fuse's body: upright high, lying wide."""
        wide, high = (1.9, 1.95) if orientation == "upright" else (2.75, 1.65)
        body = QRectF(0, 0, wide * self.unit, high * self.unit)
        body.moveCenter(self.centre.center())
        return body
