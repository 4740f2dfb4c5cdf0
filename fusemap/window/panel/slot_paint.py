"""How one slot of the panel is drawn: the fuse on its standard's colour, and the marks around it.

In: a `SlotLook` and a rectangle; out: paint. A card holds, from top to bottom, label and feed mark,
the fuse seen from above with its blades and live-side arrow, the circuit, the taps, the load bar.
All measures are shares of the font's height, so a card grows with font, zoom and display.
"""

from dataclasses import dataclass, field
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPen,
    QPolygonF,
)

from fusemap import tables
from fusemap.circuits import counts_critical
from fusemap.text import Amount, Style, run_on, share
from fusemap.vehicle import Slot
from fusemap.vehicle.words import LiveSide, Orientation
from fusemap.window.panel.slot_words import SlotLook, TapMark, tr
from fusemap.window.style.signs import draw_branch, draw_eye, draw_hatch, draw_padlock
from fusemap.window.style.theme import Theme, draw_doubt, draw_feed_mark, draw_severity

WIDE: Final = 7.4
HIGH: Final = 7.9
"""Size of a cell, in heights of its font."""

SMALL: Final = 0.88
"""Size of the small words against the font."""

ROOM: Final = 0.94
"""Share of a place that words in its middle may take up."""
LEAST: Final = 0.8
"""Words that do not fit are made smaller down to this size against their font."""
_ALIGN = Qt.AlignmentFlag
_LEFT = _ALIGN.AlignLeft | _ALIGN.AlignVCenter


def card_size(font: QFont) -> QSize:
    """Room that a slot takes up with this font [px]."""
    height = QFontMetricsF(font).height()
    return QSize(int(WIDE * height), int(HIGH * height))


def scaled_font(font: QFont, factor: float, bold: bool = False) -> QFont:
    """A font so much larger."""
    made = QFont(font)
    if font.pointSizeF() > 0:
        made.setPointSizeF(max(1.0, font.pointSizeF() * factor))
    else:
        made.setPixelSize(max(1, round(font.pixelSize() * factor)))
    made.setBold(bold)
    return made


@dataclass(frozen=True, slots=True)
class Places:
    """Where on a card everything goes. Nothing overlaps and nothing leaves the card."""

    unit: float
    card: QRectF
    label: QRectF
    feed: QRectF
    centre: QRectF
    words: QRectF
    bar: QRectF

    @classmethod
    def on(cls, cell: QRectF, unit: float) -> "Places":
        """The places on a cell, `unit` being the height of its font [px]."""
        card = cell.adjusted(unit * 0.2, unit * 0.2, -unit * 0.2, -unit * 0.2)
        inside = card.adjusted(unit * 0.32, unit * 0.26, -unit * 0.32, -unit * 0.28)
        x, y, wide = inside.left(), inside.top(), inside.width()
        feed = QRectF(inside.right() - unit * 1.15, y, unit * 1.15, unit * 1.15)
        label = QRectF(x, y, wide - feed.width() - unit * 0.2, unit * 1.15)
        centre = QRectF(x, label.bottom() + unit * 0.1, wide, unit * 2.75)
        bar = QRectF(x, inside.bottom() - unit * 0.9, wide, unit * 0.9)
        top = centre.bottom() + unit * 0.12
        words = QRectF(x, top, wide, bar.top() - top - unit * 0.08)
        return cls(unit, card, label, feed, centre, words, bar)

    def body(self, orientation: Orientation) -> QRectF:
        """The fuse's body: upright high, lying wide."""
        wide, high = (1.9, 1.95) if orientation == "upright" else (2.75, 1.65)
        body = QRectF(0, 0, wide * self.unit, high * self.unit)
        body.moveCenter(self.centre.center())
        return body


@dataclass(frozen=True, slots=True)
class SlotPainter:
    """Draws slots with one painter, font and theme."""

    painter: QPainter
    theme: Theme
    font: QFont
    small: QFont = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "small", scaled_font(self.font, SMALL))

    def paint(
        self,
        at: Places,
        look: SlotLook,
        orientation: Orientation,
        side: LiveSide,
        *,
        bar: bool = True,
    ) -> None:
        """Everything on the card. `orientation` and `side` are as shown on the screen."""
        self._label(at, look.slot)
        if look.slot.kind == "fuse":
            self._fuse(at, look.slot, orientation, side)
            self._marks(at, look.slot)
        else:
            self._no_fuse(at, look.slot)
        self._words(at, look)
        if bar and look.slot.kind == "fuse":
            self._load(at, look)

    # --- top and middle -------------------------------------------------------------------------

    def _label(self, at: Places, slot: Slot) -> None:
        self._text(at.label, slot.label, scaled_font(self.font, 1.0, bold=True), "text")
        if slot.kind == "fuse":
            draw_feed_mark(self.painter, at.feed, slot.feed_class, self.theme)

    def _fuse(self, at: Places, slot: Slot, orientation: Orientation, side: LiveSide) -> None:
        body = at.body(orientation)
        self._blades(body, orientation, at.unit)
        if slot.fuse is None:
            self._body(body, at.unit, self.theme.colour("slot_empty"), dashed=True)
            # Three letters and dots say less than the dashed outline alone.
            if fits_in(tr("empty"), self.small, body.width()):
                self._centred(body, tr("empty"), self.small, self.theme.colour("muted_text"))
        else:
            fill, ink = fuse_colours(slot.family, slot.fuse.rating, self.theme)
            self._body(body, at.unit, fill)
            large = scaled_font(self.font, 1.55, bold=True)
            rating = self.theme.style.number(slot.fuse.rating)
            self._centred(body, rating, large, ink, least=0.5)
        if side != "unknown":
            self._live_arrow(body, side, at.unit)

    def _body(self, body: QRectF, unit: float, fill: QColor, *, dashed: bool = False) -> None:
        line = Qt.PenStyle.DashLine if dashed else Qt.PenStyle.SolidLine
        self.painter.setPen(QPen(self.theme.colour("frame"), max(1.0, unit * 0.07), line))
        self.painter.setBrush(fill)
        self.painter.drawRoundedRect(body, unit * 0.28, unit * 0.28)

    def _blades(self, body: QRectF, orientation: Orientation, unit: float) -> None:
        """The ends of the two contacts, looking out of the body."""
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.theme.colour("frame"))
        out, across = unit * 0.18, unit * 0.9
        high, wide = (out, -(body.width() - across) / 2), (-(body.height() - across) / 2, out)
        up, aside = high if orientation == "upright" else wide
        self.painter.drawRoundedRect(body.adjusted(-aside, -up, aside, up), unit * 0.1, unit * 0.1)

    def _live_arrow(self, body: QRectF, side: LiveSide, unit: float) -> None:
        """An arrow pointing into the body from its live side."""
        deep, half, middle = unit * 0.4, unit * 0.45, body.center()
        tip, out = {
            "left": (QPointF(body.left(), middle.y()), QPointF(-1, 0)),
            "right": (QPointF(body.right(), middle.y()), QPointF(1, 0)),
            "top": (QPointF(middle.x(), body.top()), QPointF(0, -1)),
            "bottom": (QPointF(middle.x(), body.bottom()), QPointF(0, 1)),
        }[side]
        tip += out * unit * 0.04
        back, along = tip + out * deep, QPointF(out.y(), out.x()) * half
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.theme.colour("base"))
        self.painter.drawRect(QRectF(tip - along, back + along).normalized())
        self.painter.setBrush(self.theme.colour("accent"))
        self.painter.drawPolygon(QPolygonF([tip, back + along, back - along]))

    def _no_fuse(self, at: Places, slot: Slot) -> None:
        """A relay or a blocked place."""
        size = at.unit * 2.5
        body = QRectF(0, 0, size * 1.25, size)
        body.moveCenter(at.centre.center())
        relay = slot.kind == "relay"
        self._body(body, at.unit, self.theme.colour("slot_empty" if relay else "slot_blocked"))
        word = tr("relay") if relay else tr("blocked")
        self._centred(body, word, self.small, self.theme.colour("text"))

    def _marks(self, at: Places, slot: Slot) -> None:
        """Padlock and eye at the left of the fuse; an amber padlock where only the name says so."""
        size = at.unit * 1.15
        place = QRectF(at.centre.left() - at.unit * 0.08, at.centre.top(), size, size)
        if counts_critical(slot):
            ink = self.theme.colour("stop" if slot.critical else "caution")
            draw_padlock(self.painter, place, ink, self.theme.colour("base"))
        if slot.monitored:
            place.moveBottom(at.centre.bottom())
            draw_eye(self.painter, place, self.theme.colour("text"), self.theme.colour("base"))

    # --- words and bar --------------------------------------------------------------------------

    def _words(self, at: Places, look: SlotLook) -> None:
        """The circuit on two lines, or on one above the taps."""
        half = at.words.height() / 2
        first = QRectF(at.words.left(), at.words.top(), at.words.width(), half)
        if look.taps:
            self._centred(first, look.slot.circuit, self.small, self.theme.colour("text"))
            self._taps(first.translated(0, half), look.taps)
            return
        for line, text in zip(
            (first, first.translated(0, half)),
            two_lines(look.slot.circuit, QFontMetricsF(self.small), at.words.width()),
            strict=True,
        ):
            self._centred(line, text, self.small, self.theme.colour("text"))

    def _taps(self, line: QRectF, taps: tuple[TapMark, ...]) -> None:
        """A branch, turned over where a tap is reversed, and the accessories' names."""
        side = line.height()
        names = ", ".join(mark.name for mark in taps)
        font, room = self.small, line.width() - side
        wide = QFontMetricsF(font).horizontalAdvance(names) + 1
        if wide > room:
            font = scaled_font(font, max(0.85, room / wide * 0.98))
            wide = min(QFontMetricsF(font).horizontalAdvance(names) + 1, room)
        left = line.left() + (line.width() - side - wide) / 2
        reversed_ = any(mark.way_round == "load_side" for mark in taps)
        colour = self.theme.colour("caution" if reversed_ else "accent")
        mark = QRectF(left, line.top(), side, side).adjusted(
            side * 0.12, side * 0.12, -side * 0.12, -side * 0.12
        )
        draw_branch(self.painter, mark, colour, turned_over=reversed_)
        words = QRectF(left + side, line.top(), wide, side)
        self._text(words, names, font, "caution" if reversed_ else "accent")

    def _load(self, at: Places, look: SlotLook) -> None:
        """The bar against the limit, with the share in figures."""
        text, role = load_figure(look, self.theme.style)
        font = scaled_font(self.font, 0.8, bold=look.overloaded)
        wide = QFontMetricsF(font).horizontalAdvance(text) + 1
        figure = QRectF(at.bar.right() - wide, at.bar.top(), wide, at.bar.height())
        self._text(figure, text, font, role)
        room = at.bar.width() - wide - at.unit * 0.3
        if look.overloaded:
            side = at.bar.height()
            draw_severity(
                self.painter, QRectF(at.bar.left(), at.bar.top(), side, side), "stop", self.theme
            )
            room -= side + at.unit * 0.2
        elif look.may_not_hold:
            side = at.bar.height()
            mark = QRectF(at.bar.left(), at.bar.top(), side, side)
            draw_doubt(self.painter, mark, half=True, theme=self.theme)
            room -= side + at.unit * 0.2
        if room > at.unit * 2 and look.slot.fuse is not None:
            self._bar(QRectF(figure.left() - at.unit * 0.3 - room, 0, room, 0), at, look)

    def _bar(self, span: QRectF, at: Places, look: SlotLook) -> None:
        high = at.unit * 0.4
        line = QRectF(span.left(), at.bar.center().y() - high / 2, span.width(), high)
        self.painter.setPen(QPen(self.theme.colour("frame"), max(1.0, at.unit * 0.05)))
        self.painter.setBrush(self.theme.colour("slot_empty"))
        self.painter.drawRect(line)
        if not look.assessed:
            self.painter.fillRect(line, self.theme.colour("line"))
            return
        filled, possible = QRectF(line), QRectF(line)
        filled.setWidth(line.width() * min(1.0, look.share))
        possible.setWidth(line.width() * min(1.0, look.most_share))
        if look.most_share > look.share:
            role = "caution" if look.may_not_hold else "good"
            draw_hatch(self.painter, possible, self.theme.colour(role))
        self.painter.fillRect(filled, self.theme.colour("stop" if look.overloaded else "good"))

    # --- text -----------------------------------------------------------------------------------

    def _text(self, place: QRectF, text: str, font: QFont, role: str) -> None:
        elided = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, place.width())
        self.painter.setFont(font)
        self.painter.setPen(self.theme.colour(role))
        self.painter.drawText(place, _LEFT | Qt.TextFlag.TextSingleLine, elided)

    def _centred(
        self, place: QRectF, text: str, font: QFont, colour: QColor, least: float = LEAST
    ) -> None:
        """Text in the middle, in a smaller font, down to `least`, where it would not fit."""
        wide, room = QFontMetricsF(font).horizontalAdvance(text), place.width() * ROOM
        if wide > room:
            font = scaled_font(font, max(least, room / wide), font.bold())
        elided = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, place.width())
        self.painter.setFont(font)
        self.painter.setPen(colour)
        self.painter.drawText(place, _ALIGN.AlignCenter | Qt.TextFlag.TextSingleLine, elided)


def fits_in(text: str, font: QFont, width: float) -> bool:
    """Whether a text fits whole into the middle of a place so wide, if need be a little smaller."""
    smaller = scaled_font(font, LEAST, font.bold())
    return QFontMetricsF(smaller).horizontalAdvance(text) <= width * ROOM


def load_figure(look: SlotLook, style: Style) -> tuple[str, str]:
    """The share in figures, and the role of its colour."""
    if look.slot.fuse is None and not look.taps:
        return "", "muted_text"
    if not look.assessed:
        return "…", "muted_text"
    if look.is_unmeasured:
        return tr("not measured"), "muted_text"
    known, most = share(look.share), share(max(look.share, look.most_share))
    text = style.show(known)
    if text != style.show(most):
        text = style.show(run_on(Amount(round(look.share * 100)), most, between="–"))
    return text, "stop" if look.overloaded else "text"


def two_lines(text: str, metrics: QFontMetricsF, width: float) -> tuple[str, str]:
    """A text on two lines, broken between words; the second may still be too long."""
    if metrics.horizontalAdvance(text) <= width:
        return text, ""
    words = text.split()
    first = ""
    while words and metrics.horizontalAdvance(f"{first} {words[0]}".strip()) <= width:
        first = f"{first} {words.pop(0)}".strip()
    return (first, " ".join(words)) if first else (text, "")


def fuse_colours(family: str, rating: float, theme: Theme) -> tuple[QColor, QColor]:
    """Fill and ink of a fuse; plain where the standard gives it no colour."""
    known = tables.fuse_colour(family, rating)
    if known is None:
        return theme.colour("base"), theme.colour("text")
    return QColor(known.hex), QColor(known.text_hex)
