"""The feeds: the tree of what supplies what, over the form of the one that is selected."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSplitter, QVBoxLayout, QWidget

from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.document import Document, Selection
from fusemap.window.forms.feed_form import FeedForm
from fusemap.window.forms.feed_tree import FeedTree
from fusemap.window.forms.form import scrolled
from fusemap.window.style.theme import Theme


class FeedPage(QWidget):
    """Tree and form, and buttons to add and remove feeds."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._stale = True
        self.setObjectName("feedPage")
        self.setAccessibleName(self.tr("Feeds"))
        self.tree = FeedTree(document, theme.style)
        self.form = FeedForm(document, theme)
        self._lay_out()
        document.changed.connect(self._vehicle_changed)
        document.selected.connect(self._selected)
        first = document.vehicle.feeds[0].id if document.vehicle.feeds else ""
        self.form.show_feed(first)
        self._selected(document.selection)
        self.fill()

    def _lay_out(self) -> None:
        self.add = self._button("feed_add", self.tr("Add feed"), self._add)
        self.remove = self._button("feed_remove", self.tr("Remove feed"), self._remove)
        buttons = QHBoxLayout()
        buttons.addWidget(self.add)
        buttons.addWidget(self.remove)
        buttons.addStretch(1)
        upper = QWidget()
        column = QVBoxLayout(upper)
        edge = self.fontMetrics().height() // 2
        column.setContentsMargins(edge, edge, edge, 0)
        column.addWidget(self.tree, 1)
        column.addLayout(buttons)
        splitter = QSplitter(Qt.Orientation.Vertical)
        splitter.setChildrenCollapsible(False)
        splitter.addWidget(upper)
        splitter.addWidget(scrolled(self.form))
        splitter.setStretchFactor(1, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(splitter)

    def _button(self, key: str, text: str, do: object) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(do)
        return button

    def fill(self) -> None:
        """Show the feeds as they are now."""
        self._stale = False
        self.tree.fill(self.form.feed_id)
        self.remove.setEnabled(bool(self.form.isEnabled()))

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self._stale:
            self.fill()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if self.isVisible():
            self.fill()
        else:
            self._stale = True

    def _selected(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "feed":
            if selection.id != self.form.feed_id:
                self.form.show_feed(selection.id)
            self.tree.show_current(selection.id)
            self.remove.setEnabled(self.form.isEnabled())

    def _add(self) -> None:
        """Add a feed below the selected one."""
        vehicle = self._document.vehicle
        below = self.form.feed_id if self.form.isEnabled() else None
        name = self.tr("Feed {n}").format(n=len(vehicle.feeds) + 1)
        if self._document.apply(self.tr("Add feed"), edits.add_feed, name, parent=below):
            self._document.select("feed", self._document.vehicle.feeds[-1].id)

    def _remove(self) -> None:
        vehicle = self._document.vehicle
        feed = look_up.feed(vehicle, self.form.feed_id)
        text = self.tr("Remove feed {name}").format(name=feed.name)
        if self._document.apply(text, edits.remove_feed, feed.id):
            left = self._document.vehicle.feeds
            self.form.show_feed(left[0].id if left else "")
            self.fill()
