"""Accessories to place: those of this vehicle, and generic kinds to start from.

In: the vehicle's accessories and the library. Out: drags (`panel_drop.MIME`) and, by keyboard,
`pick_up` with the same content: Enter takes up, Insert adds a kind to the vehicle, F2 renames,
Delete removes. What is chosen among the vehicle's own is selected.
"""

from collections.abc import Sequence
from typing import Any, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QSplitter,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.vehicle.texts import clean
from fusemap.window.document import Document, Selection
from fusemap.window.panel.panel_drop import Payload, library_fields
from fusemap.window.shelf.shelf_list import ShelfList, ShelfModel, kind_rows, own_rows
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_tip

FIRST_WATTS: Final = 10.0
"""What an accessory of no kind draws until its own figure is entered [W]."""


class Shelf(QWidget):
    """A search box over two lists: in this vehicle, and the library."""

    form_wanted = Signal()
    """The form of the accessory that was just added is to be filled in."""
    pick_up = Signal(dict)
    """What is to be placed, as a drag carries it: {"accessory": id, "lead": …} or {"kind": key}."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.document = document
        self._style = theme.style
        self._stale = False
        self._in_hand = False
        self._kinds_for: str | None = None
        self.setObjectName("shelf")
        self.setAccessibleName(self.tr("Accessories"))
        self.search = _Search(self)
        self.own = self._own_list(theme)
        self.kinds = self._kind_list(theme)
        self.hint = QLabel()
        self.hint.setObjectName("shelfHint")
        self.hint.setWordWrap(True)
        self.hint.setProperty("muted", True)
        self.hint.setMargin(space(self, "medium"))
        self.buttons: dict[str, QPushButton] = {}
        self.actions_: dict[str, QAction] = {}
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setObjectName("shelfSplit")
        # in a scroll area it takes the height there is, not the height it would like
        self.split.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(self._own_side())
        self.library = self._kind_side()
        self.split.addWidget(self.library)
        self._menu(self.own, ("place", "rename", "remove"))
        self._menu(self.kinds, ("placeNew", "add"))
        column = QVBoxLayout(self)
        column.setContentsMargins(*(space(self, "small"),) * 4)
        column.setSpacing(space(self, "small"))
        column.addLayout(self._search_row())
        column.addWidget(self.split, 1)
        document.changed.connect(self._vehicle_changed)
        document.done.connect(self._placed)
        document.selected.connect(self._selection_changed)
        focus = QApplication.instance()
        assert isinstance(focus, QApplication)
        focus.focusChanged.connect(self._focus_moved)
        self.refresh()

    # --- its parts ------------------------------------------------------------------------------

    def _own_list(self, theme: Theme) -> ShelfList:
        own = ShelfList(theme, self.tr("Accessories in this vehicle"), "shelfOwn")
        own.shelf.renamed.connect(self.rename)
        own.taken_up.connect(self.take_up)
        own.delete_asked.connect(self.remove)
        own.chosen.connect(self._chosen)
        return own

    def _kind_list(self, theme: Theme) -> ShelfList:
        kinds = ShelfList(theme, self.tr("Library of generic accessories"), "shelfLibrary")
        kinds.taken_up.connect(self.take_up)
        kinds.insert_asked.connect(self.add)
        kinds.chosen.connect(self._chosen)
        return kinds

    def _search_row(self) -> QHBoxLayout:
        self.new_button = self._button("new", self.tr("New accessory"), "", self.add_new)
        row = QHBoxLayout()
        row.addWidget(self.search, 1)
        row.addWidget(self.new_button)
        return row

    def _own_side(self) -> QWidget:
        return _side(
            self.tr("In this vehicle"),
            (self.hint, self.own),
            (
                self._button("place", self.tr("Place on a slot"), "Enter", self.own.take_up),
                self._button("rename", self.tr("Rename"), "F2", self.own.rename_current),
                self._button("remove", self.tr("Remove"), "Del", self.remove),
            ),
        )

    def _kind_side(self) -> QWidget:
        return _side(
            self.tr("Library"),
            (self.kinds,),
            (
                self._button("placeNew", self.tr("Place on a slot"), "Enter", self.kinds.take_up),
                self._button("add", self.tr("Add to the vehicle"), "Ins", self.add),
            ),
        )

    def _button(self, key: str, text: str, keys: str, do: Any) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(f"shelf_{key}")
        button.setToolTip(f"{text} ({keys})" if keys else text)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(lambda: do())
        self.buttons[key] = button
        return button

    def _menu(self, rows: ShelfList, keys: Sequence[str]) -> None:
        """What the buttons below a list do, also in the menu of its rows."""
        rows.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        for key in keys:
            action = QAction(self.buttons[key].text(), rows)
            action.setObjectName(f"shelfMenu_{key}")
            action.triggered.connect(self.buttons[key].click)
            rows.addAction(action)
            self.actions_[key] = action

    # --- what is shown --------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show both lists as they are now, as far as they fit what was typed."""
        self._stale = False
        vehicle, text = self.document.vehicle, self.search.text()
        self.own.shelf.set_rows(own_rows(vehicle, self._style, text))
        if text != self._kinds_for:
            self._kinds_for = text
            self.kinds.shelf.set_rows(kind_rows(self._style, text))
        self.new_button.setVisible(bool(clean(text)))
        self.new_button.setToolTip(plain_tip(self._new_words()))
        self.hint.setText(self._hint_words(vehicle, text))
        self.hint.setVisible(bool(self.hint.text()))
        self.own.setVisible(not self.hint.text())
        self._show_library()
        self._selection_changed(self.document.selection)
        self._enable()

    @property
    def searching(self) -> bool:
        """Whether the library is looked at: something is typed, or there is nothing else yet."""
        focused = QApplication.focusWidget()
        inside = focused is self.search or self.library.isAncestorOf(focused or self)
        typed = bool(self.search.text()) or self._in_hand
        return inside or typed or not self.document.vehicle.accessories

    def _focus_moved(self, old: QWidget | None, now: QWidget | None) -> None:
        """The library is there while it is searched; what is in this vehicle has the room then."""
        if not isValid(self) or now is None:
            return
        if self.library.isAncestorOf(now):
            self._in_hand = False
        if self.library.isHidden() == self.searching:
            self._show_library()

    def _show_library(self) -> None:
        """Show or hide the library; what is shown has the height its lists and buttons need."""
        self.library.setVisible(self.searching)
        least = self.split.minimumSizeHint().height()
        self.split.setMinimumHeight(max(self.fontMetrics().height() * 8, least))

    def _placed(self, before: Vehicle, after: Vehicle) -> None:
        """What was searched for is there now, or has its place: all is shown again."""
        self._in_hand = False
        fresh = len(after.accessories) > len(before.accessories)
        if self.search.text() and (fresh or len(after.taps) > len(before.taps)):
            self.search.clear()

    def _new_words(self) -> str:
        name = clean(self.search.text())
        return self.tr("Add “{name}”, which is not in the library").format(name=name)

    def _hint_words(self, vehicle: Vehicle, text: str) -> str:
        if not vehicle.accessories:
            return self.tr(
                "Nothing yet. Drag a kind from the library onto a slot, or add it here first. "
                "Its figures are usual ones: replace them by those on its label."
            )
        if not self.own.shelf.rows:
            return self.tr("None here with “{text}”.").format(text=text)
        return ""

    def _enable(self) -> None:
        own = bool(self.own.selectedIndexes())
        for key in ("place", "rename", "remove"):
            self.buttons[key].setEnabled(own)
        for key in ("placeNew", "add"):
            self.buttons[key].setEnabled(bool(self.kinds.selectedIndexes()))
        for key, action in self.actions_.items():
            action.setEnabled(self.buttons[key].isEnabled())

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if not self._stale and _own(old) == _own(new):
            return
        if self.isVisible():
            self.refresh()
        else:
            self._stale = True

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self._stale:
            self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side where it is wide enough, else one below the other."""
        super().resizeEvent(event)
        wide = self.width() > self.fontMetrics().averageCharWidth() * 100
        self.split.setOrientation(Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical)
        self._show_library()

    def _selection_changed(self, selection: Selection | None) -> None:
        """The cursor onto the accessory selected elsewhere; nothing is highlighted for another."""
        wanted = _payload(self.document.vehicle, selection)
        here = self.own.payload() if self.own.selectedIndexes() else None
        if wanted is None or selection is None:
            self.own.clearSelection()
        elif here is None or selection.kind == "tap" or here.accessory != wanted.accessory:
            self.own.show_current(wanted)
        self._enable()

    # --- what can be asked ----------------------------------------------------------------------

    def search_for(self, text: str) -> None:
        """Show only what fits this."""
        self.search.setText(text)

    def take_up(self, payload: Payload) -> None:
        """Hand on what is to be placed; while there is no panel a kind is added all the same."""
        if payload.kind and not self.document.vehicle.panels:
            self.add()
            return
        # Put back, it is the one on the cursor again: what it came from stays in sight.
        self._in_hand = bool(payload.kind)
        who = {"kind": payload.kind} if payload.kind else {"accessory": payload.accessory}
        self.pick_up.emit({**who, "lead": payload.lead})

    def _chosen(self, payload: Payload | None) -> None:
        self._enable()
        if payload is None or not payload.accessory:
            return
        shown = _payload(self.document.vehicle, self.document.selection)
        if shown == payload:
            return
        tap = look_up.tap_of(self.document.vehicle, payload.accessory, payload.lead)
        if payload.lead == "sense" and tap is not None:
            self.document.select("tap", tap.id)
        else:
            self.document.select("accessory", payload.accessory)

    def add(self) -> None:
        """Add the kind the cursor is on to the vehicle, not placed yet."""
        payload = self.kinds.payload()
        if payload is None:
            return
        fields = library_fields(payload.kind, self._style)
        fields["name"] = free_name(self.document.vehicle, fields["name"])
        text = self.tr("Add {name}").format(name=fields["name"])
        if self.document.apply(text, edits.add_accessory, **fields):
            self.document.select("accessory", self.document.vehicle.accessories[-1].id)

    def add_new(self) -> None:
        """Add an accessory of the name typed that the library has not got; ask for its form."""
        name = clean(self.search.text())
        if not name:
            return
        name = free_name(self.document.vehicle, name)
        text = self.tr("Add {name}").format(name=name)
        if self.document.apply(text, edits.add_accessory, name, watts=FIRST_WATTS):
            self.search.clear()
            self.document.select("accessory", self.document.vehicle.accessories[-1].id)
            self.form_wanted.emit()

    def rename(self, accessory_id: str, name: str) -> None:
        """Give an accessory another name."""
        name = clean(name)
        if name:
            text = self.tr("Rename to {name}").format(name=name)
            self.document.apply(text, edits.change_accessory, accessory_id, name=name)

    def remove(self) -> None:
        """Remove the accessory the cursor is on; on its sense lead, take only that off."""
        payload = self.own.payload()
        if payload is None:
            return
        vehicle = self.document.vehicle
        name = look_up.accessory(vehicle, payload.accessory).name
        if payload.lead == "power":
            text = self.tr("Remove {name}").format(name=name)
            self.document.apply(text, edits.remove_accessory, payload.accessory)
            return
        tap = look_up.tap_of(vehicle, payload.accessory, payload.lead)
        if tap is not None:
            text = self.tr("Take off the sense lead of {name}").format(name=name)
            self.document.apply(text, edits.unplace, tap.id)


def free_name(vehicle: Vehicle, name: str) -> str:
    """The name, with a number behind it where an accessory has it already.

    >>> van = edits.add_accessory(Vehicle(name="Van"), "Fan", watts=15.0)
    >>> free_name(van, "Fan"), free_name(van, "Horn")
    ('Fan 2', 'Horn')
    """
    taken = {accessory.name for accessory in vehicle.accessories}
    number, free = 1, name
    while free in taken:
        number += 1
        free = f"{name} {number}"
    return free


def _own(vehicle: Vehicle) -> tuple[object, ...]:
    """All that the vehicle's own rows say: accessories, and where their leads are joined."""
    slots = (look_up.slot(vehicle, tap.slot) for tap in vehicle.taps if tap.slot is not None)
    named = tuple((slot.id, look_up.slot_and_circuit(slot)) for slot in slots)
    return vehicle.accessories, vehicle.taps, vehicle.feeds, named


def _payload(vehicle: Vehicle, selection: Selection | None) -> Payload | None:
    """The row of the shelf that a selection means."""
    if selection is None:
        return None
    if selection.kind == "accessory":
        return Payload(accessory=selection.id)
    if selection.kind == "tap":
        tap = look_up.tap(vehicle, selection.id)
        return Payload(accessory=tap.accessory, lead=tap.lead)
    return None


def _side(title: str, inside: tuple[QWidget, ...], buttons: tuple[QPushButton, ...]) -> QWidget:
    """A heading over a list over its buttons."""
    side = QWidget()
    column = QVBoxLayout(side)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(space(side, "small"))
    heading = QLabel(title)
    font = heading.font()
    font.setBold(True)
    heading.setFont(font)
    column.addWidget(heading)
    for widget in inside:
        column.addWidget(widget, 1)
    row = QHBoxLayout()
    for button in buttons:
        row.addWidget(button)
    row.addStretch(1)
    column.addLayout(row)
    return side


class _Search(QLineEdit):
    """Down goes to the first row that is left."""

    def __init__(self, shelf: Shelf) -> None:
        super().__init__()
        self._shelf = shelf
        self.setObjectName("shelfSearch")
        self.setPlaceholderText(self.tr("Search: camera, cool box, lamp…"))
        self.setAccessibleName(self.tr("Search the accessories"))
        self.setClearButtonEnabled(True)
        self.textChanged.connect(shelf.refresh)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Down or Enter leave for the lists; what nothing fits is new. Escape shows all again."""
        key = event.key()
        own, kinds = self._shelf.own, self._shelf.kinds
        fits = own.shelf.rows or kinds.shelf.rows
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not fits:
            self._shelf.add_new()
        elif key in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            first = own if own.isVisible() and own.shelf.rows else kinds
            first.go_first()
        elif key == Qt.Key.Key_Escape and self.text():
            self.clear()
        else:
            super().keyPressEvent(event)


__all__ = ["Shelf", "ShelfList", "ShelfModel", "free_name"]
