"""What would help: each change with what it gains, to be ticked; together with what they come to.

In: `WhatIf`s, and what each gains after those that are ticked. Out: `ticked` tells the changes that
are ticked, in the order of the ticks. The best stand first; those that gain least are folded.
"""

from typing import Final

from msgspec import Struct
from PySide6.QtCore import QAbstractItemModel, QEvent, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.fixes.what_if import WhatIf
from fusemap.text import many
from fusemap.window.parked.fitted_list import KEY, LOOK, MORE, FittedList, Index
from fusemap.window.parked.page_words import gain_words
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import embolden

SHOWN: Final = 5
"""So many changes are shown at first."""
BOX: Final = 1.2
"""Side of a tick's box, in heights of the font."""
WAITS: Final = "…"


class Look(Struct, frozen=True):
    """One row as it is drawn."""

    title: str
    gain: str
    on: bool
    more: bool = False


class HelpList(QWidget):
    """The changes with their ticks."""

    ticked = Signal(object)
    """The changes that are ticked, in the order of the ticks: tuple[WhatIf, ...]."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._found: tuple[WhatIf, ...] = ()
        self._gains: dict[str, float] = {}
        self._wanted: list[str] = []
        self._open = False
        self._shown = SHOWN
        self.looking = True
        self.setObjectName("whatIf")
        self.setAccessibleName(self.tr("What would help"))
        self.heading = QLabel(self.tr("What would help"))
        embolden(self.heading)
        self.state = QLabel()
        self.state.setObjectName("whatIfState")
        self.state.setProperty("muted", True)
        self.state.setWordWrap(True)
        self.state.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.list = FittedList("whatIfList", self.tr("What would help, best first; tick to choose"))
        self.list.setItemDelegate(HelpPaint(theme, self.list))
        self.list.itemActivated.connect(self._activated)
        self.list.itemChanged.connect(self._changed)
        head = QHBoxLayout()
        head.addWidget(self.heading)
        head.addWidget(self.state, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(self, "small"))
        column.addLayout(head)
        column.addWidget(self.list)
        self.look()

    # --- what is shown --------------------------------------------------------------------------

    def look(self) -> None:
        """They are being looked for."""
        self.looking = True
        self.state.setText(self.tr("Looking …"))

    def show_found(self, found: tuple[WhatIf, ...]) -> None:
        """Show these; what was ticked and is still there stays ticked."""
        self._found = found
        self.looking = False
        self._gains = {each.key: each.gained_h for each in found}
        self._wanted = [key for key in self._wanted if key in self._gains]
        self._fill()

    def show_gains(self, gains: dict[str, float]) -> None:
        """What each gains after the ticked ones [h]: these first, then the best of the rest."""
        self._gains = gains
        ticked = {key: place for place, key in enumerate(self._wanted)}
        self._found = tuple(
            sorted(
                self._found,
                key=lambda each: (ticked.get(each.key, len(ticked)), -gains.get(each.key, 0.0)),
            )
        )
        self._fill()

    def give_room(self, shown: int) -> None:
        """Show so many changes before the rest is folded."""
        if shown != self._shown:
            self._shown = shown
            self._fill()

    @property
    def chosen(self) -> tuple[WhatIf, ...]:
        """The changes that are ticked, in the order of the ticks."""
        by_key = {each.key: each for each in self._found}
        return tuple(by_key[key] for key in self._wanted if key in by_key)

    @property
    def others(self) -> tuple[WhatIf, ...]:
        """The changes that are not ticked."""
        return tuple(each for each in self._found if each.key not in self._wanted)

    def untick(self, keys: tuple[str, ...]) -> None:
        """These are not wanted any more: they were done, or cannot be."""
        self._wanted = [key for key in self._wanted if key not in keys]
        self._fill()

    def _fill(self) -> None:
        current = self.list.currentItem()
        at = None if current is None else current.data(KEY)
        self.list.blockSignals(True)
        self.list.clear()
        few = len(self._found) <= self._shown + 1
        shown = [
            each
            for place, each in enumerate(self._found)
            if few or self._open or place < self._shown or each.key in self._wanted
        ]
        longest = max((each.gained_h for each in self._found), default=0.0)
        for each in shown:
            self._add(each, longest)
        if not few:
            hidden = len(self._found) - len(shown)
            words = self.tr("Fewer")
            if hidden:
                words = self._theme.style.show(many("{n} more", "{n} more", hidden))
            self.list.add(MORE, Look(words, "", on=False, more=True), words)
        row = None if at is None else self.list.row_of(at)
        if row is not None:
            self.list.setCurrentItem(row)
        self.list.blockSignals(False)
        self.list.fit()
        self._say_state()

    def _add(self, each: WhatIf, longest: float) -> None:
        style = self._theme.style
        on = each.key in self._wanted
        gained = self._gains.get(each.key)
        past = each.hours == float("inf")
        gain = WAITS if gained is None else style.show(gain_words(gained, longest, past=past))
        title = style.show(each.words)
        item = self.list.add(each.key, Look(title, gain, on), f"{title}, {gain}")
        item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
        item.setCheckState(Qt.CheckState.Checked if on else Qt.CheckState.Unchecked)

    def _say_state(self) -> None:
        if self.looking:
            self.state.setText(self.tr("Looking …"))
        elif not self._found:
            self.state.setText(self.tr("Nothing that is known of."))
        elif self._wanted:
            self.state.setText(self.tr("by the usual figures, after the ticked"))
        else:
            self.state.setText(self.tr("by the usual figures; tick to choose"))

    # --- what is done ---------------------------------------------------------------------------

    def _activated(self, item: QListWidgetItem) -> None:
        """Enter ticks, too, and opens the rest."""
        if item.data(KEY) == MORE:
            self._open = not self._open
            self._fill()
            return
        on = item.checkState() == Qt.CheckState.Checked
        item.setCheckState(Qt.CheckState.Unchecked if on else Qt.CheckState.Checked)

    def _changed(self, item: QListWidgetItem) -> None:
        key = item.data(KEY)
        on = item.checkState() == Qt.CheckState.Checked
        if key == MORE or on == (key in self._wanted):
            return
        self._wanted = [each for each in self._wanted if each != key] + [key] * on
        self._gains = {}
        self._fill()
        self.ticked.emit(self.chosen)


class HelpPaint(QStyledItemDelegate):
    """Draws a row: the tick, what it is in as many lines as it needs, and the gain."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as its text needs beside tick and gain, but easy to hit."""
        look: Look = index.data(LOOK)
        em = option.fontMetrics.height()
        widget = option.widget
        wide = widget.width() if isinstance(widget, QWidget) else em * 20
        high = self._text_place(look, QRect(0, 0, wide, em), option.font).height()
        return QSize(em * 12, max(round(em * 1.9), high + round(em * 0.6)))

    def _text_place(self, look: Look, row: QRect, font: QFont) -> QRect:
        """Where the words go, as wide as tick and gain leave it, as high as they need."""
        size = QFontMetrics(_strong(font, on=look.on))
        em = QFontMetrics(font).height()
        left = 0 if look.more else round(em * (BOX + 0.7))
        gains = QFontMetrics(_strong(font, on=True))
        gain = gains.horizontalAdvance(look.gain) + em if look.gain else 0
        room = QRect(row.left() + left, 0, max(em * 5, row.width() - left - gain), em * 40)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
        high = size.boundingRect(room, flags, look.title).height()
        return QRect(room.left(), row.top(), room.width(), high)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """One row."""
        look: Look = index.data(LOOK)
        place = option.rect
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        flags = QStyle.StateFlag
        inside = QRectF(place).adjusted(1, 1, -1, -1)
        if option.state & flags.State_MouseOver:
            painter.fillRect(inside, self._theme.colour("accent_tint"))
        if not look.more:
            self._tick(painter, QRectF(place), look, option.fontMetrics.height())
        words = self._text_place(look, place, option.font)
        words.moveTop(place.top() + (place.height() - words.height()) // 2)
        accent, ink = self._theme.colour("accent"), self._theme.colour("text")
        painter.setFont(_strong(option.font, on=look.on))
        painter.setPen(accent if look.more else ink)
        painter.drawText(words, Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft, look.title)
        painter.setFont(_strong(option.font, on=True))
        painter.setPen(accent if look.on else ink)
        painter.drawText(
            place.adjusted(0, 0, -2, 0),
            Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter,
            look.gain,
        )
        if option.state & flags.State_HasFocus:
            painter.setPen(QPen(accent, 2))
            painter.drawRoundedRect(inside, 4, 4)
        painter.restore()

    def _tick(self, painter: QPainter, place: QRectF, look: Look, em: int) -> None:
        side = em * BOX
        box = QRectF(place.left() + 3, place.center().y() - side / 2, side, side)
        accent = self._theme.colour("accent")
        painter.setPen(QPen(accent if look.on else self._theme.colour("frame"), 1.5))
        painter.setBrush(accent if look.on else self._theme.colour("base"))
        painter.drawRoundedRect(box, side * 0.25, side * 0.25)
        if look.on:
            painter.setPen(QPen(self._theme.colour("accent_text"), side * 0.13))
            painter.drawPolyline(
                [
                    QPointF(box.left() + side * x, box.top() + side * y)
                    for x, y in ((0.24, 0.52), (0.43, 0.71), (0.77, 0.31))
                ]
            )

    def editorEvent(
        self,
        event: QEvent,
        model: QAbstractItemModel,
        option: QStyleOptionViewItem,
        index: Index,
    ) -> bool:
        """A click anywhere on the row ticks it; so does the space bar."""
        kinds = QEvent.Type
        spaced = isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Space
        if event.type() == kinds.MouseButtonRelease or (event.type() == kinds.KeyPress and spaced):
            rows = option.widget
            if isinstance(rows, FittedList):
                rows.itemActivated.emit(rows.item(index.row()))
            return True
        return event.type() in (kinds.MouseButtonDblClick, kinds.MouseButtonPress)


def _strong(font: QFont, *, on: bool) -> QFont:
    made = QFont(font)
    if on:
        made.setWeight(QFont.Weight.DemiBold)
    return made
