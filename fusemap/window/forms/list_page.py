"""Parts of one kind: a list of them, buttons to add and remove, below the form of the one chosen.

Each such page says which parts there are, how one is told in the list, and what adding and removing
is; here is how the list keeps to the vehicle and the form to the list. Where there is no part yet
it is said what they are for, and adding one is the main button.
"""

from collections.abc import Sequence
from typing import Any, Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
)

from fusemap.text import Argument, Text
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document, Selection
from fusemap.window.forms.form import scrolled
from fusemap.window.parts.headings import muted_label
from fusemap.window.parts.later import InSight
from fusemap.window.style.sheet import as_main, as_plain
from fusemap.window.style.theme import Theme

ID: Final = Qt.ItemDataRole.UserRole


class ListPage(InSight):
    """`kind` is what such a part is called in a selection, and the first word of the names here."""

    kind: str

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._style = theme.style

    def build(self, form: Any, names: str, add: str, remove: str, form_share: int) -> None:
        """Make it of the form of one part, which has `part_id` and `show_part(part_id)`."""
        self.form = form
        self.setObjectName(f"{self.kind}Page")
        self.setAccessibleName(names)
        self.list = QListWidget()
        self.list.setObjectName(f"{self.kind}List")
        self.list.setAccessibleName(names)
        self.add = QPushButton(add)
        self.add.setObjectName(f"{self.kind}_add")
        self.remove = QPushButton(remove)
        self.remove.setObjectName(f"{self.kind}_remove")
        self.nothing = muted_label(self._style.show(self.empty_words()))
        self.nothing.setObjectName(f"{self.kind}Nothing")
        self._lay_out(form_share)
        self.list.currentItemChanged.connect(self._chosen)
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        self._document.changed.connect(self.changed)
        self._document.selected.connect(self._selected)
        self._selected(self._document.selection)
        self.fill()

    def _lay_out(self, form_share: int) -> None:
        buttons = QHBoxLayout()
        buttons.addWidget(self.add)
        buttons.addWidget(self.remove)
        buttons.addStretch(1)
        self._fields = scrolled(self.form)
        column = QVBoxLayout(self)
        column.addWidget(self.nothing)
        column.addWidget(self.list, 1)
        column.addLayout(buttons)
        column.addWidget(self._fields, form_share)
        column.addStretch(0)

    # --- what each says -------------------------------------------------------------------------

    def empty_words(self) -> Text:
        """What such parts are for, said while there is none."""
        raise NotImplementedError

    def parts(self, vehicle: Vehicle) -> Sequence[Any]:
        """The parts in the order of the list."""
        raise NotImplementedError

    def words(self, vehicle: Vehicle, part: Any) -> Argument:
        """One part as a row of the list."""
        raise NotImplementedError

    def add_part(self) -> bool:
        """Ask for one more, at the end; whether there is one."""
        raise NotImplementedError

    def remove_part(self) -> bool:
        """Ask for the one in the form to be removed; whether it is."""
        raise NotImplementedError

    # --- list and form --------------------------------------------------------------------------

    def fill(self) -> None:
        """Show the parts as they are now."""
        self._stale = False
        vehicle = self._document.vehicle
        self.list.blockSignals(True)
        self.list.clear()
        for part in self.parts(vehicle):
            item = QListWidgetItem(self._style.show(self.words(vehicle, part)))
            item.setData(ID, part.id)
            self.list.addItem(item)
            if part.id == self.form.part_id:
                self.list.setCurrentItem(item)
        self.list.blockSignals(False)
        if self.list.currentItem() is None:
            self.list.setCurrentRow(0)
            self._chosen(self.list.currentItem())
        self._show_whether_empty(not self.parts(vehicle))
        self._fit_list()

    def _fit_list(self) -> None:
        """No higher than its rows: the form has the rest."""
        rows = sum(self.list.sizeHintForRow(row) for row in range(self.list.count()))
        self.list.setMaximumHeight(max(1, rows + 2 * self.list.frameWidth()))

    def _show_whether_empty(self, empty: bool) -> None:
        """The list with its form, or what it would be for."""
        self.nothing.setVisible(empty)
        for part in (self.list, self._fields, self.remove):
            part.setVisible(not empty)
        as_main(self.add) if empty else as_plain(self.add)

    def _selected(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == self.kind:
            self.form.show_part(selection.id)
            self.fill()

    def _chosen(self, item: QListWidgetItem | None) -> None:
        self.form.show_part("" if item is None else item.data(ID))

    def _add(self) -> None:
        if self.add_part():
            self.form.show_part(self.parts(self._document.vehicle)[-1].id)
            self.fill()

    def _remove(self) -> None:
        if self.remove_part():
            self.form.show_part("")
            self.fill()
