"""How one slot of the panel is drawn: its label, figure and words, and the marks around its fuse.

In: a `SlotLook` and the places on its card; out: paint. What the room is short of yields in this
order: the load bar, the eye, the accessory's name; never label, fuse, feed mark, the figure with
both its ends, the shape of a verdict.
"""

from collections.abc import Callable
from functools import cached_property

from msgspec import Struct
from PySide6.QtCore import QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QFont,
    QFontMetricsF,
    QPainter,
)

from fusemap.circuits import counts_critical, is_nameless, unanswered
from fusemap.text import Style, share
from fusemap.vehicle.words import LiveSide, Orientation
from fusemap.window.panel.card_places import PITCH, SIGN, SMALL, Places
from fusemap.window.panel.card_words import laid_out, lines_of, narrowed, squeezed
from fusemap.window.panel.fuse_paint import FusePainter
from fusemap.window.panel.slot_words import SlotLook, TapMark, tapped, tr
from fusemap.window.style.bars import draw_load_bar
from fusemap.window.style.letters import scaled_font
from fusemap.window.style.signs import draw_branch, draw_eye, draw_padlock
from fusemap.window.style.theme import Theme, draw_doubt, draw_feed_mark, draw_severity

_ALIGN = Qt.AlignmentFlag
_LINE = _ALIGN.AlignVCenter | Qt.TextFlag.TextSingleLine
_LEFT, _RIGHT = _ALIGN.AlignLeft | _LINE, _ALIGN.AlignRight | _LINE
SignDrawing = Callable[[QPainter, QRectF, Theme], None]


class SlotPainter(Struct, frozen=True, dict=True):
    """Draws slots with one painter, font and theme."""

    painter: QPainter
    theme: Theme
    font: QFont

    @cached_property
    def small(self) -> QFont:
        """The font of what is said beside."""
        return scaled_font(self.font, SMALL)

    @cached_property
    def fuses(self) -> FusePainter:
        """What draws the fuse in its place."""
        return FusePainter(self.painter, self.theme, self.font)

    def paint(
        self,
        at: Places,
        look: SlotLook,
        orientation: Orientation,
        side: LiveSide,
    ) -> None:
        """Everything on the card. `orientation` and `side` are as shown on the screen."""
        slot = look.slot
        self.paint_label(at, look)
        if at.shape == "small":
            self._small(at, look, orientation, side)
            return
        if slot.kind != "fuse":
            self.fuses.paint_none(at, slot)
            self._words(at, look, bar=False)
            return
        self.fuses.paint(at, slot, orientation, side)
        draw_feed_mark(self.painter, at.feed, slot.feed_class, self.theme)
        self._head(at, look)
        self._words(at, look, bar=self._load(at, look))

    def _small(self, at: Places, look: SlotLook, orientation: Orientation, side: LiveSide) -> None:
        """Fuse and feed, below them label and figure; in its place what stands for none."""
        if look.slot.kind != "fuse":
            self.fuses.paint_none(at, look.slot)
            return
        self.fuses.paint(at, look.slot, orientation, side)
        draw_feed_mark(self.painter, at.feed, look.slot.feed_class, self.theme)
        text, role = load_figure(look, self.theme.style)
        self._figure(at.figure, text, scaled_font(self.font, 0.94), role, _LEFT)
        size = at.unit * SIGN
        place = QRectF(at.head.right() - size, at.head.center().y() - size / 2, size, size)
        if self._bad(look):
            self._verdict_or_lead(place, look)
        elif signs := self._signs(look):
            signs[0](self.painter, place, self.theme)

    def paint_label(self, at: Places, look: SlotLook) -> None:
        """What the slot is called."""
        label = scaled_font(self.font, 1.0, bold=True)
        self._text(at.head, look.slot.label, label, self._ink(look))

    def stations(
        self, at: Places, look: SlotLook, orientation: Orientation, side: LiveSide
    ) -> None:
        """What the current's way passes under: fuse, feed mark, and the verdict's shape below."""
        self.fuses.paint(at, look.slot, orientation, side)
        draw_feed_mark(self.painter, at.feed, look.slot.feed_class, self.theme)
        if at.under is not None and (look.overloaded or look.may_not_hold):
            self._verdict_or_lead(at.under, look)

    # --- top and middle -------------------------------------------------------------------------

    @staticmethod
    def _ink(look: SlotLook) -> str:
        """What may not be touched, and what is empty, stands back."""
        return "muted_text" if is_flush(look) else "text"

    def _head(self, at: Places, look: SlotLook) -> None:
        """At the right of the label: signs, and the figure where it has no row of its own."""
        text, role = load_figure(look, self.theme.style)
        bold = scaled_font(self.font, 0.94, bold=True)
        room = at.head.width() - self._label_width(look) - at.unit * 0.25
        right = at.head.right()
        if at.figure != at.head:
            self._figure(at.figure, text, bold, role, _LEFT)
        elif text:
            right -= self._figure(at.head.adjusted(at.head.width() - room, 0, 0, 0), text, bold,
                                  role, _RIGHT)  # fmt: skip
        for draw, place in self._placed_signs(at, look, right):
            draw(self.painter, place, self.theme)

    def _label_width(self, look: SlotLook) -> float:
        label = QFontMetricsF(scaled_font(self.font, 1.0, bold=True))
        return label.horizontalAdvance(look.slot.label)

    def _placed_signs(
        self, at: Places, look: SlotLook, right: float
    ) -> list[tuple[SignDrawing, QRectF]]:
        """The signs beside the label up to `right`, then below the bar where there is room."""
        signs = self._signs(look)
        if not signs:
            return []
        left = at.head.left() + self._label_width(look) + at.unit * 0.1
        size = at.unit * SIGN
        step = size + at.unit * 0.12
        if right < at.head.right():  # as far from the figure as from the label, or nearly
            wide = max(0.0, right - left)
            left_over = wide - step * min(len(signs), int(wide / step))
            right -= min(at.unit * 0.2, left_over / 2)
        rows = [QRectF(left, at.head.top(), right - left, at.head.height())]
        if at.signs is not None:
            rows.append(at.signs)
        places = [
            QRectF(row.right() - number * step, row.center().y() - size / 2, size, size)
            for row in rows
            for number in range(1, 1 + int(row.width() / step))
        ]
        return list(zip(signs, places, strict=False))

    @staticmethod
    def _signs(look: SlotLook) -> list[SignDrawing]:
        """Padlock, a question nobody answered, and eye: what yields last comes first."""
        slot = look.slot
        signs: list[SignDrawing] = []
        # before the figures nothing is read of a name either: the first painting waits for no table
        if slot.critical or (look.assessed and counts_critical(slot)):
            signs.append(_padlock)
        if look.assessed and unanswered(slot):
            signs.append(_question)
        if slot.monitored:
            signs.append(_eye)
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
        self.painter.drawText(place, align, text)
        return wide

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

    def grounds(self, at: Places, look: SlotLook) -> list[QRectF]:
        """Where words stand: head and figure, the circuit's lines, the last line of the taps."""
        pitch, words = at.unit * PITCH, at.words
        made = laid_out(
            self._circuit(look), self._letters(look), pitch, self._room(at, words).size()
        )
        above = QRectF(words.left(), words.top(), words.width(), len(made.lines) * made.pitch)
        if at.bar.intersects(words):
            above.setBottom(above.bottom() + at.bar.bottom() - words.top())
        foot = QRectF(words.left(), words.bottom() - 2 * pitch, words.width(), 2 * pitch)
        last = foot if look.taps or self._bad(look) else QRectF()
        signs = []
        if at.signs is not None:
            placed = self._placed_signs(at, look, at.head.right())
            signs = [place for _, place in placed if place.intersects(at.signs)]
        stood = (at.head | at.figure, above & words, last & words, *signs)
        return [each for each in stood if each.isValid()]

    def _lines_for(self, at: Places, look: SlotLook) -> int:
        """How many lines the words of a card need."""
        metrics = QFontMetricsF(self.small)
        lines = len(lines_of(self._circuit(look), metrics, at.words.width(), 3))
        return lines + bool(look.taps or (self._bad(look) and at.under is None))

    @staticmethod
    def _bad(look: SlotLook) -> bool:
        return look.overloaded or look.may_not_hold

    def _circuit(self, look: SlotLook) -> str:
        """What a slot feeds; where nobody said, the question."""
        if look.slot.circuit or look.slot.kind != "fuse":
            return look.slot.circuit or self._kind_word(look)
        return tr("What does it feed?") if is_unnamed(look) else ""

    def _words(self, at: Places, look: SlotLook, *, bar: bool) -> None:
        """The circuit on as many lines as there are, above the taps."""
        place, pitch = QRectF(at.words), at.unit * PITCH
        if bar and at.bar.intersects(place):
            place.setTop(at.bar.bottom())
        if look.taps or self._bad(look):
            place.setBottom(place.bottom() - self._last_line(place, at, look))
        place, asked = self._room(at, place), is_unnamed(look)
        made = laid_out(self._circuit(look), self._letters(look), pitch, place.size())
        ink = self._ink(look)
        for number, (words, font) in enumerate(made.lines):
            top = place.top() + number * made.pitch
            line = QRectF(place.left(), top, place.width(), made.pitch)
            self._text(line, words, font, "accent" if asked else ink)

    def _letters(self, look: SlotLook) -> QFont:
        """Those of the circuit's name; a question is bold."""
        return scaled_font(self.small, 1.0, bold=True) if is_unnamed(look) else self.small

    @staticmethod
    def _room(at: Places, place: QRectF) -> QRectF:
        """Of the place of the words what the circuit's name has."""
        inset = at.unit * 0.05 if at.shape == "below" else 0.0
        return place.adjusted(inset, 0, 0, 0)

    @staticmethod
    def _kind_word(look: SlotLook) -> str:
        words = {"relay": tr("relay"), "module": tr("output")}
        return words.get(look.slot.kind, tr("blocked"))

    def _last_line(self, place: QRectF, at: Places, look: SlotLook) -> float:
        """Verdict and taps at the foot of the words; how high that is.

        The sign stands under the feed mark where there is room, else on the line itself. Where the
        circuit's name needs that line too, the accessory's name yields.
        """
        pitch = at.unit * PITCH
        side = pitch if at.shape != "flat" else place.height()
        line = QRectF(place.left(), place.bottom() - side, place.width(), side)
        above = QSizeF(place.width(), place.height() - side)
        aside = (
            at.shape == "flat" or not laid_out(self._circuit(look), self.small, pitch, above).whole
        )
        names = not aside and bool(look.taps)
        if at.under is not None:
            self._verdict_or_lead(at.under, look)
            if names:
                line.setTop(line.top() - self._second_line(place, place.width(), look, pitch))
                self._names(line, look, pitch)
            return line.height() if names else 0.0
        if names:
            beside = place.width() - side * 1.15
            line.setTop(line.top() - self._second_line(place, beside, look, pitch))
        mark = QRectF(line.left() if names else line.right() - side, line.top(), side, side)
        inset = side * 0.07
        self._verdict_or_lead(mark.adjusted(inset, inset, -inset, -inset), look)
        if names:
            self._names(line.adjusted(side * 1.15, 0, 0, 0), look, side)
            return line.height()
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
            colour = self.theme.colour("accent")
            draw_branch(self.painter, mark, colour, turned_over=is_reversed(look.taps))

    def _second_line(self, place: QRectF, room: float, look: SlotLook, pitch: float) -> float:
        """What a second line for the accessories takes, where they need it and the circuit not.

        `room` is how wide their line is [px].
        """
        wide = QFontMetricsF(self.small).horizontalAdvance(tapped(look))
        above = QSizeF(place.width(), place.height() - 2 * pitch)
        if wide <= room or not laid_out(self._circuit(look), self.small, pitch, above).whole:
            return 0.0
        return pitch

    def _names(self, place: QRectF, look: SlotLook, pitch: float) -> None:
        """What hangs there, in one line or in two."""
        role = "caution" if look.may_not_hold else "accent"
        if look.overloaded:
            role = "stop"
        most = max(1, round(place.height() / pitch))
        lines = lines_of(tapped(look), QFontMetricsF(self.small), place.width(), most)
        for number, words in enumerate(lines):
            line = QRectF(place.left(), place.top() + number * pitch, place.width(), pitch)
            self._text(line, words, squeezed(self.small, words, line.width()), role)

    # --- text -----------------------------------------------------------------------------------

    def _text(self, place: QRectF, text: str, font: QFont, role: str) -> None:
        elided = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, place.width())
        self.painter.setFont(font)
        self.painter.setPen(self.theme.colour(role))
        self.painter.drawText(place, _LEFT, elided)


def _question(painter: QPainter, place: QRectF, theme: Theme) -> None:
    draw_doubt(painter, place, half=False, theme=theme)


def _padlock(painter: QPainter, place: QRectF, theme: Theme) -> None:
    draw_padlock(painter, place, theme.colour("muted_text"), theme.colour("slot"))


def _eye(painter: QPainter, place: QRectF, theme: Theme) -> None:
    draw_eye(painter, place, theme.colour("muted_text"), theme.colour("slot"))


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


def is_unnamed(look: SlotLook) -> bool:
    """Whether there is a fuse of which nobody said what it feeds."""
    slot = look.slot
    return slot.fuse is not None and slot.kind == "fuse" and is_nameless(slot)


def paint_bar(painter: QPainter, line: QRectF, look: SlotLook, theme: Theme) -> None:
    """The load of a slot on its track; nothing on it until it has been reckoned."""
    role = "stop" if look.overloaded else "caution" if look.may_not_hold else "load"
    known, most = (look.share, look.most_share) if look.assessed else (0.0, 0.0)
    draw_load_bar(painter, line, known, most, theme, role)


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
