"""The slot under the cursor, huge, with its neighbours around it as they are seen.

In: the vehicle, the session. Out: paint. What was read in this round stands in words on every
neighbour, so that the hand can check where it is without colours.
"""

from collections.abc import Iterable, Sequence
from math import log10

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.assess.verdict import Verdict
from fusemap.circuits import counts_critical
from fusemap.probing import evidence, loads
from fusemap.probing.plan import seen_place
from fusemap.probing.session import Session, feed_in_hand, slot_in_hand
from fusemap.text import Amount, given, in_row, many, say
from fusemap.vehicle import Feed, Panel, Reading, Slot, Vehicle, look_up
from fusemap.vehicle.words import FEED, PLACE
from fusemap.window.panel.slot_paint import fuse_colours
from fusemap.window.probe.big import LEFT, draw_line
from fusemap.window.style.signs import draw_padlock, draw_verdict
from fusemap.window.style.theme import Theme, draw_feed_mark

SIDE = 0.21
"""Share of width and height for the neighbours on one side."""
LEAST_A = 0.001
"""Currents below this are drawn as this [A]."""


def _bands(ways: range, there: set[int]) -> dict[int, tuple[float, float]]:
    """Beginning and width of the bands before, at and after the slot in hand, as shares.

    A band in which there is nothing gives its room to the slot in hand.
    """
    before = SIDE if ways[0] in there else 0.0
    after = SIDE if ways[-1] in there else 0.0
    middle = 1.0 - before - after
    return {-1: (0.0, before), 0: (before, middle), 1: (before + middle, after)}


def _place(whole: QRectF, row: tuple[float, float], column: tuple[float, float]) -> QRectF:
    gap = min(whole.width(), whole.height()) * 0.008
    return QRectF(
        whole.left() + column[0] * whole.width(),
        whole.top() + row[0] * whole.height(),
        column[1] * whole.width(),
        row[1] * whole.height(),
    ).adjusted(gap, gap, -gap, -gap)


class Stage(QWidget):
    """Draws the slot in hand and those around it; a click takes a neighbour in hand."""

    picked = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._vehicle: Vehicle | None = None
        self._session: Session | None = None
        self._verdict: Verdict | None = None
        self._places: list[tuple[QRectF, str]] = []
        self.setObjectName("probeStage")
        self.setAccessibleName(self.tr("Slot in hand"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_session(
        self, vehicle: Vehicle, session: Session, verdict: Verdict | None = None
    ) -> None:
        """Show where a session is; `verdict` is what came of it, once nothing is left to read."""
        self._vehicle, self._session, self._verdict = vehicle, session, verdict
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
        parts.append(self.tr("critical") if counts_critical(slot) else "")
        parts.append(self._read_words(slot))
        return ", ".join(part for part in parts if part)

    def sizeHint(self) -> QSize:
        """Room for three rows of three."""
        em = self.fontMetrics().height()
        return QSize(em * 34, em * 20)

    def minimumSizeHint(self) -> QSize:
        """Still to be read close by."""
        em = self.fontMetrics().height()
        return QSize(em * 18, em * 10)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the slot that was clicked in hand."""
        for place, slot_id in self._places:
            if place.contains(event.position()):
                self.picked.emit(slot_id)
                return

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the slot and its neighbours, or the whole vehicle."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font())
        self._places = []
        if self._vehicle is None or self._session is None:
            return
        whole = QRectF(self.rect())
        feed = feed_in_hand(self._session, self._vehicle)
        if feed is not None:
            self._draw_feed(painter, whole, feed)
            return
        slot = slot_in_hand(self._session, self._vehicle)
        if slot is None:
            self._draw_no_slot(painter, whole)
            return
        around = self._around(look_up.panel_of(self._vehicle, slot.id), slot)
        rows = _bands(range(-1, 2), {down for down, _ in around})
        columns = _bands(range(-1, 2), {right for _, right in around})
        for (down, right), there in around.items():
            place = _place(whole, rows[down], columns[right])
            self._places.append((place, there.id))
            draw = self._draw_in_hand if there is slot else self._draw_neighbour
            draw(painter, place, there)

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

    def _draw_no_slot(self, painter: QPainter, whole: QRectF) -> None:
        """The whole vehicle with its way to sleep, or what Enter does now."""
        high = whole.height()
        line = QRectF(whole.left(), whole.top() + high * 0.08, whole.width(), high * 0.22)
        draw_line(painter, line, self._no_slot_words(), self._theme.colour("text"), bold=True)
        if self._verdict is not None:
            side = high * 0.4
            mark = QRectF(whole.center().x() - side / 2, whole.top() + high * 0.42, side, side)
            draw_verdict(painter, mark, self._verdict, self._theme)
        if self._session is not None and self._session.round.kind == "whole":
            assert self._vehicle is not None
            latest = loads.latest_whole(self._vehicle)
            words = "" if latest is None else self._theme.style.show(evidence.value_words(latest))
            big = QRectF(whole.left(), whole.top() + high * 0.3, whole.width(), high * 0.28)
            draw_line(painter, big, words, self._theme.colour("accent"), bold=True)
            below = QRectF(whole.left(), whole.top() + high * 0.62, whole.width(), high * 0.36)
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

    def _draw_in_hand(self, painter: QPainter, place: QRectF, slot: Slot) -> None:
        unit = place.height() / 100
        painter.setPen(QPen(self._theme.colour("accent"), max(2.0, unit * 1.6)))
        painter.setBrush(self._theme.colour("raised"))
        painter.drawRoundedRect(place, unit * 4, unit * 4)
        inside = place.adjusted(unit * 5, unit * 3, -unit * 5, -unit * 3)
        name = QRectF(inside.left(), inside.top(), inside.width() * 0.55, inside.height() * 0.5)
        draw_line(painter, name, self._name(slot), self._theme.colour("text"), bold=True,
                  most=0.95, align=LEFT)  # fmt: skip
        wide = inside.width() * 0.4
        high = min(inside.height() * 0.42, wide * 0.7)
        body = QRectF(inside.right() - wide, inside.top() + inside.height() * 0.04, wide, high)
        self._draw_fuse(painter, body, slot)
        circuit = QRectF(
            inside.left(), inside.top() + inside.height() * 0.52, inside.width(),
            inside.height() * 0.17,
        )  # fmt: skip
        text = slot.circuit or self.tr("circuit not known")
        if counts_critical(slot):
            side = circuit.height()
            mark = QRectF(circuit.left(), circuit.top(), side, side)
            draw_padlock(painter, mark, self._theme.colour("stop"), self._theme.colour("base"))
            circuit = circuit.adjusted(side * 1.2, 0, 0, 0)
            text = self.tr("critical: {circuit}").format(circuit=text)
        ink = "stop" if counts_critical(slot) else "text"
        draw_line(painter, circuit, text, self._theme.colour(ink), align=LEFT)
        self._draw_known(painter, QRectF(inside.left(), inside.top() + inside.height() * 0.73,
                                         inside.width(), inside.height() * 0.24), slot)  # fmt: skip

    def _draw_known(self, painter: QPainter, place: QRectF, slot: Slot) -> None:
        """Feed mark with its word, and what was read in this round."""
        side = place.height() * 0.62
        mark = QRectF(place.left(), place.center().y() - side / 2, side, side)
        draw_feed_mark(painter, mark, slot.feed_class, self._theme)
        words = self._theme.style.show(FEED[slot.feed_class].feed)
        read = self._read_words(slot)
        if read:
            words = f"{words} · {read}"
        left = mark.right() + side * 0.3
        rest = QRectF(left, place.top(), place.right() - left, place.height())
        draw_line(painter, rest, words, self._theme.colour("text"), most=0.6, align=LEFT)

    def _draw_fuse(self, painter: QPainter, body: QRectF, slot: Slot) -> None:
        if slot.fuse is None:
            painter.setPen(QPen(self._theme.colour("frame"), 2, Qt.PenStyle.DashLine))
            painter.setBrush(self._theme.colour("slot_empty"))
            painter.drawRoundedRect(body, body.height() * 0.12, body.height() * 0.12)
            draw_line(painter, body, self.tr("empty"), self._theme.colour("text"), most=0.4)
            return
        fill, _ = fuse_colours(slot.family, slot.fuse.rating, self._theme)
        painter.setPen(QPen(self._theme.colour("frame"), 2))
        painter.setBrush(fill)
        painter.drawRoundedRect(body, body.height() * 0.12, body.height() * 0.12)
        # White on black whatever the standard's colour is, which shows as a broad frame.
        edge = min(body.width(), body.height()) * 0.13
        plate = body.adjusted(edge, edge, -edge, -edge)
        painter.setBrush(self._theme.colour("window"))
        painter.drawRoundedRect(plate, edge * 0.6, edge * 0.6)
        room = plate.adjusted(edge * 0.4, 0, -edge * 0.4, 0)
        draw_line(
            painter, room, self._fuse_words(slot), self._theme.colour("text"), bold=True, most=0.8
        )

    def _draw_neighbour(self, painter: QPainter, place: QRectF, slot: Slot) -> None:
        painter.setPen(QPen(self._theme.colour("line"), 1.5))
        painter.setBrush(self._theme.colour("base"))
        painter.drawRoundedRect(place, place.height() * 0.05, place.height() * 0.05)
        inside = place.adjusted(
            place.width() * 0.06,
            place.height() * 0.04,
            -place.width() * 0.06,
            -place.height() * 0.04,
        )
        third = min(inside.height() / 3, inside.width() * 0.4)
        top = inside.center().y() - 1.5 * third
        words = (self._name(slot), self._short_words(slot), self._read_words(slot))
        inks = ("text", "muted_text", "text")
        for number, (text, ink) in enumerate(zip(words, inks, strict=True)):
            line = QRectF(inside.left(), top + number * third, inside.width(), third)
            draw_line(painter, line, text, self._theme.colour(ink), bold=number == 0, most=0.72)

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


def draw_sleep_curve(
    painter: QPainter, place: QRectF, points: Sequence[tuple[float, float]], theme: Theme
) -> None:
    """The whole vehicle's current on the way to sleep as a small curve with its figures.

    The points are minutes after locking and amperes, rising in time; nothing is drawn with fewer
    than two. The current stands on a log axis: it falls from amperes to milliamperes.
    """
    if len(points) < 2:
        return
    line = place.height() * 0.16
    inside = place.adjusted(place.width() * 0.05, line * 1.1, -place.width() * 0.05, -line * 1.1)
    logs = [log10(max(LEAST_A, amperes)) for _, amperes in points]
    low, high = min(logs), max(max(logs), min(logs) + 0.5)
    last = max(minute for minute, _ in points) or 1.0
    at = [
        QPointF(
            inside.left() + inside.width() * minute / last,
            inside.bottom() - inside.height() * (value - low) / (high - low),
        )
        for (minute, _), value in zip(points, logs, strict=True)
    ]
    painter.setPen(QPen(theme.colour("accent"), max(2.0, line * 0.1)))
    painter.drawPolyline(QPolygonF(at))
    for number, ((minute, amperes), point) in enumerate(zip(points, at, strict=True)):
        painter.setBrush(theme.colour("accent"))
        painter.drawEllipse(point, line * 0.18, line * 0.18)
        if number in (0, len(points) - 1):
            wide = place.width() * 0.3
            left = min(max(place.left(), point.x() - wide / 2), place.right() - wide)
            above = QRectF(left, point.y() - line * 1.2, wide, line)
            draw_line(painter, above, theme.style.show(Amount(amperes, "A")), theme.colour("text"))
            below = QRectF(left, place.bottom() - line, wide, line)
            words = theme.style.show(given(round(minute), "min"))
            draw_line(painter, below, words, theme.colour("muted_text"))
