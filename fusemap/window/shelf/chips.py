"""What is in the vehicle, as one row of chips: a mark, a name, where it is.

In: `ShelfRow`s. Out: the list of the shelf, laid sideways; `overflowed` says which rows do not fit
into the room there is.
"""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPen, QPixmap, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import (
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from fusemap.window.parts.row_list import Index
from fusemap.window.shelf.shelf_list import ROW, ShelfList
from fusemap.window.shelf.shelf_rows import ShelfRow
from fusemap.window.style.bars import draw_dots
from fusemap.window.style.icons import draw_icon
from fusemap.window.style.letters import body, small
from fusemap.window.style.marks import dashed_pen
from fusemap.window.style.measures import height, per_font, px, radius
from fusemap.window.style.signs import draw_verdict
from fusemap.window.style.theme import Theme

MOST_WIDE = 200
"""Where not all have room a wider chip is shortened to this, or a fair share [px of the design]."""
WIDEST = 300
"""And where some are out of sight in any case, to this [px of the design]."""
_EDGE, _MARK, _GAP = 10, 18, 8
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class ChipPainter(QStyledItemDelegate):
    """Lays out and draws chips."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme

    def forget(self) -> None:
        """Nothing is kept that another font would change."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As wide as its words, where all have room; else the widest give way."""
        wide = wide_of(index.data(ROW), option.font)
        if isinstance(option.widget, ChipList):
            wide = min(wide, option.widget.most_wide(option.font))
        return QSize(wide, height(option.font, "chip"))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Ground, mark, two lines; a chip that is not whole in sight is not begun."""
        row: ShelfRow = index.data(ROW)
        if isinstance(option.widget, ChipList) and not option.widget.is_whole(option.rect):
            return
        place = QRectF(option.rect)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._draw_ground(painter, option, place, row)
        edge, side = px(option.font, _EDGE), px(option.font, _MARK)
        mark = QRectF(place.left() + edge, place.center().y() - side / 2, side, side)
        self._draw_mark(painter, mark, row)
        left = mark.right() + px(option.font, _GAP)
        words = QRectF(left, place.top(), place.right() - edge - left, place.height())
        self._draw_words(painter, option, words, row)
        painter.restore()

    def _draw_ground(
        self, painter: QPainter, option: QStyleOptionViewItem, place: QRectF, row: ShelfRow
    ) -> None:
        states, inside = QStyle.StateFlag, place.adjusted(1.5, 1.5, -1.5, -1.5)
        round_ = radius(option.font, "control")
        chosen = bool(option.state & states.State_Selected)
        painter.setPen(Qt.PenStyle.NoPen)
        if chosen:
            painter.setBrush(self._theme.colour("accent_tint"))
        elif option.state & states.State_MouseOver:
            painter.setBrush(self._theme.colour("window"))
        else:
            painter.setBrush(Qt.BrushStyle.NoBrush)
        if chosen:
            painter.setPen(QPen(self._theme.colour("accent"), 2))
        elif option.state & states.State_HasFocus:
            painter.setPen(QPen(self._theme.colour("accent"), 1))
        elif row.mark == "loose":
            painter.setPen(dashed_pen(self._theme.colour("frame"), 1.2))
        painter.drawRoundedRect(inside, round_, round_)
        if chosen and option.state & states.State_HasFocus:
            painter.setPen(QPen(self._theme.colour("text"), 1))
            painter.drawRoundedRect(inside.adjusted(2.5, 2.5, -2.5, -2.5), round_, round_)

    def _draw_mark(self, painter: QPainter, mark: QRectF, row: ShelfRow) -> None:
        if row.mark == "reckoning":
            draw_dots(painter, mark, self._theme.colour("frame"))
        elif row.mark in ("holds", "may_not_hold", "fails"):
            draw_verdict(painter, mark, row.mark, self._theme)
        else:
            draw_verdict(painter, mark, "unchecked", self._theme)

    def _draw_words(
        self, painter: QPainter, option: QStyleOptionViewItem, words: QRectF, row: ShelfRow
    ) -> None:
        lines = (
            (_title(row), body(option.font, strong=True), "text"),
            (row.short, small(option.font), "muted_text"),
        )
        heights = [QFontMetrics(font).height() for _, font, _ in lines]
        top = words.center().y() - sum(heights) / 2
        for (text, font, role), high in zip(lines, heights, strict=True):
            elided = QFontMetrics(font).elidedText(
                text, Qt.TextElideMode.ElideRight, int(words.width())
            )
            painter.setFont(font)
            painter.setPen(self._theme.colour(role))
            painter.drawText(QRectF(words.left(), top, words.width(), high), _LEFT, elided)
            top += high

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """The name is edited in the chip's whole place."""
        rect: QRect = option.rect
        editor.setAccessibleName(self.tr("Name"))
        editor.setMinimumWidth(min(px(option.font, MOST_WIDE), option.widget.width()))
        editor.setGeometry(rect.left(), rect.top() + 2, rect.width(), rect.height() - 4)


def wide_of(row: ShelfRow, font: QFont) -> int:
    """How wide a chip with all its words is [px]."""
    return _wide(font, _title(row), row.short)


@per_font
def _wide(font: QFont, title: str, short: str) -> int:
    words = max(
        QFontMetrics(body(font, strong=True)).horizontalAdvance(title),
        QFontMetrics(small(font)).horizontalAdvance(short),
    )
    return words + px(font, 2 * _EDGE + _MARK + _GAP) + 2


def fair_share(wides: Sequence[int], room: int) -> int:
    """The most that each may have, so that all together have room: who needs less keeps that.

    >>> fair_share([100, 300, 400], 700), fair_share([100, 300], 700)
    (300, 700)
    """
    left = sorted(wides)
    if sum(left) <= room:
        return room
    while left and left[0] * len(left) <= room:
        room -= left.pop(0)
    return room // len(left)


def empty_picture(of: QWidget, theme: Theme) -> QPixmap:
    """A chip that is not there yet: dashed, with a plus."""
    side, ratio = height(of, "chip") - px(of, 8), of.devicePixelRatioF()
    pixmap = QPixmap(QSize(side, side) * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(dashed_pen(theme.colour("frame"), 1.4))
    place = QRectF(0, 0, side, side).adjusted(1.5, 1.5, -1.5, -1.5)
    painter.drawRoundedRect(place, radius(of, "control"), radius(of, "control"))
    edge = side * 0.28
    draw_icon(painter, place.adjusted(edge, edge, -edge, -edge), "plus", theme.colour("accent"))
    painter.end()
    return pixmap


def _title(row: ShelfRow) -> str:
    """The accessory's name, or what a lead of it is called."""
    return row.name if row.first else row.look.text.partition(":")[0]


class ChipList(ShelfList):
    """The vehicle's accessories side by side; left and right go along them."""

    overflowed = Signal()
    """Other chips than before may be out of sight now."""
    up_asked = Signal()
    """Up or Escape: back to the search above it."""

    def __init__(self, theme: Theme, name: str, key: str) -> None:
        super().__init__(theme, name, key)
        self._shared: tuple[tuple[ShelfRow, ...], tuple[int, str], int] | None = None
        """For which rows, room and font it was reckoned how wide a chip may be, and that."""
        self._said: list[tuple[str, str]] = []
        """The words of all chips as they are laid out."""
        self._hidden: tuple[object, list[int]] | None = None
        """Which rows were out of sight when they were last looked for, and what was asked."""
        painter = ChipPainter(theme, self)
        self.setItemDelegate(painter)
        self.painter_of_rows = painter  # type: ignore[assignment]
        self.setFlow(QListView.Flow.LeftToRight)
        self.setWrapping(False)
        self.setMouseTracking(True)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollMode(self.ScrollMode.ScrollPerItem)
        self.viewport().setAutoFillBackground(False)
        self.horizontalScrollBar().valueChanged.connect(self.overflowed)
        self.shelf.modelReset.connect(self.overflowed)
        self.shelf.dataChanged.connect(self._chips_changed)

    def _chips_changed(self) -> None:
        """Other words need another width; another mark has the same room."""
        said = self._lines()
        if said != self._said:
            self._said = said
            self.scheduleDelayedItemsLayout()
        self.overflowed.emit()

    def most_wide(self, font: QFont) -> int:
        """No chip is wider [px]: all of them fit if they can, the widest yielding first.

        Where they cannot all be in sight those that are have their words whole.
        """
        room, rows = self.viewport().width(), self.shelf.rows
        asked = (room, font.key())
        if self._shared is None or self._shared[0] is not rows or self._shared[1] != asked:
            share = fair_share([wide_of(row, font) for row in rows], room)
            least = px(font, MOST_WIDE)
            most = max(1, min(room, share if share >= least else px(font, WIDEST)))
            self._shared = (rows, asked, most)
        return self._shared[2]

    def whole_width(self) -> int:
        """How wide all chips are together [px]."""
        return sum(self.sizeHintForIndex(self.shelf.index(row, 0)).width()
                   for row in range(self.shelf.rowCount()))  # fmt: skip

    def hidden_in(self, room: int) -> list[int]:
        """The rows out of sight, none where all would fit into this room [px].

        Reckoned anew where words, room, font or what is scrolled to are other than the last time.
        """
        seen = self.viewport().size(), self.horizontalScrollBar().value(), hash(self.font())
        asked = (self._lines(), room, seen)
        if self._hidden is None or self._hidden[0] != asked:
            hidden = [] if self.whole_width() <= room else self.out_of_sight()
            self._hidden = (asked, hidden)
        return self._hidden[1]

    def _lines(self) -> list[tuple[str, str]]:
        """The two lines of every chip."""
        return [(_title(row), row.short) for row in self.shelf.rows]

    def is_whole(self, place: QRect) -> bool:
        """Whether a chip lies within the room there is."""
        room = self.viewport().rect()
        return place.left() >= room.left() and place.right() <= room.right()

    def out_of_sight(self) -> list[int]:
        """The rows for which there is no room."""
        self.executeDelayedItemsLayout()
        rows = range(self.shelf.rowCount())
        places = ((row, self.visualRect(self.shelf.index(row, 0))) for row in rows)
        return [row for row, place in places if not self.is_whole(place)]

    def wheelEvent(self, event: QWheelEvent) -> None:
        """A wheel that turns up and down goes along the row, chip by chip."""
        turned = event.angleDelta().x() or event.angleDelta().y()
        bar = self.horizontalScrollBar()
        bar.setValue(bar.value() - (turned > 0) + (turned < 0))
        event.accept()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """More or fewer chips are in sight."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.scheduleDelayedItemsLayout()
        self.overflowed.emit()

    def event(self, event: QEvent) -> bool:
        """In another font the chips are of another size."""
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self.overflowed.emit()
        return super().event(event)
