"""The library over the lid: the generic kinds that fit what is typed, while somebody searches.

In: rows of kinds, what was typed. Out: a card over whatever lies above the shelf (below it, where
there is more room), that moves nothing on the page. It goes while one of its rows is dragged, so
that the lid is seen.
"""

from typing import Final

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from fusemap.window.parts.headings import muted_label
from fusemap.window.shelf.shelf_list import ShelfList
from fusemap.window.style.letters import body
from fusemap.window.style.measures import px
from fusemap.window.style.sheet import as_link, as_main, as_plain
from fusemap.window.style.theme import Theme

WIDE: Final = 640
HIGH: Final = 520
"""No larger than this, and never larger than the room there is [px of the design]."""
SHARE: Final = 0.78
"""Of the room above the shelf so much may be covered: what the window says at its head stays."""
_KEYS_OF_LIST: Final = frozenset(
    {Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_PageUp,
     Qt.Key.Key_PageDown, Qt.Key.Key_Space}
)  # fmt: skip


class KindList(ShelfList):
    """The kinds; what is typed here goes to the search, Escape and Up from the first leave."""

    typed = Signal(str)
    left = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Letters search on; the rest as in any list of the shelf."""
        text, held = event.text(), event.modifiers()
        plain = not held & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
        first = event.key() == Qt.Key.Key_Up and self.currentIndex() == self.first_index()
        if first or event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif plain and text.isprintable() and text.strip() and event.key() not in _KEYS_OF_LIST:
            self.typed.emit(text)
        else:
            super().keyPressEvent(event)


class LibraryOver(QFrame):
    """The card: the kinds, what can be done with the one on the cursor, or why there are none."""

    def __init__(self, theme: Theme, kinds: KindList, anchor: QWidget) -> None:
        super().__init__(anchor)
        self.setObjectName("shelfOver")
        self.setAccessibleName(self.tr("Library"))
        self._anchor = anchor
        self._watched: QWidget | None = None
        self.kinds = kinds
        title = QLabel(self.tr("Library"))
        title.setFont(body(self, strong=True))
        self._hint = QLabel()
        self._hint.setProperty("muted", True)
        self.nothing = muted_label("")
        self.nothing.setObjectName("shelfNothing")
        edge = px(self, 12)
        head = QHBoxLayout()
        head.addWidget(title)
        head.addStretch(1)
        head.addWidget(self._hint)
        self.foot = QHBoxLayout()
        self._first: QWidget | None = None
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(edge, edge, edge, edge)
        column.setSpacing(px(self, 8))
        column.addLayout(head)
        column.addWidget(self.nothing)
        column.addWidget(kinds, 1)
        column.addLayout(self.foot)
        self.hide()

    def add_buttons(self, with_kind: tuple[QPushButton, QPushButton], new: QPushButton) -> None:
        """What can be done with a kind, from the left: place it, only add it; at the right what is
        in no library.
        """
        self._with_kind, self._new = with_kind, new
        for button in with_kind:
            self.foot.addWidget(button)
        self.foot.addStretch(1)
        self.foot.addWidget(new)

    def add_first(self, link: QPushButton) -> None:
        """What is no kind of accessory, above the kinds."""
        self._first = link
        self._column.insertWidget(1, link, 0, Qt.AlignmentFlag.AlignLeft)

    def say_nothing_fits(self, words: str, *, slots: bool) -> None:
        """In place of the list, or with no words the list again. Where there are no slots yet
        a kind can be added, and not placed.
        """
        self._hint.setText(
            self.tr("Drag it onto a slot, or press Enter")
            if slots
            else self.tr("Enter adds it; it is placed once there is a panel")
        )
        self.nothing.setText(words)
        self.nothing.setVisible(bool(words))
        self._hint.setVisible(not words)
        self.kinds.setVisible(not words)
        place, add = self._with_kind
        place.setVisible(slots and not words)
        add.setVisible(not words)
        as_plain(add) if slots else as_main(add)
        as_main(self._new) if words else as_link(self._new)

    # --- where it lies --------------------------------------------------------------------------

    def open_(self) -> None:
        """Show it over the window, above the shelf or below it."""
        window = self._anchor.window()
        if self._watched is not window:
            if self._watched is not None:
                self._watched.removeEventFilter(self)
            self._watched = window
            window.installEventFilter(self)
            self.setParent(window)
        self.lie()
        self.show()
        self.raise_()

    def lie(self) -> None:
        """As high as its rows need, within the room there is."""
        window, anchor = self._anchor.window(), self._anchor
        at = anchor.mapTo(window, QPoint(0, 0))
        edge = px(self, 8)
        above, below = at.y(), window.height() - at.y() - anchor.height()
        room = round(max(above, below) * SHARE) - 2 * edge
        wide = max(min(px(self, WIDE), window.width() - at.x() - 2 * edge), px(self, 120))
        high = max(min(self._needed(wide), px(self, HIGH), room), px(self, 96))
        top = at.y() - high - edge // 2 if above >= below else at.y() + anchor.height()
        self.setGeometry(at.x() + edge, top, wide, high)

    def _needed(self, wide: int) -> int:
        """The height of all that is in it [px]."""
        around = self.contentsMargins().top() * 2 + px(self, 12 + 8) * 2
        head = self.fontMetrics().height() + self.foot.sizeHint().height()
        if self._first is not None and not self._first.isHidden():
            head += self._first.sizeHint().height() + px(self, 8)
        if not self.kinds.shelf.rowCount():
            return around + head + self.nothing.heightForWidth(wide - 2 * px(self, 12))
        # some rows are enough to know that there is not the room for more
        rows = range(min(self.kinds.shelf.rowCount(), 24))
        return around + head + sum(self.kinds.sizeHintForRow(row) for row in rows) + 8

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the window's size; no event is held back."""
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self.lie()
        return False
