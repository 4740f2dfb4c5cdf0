"""A list whose rows are a few wrapped lines of text, a mark at the left, perhaps a bar.

In: a model that gives a `RowLook` per row under `LOOK`, such as a `RowModel`. Out: rows as
high as their text needs at the list's width, so that nothing is cut. Sizes follow the font.
"""

from collections.abc import Callable
from typing import Any, Final, Generic, Literal, TypeVar

from msgspec import Struct
from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QFontMetricsF,
    QPainter,
    QResizeEvent,
    QTextLayout,
    QTextOption,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from fusemap.hyphens import softened
from fusemap.window.style.bars import hatch
from fusemap.window.style.theme import Theme

LOOK: Final = Qt.ItemDataRole.UserRole + 20
Index = QModelIndex | QPersistentModelIndex
R = TypeVar("R")
Weight = Literal["plain", "strong", "heading"]
DrawMark = Callable[[QPainter, QRectF, QRectF, "RowLook", Theme], None]
"""Draws a mark: painter, the square for it, the whole row, the row's look, theme."""


class Line(Struct, frozen=True):
    """A text that wraps, and a short one kept whole at its right; `colour` is a theme role."""

    text: str
    weight: Weight = "plain"
    colour: str = "text"
    right: str = ""
    right_colour: str = "text"
    indent: int = 0


class Bar(Struct, frozen=True):
    """A horizontal bar filled to a share of its length; past 1 it is full and hatched.

    Up to `most`, in `most_colour`, it is hatched: so much it may be.
    """

    share: float
    colour: str = "accent"
    most: float = 0.0
    most_colour: str = "accent"


class RowLook(Struct, frozen=True):
    """Everything drawn in one row. `mark` names what the list draws at the left."""

    lines: tuple[Line | Bar, ...]
    mark: str = ""
    level: int = 0
    heading: bool = False

    @property
    def text(self) -> str:
        """The row's words, a line each, for the clipboard and for screen readers."""
        lines = [line for line in self.lines if isinstance(line, Line)]
        return "\n".join(
            f"{line.text}: {line.right}" if line.right else line.text for line in lines
        )


class RowModel(QAbstractListModel, Generic[R]):
    """Rows that are shown anew only when they differ."""

    def __init__(self, look_of: Callable[[R], RowLook], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._look_of = look_of
        self.rows: tuple[R, ...] = ()

    def set_rows(self, rows: tuple[R, ...]) -> None:
        """Show these; nothing happens where they are the same."""
        if rows != self.rows:
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        """How many."""
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """A row's look and words."""
        if not index.isValid():
            return None
        look = self._look_of(self.rows[index.row()])
        if role == LOOK:
            return look
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return look.text
        return None


class RowPainter(QStyledItemDelegate):
    """Lays out and draws rows; `draw_mark` draws into the square at the left of each."""

    def __init__(
        self, theme: Theme, draw_mark: DrawMark | None, ruled: bool, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._draw_mark = draw_mark
        self._ruled = ruled
        self._heights: dict[tuple[RowLook, int], int] = {}

    def forget(self) -> None:
        """Measure anew, for instance after a change of font."""
        self._heights.clear()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as the text needs at the view's width."""
        look = index.data(LOOK)
        view = option.widget
        width = view.viewport().width() if isinstance(view, QAbstractItemView) else 400
        key = (look, width)
        if key not in self._heights:
            if len(self._heights) > 2000:
                self._heights.clear()
            self._heights[key] = self._flow(look, option.font, QRect(0, 0, width, 0), None)
        return QSize(width, self._heights[key])

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Ground, mark, lines."""
        look = index.data(LOOK)
        rect: QRect = option.rect
        painter.save()
        self._paint_ground(painter, option, look)
        if self._draw_mark is not None:
            place = self.mark_place(look, option.font, rect)
            self._draw_mark(painter, place, QRectF(rect), look, self._theme)
        self._flow(look, option.font, rect, painter)
        painter.restore()

    def _paint_ground(self, painter: QPainter, option: QStyleOptionViewItem, look: RowLook) -> None:
        rect: QRect = option.rect
        if look.heading:
            painter.fillRect(rect, self._theme.colour("raised"))
        elif option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, self._theme.colour("accent_tint"))
            width = max(2, QFontMetrics(option.font).height() // 6)
            painter.fillRect(QRect(rect.topLeft(), QSize(width, rect.height())),
                             self._theme.colour("accent"))  # fmt: skip
        if self._ruled and not look.heading:
            painter.setPen(self._theme.colour("line"))
            painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(self._theme.colour("accent"))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))

    def mark_place(self, look: RowLook, font: QFont, rect: QRect) -> QRectF:
        """The square at the left in which the mark is drawn."""
        height = QFontMetrics(font).height()
        left = rect.left() + height * (0.6 + 1.2 * look.level)
        return QRectF(left, rect.top() + self._above(height, look), height, height)

    def _above(self, height: int, look: RowLook) -> float:
        return height * (0.3 if look.heading else 0.4)

    def text_place(self, look: RowLook, font: QFont, rect: QRect) -> QRectF:
        """Where the lines stand."""
        height = QFontMetrics(font).height()
        left = height * (0.6 + 1.2 * look.level)
        if self._draw_mark is not None and not look.heading:
            left += height * 1.6
        above = self._above(height, look)
        return QRectF(rect).adjusted(left, above, -height * 0.6, -above)

    def _flow(self, look: RowLook, font: QFont, rect: QRect, painter: QPainter | None) -> int:
        """Set line under line, drawing where there is a painter; the height it all takes."""
        place = self.text_place(look, font, rect)
        height = QFontMetrics(font).height()
        top = place.top()
        for number, line in enumerate(look.lines):
            top += height * 0.12 if number else 0
            space = QRectF(place.left(), top, max(1.0, place.width()), 0)
            if isinstance(line, Bar):
                top += self._bar(line, space, height, painter)
            else:
                top += self._line(line, font, space, painter)
        return round(top - rect.top() + self._above(height, look))

    def _line(self, line: Line, font: QFont, place: QRectF, painter: QPainter | None) -> float:
        """One line with its right-hand text; where both do not fit, the latter goes below."""
        weighted = _weighted(font, line.weight)
        metrics = QFontMetricsF(weighted)
        indent = metrics.height() * line.indent
        space = place.adjusted(indent, 0, 0, 0)
        gap = metrics.averageCharWidth() * 2
        right = metrics.horizontalAdvance(line.right) + gap if line.right else 0.0
        beside = right <= space.width() * 0.6
        narrow = space.adjusted(0, 0, -right if beside else 0, 0)
        used = _write(line.text, weighted, narrow, self._theme.colour(line.colour), painter)
        if line.right and painter is not None and beside:
            painter.setFont(weighted)
            painter.setPen(self._theme.colour(line.right_colour))
            at = QRectF(space.right() - right, space.top(), right, metrics.height())
            painter.drawText(at, Qt.AlignmentFlag.AlignRight, line.right)
        if line.right and not beside:
            below = space.translated(0, used)
            colour = self._theme.colour(line.right_colour)
            used += _write(line.right, weighted, below, colour, painter)
        return used

    def _bar(self, bar: Bar, place: QRectF, height: int, painter: QPainter | None) -> float:
        high = max(4.0, height * 0.35)
        if painter is not None:
            whole = QRectF(place.left(), place.top() + high * 0.3, place.width(), high)
            draw_bar(painter, whole, bar, self._theme)
        return high * 1.6


def draw_bar(painter: QPainter, whole: QRectF, bar: Bar, theme: Theme) -> None:
    """A bar in its frame; a bar that is over its limit is hatched, not only coloured."""
    painter.fillRect(whole, theme.colour("slot_empty"))
    if bar.most > bar.share:
        hatch(painter, _filled(whole, bar.most), theme.colour(bar.most_colour))
    painter.fillRect(_filled(whole, bar.share), theme.colour(bar.colour))
    if bar.share > 1:
        hatch(painter, whole, theme.colour("base"))
    painter.setPen(theme.colour("frame"))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(whole)


def _filled(whole: QRectF, share: float) -> QRectF:
    filled = QRectF(whole)
    filled.setWidth(whole.width() * min(1.0, max(0.0, share)))
    return filled


def _weighted(font: QFont, weight: Weight) -> QFont:
    if weight == "plain":
        return font
    heavy = QFont(font)
    heavy.setBold(True)
    return heavy


def parted(text: str, font: QFont, wide: float) -> str:
    """A text in which a word wider than the line [px] may be parted, with a hyphen."""
    width = QFontMetricsF(font).horizontalAdvance
    words = text.split(" ")
    return " ".join(softened(word) if width(word) > wide else word for word in words)


def _write(
    text: str, font: QFont, place: QRectF, colour: QColor, painter: QPainter | None
) -> float:
    """Write a text that wraps, a word too wide between its syllables; the height it takes."""
    layout = QTextLayout(parted(text, font, place.width()).replace("\n", "\u2028"), font)
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    layout.beginLayout()
    used = 0.0
    while (line := layout.createLine()).isValid():
        line.setLineWidth(max(1.0, place.width()))
        line.setPosition(QPointF(0, used))
        used += line.height()
    layout.endLayout()
    if painter is not None:
        painter.setPen(colour)
        layout.draw(painter, place.topLeft())
    return used


class RowList(QListView):
    """A list of such rows, with lines between them if `ruled`; it never scrolls sideways."""

    def __init__(
        self, theme: Theme, draw_mark: DrawMark | None = None, *, ruled: bool = True
    ) -> None:
        super().__init__()
        self.painter_of_rows = RowPainter(theme, draw_mark, ruled, self)
        self.setItemDelegate(self.painter_of_rows)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setUniformItemSizes(False)

    def changeEvent(self, event: QEvent) -> None:
        """A new font needs other heights."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            painter = getattr(self, "painter_of_rows", None)
            if painter is not None:
                painter.forget()
                self.scheduleDelayedItemsLayout()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width needs other heights, at once: Qt itself looks only at the height."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.scheduleDelayedItemsLayout()

    def current_look(self) -> RowLook | None:
        """The look of the row the cursor is on."""
        look = self.currentIndex().data(LOOK)
        return look if isinstance(look, RowLook) else None


class ShortRowList(RowList):
    """One that is no higher than its rows, so that what is said of them stands right below."""

    def updateGeometries(self) -> None:
        """After each laying out."""
        super().updateGeometries()
        high = self.contentsSize().height() + 2 * self.frameWidth()
        if high != self.maximumHeight():
            self.setMaximumHeight(max(1, high))
