"""What draws while parked: lines that branch off the battery, one to each circuit and accessory.

In: `DrawRow`s. Out: the rows, the largest first, the smallest folded into one; `go_wanted` for what
a row stands for. A branch is as wide as its share; dashed where it is not placed or not named.
"""

from collections.abc import Iterator
from typing import Final, Literal

from msgspec import Struct
from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.assess.parked.rows import DrawRow
from fusemap.text import Amount, Style, many, say
from fusemap.window.parked.fitted_list import KEY, LOOK, MORE, FittedList, Index
from fusemap.window.style.theme import Theme

Way = Literal["one", "place below", "figures below"]
SHOWN: Final = 7
"""So many rows are shown at first."""
ROW: Final = 1.55
FIGURES: Final = 6.6
"""Room of the current at the right, both ends, in heights of the font."""
TRUNK: Final = 0.75
"""Where the line from the battery runs down, in heights of the font from the left."""
BRANCH: Final = 2.9
"""Where a branch ends and its name begins."""
WIDEST: Final = 0.5
"""Width of the branch that draws everything, in heights of the font."""


class Look(Struct, frozen=True):
    """One row as it is drawn; `last` where the line from the battery ends."""

    name: str
    where: str
    current: str
    share: float
    sure: bool
    last: bool
    rest: bool = False


class DrawsList(QWidget):
    """The battery, the whole current, and the rows."""

    go_wanted = Signal(object)
    """To what a row stands for: its `DrawRow`."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._rows: tuple[DrawRow, ...] = ()
        self._open = False
        self._shown = SHOWN
        self.setObjectName("parkedDraws")
        self.setAccessibleName(self.tr("What draws, parked"))
        self.head = BatteryHead(theme)
        self.list = FittedList("parkedConsumers", self.tr("What draws, parked"))
        self.list.setItemDelegate(DrawsPaint(theme, self.list))
        self.list.itemClicked.connect(self._activated)
        self.list.itemActivated.connect(self._activated)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.list)

    def show_rows(self, rows: tuple[DrawRow, ...], span: str) -> None:
        """Show these; `span` says over which time the means are."""
        self._rows = rows
        style = self._theme.style
        whole = drawn_words(rows, style)
        self.head.show_words(style.show(say("What draws, parked: {current}", current=whole)), span)
        self._fill()

    def give_room(self, shown: int) -> None:
        """Show so many rows before the rest is folded."""
        if shown != self._shown:
            self._shown = shown
            self._fill()

    def wait(self) -> None:
        """It is being reckoned: no figure that may not be true any more."""
        self.head.show_words(self.tr("What draws, parked"), "")
        self._rows = ()
        self._fill()

    def _fill(self) -> None:
        at = self.list.currentRow()
        self.list.clear()
        few = len(self._rows) <= self._shown + 1
        shown = self._rows if self._open or few else self._rows[: self._shown]
        for place, row in enumerate(shown):
            last = (few or self._open) and place == len(shown) - 1
            self.list.add(f"{row.target} {row.id} {row.name}", *self._look(row, last=last))
        if not few:
            self.list.add(MORE, *self._more(self._rows[self._shown :]))
        self.list.fit()
        if 0 <= at < self.list.count():
            self.list.setCurrentRow(at)

    def _look(self, row: DrawRow, *, last: bool) -> tuple[Look, str]:
        style = self._theme.style
        look = Look(
            style.show(row.name),
            style.show(row.where),
            drawn_words((row,), style),
            row.share,
            row.sure,
            last,
        )
        charge = style.show(_charge(row.charge_ah))
        return look, ", ".join(filter(None, (look.name, look.where, look.current, charge)))

    def _more(self, others: tuple[DrawRow, ...]) -> tuple[Look, str]:
        """The row of all that are folded, or that folds them again."""
        style = self._theme.style
        if self._open:
            words = self.tr("Fewer")
            return Look(words, "", "", 0.0, True, True, rest=True), words
        words = style.show(many("{n} more", "{n} more", len(others)))
        look = Look(
            words,
            "",
            drawn_words(others, style),
            sum(row.share for row in others),
            True,
            True,
            rest=True,
        )
        return look, f"{words}, {look.current}"

    def _activated(self, item: QListWidgetItem) -> None:
        if item.data(KEY) == MORE:
            self._open = not self._open
            self._fill()
            return
        at = self.list.row(item)
        if 0 <= at < len(self._rows):
            self.go_wanted.emit(self._rows[at])

    # --- as a file ------------------------------------------------------------------------------

    header_words = (
        "Consumer", "Where", "Mean current [A]", "Low [A]", "High [A]", "Charge [Ah]", "Share"
    )  # fmt: skip

    def rows(self) -> Iterator[tuple[object, ...]]:
        """The table as a file."""
        for each in self._rows:
            yield (
                str(each.name),
                str(each.where),
                round(each.mean_a, 6),
                round(each.low_a, 6),
                round(each.high_a, 6),
                round(each.charge_ah, 4),
                round(each.share, 4),
            )


def drawn_words(rows: tuple[DrawRow, ...], style: Style) -> str:
    """What rows draw together, both ends where they differ: “0.9–1.5 A”."""
    low, high = sum(row.low_a for row in rows), sum(row.high_a for row in rows)
    if high - low < 0.02 * high:
        return style.show(Amount(sum(row.mean_a for row in rows), "A", significant=2))
    unit, factor = ("A", 1.0) if high >= 0.9995 else ("mA", 1000.0)
    ends = Amount(low * factor, significant=2), Amount(high * factor, unit, significant=2)
    return "–".join(map(style.show, ends))


def _charge(ah: float) -> Amount:
    if abs(ah) < 0.1:
        return Amount(ah * 1000, "mAh", significant=2)
    return Amount(ah, "Ah", significant=2)


def _trunk(x: float, top: float, bottom: float, em: float) -> QRect:
    """The line from the battery, on whole pixels, so that its pieces meet."""
    wide = max(2, round(em * 0.24))
    return QRect(round(x - wide / 2), round(top), wide, round(bottom) - round(top))


class BatteryHead(QWidget):
    """The battery at the left, from which the line runs down; the whole current beside it."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._words = ""
        self._more = ""

    def show_words(self, words: str, more: str) -> None:
        """Say this beside the battery, and at the right a second thing."""
        self._words, self._more = words, more
        self.setAccessibleName(words)
        self.update()

    def text(self) -> str:
        """What is said."""
        return self._words

    def sizeHint(self) -> QSize:
        """Two lines of text, where one does not do."""
        em = self.fontMetrics().height()
        return QSize(em * 16, round(em * 2.3))

    minimumSizeHint = sizeHint  # noqa: N815 - Qt's own name

    def paintEvent(self, event: QPaintEvent) -> None:
        """Battery, words, and the beginning of the line."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        em = QFontMetricsF(self.font()).height()
        self._battery(painter, em)
        left = em * BRANCH
        strong = QFont(self.font())
        strong.setWeight(QFont.Weight.DemiBold)
        size = QFontMetricsF(strong)
        wide, rest = size.horizontalAdvance(self._words), QFontMetricsF(self.font())
        both = wide + rest.horizontalAdvance(self._more) + em <= self.width() - left
        painter.setPen(self._theme.colour("text"))
        painter.setFont(strong)
        first = QRectF(left, em * 0.1, self.width() - left, em * (2.0 if both else 1.1))
        flags = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(first, flags | Qt.AlignmentFlag.AlignLeft, self._words)
        painter.setFont(self.font())
        painter.setPen(self._theme.colour("muted_text"))
        second = first if both else first.translated(0, em * 1.05)
        side = Qt.AlignmentFlag.AlignRight if both else Qt.AlignmentFlag.AlignLeft
        painter.drawText(second, flags | side, self._more)
        painter.end()

    def _battery(self, painter: QPainter, em: float) -> None:
        """A case with two posts; from its plus the line runs down."""
        body, metal = self._theme.colour("muted_text"), self._theme.colour("line")
        x = em * TRUNK
        case = QRectF(em * 0.2, em * 0.45, em * 2.1, em * 1.45)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(metal)
        for post in (x - em * 0.2, case.right() - em * 0.75):
            painter.drawRoundedRect(QRectF(post, em * 0.2, em * 0.45, em * 0.4), 1, 1)
        painter.setBrush(body)
        painter.drawRoundedRect(case, 3, 3)
        painter.setPen(QPen(self._theme.colour("base"), max(1.4, em * 0.1)))
        y, arm = case.center().y(), em * 0.22
        for place, upright in ((x, True), (case.right() - em * 0.53, False)):
            painter.drawLine(QPointF(place - arm, y), QPointF(place + arm, y))
            if upright:
                painter.drawLine(QPointF(place, y - arm), QPointF(place, y + arm))
        painter.fillRect(_trunk(x, case.bottom(), self.height(), em), self._theme.colour("accent"))


class DrawsPaint(QStyledItemDelegate):
    """Draws a row: the line from the battery, its branch, name, place, both ends of its current."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """One line, two where name, place and figures do not stand side by side."""
        em = option.fontMetrics.height()
        widget = option.widget
        wide = widget.width() if isinstance(widget, QWidget) else em * 20
        way = self._way(index.data(LOOK), QFontMetricsF(option.fontMetrics), wide)
        return QSize(em * 12, round(em * ROW) + (0 if way == "one" else em))

    def _way(self, look: Look, size: QFontMetricsF, wide: float) -> Way:
        """What goes into one line: all, all but the place, or all but the figures."""
        em = size.height()
        room = wide - em * BRANCH
        name = size.horizontalAdvance(look.name)
        place = size.horizontalAdvance(look.where) + em * 0.9
        if name + (place if look.where else 0) + em * FIGURES <= room:
            return "one"
        return "place below" if look.where and name + em * FIGURES <= room else "figures below"

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """One row."""
        look: Look = index.data(LOOK)
        place = QRectF(option.rect)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._ground(painter, option, place)
        em = QFontMetricsF(option.font).height()
        self._branch(painter, place, look, em)
        self._words(painter, place, look, option.font)
        painter.restore()

    def _ground(self, painter: QPainter, option: QStyleOptionViewItem, place: QRectF) -> None:
        """Tinted under the mouse, ringed where the keyboard is."""
        flags = QStyle.StateFlag
        state = option.state
        inside = place.adjusted(1, 1, -1, -1)
        if state & flags.State_MouseOver:
            painter.fillRect(inside, self._theme.colour("accent_tint"))
        if state & flags.State_HasFocus:
            painter.setPen(QPen(self._theme.colour("accent"), 2))
            painter.drawRoundedRect(inside, 4, 4)

    def _branch(self, painter: QPainter, place: QRectF, look: Look, em: float) -> None:
        colour = self._theme.colour("accent")
        x, y = place.left() + em * TRUNK, place.top() + em * ROW / 2
        bottom = y if look.last else place.bottom()
        painter.fillRect(_trunk(x, place.top(), bottom, em), colour)
        width = max(em * 0.12, em * WIDEST * look.share**0.5)
        pen = QPen(colour, width)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if not look.sure:
            dash = max(0.6, em * 0.28 / width)
            pen.setDashPattern([dash, dash * 0.7])
        painter.setPen(pen)
        painter.drawLine(QPointF(x, y), QPointF(place.left() + em * (BRANCH - 0.35), y))

    def _words(self, painter: QPainter, place: QRectF, look: Look, font: QFont) -> None:
        size = QFontMetricsF(font)
        em = size.height()
        strong = QFont(font)
        strong.setWeight(QFont.Weight.DemiBold)
        left, right = place.left() + em * BRANCH, place.right() - 2
        way = self._way(look, size, place.width())
        line = QRectF(left, place.top(), right - left, em * ROW)
        middle = Qt.AlignmentFlag.AlignVCenter
        ink, muted = self._theme.colour("text"), self._theme.colour("muted_text")
        wide = right - left if way == "figures below" else right - left - em * FIGURES
        painter.setFont(font)
        painter.setPen(self._theme.colour("accent") if look.rest else ink)
        name = size.elidedText(look.name, Qt.TextElideMode.ElideRight, wide)
        painter.drawText(line, middle | Qt.AlignmentFlag.AlignLeft, name)
        painter.setPen(muted)
        after = line.adjusted(size.horizontalAdvance(name) + em * 0.5, 0, 0, 0)
        if way == "place below":
            after = line.translated(0, em)
        where = size.elidedText(look.where, Qt.TextElideMode.ElideRight, after.width())
        painter.drawText(after, middle | Qt.AlignmentFlag.AlignLeft, where)
        figures = line.translated(0, em) if way == "figures below" else line
        painter.setFont(strong)
        painter.setPen(ink)
        painter.drawText(figures, middle | Qt.AlignmentFlag.AlignRight, look.current)
