"""What differs between states of a vehicle, in a box with buttons for what to do.

In it unsaved work, earlier versions and files changed by others are chosen. It does not wait: it is
opened, and each button calls.
"""

from collections.abc import Callable, Sequence
from typing import Final

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QDialogButtonBox,
    QListWidget,
    QPushButton,
    QSplitter,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.errors import FusemapError
from fusemap.text import Style, Text, say
from fusemap.window.files.difference_words import Row
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label, plain_tip

NOTHING: Final = Text("")
MOST_ROWS = 2000
"""More differences than this are counted and not listed: nobody reads them."""


class Item(Struct, frozen=True):
    """One state: a short title, what is to be known of it, and the rows of what differs.

    `rows` is asked when the state is first looked at; a FusemapError it raises is shown instead.
    """

    title: str
    about: str
    rows: Callable[[], Sequence[Row]]
    usable: bool = True


class _Differences(QTreeWidget):
    """Parts and what differs in them; the parts are whole, up to half the width there is."""

    def fit(self) -> None:
        """Make the first column as wide as its words."""
        self.resizeColumnToContents(0)
        half = self.viewport().width() // 2
        if self.columnWidth(0) > half > 0:
            self.setColumnWidth(0, half)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width: another half."""
        super().resizeEvent(event)
        self.fit()


class CompareDialog(QDialog):
    """States at the left (hidden when there is one), what differs at the right, buttons below."""

    def __init__(
        self,
        parent: QWidget,
        style: Style,
        key: str,
        title: str,
        intro: str,
        heading: str,
        items: Sequence[Item],
    ) -> None:
        super().__init__(parent)
        self._style = style
        self.setObjectName(key)
        self.setWindowTitle(title)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._items = list(items)
        self._rows: dict[int, Sequence[Row]] = {}
        self.list = self._make_list(title)
        self.about = plain_label("compareAbout")
        self.heading = plain_label("compareHeading", heading)
        self.tree = self._make_tree(heading)
        self.buttons = QDialogButtonBox()
        self._doing: list[QPushButton] = []
        self._lay_out(intro)
        self.list.currentRowChanged.connect(self._show)
        self.list.setCurrentRow(0)

    @property
    def row(self) -> int:
        """Which state is looked at."""
        return max(0, self.list.currentRow())

    def add_button(
        self, name: str, text: str, do: Callable[[int], object], *, default: bool = False
    ) -> QPushButton:
        """A button that does something with the state looked at, and closes the box first."""

        def clicked() -> None:
            row = self.row
            self.accept()
            do(row)

        button = self.add_plain_button(name, text)
        button.clicked.connect(clicked)
        button.setDefault(default)
        self._doing.append(button)
        self._enable()
        return button

    def add_plain_button(self, name: str, text: str) -> QPushButton:
        """A button whose click is dealt with elsewhere."""
        button = QPushButton(text)
        button.setObjectName(name)
        button.setAutoDefault(True)
        self.buttons.addButton(button, QDialogButtonBox.ButtonRole.ActionRole)
        return button

    def add_closing(self, text: str) -> QPushButton:
        """The button that does nothing but close; Escape does the same."""
        button = QPushButton(text)
        button.setObjectName("compareClose")
        self.buttons.addButton(button, QDialogButtonBox.ButtonRole.RejectRole)
        return button

    def set_item(self, row: int, item: Item) -> None:
        """Say something else about one of the states."""
        self._items[row] = item
        self._rows.pop(row, None)
        entry = self.list.item(row)
        if entry is not None:
            entry.setText(item.title)
        if row == self.row:
            self._show(row)

    # --- inside ---------------------------------------------------------------------------------

    def _make_list(self, title: str) -> QListWidget:
        made = QListWidget()
        made.setObjectName("compareList")
        made.setAccessibleName(title)
        made.addItems([item.title for item in self._items])
        made.setVisible(len(self._items) > 1)
        return made

    def _make_tree(self, heading: str) -> "_Differences":
        made = _Differences()
        made.setObjectName("compareTree")
        made.setAccessibleName(heading)
        made.setHeaderLabels([self.tr("Part"), self.tr("What differs")])
        made.setRootIsDecorated(False)
        made.setUniformRowHeights(True)
        made.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        return made

    def _lay_out(self, intro: str) -> None:
        words = plain_label("compareIntro", intro)
        right = QWidget()
        inside = QVBoxLayout(right)
        inside.setContentsMargins(0, 0, 0, 0)
        for widget in (self.about, self.heading):
            inside.addWidget(widget)
        inside.addWidget(self.tree, 1)
        both = QSplitter()
        both.setChildrenCollapsible(False)
        both.addWidget(self.list)
        both.addWidget(right)
        both.setStretchFactor(1, 1)
        column = QVBoxLayout(self)
        column.setSpacing(space(self))
        column.addWidget(words)
        column.addWidget(both, 1)
        column.addWidget(self.buttons)
        self.buttons.rejected.connect(self.reject)
        em = self.fontMetrics().height()
        wide = 52 if len(self._items) > 1 else 40
        both.setSizes([em * 16, em * (wide - 16)])
        self.resize(em * wide, em * 28)

    def _show(self, row: int) -> None:
        if not 0 <= row < len(self._items):
            return
        item = self._items[row]
        self.about.setText(item.about)
        self.about.setVisible(bool(item.about))
        self.tree.clear()
        rows = self._rows_of(row)
        for texts in rows[:MOST_ROWS]:
            what, how = map(self._style.show, texts)
            entry = QTreeWidgetItem(self.tree, [what, how])
            for column, words in enumerate((what, how)):
                entry.setToolTip(column, plain_tip(words))
        if len(rows) > MOST_ROWS:
            more = self.tr("and {n} more").format(n=len(rows) - MOST_ROWS)
            QTreeWidgetItem(self.tree, [more, ""])
        self.tree.fit()
        self._enable()

    def _rows_of(self, row: int) -> Sequence[Row]:
        if row not in self._rows:
            try:
                rows = list(self._items[row].rows())
                self._rows[row] = rows or [(say("Nothing differs"), NOTHING)]
            except FusemapError as error:
                self._rows[row] = [(say("It cannot be read"), error.text)]
                self._items[row] = replace(self._items[row], usable=False)
        return self._rows[row]

    def _enable(self) -> None:
        for button in self._doing:
            button.setEnabled(self._items[self.row].usable if self._items else False)
