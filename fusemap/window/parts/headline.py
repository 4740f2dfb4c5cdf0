"""The sentence at the head of a view: a severity's mark, and in bold what it comes to.

In: a severity and words. The mark is a shape as well as a colour.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel

from fusemap.window.style.theme import Theme, severity_icon
from fusemap.window.texts.plain import copyable_label

if TYPE_CHECKING:
    from fusemap.checks.finding import Severity


class Headline(QHBoxLayout):
    """A mark and a sentence that can be copied."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__()
        self._theme = theme
        self.mark = QLabel()
        self.label = copyable_label(name, strong=True)
        self.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignTop)
        self.addWidget(self.label, 1)

    def say(self, severity: "Severity", words: str) -> None:
        """Say this, marked as so severe."""
        size = self.mark.fontMetrics().height()
        self.mark.setPixmap(severity_icon(severity, self._theme, size).pixmap(size, size))
        self.label.setText(words)
