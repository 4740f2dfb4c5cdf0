"""Who draws how much while parked, largest first; Enter or a double click selects the accessory."""

from collections.abc import Iterator

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QColor, QIcon, QPixmap
from PySide6.QtWidgets import QHeaderView, QSizePolicy, QTreeWidget, QTreeWidgetItem

from fusemap.assess.parked.figures import Consumer
from fusemap.text import Amount, share
from fusemap.window.document import Document
from fusemap.window.parked.parked_series import MOST_LAYERS
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

ACCESSORY = Qt.ItemDataRole.UserRole
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


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
        item.setData(0, ACCESSORY, consumer.accessory)
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
        accessory = item.data(0, ACCESSORY)
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
