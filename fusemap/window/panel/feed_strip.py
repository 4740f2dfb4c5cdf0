"""The feed strip inside the lid: the battery and the feeds on one bus, what each carries, its mark.

In: the document and a panel's id. Out: a feed that is clicked or chosen by keys is selected in the
document, and `lit` tells the slots behind it. It is the legend of the feed marks, and where the
current's way begins: `station` says where each stands. What yields where room is short: the
amperes, then the names; folded it has marks and shares alone.
"""

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFont,
    QFontMetricsF,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QShowEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from fusemap.text import Amount, many
from fusemap.vehicle import BATTERY, FeedClass, Vehicle, look_up
from fusemap.vehicle.words import FEED
from fusemap.window.document import Document, Selection
from fusemap.window.panel.card_words import narrowed, squeezed
from fusemap.window.panel.strip_places import (
    BATTERY_WIDE,
    BUS,
    CEILING,
    FOLDED,
    MARK,
    WIDE,
    RowPlace,
    draw_battery,
    places_in,
    verdict_place,
)
from fusemap.window.panel.strip_rows import StripRow, strip_rows
from fusemap.window.panel.strip_words import ampere_words, share_words
from fusemap.window.parts.later import FIGURES, Later
from fusemap.window.style.bars import draw_load_bar
from fusemap.window.style.letters import scaled_font
from fusemap.window.style.theme import Theme, draw_doubt, draw_feed_mark, draw_severity
from fusemap.window.texts.plain import plain_tip

_LEFT_ALIGN = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class FeedStrip(QWidget):
    """The feeds of one panel, one below the other."""

    lit = Signal(object)
    """The slots behind the chosen feed: a frozen set of ids."""
    moved = Signal()
    """Its stations stand elsewhere, or there are others."""

    def __init__(self, document: Document, theme: Theme, panel_id: str) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._panel_id = panel_id
        self._folded = False
        self._larger = 1.0
        self._chosen = ""
        self.rows: tuple[StripRow, ...] = ()
        self._placed: tuple[object, list[RowPlace]] = (None, [])
        """What the places were asked for, and these."""
        self.setObjectName(f"feedStrip_{panel_id}")
        self.setAccessibleName(self.tr("Feeds of this panel"))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        self._soon = Later(self._catch_up, self)
        document.changed.connect(self._vehicle_changed)
        document.selected.connect(self._selected)
        self.refresh()

    # --- what stands there ----------------------------------------------------------------------

    def refresh(self) -> None:
        """Read the vehicle again; the figures only when they can be had at once."""
        document = self._document
        panel = next((p for p in document.vehicle.panels if p.id == self._panel_id), None)
        ready = document.numbers_ready
        rows: tuple[StripRow, ...] = ()
        if panel is not None:
            rows = strip_rows(panel, document.vehicle, document.assessment if ready else None)
        if rows != self.rows:
            self.rows = rows
            self.update()
            self.moved.emit()
        if not ready:
            self._soon.start_when_painted(self, FIGURES)
        elif self._chosen:
            self._selected(document.selection)

    def _catch_up(self) -> None:
        _ = self._document.assessment  # from now on they are ready
        self.refresh()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """What changed out of sight is caught up with."""
        super().showEvent(event)
        self.refresh()

    def fold(self, folded: bool) -> None:
        """Show marks and shares alone, or all there is room for."""
        if folded != self._folded:
            self._folded = folded
            self.updateGeometry()
            self.update()

    def enlarge(self, times: float) -> None:
        """Show all of it so much larger."""
        if abs(times - self._larger) > 0.01:
            self._larger = times
            self.updateGeometry()
            self.update()
            self.moved.emit()

    @property
    def unit(self) -> float:
        """The height of its font [px]."""
        return float(QFontMetricsF(self.small).height())

    @property
    def small(self) -> QFont:
        """The font of its words."""
        return scaled_font(self.font(), 0.88 * self._larger)

    def sizeHint(self) -> QSize:
        """As wide as its marks and words need."""
        wide = FOLDED if self._folded else WIDE
        return QSize(round(self.unit * wide), round(self.unit * 3 * max(1, len(self.rows))))

    def minimumSizeHint(self) -> QSize:
        """It yields downwards: names and amperes go first."""
        return QSize(self.sizeHint().width(), 0)

    # --- places ---------------------------------------------------------------------------------

    def places(self) -> list[RowPlace]:
        """Where every row stands: evenly from the top to the bottom."""
        asked = (self.width(), self.height(), self.unit, self.rows, self._folded)
        if asked != self._placed[0]:
            wide, high, unit, rows, folded = asked
            self._placed = asked, places_in(wide, high, unit, rows, folded=folded)
        return self._placed[1]

    def mark_place(self, number: int, place: RowPlace) -> QRectF:
        """Where the mark of a row stands, or the battery."""
        row, unit = self.rows[number], self.unit
        wide = unit * (BATTERY_WIDE if row.feed_class is None else MARK * 1.85)
        return QRectF(place.mark.left(), place.mark.top(), wide, place.mark.height())

    def station(self, number: int) -> QPointF:
        """Where the mark of a row has its middle; the battery's is its post. In own coordinates."""
        row, mark = self.rows[number], self.mark_place(number, self.places()[number])
        if row.feed_class is None:
            return QPointF(mark.left() + mark.width() * 0.26, mark.top() + self.unit * 0.1)
        return QPointF(mark.left() + self._wide(row, mark) / 2, mark.center().y())

    def row_for(self, feed: str | None, feed_class: FeedClass | None = None) -> int | None:
        """Which row stands for a feed, best that of this class; `None` where none does.

        Without `feed` the one of what nobody knows.
        """
        key = "?" if feed is None else f"feed:{feed}" if feed != BATTERY else "battery"
        found = [n for n, row in enumerate(self.rows) if row.key == key and row.feed_class]
        exact = [n for n in found if self.rows[n].feed_class == feed_class]
        above = [n for n, row in enumerate(self.rows) if feed in row.feeds]
        return next(iter((*exact, *found, *above)), None)

    def _wide(self, row: StripRow, mark: QRectF) -> float:
        """How wide a mark is drawn in its place."""
        share_ = {"accessory": 1.85, "delayed_off": 1.0, "unknown": 1.2}
        return min(mark.width(), mark.height() * share_.get(row.feed_class or "", 1.45))

    @property
    def bus(self) -> float:
        """Where the bus runs [px]."""
        return self.unit * BUS

    @property
    def ceiling(self) -> float:
        """Where the way goes over the battery [px]."""
        return self.unit * CEILING * 0.42

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Bus, marks, names, bars and figures."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        places = self.places()
        if places:
            self._paint_bus(painter, places)
        for number, place in enumerate(places):
            self._paint_row(painter, number, place)
        if self.hasFocus():
            painter.setPen(QPen(self._theme.colour("accent"), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            ring = QRectF(self.rect()).adjusted(1, 1, -1, -1)
            painter.drawRoundedRect(ring, self.unit * 0.3, self.unit * 0.3)
        painter.end()

    def _paint_bus(self, painter: QPainter, places: list[RowPlace]) -> None:
        theme, bus = self._theme, self.bus
        painter.setPen(QPen(theme.colour("bus"), max(1.5, self.unit * 0.13)))
        post = self.station(0)
        fed = [n for n, row in enumerate(self.rows) if row.key != "?" and row.feed_class]
        if not fed:
            return
        last = self.mark_place(fed[-1], places[fed[-1]]).center().y()
        painter.drawPolyline([
            post, QPointF(post.x(), self.ceiling), QPointF(bus, self.ceiling), QPointF(bus, last)
        ])  # fmt: skip
        for number in fed:
            mark = self.mark_place(number, places[number])
            painter.drawLine(
                QPointF(bus, mark.center().y()), QPointF(mark.left(), mark.center().y())
            )

    def _paint_row(self, painter: QPainter, number: int, place: RowPlace) -> None:
        row, theme = self.rows[number], self._theme
        if row.key == self._chosen and self._chosen:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme.colour("accent_tint"))
            back = place.whole.adjusted(self.unit * 0.75, -self.unit * 0.1, -self.unit * 0.15, 0)
            back.setBottom(max(each.bottom() for each in (place.figure, place.amperes)))
            painter.drawRoundedRect(back, self.unit * 0.3, self.unit * 0.3)
        self.paint_station(painter, number, place)
        role = self._verdict_role(row)
        if place.name.height() > 0:
            name, chosen = self._name(row), row.key == self._chosen
            font = scaled_font(self.small, 1.0, chosen)
            self._write(
                painter, place.name, name, squeezed(font, name, place.name.width()), "muted_text"
            )
        self._paint_verdict(painter, row, place)
        if place.bar.height() > 0:
            self._paint_bar(painter, row, place.bar, role)
        if row.carried is None:
            return
        if place.figure.height() > 0:
            text = share_words(row, self._theme.style, folded=self._folded)
            high = min(1.0, place.figure.height() / self.unit)
            font = narrowed(scaled_font(self.small, high, bold=True), text, place.figure.width())
            self._write(painter, place.figure, text, font, role)
        if place.amperes.height() > 0:
            text = ampere_words(row, self._theme.style)
            font = narrowed(self.small, text, place.amperes.width())
            self._write(painter, place.amperes, text, font, "muted_text")

    def paint_station(self, painter: QPainter, number: int, place: RowPlace) -> None:
        """The mark of a row alone: the way passes under it."""
        row, mark = self.rows[number], self.mark_place(number, place)
        if row.feed_class is None:
            draw_battery(painter, mark, self._theme)
            return
        mark.setWidth(self._wide(row, mark))
        draw_feed_mark(painter, mark, row.feed_class, self._theme)

    def paint_stations(self, painter: QPainter, *, battery: bool, leaves: int | None) -> None:
        """What a way passes, once more above it: the battery, the mark it leaves at with a ring.

        The way was found before the strip changed, it may be: then it leaves where no row is now.
        """
        places, unit = self.places(), self.unit
        if battery and places:
            self.paint_station(painter, 0, places[0])
        if not leaves or leaves >= min(len(places), len(self.rows)):
            return
        row, mark = self.rows[leaves], self.mark_place(leaves, places[leaves])
        mark.setWidth(self._wide(row, mark))
        # thinner and closer to the mark where the next one, or a figure, is close
        place = places[leaves]
        below = place.figure.top() if place.figure.height() > 0 else place.whole.bottom()
        over = places[max(0, leaves - 1)]
        above = over.figure.bottom() if over.figure.height() > 0 else over.mark.bottom()
        apart = max(1.5, min(below - mark.bottom(), mark.top() - above))
        thick = max(1.5, min(unit * 0.15, apart))
        out = max(thick / 2, min(unit * 0.2, apart - thick / 2))
        ring = mark.adjusted(-out, -out, out, out)
        painter.setPen(QPen(self._theme.colour("accent"), thick))
        painter.setBrush(self._theme.colour("lid_top"))
        painter.drawRoundedRect(ring, unit * 0.45, unit * 0.45)
        self.paint_station(painter, leaves, places[leaves])
        self._paint_verdict(painter, row, places[leaves])

    def _paint_verdict(self, painter: QPainter, row: StripRow, place: RowPlace) -> None:
        """The shape of a verdict that is not good, at the right of the mark, on the way."""
        if row.carried is None or row.carried.verdict not in ("fails", "may_not_hold"):
            return
        where = verdict_place(place, self.unit)
        if row.carried.verdict == "fails":
            draw_severity(painter, where, "stop", self._theme)
        else:
            draw_doubt(painter, where, half=True, theme=self._theme)

    def _paint_bar(self, painter: QPainter, row: StripRow, place: QRectF, role: str) -> None:
        high = max(2.0, self.unit * 0.26)
        line = QRectF(place.left(), place.center().y() - high / 2, place.width(), high)
        if row.carried is None:
            known, most = (0.0, 1.0) if row.key == "?" else (0.0, 0.0)
        else:
            known, most = row.carried.shares
        bar = {"stop": "stop", "caution": "caution"}.get(role, "load")
        draw_load_bar(painter, line, known, most, self._theme, bar)

    def _write(self, painter: QPainter, place: QRectF, text: str, font: QFont, role: str) -> None:
        painter.setFont(font)
        painter.setPen(self._theme.colour(role))
        elided = QFontMetricsF(font).elidedText(
            text, Qt.TextElideMode.ElideRight, place.width() + 1
        )
        painter.drawText(place, _LEFT_ALIGN | Qt.TextFlag.TextSingleLine, elided)

    # --- words ----------------------------------------------------------------------------------

    @staticmethod
    def _verdict_role(row: StripRow) -> str:
        verdict = row.carried.verdict if row.carried is not None else "holds"
        return {"fails": "stop", "may_not_hold": "caution"}.get(verdict, "text")

    def _name(self, row: StripRow) -> str:
        if row.feed_class is None or row.source:
            return self._theme.style.show(row.source)
        return self._theme.style.show(FEED[row.feed_class].label)

    def words_of(self, row: StripRow) -> str:
        """All of a row in words, for tooltips and screen readers."""
        show = self._theme.style.show
        if row.feed_class is None:
            parts = [self.tr("Battery"), show(row.source)]
        elif row.key == "?":
            parts = [show(FEED["unknown"].feed.capital())]
        else:
            name = look_up.feed(self._document.vehicle, row.feeds[0]).name if row.feeds else ""
            parts = [show(FEED[row.feed_class].feed.capital()), name, show(row.source)]
        lines = [" · ".join(part for part in parts if part)]
        if row.carried is not None:
            limit = row.carried.limit_a
            amperes = ampere_words(row, self._theme.style)
            if limit < float("inf"):
                amperes = self.tr("{load} of {limit}").format(
                    load=amperes, limit=show(Amount(limit, "A"))
                )
            lines.append(amperes)
        if row.slots:
            lines.append(
                show(
                    many(
                        "{n} slot of this panel hangs behind it",
                        "{n} slots of this panel hang behind it",
                        len(row.slots),
                    )
                )
            )
        return "\n".join(lines)

    # --- choosing -------------------------------------------------------------------------------

    @property
    def chosen(self) -> str:
        """The key of the chosen row; empty for none."""
        return self._chosen

    def choose(self, number: int) -> None:
        """Choose a row: its feed is selected, and its slots light up."""
        row = self.rows[number]
        if row.key.startswith("feed:"):
            self._document.select("feed", row.feeds[0])
        elif row.feed_class is None:
            self._document.select("battery", "battery")
        self._choose(row)

    def _choose(self, row: StripRow | None) -> None:
        chosen = row.key if row is not None else ""
        self._chosen = chosen
        self.setAccessibleDescription(self.words_of(row) if row is not None else "")
        self.lit.emit(row.slots if row is not None else frozenset())
        self.update()

    def _selected(self, selection: Selection | None) -> None:
        kind = "" if selection is None else selection.kind
        key = f"feed:{selection.id}" if selection is not None and kind == "feed" else ""
        rows = [row for row in self.rows if row.key == key]
        if rows:
            slots = frozenset[str]().union(*(row.slots for row in rows))
            self._choose(rows[0])
            self.lit.emit(slots)
        elif self._chosen and not (self._chosen == "?" and kind == ""):
            self._choose(None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click chooses the feed; a second one lets it go."""
        number = self._at(event.position())
        if number is None or event.button() != Qt.MouseButton.LeftButton:
            super().mousePressEvent(event)
        elif self.rows[number].key == self._chosen:
            self._choose(None)
        else:
            self.choose(number)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Up and down walk from feed to feed; Escape lets it go."""
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()), 0)
        keys = [row.key for row in self.rows]
        if step and keys:
            at = keys.index(self._chosen) + step if self._chosen in keys else 0
            self.choose(max(0, min(len(keys) - 1, at)))
        elif event.key() == Qt.Key.Key_Escape and self._chosen:
            self._choose(None)
        else:
            super().keyPressEvent(event)

    def event(self, event: QEvent) -> bool:
        """What a feed is and carries, at the pointer."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            number = self._at(QPointF(event.pos()))
            text = plain_tip(self.words_of(self.rows[number])) if number is not None else ""
            QToolTip.showText(event.globalPos(), text, self)
            return True
        return super().event(event)

    def _at(self, point: QPointF) -> int | None:
        for number, place in enumerate(self.places()):
            if place.whole.contains(point):
                return number
        return None
