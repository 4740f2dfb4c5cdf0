"""The two lists beside the chart of the parked battery: who draws how much, and what would help.

In: the consumers of a forecast; the document's vehicle. Out: Enter or a double click selects a
consumer's accessory. Of what would help, best first, what is ticked is compared: `ticked` tells the
changes to draw beside the chart's own curve. It is done together by one undoable edit, and where
nothing is ticked, what the cursor is on. The changes are tried one by one between other events, so
that the window stays awake, and anew when the vehicle has changed.
"""

from collections.abc import Iterator
from functools import partial
from typing import Final

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QIcon, QPixmap
from PySide6.QtWidgets import (
    QHeaderView,
    QLabel,
    QPushButton,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.assess import Assessment
from fusemap.assess.parked.figures import Consumer
from fusemap.fixes.what_if import WhatIf, best_first, tried
from fusemap.text import Amount, Duration, Style, run_on, share
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.parked.parked_words import MOST_LAYERS
from fusemap.window.parts.later import Later
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import embolden, plain_tip

Index = QModelIndex | QPersistentModelIndex
KEY: Final = Qt.ItemDataRole.UserRole
"""What a row stands for: the accessory of a consumer, or the key of a change."""
RIGHT: Final = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
MOST_TICKED: Final = 4
"""More curves than this cannot be told apart."""


class ConsumerTable(QTreeWidget):
    """The consumers with the colours they have in the chart."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._consumers: tuple[Consumer, ...] = ()
        self.setObjectName("parkedConsumers")
        self.setAccessibleName(self.tr("Who draws how much"))
        self.setHeaderLabels(
            [self.tr("Draws"), self.tr("Mean"), self.tr("Charge"), self.tr("Share")]
        )
        self.setRootIsDecorated(False)
        self.setUniformRowHeights(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        for column in (1, 2, 3):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
            self.headerItem().setTextAlignment(column, RIGHT)
        self.headerItem().setToolTip(1, self.tr("The mean current over that time"))
        self.headerItem().setToolTip(
            2, self.tr("Until the engine no longer starts, or to the end of the forecast")
        )
        self.itemActivated.connect(self._activated)

    def show_consumers(self, consumers: tuple[Consumer, ...]) -> None:
        """Show these."""
        self._consumers = consumers
        self.clear()
        total = sum(consumer.charge_ah for consumer in consumers)
        for place, consumer in enumerate(consumers):
            self.addTopLevelItem(self._item(consumer, total, self._colour(place)))
        self._fit_height()

    def _colour(self, place: int) -> str:
        """The colour in the chart, where the smallest of many are put together."""
        last = MOST_LAYERS - 1 if len(self._consumers) > MOST_LAYERS else place
        return self._theme.chart[min(place, last)]

    def _item(self, consumer: Consumer, total: float, colour: str) -> QTreeWidgetItem:
        item = QTreeWidgetItem(list(self._cells(consumer, total)))
        size = self.fontMetrics().ascent()
        swatch = QPixmap(size, size)
        swatch.fill(QColor(colour))
        item.setIcon(0, QIcon(swatch))
        item.setToolTip(0, plain_tip(self._theme.style.show(consumer.name)))
        item.setData(0, KEY, consumer.accessory)
        for column in (1, 2, 3):
            item.setTextAlignment(column, RIGHT)
        return item

    def _cells(self, consumer: Consumer, total_ah: float) -> tuple[str, ...]:
        """A consumer as a row: name, mean current, charge, share."""
        style = self._theme.style
        part = consumer.charge_ah / total_ah if total_ah > 0 else 0.0
        mean = Amount(consumer.mean_a * 1000, "mA")
        return tuple(
            map(style.show, (consumer.name, mean, Amount(consumer.charge_ah, "Ah"), share(part)))
        )

    def _fit_height(self) -> None:
        """As high as its rows: the side scrolls as a whole."""
        rows = self.topLevelItemCount()
        row = self.sizeHintForRow(0) if rows else 0
        height = self.header().sizeHint().height() + row * rows + 2 * self.frameWidth() + 2
        self.setFixedHeight(height)

    def needed_width(self) -> int:
        """How wide it has to be to show everything in full [px]."""
        metrics = self.fontMetrics()
        names = [self._theme.style.show(each.name) for each in self._consumers]
        name = max((metrics.horizontalAdvance(each) for each in names), default=0)
        others = sum(self.sizeHintForColumn(column) for column in (1, 2, 3))
        heads = sum(self.header().sectionSizeHint(column) for column in (1, 2, 3))
        return name + max(others, heads) + metrics.height() * 4

    def changeEvent(self, event: QEvent) -> None:
        """Another font needs another height."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_consumers"):
            self._fit_height()

    def _activated(self, item: QTreeWidgetItem) -> None:
        accessory = item.data(0, KEY)
        if accessory:
            self._document.select("accessory", accessory)

    @property
    def header_words(self) -> tuple[str, ...]:
        """The header of the table as a file."""
        return ("Consumer", "Mean current [A]", "Charge [Ah]", "Share")

    def rows(self) -> Iterator[tuple[object, ...]]:
        """The table as a file."""
        total = sum(consumer.charge_ah for consumer in self._consumers) or 1.0
        for each in self._consumers:
            yield (
                str(each.name),
                round(each.mean_a, 6),
                round(each.charge_ah, 4),
                round(each.charge_ah / total, 4),
            )


class WrappedRow(QStyledItemDelegate):
    """As high as its text needs at the column's width, beside the tick."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """The usual size, higher where the text wraps."""
        usual = super().sizeHint(option, index)
        view = option.widget
        if not isinstance(view, QTreeWidget):
            return usual
        line = option.fontMetrics.height()
        room = QRect(0, 0, max(line, view.columnWidth(0) - 2 * line), 100 * line)
        text = str(index.data(Qt.ItemDataRole.DisplayRole))
        high = option.fontMetrics.boundingRect(room, Qt.TextFlag.TextWordWrap, text).height()
        return QSize(usual.width(), max(usual.height(), high))


class WhatIfList(QWidget):
    """The list with its button."""

    ticked = Signal(object)
    """The changes that are ticked: tuple[WhatIf, ...]."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._coming: Iterator[WhatIf | None] = iter(())
        self._found: list[WhatIf] = []
        self._wanted: set[str] = set()
        self._next = Later(self._try_next, self)
        self._fit = Later(self._fit_height, self)
        self.setObjectName("whatIf")
        self.setAccessibleName(self.tr("What would help"))
        self._heading = QLabel(self.tr("What would help"))
        embolden(self._heading)
        self.state = QLabel()
        self.state.setObjectName("whatIfState")
        self.state.setProperty("muted", True)
        self.state.setWordWrap(True)
        self.list = self._make_list()
        self.apply_button = QPushButton(self.tr("Apply"))
        self.apply_button.setObjectName("whatIfApply")
        self.apply_button.setToolTip(self.tr("Do what is chosen above; Undo takes it back"))
        self.apply_button.clicked.connect(self.apply)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(self, "small"))
        for part in (self._heading, self.state, self.list, self.apply_button):
            column.addWidget(part)
        self._show()
        self.state.setText(self.tr("Looking …"))

    def _make_list(self) -> QTreeWidget:
        made = QTreeWidget()
        made.setObjectName("whatIfList")
        made.setAccessibleName(self.tr("What would help, best first; tick to compare"))
        made.setHeaderLabels([self.tr("Change"), self.tr("Starts longer by")])
        made.headerItem().setTextAlignment(1, RIGHT)
        made.setRootIsDecorated(False)
        made.setWordWrap(True)
        made.setItemDelegateForColumn(0, WrappedRow(made))
        made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        made.header().setStretchLastSection(False)
        made.header().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        made.header().setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        made.header().sectionResized.connect(self._width_changed)
        made.itemChanged.connect(self._tick_changed)
        made.currentItemChanged.connect(self._current_changed)
        return made

    # --- trying ---------------------------------------------------------------------------------

    def start(self, assessment: Assessment) -> None:
        """Try everything for this vehicle, in steps."""
        self._found = []
        self._coming = tried(assessment)
        self.state.setText(self.tr("Looking …"))
        self._next.start()

    def _try_next(self) -> None:
        """One change; the list is shown when all have been tried."""
        for each in self._coming:
            if each is not None:
                self._found.append(each)
            self._next.start()
            return
        self._found = list(best_first(self._found))
        self._show()

    # --- the list -------------------------------------------------------------------------------

    def _show(self) -> None:
        chosen = self.chosen
        self.list.blockSignals(True)
        self.list.clear()
        longest = max((each.gained_h for each in self._found), default=None)
        for each in self._found:
            item = self._item(each, longest)
            self.list.addTopLevelItem(item)
            if chosen is not None and each.key == chosen.key:
                self.list.setCurrentItem(item)
        self.list.blockSignals(False)
        self._fit_height()
        words = self.tr("Tick to compare the curves.")
        self.state.setText(words if self._found else self.tr("Nothing that is known of."))
        for part in (self.list, self.apply_button):
            part.setVisible(bool(self._found))
        self._wanted &= {each.key for each in self._found}
        self._current_changed()
        self.ticked.emit(self.compared)

    def _item(self, each: WhatIf, longest: float | None) -> QTreeWidgetItem:
        style = self._theme.style
        words = style.show(each.words)
        item = QTreeWidgetItem([words, gain_words(each, longest, style)])
        item.setData(0, KEY, each.key)
        item.setToolTip(0, plain_tip(words))
        item.setTextAlignment(1, RIGHT)
        on = each.key in self._wanted
        item.setCheckState(0, Qt.CheckState.Checked if on else Qt.CheckState.Unchecked)
        return item

    def _fit_height(self) -> None:
        """As high as its rows: what is around it scrolls as a whole."""
        self.list.doItemsLayout()
        rows = (self.list.topLevelItem(n) for n in range(self.list.topLevelItemCount()))
        high = sum(self.list.visualItemRect(row).height() for row in rows if row is not None)
        high += self.list.header().sizeHint().height() + 2 * self.list.frameWidth() + 2
        if high != self.list.height():
            self.list.setFixedHeight(high)

    def _width_changed(self, *_: int) -> None:
        """Titles that wrap elsewhere need another height."""
        self._fit.start()

    def changeEvent(self, event: QEvent) -> None:
        """Another font needs another height."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "apply_button"):
            self._fit_height()

    def needed_width(self) -> int:
        """How wide it has to be to show every change in full [px]."""
        metrics = self.fontMetrics()
        widths = (
            metrics.horizontalAdvance(self._theme.style.show(each.words)) for each in self._found
        )
        return max(widths, default=0) + self.list.sizeHintForColumn(1) + metrics.height() * 4

    @property
    def compared(self) -> tuple[WhatIf, ...]:
        """The changes that are ticked, in the order of the list."""
        return tuple(each for each in self._found if each.key in self._wanted)

    @property
    def chosen(self) -> WhatIf | None:
        """The change in the current row."""
        item = self.list.currentItem()
        key = None if item is None else item.data(0, KEY)
        return next((each for each in self._found if each.key == key), None)

    def _tick_changed(self, item: QTreeWidgetItem, column: int) -> None:
        key = item.data(0, KEY)
        if item.checkState(0) == Qt.CheckState.Checked:
            if len(self._wanted) >= MOST_TICKED and key not in self._wanted:
                item.setCheckState(0, Qt.CheckState.Unchecked)
                self.state.setText(self.tr("Four curves at most can be told apart."))
                return
            self._wanted.add(key)
        else:
            self._wanted.discard(key)
        self._enable()
        self.ticked.emit(self.compared)

    def _current_changed(self, *_: object) -> None:
        self._enable()

    def _enable(self) -> None:
        self.apply_button.setEnabled(bool(self.to_apply))

    @property
    def to_apply(self) -> tuple[WhatIf, ...]:
        """The changes that are ticked, or else the one in the current row."""
        if self.compared or self.chosen is None:
            return self.compared
        return (self.chosen,)

    def apply(self) -> None:
        """Do what is ticked, or else the change in the current row: one step to be undone."""
        changes = self.to_apply
        if changes:
            self._wanted.difference_update(each.key for each in changes)
            # The button goes grey, and the keyboard would go on below, out of sight of the list.
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)
            title = run_on(*(each.title for each in changes), between="; ")
            self._document.apply(self._theme.style.show(title), partial(_all_of, changes))


def _all_of(changes: tuple[WhatIf, ...], vehicle: Vehicle) -> Vehicle:
    """The vehicle with every one of these done to it."""
    for each in changes:
        vehicle = each.edit(vehicle)
    return vehicle


def gain_words(each: WhatIf, longest: float | None, style: Style) -> str:
    """What a change gains, for the list, in the unit of the `longest` gain in it [h]."""
    more = style.show(Duration(each.gained_h, longest))
    return more if each.hours < float("inf") else f"> {more}"
