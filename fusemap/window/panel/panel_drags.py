"""Drags over a panel: an accessory to a slot, a picture to the panel, a tapped lead off its slot.

In: the events that the view is told of, and what is being placed. Out: one step of the history at
the drop, or why not; `moved`, so that the cell under the drag can be spoken of.
"""

from PySide6.QtCore import (
    QMimeData,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPoint,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QCursor,
    QDrag,
    QDragEnterEvent,
    QDragMoveEvent,
    QDropEvent,
)
from PySide6.QtWidgets import QTableView, QToolTip

from fusemap.window.panel.panel_delegate import PanelDelegate
from fusemap.window.panel.panel_drop import Placing, payload_of
from fusemap.window.panel.panel_model import PanelModel
from fusemap.window.parts.drag_out import carry, is_given_up
from fusemap.window.parts.dropped import take_copy
from fusemap.window.photo import taking


def holds_picture(mime: QMimeData) -> bool:
    """Whether what is dragged is a picture and no accessory."""
    return payload_of(mime) is None and taking.holds_picture(mime)


class PanelDrags(QObject):
    """What is dragged over one panel. The view hands its drag events on to this."""

    moved = Signal()
    """The drag is over another cell, or over none."""
    picture_dropped = Signal(object)
    """A picture was let go over the panel: its file, or itself."""

    def __init__(
        self, view: QTableView, model: PanelModel, delegate: PanelDelegate, placing: Placing
    ) -> None:
        super().__init__(view)
        self._view = view
        self._model = model
        self._delegate = delegate
        self._placing = placing
        self.active = False

    # --- in, over and out -----------------------------------------------------------------------

    def enter(self, event: QDragEnterEvent) -> None:
        """Show every slot's offer as soon as an accessory comes in; take a picture anywhere."""
        if holds_picture(event.mimeData()):
            take_copy(event)
            return
        payload = payload_of(event.mimeData())
        if payload is None or not self._placing.begin(payload):
            event.ignore()
            return
        self.active = True
        event.acceptProposedAction()

    def move(self, event: QDragMoveEvent) -> None:
        """Only a slot that can take it accepts; one that cannot says why."""
        if holds_picture(event.mimeData()):
            take_copy(event)
            return
        where = event.position().toPoint()
        index = self._view.indexAt(where)
        self.aim(index)
        slot = self._model.slot(index)
        refusal = "" if slot is None else self._placing.refusal_words(slot.id)
        if slot is not None and not refusal:
            QToolTip.hideText()
            event.acceptProposedAction()
        else:
            event.ignore()
        if refusal:
            QToolTip.showText(self._view.viewport().mapToGlobal(where), refusal, self._view)

    def leave(self) -> None:
        """Let go over a slot that cannot take it: say why; otherwise it went elsewhere."""
        slot, viewport = self._model.slot(self.target()), self._view.viewport()
        inside = viewport.rect().contains(viewport.mapFromGlobal(QCursor.pos()))
        if slot is not None and inside and not is_given_up():
            self._placing.refuse(slot.id)
        self._end()

    def drop(self, event: QDropEvent) -> None:
        """One step of the history, or the reason why not; a picture is told of."""
        if holds_picture(event.mimeData()):
            picture = taking.picture_in(event.mimeData())
            if picture is not None:
                take_copy(event)
                self.picture_dropped.emit(picture)
            return
        slot = self._model.slot(self._view.indexAt(event.position().toPoint()))
        if slot is not None and self._placing.drop(slot.id):
            event.acceptProposedAction()
            self._model.document.select("slot", slot.id)
        else:
            event.ignore()
        self._end()

    def start(self) -> None:
        """Drag the accessory tapped on the cursor's slot to another slot."""
        current = self._view.currentIndex()
        cell = self._view.visualRect(current)
        drag = QDrag(self._view)
        drag.setMimeData(self._model.mimeData([current]))
        drag.setPixmap(self._view.viewport().grab(cell))
        drag.setHotSpot(QPoint(cell.width() // 2, cell.height() // 2))
        carry(drag, Qt.DropAction.MoveAction)

    def _end(self) -> None:
        self.active = False
        QToolTip.hideText()
        self._placing.end()

    # --- where it is ----------------------------------------------------------------------------

    def aim(self, index: QModelIndex) -> None:
        """Draw the cell that the drag is over as such."""
        old = self.target()
        if index != old:
            self._delegate.target = QPersistentModelIndex(index)
            self._view.update(old)
            self._view.update(index)
            self.moved.emit()
            slot = self._model.slot(index)
            self._placing.pointed.emit("" if slot is None else slot.id)

    def target(self) -> QModelIndex:
        """The cell that the drag is over; not valid where it is over none."""
        target = self._delegate.target
        return self._model.index(target.row(), target.column())
