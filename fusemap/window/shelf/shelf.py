"""The shelf: one strip with the search and what is in this vehicle; the library opens over the lid.

In: the vehicle's accessories, the verdicts on their taps, the library. Out: drags
(`panel_drop.MIME`) and, by keyboard, `pick_up` with the same content: Enter takes up, Insert adds a
kind to the vehicle, F2 renames, Delete removes. What is chosen among the vehicle's own is selected.
"""

from typing import Any, Final

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QWidget,
)
from shiboken6 import isValid

from fusemap.vehicle import Tap, Vehicle, edits, look_up
from fusemap.vehicle.texts import clean
from fusemap.window.document import Document, Selection
from fusemap.window.panel.panel_drop import Payload, library_fields
from fusemap.window.parts.later import Later, LaterStill
from fusemap.window.shelf.chip_row import ChipRow
from fusemap.window.shelf.chips import ChipList, empty_picture
from fusemap.window.shelf.library_over import KindList, LibraryOver
from fusemap.window.shelf.search_box import SearchBox
from fusemap.window.shelf.shelf_rows import (
    ShelfRow,
    Verdicts,
    free_name,
    kind_rows,
    marked,
    own_rows,
    payload_for,
    shown_of,
)
from fusemap.window.style.measures import height, px
from fusemap.window.style.sheet import as_link, as_main
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

FIRST_WATTS: Final = 10.0
"""What an accessory of no kind draws until its own figure is entered [W]."""
SEARCH_WIDE: Final = 210
"""How wide the search is at least; in little room less [px of the design]."""
SEARCH_ROUND: Final = 72
"""Round its words there stand the lens, and what clears it [px of the design]."""


def _places(vehicle: Vehicle) -> set[tuple[str, ...]]:
    """Which lead of what hangs where."""
    return {(t.accessory, t.lead, str(t.slot), str(t.feed)) for t in vehicle.taps}


class Shelf(QWidget):
    """A search box beside the chips of this vehicle; the library over whatever lies above."""

    form_wanted = Signal()
    """The form of the accessory that was just added is to be filled in."""
    pick_up = Signal(dict)
    """What is to be placed, as a drag carries it: {"accessory": id, "lead": …} or {"kind": key}."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._theme = theme
        self._style = theme.style
        self._stale = False
        self._closed = False
        self._dragged = False
        self._in_hand: Payload | None = None
        self._kinds_for: str | None = None
        self._own_for: tuple[object, ...] = ()
        self._own_unmarked: tuple[ShelfRow, ...] = ()
        """The vehicle's own without their verdicts, and what they were made for."""
        self.setObjectName("shelf")
        self.setAccessibleName(self.tr("Accessories"))
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.buttons: dict[str, QPushButton] = {}
        self.actions_: dict[str, QAction] = {}
        self.search = self._search_box(theme)
        self.own = self._own_list(theme)
        self.kinds = self._kind_list(theme)
        self.hint = QLabel()
        self.hint.setObjectName("shelfHint")
        self.hint.setWordWrap(True)
        self.hint.setProperty("muted", True)
        self.picture = QLabel()
        self.picture.setObjectName("shelfPicture")
        self.picture.setPixmap(empty_picture(self, theme))
        self.library = self._library(theme)
        self._own_menu()
        self.chips = ChipRow(self.own, theme)
        self._lay_out()
        self._judge = Later(self._judge_now, self)
        self._soon = LaterStill(self._judge_now, self)
        document.changed.connect(self._vehicle_changed)
        document.done.connect(self._placed)
        document.selected.connect(self._selection_changed)
        focus = QApplication.instance()
        assert isinstance(focus, QApplication)
        focus.focusChanged.connect(self._focus_moved)
        self.refresh()

    # --- its parts ------------------------------------------------------------------------------

    def _search_box(self, theme: Theme) -> SearchBox:
        search = SearchBox(theme)
        search.looked.connect(self.open_library)
        search.left.connect(self._leave_search)
        search.given_up.connect(self.close_library)
        search.textChanged.connect(self.refresh)
        return search

    def _own_list(self, theme: Theme) -> ChipList:
        own = ChipList(theme, self.tr("Accessories in this vehicle"), "shelfOwn")
        own.shelf.renamed.connect(self.rename)
        own.taken_up.connect(self.take_up)
        own.delete_asked.connect(self.remove)
        own.chosen.connect(self._chosen)
        return own

    def _kind_list(self, theme: Theme) -> KindList:
        kinds = KindList(theme, self.tr("Library of generic accessories"), "shelfLibrary")
        kinds.taken_up.connect(self.take_up)
        kinds.insert_asked.connect(self.add)
        kinds.chosen.connect(self._chosen)
        kinds.typed.connect(self._type_on)
        kinds.left.connect(self._back_to_search)
        kinds.dragging.connect(self._drag)
        return kinds

    def _library(self, theme: Theme) -> LibraryOver:
        over = LibraryOver(theme, self.kinds, self)
        place = as_main(self._button("placeNew", self.tr("Place on a slot"), "Enter",
                                     self.kinds.take_up))  # fmt: skip
        add = self._button("add", self.tr("Add to the vehicle"), "Ins", self.add)
        self.new_button = as_link(self._button("new", self.tr("New accessory"), "", self.add_new))
        over.add_buttons((place, add), self.new_button)
        for key in ("placeNew", "add"):
            self._action(key, self.buttons[key].text(), self.buttons[key].click, self.kinds)
        self.destroyed.connect(over.deleteLater)
        return over

    def _own_menu(self) -> None:
        """What can be done with the accessory on the cursor."""
        for key, text, do in (
            ("place", self.tr("Place on a slot"), self.own.take_up),
            ("rename", self.tr("Rename"), self.own.rename_current),
            ("unsense", self.tr("Take off the sense lead"), self._take_off_sense),
            ("remove", self.tr("Remove"), self.remove),
        ):
            self._action(key, text, do, self.own)

    def _action(self, key: str, text: str, do: Any, rows: QWidget) -> None:
        rows.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        action = QAction(text, rows)
        action.setObjectName(f"shelfMenu_{key}")
        action.triggered.connect(lambda: do())
        rows.addAction(action)
        self.actions_[key] = action

    def _button(self, key: str, text: str, keys: str, do: Any) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(f"shelf_{key}")
        button.setToolTip(f"{text} ({keys})" if keys else text)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(lambda: do())
        self.buttons[key] = button
        return button

    def _lay_out(self) -> None:
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(height(self, "shelf"))
        row = QHBoxLayout(self)
        row.setContentsMargins(px(self, 16), 0, px(self, 16), 0)
        row.setSpacing(px(self, 8))
        row.addWidget(self.search)
        row.addSpacing(px(self, 4))
        row.addWidget(self.chips, 1)
        row.addWidget(self.picture)
        row.addWidget(self.hint, 1)

    # --- what is shown --------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show chips and library as they are now, as far as they fit what was typed."""
        self._stale = False
        vehicle, text = self.document.vehicle, self.search.text()
        self.own.shelf.set_rows(marked(self._own_rows(text), vehicle, self._verdicts()))
        if text != self._kinds_for:
            self._kinds_for = text
            self.kinds.shelf.set_rows(kind_rows(self._style, text))
            self.kinds.setCurrentIndex(self.kinds.first_index() if text else QModelIndex())
        self.new_button.setVisible(bool(clean(text)))
        new = self.tr("Add “{name}”, which is not in the library").format(name=clean(text))
        self.new_button.setToolTip(plain_tip(new))
        self.library.say_nothing_fits(self._nothing_words(text), slots=self._slots)
        self.hint.setText(self._hint_words(vehicle, text))
        if self.hint.text() and self.own.hasFocus():
            self.close_library()  # the keyboard stays in the shelf, and the lid in sight
        self.hint.setVisible(bool(self.hint.text()))
        self.picture.setVisible(not vehicle.accessories)
        self.chips.setVisible(not self.hint.text())
        self._show_library()
        self._selection_changed(self.document.selection)
        self._enable()
        self.chips.count_hidden()

    def _own_rows(self, text: str) -> tuple[ShelfRow, ...]:
        """The vehicle's own, made anew where what they say is another."""
        asked = (shown_of(self.document.vehicle), text, self._style)
        if asked != self._own_for:
            self._own_for = asked
            self._own_unmarked = own_rows(self.document.vehicle, self._style, text)
        return self._own_unmarked

    def _verdicts(self) -> Verdicts:
        """The verdicts, where what reckons them is loaded; else they follow the first painting."""
        if not self.document.vehicle.taps:
            return {}
        if not self.document.numbers_ready:
            self._judge.start_when_painted(self.own.viewport())
            return None
        # loaded when there is something to reckon: the start stays short
        from fusemap.checks.each_tap import tap_verdicts

        return tap_verdicts(self.document.vehicle, self.document.assessment)

    def _judge_now(self) -> None:
        """Load what reckons, and say the verdicts, now or when this comes into view."""
        _ = self.document.assessment
        self._stale = True
        if self.isVisible():
            self.refresh()

    @property
    def searching(self) -> bool:
        """Whether the library is looked at: the keyboard is in the search or among the kinds."""
        if self._closed or self._dragged or not self.isVisible():
            return False
        focused = QApplication.focusWidget()
        return focused is self.search or self.holds(focused)

    def holds(self, widget: QWidget | None) -> bool:
        """Whether a part of the window is the library that lies over it."""
        return widget is not None and self.library.isAncestorOf(widget)

    def _focus_moved(self, old: QWidget | None, now: QWidget | None) -> None:
        """The library is there while it is searched; else the lid has the room."""
        if not isValid(self) or now is None:
            return
        if now is self.search and old is not self.search and not self.holds(old):
            self._closed = False
        if self.library.isHidden() == self.searching:
            self._show_library()
        if now is self.search and self._in_hand is not None and self.searching:
            kind, self._in_hand = self._in_hand, None
            self.kinds.show_current(kind)
            self.kinds.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_library(self) -> None:
        """Open or close the library."""
        if self.searching:
            self.library.open_()
        else:
            self.library.hide()

    def close_library(self) -> None:
        """Have the lid seen again; the keyboard goes back to the search."""
        self._back_to_search()
        self._closed = True
        self._show_library()

    def open_library(self) -> None:
        """Look at the library again, with the keyboard in the search."""
        self._closed = False
        self._show_library()

    def _leave_search(self, by_enter: bool) -> None:
        """To the vehicle's own that fit what was typed, else to the kinds; else it is new."""
        if self.search.text() and self.own.shelf.rows:
            self.own.go_first()
        elif self.kinds.shelf.rows:
            self.open_library()
            self.kinds.go_first()
        elif by_enter:
            self.add_new()

    def _back_to_search(self) -> None:
        self.search.setFocus(Qt.FocusReason.OtherFocusReason)

    def _type_on(self, letters: str) -> None:
        """Letters typed among the kinds belong to the search."""
        self._back_to_search()
        self.search.setText(self.search.text() + letters)

    def _drag(self, begun: bool) -> None:
        """While a kind is dragged the lid is seen; let go beside it, the library is back."""
        self._dragged = begun
        if begun:
            self._back_to_search()
        self._show_library()

    def _placed(self, before: Vehicle, after: Vehicle) -> None:
        """What was searched for is there now, or has its place: all is shown again."""
        self._in_hand = None
        fresh = len(after.accessories) > len(before.accessories)
        if fresh or _places(after) - _places(before):
            self._closed = True
            if self.search.text():
                self.search.clear()
            self._show_library()

    def _nothing_words(self, text: str) -> str:
        if self.kinds.shelf.rows:
            return ""
        return self.tr(
            "Nothing in the library fits “{text}”. Press Enter to add it by this name, and say "
            "what it draws."
        ).format(text=text)

    def _hint_words(self, vehicle: Vehicle, text: str) -> str:
        if not vehicle.accessories:
            return self.tr(
                "Nothing in this vehicle yet. Search for what is to be fitted, and drag it onto a "
                "slot. Its figures are usual ones: replace them by those on its label."
            )
        if not self.own.shelf.rows:
            return self.tr("None here with “{text}”.").format(text=text)
        return ""

    @property
    def _slots(self) -> bool:
        """Whether there is a slot that anything could be placed on."""
        return any(panel.slots for panel in self.document.vehicle.panels)

    def _enable(self) -> None:
        own, payload = bool(self.own.selectedIndexes()), self.own.payload()
        for key in ("place", "rename", "remove"):
            self.actions_[key].setEnabled(own and (key != "place" or self._slots))
        sense = own and payload is not None and self._sense_of(payload) is not None
        self.actions_["unsense"].setEnabled(sense)
        self.actions_["unsense"].setVisible(sense)
        self.chips.menu_button.setEnabled(own)
        kind = bool(self.kinds.selectedIndexes())
        for key in ("placeNew", "add"):
            self.buttons[key].setEnabled(kind)
            self.actions_[key].setEnabled(kind and (key == "add" or self._slots))

    # --- what changes ---------------------------------------------------------------------------

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        same = shown_of(old) == shown_of(new) and bool(old.panels) == bool(new.panels)
        if not self._stale and not new.taps and same:
            return
        if not self.isVisible():
            self._stale = True
        elif same and not self._stale and self.document.numbers_ready:
            self._soon.start()  # it shows the same, but for the verdicts
        else:
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self._stale:
            self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In little room the search yields to the chips."""
        super().resizeEvent(event)
        words = self.search.fontMetrics().horizontalAdvance(self.search.placeholderText())
        wide = max(px(self, SEARCH_WIDE), words + px(self, SEARCH_ROUND))
        self.search.setFixedWidth(min(wide, self.width() // 5))
        if self.library.isVisible():
            self.library.lie()

    def _selection_changed(self, selection: Selection | None) -> None:
        """The cursor onto the accessory selected elsewhere; nothing is highlighted for another."""
        wanted = payload_for(self.document.vehicle, selection)
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
        if payload.kind and not self._slots:
            self.add()
            return
        if payload.kind:
            # Put back, it is the one on the cursor again; meanwhile the lid is to be seen.
            self._in_hand = None
            self.close_library()
            self._in_hand = payload
        who = {"kind": payload.kind} if payload.kind else {"accessory": payload.accessory}
        self.pick_up.emit({**who, "lead": payload.lead})

    def _chosen(self, payload: Payload | None) -> None:
        self._enable()
        if payload is None or not payload.accessory:
            return
        shown = payload_for(self.document.vehicle, self.document.selection)
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
        """Remove the accessory the cursor is on; a sense lead that waits goes with it."""
        payload = self.own.payload()
        if payload is None:
            return
        vehicle = self.document.vehicle
        name = look_up.accessory(vehicle, payload.accessory).name
        text = self.tr("Remove {name}").format(name=name)
        self.document.apply(text, edits.remove_accessory, payload.accessory)

    def _sense_of(self, payload: Payload) -> Tap | None:
        """The tap of an accessory's sense lead, where it has its place."""
        return look_up.tap_of(self.document.vehicle, payload.accessory, "sense")

    def _take_off_sense(self) -> None:
        """Take the sense lead off its slot, and nothing else."""
        payload = self.own.payload()
        tap = None if payload is None else self._sense_of(payload)
        if payload is not None and tap is not None:
            name = look_up.accessory(self.document.vehicle, payload.accessory).name
            text = self.tr("Take off the sense lead of {name}").format(name=name)
            self.document.apply(text, edits.unplace, tap.id)


__all__ = ["Shelf", "free_name"]
