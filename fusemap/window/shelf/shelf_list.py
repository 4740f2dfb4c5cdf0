"""A list of the shelf: the vehicle's accessories, or the generic kinds.

In: `ShelfRow`s. Out: rows that can be dragged, taken up with Enter, renamed in place. Signals name
what is meant by its `Payload`.
"""

from typing import Any, Final

from PySide6.QtCore import (
    QAbstractListModel,
    QItemSelection,
    QMimeData,
    QModelIndex,
    QObject,
    QPoint,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QDrag, QFocusEvent, QKeyEvent, QPainter, QPen, QPixmap
from PySide6.QtWidgets import QStyleOptionViewItem, QWidget

from fusemap.text import Style
from fusemap.window.panel.panel_drop import Payload, mime_of
from fusemap.window.parts.drag_out import carry
from fusemap.window.parts.row_list import LOOK, Index, RowList, RowLook, RowPainter
from fusemap.window.shelf.shelf_rows import ShelfRow, spoken
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

ROW: Final = Qt.ItemDataRole.UserRole + 21
"""The whole `ShelfRow` of an index."""


def draw_shelf_mark(
    painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme
) -> None:
    """A plus for a kind: it is not in the vehicle yet."""
    if look.heading:
        return
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(theme.colour("accent"), place.width() / 8))
    middle, reach = place.center(), place.width() * 0.3
    painter.drawLine(middle - QPointF(reach, 0), middle + QPointF(reach, 0))
    painter.drawLine(middle - QPointF(0, reach), middle + QPointF(0, reach))
    painter.restore()


_BY_KEYBOARD: Final = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.OtherFocusReason,
)


class ShelfModel(QAbstractListModel):
    """Rows of the shelf."""

    renamed = Signal(str, str)
    """An accessory's id and the name typed for it."""

    def __init__(self, style: Style, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.rows: tuple[ShelfRow, ...] = ()

    def set_rows(self, rows: tuple[ShelfRow, ...]) -> None:
        """Show these; where only looks differ, only those rows are drawn anew, else nothing."""
        old = self.rows
        if rows == old:
            return
        if [r.payload for r in old] != [r.payload for r in rows]:
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()
            return
        self.rows = rows
        for number, (before, after) in enumerate(zip(old, rows, strict=True)):
            if before != after:
                self.dataChanged.emit(self.index(number, 0), self.index(number, 0))

    def rowCount(self, parent: Index | None = None) -> int:
        """How many."""
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """A row's look, words and tooltip."""
        if not index.isValid():
            return None
        row = self.rows[index.row()]
        if role == LOOK:
            return row.look
        if role == Qt.ItemDataRole.EditRole:
            return row.name
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(row.tip) or None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return spoken(row, self._style)
        if role == ROW:
            return row
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Headings are only to be seen; of an accessory's rows the first bears its name."""
        if not index.isValid() or self.rows[index.row()].payload is None:
            return Qt.ItemFlag.NoItemFlags
        row = self.rows[index.row()]
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        flags |= Qt.ItemFlag.ItemIsDragEnabled
        named = row.first and row.payload is not None and row.payload.accessory
        return flags | Qt.ItemFlag.ItemIsEditable if named else flags

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Ask for the name typed."""
        payload = self.rows[index.row()].payload
        if role != Qt.ItemDataRole.EditRole or payload is None:
            return False
        self.renamed.emit(payload.accessory, str(value))
        return True

    def mimeData(self, indexes: Any) -> QMimeData:
        """What a drag of a row carries."""
        payload = self.rows[indexes[0].row()].payload if indexes else None
        return QMimeData() if payload is None else mime_of(payload)

    def supportedDragActions(self) -> Qt.DropAction:
        """A drag leaves the row where it is."""
        return Qt.DropAction.CopyAction


class ShelfList(RowList):
    """The view of such rows."""

    taken_up = Signal(object)
    chosen = Signal(object)
    insert_asked = Signal()
    delete_asked = Signal()
    dragging = Signal(bool)
    """A row is being dragged, and no more."""

    def __init__(self, theme: Theme, name: str, key: str) -> None:
        super().__init__(theme, draw_shelf_mark)
        self._theme = theme
        self.setObjectName(key)
        self.setAccessibleName(name)
        self.setDragEnabled(True)
        self.setEditTriggers(self.EditTrigger.EditKeyPressed)
        self.setItemDelegate(_NameEditor(theme, self))
        self.painter_of_rows = self.itemDelegate()  # type: ignore[assignment]
        self.shelf = ShelfModel(theme.style, self)
        self.setModel(self.shelf)
        self.doubleClicked.connect(lambda _: self.take_up())

    def payload(self) -> Payload | None:
        """What the cursor is on."""
        row = self.currentIndex().row()
        return self.shelf.rows[row].payload if 0 <= row < len(self.shelf.rows) else None

    def take_up(self) -> None:
        """Take up what the cursor is on, for placing."""
        payload = self.payload()
        if payload is not None:
            self.taken_up.emit(payload)

    def rename_current(self) -> None:
        """Edit the name of the accessory the cursor is on."""
        payload = self.payload()
        if payload is not None and payload.accessory:
            self._go_to(Payload(accessory=payload.accessory))
            self.edit(self.currentIndex())

    def show_current(self, payload: Payload) -> None:
        """The cursor onto this, or onto its accessory's first row; without telling."""
        if self.payload() != payload or not self.selectedIndexes():
            self.blockSignals(True)
            if not self._go_to(payload):
                self._go_to(Payload(accessory=payload.accessory))
            self.blockSignals(False)

    def go_first(self) -> None:
        """The keyboard onto the first row that is no heading."""
        self.setFocus(Qt.FocusReason.TabFocusReason)
        self.setCurrentIndex(self.first_index())

    def first_index(self) -> QModelIndex:
        """The first row that is no heading; none where there is none."""
        for number, row in enumerate(self.shelf.rows):
            if row.payload is not None:
                return self.shelf.index(number, 0)
        return QModelIndex()

    def _go_to(self, payload: Payload) -> bool:
        for number, row in enumerate(self.shelf.rows):
            if row.payload == payload:
                self.setCurrentIndex(self.shelf.index(number, 0))
                return True
        return False

    def selectionChanged(self, selected: QItemSelection, deselected: QItemSelection) -> None:
        """Tell what is chosen now."""
        super().selectionChanged(selected, deselected)
        self.chosen.emit(self.payload() if self.selectedIndexes() else None)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """What the keys of the list act on is highlighted, where no click says what to choose."""
        super().focusInEvent(event)
        if event.reason() in _BY_KEYBOARD and not self.selectedIndexes():
            self.setCurrentIndex(self.currentIndex())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter, Insert, Delete; the rest as in any list."""
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.state() != self.State.EditingState:
                self.take_up()
        elif key == Qt.Key.Key_Insert:
            self.insert_asked.emit()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.delete_asked.emit()
        else:
            super().keyPressEvent(event)

    def startDrag(self, actions: Qt.DropAction) -> None:
        """Drag a chip with the name."""
        row = self.currentIndex().row()
        payload = self.payload()
        if payload is None:
            return
        drag = QDrag(self)
        drag.setMimeData(mime_of(payload))
        pixmap = chip(self.shelf.rows[row], self, self._theme)
        drag.setPixmap(pixmap)
        drag.setHotSpot(QPoint(0, round(pixmap.deviceIndependentSize().height() / 2)))
        self.dragging.emit(True)
        carry(drag, Qt.DropAction.CopyAction)
        self.dragging.emit(False)


def chip(row: ShelfRow, widget: QWidget, theme: Theme) -> QPixmap:
    """A row's first line on a rounded plate, as it hangs at the mouse while dragged."""
    head = row.look.text.splitlines()[0] if row.first else f"{row.name}: {row.look.text}"
    text = head.splitlines()[0]
    metrics = widget.fontMetrics()
    edge = metrics.height() // 2
    size = QSize(metrics.horizontalAdvance(text) + 2 * edge, metrics.height() + edge)
    ratio = widget.devicePixelRatioF()
    pixmap = QPixmap(size * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(widget.font())
    place = QRectF(QRect(QPoint(0, 0), size)).adjusted(1, 1, -1, -1)
    painter.setBrush(theme.colour("accent"))
    painter.setPen(QPen(theme.colour("accent_text"), 1))
    painter.drawRoundedRect(place, edge / 2, edge / 2)
    painter.drawText(place, Qt.AlignmentFlag.AlignCenter, text)
    painter.end()
    return pixmap


class _NameEditor(RowPainter):
    """The name is edited where it stands."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(theme, draw_shelf_mark, True, parent)

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Over the first line of the row."""
        place = self.text_place(index.data(LOOK), option.font, option.rect).toRect()
        height = editor.sizeHint().height()
        editor.setAccessibleName(self.tr("Name"))
        editor.setGeometry(place.left(), option.rect.top() + 2, place.width(), height)
