"""Labels of a page: its headings, and words of lesser weight."""

from PySide6.QtWidgets import QLabel


def muted_label(text: str) -> QLabel:
    """Words of lesser weight, as many lines as they need."""
    label = QLabel(text)
    label.setWordWrap(True)
    label.setProperty("muted", True)
    return label


def heading_label(text: str) -> QLabel:
    """A heading, half as large again as the text."""
    label = QLabel(text)
    font = label.font()
    font.setPointSizeF(font.pointSizeF() * 1.4)
    font.setBold(True)
    label.setFont(font)
    label.setWordWrap(True)
    return label
