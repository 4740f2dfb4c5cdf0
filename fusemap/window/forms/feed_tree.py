"""The feeds as a tree below the battery: name, load in the worst state, limit, as assessed."""

from math import isfinite
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHeaderView, QTreeWidget, QTreeWidgetItem

from fusemap.text import Amount, Style
from fusemap.vehicle import Feed
from fusemap.window.document import Document

ID: Final = Qt.ItemDataRole.UserRole


class FeedTree(QTreeWidget):
    """The feeds below the battery, each with load and limit."""

    def __init__(self, document: Document, style: Style) -> None:
        super().__init__()
        self._document = document
        self._style = style
        self._filling = False
        self.setObjectName("feedTree")
        self.setAccessibleName(self.tr("Feeds"))
        self.setHeaderLabels([self.tr("Feed"), self.tr("Load"), self.tr("Limit")])
        self.setUniformRowHeights(True)
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        for column in (1, 2):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        self.currentItemChanged.connect(self._chosen)

    def fill(self, selected: str) -> None:
        """Show the feeds as they are now, with one of them current."""
        vehicle = self._document.vehicle
        self._filling = True
        self.clear()
        battery = QTreeWidgetItem([self.tr("Battery")])
        self.addTopLevelItem(battery)
        items: dict[str | None, QTreeWidgetItem] = {None: battery}
        waiting = list(vehicle.feeds)
        while waiting:
            ready = [feed for feed in waiting if feed.parent in items]
            for feed in ready:
                items[feed.id] = self._item(feed)
                items[feed.parent].addChild(items[feed.id])
            waiting = [feed for feed in waiting if feed.id not in items]
        self.expandAll()
        self._filling = False
        self.show_current(selected)

    def show_current(self, feed_id: str) -> None:
        """Put the cursor on a feed, without selecting it."""
        self._filling = True
        for item in self.findItems("*", Qt.MatchFlag.MatchWildcard | Qt.MatchFlag.MatchRecursive):
            if item.data(0, ID) == feed_id and item is not self.currentItem():
                self.setCurrentItem(item)
        self._filling = False

    def _item(self, feed: Feed) -> QTreeWidgetItem:
        figures = self._document.assessment.feeds
        column = figures.index[feed.id]
        load, limit = float(figures.current_a[:, column].max()), float(figures.limit_a[column])
        limit_words = (
            self._style.show(Amount(limit, "A")) if isfinite(limit) else self.tr("not known")
        )
        item = QTreeWidgetItem(
            [feed.name or feed.id, self._style.show(Amount(load, "A")), limit_words]
        )
        item.setData(0, ID, feed.id)
        for place in (1, 2):
            item.setTextAlignment(place, Qt.AlignmentFlag.AlignRight)
        if load > limit:
            item.setText(
                1, self.tr("{load} over!").format(load=self._style.show(Amount(load, "A")))
            )
        return item

    def _chosen(self, item: QTreeWidgetItem | None) -> None:
        if item is not None and not self._filling:
            feed_id = item.data(0, ID)
            self._document.select(*(("feed", feed_id) if feed_id else ("battery",)))
