"""How one slot of the panel is drawn: the fuse on its standard's colour, and the marks around it.

In: a `SlotLook` and the places on its card; out: paint. What the room is short of yields in this
order: the load bar, the eye, the accessory's name; never label, fuse, feed mark, the figure with
both its ends, the shape of a verdict.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
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
from fusemap.text import Style, share
from fusemap.vehicle import Slot
from fusemap.vehicle.words import LiveSide, Orientation
from fusemap.window.panel.card_places import PITCH, SMALL, Places, scaled_font
from fusemap.window.panel.card_words import laid_out, lines_of, narrowed, squeezed
from fusemap.window.panel.slot_words import SlotLook, TapMark, tr
from fusemap.window.style.signs import draw_branch, draw_eye, draw_padlock
from fusemap.window.style.theme import Theme, draw_doubt, draw_feed_mark, draw_severity

ROOM: Final = 0.94
"""Share of a place that words in its middle may take up."""
_ALIGN = Qt.AlignmentFlag
_LEFT = _ALIGN.AlignLeft | _ALIGN.AlignVCenter
_RIGHT = _ALIGN.AlignRight | _ALIGN.AlignVCenter
SignDrawing = Callable[[QPainter, QRectF, QColor, QColor], None]


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
        offered: bool = False,
    ) -> None:
        """Everything on the card. `orientation` and `side` are as shown on the screen.

        While it is `offered` to what is being placed, a band stands in the place of figure and
        last words.
        """
        slot = look.slot
        self._text(at.head, slot.label, scaled_font(self.font, 1.0, bold=True), self._ink(look))
        bar = False
        if slot.kind == "fuse":
            self._fuse(at, slot, orientation, side)
            draw_feed_mark(self.painter, at.feed, slot.feed_class, self.theme)
            if not offered:
                self._head(at, look)
                bar = self._load(at, look)
        else:
            self._no_fuse(at, slot)
        self._words(at, look, bar=bar, offered=offered)

    # --- top and middle -------------------------------------------------------------------------

    @staticmethod
    def _ink(look: SlotLook) -> str:
        """What may not be touched, and what is empty, stands back."""
        return "muted_text" if is_flush(look) else "text"

    def _head(self, at: Places, look: SlotLook) -> None:
        """At the right of the label: signs, and the figure where it has no row of its own."""
        text, role = load_figure(look, self.theme.style)
        bold = scaled_font(self.font, 0.94, bold=True)
        label = QFontMetricsF(scaled_font(self.font, 1.0, bold=True)).horizontalAdvance(
            look.slot.label
        )
        room = at.head.width() - label - at.unit * 0.25
        right = at.head.right()
        if at.figure != at.head:
            self._figure(at.figure, text, bold, role, _LEFT)
        else:
            right -= self._figure(at.head.adjusted(at.head.width() - room, 0, 0, 0), text, bold,
                                  role, _RIGHT)  # fmt: skip
        size = at.unit * 0.95
        for draw, ink in self._signs(look):
            right -= size + at.unit * 0.12
            if right < at.head.left() + label + at.unit * 0.1:
                return
            place = QRectF(right, at.head.center().y() - size / 2, size, size)
            draw(self.painter, place, self.theme.colour(ink), self.theme.colour("base"))

    @staticmethod
    def _signs(look: SlotLook) -> list[tuple[SignDrawing, str]]:
        """Padlock and eye; an amber padlock where only the name says so."""
        slot = look.slot
        signs: list[tuple[SignDrawing, str]] = []
        if counts_critical(slot):
            signs.append((draw_padlock, "muted_text" if slot.critical else "caution"))
        if slot.monitored:
            signs.append((draw_eye, "muted_text"))
        return signs

    def _figure(
        self, place: QRectF, text: str, font: QFont, role: str, align: Qt.AlignmentFlag
    ) -> float:
        """The share with both its ends, closer or smaller where it must, never cut; its width."""
        if not text:
            return 0.0
        font = narrowed(font, text, place.width())
        wide = QFontMetricsF(font).horizontalAdvance(text)
        self.painter.setFont(font)
        self.painter.setPen(self.theme.colour(role))
        self.painter.drawText(place, align | Qt.TextFlag.TextSingleLine, text)
        return wide

    def _fuse(self, at: Places, slot: Slot, orientation: Orientation, side: LiveSide) -> None:
        body = at.body(orientation)
        if at.shape != "flat":
            self._blades(body, orientation, at.unit)
        if slot.fuse is None:
            self._body(body, at.unit, self.theme.colour("slot_empty"), dashed=True)
            self._slits(body, orientation)
        else:
            fill, ink = fuse_colours(slot.family, slot.fuse.rating, self.theme)
            self._body(body, at.unit, fill)
            large = scaled_font(self.font, min(1.2, body.height() / at.unit * 0.86), bold=True)
            rating = self.theme.style.number(slot.fuse.rating)
            self.painter.setFont(narrowed(large, rating, body.width() * ROOM))
            self.painter.setPen(ink)
            self.painter.drawText(body, _ALIGN.AlignCenter | Qt.TextFlag.TextSingleLine, rating)
        if side != "unknown":
            self._live_arrow(body, side, at.unit, flat=at.shape == "flat")

    def _body(self, body: QRectF, unit: float, fill: QColor, *, dashed: bool = False) -> None:
        line = Qt.PenStyle.DashLine if dashed else Qt.PenStyle.SolidLine
        self.painter.setPen(QPen(self.theme.colour("frame"), max(1.0, unit * 0.07), line))
        self.painter.setBrush(fill)
        self.painter.drawRoundedRect(body, unit * 0.28, unit * 0.28)

    def _slits(self, body: QRectF, orientation: Orientation) -> None:
        """The two openings that the blades of a fuse would go into."""
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.theme.colour("frame"))
        for share_ in (0.25, 0.75):
            slit = QRectF(0, 0, body.width() * 0.4, body.height() * 0.09)
            middle = QPointF(body.center().x(), body.top() + body.height() * share_)
            if orientation == "lying":
                slit = QRectF(0, 0, body.width() * 0.09, body.height() * 0.4)
                middle = QPointF(body.left() + body.width() * share_, body.center().y())
            slit.moveCenter(middle)
            self.painter.drawRect(slit)

    def _blades(self, body: QRectF, orientation: Orientation, unit: float) -> None:
        """The ends of the two contacts, looking out of the body."""
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.theme.colour("frame"))
        out, across = unit * 0.14, unit * 0.8
        high, wide = (out, -(body.width() - across) / 2), (-(body.height() - across) / 2, out)
        up, aside = high if orientation == "upright" else wide
        self.painter.drawRoundedRect(body.adjusted(-aside, -up, aside, up), unit * 0.1, unit * 0.1)

    def _live_arrow(self, body: QRectF, side: LiveSide, unit: float, *, flat: bool) -> None:
        """An arrow pointing into the body from its live side."""
        deep, half, middle = unit * 0.28, unit * 0.34, body.center()
        if flat:
            deep, half = unit * (0.16 if side in ("left", "right") else 0.09), unit * 0.28
        tip, out = {
            "left": (QPointF(body.left(), middle.y()), QPointF(-1, 0)),
            "right": (QPointF(body.right(), middle.y()), QPointF(1, 0)),
            "top": (QPointF(middle.x(), body.top()), QPointF(0, -1)),
            "bottom": (QPointF(middle.x(), body.bottom()), QPointF(0, 1)),
        }[side]
        tip += out * unit * (0.0 if flat else 0.04)
        back, along = tip + out * deep, QPointF(out.y(), out.x()) * half
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.theme.colour("base"))
        self.painter.drawRect(QRectF(tip - along, back + along).normalized())
        self.painter.setBrush(self.theme.colour("accent"))
        self.painter.drawPolygon(QPolygonF([tip, back + along, back - along]))

    def _no_fuse(self, at: Places, slot: Slot) -> None:
        """A relay with its coil and contact, or a blocked place, crossed out."""
        relay = slot.kind == "relay"
        body = at.body("upright")
        self._body(body, at.unit, self.theme.colour("slot_empty" if relay else "slot_blocked"))
        self.painter.setPen(QPen(self.theme.colour("text"), max(1.0, at.unit * 0.08)))
        inner = body.adjusted(body.width() * 0.2, body.height() * 0.2, -body.width() * 0.2,
                              -body.height() * 0.2)  # fmt: skip
        if not relay:
            self.painter.drawLine(inner.topLeft(), inner.bottomRight())
            self.painter.drawLine(inner.bottomLeft(), inner.topRight())
            return
        coil = QRectF(inner.left(), inner.center().y(), inner.width(), inner.height() / 2)
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.drawRect(coil)
        self.painter.drawLine(QPointF(inner.left(), inner.top() + inner.height() * 0.3),
                              QPointF(inner.right(), inner.top()))  # fmt: skip

    # --- words and bar --------------------------------------------------------------------------

    def _load(self, at: Places, look: SlotLook) -> bool:
        """The bar against the limit; False where it yields to the words."""
        if at.bar.isEmpty() or look.slot.fuse is None or is_flush(look):
            return False
        if at.bar.intersects(at.words):
            room = at.words.height() - at.bar.height()
            if self._lines_for(at, look) * at.unit * PITCH > room + 0.5:
                return False
        high = max(2.0, at.unit * 0.24)
        line = QRectF(at.bar.left(), at.bar.center().y() - high / 2, at.bar.width(), high)
        paint_bar(self.painter, line, look, self.theme)
        return True

    def _lines_for(self, at: Places, look: SlotLook) -> int:
        """How many lines the words of a card need."""
        metrics = QFontMetricsF(self.small)
        lines = len(lines_of(look.slot.circuit, metrics, at.words.width(), 3))
        return lines + bool(look.taps or look.overloaded or look.may_not_hold)

    def _words(self, at: Places, look: SlotLook, *, bar: bool, offered: bool) -> None:
        """The circuit on as many lines as there are, above the taps."""
        place, pitch = QRectF(at.words), at.unit * PITCH
        if bar and at.bar.intersects(place):
            place.setTop(at.bar.bottom())
        if offered:
            place.setBottom(at.offer.top())
        elif look.taps or look.overloaded or look.may_not_hold:
            place.setBottom(place.bottom() - self._last_line(place, at, look))
        if at.shape == "below":
            place.setLeft(place.left() + at.unit * 0.05)
        text = look.slot.circuit or ("" if look.slot.kind == "fuse" else self._kind_word(look))
        made, ink = laid_out(text, self.small, pitch, place.size()), self._ink(look)
        for number, (words, font) in enumerate(made.lines):
            top = place.top() + number * made.pitch
            self._text(QRectF(place.left(), top, place.width(), made.pitch), words, font, ink)

    @staticmethod
    def _kind_word(look: SlotLook) -> str:
        words = {"relay": tr("relay"), "module": tr("output")}
        return words.get(look.slot.kind, tr("blocked"))

    def _last_line(self, place: QRectF, at: Places, look: SlotLook) -> float:
        """Verdict and taps at the foot of the words; how high that is.

        Where the circuit's name needs that line too, the accessory's name yields, and the sign
        alone stands at its right.
        """
        pitch = at.unit * PITCH
        side = pitch if at.shape != "flat" else place.height()
        line = QRectF(place.left(), place.bottom() - side, place.width(), side)
        above = QSizeF(place.width(), place.height() - side)
        aside = (
            at.shape == "flat" or not laid_out(look.slot.circuit, self.small, pitch, above).whole
        )
        names = not aside and bool(look.taps)
        mark = QRectF(line.left() if names else line.right() - side, line.top(), side, side)
        inset = side * 0.07
        self._verdict_or_lead(mark.adjusted(inset, inset, -inset, -inset), look)
        if names:
            self._names(line.adjusted(side * 1.15, 0, 0, 0), look)
        if aside:
            place.setRight(mark.left() - at.unit * 0.1)
        return 0.0 if aside else pitch

    def _verdict_or_lead(self, mark: QRectF, look: SlotLook) -> None:
        """The shape of the verdict where it is not good; else the lead of the tap."""
        if look.overloaded:
            draw_severity(self.painter, mark, "stop", self.theme)
        elif look.may_not_hold:
            draw_doubt(self.painter, mark, half=True, theme=self.theme)
        else:
            reversed_ = is_reversed(look.taps)
            colour = self.theme.colour("caution" if reversed_ else "accent")
            draw_branch(self.painter, mark, colour, turned_over=reversed_)

    def _names(self, line: QRectF, look: SlotLook) -> None:
        names = ", ".join(mark.name for mark in look.taps)
        role = "caution" if is_reversed(look.taps) or look.may_not_hold else "accent"
        if look.overloaded:
            role = "stop"
        self._text(line, names, squeezed(self.small, names, line.width()), role)

    # --- text -----------------------------------------------------------------------------------

    def _text(self, place: QRectF, text: str, font: QFont, role: str) -> None:
        elided = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, place.width())
        self.painter.setFont(font)
        self.painter.setPen(self.theme.colour(role))
        self.painter.drawText(place, _LEFT | Qt.TextFlag.TextSingleLine, elided)


def is_reversed(taps: tuple[TapMark, ...]) -> bool:
    """Whether a tap sits the other way round."""
    return any(mark.way_round == "load_side" for mark in taps)


def is_flush(look: SlotLook) -> bool:
    """Whether there is nothing to plan here: left alone, no fuse in it, or no fuse slot at all."""
    slot = look.slot
    if slot.kind != "fuse":
        return True
    if look.overloaded or look.may_not_hold or look.taps:
        return False
    return slot.critical or slot.fuse is None


def paint_bar(painter: QPainter, line: QRectF, look: SlotLook, theme: Theme) -> None:
    """The load on a track that ends at the limit: solid what is known, hatched what may be.

    Past the limit it is full, in the colour of its verdict, with a stop at its end.
    """
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("slot_empty"))
    painter.drawRoundedRect(line, line.height() / 2, line.height() / 2)
    if not look.assessed:
        return
    role = "stop" if look.overloaded else "caution" if look.may_not_hold else "muted_text"
    colour = theme.colour(role)
    known, most = QRectF(line), QRectF(line)
    known.setWidth(line.width() * min(1.0, look.share))
    most.setLeft(known.right())
    most.setRight(line.left() + line.width() * min(1.0, max(look.share, look.most_share)))
    if look.share > 0:
        painter.fillRect(known, colour)
    if most.width() > 0.5:
        _hatch(painter, most, colour)
    if look.overloaded or look.may_not_hold:
        over = line.height() * 0.75
        painter.fillRect(QRectF(line.right() - 1.0, line.top() - over, 2.0,
                                line.height() + 2 * over), colour)  # fmt: skip


def _hatch(painter: QPainter, place: QRectF, colour: QColor) -> None:
    """Slanting strokes, as dense as the place is high."""
    painter.save()
    painter.setClipRect(place)
    high = place.height()
    painter.setPen(QPen(colour, max(1.0, high * 0.3)))
    x, step = place.left() - high, max(3.0, high * 0.9)
    while x < place.right():
        painter.drawLine(QPointF(x, place.bottom()), QPointF(x + high * 0.5, place.top()))
        x += step
    painter.restore()


def load_figure(look: SlotLook, style: Style) -> tuple[str, str]:
    """The share in figures, with both its ends, and the role of its colour."""
    if is_flush(look) or (look.slot.fuse is None and not look.taps):
        return "", "muted_text"
    if not look.assessed:
        return "…", "muted_text"
    known, most = (style.show(share(each)) for each in (look.share, look.most_share))
    role = "stop" if look.overloaded else "caution" if look.may_not_hold else "text"
    if known == most or look.most_share < look.share:
        return known, role
    return f"{style.number(round(100 * look.share))}–{most}", role


def fuse_colours(family: str, rating: float, theme: Theme) -> tuple[QColor, QColor]:
    """Fill and ink of a fuse; plain where the standard gives it no colour."""
    known = tables.fuse_colour(family, rating)
    if known is None:
        return theme.colour("base"), theme.colour("text")
    return QColor(known.hex), QColor(known.text_hex)
