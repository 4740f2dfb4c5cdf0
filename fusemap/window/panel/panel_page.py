"""One panel in its lid: the feed strip at the left, the cards, one line of what can be done.

In: the document and a panel's id. Out: edits of the panel's name and place; the buttons of the
view, `tools`, which the lid shows in its head. Turning, mirroring and zooming change the view only.
"""

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import QPoint, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QLinearGradient,
    QResizeEvent,
)
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from fusemap.vehicle import Panel, Slot, Vehicle, edits, look_up
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.fields import ChoiceField, TextField
from fusemap.window.panel.arrangement import ViewState
from fusemap.window.panel.feed_strip import FeedStrip
from fusemap.window.panel.hint_line import BETWEEN, HintLine
from fusemap.window.panel.panel_drop import Placing
from fusemap.window.panel.panel_model import LABEL
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.panel.slot_entry import ratings_words
from fusemap.window.panel.slot_words import family_name
from fusemap.window.photo.backdrop import Strength
from fusemap.window.style.signs import view_icon
from fusemap.window.style.theme import Theme, space

FOLDED: Final = 46
"""A page narrower than this (heights of its font) has the strip folded to marks and shares."""
ENLARGED, LARGEST = 88.0, 1.5
"""On a page wider than this (heights of its font) the strip grows with it, so much at most."""


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
        self.strip = FeedStrip(document, theme, panel_id)
        self.hint = HintLine()
        self.tools = QWidget()
        self._lay_out()
        self.strip.lit.connect(self.view.light)
        self.view.hinted.connect(self._show_hint)
        self.view.picture_dropped.connect(self.picture_dropped)
        self.view.probe_wanted.connect(self.probe_wanted)
        document.changed.connect(self._vehicle_changed)
        self._show_hint()

    @property
    def document(self) -> Document:
        """The vehicle in hand."""
        return self._document

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
        self._lay_out_tools()
        self.head = QWidget()
        head = QHBoxLayout(self.head)
        head.setContentsMargins(0, 0, 0, 0)
        head.setSpacing(space(self, "small"))
        head.addWidget(self.name, 1)
        head.addWidget(self.place)
        head.addStretch(1)
        self.head.hide()
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.strip)
        row.addWidget(self.view, 1)
        column = QVBoxLayout(self)
        # above and below the cards the way of what has no slot there finds room
        column.setContentsMargins(0, 2 * space(self, "small"), 0, 0)
        column.setSpacing(2 * space(self, "small"))
        column.addWidget(self.head)
        column.addLayout(row, 1)
        column.addWidget(self.hint)
        self.hint.setObjectName(f"panelHint_{self.panel_id}")

    def _lay_out_tools(self) -> None:
        row = QHBoxLayout(self.tools)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(self, "hair"))
        buttons = self._buttons()
        for button in buttons:
            row.addWidget(button)
        yielding = ("smaller", "whole", "larger", "turn_left")
        self._yielding = [b for b in buttons if b.objectName().startswith(yielding)]

    def show_tools(self, *, few: bool) -> None:
        """Show all buttons, or those alone that no key and no menu of the view has at hand."""
        for button in self._yielding:
            button.setVisible(not few)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The strip folds where the page is narrow, and the cards' ground follows the lid's."""
        wide = self.width() / self.fontMetrics().height()
        self.strip.fold(wide < FOLDED)
        self.strip.enlarge(min(LARGEST, max(1.0, wide / ENLARGED)))
        super().resizeEvent(event)

    def ground_on(self, lid: QWidget, top: str, bottom: str) -> None:
        """Let the cards lie on the ground of the lid: a shade from its top to its bottom."""
        shade = QLinearGradient(0, 0, 0, lid.height())
        for at, role in ((0.0, top), (1.0, bottom)):
            shade.setColorAt(at, self._theme.colour(role))
        brush = QBrush(shade)
        brush.setTransform(brush.transform().translate(0, -self.view.mapTo(lid, QPoint()).y()))
        self.view.lie_on(brush)

    def _buttons(self) -> list[QToolButton]:
        self.mirror_button = self._button(
            "mirror",
            self.tr("Mirror the view, as seen in a mirror or from behind"),
            self.mirror,
        )
        self.mirror_button.setCheckable(True)
        self.name_button = self._button(
            "name", self.tr("Name and place of the panel"), self._show_name
        )
        self.name_button.setCheckable(True)
        self.photo_button = self._button("photo", self.tr("Photo of the lid"), self._photo_more)
        self.photo_button.setVisible(self.view.photo is not None)
        return [
            self.name_button,
            self.photo_button,
            self._turn_button("turn_left", self.tr("Turn the view to the left"), -1),
            self._turn_button("turn_right", self.tr("Turn the view to the right"), 1),
            self.mirror_button,
            self._button("smaller", self.tr("Smaller (Ctrl and −)"), lambda: self.view.zoom_by(-1)),
            self._button("whole", self.tr("Fit the panel (Ctrl and 0)"), self.view.zoom_whole),
            self._button("larger", self.tr("Larger (Ctrl and +)"), lambda: self.view.zoom_by(1)),
        ]

    def _show_name(self) -> None:
        """Show the fields of name and place, or no longer."""
        self.head.setVisible(self.name_button.isChecked())
        if self.name_button.isChecked():
            self.name.setFocus(Qt.FocusReason.OtherFocusReason)

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
        self.hint.tell(self._hint())

    def _hint(self) -> str:
        """What can be done now, in one line or two."""
        view, placing = self.view, self.view.placing
        if placing.accessory is not None:
            words = view.words_for(view.pointed())
            name = placing.accessory.name
            if view.drags.active:
                # a sentence for which there is no room is left out whole
                said = words.rstrip(".").replace(". ", BETWEEN)
                return said or self.tr("Drop {name} on a slot with a tick.").format(name=name)
            keys = self.tr("Tab: next best slot · Enter: put it here · Escape: put it back")
            if not placing.ranked and placing.waits_for_readings:
                keys = self.tr(
                    "no slot can take it yet: measure when they are live · Escape: put it back"
                )
            elif not placing.ranked and placing.wants_a_converter:
                keys = self.tr(
                    "made for another voltage: behind a converter · Enter: how · "
                    "Escape: put it back"
                )
            elif not placing.ranked:
                keys = self.tr("no slot can take it; give it an own feed · Escape: put it back")
            # what a slot says first stays longest, unless there is no slot at all
            first, _, rest = words.partition(". ") if placing.ranked else ("", "", words)
            return BETWEEN.join(part for part in (name, first, keys, rest) if part)
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
