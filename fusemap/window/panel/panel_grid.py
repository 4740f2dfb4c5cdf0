"""The panel as a grid to look at and walk: cursor, selection, zoom. `PanelView` adds the doing.

In: the document and a panel's id; out: the selection told to the document. The grid fits its cards
to the room there is until the user zooms.
"""

from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractItemView, QTableView, QWidget

from fusemap.vehicle import PanelPhoto, Vehicle
from fusemap.window.document import Document, Selection
from fusemap.window.panel.panel_delegate import PanelDelegate
from fusemap.window.panel.panel_model import PanelModel
from fusemap.window.panel.slot_places import card_size, scaled
from fusemap.window.parts.later import Later
from fusemap.window.photo.backdrop import Backdrop, Strength
from fusemap.window.style.theme import Theme

Index = QModelIndex | QPersistentModelIndex
ZOOMS: Final = (0.6, 0.7, 0.8, 0.9, 1.0, 1.15, 1.35, 1.6, 2.0, 2.5, 3.0)
FITTED: Final = (0.9, 1.6)
"""How small and how large the grid makes its cards by itself."""


@dataclass(frozen=True, slots=True)
class ViewState:
    """How a panel is shown; `zoom` is `None` while it is fitted to its room."""

    quarter_turns: int = 0
    mirrored: bool = False
    zoom: float | None = None


class PanelGrid(QTableView):
    """One panel to look at. `hinted` tells that there may be something else to say about it."""

    hinted = Signal()

    def __init__(
        self, document: Document, theme: Theme, panel_id: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.theme = theme
        self.panel_id = panel_id
        self.panel_model = PanelModel(document, theme.style, panel_id, self)
        self.delegate = PanelDelegate(theme, self)
        self._showing = False
        self._telling = False
        self._fits_itself = True
        self._found_broken = Later(self._tell_hint, self)
        self.setObjectName(f"panel_{panel_id}")
        self.setModel(self.panel_model)
        self.setItemDelegate(self.delegate)
        self._set_up()
        self.panel_model.modelReset.connect(self._panel_reset)
        document.selected.connect(self._selected_elsewhere)
        document.changed.connect(self._vehicle_changed)
        self._panel_reset()
        self._name()

    def _set_up(self) -> None:
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setTabKeyNavigation(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for header in (self.horizontalHeader(), self.verticalHeader()):
            header.hide()
            header.setMinimumSectionSize(1)
        palette = self.palette()
        palette.setColor(palette.ColorRole.Base, self.theme.colour("window"))
        self.setPalette(palette)

    def _name(self) -> None:
        panels = {panel.id: panel.name for panel in self.document.vehicle.panels}
        name = panels.get(self.panel_id, "")
        self.setAccessibleName(self.tr("Fuse panel {name}").format(name=name))

    # --- what is chosen -------------------------------------------------------------------------

    def chosen(self) -> list[QModelIndex]:
        """The chosen cells, the current one first."""
        current = self.currentIndex()
        others = [index for index in self.selectedIndexes() if index != current]
        return [current, *others] if current.isValid() else others

    def current_slot_id(self) -> str | None:
        """The slot under the cursor."""
        slot = self.panel_model.slot(self.currentIndex())
        return None if slot is None else slot.id

    def go_to(self, slot_id: str) -> bool:
        """Put the cursor on a slot; False when it is not on this panel."""
        index = self.panel_model.index_of(slot_id)
        if not index.isValid():
            return False
        if index != self.currentIndex() or not self.selectionModel().isSelected(index):
            self.setCurrentIndex(index)
        self.scrollTo(index)
        return True

    def step(self, *, forward: bool, fuses: bool = False) -> None:
        """Go to the next slot in reading order, or back, with `fuses` past relays and the like.

        Stays on the last one.
        """
        columns = self.panel_model.columnCount()
        places = self.panel_model.rowCount() * columns
        at = self.currentIndex().row() * columns + self.currentIndex().column()
        order = range(at + 1, places) if forward else range(at - 1, -1, -1)
        for place in order:
            index = self.panel_model.index(*divmod(place, columns))
            slot = self.panel_model.slot(index)
            if slot is not None and (slot.kind == "fuse" or not fuses):
                self.setCurrentIndex(index)
                return

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Select in the document what the cursor is on."""
        super().currentChanged(current, previous)
        self.hinted.emit()
        if self._showing or not current.isValid():
            return
        slot = self.panel_model.slot(current)
        self._telling = True
        try:
            if slot is not None:
                self.document.select("slot", slot.id)
            else:
                self.document.select("panel", self.panel_id)
        finally:
            self._telling = False

    def _selected_elsewhere(self, selection: Selection | None) -> None:
        if not self._telling:
            self._show_selection()

    def _show_selection(self) -> None:
        """Put the cursor where the document's selection is; highlight nothing if it is no slot."""
        slot_id = slot_of(self.document.vehicle, self.document.selection)
        if slot_id is None:
            self.clearSelection()
            return
        if slot_id == self.current_slot_id() and self.selectedIndexes():
            return
        self._showing = True
        try:
            self.go_to(slot_id)
        finally:
            self._showing = False

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._name()
        self._show_photo()
        self.hinted.emit()

    def _panel_reset(self) -> None:
        self._fit_cards()
        self._show_photo()
        self._show_selection()
        self.hinted.emit()

    # --- the photo behind it --------------------------------------------------------------------

    @property
    def photo(self) -> PanelPhoto | None:
        """The panel's photo."""
        panels = {panel.id: panel for panel in self.document.vehicle.panels}
        panel = panels.get(self.panel_id)
        return None if panel is None else panel.photo

    @property
    def photo_broken(self) -> bool:
        """Whether there is a photo that was to be drawn and cannot be."""
        backdrop, shown = self.delegate.backdrop, self.delegate.strength != "off"
        return shown and backdrop is not None and backdrop.broken

    def show_photo(self, strength: Strength) -> None:
        """Let the photo be seen so strongly behind the slots."""
        self.delegate.strength = strength
        self._show_photo()
        self.viewport().update()

    def _tell_hint(self) -> None:
        self.hinted.emit()

    def _show_photo(self) -> None:
        """Lay the photo as the panel is turned; drawn when it is next painted."""
        photo, arrangement = self.photo, self.panel_model.arrangement
        old = self.delegate.backdrop
        if photo is None:
            self.delegate.backdrop = None
        elif old is None or not old.is_for(photo, arrangement):
            self.delegate.backdrop = Backdrop(photo, arrangement)
        if self.delegate.backdrop is not old:
            self.viewport().update()
            self._found_broken.start_when_painted(self.viewport())

    # --- how it is shown ------------------------------------------------------------------------

    def turn(self, quarters: int) -> None:
        """Turn the view clockwise by so many quarters."""
        now = self.panel_model.arrangement
        self.panel_model.arrange(now.quarter_turns + quarters, now.mirrored)

    def mirror(self) -> None:
        """Mirror the view left to right as it is on the screen, or take that back."""
        now = self.panel_model.arrangement
        # Mirroring what is turned: turning and mirroring do not swap, a quarter changes its way.
        self.panel_model.arrange(-now.quarter_turns, not now.mirrored)

    def view_state(self) -> "ViewState":
        """How the panel is turned, mirrored and zoomed, to be shown so again."""
        now = self.panel_model.arrangement
        return ViewState(now.quarter_turns, now.mirrored, None if self._fits_itself else self.zoom)

    def show_as(self, state: "ViewState") -> None:
        """Turn, mirror and zoom the panel as it was."""
        self.panel_model.arrange(state.quarter_turns, state.mirrored)
        self._fits_itself = state.zoom is None
        self._set_zoom(self._fitting() if state.zoom is None else state.zoom)

    # --- zoom -----------------------------------------------------------------------------------

    @property
    def zoom(self) -> float:
        """How much larger the cards are than the font of the window asks for."""
        return self.delegate.zoom

    def zoom_by(self, steps: int) -> None:
        """Larger or smaller by so many steps, and from now on as the user wants it."""
        self._fits_itself = False
        nearest = min(range(len(ZOOMS)), key=lambda n: abs(ZOOMS[n] - self.zoom))
        self._set_zoom(ZOOMS[max(0, min(len(ZOOMS) - 1, nearest + steps))])

    def zoom_whole(self) -> None:
        """As large as the whole panel fits, and from now on fitted to its room."""
        self._fits_itself = True
        self._fit_cards()

    def _fit_cards(self) -> None:
        self._set_zoom(self._fitting() if self._fits_itself else self.zoom)

    def _fitting(self) -> float:
        """The largest size at which the whole panel can be seen, or at least its whole width."""
        rows, columns = self.panel_model.rowCount(), self.panel_model.columnCount()
        room = self.maximumViewportSize()
        whole = self._largest(rows, columns, room.width(), room.height(), FITTED[1])
        if whole >= FITTED[0]:
            return whole
        bar = self.verticalScrollBar().sizeHint().width()
        return max(FITTED[0], self._largest(0, columns, room.width() - bar, room.height(), 1.0))

    def _largest(self, rows: int, columns: int, wide: int, high: int, zoom: float) -> float:
        """The largest size, from `zoom` down, at which so many rows and columns fit."""
        while zoom >= FITTED[0]:
            # A font grows in steps, so the size of a card is asked for, not reckoned.
            card = card_size(scaled(self.font(), zoom))
            if card.width() * columns <= wide and card.height() * rows <= high:
                return round(zoom, 2)
            zoom -= 0.04
        return 0.0

    def _set_zoom(self, zoom: float) -> None:
        self.delegate.zoom = zoom
        cell = card_size(scaled(self.font(), zoom))
        self.horizontalHeader().setDefaultSectionSize(cell.width())
        self.verticalHeader().setDefaultSectionSize(cell.height())
        self.horizontalScrollBar().setSingleStep(cell.width() // 4)
        self.verticalScrollBar().setSingleStep(cell.height() // 4)
        self.viewport().update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Ctrl and the wheel zoom."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_by(1 if event.angleDelta().y() > 0 else -1)
            event.accept()
        else:
            super().wheelEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the cards to the new room."""
        super().resizeEvent(event)
        self._fit_cards()

    def changeEvent(self, event: QEvent) -> None:
        """Another font makes other cards."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_fits_itself"):
            self._fit_cards()


def slot_of(vehicle: Vehicle, selection: Selection | None) -> str | None:
    """The slot that is selected, or that the selected tap or accessory sits on."""
    if selection is None:
        return None
    if selection.kind == "slot":
        return selection.id
    if selection.kind in ("tap", "accessory"):
        for tap in vehicle.taps:
            if selection.id in (tap.id, tap.accessory) and tap.slot is not None:
                return tap.slot
    return None
