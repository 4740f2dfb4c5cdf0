"""What a slot shows while something is being placed: can, may not, cannot say, or refused and why.

In: a slot and its `Offer`. Out: the ground and frame of its card, and on it what is left with both
its ends, large, with the shape of the verdict; or, flush and faint, the reason in two or three
words.
"""

from math import isfinite
from typing import Final, Literal, NamedTuple

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter

from fusemap.text import Amount, Style
from fusemap.vehicle import Slot
from fusemap.vehicle.words import FeedClass
from fusemap.window.panel.card_places import Places
from fusemap.window.panel.card_words import narrowed, squeezed
from fusemap.window.panel.panel_drop import Offer
from fusemap.window.panel.slot_words import tr
from fusemap.window.style.letters import scaled_font
from fusemap.window.style.marks import draw_holds
from fusemap.window.style.theme import Theme, draw_doubt, draw_severity

State = Literal["can", "may_not", "ask", "refused"]
FAINT: Final = 0.42
"""How strongly the fuse of a refused slot is seen."""
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class OfferLook(NamedTuple):
    """How a card looks in a state: ground, frame, ink and how wide the frame is (font heights)."""

    ground: str
    frame: str
    ink: str
    wide: float


LOOKS: Final[dict[State, OfferLook]] = {
    "can": OfferLook("good_tint", "drop_good", "drop_good", 0.1),
    "may_not": OfferLook("caution_tint", "caution", "caution", 0.1),
    "ask": OfferLook("slot", "line", "muted_text", 0.06),
    "refused": OfferLook("sealed", "sealed", "muted_text", 0.0),
}


def offer_state(offer: Offer) -> State:
    """What a slot is to what is in hand; it can take it only where even the most leaves room."""
    candidate = offer.candidate
    if candidate.fits:
        return "can" if candidate.least_a >= -1e-9 else "may_not"
    return "ask" if candidate.rules[:1] == ("unknown",) else "refused"


def left_text(offer: Offer, style: Style) -> tuple[str, str]:
    """What is left with both its ends, as a figure and its words; empty where nothing limits it."""
    most, least = offer.candidate.margin_a, max(0.0, offer.candidate.least_a)
    if not isfinite(most):
        return "", ""
    # a tenth is what one reads here, and a hundredth below one
    places = 1 if most >= 1 else 2
    high, low = style.number(round(most, places)), style.number(round(least, places))
    figure = high if low == high or least > most else f"{low}–{high}"
    return figure, tr("A left")


WORDED: Final = ("class", "voltage", "critical", "monitored", "unfed", "unknown", "seat")
"""Rules that are said whatever the current is."""


def _is_over(offer: Offer) -> bool:
    """Whether too much current is the reason that is said."""
    first = next(iter(offer.candidate.rules), "")
    said = first in WORDED or first.startswith("looks_")
    return not said and offer.candidate.margin_a < 0 and isfinite(offer.candidate.margin_a)


def reason_text(slot: Slot, offer: Offer, style: Style) -> str:
    """Why it may not be, in two or three words."""
    candidate = offer.candidate
    first = candidate.rules[0] if candidate.rules else ""
    if first == "class":
        return _wrong_feed(slot.feed_class) or style.show(candidate.verdict)
    if first == "voltage":
        return style.show(candidate.verdict)
    if first.startswith("looks_"):
        return tr("answer first")
    words = {
        "critical": tr("leave alone"),
        "monitored": tr("watched"),
        "unfed": tr("no supply"),
        "unknown": tr("live when?"),
        "seat": tr("taken"),
    }
    if first in words:
        return words[first]
    if _is_over(offer):
        over = style.show(Amount(-candidate.margin_a, "A", significant=2))
        return tr("{current} over").format(current=over)
    return style.show(candidate.verdict) or tr("no")


def _wrong_feed(feed_class: FeedClass) -> str:
    """When such a slot is live, where that is why it may not be."""
    return {
        "permanent": tr("always live"),
        "lighting": tr("lamps on only"),
        "ignition": tr("ignition only"),
        "accessory": tr("key on only"),
        "delayed_off": tr("dead later"),
    }.get(feed_class, "")


def paint_offer(
    painter: QPainter, at: Places, font: QFont, theme: Theme, slot: Slot, offer: Offer
) -> None:
    """The figure and its words, the shape, and the circuit below; or the reason."""
    state = offer_state(offer)
    ink = LOOKS[state].ink
    side = min(at.unit * 1.15, at.head.height())
    where = QRectF(at.head.right() - side, at.head.center().y() - side / 2, side, side)
    paint_shape(painter, where, state, theme, full="budget" in offer.candidate.rules)
    if state in ("refused", "ask"):
        _paint_reason(painter, at, font, theme, slot, offer)
        return
    figure, words = left_text(offer, theme.style)
    room = at.words
    high = min(at.unit * 1.55, room.height() * 0.62)
    line = QRectF(room.left(), room.top(), room.width(), high)
    small = scaled_font(font, 0.8)
    unit_wide = QFontMetricsF(small).horizontalAdvance(words) + at.unit * 0.2
    large = scaled_font(font, min(1.5, high / at.unit), bold=True)
    if QFontMetricsF(narrowed(large, figure, line.width() - unit_wide)).height() < at.unit * 0.7:
        unit_wide = 0.0
    large = narrowed(large, figure, line.width() - unit_wide)
    painter.setFont(large)
    painter.setPen(theme.colour(ink))
    painter.drawText(line, _LEFT | Qt.TextFlag.TextSingleLine, figure)
    if unit_wide:
        wide = QFontMetricsF(large).horizontalAdvance(figure)
        painter.setFont(small)
        beside = line.adjusted(wide + at.unit * 0.2, 0, 0, 0)
        painter.drawText(beside, _LEFT | Qt.TextFlag.TextSingleLine, words)
    below = QRectF(room.left(), line.bottom(), room.width(), room.bottom() - line.bottom())
    if below.height() >= at.unit * 0.8:
        _one_line(painter, below, slot.circuit, scaled_font(font, 0.88), theme, "muted_text")


def _paint_reason(
    painter: QPainter, at: Places, font: QFont, theme: Theme, slot: Slot, offer: Offer
) -> None:
    """The reason in bold on the last line, the circuit above it where there is room."""
    pitch, room = at.unit * 0.94, at.words
    small = scaled_font(font, 0.88)
    reason = reason_text(slot, offer, theme.style)
    lines = max(1, int((room.height() + 0.5) / pitch))
    if lines > 1 and slot.circuit:
        first = QRectF(room.left(), room.top(), room.width(), pitch)
        _one_line(painter, first, slot.circuit, small, theme, "muted_text")
        room = QRectF(room.left(), room.top() + pitch, room.width(), pitch)
    else:
        room = QRectF(room.left(), room.top(), room.width(), min(pitch, room.height()))
    role = "stop" if _is_over(offer) else "text"
    bold = squeezed(scaled_font(font, 0.88, bold=True), reason, room.width())
    _one_line(painter, room, reason, bold, theme, role)


def _one_line(
    painter: QPainter, place: QRectF, text: str, font: QFont, theme: Theme, role: str
) -> None:
    elided = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, place.width() + 1)
    painter.setFont(font)
    painter.setPen(theme.colour(role))
    painter.drawText(place, _LEFT | Qt.TextFlag.TextSingleLine, elided)


def paint_shape(
    painter: QPainter, where: QRectF, state: State, theme: Theme, *, full: bool
) -> None:
    """The verdict's shape: a disc with a tick, half a disc, a dashed “?”, an octagon if full."""
    if state == "can":
        draw_holds(painter, where, theme)
    elif state in ("may_not", "ask"):
        draw_doubt(painter, where, half=state == "may_not", theme=theme)
    elif full:
        draw_severity(painter, where, "stop", theme)
