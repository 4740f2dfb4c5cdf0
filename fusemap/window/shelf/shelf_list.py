"""A list of the shelf: the vehicle's accessories lead by lead, or the generic kinds.

In: a vehicle, what was typed into the search box. Out: `ShelfRow`s with their looks and with what a
drag of them carries; rows can be dragged, taken up with Enter, renamed in place. Signals name what
is meant by its `Payload`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from PySide6.QtCore import (
    QAbstractListModel,
    QCoreApplication,
    QItemSelection,
    QMimeData,
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

from fusemap.advise import library
from fusemap.tables import AccessoryKind
from fusemap.text import Amount, Style, Text, say
from fusemap.vehicle import Accessory, Tap, Vehicle, look_up
from fusemap.vehicle.words import LeadName
from fusemap.window.forms.choices import feed_name
from fusemap.window.panel.panel_drop import Payload, mime_of
from fusemap.window.parts.row_list import LOOK, Index, Line, RowList, RowLook, RowPainter
from fusemap.window.shelf.kind_words import search_words
from fusemap.window.style.signs import draw_tick
from fusemap.window.style.theme import Theme
from fusemap.window.texts.folded import folded
from fusemap.window.texts.plain import plain_tip


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Shelf", text)


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One row: its look, what it carries when dragged (nothing for headings), its tooltip."""

    look: RowLook
    payload: Payload | None = None
    name: str = ""
    first: bool = True
    tip: str = ""


def own_rows(vehicle: Vehicle, style: Style, text: str = "") -> tuple[ShelfRow, ...]:
    """A row for each lead of each accessory in the vehicle whose words fit what was typed."""
    wanted = folded(text).split()
    rows: list[ShelfRow] = []
    for accessory in vehicle.accessories:
        known = folded(f"{accessory.name} {_kind_words(accessory, style)} {accessory.note}")
        if all(word in known for word in wanted):
            rows.extend(_lead_rows(vehicle, accessory, style))
    return tuple(rows)


def _kind_words(accessory: Accessory, style: Style) -> str:
    """What the accessory's kind is called, where it is one of the library."""
    try:
        kind = library.kind(accessory.kind)
    except KeyError:
        return accessory.kind
    return search_words(kind, style)


def _lead_rows(vehicle: Vehicle, accessory: Accessory, style: Style) -> Iterator[ShelfRow]:
    ordered: list[LeadName] = sorted(accessory.leads, key=lambda lead: lead != "power")
    for lead in ordered:
        tap = look_up.tap_of(vehicle, accessory.id, lead)
        power = lead == "power"
        on = accessory.supplied_by if power else None
        words = place_words(vehicle, tap) if on is None else behind_words(vehicle, on)
        where = Line(words, colour="muted_text")
        head = (
            Line(accessory.name, "strong", right=amount_words(accessory, style))
            if power
            else Line(tr("Sense lead"), right=style.show(Amount(accessory.sense_a, "A")))
        )
        yield ShelfRow(
            RowLook(
                (head, where), mark="placed" if tap or on else "loose", level=0 if power else 1
            ),
            Payload(accessory=accessory.id, lead=lead),
            accessory.name,
            power,
            accessory.note,
        )


def amount_words(accessory: Accessory, style: Style) -> str:
    """What an accessory draws: “45 W, 5 mA at standby”."""
    if accessory.watts is not None:
        amount = style.show(Amount(accessory.watts, "W"))
    else:
        amount = style.show(Amount(accessory.amperes or 0.0, "A"))
    if not accessory.standby_a:
        return amount
    standby = style.show(Amount(accessory.standby_a, "A"))
    return tr("{amount}, {standby} at standby").format(amount=amount, standby=standby)


def place_words(vehicle: Vehicle, tap: Tap | None) -> str:
    """Where a lead is joined, or that it is not yet."""
    if tap is None:
        return tr("Not placed")
    if tap.slot is None:
        return tr("Own feed from {source}").format(source=feed_name(vehicle, tap.feed))
    slot = look_up.slot(vehicle, tap.slot)
    where = look_up.slot_and_circuit(slot)
    way = tr("live side") if tap.way_round == "live_side" else tr("load side")
    return tr("On {slot}, {way}").format(slot=where, way=way)


def behind_words(vehicle: Vehicle, converter_id: str) -> str:
    """Which converter a power lead hangs on."""
    return tr("Behind {name}").format(name=look_up.accessory(vehicle, converter_id).name)


def kind_rows(style: Style, text: str = "") -> tuple[ShelfRow, ...]:
    """The generic kinds that fit what was typed, under a heading for each group."""
    rows: list[ShelfRow] = []
    group = ""
    for kind in _found(text, style):
        if kind.group != group:
            group = kind.group
            heading = Line(style.show(Text(group).capital()), "strong")
            rows.append(ShelfRow(RowLook((heading,), heading=True)))
        rows.append(_kind_row(kind, style))
    return tuple(rows)


def _found(text: str, style: Style) -> tuple[AccessoryKind, ...]:
    """The kinds that fit what was typed, in English or in the user's language."""
    plain = library.find(text)
    wanted = folded(text).split()
    known = {each.key: search_words(each, style) for each in library.kinds()}
    return tuple(
        each
        for each in library.kinds()
        if each in plain or all(word in known[each.key] for word in wanted)
    )


def _kind_row(kind: AccessoryKind, style: Style) -> ShelfRow:
    name = style.show(Text(kind.name).capital())
    figures = Line(style.show(library.figures(kind).capital()), colour="muted_text")
    look = RowLook((Line(name, "strong"), figures), mark="kind")
    note = f"{style.show(Text(kind.note).capital())}.\n" if kind.note else ""
    tip = note + tr("Source: {source}").format(source=style.show(kind.source.words))
    return ShelfRow(look, Payload(kind=kind.key), name, True, tip)


MARK_WORDS: Final = {
    "placed": say("placed"),
    "loose": say("not placed"),
    "kind": say("from the library"),
}
"""What the mark before a row says to who cannot see it."""


def draw_shelf_mark(
    painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme
) -> None:
    """A ticked disc for what is placed, a dotted ring for what is not, a plus for a kind."""
    if look.heading:
        return
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    inside = place.adjusted(1, 1, -1, -1)
    if look.mark == "placed":
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.colour("good"))
        painter.drawEllipse(inside)
        share = place.width() * 0.2
        draw_tick(painter, place.adjusted(share, share, -share, -share), theme.colour("base"))
    elif look.mark == "loose":
        painter.setPen(QPen(theme.colour("frame"), place.width() / 8, Qt.PenStyle.DotLine))
        painter.drawEllipse(inside)
    else:
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
        """Show these; where only looks differ, only those rows are drawn anew."""
        old = self.rows
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
            mark = MARK_WORDS.get(row.look.mark)
            if mark is None:
                return row.look.text
            return f"{row.look.text} ({self._style.show(mark)})"
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
        for number, row in enumerate(self.shelf.rows):
            if row.payload is not None:
                self.setCurrentIndex(self.shelf.index(number, 0))
                return

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
        drag.exec(Qt.DropAction.CopyAction)


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
