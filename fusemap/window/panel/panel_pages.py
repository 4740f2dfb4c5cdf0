"""The panels of the vehicle, one page each under a tab.

In: the document; out: pages that come and go with its panels. On a page stand the panel's name and
place, the buttons of the view, the panel, and a line of hints. Turning, mirroring and zooming
change the view only. What is being placed is shared by all pages, so that an accessory taken up on
one can be dropped on another.
"""

from collections.abc import Callable, Mapping
from typing import Any, Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QStackedWidget,
    QTabWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from fusemap.vehicle import Panel, Slot, Vehicle, edits, look_up
from fusemap.window.document import Document, Selection, is_there, slot_of
from fusemap.window.forms import choices
from fusemap.window.forms.fields import ChoiceField, TextField
from fusemap.window.panel.arrangement import ViewState
from fusemap.window.panel.panel_drop import Payload, Placing
from fusemap.window.panel.panel_model import LABEL
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.panel.slot_entry import ratings_words
from fusemap.window.panel.slot_words import family_name
from fusemap.window.photo.backdrop import Strength
from fusemap.window.style.signs import view_icon
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label

LOW: Final = 18
"""A page with fewer lines than this shows the panel and its hint alone."""


class PanelPage(QWidget):
    """A panel with what belongs to it."""

    probe_wanted = Signal(str)
    """A slot to be read now."""
    picture_dropped = Signal(str, object)
    """This panel was given a picture: a file or an image."""
    next_strength_wanted = Signal()
    """Photos are to be seen more strongly, or not at all after the strongest."""

    def __init__(self, document: Document, theme: Theme, panel_id: str, placing: Placing) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self.panel_id = panel_id
        self.setObjectName(f"page_{panel_id}")
        self.view = PanelView(document, theme, panel_id, placing)
        self.name = self._name_field()
        self.place = self._place_field()
        self.hint = QLabel()
        self._lay_out()
        self.view.hinted.connect(self._show_hint)
        self.view.picture_dropped.connect(self.picture_dropped)
        self.view.probe_wanted.connect(self.probe_wanted)
        document.changed.connect(self._vehicle_changed)
        self._show_hint()

    # --- parts ----------------------------------------------------------------------------------

    def _panel(self) -> Panel:
        return look_up.panel(self._document.vehicle, self.panel_id)

    def _write(self, what: str, **changes: Any) -> bool:
        text = f"{self._panel().name}: {what}"
        return self._document.apply(text, edits.change_panel, self.panel_id, **changes)

    def _name_field(self) -> TextField:
        field = TextField(
            self._document,
            self._theme.style,
            lambda: self._panel().name,
            lambda name: self._write(self.tr("name"), name=name),
            name=self.tr("Name of the panel"),
            key=f"panelName_{self.panel_id}",
            hint=self.tr("What you call this panel"),
            placeholder=self.tr("name"),
        )
        field.setMinimumWidth(self.fontMetrics().averageCharWidth() * 12)
        field.setMaximumWidth(self.fontMetrics().averageCharWidth() * 40)
        return field

    def _place_field(self) -> ChoiceField:
        return ChoiceField(
            lambda: self._panel().place,
            lambda place: self._write(self.tr("place"), place=place),
            choices.places(),
            name=self.tr("Where the panel sits"),
            key=f"panelPlace_{self.panel_id}",
            hint=self.tr("Where it sits: the air there sets what its fuses may carry"),
        )

    def _lay_out(self) -> None:
        self.head = QWidget()
        head = QHBoxLayout(self.head)
        head.setContentsMargins(0, 0, 0, 0)
        head.setSpacing(space(self, "small"))
        head.addWidget(self.name, 1)
        head.addWidget(self.place)
        head.addStretch(1)
        for button in self._buttons():
            head.addWidget(button)
        column = QVBoxLayout(self)
        edge = space(self, "small")
        column.setContentsMargins(edge, edge, edge, edge)
        column.setSpacing(edge)
        column.addWidget(self.head)
        column.addWidget(self.view, 1)
        column.addWidget(self.hint)
        self.hint.setObjectName(f"panelHint_{self.panel_id}")
        self.hint.setProperty("muted", True)
        self.hint.setWordWrap(True)
        self.hint.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        # As high as its longest words need, so that the panel does not jump while one walks.
        self.hint.setMinimumHeight(self.fontMetrics().lineSpacing() * 2)
        self.hint.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where it is low the slots have the room: all that stands above them is in menus too."""
        super().resizeEvent(event)
        self.head.setVisible(self.height() >= self.fontMetrics().lineSpacing() * LOW)

    def _buttons(self) -> list[QToolButton]:
        self.mirror_button = self._button(
            "mirror",
            self.tr("Mirror the view, as seen in a mirror or from behind"),
            self.mirror,
        )
        self.mirror_button.setCheckable(True)
        self.photo_button = self._button("photo", self.tr("Photo of the lid"), self._photo_more)
        self.photo_button.setVisible(self.view.photo is not None)
        return [
            self.photo_button,
            self._turn_button("turn_left", self.tr("Turn the view to the left"), -1),
            self._turn_button("turn_right", self.tr("Turn the view to the right"), 1),
            self.mirror_button,
            self._button("smaller", self.tr("Smaller (Ctrl and −)"), lambda: self.view.zoom_by(-1)),
            self._button("whole", self.tr("Fit the panel (Ctrl and 0)"), self.view.zoom_whole),
            self._button("larger", self.tr("Larger (Ctrl and +)"), lambda: self.view.zoom_by(1)),
        ]

    def _turn_button(self, icon: str, what: str, quarters: int) -> QToolButton:
        return self._button(icon, what, lambda: self.turn(quarters))

    def _button(self, icon: str, what: str, do: Callable[[], None]) -> QToolButton:
        button = QToolButton()
        button.setObjectName(f"{icon}_{self.panel_id}")
        button.setIcon(view_icon(icon, self._theme, self.fontMetrics().height()))
        button.setToolTip(what)
        button.setAccessibleName(what)
        button.setIconSize(QSize(self.fontMetrics().height(), self.fontMetrics().height()))
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(lambda *_: do())
        return button

    # --- the view -------------------------------------------------------------------------------

    def turn(self, quarters: int) -> None:
        """Turn the view clockwise by so many quarters."""
        self.view.turn(quarters)

    def show_as(self, state: ViewState) -> None:
        """Turn, mirror and zoom the panel as it was."""
        self.view.show_as(state)
        self.mirror_button.setChecked(state.mirrored)

    def mirror(self) -> None:
        """Mirror the view, or take that back, and say so on its button."""
        self.view.mirror()
        self.mirror_button.setChecked(self.view.panel_model.arrangement.mirrored)

    def _photo_more(self) -> None:
        self.next_strength_wanted.emit()

    def show_photo(self, strength: Strength) -> None:
        """Let the photo be seen so strongly behind the slots, and say so on its button."""
        self.view.show_photo(strength)
        words = {
            "off": self.tr("Photo of the lid: off"),
            "faint": self.tr("Photo of the lid: faint"),
            "strong": self.tr("Photo of the lid: strong"),
            "alone": self.tr("Photo of the lid: alone"),
        }[strength]
        self.photo_button.setToolTip(words)
        self.photo_button.setAccessibleName(words)
        self._show_hint()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self.photo_button.setVisible(self.view.photo is not None)
        if any(panel.id == self.panel_id for panel in new.panels):
            self.name.refresh()
            self.place.refresh()

    def _show_hint(self) -> None:
        self.hint.setText(self._hint())

    def _hint(self) -> str:
        """What can be done now, in one line or two."""
        view, placing = self.view, self.view.placing
        if placing.accessory is not None:
            words = view.words_for(view.pointed())
            name = placing.accessory.name
            if view.drags.active:
                return words or self.tr("Drop {name} on a slot with a tick.").format(name=name)
            keys = self.tr("Tab: next best slot · Enter: put it here · Escape: put it back")
            if not placing.ranked and placing.waits_for_readings:
                keys = self.tr(
                    "no slot can take it yet: measure when they are live · Escape: put it back"
                )
            elif not placing.ranked:
                keys = self.tr("no slot can take it; give it an own feed · Escape: put it back")
            head = f"{name} · {keys}"
            return f"{head}\n{words}" if words else head
        index = view.currentIndex()
        if view.delegate.editing:
            return self._typing_hint(view.panel_model.slot(index))
        if view.panel_model.gap(index):
            return self.tr("A gap. Insert, or a rating typed here, puts a slot in it.")
        if view.photo_broken:
            return self.tr(
                "The photo of this panel cannot be drawn: take it in again, or remove it."
            )
        if not index.isValid():
            return self.tr("Choose a slot with the mouse or the arrow keys.")
        return self.tr(
            "Type 15 Radio for rating and circuit, − for no fuse · Space: feed class and marks · "
            "Shift+F2: label · Delete: fuse out, then slot"
        )

    def _typing_hint(self, slot: Slot | None) -> str:
        """What may be typed, and how it is stored."""
        keys = self.tr("Enter stores and goes on · Escape leaves it as it was")
        if slot is None or slot.kind != "fuse" or self.view.delegate.editing_role == LABEL:
            return keys
        show = self._theme.style.show
        return self.tr("Ratings: {ratings} {family} · {keys}").format(
            ratings=show(ratings_words(slot.family)),
            family=show(family_name(slot.family)),
            keys=keys,
        )


class PanelPages(QWidget):
    """One page per panel; `current_view()` is the panel on the page that is shown."""

    panel_wanted = Signal()
    """There is no panel yet, and one is to be made."""
    probe_wanted = Signal(str)
    """A slot to be read now."""
    picture_dropped = Signal(str, object)
    """This panel was given a picture: a file or an image."""
    next_strength_wanted = Signal()
    """Photos are to be seen more strongly, or not at all after the strongest."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._following = False
        self._strength: Strength = "off"
        self.setObjectName("panelPages")
        self.setAccessibleName(self.tr("Fuse panels"))
        self.placing = Placing(document, theme.style, self)
        self.placing.given_up.connect(self._go_back)
        self._from: tuple[QWidget | None, Selection | None] = (None, None)
        self.tabs = self._make_tabs()
        self._stack = QStackedWidget()
        self._stack.addWidget(self._make_empty())
        self._stack.addWidget(self.tabs)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._stack)
        document.changed.connect(self._vehicle_changed)
        document.selected.connect(self._selected)
        self._take_panels()
        self._selected(document.selection)

    def _make_tabs(self) -> QTabWidget:
        tabs = QTabWidget()
        tabs.setObjectName("panelTabs")
        tabs.setAccessibleName(self.tr("Fuse panels"))
        tabs.setDocumentMode(True)
        tabs.setUsesScrollButtons(True)
        tabs.setElideMode(Qt.TextElideMode.ElideNone)
        # A drag that rests on a tab turns to its page.
        tabs.tabBar().setChangeCurrentOnDrag(True)
        tabs.tabBar().setAcceptDrops(True)
        tabs.currentChanged.connect(self._page_shown)
        return tabs

    def _make_empty(self) -> QWidget:
        words = self.tr(
            "There is no fuse panel yet.\n\nLook how many rows and columns its lid shows; the "
            "ratings are then typed as they are printed there. An accessory can be added before "
            "that: it is counted as long as it has no place."
        )
        empty = QWidget()
        empty.setObjectName("noPanel")
        button = QPushButton(self.tr("Count the rows and columns of the lid…"))
        button.setObjectName("noPanelAdd")
        button.setMinimumHeight(self.fontMetrics().height() * 2)
        button.clicked.connect(lambda: self.panel_wanted.emit())
        column = QVBoxLayout(empty)
        column.setContentsMargins(*(space(self, "wide"),) * 4)
        column.setSpacing(space(self, "large"))
        column.addWidget(plain_label("noPanelWords", words))
        column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        return empty

    # --- pages ----------------------------------------------------------------------------------

    def pages(self) -> list[PanelPage]:
        """The pages in the order of their tabs."""
        widgets = (self.tabs.widget(at) for at in range(self.tabs.count()))
        return [page for page in widgets if isinstance(page, PanelPage)]

    def current_view(self) -> PanelView | None:
        """The panel that is shown."""
        page = self.current_page()
        return None if page is None else page.view

    def current_page(self) -> PanelPage | None:
        """The page that is shown."""
        page = self.tabs.currentWidget()
        return page if isinstance(page, PanelPage) else None

    def modest_height(self) -> int:
        """How high this has to be for the shown panel to be seen whole with small cards [px]."""
        view = self.current_view()
        if view is None:
            return 0
        return view.card_zoom.modest_height() + self.height() - view.maximumViewportSize().height()

    @property
    def home(self) -> QWidget | None:
        """Where the keyboard goes: to the panel that is shown."""
        return self.current_view()

    def _take_panels(self) -> None:
        """Make the pages those of the vehicle's panels, keeping what is there already."""
        panels = self._document.vehicle.panels
        here = {page.panel_id: page for page in self.pages()}
        self._following = True
        for page_id in here.keys() - {panel.id for panel in panels}:
            self.tabs.removeTab(self.tabs.indexOf(here[page_id]))
            here.pop(page_id).deleteLater()
        for at, panel in enumerate(panels):
            page = here.get(panel.id)
            if page is None:
                page = PanelPage(self._document, self._theme, panel.id, self.placing)
                page.picture_dropped.connect(self.picture_dropped)
                page.next_strength_wanted.connect(self.next_strength_wanted)
                page.probe_wanted.connect(self.probe_wanted)
                page.show_photo(self._strength)
            if self.tabs.indexOf(page) != at:
                self.tabs.insertTab(at, page, "")
            # An ampersand in a name is no mnemonic.
            self.tabs.setTabText(at, panel.name.replace("&", "&&") or self.tr("Panel"))
        self._following = False
        self._stack.setCurrentIndex(1 if panels else 0)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if [(p.id, p.name) for p in old.panels] != [(p.id, p.name) for p in new.panels]:
            self._take_panels()

    def _page_shown(self, at: int) -> None:
        """The user has turned to another page: select what its cursor is on."""
        view = self.current_view()
        if self._following or view is None or self.placing.active:
            return
        slot_id = view.current_slot_id()
        if slot_id is not None:
            self._document.select("slot", slot_id)
        else:
            self._document.select("panel", view.panel_id)

    def _selected(self, selection: Selection | None) -> None:
        """Turn to the page on which the selected place is."""
        panel_id = self._panel_with(selection)
        for page in self.pages():
            if page.panel_id == panel_id and page is not self.tabs.currentWidget():
                focused = self._focus_within()
                self._following = True
                self.tabs.setCurrentWidget(page)
                self._following = False
                if focused:
                    page.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _focus_within(self) -> bool:
        focused = self.window().focusWidget()
        return focused is not None and self.isAncestorOf(focused)

    def _panel_with(self, selection: Selection | None) -> str | None:
        if selection is not None and selection.kind == "panel":
            return selection.id
        slot_id = slot_of(self._document.vehicle, selection)
        for panel in self._document.vehicle.panels:
            if any(slot.id == slot_id for slot in panel.slots):
                return panel.id
        return None

    # --- how it is shown ------------------------------------------------------------------------

    def view_state(self) -> dict[str, ViewState]:
        """How every panel is turned, mirrored and zoomed, by panel id."""
        return {page.panel_id: page.view.view_state() for page in self.pages()}

    def show_as(self, states: Mapping[str, ViewState]) -> None:
        """Show the panels as they were; one that is not named stays as it is."""
        for page in self.pages():
            if page.panel_id in states:
                page.show_as(states[page.panel_id])

    def show_photos(self, strength: Strength) -> None:
        """Let the photos of the panels be seen so strongly."""
        self._strength = strength
        for page in self.pages():
            page.show_photo(strength)

    # --- placing --------------------------------------------------------------------------------

    def start_placing(self, payload: Payload | Mapping[str, Any]) -> bool:
        """Take an accessory up by keyboard: every slot shows its offer, the best has the cursor."""
        if not isinstance(payload, Payload):
            payload = Payload.read(payload)
        view = self.current_view()
        came_from = (QApplication.focusWidget(), self._document.selection)
        if view is None or not self.placing.begin(payload):
            return False
        self._from = came_from
        best = self.placing.after("", 1)
        if best is not None:
            self._document.select("slot", best)
            view = self.current_view() or view
        view.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def _go_back(self) -> None:
        """What was taken up is put back: keyboard and selection go where they were before."""
        (widget, selection), self._from = self._from, (None, None)
        if selection is None or is_there(self._document.vehicle, selection):
            kind, place_id = (None, "") if selection is None else (selection.kind, selection.id)
            self._document.select(kind, place_id)
        if widget is not None and isValid(widget) and widget.isVisible():
            widget.setFocus(Qt.FocusReason.OtherFocusReason)
