"""The panel as it looks under the dash: slots to type on, and to drop accessories onto.

Keys: arrows walk; a rating, a circuit or both are typed (``15 Radio``), Enter stores and goes on;
Space opens the marks, a letter each; Delete takes the fuse out, then the slot; Insert fills a gap.
While something is being placed: Tab goes to the next best slot, Enter drops, Escape puts it back.
"""

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import QMimeData, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QDragEnterEvent,
    QDragMoveEvent,
    QDropEvent,
    QKeyEvent,
    QKeySequence,
)
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QWidget

from fusemap.window.document import Document
from fusemap.window.panel.panel_commands import PanelCommands
from fusemap.window.panel.panel_drop import Payload, Placing, payload_of
from fusemap.window.panel.panel_grid import Index
from fusemap.window.panel.panel_menu import context_menu, marks_menu
from fusemap.window.panel.panel_model import LABEL
from fusemap.window.panel.panel_placing import PlacingGrid
from fusemap.window.parts.dropped import take_copy
from fusemap.window.photo import taking
from fusemap.window.style.theme import Theme


def holds_picture(mime: QMimeData) -> bool:
    """Whether what is dragged is a picture and no accessory."""
    return payload_of(mime) is None and taking.holds_picture(mime)


class PanelView(PlacingGrid):
    """One panel to work on. A picture let go over it is told of with the panel.

    `probe_wanted` asks to read a slot now.
    """

    picture_dropped = Signal(str, object)
    probe_wanted = Signal(str)

    def __init__(
        self,
        document: Document,
        theme: Theme,
        panel_id: str,
        placing: Placing | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(document, theme, panel_id, placing, parent)
        self.commands = PanelCommands(document, self.panel_model, self)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )

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
        slot = self.panel_model.slot(self.currentIndex())
        # Who types ratings down a lid has no line there for a relay.
        fuses = slot is not None and slot.kind == "fuse" and self.delegate.editing_role != LABEL
        self.delegate.editing_role = int(Qt.ItemDataRole.EditRole)
        super().closeEditor(editor, hints.NoHint)
        self.hinted.emit()
        done, self.delegate.done = self.delegate.done, True
        if done and hint in (hints.EditNextItem, hints.EditPreviousItem, hints.SubmitModelCache):
            self.step(forward=hint != hints.EditPreviousItem, fuses=fuses)

    def edit(self, index: Index, *how: Any) -> Any:
        """Open the line on a cell; the hint then names the ratings."""
        opened = super().edit(index, *how)
        self.hinted.emit()
        return opened

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walking and typing; other keys while something is being placed."""
        if self.placing.active:
            self.placing_key(event)
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

    # --- a picture dropped here -----------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """A picture may be dropped anywhere on the panel."""
        if holds_picture(event.mimeData()):
            take_copy(event)
        else:
            super().dragEnterEvent(event)

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """A picture goes over slots and gaps alike."""
        if holds_picture(event.mimeData()):
            take_copy(event)
        else:
            super().dragMoveEvent(event)

    def dropEvent(self, event: QDropEvent) -> None:
        """A picture becomes the photo of this panel."""
        if not holds_picture(event.mimeData()):
            super().dropEvent(event)
            return
        picture = taking.picture_in(event.mimeData())
        if picture is not None:
            take_copy(event)
            self.picture_dropped.emit(self.panel_id, picture)

    def place(self, payload: Payload, slot_id: str) -> None:
        """Put an accessory on a slot as a drop does, or let the document say why not."""
        if self.placing.begin(payload):
            self.placing.drop(slot_id)
            self.placing.end()

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
