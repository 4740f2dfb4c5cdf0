"""Labels in the largest size of type: an answer, a share."""

from typing import Final

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication, QLabel

from fusemap.window.texts.plain import copyable_label

DOTS: Final = "•••"
"""What stands in a figure's place while it is reckoned."""
LARGER: Final = 24 / 14
"""The largest size of type against the usual one."""


def figure_font(scale: float = LARGER) -> QFont:
    """The font of what one reads first."""
    font = QFont(QApplication.font())
    font.setPointSizeF(font.pointSizeF() * scale)
    font.setWeight(QFont.Weight.DemiBold)
    return font


def figure_label(name: str) -> QLabel:
    """A large label whose text can be marked."""
    label = copyable_label(name)
    label.setFont(figure_font())
    return label
