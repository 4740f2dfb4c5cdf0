"""One line of text as large as its place allows, to be read from a metre and a half.

The text shrinks until it fits, so that nothing is ever cut off; below the size of ordinary text it
is written on two lines.
"""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

CENTRE = Qt.AlignmentFlag.AlignCenter
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


def fitting(font: QFont, text: str, place: QRectF, *, most: float = 0.8) -> QFont:
    """The font in which a text fills a place: at most `most` of its height, never wider."""
    made = QFont(font)
    high = max(1.0, place.height() * most)
    made.setPixelSize(max(1, round(high)))
    wide = QFontMetricsF(made).horizontalAdvance(text)
    if wide > place.width() > 0:
        made.setPixelSize(max(1, int(high * place.width() / wide)))
    # Hinting makes letters a little wider than their share of the size.
    while made.pixelSize() > 4 and QFontMetricsF(made).horizontalAdvance(text) > place.width():
        made.setPixelSize(made.pixelSize() - 1)
    return made


def draw_line(
    painter: QPainter,
    place: QRectF,
    text: str,
    colour: QColor,
    *,
    bold: bool = False,
    most: float = 0.8,
    align: Qt.AlignmentFlag = CENTRE,
) -> None:
    """Write one line as large as the place allows."""
    if not text or place.height() < 2 or place.width() < 2:
        return
    font = QFont(painter.font())
    font.setBold(bold)
    painter.save()
    painter.setFont(fitting(font, text, place, most=most))
    painter.setPen(colour)
    painter.drawText(place, align | Qt.TextFlag.TextSingleLine, text)
    painter.restore()


class BigLine(QWidget):
    """A line of text that fills its place; `lines` heights of the font at least."""

    def __init__(
        self,
        key: str,
        name: str,
        ink: QColor,
        *,
        lines: float = 2.0,
        bold: bool = True,
        align: Qt.AlignmentFlag = LEFT,
        most: float = 0.8,
    ) -> None:
        super().__init__()
        self._most = most
        self._ink = ink
        self._ground: QColor | None = None
        self._lines = lines
        self._bold = bold
        self._align = align
        self._name = name
        self.text = ""
        self.setObjectName(key)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_text(self, text: str, ink: QColor | None = None, ground: QColor | None = None) -> None:
        """Write another text, perhaps in other colours."""
        if (text, ink or self._ink, ground) == (self.text, self._ink, self._ground):
            return
        self.text = text
        self._ink = ink or self._ink
        self._ground = ground
        self.setAccessibleDescription(text)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """As high as asked, and wide enough at ordinary size."""
        metrics = self.fontMetrics()
        return QSize(metrics.horizontalAdvance(self.text), round(metrics.height() * self._lines))

    def minimumSizeHint(self) -> QSize:
        """One ordinary line."""
        height = self.fontMetrics().height()
        return QSize(height * 4, round(height * min(self._lines, 1.4)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Write it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        place = QRectF(self.rect())
        if self._ground is not None:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self._ground)
            painter.drawRoundedRect(place, place.height() * 0.12, place.height() * 0.12)
            place = place.adjusted(place.height() * 0.2, 0, -place.height() * 0.2, 0)
        draw_line(
            painter, place, self.text, self._ink, bold=self._bold, most=self._most,
            align=self._align,
        )  # fmt: skip
