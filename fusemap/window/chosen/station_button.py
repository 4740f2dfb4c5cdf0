"""One station of a way: its pad, its name and figure, the bar of its load, the second line.

In: a `Station`. Out: clicked, by the mouse, Enter or Space; up and down go along the way.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QEnterEvent, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy

from fusemap.text import say
from fusemap.window.chosen.measures import sized, small
from fusemap.window.chosen.parts_drawn import draw_part
from fusemap.window.style.bars import hatch
from fusemap.window.style.measures import px
from fusemap.window.style.signs import draw_verdict
from fusemap.window.style.theme import Theme, draw_severity
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:
    from fusemap.window.chosen.stations import Station

PAD, PITCH, TIGHT = 38, 52, 48
"""The pad's edge, and from one pad to the next: usual, and where there is little room."""
BARE = 44
"""From one pad to the next where few of them have second lines."""
WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
COLOURS = {"fails": "stop", "may_not_hold": "caution", "unchecked": "muted_text"}
"""In which colour a verdict's words stand; its shape stands beside it."""


class StationButton(QAbstractButton):
    """One station: its pad, its name and figure, the bar, the second line."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.station: Station | None = None
        self.lines = True
        self.pitch = PITCH
        self._hovered = False
        self._highs: dict[int, int] = {}
        """How high it is at each width it was asked for [px]."""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def show_station(self, station: "Station", pitch: int, *, lines: bool) -> None:
        """Show this one, so far from the next.

        Without `lines` a second line stands only where something does not hold or is not sure.
        """
        lines = lines or station.judged
        if (station, pitch, lines) == (self.station, self.pitch, self.lines):
            return
        self.station, self.pitch, self.lines = station, pitch, lines
        self._highs.clear()
        show = self._theme.style.show
        self.setObjectName(f"station_{station.key}")
        self.setAccessibleName(show(station.words))
        leads = say("leads to this slot") if station.slot_id else say("shows how it is reckoned")
        self.setAccessibleDescription(show(leads))
        told = (show(station.rated.capital()), "" if lines else show(station.words))
        self.setToolTip(plain_tip("\n".join(filter(None, told))))
        self.updateGeometry()
        self.update()

    # --- its places -----------------------------------------------------------------------------

    def pad(self) -> QRectF:
        """The square of its sign."""
        edge = px(self, PAD)
        return QRectF(px(self, 3), px(self, 3), edge, edge)

    def _text_left(self) -> int:
        return round(self.pad().right()) + px(self, 11)

    def _figure_wide(self) -> int:
        assert self.station is not None
        words = self._theme.style.show(self.station.figure)
        wide = QFontMetrics(sized(self.font(), 14, strong=True)).horizontalAdvance(words)
        signs = self.station.judged + self.station.caution
        return wide + signs * px(self, 22) + (px(self, 8) if wide or signs else 0)

    def _name_font(self) -> "QFontMetrics":
        assert self.station is not None
        return QFontMetrics(sized(self.font(), 14, strong=self.station.verdict == "fails"))

    def _below(self, width: int) -> bool:
        """Whether the figure stands below the name, because a word of it needs the whole line."""
        assert self.station is not None
        words = self._theme.style.show(self.station.title).split()
        longest = max(map(self._name_font().horizontalAdvance, words), default=0)
        return longest > self._room(width) - self._figure_wide()

    def _room(self, width: int) -> int:
        return max(1, width - self._text_left() - px(self, 4))

    def _title_high(self, width: int) -> int:
        """How high the name alone is."""
        assert self.station is not None
        words = self._theme.style.show(self.station.title)
        room = self._room(width) - (0 if self._below(width) else self._figure_wide())
        return self._name_font().boundingRect(QRect(0, 0, room, 9999), WRAP, words).height()

    def _name_high(self, width: int) -> int:
        """How high the name with its figure is."""
        figure = QFontMetrics(sized(self.font(), 14, strong=True)).height()
        return self._title_high(width) + (figure if self._below(width) else 0)

    def _lines_high(self, width: int) -> int:
        """How high the second line is: its two ends beside or below each other."""
        assert self.station is not None
        left, right = map(self._theme.style.show, (self.station.left, self.station.right))
        if not self.lines or not (left or right):
            return 0
        font = QFontMetrics(small(self.font()))
        room = max(1, width - self._text_left() - px(self, 4))
        if self._beside(font, left, right, room):
            return font.height()
        parts = (font.boundingRect(QRect(0, 0, room, 9999), WRAP, t) for t in (left, right) if t)
        return sum(part.height() for part in parts)

    def _beside(self, font: QFontMetrics, left: str, right: str, room: int) -> bool:
        gap = px(self, 8) if left and right else 0
        return font.horizontalAdvance(left) + font.horizontalAdvance(right) + gap <= room

    def _bar_high(self) -> int:
        assert self.station is not None
        return px(self, 10) if self.station.share is not None else px(self, 1)

    def heightForWidth(self, width: int) -> int:
        """As high as its words need, and no lower than its pitch."""
        if self.station is None:
            return px(self, self.pitch)
        if width not in self._highs:
            words = self._name_high(width) + self._bar_high() + self._lines_high(width)
            self._highs[width] = max(px(self, self.pitch), words + px(self, 6))
        return self._highs[width]

    def hasHeightForWidth(self) -> bool:
        """Its words wrap."""
        return True

    def sizeHint(self) -> QSize:
        """As wide as the pane is meant to be."""
        width = px(self, 300)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        """It gets by with less width."""
        return QSize(px(self, 180), px(self, self.pitch))

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Pad, name, figure, bar, second line."""
        if self.station is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._hovered or self.isDown():
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self._theme.colour("accent_tint" if self.isDown() else "raised"))
            painter.drawRoundedRect(self.rect().adjusted(self._text_left() - 6, 0, 0, 0), 6, 6)
        self._paint_pad(painter)
        self._paint_words(painter)
        if self.hasFocus():
            painter.setPen(QPen(self._theme.colour("accent"), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 8, 8)
        painter.end()

    def _paint_pad(self, painter: QPainter) -> None:
        assert self.station is not None
        pad, theme = self.pad(), self._theme
        fails = self.station.verdict == "fails"
        edge = theme.colour("stop" if fails else "line")
        painter.setPen(QPen(edge, 2 if fails else 1))
        painter.setBrush(theme.colour("stop_tint" if fails else "base"))
        painter.drawRoundedRect(pad, px(self, 8), px(self, 8))
        inside = px(self, 1)
        place = pad.adjusted(inside, inside, -inside, -inside)
        draw_part(painter, place, self.station.part, theme, self.station.fuse)

    def _paint_words(self, painter: QPainter) -> None:
        assert self.station is not None
        s, show, theme = self.station, self._theme.style.show, self._theme
        colour = theme.colour(COLOURS.get(s.verdict or "", "text"))
        left, right = self._text_left(), self.width() - px(self, 4)
        fails = s.verdict == "fails"
        painter.setFont(sized(self.font(), 14, strong=fails))
        painter.setPen(colour if fails else theme.colour("text"))
        high, below = self._title_high(self.width()), self._below(self.width())
        wide = right - left - (0 if below else self._figure_wide())
        top = px(self, 2)
        painter.drawText(QRect(left, top, wide, high), WRAP, show(s.title))
        self._paint_figure(painter, QRect(left, top + high * below, right - left, high))
        top += self._name_high(self.width())
        if s.share is not None:
            self._paint_bar(painter, QRectF(left, top + px(self, 3), right - left, px(self, 4)))
        self._paint_lines(painter, left, right, top + self._bar_high())

    def _paint_figure(self, painter: QPainter, room: QRect) -> None:
        """The figure at the right end of the first line, its sign before it."""
        assert self.station is not None
        s = self.station
        font = sized(self.font(), 14, strong=True)
        painter.setFont(font)
        role = COLOURS.get(s.verdict or "", "text")
        painter.setPen(self._theme.colour("text" if s.verdict == "unchecked" else role))
        words, line = self._theme.style.show(s.figure), QFontMetrics(font).height()
        place = QRect(room.left(), room.top(), room.width(), line)
        painter.drawText(place, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words)
        edge, x = px(self, 16), float(room.right() + 1)
        if words:
            x -= QFontMetrics(font).horizontalAdvance(words) + px(self, 6)
        if s.judged and s.verdict is not None:
            x -= edge
            sign = QRectF(x, room.top() + (line - edge) / 2, edge, edge)
            draw_verdict(painter, sign, s.verdict, self._theme)
            x -= px(self, 6)
        if s.caution:
            sign = QRectF(x - edge, room.top() + (line - edge) / 2, edge, edge)
            draw_severity(painter, sign, "caution", self._theme)

    def _paint_bar(self, painter: QPainter, track: QRectF) -> None:
        """Known solid, what it may be besides hatched; past the limit full, with an end stop."""
        assert self.station is not None
        s = self.station
        assert s.share is not None
        paint_bar(painter, track, s.share, s.most or 0.0, s.verdict or "", self._theme)

    def _paint_lines(self, painter: QPainter, left: int, right: int, top: int) -> None:
        assert self.station is not None
        s = self.station
        one, other = map(self._theme.style.show, (s.left, s.right))
        if not self.lines or not (one or other):
            return
        font = small(self.font())
        metrics = QFontMetrics(font)
        painter.setFont(font)
        room = QRect(left, top, right - left, self.height() - top)
        muted = self._theme.colour("muted_text")
        painter.setPen(muted)
        painter.drawText(room, WRAP, one)
        if not self._beside(metrics, one, other, room.width()) and one:
            room.translate(
                0, metrics.boundingRect(QRect(0, 0, room.width(), 999), WRAP, one).height()
            )
        role = COLOURS.get(s.verdict or "", "muted_text")
        painter.setPen(self._theme.colour(role) if role != "muted_text" else muted)
        ends = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop
        painter.drawText(room, ends, other)

    def changeEvent(self, event: QEvent) -> None:
        """Another font: other heights."""
        self._highs.clear()
        super().changeEvent(event)

    # --- keyboard and mouse ---------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter does what a click does; up and down go along the way."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            self.focusNextPrevChild(event.key() == Qt.Key.Key_Down)
        else:
            super().keyPressEvent(event)

    def enterEvent(self, event: QEnterEvent) -> None:
        """The mouse is over it."""
        self._hovered = True
        self.update()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """The mouse is elsewhere."""
        self._hovered = False
        self.update()
        super().leaveEvent(event)

    def focusInEvent(self, event: object) -> None:
        """Be seen where the keyboard is."""
        super().focusInEvent(event)  # type: ignore[arg-type]
        self.update()


def paint_bar(
    painter: QPainter, track: QRectF, known: float, most: float, verdict: str, theme: Theme
) -> None:
    """A load on the track of its limit, both ends of it."""
    fails, doubt = verdict == "fails", verdict == "may_not_hold"
    solid = theme.colour("stop" if fails else "muted_text")
    radius = track.height() / 2
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("raised"))
    painter.drawRoundedRect(track, radius, radius)
    wide = track.width() * min(1.0, max(0.0, known))
    end = track.width() * min(1.0, max(known, most))
    if end > wide + 1:
        open_part = QRectF(track.left() + wide, track.top(), end - wide, track.height())
        hatch(painter, open_part, theme.colour("caution" if doubt else "muted_text"))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(solid)
    if wide > 0:
        painter.drawRoundedRect(
            QRectF(track.topLeft(), QPointF(track.left() + max(wide, radius), track.bottom())),
            radius,
            radius,
        )
    if fails or doubt:
        painter.setBrush(theme.colour("stop" if fails else "caution"))
        painter.drawRect(QRectF(track.right() - 2, track.top() - 3, 2, track.height() + 6))
