"""How large things are on the stage beside the vehicle, by its room.

The stage is designed at 1366 × 768 px, to be read from a metre and a half; it grows and shrinks as
a whole. Words wish to be at least as large as the user's own font, and get it where there is room.
"""

from typing import Final

from msgspec import Struct
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QWidget

from fusemap.window.style.measures import em

WIDE: Final = 1366
HIGH: Final = 768
SMALL: Final = 24
BODY: Final = 26
FIGURE: Final = 44
ENTRY: Final = 112
"""The sizes of type at that size of the stage [px]."""
Box = tuple[float, float, float, float]
"""Left, top, right, bottom in the design [px]."""


class Scale(Struct, frozen=True):
    """A room as shares of the design: `across` and `down`; `unit` is the smaller of the two."""

    across: float
    down: float

    @property
    def unit(self) -> float:
        """What type and thickness grow with [px per px of the design]."""
        return min(self.across, self.down)

    def rect(self, box: Box) -> QRectF:
        """A box of the design in this room."""
        left, top, right, bottom = box
        return QRectF(
            left * self.across, top * self.down, (right - left) * self.across,
            (bottom - top) * self.down,
        )  # fmt: skip


def scale_of(room: QWidget) -> Scale:
    """The scale of a widget that is the whole stage."""
    return Scale(max(0.2, room.width() / WIDE), max(0.2, room.height() / HIGH))


def type_font(of: QWidget, size: float, unit: float, *, strong: bool = False) -> QFont:
    """The font of a size of the design at a scale, no smaller than the user's own."""
    font = QFont(of.font())
    font.setPixelSize(max(6, round(max(size * unit, em(of) * size / BODY))))
    font.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font
