"""The line at the foot of a panel that says what can be done now.

In: words of one or more phrases, and how much of the line something else lies over [px]. Out: as
many whole phrases as there is room for beside that.
"""

from typing import Final

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetricsF, QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy

from fusemap.window.texts.plain import plain_tip

BETWEEN: Final = " · "
"""Stands between phrases."""


class HintLine(QLabel):
    """One line: as many whole phrases as fit, all of them in its tooltip."""

    def __init__(self) -> None:
        super().__init__()
        self._phrases: list[str] = []
        self._kept_clear = 0
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setProperty("muted", True)

    def tell(self, words: str) -> None:
        """Say this; its phrases stand apart by a dot or a line."""
        phrases = words.replace("\n", BETWEEN).split(BETWEEN)
        if phrases != self._phrases:
            self._phrases = phrases
            self._fit()

    def keep_clear(self, wide: int) -> None:
        """Something lies over the last of it, so wide [px]: nothing is said there."""
        if wide != self._kept_clear:
            self._kept_clear = wide
            self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As much of it as goes onto the line."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        metrics, kept = QFontMetricsF(self.font()), list(self._phrases)
        room = max(0, self.width() - self._kept_clear)
        while len(kept) > 1 and metrics.horizontalAdvance(BETWEEN.join(kept)) > room:
            kept.pop()
        elide = Qt.TextElideMode.ElideRight
        shown, whole = BETWEEN.join(kept), BETWEEN.join(self._phrases)
        if self.width() > 0:
            # with less room than a few letters take, none are better than dots
            shown = metrics.elidedText(shown, elide, room) if room > metrics.height() * 4 else ""
        self.setText(shown)
        self.setToolTip(plain_tip(whole) if shown != whole else "")

    def sizeHint(self) -> QSize:
        """One line high."""
        return QSize(0, self.fontMetrics().lineSpacing())

    def minimumSizeHint(self) -> QSize:
        """As narrow as need be."""
        return self.sizeHint()
