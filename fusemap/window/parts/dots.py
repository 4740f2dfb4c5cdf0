"""Where a figure stands that is still being reckoned: three grey dots in its width."""

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.window.style.bars import draw_dots
from fusemap.window.style.theme import Theme


class ReckoningDots(QWidget):
    """The dots, as wide as the figure will be: `width_of` is such a figure, in this font."""

    def __init__(self, theme: Theme, width_of: str = "100\u2009%") -> None:
        super().__init__()
        self._theme = theme
        self._width_of = width_of
        self.setObjectName("reckoningDots")
        self.setAccessibleName(self.tr("Being reckoned"))
        self.setToolTip(self.tr("Being reckoned"))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self._theme = theme
        self.update()

    def sizeHint(self) -> QSize:
        """As large as the figure."""
        metrics = QFontMetricsF(self.font())
        return QSize(round(metrics.horizontalAdvance(self._width_of)), round(metrics.height()))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Three dots in the middle."""
        painter = QPainter(self)
        draw_dots(painter, QRectF(self.rect()), self._theme.colour("frame"))
        painter.end()
