"""The panel as it looks under the dash: slots to type on, and to drop accessories onto.

Keys: arrows walk; a rating, a circuit or both are typed (``15 Radio``), Enter stores and goes on;
Space opens the marks, a letter each; Delete takes the fuse out, then the slot; Insert fills a gap.
While something is being placed: Tab goes to the next best slot, Enter drops, Escape puts it back.
"""

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, Qt
from PySide6.QtGui import (
    QContextMenuEvent,
    QCursor,
    QDrag,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
)
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QToolTip, QWidget

from fusemap.vehicle import look_up
from fusemap.window.document import Document
from fusemap.window.panel_commands import PanelCommands
from fusemap.window.panel_drop import Payload, Placing, payload_of
from fusemap.window.panel_grid import Index, PanelGrid
from fusemap.window.panel_menu import context_menu, marks_menu
from fusemap.window.panel_model import LABEL
from fusemap.window.slot_words import candidate_words
from fusemap.window.theme import Theme

_ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_ARROWS: Final = (
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_Home,
    Qt.Key.Key_End,
)


class PanelView(PanelGrid):
    """One panel to work on. `placing` is shared by the panels of one window."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        panel_id: str,
        placing: Placing | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(document, theme, panel_id, parent)
        self.placing = placing or Placing(document, self)
        self.commands = PanelCommands(document, self.panel_model, self)
        self.dragging = False
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        self.setDragEnabled(True)
        self.setAcceptDrops(True)
        self.setDropIndicatorShown(False)
        self.placing.changed.connect(self._placing_changed)
        self._placing_changed()

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

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """After Enter or Tab go on to the next slot, unless what was typed was refused."""
        hints = QAbstractItemDelegate.EndEditHint
        self.delegate.editing_role = int(Qt.ItemDataRole.EditRole)
        super().closeEditor(editor, hints.NoHint)
        self.hinted.emit()
        done, self.delegate.done = self.delegate.done, True
        if done and hint in (hints.EditNextItem, hints.EditPreviousItem, hints.SubmitModelCache):
            self.step(forward=hint != hints.EditPreviousItem)

    def edit(self, index: Index, *how: Any) -> Any:
        """Open the line on a cell; the hint then names the ratings."""
        opened = super().edit(index, *how)
        self.hinted.emit()
        return opened

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walking and typing; other keys while something is being placed."""
        if self.placing.active:
            self._placing_key(event)
        elif not self._command_key(event):
            super().keyPressEvent(event)

    def _command_key(self, event: QKeyEvent) -> bool:
        """Do what a key stands for; False when it stands for nothing here."""
        standard = QKeySequence.StandardKey
        held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        shift = held == Qt.KeyboardModifier.ShiftModifier
        if event.matches(standard.ZoomIn):
            self.zoom_by(1)
        elif event.matches(standard.ZoomOut):
            self.zoom_by(-1)
        elif event.key() == Qt.Key.Key_F2:
            self.edit_label() if shift else self.edit_entry()
        elif event.key() == Qt.Key.Key_Delete and held == Qt.KeyboardModifier.ControlModifier:
            self.commands.remove_slots()
        elif event.text() in _COMMANDS or event.key() in _KEYS:
            (_COMMANDS.get(event.text()) or _KEYS[Qt.Key(event.key())])(self)
        else:
            return False
        return True

    def open_marks(self) -> None:
        """The marks of the chosen slots, a letter each, below the cursor."""
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
        context_menu(self.commands, self).popup(where)

    # --- placing by keyboard --------------------------------------------------------------------

    def start_placing(self, payload: Payload) -> bool:
        """Take an accessory up, show every slot's offer and go to the best."""
        if not self.placing.begin(payload):
            return False
        best = self.placing.after("", 1)
        if best is not None:
            self.document.select("slot", best)
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def _placing_key(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.placing.end()
        elif event.key() in _ENTER:
            slot_id = self.current_slot_id()
            if slot_id is not None:
                self.placing.drop(slot_id)
        elif event.key() in _ARROWS:
            super().keyPressEvent(event)
        else:
            event.ignore()

    def focusNextPrevChild(self, next: bool) -> bool:
        """While something is being placed, Tab goes to the next best slot."""
        if not self.placing.active:
            return super().focusNextPrevChild(next)
        to = self.placing.after(self.current_slot_id() or "", 1 if next else -1)
        if to is not None:
            self.document.select("slot", to)
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click drops what was taken up by keyboard."""
        slot = self.panel_model.slot(self.indexAt(event.position().toPoint()))
        if self.placing.active and event.button() == Qt.MouseButton.LeftButton:
            if slot is not None:
                self.placing.drop(slot.id)
        else:
            super().mousePressEvent(event)

    def _placing_changed(self) -> None:
        self.panel_model.show_offers(self.placing.offers)
        if not self.placing.active:
            self._aim(QModelIndex())
        self.hinted.emit()

    def words_for(self, index: QModelIndex) -> str:
        """What a cell says to what is being placed, with its reasons."""
        slot = self.panel_model.slot(index)
        offer = self.placing.offers.get(slot.id) if slot is not None else None
        if slot is None or offer is None:
            return ""
        first = f"{look_up.slot_name(slot)} {candidate_words(offer.candidate)}".rstrip(".")
        return ". ".join([first, *(r.rstrip(".") for r in offer.candidate.reasons[1:])]) + "."

    # --- dragging -------------------------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Show every slot's offer as soon as an accessory comes in."""
        payload = payload_of(event.mimeData())
        if payload is None or not self.placing.begin(payload):
            event.ignore()
            return
        self.dragging = True
        event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """Only a slot that can take it accepts; one that cannot says why."""
        super().dragMoveEvent(event)  # scrolls near the edge
        where = event.position().toPoint()
        index = self.indexAt(where)
        self._aim(index)
        slot = self.panel_model.slot(index)
        refusal = None if slot is None else self.placing.refusal(slot.id)
        if slot is not None and refusal is None:
            QToolTip.hideText()
            event.acceptProposedAction()
        else:
            event.ignore()
        if refusal is not None:
            QToolTip.showText(self.viewport().mapToGlobal(where), str(refusal), self)

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        """Let go over a slot that cannot take it: say why; otherwise it went elsewhere."""
        super().dragLeaveEvent(event)
        slot = self.panel_model.slot(self._target())
        inside = self.viewport().rect().contains(self.viewport().mapFromGlobal(QCursor.pos()))
        refusal = self.placing.refusal(slot.id) if slot is not None and inside else None
        self._end_drag()
        if refusal is not None:
            self.document.refused.emit(refusal)

    def dropEvent(self, event: QDropEvent) -> None:
        """One step of the history, or the reason why not."""
        index = self.indexAt(event.position().toPoint())
        slot = self.panel_model.slot(index)
        self.stopAutoScroll()
        self.setState(QAbstractItemView.State.NoState)
        if slot is not None and self.placing.drop(slot.id):
            event.acceptProposedAction()
            self.document.select("slot", slot.id)
        else:
            event.ignore()
        self._end_drag()

    def startDrag(self, supportedActions: Qt.DropAction) -> None:  # noqa: N803
        """Drag the accessory tapped on the cursor's slot to another slot."""
        drag = QDrag(self)
        drag.setMimeData(self.panel_model.mimeData([self.currentIndex()]))
        cell = self.visualRect(self.currentIndex())
        drag.setPixmap(self.viewport().grab(cell))
        drag.setHotSpot(QPoint(cell.width() // 2, cell.height() // 2))
        drag.exec(Qt.DropAction.MoveAction)

    def _end_drag(self) -> None:
        self.dragging = False
        QToolTip.hideText()
        self.placing.end()

    def _aim(self, index: QModelIndex) -> None:
        """Draw the cell that the drag is over as such."""
        old = self._target()
        if index != old:
            self.delegate.target = QPersistentModelIndex(index)
            self.update(old)
            self.update(index)
            self.hinted.emit()

    def _target(self) -> QModelIndex:
        target = self.delegate.target
        return self.panel_model.index(target.row(), target.column())

    def pointed(self) -> QModelIndex:
        """The cell that a drag is over, else the cell of the cursor."""
        target = self._target()
        return target if target.isValid() else self.currentIndex()


_COMMANDS: Final[dict[str, Callable[[PanelView], object]]] = {
    " ": PanelView.open_marks,
    "!": lambda view: view.commands.toggle_critical(),
    "?": lambda view: view.commands.set_feed_class("unknown"),
}
_KEYS: Final[dict[Qt.Key, Callable[[PanelView], object]]] = {
    Qt.Key.Key_Return: PanelView.edit_entry,
    Qt.Key.Key_Enter: PanelView.edit_entry,
    Qt.Key.Key_Delete: lambda view: view.commands.clear(),
    Qt.Key.Key_Backspace: lambda view: view.commands.clear(),
    Qt.Key.Key_Insert: lambda view: view.commands.add_slots(),
}
