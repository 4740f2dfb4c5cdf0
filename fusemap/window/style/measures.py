"""Sizes of the window's design, as shares of the font's height.

In: a figure of the design, which is drawn for a font of 14 px, and a widget or its font. Out: so
many px for that font. What is pressed or ticked is never lower than `TARGET` px, however small the
font. Source of `TARGET`: the project's own measure; W3C, WCAG 2.2, success criterion 2.5.8 asks for
24 CSS px at least.
"""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, Final, Literal, ParamSpec, TypeVar

from PySide6.QtGui import QFont, QFontInfo
from PySide6.QtWidgets import QWidget

DESIGN: Final = 14
"""The font's height that the design is drawn for [px]."""
GRID: Final = (4, 8, 12, 16, 24, 32)
"""The distances there are."""
TARGET: Final = 28
"""Nothing to press is lower [px]."""
Radius = Literal["slot", "control", "card", "lid", "entry"]
Part = Literal["rail", "stage", "next", "verdict", "shelf", "chip", "message", "button", "icon",
               "input", "check", "row", "finding", "station", "pitch", "fact", "draw"]  # fmt: skip
RADII: Final[dict[Radius, int]] = {"slot": 9, "control": 8, "card": 10, "lid": 20, "entry": 18}
HEIGHTS: Final[dict[Part, int]] = {
    "rail": 56,
    "stage": 44,
    "next": 36,
    "verdict": 56,
    "shelf": 64,
    "chip": 48,
    "message": 48,
    "button": 32,
    "icon": 32,
    "input": 36,
    "check": 20,
    "row": 40,
    "finding": 54,
    "station": 38,
    "pitch": 52,
    "fact": 22,
    "draw": 25,
}
"""How high the parts of the window are."""
MOST_KEPT: Final = 2000
"""So many results are kept of each reckoning by fonts."""
P = ParamSpec("P")
Found = TypeVar("Found")
_PRESSED: Final = ("stage", "next", "button", "icon", "input", "row", "finding", "chip", "station")


def per_font(
    reckon: Callable[Concatenate[QFont, P], Found],
) -> Callable[Concatenate[QFont, P], Found]:
    """What is reckoned of a font and of plain values, kept for each of them.

    Fonts are told apart by what they are. A copy is kept: the font that is asked for may be part of
    something that Qt is about to delete. What is kept is forgotten where it gets too much.
    """
    kept: dict[tuple[object, ...], tuple[QFont, Found]] = {}

    @wraps(reckon)
    def found(font: QFont, /, *args: P.args, **kwargs: P.kwargs) -> Found:
        key = (hash(font), *args, *kwargs.values())
        there = kept.get(key)
        if there is None or there[0] != font:
            if len(kept) >= MOST_KEPT:
                kept.clear()
            own = QFont(font)
            there = kept[key] = own, reckon(own, *args, **kwargs)
        return there[1]

    return found


def em(of: QWidget | QFont) -> int:
    """The height of a font [px]."""
    return _em(of.font() if isinstance(of, QWidget) else of)


@per_font
def _em(font: QFont) -> int:
    return QFontInfo(font).pixelSize()


def px(of: QWidget | QFont, size: float) -> int:
    """A size of the design [px at a font of 14 px] for this font [px]; at least 1."""
    return max(1, round(size * em(of) / DESIGN))


def height(of: QWidget | QFont, part: Part) -> int:
    """How high a part is for this font [px]; what is pressed is never lower than `TARGET`."""
    scaled = px(of, HEIGHTS[part])
    return max(TARGET, scaled) if part in _PRESSED else scaled


def radius(of: QWidget | QFont, part: Radius) -> int:
    """How round the corners of a part are for this font [px]."""
    return px(of, RADII[part])
