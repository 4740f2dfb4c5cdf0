"""A slot on the photo alone: its outline and its label, no card."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from fusemap.window.panel.card_places import Places
from fusemap.window.panel.slot_words import SlotLook
from fusemap.window.style.letters import scaled_font
from fusemap.window.style.theme import Theme


def paint_alone(
    painter: QPainter, at: Places, look: SlotLook, font: QFont, theme: Theme, *, selected: bool
) -> None:
    """Outline and label of a slot before its photo, to be seen on any picture."""
    round_ = at.unit * 0.3
    painter.setBrush(Qt.BrushStyle.NoBrush)
    colour = theme.colour("accent" if selected else "frame")
    for ink, wide in ((theme.colour("base"), 0.22), (colour, 0.1)):
        painter.setPen(QPen(ink, max(1.5, at.unit * (wide + 0.08 * selected))))
        painter.drawRoundedRect(at.card, round_, round_)
    label = look.slot.label
    if not label:
        return
    bold = scaled_font(font, 0.9, bold=True)
    metrics = QFontMetricsF(bold)
    room = at.card.width() - at.unit * 0.3
    words = metrics.elidedText(label, Qt.TextElideMode.ElideRight, room)
    plate = QRectF(
        at.card.left(), at.card.top(),
        metrics.horizontalAdvance(words) + at.unit * 0.5, metrics.height() * 1.1,
    )  # fmt: skip
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("base"))
    painter.drawRoundedRect(plate, round_, round_)
    painter.setPen(theme.colour("text"))
    painter.setFont(bold)
    painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, words)
