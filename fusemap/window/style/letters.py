"""The three sizes of type in their two weights, as shares of the widget's own font.

`SMALL` for second lines, units and circuit names in a slot; `BODY` for names, labels and buttons;
`FIGURE` for the one figure that matters: per cent, days, what is left. Figures stand in columns
where the font has such (its feature “tnum”), so that they do not dance while they change.
"""

from typing import Final

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QWidget

from fusemap.window.style.measures import DESIGN, em, per_font

SMALL: Final = 12
BODY: Final = DESIGN
FIGURE: Final = 24
"""The three sizes of type [px at a font of `DESIGN` px]."""
LEAST: Final = 11
"""No words are set smaller, unless the user's own font is [px]."""
_TIGHT: Final = 98.0
"""Large figures stand closer [% of their usual distance]."""


def letters(of: QWidget | QFont, size: int = BODY, *, strong: bool = False) -> QFont:
    """The font of one of the three sizes, in the usual or in the strong weight."""
    font = of.font() if isinstance(of, QWidget) else of
    return QFont(_made(font, size, strong))


def small(of: QWidget | QFont, *, strong: bool = False) -> QFont:
    """The font of second lines."""
    return letters(of, SMALL, strong=strong)


def body(of: QWidget | QFont, *, strong: bool = False) -> QFont:
    """The font of names and labels."""
    return letters(of, BODY, strong=strong)


def figure(of: QWidget | QFont, *, strong: bool = True) -> QFont:
    """The font of the figure that matters."""
    return letters(of, FIGURE, strong=strong)


@per_font
def _made(of: QFont, size: int, strong: bool) -> QFont:
    font, own = QFont(of), em(of)
    font.setPixelSize(max(min(own, LEAST), round(own * size / DESIGN)))
    font.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
    font.setFeature(QFont.Tag("tnum"), 1)
    if size == FIGURE:
        font.setLetterSpacing(QFont.SpacingType.PercentageSpacing, _TIGHT)
    return font


def scaled_font(font: QFont, factor: float, bold: bool = False) -> QFont:
    """A font so much larger."""
    return QFont(_scaled(font, factor, bold))


@per_font
def _scaled(font: QFont, factor: float, bold: bool) -> QFont:
    made = QFont(font)
    if font.pointSizeF() > 0:
        made.setPointSizeF(max(1.0, font.pointSizeF() * factor))
    else:
        made.setPixelSize(max(1, round(font.pixelSize() * factor)))
    made.setBold(bold)
    return made
