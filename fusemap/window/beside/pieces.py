"""The pieces of the stage: wrapped words, how far it is, what is typed, what was stored last."""

from collections.abc import Iterator, Sequence

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from fusemap.window.beside.big import RIGHT, draw_line, fitting
from fusemap.window.beside.scale import ENTRY, FIGURE, SMALL, type_font
from fusemap.window.beside.shown import LastShown
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

WRAPPED = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
LEAST_SHARE = 0.55
"""Words shrink to this share of their size at the least; what still does not fit is in the tip."""
MOST_ROWS = 3
"""So many rows of what was stored last are shown at most."""


class Piece(QWidget):
    """A part of the stage that is drawn, with a name and a description for a screen reader."""

    def __init__(self, key: str, name: str, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._unit = 1.0
        self.text = ""
        self.setObjectName(key)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def set_unit(self, unit: float) -> None:
        """Take the scale of the stage."""
        self._unit = unit
        self.update()

    def _told(self, text: str) -> None:
        self.text = text
        self.setAccessibleDescription(text)
        self.update()

    def minimumSizeHint(self) -> QSize:
        """It takes what room it is given."""
        return QSize(10, 10)


class Words(Piece):
    """Several lines of text, wrapped, at a size of the design or as much smaller as they must."""

    def __init__(
        self, key: str, name: str, theme: Theme, size: float, ink: str, *, middle: bool = False,
        strong: bool = False,
    ) -> None:  # fmt: skip
        super().__init__(key, name, theme)
        self._middle = middle
        self._strong = strong
        self._size = size
        self._ink = ink
        self.yields = False
        """Lines for which there is no room are left out: the tip and the screen reader have all."""

    def show_text(self, text: str, ink: str | QColor = "") -> None:
        """Write another text, perhaps in another colour of the theme."""
        self._ink = ink if isinstance(ink, str) and ink else self._ink
        self.setToolTip(plain_tip(text))
        self._told(text)

    def share_in(self, wide: float, high: float) -> float:
        """The share of its size at which all of it fits into so much room [px]; 0 for none."""
        font = type_font(self, self._size, self._unit, strong=self._strong)
        size, place = font.pixelSize(), QRectF(0, 0, wide, high)
        for share in _shares():
            font.setPixelSize(max(6, round(size * share)))
            if _fits(QFontMetricsF(font).boundingRect(place, WRAPPED, self.text), place):
                return share
        return 0.0

    def paintEvent(self, event: QPaintEvent) -> None:
        """Write it in the largest font in which all of it fits."""
        if not self.text:
            return
        painter = QPainter(self)
        font = type_font(self, self._size, self._unit, strong=self._strong)
        colour = self._theme.colour(self._ink)
        place = QRectF(self.rect())
        text = whole_lines(self.text, font, place) if self.yields else self.text
        draw_wrapped(painter, place, text, font, colour, middle=self._middle)


def whole_lines(text: str, font: QFont, place: QRectF) -> str:
    """As many of the first lines of a text as have room, wrapped, in this font; one at least."""
    lines, metrics = text.split("\n"), QFontMetricsF(font)
    while len(lines) > 1:
        if metrics.boundingRect(place, WRAPPED, "\n".join(lines)).height() <= place.height() + 1:
            break
        lines.pop()
    return "\n".join(lines)


def draw_wrapped(
    painter: QPainter, place: QRectF, text: str, font: QFont, ink: QColor, *, middle: bool = False
) -> float:
    """Write several lines in the largest font in which all fits; how high they are [px]."""
    size = font.pixelSize()
    for share in _shares():
        font.setPixelSize(max(6, round(size * share)))
        needed = QFontMetricsF(font).boundingRect(place, WRAPPED, text)
        if _fits(needed, place):
            break
    if middle:
        place = place.adjusted(0, max(0.0, (place.height() - needed.height()) / 2), 0, 0)
    painter.setFont(font)
    painter.setPen(ink)
    painter.drawText(place, WRAPPED, text)
    return needed.height()


def _shares() -> Iterator[float]:
    """The sizes that words are tried in, the largest first, as shares of their own."""
    return (1 - (1 - LEAST_SHARE) * step / 12 for step in range(13))


def _fits(needed: QRectF, place: QRectF) -> bool:
    return needed.height() <= place.height() + 1 and needed.width() <= place.width() + 1


class Progress(Piece):
    """How far it is, in words over a bar."""

    def show_progress(self, text: str, done: int, total: int) -> None:
        """Show this many of so many."""
        self._share = min(1.0, done / total) if total else 0.0
        self._bar = total > 0
        self._told(text)

    _share = 0.0
    _bar = False

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        place = QRectF(self.rect())
        thick = max(4.0, 8 * self._unit)
        words = place.adjusted(0, 0, 0, -thick * 1.6 if self._bar else 0)
        draw_line(painter, words, self.text, self._theme.colour("muted_text"), align=RIGHT,
                  most=min(0.8, SMALL * self._unit / max(1.0, words.height())))  # fmt: skip
        if not self._bar:
            return
        track = QRectF(place.left(), place.bottom() - thick - 1, place.width(), thick)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._theme.colour("load_track"))
        painter.drawRoundedRect(track, thick / 2, thick / 2)
        track.setWidth(max(thick, track.width() * self._share))
        painter.setBrush(self._theme.colour("accent"))
        painter.drawRoundedRect(track, thick / 2, thick / 2)


class Entry(Piece):
    """What is typed, as large as nothing else, with its unit behind the caret."""

    def __init__(self, key: str, name: str, theme: Theme) -> None:
        super().__init__(key, name, theme)
        self._typed = ""
        self._unit_word = ""

    def show_entry(self, typed: str, unit: str, *, asks: bool = True) -> None:
        """Show what is typed so far; nothing at all where nothing is asked."""
        self._typed, self._unit_word, self._asks = typed, unit, asks
        self._told(f"{typed}▁ {unit}".rstrip() if asks else "")

    _asks = True

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the box, and in it what is typed from the right."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        line = max(2.0, 3 * self._unit)
        place = QRectF(self.rect()).adjusted(line, line, -line, -line)
        painter.setPen(QPen(self._theme.colour("accent" if self._asks else "line"), line))
        painter.setBrush(self._theme.colour("base"))
        painter.drawRoundedRect(place, 18 * self._unit, 18 * self._unit)
        if not self._asks:
            return
        inside = place.adjusted(24 * self._unit, 0, -26 * self._unit, 0)
        unit_font = type_font(self, FIGURE * 1.3, self._unit, strong=True)
        unit_wide = min(
            QFontMetricsF(unit_font).horizontalAdvance(self._unit_word), inside.width() * 0.62
        )
        unit = QRectF(inside.right() - unit_wide, inside.top(), unit_wide, inside.height())
        draw_line(painter, unit, self._unit_word, self._theme.colour("muted_text"), bold=True,
                  most=min(0.6, unit_font.pixelSize() / max(1.0, unit.height())),
                  align=RIGHT)  # fmt: skip
        caret = unit.left() - (20 * self._unit if self._unit_word else 0)
        figure = QRectF(inside.left(), inside.top(), caret - 8 * self._unit - inside.left(),
                        inside.height())  # fmt: skip
        high = min(0.8, ENTRY * self._unit / max(1.0, inside.height()))
        draw_line(painter, figure, self._typed, self._theme.colour("text"), bold=True, most=high,
                  align=RIGHT)  # fmt: skip
        painter.fillRect(
            QRectF(caret - 4 * self._unit, inside.center().y() - inside.height() * 0.34,
                   max(2.0, 5 * self._unit), inside.height() * 0.68),
            self._theme.colour("accent"),
        )  # fmt: skip


class LastStored(Piece):
    """The last three things that were stored, large, one below the other."""

    def __init__(self, key: str, name: str, theme: Theme) -> None:
        super().__init__(key, name, theme)
        self._rows: Sequence[LastShown] = ()
        self._most = MOST_ROWS

    @property
    def rows(self) -> int:
        """How many rows there are to be shown."""
        return min(len(self._rows), MOST_ROWS)

    def show_most(self, most: int) -> None:
        """Show the newest of them alone: so many."""
        self._most = most
        self.update()

    def show_rows(self, rows: Sequence[LastShown]) -> None:
        """Show these, the newest first."""
        self._rows = rows
        self._told("\n".join(f"{row.name}: {row.value} {row.means}".rstrip() for row in rows))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw three columns."""
        painter = QPainter(self)
        plain = type_font(self, SMALL, self._unit)
        metrics = QFontMetricsF(plain)
        rows = self._rows[: self._most]
        high = min(self.height() / max(1, self._most), metrics.height() * 1.3)
        if high < 2 or not rows:
            return
        gap = 24 * self._unit
        names = max((metrics.horizontalAdvance(row.name) for row in rows), default=0.0) * 1.1
        names = min(names, self.width() * 0.4)
        values = max((metrics.horizontalAdvance(row.value) for row in rows), default=0.0)
        values = min(values, self.width() * 0.5)
        size = min([0.74, *(self._shares(row, (names, values), high) for row in rows)])
        for number, row in enumerate(rows):
            top = number * high
            parts = (
                (0.0, names, row.name, "text", True),
                (names + gap, values, row.value, "text", False),
                (names + values + 2 * gap, self.width() - names - values - 2 * gap, row.means,
                 "muted_text", False),
            )  # fmt: skip
            for left, wide, text, ink, bold in parts:
                if wide > 8 and text:
                    place, colour = QRectF(left, top, wide, high), self._theme.colour(ink)
                    draw_line(painter, place, text, colour, bold=bold, most=size, align=_LEFT)

    def _shares(self, row: LastShown, room: tuple[float, float], high: float) -> float:
        """How high name and value of a row may be, as a share of the row: all rows are alike."""
        font = QFont(self.font())
        found = 1.0
        for text, wide, bold in ((row.name, room[0], True), (row.value, room[1], False)):
            font.setBold(bold)
            size = fitting(font, text, QRectF(0, 0, wide, high), most=0.74).pixelSize()
            found = min(found, size / high) if text else found
        return found
