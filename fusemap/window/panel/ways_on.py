"""A slot was refused for nothing but that nobody knows when it is live: three honest ways on.

In: what was to be placed on which slot (`Stuck`). Out: one step of the history, or the slot to be
measured first; `left` when it is put aside. It lies over the details, like a card one answers.
"""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

from PySide6.QtCore import QEvent, QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.text import Style, say
from fusemap.vehicle import FeedClass, Vehicle, look_up
from fusemap.vehicle.words import FEED
from fusemap.window.chosen.facts import Head
from fusemap.window.chosen.head import HeadView
from fusemap.window.document import Document, Selection
from fusemap.window.forms.form import scrolled
from fusemap.window.panel.panel_drop import Placing, Stuck
from fusemap.window.parts.flow import Flow
from fusemap.window.parts.headings import muted_label
from fusemap.window.style.measures import px
from fusemap.window.style.sheet import as_main
from fusemap.window.style.signs import verdict_icon
from fusemap.window.style.theme import Theme, feed_icon, space
from fusemap.window.texts.plain import plain_label, plain_tip

LIVE: Final[tuple[FeedClass, ...]] = (
    "permanent",
    "ignition",
    "accessory",
    "delayed_off",
    "lighting",
)
"""What one may know of a slot, in the order of the keys' positions."""
MARK_WIDE: Final = 2.3
"""Room of a feed's mark [of its height]: the longest has air on both sides."""


class WaysOn(QFrame):
    """The three ways: say when it is live, measure it, place it all the same."""

    measure_wanted = Signal(object)
    """The slot is to be read now, and what was in hand taken up again after that: a `Stuck`."""
    left = Signal()

    def __init__(
        self,
        document: Document,
        theme: Theme,
        placing: Placing,
        over: QWidget,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self._placing = placing
        self._over = over
        self._within = parent
        self._stuck: Stuck | None = None
        self.setObjectName("waysOn")
        self.setAutoFillBackground(True)
        self._head = HeadView(theme)
        self._head.setObjectName("waysHead")
        self._mark = QLabel()
        side = px(self, 26)
        self._mark.setPixmap(verdict_icon("unchecked", theme, side).pixmap(QSize(side, side)))
        self._why = plain_label("waysWhy")
        font = self._why.font()
        font.setBold(True)
        self._why.setFont(font)
        self._others = QHBoxLayout()
        self._lay_out()
        self.hide()
        over.installEventFilter(self)
        document.changed.connect(self._vehicle_changed)
        document.selected.connect(self._selected)

    # --- its parts ------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        inside = QWidget()
        inside.setObjectName("waysInside")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scrolled(inside))
        column = QVBoxLayout(inside)
        column.setContentsMargins(*(space(self, "medium"),) * 4)
        column.setSpacing(space(self))
        head = QHBoxLayout()
        head.addWidget(self._head, 1)
        head.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(head)
        column.addWidget(self._why)
        column.addWidget(
            muted_label(
                self.tr(
                    "Always live, it would draw from the parked vehicle; dead, it would not work."
                )
            )
        )
        for card in (self._known_card(), self._measure_card(), self._open_card()):
            column.addWidget(card)
        column.addWidget(muted_label(self.tr("Or a slot that can take it:")))
        column.addLayout(self._others)
        column.addStretch(1)
        column.addWidget(muted_label(self.tr("Esc leaves all as it was.")))

    def _known_card(self) -> QFrame:
        row = Flow(space(self, "small"))
        theme, height = self._theme, self.fontMetrics().height()
        edged = (
            f"QToolButton {{ border: 1px solid {theme.frame}; border-radius: {px(self, 8)}px;"
            f" background: {theme.base}; }}"
            f"QToolButton:hover, QToolButton:pressed {{ background: {theme.accent_tint}; }}"
            f"QToolButton:focus {{ border: 2px solid {theme.accent}; }}"
        )
        self.feeds: dict[FeedClass, QToolButton] = {}
        for feed_class in LIVE:
            button = QToolButton()
            called = FEED[feed_class]
            words = theme.style.show(called.feed.capital())
            button.setText(theme.style.show(called.label).replace("&", "&&"))
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
            button.setObjectName(f"waysFeed_{feed_class}")
            button.setAccessibleName(words)
            button.setToolTip(plain_tip(f"{words}: {theme.style.show(called.meaning)}"))
            button.setStyleSheet(edged)  # each is something to press, not a mark alone
            button.setIcon(feed_icon(feed_class, theme, height, wide=MARK_WIDE))
            button.setIconSize(QSize(round(height * MARK_WIDE), height))
            button.setMinimumSize(round(height * 2.4), height * 2)
            button.clicked.connect(partial(self._known, feed_class))
            self.feeds[feed_class] = button
            row.add(button)
        return self._card(
            1,
            self.tr("I know when it is live"),
            self.tr("Choose its feed: that is entered, and it is placed at once."),
            row,
        )

    def _measure_card(self) -> QFrame:
        self.measure = as_main(_button("waysMeasure", self.tr("Go to the probe"), self._measure))
        self.measure.setDefault(True)
        row = QHBoxLayout()
        row.addWidget(self.measure)
        row.addWidget(muted_label(self.tr("comes back here")), 1)
        return self._card(
            2,
            self.tr("Measure it now"),
            self.tr("Key off, then key on: two readings."),
            row,
            recommended=True,
        )

    def _open_card(self) -> QFrame:
        self.place_open = _button("waysOpen", self.tr("Place as open"), self._place_open)
        row = QHBoxLayout()
        row.addWidget(self.place_open)
        row.addStretch(1)
        return self._card(
            3,
            self.tr("Place it all the same, as open"),
            self.tr("Counted as always live; findings and paper say that nobody knows."),
            row,
        )

    def _card(
        self,
        key: int,
        title: str,
        words: str,
        row: QHBoxLayout | QWidget,
        *,
        recommended: bool = False,
    ) -> QFrame:
        """A way on: its title with its key, a line about it, what takes it; one has a ring."""
        card, theme = QFrame(), self._theme
        card.setObjectName("wayOn")
        edge = f"2px solid {theme.accent}" if recommended else f"1px solid {theme.line}"
        card.setStyleSheet(
            f"QFrame#wayOn {{ border: {edge}; border-radius: 10px; background: {theme.base}; }}"
        )
        column = QVBoxLayout(card)
        column.setContentsMargins(*(space(self, "medium"),) * 4)
        column.setSpacing(space(self, "small"))
        heading, number = plain_label("", title), muted_label(str(key))
        font = heading.font()
        font.setBold(True)
        heading.setFont(font)
        number.setWordWrap(False)
        head = QHBoxLayout()
        head.addWidget(heading, 1)
        head.addWidget(number, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(head)
        column.addWidget(muted_label(words))
        if isinstance(row, QWidget):
            column.addWidget(row)
        else:
            column.addLayout(row)
        return card

    # --- shown and put aside --------------------------------------------------------------------

    def show_for(self, stuck: Stuck) -> None:
        """Ask about this slot; the keyboard goes to what is recommended."""
        self._stuck = stuck
        self._placing.wait(stuck)
        vehicle, style = self._document.vehicle, self._theme.style
        place = look_up.slot_words(look_up.slot(vehicle, stuck.slot_id))
        head = Head(place=place, name=say("not placed"), line=stuck.name)
        self._head.show_head(head, more=False)
        title = self.tr("{slot}: not placed").format(slot=style.show(place))
        self._why.setText(style.show(stuck.why))
        self.setAccessibleName(f"{title}. {stuck.name}. {style.show(stuck.why)}")
        self._show_others(vehicle, style, stuck.others)
        self._lie_over()
        self.show()
        self.raise_()
        self.measure.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_others(self, vehicle: Vehicle, style: Style, others: Sequence[str]) -> None:
        while (old := self._others.takeAt(0)) is not None:
            if (widget := old.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        for slot_id in others[:3]:
            slot = look_up.slot(vehicle, slot_id)
            name = style.show(look_up.slot_words(slot))
            button = _button(f"waysSlot_{slot_id}", "", partial(self._elsewhere, slot_id))
            button.setText(name.replace("&", "&&"))
            button.setToolTip(plain_tip(name))
            self._others.addWidget(button)
        if not others:
            self._others.addWidget(muted_label(self.tr("none that is known")))
        self._others.addStretch(1)

    def _take_leave(self) -> Stuck | None:
        stuck, self._stuck = self._stuck, None
        self._placing.wait(None)
        self.hide()
        return stuck

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._take_leave()

    def _selected(self, selection: Selection | None) -> None:
        """Whoever goes elsewhere has put it aside."""
        if self._stuck is not None and selection != Selection("slot", self._stuck.slot_id):
            self._take_leave()

    # --- what is answered -----------------------------------------------------------------------

    def _known(self, feed_class: FeedClass, checked: bool = False) -> None:
        if (stuck := self._take_leave()) is not None:
            self._placing.drop_known(stuck, feed_class)
            self.left.emit()

    def _measure(self) -> None:
        if (stuck := self._take_leave()) is not None:
            self.measure_wanted.emit(stuck)

    def _place_open(self) -> None:
        if (stuck := self._take_leave()) is not None:
            self._placing.drop_open(stuck)
            self.left.emit()

    def _elsewhere(self, slot_id: str) -> None:
        if (stuck := self._take_leave()) is not None and self._placing.begin(stuck.payload):
            self._placing.drop(slot_id)
            self._document.select("slot", slot_id)
            self.left.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The number of a way takes it; Escape leaves all as it was."""
        if event.key() == Qt.Key.Key_Escape:
            self._take_leave()
            self._placing.put_back()
            self.left.emit()
        elif event.key() == Qt.Key.Key_1:
            self.feeds[LIVE[0]].setFocus(Qt.FocusReason.TabFocusReason)
        elif event.key() == Qt.Key.Key_2:
            self._measure()
        elif event.key() == Qt.Key.Key_3:
            self._place_open()
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self.focusNextPrevChild(event.key() == Qt.Key.Key_Right)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            focused = self.focusWidget()
            if isinstance(focused, QPushButton | QToolButton):
                focused.click()
        else:
            super().keyPressEvent(event)

    # --- where it lies --------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay over the details, however large they are; no event is held back."""
        if event.type() in (QEvent.Type.Resize, QEvent.Type.Move) and self.isVisible():
            self._lie_over()
        return False

    def _lie_over(self) -> None:
        corner = self._over.mapTo(self._within, self._over.rect().topLeft())
        self.setGeometry(QRect(corner, self._over.size()))


def _button(key: str, text: str, do: Callable[[], object]) -> QPushButton:
    button = QPushButton(text)
    button.setObjectName(key)
    button.setMinimumHeight(button.fontMetrics().height() * 2)
    button.clicked.connect(lambda: do())
    return button
