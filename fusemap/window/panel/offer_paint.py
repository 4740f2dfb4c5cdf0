"""How a slot shows what it offers to what is being placed.

A tick, what is left, and the rank, on a filled band; or hatching, a cross, and why not. Shape and
words say it, the colour helps.
"""

from math import isfinite

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen

from fusemap.text import Amount, Style
from fusemap.vehicle import Slot
from fusemap.window.panel.panel_drop import Offer
from fusemap.window.panel.slot_marks import draw_cross, draw_tick
from fusemap.window.panel.slot_places import Places, scaled
from fusemap.window.panel.slot_words import tr
from fusemap.window.style.theme import Theme


def hatch(painter: QPainter, at: Places, theme: Theme) -> None:
    """Slanted lines behind the marks of a slot that cannot take it."""
    painter.save()
    colour = QColor(theme.colour("drop_bad"))
    colour.setAlphaF(0.28)
    painter.setPen(QPen(colour, max(1.0, at.unit * 0.07)))
    painter.setClipRect(at.card.adjusted(2, 2, -2, -2))
    step, high = at.unit * 0.5, at.card.height()
    x = at.card.left() - high
    while x < at.card.right():
        painter.drawLine(QPointF(x, at.card.bottom()), QPointF(x + high, at.card.top()))
        x += step
    painter.restore()


def paint_offer(
    painter: QPainter,
    at: Places,
    font: QFont,
    theme: Theme,
    slot: Slot,
    offer: Offer,
    *,
    aimed: bool,
) -> None:
    """The offer in place of the load bar: a band with a sign, what is left, and the rank."""
    role = "drop_good" if offer.fits else "drop_bad"
    colour, ground = theme.colour(role), theme.colour("base")
    band = QRectF(at.card)
    band.setTop(at.bar.top() - at.unit * 0.05)
    inset = at.unit * 0.14
    band.adjust(inset, 0, -inset, -inset)
    filled = offer.fits or aimed
    painter.setPen(QPen(colour, max(1.0, at.unit * 0.08)))
    painter.setBrush(QBrush(colour if filled else ground))
    painter.drawRoundedRect(band, at.unit * 0.3, at.unit * 0.3)
    ink = ground if filled else colour
    side = band.height()
    sign = QRectF(band.left() + at.unit * 0.1, band.top(), side, side).adjusted(
        side * 0.15, side * 0.15, -side * 0.15, -side * 0.15
    )
    (draw_tick if offer.fits else draw_cross)(painter, sign, ink)
    words = band.adjusted(side + at.unit * 0.1, 0, -at.unit * 0.15, 0)
    text = offer_text(slot, offer, theme.style)
    bold = scaled(font, 0.88, bold=True)
    wide = QFontMetricsF(bold).horizontalAdvance(text)
    if wide > words.width():
        bold = scaled(bold, max(0.7, words.width() / wide), bold=True)
    painter.setFont(bold)
    painter.setPen(ink)
    painter.drawText(words, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)
    if offer.rank:
        _paint_rank(painter, at, font, theme, offer.rank)


def _paint_rank(painter: QPainter, at: Places, font: QFont, theme: Theme, rank: int) -> None:
    """The rank at the right of the fuse: 1 is the best."""
    side = at.unit * 1.25
    place = QRectF(at.centre.right() - side, at.centre.bottom() - side, side, side)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("drop_good"))
    painter.drawEllipse(place)
    painter.setFont(scaled(font, 0.75 if rank < 10 else 0.62, bold=True))
    painter.setPen(theme.colour("base"))
    painter.drawText(place, Qt.AlignmentFlag.AlignCenter, str(rank))


def offer_text(slot: Slot, offer: Offer, style: Style) -> str:
    """What is left, or why it may not be, or by how much it is too much."""
    margin, verdict = offer.candidate.margin_a, style.show(offer.candidate.verdict)
    amount = style.show(Amount(abs(margin), "A", significant=2)) if isfinite(margin) else ""
    if offer.fits:
        return f"+{amount}" if amount else ""
    if slot.critical:
        return tr("critical")
    if slot.monitored:
        return tr("monitored")
    if slot.feed_class in ("unfed", "unknown"):
        return tr("unfed") if slot.feed_class == "unfed" else tr("not known")
    if any(rule.startswith("looks_") for rule in offer.candidate.rules):
        return verdict
    return f"−{amount}" if margin < 0 else verdict or tr("no")
