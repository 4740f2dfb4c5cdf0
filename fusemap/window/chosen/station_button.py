"""One station of a way: its pad, its name and figure, the bar of its load, the second line.

In: a `Station`. Out: clicked, by the mouse, Enter or Space; up and down go along the way.
"""

from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QEnterEvent, QFont, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
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


class Words(NamedTuple):
    """What is written on a station, in the user's language."""

    title: str
    figure: str
    left: str
    right: str


class Laid(NamedTuple):
    """How its words stand at one width [px]."""

    text_left: int
    below: bool
    """Whether the figure stands below the name, because a word of it needs the whole line."""
    title_wide: int
    title_high: int
    """The name alone."""
    name_high: int
    """The name with its figure."""
    beside: bool
    """Whether the ends of the second line stand beside each other."""
    left_high: int
    """The left end of the second line, where they do not."""
    high: int
    """All of it, and no lower than its pitch."""


class StationButton(QAbstractButton):
    """One station: its pad, its name and figure, the bar, the second line."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.station: Station | None = None
        self.lines = True
        self.pitch = PITCH
        self._hovered = False
        self._words = Words("", "", "", "")
        self._laid: dict[int, Laid] = {}
        """How it stands at each width it was asked for [px]."""
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
        self._laid.clear()
        show = self._theme.style.show
        told = (station.title, station.figure, station.left, station.right)
        self._words = Words(*map(show, told))
        self.setObjectName(f"station_{station.key}")
        self.setAccessibleName(show(station.words))
        leads = say("leads to this slot") if station.slot_id else say("shows how it is reckoned")
        self.setAccessibleDescription(show(leads))
        tips = (show(station.rated.capital()), "" if lines else show(station.words))
        self.setToolTip(plain_tip("\n".join(filter(None, tips))))
        self.updateGeometry()
        self.update()

    # --- its places -----------------------------------------------------------------------------

    def pad(self) -> QRectF:
        """The square of its sign."""
        edge = px(self, PAD)
        return QRectF(px(self, 3), px(self, 3), edge, edge)

    def _laid_out(self, width: int) -> Laid:
        """Where its words stand at this width [px]; reckoned once."""
        if width not in self._laid:
            self._laid[width] = self._lay_out(width)
        return self._laid[width]

    def _lay_out(self, width: int) -> Laid:
        assert self.station is not None
        words = self._words
        name = QFontMetrics(self._name_font())
        text_left = self._text_left()
        room = max(1, width - text_left - px(self, 4))
        figure = QFontMetrics(sized(self.font(), 14, strong=True))
        figure_wide = self._figure_wide(figure)
        longest = max(map(name.horizontalAdvance, words.title.split()), default=0)
        below = longest > room - figure_wide
        title_wide = room - (0 if below else figure_wide)
        title_high = _high(name, title_wide, words.title)
        name_high = title_high + (figure.height() if below else 0)
        lines = QFontMetrics(small(self.font()))
        gap = px(self, 8) if words.left and words.right else 0
        ends = lines.horizontalAdvance(words.left) + lines.horizontalAdvance(words.right)
        beside = ends + gap <= room
        left_high = _high(lines, room, words.left) if words.left and not beside else 0
        lines_high = 0
        if self.lines and (words.left or words.right):
            right_high = _high(lines, room, words.right) if words.right else 0
            lines_high = lines.height() if beside else left_high + right_high
        high = name_high + self._bar_high() + lines_high + px(self, 6)
        high = max(px(self, self.pitch), high)
        return Laid(text_left, below, title_wide, title_high, name_high, beside, left_high, high)

    def _text_left(self) -> int:
        return round(self.pad().right()) + px(self, 11)

    def _figure_wide(self, font: QFontMetrics) -> int:
        """The figure, its signs and what is left free before them [px]."""
        assert self.station is not None
        wide = font.horizontalAdvance(self._words.figure)
        signs = self.station.judged + self.station.caution
        return wide + signs * px(self, 22) + (px(self, 8) if wide or signs else 0)

    def _name_font(self) -> QFont:
        assert self.station is not None
        return sized(self.font(), 14, strong=self.station.verdict == "fails")

    def _bar_high(self) -> int:
        assert self.station is not None
        return px(self, 10) if self.station.share is not None else px(self, 1)

    def heightForWidth(self, width: int) -> int:
        """As high as its words need, and no lower than its pitch."""
        if self.station is None:
            return px(self, self.pitch)
        return self._laid_out(width).high

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
        s, theme, laid = self.station, self._theme, self._laid_out(self.width())
        left, right = laid.text_left, self.width() - px(self, 4)
        fails = s.verdict == "fails"
        painter.setFont(self._name_font())
        painter.setPen(theme.colour(COLOURS["fails"] if fails else "text"))
        top, high = px(self, 2), laid.title_high
        painter.drawText(QRect(left, top, laid.title_wide, high), WRAP, self._words.title)
        self._paint_figure(painter, QRect(left, top + high * laid.below, right - left, high))
        top += laid.name_high
        if s.share is not None:
            self._paint_bar(painter, QRectF(left, top + px(self, 3), right - left, px(self, 4)))
        self._paint_lines(painter, left, right, top + self._bar_high())

    def _paint_figure(self, painter: QPainter, room: QRect) -> None:
        """The figure at the right end of the first line, its sign before it."""
        assert self.station is not None
        s, words = self.station, self._words.figure
        font = sized(self.font(), 14, strong=True)
        metrics = QFontMetrics(font)
        painter.setFont(font)
        role = COLOURS.get(s.verdict or "", "text")
        painter.setPen(self._theme.colour("text" if s.verdict == "unchecked" else role))
        line = metrics.height()
        place = QRect(room.left(), room.top(), room.width(), line)
        painter.drawText(place, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words)
        edge, x = px(self, 16), float(room.right() + 1)
        if words:
            x -= metrics.horizontalAdvance(words) + px(self, 6)
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
        words, laid = self._words, self._laid_out(self.width())
        if not self.lines or not (words.left or words.right):
            return
        painter.setFont(small(self.font()))
        room = QRect(left, top, right - left, self.height() - top)
        muted = self._theme.colour("muted_text")
        painter.setPen(muted)
        painter.drawText(room, WRAP, words.left)
        room.translate(0, laid.left_high)
        role = COLOURS.get(self.station.verdict or "", "muted_text")
        painter.setPen(self._theme.colour(role) if role != "muted_text" else muted)
        ends = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop
        painter.drawText(room, ends, words.right)

    def changeEvent(self, event: QEvent) -> None:
        """Another font: other heights."""
        self._laid.clear()
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


def _high(font: QFontMetrics, wide: int, words: str) -> int:
    """How high words are that wrap within a width [px]."""
    return font.boundingRect(QRect(0, 0, wide, 9999), WRAP, words).height()


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
