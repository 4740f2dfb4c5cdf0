"""The three sizes of type of the pane, and a label in one of them."""

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QLabel

from fusemap.window.style.measures import DESIGN, em, per_font
from fusemap.window.texts.plain import plain_label


def sized(font: QFont, size: float, *, strong: bool = False) -> QFont:
    """A font so many 14ths as large, in bold where it is `strong`."""
    return QFont(_sized(font, size, strong))


@per_font
def _sized(font: QFont, size: float, strong: bool) -> QFont:
    made = QFont(font)
    made.setPixelSize(max(1, round(em(font) * size / DESIGN)))
    made.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
    return made


def small(font: QFont) -> QFont:
    """Second lines and units."""
    return sized(font, 12)


def figure(font: QFont) -> QFont:
    """The place and the one figure that matters."""
    return sized(font, 24, strong=True)


def label(name: str, font: QFont, *, muted: bool = False) -> QLabel:
    """A label in this type, that says just what it is given."""
    made = plain_label(name)
    made.setFont(font)
    made.setProperty("muted", muted)
    return made
