"""The panel as it looks under the dash: slots to type on, and to drop accessories onto.

In: the document and a panel's id. Out: the selection told to the document, and what is done on the
panel as steps of the history. The view shows cursor, selection, offers and photo; what keys do is
said in `panel_keys`, what drags do in `panel_drags`, how large the cards are in `panel_delegate`.
"""

from typing import Any

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QContextMenuEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QTableView, QWidget

from fusemap.vehicle import PanelPhoto, Vehicle
from fusemap.window.document import Document, Selection, slot_of
from fusemap.window.panel.arrangement import ViewState
from fusemap.window.panel.panel_commands import PanelCommands
from fusemap.window.panel.panel_delegate import PanelDelegate, PanelZoom
from fusemap.window.panel.panel_drags import PanelDrags, holds_picture
from fusemap.window.panel.panel_drop import Payload, Placing
from fusemap.window.panel.panel_keys import PanelKeys, context_menu, marks_menu
from fusemap.window.panel.panel_model import LABEL, PanelModel
from fusemap.window.parts.later import Later
from fusemap.window.photo.backdrop import Backdrop, Strength
from fusemap.window.photo.beside import PieceBeside
from fusemap.window.style.theme import Theme

Index = QModelIndex | QPersistentModelIndex


class PanelView(QTableView):
    """One panel to work on. `placing` is shared by the panels of one window."""

    hinted = Signal()
    """There may be something else to say about it."""
    picture_dropped = Signal(str, object)
    """A picture was let go over this panel."""
    probe_wanted = Signal(str)
    """A slot to be read now."""
    moved = Signal()
    """Its cards stand elsewhere."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        panel_id: str,
        placing: Placing | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.theme = theme
        self.panel_id = panel_id
        self.placing = placing or Placing(document, theme.style, self)
        self.panel_model = PanelModel(document, theme.style, panel_id, self)
        self.delegate = PanelDelegate(theme, self)
        self.commands = PanelCommands(document, self.panel_model, self)
        self.keys = PanelKeys(self)
        self.drags = PanelDrags(self, self.panel_model, self.delegate, self.placing)
        self.card_zoom = PanelZoom(self, self.delegate)
        self._showing = False
        self._telling = False
        self._found_broken = Later(self.hinted.emit, self)
        self.beside = PieceBeside(self.viewport())
        self.setObjectName(f"panel_{panel_id}")
        self.setModel(self.panel_model)
        self.setItemDelegate(self.delegate)
        self._set_up()
        self.panel_model.modelReset.connect(self._panel_reset)
        self.placing.changed.connect(self._placing_changed)
        self.placing.waits.connect(self._placing_changed)
        self.drags.moved.connect(self.hinted)
        self.drags.picture_dropped.connect(self._picture_dropped)
        document.selected.connect(self._selected_elsewhere)
        document.changed.connect(self._vehicle_changed)
        self._panel_reset()
        self._placing_changed()
        self._name()

    def _set_up(self) -> None:
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        self.setDragEnabled(True)
        self.setAcceptDrops(True)
        self.setDropIndicatorShown(False)
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setTabKeyNavigation(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for header in (self.horizontalHeader(), self.verticalHeader()):
            header.hide()
            header.setMinimumSectionSize(1)
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.viewport().setAutoFillBackground(False)
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def lie_on(self, ground: QBrush) -> None:
        """Draw the cards on this ground, which is that of the lid."""
        if ground != self.delegate.ground:
            self.delegate.ground = ground
            self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The cards on their ground."""
        painter = QPainter(self.viewport())
        painter.fillRect(event.rect(), self.delegate.ground)
        painter.end()
        super().paintEvent(event)

    def light(self, slots: frozenset[str]) -> None:
        """Let these slots be seen as those of one feed."""
        if slots != self.delegate.lit:
            self.delegate.lit = slots
            self.viewport().update()

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

    def _choose_again(self, point: QPoint) -> None:
        """A press on the slot the cursor is on already: meanwhile something else may be chosen."""
        slot = self.panel_model.slot(self.indexAt(point))
        if slot is not None and slot_of(self.document.vehicle, self.document.selection) != slot.id:
            self.document.select("slot", slot.id)

    def _selected_elsewhere(self, selection: Selection | None) -> None:
        if not self._telling:
            self._show_selection()

    def _show_selection(self) -> None:
        """Put the cursor where the document's selection is; highlight nothing if it is no slot."""
        if (slot_id := slot_of(self.document.vehicle, self.document.selection)) is None:
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
        self.card_zoom.fit()
        self._show_photo()
        self._show_selection()
        self.hinted.emit()
        self.moved.emit()

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

    def view_state(self) -> ViewState:
        """How the panel is turned, mirrored and zoomed, to be shown so again."""
        now = self.panel_model.arrangement
        return ViewState(now.quarter_turns, now.mirrored, self.card_zoom.chosen)

    def show_as(self, state: ViewState) -> None:
        """Turn, mirror and zoom the panel as it was."""
        self.panel_model.arrange(state.quarter_turns, state.mirrored)
        self.card_zoom.choose(state.zoom)

    @property
    def zoom(self) -> float:
        """How much larger the cards are than the font of the window asks for."""
        return self.card_zoom.factor

    def zoom_by(self, steps: int) -> None:
        """Larger or smaller by so many steps, and from now on as the user wants it."""
        self.card_zoom.step(steps)
        self.moved.emit()

    def zoom_whole(self) -> None:
        """As large as the whole panel fits, and from now on fitted to its room."""
        self.card_zoom.choose(None)
        self.moved.emit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Ctrl and the wheel zoom."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_by(1 if event.angleDelta().y() > 0 else -1)
            event.accept()
        else:
            super().wheelEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the cards to the new room."""
        self.card_zoom.fit()
        super().resizeEvent(event)
        self.moved.emit()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        """The cards are scrolled."""
        super().scrollContentsBy(dx, dy)
        self.moved.emit()

    def changeEvent(self, event: QEvent) -> None:
        """Another font makes other cards."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "card_zoom"):
            self.card_zoom.fit()

    # --- typing ---------------------------------------------------------------------------------

    def edit_entry(self) -> None:
        """Open the line for rating and circuit on the cursor's slot."""
        self._edit_now(int(Qt.ItemDataRole.EditRole))

    def edit_label(self) -> None:
        """Open the line for the label."""
        self._edit_now(LABEL)

    def _edit_now(self, role: int) -> None:
        # A key that the open line lets through, such as Enter, comes by here once more.
        if self.state() != QAbstractItemView.State.EditingState:
            self.delegate.editing_role = role
            self.edit(self.currentIndex())

    def commitData(self, editor: QWidget) -> None:
        """Store what was typed. Enter stores a turn of the event loop later: a line that was left
        meanwhile is stored and closed already, and no other is touched.
        """
        if editor is self.delegate.line:
            super().commitData(editor)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """After Enter or Tab go on to the next slot, unless what was typed was refused."""
        if editor is not self.delegate.line:
            return
        hints = QAbstractItemDelegate.EndEditHint
        slot = self.panel_model.slot(self.currentIndex())
        # Who types ratings down a lid has no line there for a relay.
        fuses = slot is not None and slot.kind == "fuse" and self.delegate.editing_role != LABEL
        self.delegate.editing_role = int(Qt.ItemDataRole.EditRole)
        super().closeEditor(editor, hints.NoHint)
        self.beside.hide()
        self.hinted.emit()
        done, self.delegate.done = self.delegate.done, True
        if done and hint in (hints.EditNextItem, hints.EditPreviousItem, hints.SubmitModelCache):
            self.step(forward=hint != hints.EditPreviousItem, fuses=fuses)

    def edit(self, index: Index, *how: Any) -> Any:
        """Open the line on a cell; the hint then names the ratings, the photo shows its piece."""
        opened = super().edit(index, *how)
        self._show_beside(index)
        self.hinted.emit()
        return opened

    def _show_beside(self, index: Index) -> None:
        """The piece of the photo beside the line, while one is open."""
        slot = self.panel_model.slot(index)
        if self.delegate.editing and slot is not None and self.photo is not None:
            self.beside.show_slot(self.document.vehicle, slot)
            self.beside.stand_by(self.delegate.line_place(self.visualRect(index), self))

    # --- keys and menus -------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """What the keys of a panel do; the table walks, and opens the line for what is typed."""
        if not self.keys.press(event):
            super().keyPressEvent(event)

    def probe(self, slot_id: str) -> None:
        """Ask for a slot to be read now."""
        self.probe_wanted.emit(slot_id)

    def open_marks(self) -> None:
        """The marks of the chosen slots, a key each, below the cursor."""
        menu = marks_menu(self.commands, self.theme, self)
        cell = self.visualRect(self.currentIndex())
        menu.popup(self.viewport().mapToGlobal(cell.bottomLeft()))

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Everything that can be done to the chosen cells."""
        index, where = self.indexAt(event.pos()), event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            index = self.currentIndex()
            where = self.viewport().mapToGlobal(self.visualRect(index).center())
        if index.isValid() and not self.selectionModel().isSelected(index):
            self.setCurrentIndex(index)
        context_menu(self, self.document.vehicle, self.theme.style, self).popup(where)

    # --- placing --------------------------------------------------------------------------------

    def place(self, payload: Payload, slot_id: str) -> None:
        """Put an accessory on a slot as a drop does, or let the document say why not."""
        if self.placing.begin(payload):
            self.placing.drop(slot_id)
            self.placing.end()

    def focusNextPrevChild(self, next: bool) -> bool:
        """While something is being placed, Tab goes to the next best slot."""
        if not self.placing.active:
            return super().focusNextPrevChild(next)
        if to := self.placing.after(self.current_slot_id() or "", 1 if next else -1):
            self.document.select("slot", to)
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click drops what was taken up by keyboard."""
        if self.placing.active and event.button() == Qt.MouseButton.LeftButton:
            if slot := self.panel_model.slot(self.indexAt(event.position().toPoint())):
                self.placing.drop(slot.id)
        else:
            super().mousePressEvent(event)
            self._choose_again(event.position().toPoint())

    def _placing_changed(self) -> None:
        self.panel_model.show_offers(self.placing.shown)
        self.delegate.waiting = self.placing.waiting
        if not self.placing.active:
            self.drags.aim(QModelIndex())
        self.hinted.emit()

    def pointed(self) -> QModelIndex:
        """The cell that a drag is over, else the cell of the cursor."""
        target = self.drags.target()
        return target if target.isValid() else self.currentIndex()

    def words_for(self, index: QModelIndex) -> str:
        """What a cell says to what is being placed, with its reasons."""
        slot = self.panel_model.slot(index)
        return "" if slot is None else self.placing.offer_words(slot.id)

    # --- dragging -------------------------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """An accessory shows the offers; a picture may be dropped anywhere on the panel."""
        self.drags.enter(event)

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """A slot takes an accessory or not; a picture goes over slots and gaps alike."""
        if not holds_picture(event.mimeData()):
            super().dragMoveEvent(event)  # scrolls near the edge
        self.drags.move(event)

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        """It went elsewhere, or was let go where it cannot be."""
        super().dragLeaveEvent(event)
        self.drags.leave()

    def dropEvent(self, event: QDropEvent) -> None:
        """An accessory goes onto the slot; a picture becomes the photo of this panel."""
        self.stopAutoScroll()
        self.setState(QAbstractItemView.State.NoState)
        self.drags.drop(event)

    def startDrag(self, supportedActions: Qt.DropAction) -> None:  # noqa: N803
        """Drag the accessory tapped on the cursor's slot to another slot."""
        self.drags.start()

    def _picture_dropped(self, picture: object) -> None:
        self.picture_dropped.emit(self.panel_id, picture)
