"""Sizes of the pane in shares of its font, and its three sizes of type."""

from PySide6.QtGui import QFont, QFontInfo
from PySide6.QtWidgets import QLabel, QWidget

from fusemap.window.texts.plain import plain_label

EM = 14
"""So many pixels high is the type that sizes are given for."""


def px(widget: QWidget, size: float) -> int:
    """A size that is meant for type of 14 px, for a widget's font [px]."""
    return round(size * QFontInfo(widget.font()).pixelSize() / EM)


def sized(font: QFont, size: float, *, strong: bool = False) -> QFont:
    """A font so many 14ths as large, in bold where it is `strong`."""
    made = QFont(font)
    made.setPixelSize(max(1, round(QFontInfo(font).pixelSize() * size / EM)))
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
