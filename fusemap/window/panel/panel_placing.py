"""The panel as a place to put accessories: by dragging, and by keyboard.

While something is being placed every slot shows its offer; a slot that cannot take it refuses and
says why. Tab goes to the next best slot, Enter drops, Escape puts it back.
"""

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, Qt
from PySide6.QtGui import (
    QCursor,
    QDrag,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QKeyEvent,
    QMouseEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QToolTip, QWidget

from fusemap.vehicle import look_up
from fusemap.window.document import Document
from fusemap.window.panel.panel_drop import Placing, payload_of
from fusemap.window.panel.panel_grid import PanelGrid
from fusemap.window.panel.slot_words import candidate_words
from fusemap.window.style.theme import Theme

_ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_ARROWS: Final = (
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_Home,
    Qt.Key.Key_End,
)


class PlacingGrid(PanelGrid):
    """One panel to put accessories on. `placing` is shared by the panels of one window."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        panel_id: str,
        placing: Placing | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(document, theme, panel_id, parent)
        self.placing = placing or Placing(document, theme.style, self)
        self.dragging = False
        self.setDragEnabled(True)
        self.setAcceptDrops(True)
        self.setDropIndicatorShown(False)
        self.placing.changed.connect(self._placing_changed)
        self._placing_changed()

    # --- placing by keyboard --------------------------------------------------------------------

    def placing_key(self, event: QKeyEvent) -> None:
        """A key while something is being placed; the arrows walk as ever."""
        if event.key() == Qt.Key.Key_Escape:
            self.placing.put_back()
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
        style = self.theme.style
        name = style.show(look_up.slot_words(slot))
        first = f"{name} {candidate_words(offer.candidate, style)}"
        said = (first, *(style.show(reason) for reason in offer.candidate.reasons[1:]))
        return " ".join(f"{each.rstrip('.')}." for each in said)

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
        refusal = "" if slot is None else self.placing.refusal_words(slot.id)
        if slot is not None and not refusal:
            QToolTip.hideText()
            event.acceptProposedAction()
        else:
            event.ignore()
        if refusal:
            QToolTip.showText(self.viewport().mapToGlobal(where), refusal, self)

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        """Let go over a slot that cannot take it: say why; otherwise it went elsewhere."""
        super().dragLeaveEvent(event)
        slot = self.panel_model.slot(self._target())
        inside = self.viewport().rect().contains(self.viewport().mapFromGlobal(QCursor.pos()))
        if slot is not None and inside:
            self.placing.refuse(slot.id)
        self._end_drag()

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
