"""What is drawn while a start is followed: the meter at the battery's posts, set as it has to be.

In: the step, what is typed. Out: paint. The leads run from the drawn jacks to the two posts.
"""

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.probing.cranking import Crank
from fusemap.window.beside.big import draw_line
from fusemap.window.beside.meter import Jacks, Setting, draw_lead, draw_meter
from fusemap.window.beside.meter_place import Pen, write_lines
from fusemap.window.style.theme import Theme

WIDE: Final = 620.0
HIGH: Final = 656.0
"""The whole drawing in the design [px]."""
VOLTS: Final = Setting("V")
OFF: Final = Setting("none")


class CrankPicture(QWidget):
    """A battery with the meter at its posts."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._state = Crank()
        self.setObjectName("crankPicture")
        self.setAccessibleName(self.tr("Meter at the battery"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_step(self, state: Crank) -> None:
        """Show the meter of this step."""
        self._state = state
        self.setAccessibleDescription(", ".join(self._lines()))
        self.update()

    def sizeHint(self) -> QSize:
        """Room for battery and meter."""
        return QSize(round(WIDE), round(HIGH))

    def minimumSizeHint(self) -> QSize:
        """Still to be read close by."""
        em = self.fontMetrics().height()
        return QSize(em * 12, em * 10)

    def _lines(self) -> tuple[str, ...]:
        posts = self.tr("on the battery’s posts, not on cable or body")
        held = self.tr("MIN on") if self._state.step == "crank_v" else ""
        return tuple(filter(None, (VOLTS.words(), VOLTS.jack_words(), posts, held)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the battery above, the meter below it, the leads from one to the other."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font())
        unit = min(self.width() / WIDE, self.height() / HIGH)
        pen = Pen(painter, unit, self._theme)
        battery = QRectF(150 * unit, 70 * unit, 320 * unit, 190 * unit)
        posts = self._draw_battery(pen, battery)
        meter = QRectF(220 * unit, 330 * unit, 204 * unit, 276 * unit)
        lines = QRectF(4 * unit, meter.top(), meter.left() - 24 * unit, meter.height())
        write_lines(pen, lines, self._lines())
        shows = self._state.typed.replace("-", "−") if self._state.step != "response" else ""
        jacks = draw_meter(painter, meter, VOLTS, shows or "–", self._theme)
        self._draw_leads(pen, jacks, meter, *posts)

    def _draw_battery(self, pen: Pen, box: QRectF) -> tuple[QPointF, QPointF]:
        """Its case with both posts; the tips of minus and plus."""
        painter, unit, colour = pen.painter, pen.unit, self._theme.colour
        painter.setPen(QPen(colour("frame"), 3 * unit))
        painter.setBrush(colour("part"))
        painter.drawRoundedRect(box, 10 * unit, 10 * unit)
        tips = []
        for share, sign in ((0.18, "−"), (0.82, "+")):
            post = QRectF(0, 0, 44 * unit, 24 * unit)
            post.moveCenter(QPointF(box.left() + box.width() * share, box.top() - 10 * unit))
            painter.setPen(QPen(colour("frame"), 2 * unit))
            painter.setBrush(colour("part_pin"))
            painter.drawRoundedRect(post, 5 * unit, 5 * unit)
            words = QRectF(post.left(), box.top() + 18 * unit, post.width(), 48 * unit)
            painter.setPen(Qt.PenStyle.NoPen)
            draw_line(painter, words, sign, colour("text"), bold=True)
            tips.append(QPointF(post.center().x(), post.top()))
        return tips[0], tips[1]

    def _draw_leads(
        self, pen: Pen, jacks: Jacks, meter: QRectF, minus: QPointF, plus: QPointF
    ) -> None:
        """Below the meter, up at its right, over the battery: red on plus, black on minus."""
        unit, right = pen.unit, meter.right() + 60 * pen.unit
        for jack, x, below, above, tip, ink in (
            (jacks.red, right + 30 * unit, 22, 24, plus, "lead_red"),
            (jacks.black, right + 54 * unit, 34, 46, minus, "lead_black"),
        ):
            low, high = jacks.bottom + below * unit, tip.y() - above * unit
            way = (
                jack, QPointF(jack.x(), low), QPointF(x, low), QPointF(x, high),
                QPointF(tip.x(), high), tip,
            )  # fmt: skip
            draw_lead(pen.painter, way, ink, unit, self._theme)
