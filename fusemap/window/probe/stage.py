"""The slot in hand with its neighbours as they are seen, and the meter with its leads on it.

In: the vehicle, the session. Out: paint. What was read in this round stands in words on every
neighbour, so that the hand can check where it is without colours. The leads run from the drawn
jacks below the meter, up beside the slot to the places where the tips are held, and cross no word.
"""

from collections.abc import Iterable
from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.assess.verdict import Verdict
from fusemap.circuits import counts_critical
from fusemap.probing import evidence, loads
from fusemap.probing.plan import seen_place
from fusemap.probing.session import Session, feed_in_hand, slot_in_hand
from fusemap.text import given, in_row, many, say
from fusemap.vehicle import Feed, Panel, Reading, Slot, Vehicle, look_up
from fusemap.vehicle.words import PLACE
from fusemap.window.beside.big import LEFT, draw_line
from fusemap.window.beside.meter import draw_meter
from fusemap.window.beside.meter_place import (
    Holding,
    Pen,
    draw_battery_between,
    draw_leads_to_fuse,
    windows_of,
    write_lines,
)
from fusemap.window.beside.scale import BODY, FIGURE, SMALL
from fusemap.window.panel.fuse_paint import fuse_colours
from fusemap.window.probe.meter_setting import holding, on_its_display
from fusemap.window.probe.sleep_curve import draw_sleep_curve
from fusemap.window.style.signs import draw_padlock, draw_verdict
from fusemap.window.style.theme import Theme

LID: Final = 328.0
"""How high the lid is; the meter has the rest [px of the design]."""
WIDE: Final = 620.0
HIGH: Final = 656.0
"""The whole drawing in the design [px]."""
GUTTER: Final = 34.0
"""Room between a slot and the next one beside it: there the leads run [px of the design]."""


class Stage(QWidget):
    """Draws the slot in hand and those around it; a click takes a neighbour in hand."""

    picked = Signal(str)
    _bridged = False
    """Whether the drawn meter has a bridge across it."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._vehicle: Vehicle | None = None
        self._session: Session | None = None
        self._verdict: Verdict | None = None
        self._then: tuple[str, str] = ("", "")
        self._places: list[tuple[QRectF, str]] = []
        self.setObjectName("probeStage")
        self.setAccessibleName(self.tr("Slot in hand"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_session(
        self,
        vehicle: Vehicle,
        session: Session,
        verdict: Verdict | None = None,
        then: tuple[str, str] = ("", ""),
    ) -> None:
        """Show where a session is; `verdict` is what came of it, once nothing is left to read.

        `then` is what comes next: its label and its circuit.
        """
        self._vehicle, self._session, self._verdict = vehicle, session, verdict
        self._then = then
        self.setAccessibleDescription(self.description())
        self.update()

    def description(self) -> str:
        """The slot in hand for a screen reader."""
        if self._vehicle is None or self._session is None:
            return ""
        feed = feed_in_hand(self._session, self._vehicle)
        if feed is not None:
            parts = [feed.name, *self._feed_lines(feed), self._feed_read_words(feed)]
            return ", ".join(part for part in parts if part)
        slot = slot_in_hand(self._session, self._vehicle)
        if slot is None:
            return self.tr("whole vehicle") if self._session.round.kind == "whole" else ""
        parts = [self._name(slot), self._fuse_words(slot), slot.circuit]
        parts.append(self.tr("leave alone") if counts_critical(slot) else "")
        parts.append(self._read_words(slot))
        return ", ".join(part for part in parts if part)

    def sizeHint(self) -> QSize:
        """Room for lid and meter."""
        return QSize(round(WIDE), round(HIGH))

    def minimumSizeHint(self) -> QSize:
        """Still to be read close by."""
        em = self.fontMetrics().height()
        return QSize(em * 12, em * 10)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the slot that was clicked in hand."""
        for place, slot_id in self._places:
            if place.contains(event.position()):
                self.picked.emit(slot_id)
                return

    # --- painting -------------------------------------------------------------------------------

    @property
    def _unit(self) -> float:
        return min(self.width() / WIDE, self.height() / HIGH)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the lid around the slot, the meter below it, and the leads from one to the other."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font())
        self._places = []
        if self._vehicle is None or self._session is None:
            return
        whole = QRectF(self.rect())
        above = QRectF(0, 0, whole.width(), whole.height() * LID / HIGH)
        feed = feed_in_hand(self._session, self._vehicle)
        slot = slot_in_hand(self._session, self._vehicle)
        body = QRectF()
        if feed is not None:
            self._draw_feed(painter, above, feed)
        elif slot is None:
            self._draw_no_slot(painter, above)
        else:
            body = self._draw_lid(painter, above, slot)
        nothing_asked = slot is None and feed is None and self._session.round.kind != "whole"
        if not nothing_asked:
            self._draw_below(painter, whole, above, body)

    def _draw_lid(self, painter: QPainter, place: QRectF, slot: Slot) -> QRectF:
        """The part of the panel around the slot, with its rim where it ends; the fuse in hand."""
        assert self._vehicle is not None
        unit = self._unit
        panel = look_up.panel_of(self._vehicle, slot.id)
        rim = place.adjusted(3 * unit, 3 * unit, -3 * unit, -3 * unit)
        painter.setPen(QPen(self._theme.colour("lid_edge"), 5 * unit))
        painter.setBrush(self._theme.colour("lid_top"))
        painter.drawRoundedRect(rim, 20 * unit, 20 * unit)
        around = self._around(panel, slot)
        inside = rim.adjusted(16 * unit, 14 * unit, -16 * unit, -14 * unit)
        ways = (-1, 0, 1)
        body = QRectF()
        for (down, right), there in around.items():
            cell = QRectF(
                inside.left() + inside.width() * ways.index(right) / 3,
                inside.top() + inside.height() * ways.index(down) / 3,
                inside.width() / 3, inside.height() / 3,
            )  # fmt: skip
            self._places.append((cell, there.id))
            if there is slot:
                body = self._draw_in_hand(painter, cell, there)
            else:
                self._draw_neighbour(painter, cell, there)
        return body

    def _around(self, panel: Panel, slot: Slot) -> dict[tuple[int, int], Slot]:
        """The slot and those around it as seen, by how far down and right of it they are."""
        found = {(0, 0): slot}
        for down in (-1, 0, 1):
            for right in (-1, 0, 1):
                there = self._beside(panel, slot, down, right)
                if there is not None and (down, right) != (0, 0):
                    found[down, right] = there
        return found

    def _beside(self, panel: Panel, slot: Slot, down: int, right: int) -> Slot | None:
        assert self._session is not None
        row, column = seen_place(panel, slot, self._session.order)
        for other in panel.slots:
            if seen_place(panel, other, self._session.order) == (row + down, column + right):
                return other
        return None

    def _draw_in_hand(self, painter: QPainter, cell: QRectF, slot: Slot) -> QRectF:
        """The slot in hand, ringed, its label as large as its cell allows; where its fuse is."""
        unit = self._unit
        place = cell.adjusted(GUTTER * 0.75 * unit, -2 * unit, 6 * unit, 2 * unit)
        painter.setPen(QPen(self._theme.colour("accent"), 4 * unit))
        painter.setBrush(self._theme.colour("raised"))
        painter.drawRoundedRect(place, 12 * unit, 12 * unit)
        body = self._fuse_place(place.adjusted(12 * unit, 0, 0, 0), slot, 1.25)
        self._draw_fuse(painter, body, slot)
        left = body.right() + 12 * unit
        name = QRectF(left, place.top(), place.right() - left - 8 * unit, place.height())
        if counts_critical(slot):
            side = 26 * unit
            mark = QRectF(name.right() - side, place.top() + 8 * unit, side, side)
            draw_padlock(painter, mark, self._theme.colour("stop"), self._theme.colour("base"))
            name = name.adjusted(0, side * 0.6, 0, 0)
        draw_line(painter, name, self._name(slot), self._theme.colour("text"), bold=True,
                  most=min(0.9, FIGURE * unit / name.height()), align=LEFT)  # fmt: skip
        return body

    def _draw_neighbour(self, painter: QPainter, cell: QRectF, slot: Slot) -> None:
        unit = self._unit
        place = cell.adjusted(GUTTER * 0.75 * unit, 4 * unit, -4 * unit, -4 * unit)
        body = self._fuse_place(place, slot, 1.0)
        if slot.kind == "fuse":
            self._draw_fuse(painter, body, slot)
        left = body.right() + 11 * unit if slot.kind == "fuse" else place.left()
        high = 32 * unit
        lines = [(self._name(slot), "text", True, BODY)]
        read = self._read_words(slot)
        if slot.kind != "fuse":
            lines.append((self._short_words(slot), "muted_text", False, SMALL))
        elif read:
            lines.append((read, "accent", False, SMALL))
        top = place.center().y() - high * len(lines) / 2
        for number, (text, ink, bold, size) in enumerate(lines):
            line = QRectF(left, top + number * high, place.right() - left, high)
            draw_line(painter, line, text, self._theme.colour(ink), bold=bold,
                      most=size * unit / high, align=LEFT)  # fmt: skip

    def _fuse_place(self, place: QRectF, slot: Slot, size: float) -> QRectF:
        """Where the fuse stands in a cell: at its left, upright or lying."""
        unit = self._unit * size
        wide, high = (50, 36) if slot.orientation == "lying" else (36, 52)
        return QRectF(place.left(), place.center().y() - high * unit / 2, wide * unit, high * unit)

    def _draw_fuse(self, painter: QPainter, body: QRectF, slot: Slot) -> None:
        """A fuse in its standard's colour with its two windows; an empty place as an outline."""
        unit = self._unit
        pen = QPen(self._theme.colour("frame"), 2 * unit)
        if slot.fuse is None:
            pen.setStyle(Qt.PenStyle.DashLine)
            painter.setPen(pen)
            painter.setBrush(self._theme.colour("slot_empty"))
            painter.drawRoundedRect(body, 6 * unit, 6 * unit)
            return
        fill, ink = fuse_colours(slot.family, slot.fuse.rating, self._theme)
        painter.setPen(pen)
        painter.setBrush(fill)
        painter.drawRoundedRect(body, 6 * unit, 6 * unit)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._theme.colour("part_pin"))
        for at in windows_of(body, lying=slot.orientation == "lying"):
            across = slot.orientation != "lying"
            size = (body.width() * 0.4, 4 * unit) if across else (4 * unit, body.height() * 0.4)
            window = QRectF(0, 0, *size)
            window.moveCenter(at)
            painter.drawRoundedRect(window, 2 * unit, 2 * unit)
        edge = 5 * unit if slot.orientation == "lying" else 0.0
        room = body.adjusted(3 * unit + edge, 8 * unit - edge, -3 * unit - edge, -8 * unit + edge)
        rating = self._theme.style.number(slot.fuse.rating)
        draw_line(painter, room, rating, ink, bold=True, most=min(0.8, 22 * unit / room.height()))

    # --- the meter ------------------------------------------------------------------------------

    def _draw_below(self, painter: QPainter, whole: QRectF, above: QRectF, body: QRectF) -> None:
        """The meter as it is to be set, its words at the left, what comes next at the right."""
        assert self._session is not None
        assert self._vehicle is not None
        unit = self._unit
        pen = Pen(painter, unit, self._theme)
        held = self._holding()
        top, bottom = above.bottom() + 22 * unit, whole.bottom() - 30 * unit
        aside = 0.44 if body.width() else 0.37
        meter = QRectF(whole.left() + whole.width() * aside, top, 204 * unit, bottom - top)
        beside = QRectF(meter.right() + 14 * unit, top, whole.right() - meter.right() - 14 * unit,
                        bottom - top)  # fmt: skip
        write_lines(pen, self._words_place(whole, meter, body), held.lines)
        if held.setting.range != "none":
            shows = on_its_display(self._session, held.setting.range)
            jacks = draw_meter(painter, meter, held.setting, shows, self._theme)
            slot = slot_in_hand(self._session, self._vehicle)
            lying = slot is not None and slot.orientation == "lying"
            draw_leads_to_fuse(pen, held, jacks, body, above.bottom(), lying=lying)
            if held.tips == "battery":
                draw_battery_between(pen, beside, jacks, bridge=self._bridged)
        if self._then[0]:
            # below it stands the photo of the slot, where there is one
            beside.setHeight(122 * unit)
            write_lines(pen, beside, [self.tr("then"), *self._then], strong=1)

    def _holding(self) -> Holding:
        """How the meter is held for what is asked."""
        assert self._session is not None
        assert self._vehicle is not None
        return holding(self._session, self._vehicle)

    def _words_place(self, whole: QRectF, meter: QRectF, body: QRectF) -> QRectF:
        """Beside the meter, where no lead runs."""
        unit = self._unit
        left, right = whole.left() + 4 * unit, meter.left() - 14 * unit
        if body.width():
            gutter = body.left() - 44 * unit
            if gutter < whole.left() + 120 * unit:
                left = gutter + 62 * unit
            else:
                right = min(right, gutter - 12 * unit)
        return QRectF(left, meter.top(), right - left, meter.height())

    # --- no slot --------------------------------------------------------------------------------

    def _draw_no_slot(self, painter: QPainter, whole: QRectF) -> None:
        """The whole vehicle with its way to sleep, or what Enter does now."""
        high = whole.height()
        line = QRectF(whole.left(), whole.top() + high * 0.06, whole.width(), high * 0.2)
        draw_line(painter, line, self._no_slot_words(), self._theme.colour("text"), bold=True,
                  most=min(0.8, FIGURE * self._unit / line.height()), align=LEFT)  # fmt: skip
        if self._verdict is not None:
            side = high * 0.4
            mark = QRectF(whole.center().x() - side / 2, whole.top() + high * 0.42, side, side)
            draw_verdict(painter, mark, self._verdict, self._theme)
        if self._session is not None and self._session.round.kind == "whole":
            assert self._vehicle is not None
            latest = loads.latest_whole(self._vehicle)
            words = "" if latest is None else self._theme.style.show(evidence.value_words(latest))
            big = QRectF(whole.left(), whole.top() + high * 0.26, whole.width(), high * 0.26)
            draw_line(painter, big, words, self._theme.colour("accent"), bold=True, align=LEFT)
            below = QRectF(whole.left(), whole.top() + high * 0.54, whole.width(), high * 0.44)
            draw_sleep_curve(painter, below, loads.sleep_curve(self._vehicle), self._theme)

    def _no_slot_words(self) -> str:
        session, vehicle = self._session, self._vehicle
        if session is None or vehicle is None:
            return ""
        if session.round.kind == "whole":
            if session.fuse_out is None:
                return self.tr("Whole vehicle, all fuses in")
            name = self._name(look_up.slot(vehicle, session.fuse_out))
            return self.tr("Whole vehicle, {slot} out").format(slot=name)
        if not vehicle.panels:
            return self.tr("There is no panel yet")
        if self._verdict is not None:
            return self.tr("Nothing is left to measure")
        if session.round.state == "awake" and session.locked_at is None:
            return self.tr("Lock it, then Enter at once")
        return self.tr("Round done: Enter goes on")

    def _draw_feed(self, painter: QPainter, whole: QRectF, feed: Feed) -> None:
        """A feed as a whole: its name, how it is guarded and where, what hangs below it."""
        inside = self._draw_card(painter, whole)
        line = inside.height() * 0.16
        name = QRectF(inside.left(), inside.top(), inside.width(), inside.height() * 0.3)
        draw_line(painter, name, feed.name, self._theme.colour("text"), bold=True, align=LEFT)
        lines = [*self._feed_lines(feed), self._feed_read_words(feed)]
        for number, text in enumerate(filter(None, lines)):
            top = inside.top() + inside.height() * 0.34 + number * line
            place = QRectF(inside.left(), top, inside.width(), line)
            draw_line(painter, place, text, self._theme.colour("text"), most=0.7, align=LEFT)

    def _draw_card(self, painter: QPainter, place: QRectF) -> QRectF:
        """The frame of what is in hand; the room inside it."""
        unit = place.height() / 100
        edge = max(2.0, unit * 1.6)
        painter.setPen(QPen(self._theme.colour("accent"), edge))
        painter.setBrush(self._theme.colour("raised"))
        painter.drawRoundedRect(place.adjusted(edge, edge, -edge, -edge), unit * 4, unit * 4)
        return place.adjusted(unit * 6, unit * 4, -unit * 6, -unit * 4)

    def _feed_lines(self, feed: Feed) -> tuple[str, ...]:
        """How a feed is guarded, where it sits, what hangs below it."""
        show, vehicle = self._theme.style.show, self._vehicle
        assert vehicle is not None
        guard = self.tr("no fuse entered")
        if feed.fuse is not None:
            rating = show(given(feed.fuse.rating, "A"))
            guard = self.tr("fuse of {rating}").format(rating=rating)
        slots = sum(slot.feed == feed.id for slot in look_up.slots(vehicle))
        feeds = sum(other.parent == feed.id for other in vehicle.feeds)
        counted = [many("{n} slot", "{n} slots", slots)] if slots else []
        counted += [many("{n} feed", "{n} feeds", feeds)] if feeds else []
        below = show(say("below it: {what}", what=in_row(counted))) if counted else ""
        return self.tr("the whole feed"), f"{guard} · {show(PLACE[feed.place])}", below

    def _feed_read_words(self, feed: Feed) -> str:
        """What was read of a feed in this round."""
        assert self._vehicle is not None
        return self._in_this_round(evidence.of_feed(self._vehicle, feed.id))

    # --- words ----------------------------------------------------------------------------------

    def _name(self, slot: Slot) -> str:
        return self._theme.style.show(look_up.slot_words(slot))

    def _fuse_words(self, slot: Slot) -> str:
        if slot.kind != "fuse" or slot.fuse is None:
            return self.tr("empty")
        return self._theme.style.show(given(slot.fuse.rating, "A"))

    def _short_words(self, slot: Slot) -> str:
        if slot.kind == "relay":
            return self.tr("relay")
        if slot.kind == "blocked":
            return self.tr("blocked")
        return self._fuse_words(slot)

    def _read_words(self, slot: Slot) -> str:
        """What was read of a slot in this round."""
        if self._vehicle is None or self._session is None:
            return ""
        return self._in_this_round(evidence.of_slot(self._vehicle, slot.id))

    def _in_this_round(self, readings: Iterable[Reading]) -> str:
        """These readings in words, as far as they are of this round: the latest of each sort."""
        assert self._session is not None
        round_ = self._session.round
        latest: dict[str, Reading] = {}
        for reading in readings:
            contact = reading.quantity.startswith("live_")
            if (round_.kind == "contacts") != contact or reading.lamps_on != round_.lamps_on:
                continue
            if reading.state == round_.state or {reading.state, round_.state} == {
                "awake",
                "asleep",
            }:
                latest[reading.quantity] = reading
        read = in_row(evidence.value_words(reading) for reading in latest.values())
        return self._theme.style.show(read)
