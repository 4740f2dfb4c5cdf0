"""One panel of the vehicle as a table for Qt: rows × columns of places, a gap where no slot is.

In: the document and a panel's id. Out: per cell a `SlotLook` (`LOOK`), looked up in the vehicle and
its assessment, the offer made to what is being placed (`OFFER`), words for screen readers and
tooltips. After an edit only cells are redrawn whose slot or figures differ; a panel out of sight is
looked at again when somebody asks. Typing onto a cell asks the document for an edit.
"""

from collections.abc import Mapping
from functools import partial
from itertools import compress
from math import inf, isnan
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import (
    QAbstractTableModel,
    QByteArray,
    QMimeData,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)
from PySide6.QtWidgets import QAbstractItemView

from fusemap.text import Style, given
from fusemap.vehicle import STATES, Panel, Slot, Tap, Vehicle, edits, look_up
from fusemap.window.document import Document
from fusemap.window.panel import slot_entry
from fusemap.window.panel.arrangement import Arrangement
from fusemap.window.panel.panel_drop import MIME, Offer, Payload, mime_of
from fusemap.window.panel.relay_blocks import WAYS, blocks
from fusemap.window.panel.slot_words import (
    Place,
    SlotLook,
    TapMark,
    spoken_words,
    tooltip_words,
    tr,
)
from fusemap.window.parts.later import FIGURES, Later
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:  # they would load the numbers before the window is shown
    from fusemap.assess.assessment import Assessment
    from fusemap.assess.result import Floats

LOOK: Final = Qt.ItemDataRole.UserRole + 1
OFFER: Final = Qt.ItemDataRole.UserRole + 2
LABEL: Final = Qt.ItemDataRole.UserRole + 3
BLOCK: Final = Qt.ItemDataRole.UserRole + 4
"""The cells of the block that this one is part of, as shown; the relay's own first."""

Index = QModelIndex | QPersistentModelIndex
_TYPED_ON: Final = (
    Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEditable
)
_DROPPED_ON: Final = _TYPED_ON | Qt.ItemFlag.ItemIsDropEnabled
_FLAGS: Final = {
    (False, False): _TYPED_ON,
    (True, False): _DROPPED_ON,
    (False, True): _TYPED_ON | Qt.ItemFlag.ItemIsDragEnabled,
    (True, True): _DROPPED_ON | Qt.ItemFlag.ItemIsDragEnabled,
}
"""By whether it is a fuse's slot, and whether it is tapped: Qt asks at every painting."""


class PanelModel(QAbstractTableModel):
    """The cells of one panel, turned and mirrored as the view wants them."""

    def __init__(
        self, document: Document, style: Style, panel_id: str, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.style = style
        self.panel_id = panel_id
        self._looks: dict[Place, SlotLook] = {}
        self._blocks: dict[Place, tuple[Place, ...]] = {}
        self._blocks_of: object = None
        self._behind = False
        self._offers: Mapping[str, Offer] = {}
        self.arrangement = Arrangement(0, 0)
        self._soon = Later(self._renew, self)
        self._take(self._panel())
        document.changed.connect(self._vehicle_changed)

    # --- finding places -------------------------------------------------------------------------

    def place(self, index: Index) -> Place:
        """The row and column on the panel of a cell."""
        return self.arrangement.place(index.row(), index.column())

    def look(self, index: Index) -> SlotLook | None:
        """What a cell shows; `None` for a gap."""
        return self._now().get(self.place(index)) if index.isValid() else None

    def slot(self, index: Index) -> Slot | None:
        """The slot on a cell."""
        look = self.look(index)
        return None if look is None else look.slot

    def index_of(self, slot_id: str) -> QModelIndex:
        """The cell of a slot; not valid when the slot is not on this panel."""
        for (row, column), look in self._now().items():
            if look.slot.id == slot_id:
                return self.index(*self.arrangement.shown(row, column))
        return QModelIndex()

    def block(self, place: Place) -> tuple[Place, ...]:
        """The cells, as shown, of the relay that reaches over this place; none for most."""
        now = self._now()
        if self._blocks_of is not now:
            self._blocks_of = now
            self._blocks = blocks({at: look.slot for at, look in now.items()})
        return tuple(self.arrangement.shown(*each) for each in self._blocks.get(place, ()))

    def blocks(self) -> set[tuple[Place, ...]]:
        """All of them, each as its cells as shown."""
        self.block((0, 0))
        return {self.block(place) for place in self._blocks}

    def gap(self, index: Index) -> bool:
        """Whether a cell is a place without a slot."""
        return index.isValid() and self.look(index) is None

    # --- what Qt asks ---------------------------------------------------------------------------

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Rows as shown."""
        return 0 if parent.isValid() else self.arrangement.size[0]

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Columns as shown."""
        return 0 if parent.isValid() else self.arrangement.size[1]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """What a cell shows, says and teaches."""
        if not index.isValid():
            return None
        look = self.look(index)
        if look is None:
            return self._gap_data(index, role)
        offer = self._offers.get(look.slot.id)
        if role == LOOK:
            return look
        if role == OFFER:
            return offer
        if role == BLOCK:
            return self.block(self.place(index))
        if role == LABEL:
            return look.slot.label
        if role == Qt.ItemDataRole.EditRole:
            return slot_entry.entry_text(look.slot, self.style)
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return spoken_words(look, self.style, offer.candidate if offer else None)
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleDescriptionRole):
            side = self.arrangement.side(look.slot.live_side)
            words = tooltip_words(look, side, self.style, offer.candidate if offer else None)
            return plain_tip(words) if role == Qt.ItemDataRole.ToolTipRole else words
        return None

    def _gap_data(self, index: Index, role: int) -> Any:
        row, column = self.place(index)
        if role in (Qt.ItemDataRole.EditRole, LABEL):
            return ""
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return self.tr("gap, row {row}, column {column}").format(row=row + 1, column=column + 1)
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.tr("No slot here. Insert puts one here; so does typing a rating.")
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Every cell can be typed on; what is tapped can be dragged away."""
        if not index.isValid():
            return Qt.ItemFlag.ItemIsDropEnabled
        look = self.look(index)
        if look is None:
            return _TYPED_ON
        return _FLAGS[look.slot.kind == "fuse", bool(look.taps)]

    def mimeTypes(self) -> list[str]:
        """What can be dropped here."""
        return [MIME]

    def mimeData(self, indexes: Any) -> QMimeData:
        """The first accessory tapped on the first of these cells."""
        for index in indexes:
            look = self.look(index)
            if look is not None and look.taps:
                tap = look.taps[0]
                return mime_of(Payload(accessory=tap.accessory, lead=tap.lead))
        empty = QMimeData()
        empty.setData(MIME, QByteArray())
        return empty

    def supportedDragActions(self) -> Qt.DropAction:
        """An accessory is moved."""
        return Qt.DropAction.MoveAction

    def supportedDropActions(self) -> Qt.DropAction:
        """It is moved here from another slot or put here from the shelf."""
        return Qt.DropAction.MoveAction | Qt.DropAction.CopyAction

    # --- typing ---------------------------------------------------------------------------------

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Ask for what was typed onto one cell."""
        if not index.isValid():
            return False
        return self.enter([index], str(value), role)

    def enter(self, cells: list[Index], text: str, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Ask for what was typed: the rating for all cells, circuit or label for the first."""
        if not text.strip() and role != LABEL:
            return True
        if self.gap(cells[0]):
            return self._enter_on_gap(cells[0], text.strip(), role)
        slots = [slot for slot in map(self.slot, cells) if slot is not None]
        if role == LABEL:
            return self.document.apply(
                self.tr("Label {label}").format(label=text.strip() or self._name(slots[0])),
                edits.change_slot,
                slots[0].id,
                label=text.strip(),
            )
        rating, circuit = slot_entry.read_entry(text)
        if rating is not None and circuit is None:
            slots = [slot for slot in slots if slot.kind == "fuse"] or slots
        if slot_entry.is_doubtful(slots, text):
            self._ask_about(slots[0], text)
            return False
        who = self._name(slots[0])
        if rating is not None and len(slots) > 1:
            who = self.tr("{count} slots").format(count=len(slots))
        words = f"{who}: {self._typed_words(text)}"
        return self.document.apply(words, slot_entry.enter, [slot.id for slot in slots], text)

    def _name(self, slot: Slot) -> str:
        return self.style.show(look_up.slot_words(slot))

    def _typed_words(self, text: str) -> str:
        """What was typed, as the name of an undo step: “15 A Radio”."""
        rating, circuit = slot_entry.read_entry(text)
        shown = self.style.show(given(rating, "A")) if isinstance(rating, float) else ""
        if rating == slot_entry.NO_FUSE:
            shown = tr("no fuse")
        return " ".join(part for part in (shown, circuit) if part)

    def _ask_about(self, slot: Slot, text: str) -> None:
        """A rating and a circuit typed onto no fuse slot: its name, or what it really is?"""
        who = self._name(slot)
        name = partial(
            self.document.apply, f"{who}: {text}", edits.change_slot, slot.id, circuit=text
        )
        typed = self._typed_words(text)
        make = partial(
            self.document.apply, f"{who}: {typed}", slot_entry.enter_as_fuse, slot.id, text
        )
        self.document.refused.emit(slot_entry.no_fuse_slot(slot))
        self.document.offered.emit(
            [
                (self.tr("Name it “{text}”").format(text=text), name),
                (self.tr("Make it a fuse slot: {entry}").format(entry=typed), make),
            ]
        )

    def _enter_on_gap(self, index: Index, text: str, role: int) -> bool:
        label = text if role == LABEL else slot_entry.next_label(self.document.vehicle)
        words = self.tr("Slot {label}").format(label=label)
        entry = "" if role == LABEL else text
        return self.document.apply(
            words, _new_slot, self.panel_id, self.place(index), label=label, entry=entry
        )

    # --- turning, offers, changes ---------------------------------------------------------------

    def arrange(self, quarter_turns: int, mirrored: bool) -> None:
        """Turn and mirror the panel as it is shown."""
        self.beginResetModel()
        self.arrangement = Arrangement(
            self.arrangement.rows, self.arrangement.columns, quarter_turns % 4, mirrored
        )
        self.endResetModel()

    def show_offers(self, offers: Mapping[str, Offer]) -> None:
        """Show on every slot whether it can take what is being placed; empty for nothing."""
        old, self._offers = self._offers, offers
        for place, look in self._now().items():
            if old.get(look.slot.id) != offers.get(look.slot.id):
                self._redraw(place)

    def _panel(self) -> Panel | None:
        panels = self.document.vehicle.panels
        return next((panel for panel in panels if panel.id == self.panel_id), None)

    def _take(self, panel: Panel | None) -> None:
        """Hold another state of the panel."""
        self._behind = False
        rows, columns = (panel.rows, panel.columns) if panel else (0, 0)
        old = self.arrangement
        self.arrangement = Arrangement(rows, columns, old.quarter_turns, old.mirrored)
        document = self.document
        if panel is None:
            self._looks = {}
        elif document.numbers_ready:
            self._looks = looks(panel, document.vehicle, document.assessment)
        else:  # the panel first, its figures when they have been loaded
            self._looks = plain_looks(panel, document.vehicle)
            view = self.parent()
            if isinstance(view, QAbstractItemView):
                self._soon.start_when_painted(view.viewport(), FIGURES)
            else:
                self._soon.start()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        panel = self._panel()
        size = (panel.rows, panel.columns) if panel else (0, 0)
        if size != (self.arrangement.rows, self.arrangement.columns):
            self.beginResetModel()
            self._take(panel)
            self.endResetModel()
        elif self._seen():
            self._renew()
        else:  # whoever asks for a slot, or shows the panel again, finds it as it is then
            self._behind = True

    def _seen(self) -> bool:
        view = self.parent()
        return not isinstance(view, QAbstractItemView) or view.isVisible()

    def _now(self) -> dict[Place, SlotLook]:
        """What every place shows, looked at again where an edit was missed."""
        if self._behind:
            self._take(self._panel())
        return self._looks

    def _renew(self) -> None:
        """Look at the panel again and redraw the slots that show something else."""
        _ = self.document.assessment  # from now on they are ready
        before = self._looks
        self._take(self._panel())
        for place in before.keys() | self._looks.keys():
            if before.get(place) != self._looks.get(place):
                self._redraw(place)

    def _redraw(self, place: Place) -> None:
        index = self.index(*self.arrangement.shown(*place))
        self.dataChanged.emit(index, index)
        look = self._looks.get(place)
        mine = look is not None and look.slot.kind in ("relay", "blocked")
        for row, column in WAYS if mine or place in self._blocks else ():
            # a block may have become one, or fallen apart
            beside = self._looks.get((place[0] + row, place[1] + column))
            if beside is not None and beside.slot.kind in ("relay", "blocked"):
                shown = self.arrangement.shown(place[0] + row, place[1] + column)
                self.dataChanged.emit(self.index(*shown), self.index(*shown))


def _new_slot(vehicle: Vehicle, panel_id: str, place: Place, *, label: str, entry: str) -> Vehicle:
    """A slot on a gap with what was typed there."""
    vehicle = slot_entry.add_slots(vehicle, panel_id, [place])
    slot = look_up.panel(vehicle, panel_id).slots[-1]
    vehicle = edits.change_slot(vehicle, slot.id, label=label)
    return slot_entry.enter(vehicle, [slot.id], entry)


# --- what every place shows -----------------------------------------------------------------------


def tap_marks(vehicle: Vehicle) -> dict[str, tuple[TapMark, ...]]:
    """The leads tapped on every slot, by slot id."""
    names = {accessory.id: accessory.name for accessory in vehicle.accessories}
    found: dict[str, tuple[TapMark, ...]] = {}
    for tap in vehicle.taps:
        if tap.slot is not None:
            found[tap.slot] = (*found.get(tap.slot, ()), _mark(tap, names.get(tap.accessory, "")))
    return found


def _mark(tap: Tap, name: str) -> TapMark:
    rating = None if tap.fuse is None else tap.fuse.rating
    return TapMark(tap.id, tap.accessory, name, tap.lead, tap.way_round, rating)


def plain_looks(panel: Panel, vehicle: Vehicle) -> dict[Place, SlotLook]:
    """The same before any figure is known."""
    marks = tap_marks(vehicle)
    return {
        (slot.row, slot.column): SlotLook(
            slot,
            marks.get(slot.id, ()),
            assessed=False,
            supply=look_up.supply_words(vehicle, slot),
        )
        for slot in panel.slots
    }


def looks(panel: Panel, vehicle: Vehicle, assessment: "Assessment") -> dict[Place, SlotLook]:
    """What every slot of a panel shows, by row and column of the panel."""
    import numpy as np  # not needed for the first painting

    figures, most = assessment.slots, assessment.most.slots
    share, room = _numbers(figures.worst_share), _numbers(most.room_a)
    worst = figures.shares.argmax(axis=0)
    load, most_a = (
        _numbers(np.take_along_axis(end.host_a, worst[np.newaxis], axis=0)[0])
        for end in (figures, most)
    )
    most_share = _numbers(most.worst_share)
    limit, measured = _numbers(figures.host_limit_a), np.all(figures.own_known, axis=0).tolist()
    read = np.any(figures.own_known & figures.live, axis=0).tolist()
    states, on = worst.tolist(), figures.live.T.tolist()
    marks = tap_marks(vehicle)
    found = {}
    for slot in panel.slots:
        column = figures.index.get(slot.id)
        taps = marks.get(slot.id, ())
        if column is None or slot.kind != "fuse":
            found[slot.row, slot.column] = SlotLook(slot, taps)
            continue
        found[slot.row, slot.column] = SlotLook(
            slot=slot,
            taps=taps,
            share=share[column],
            state=STATES[states[column]],
            load_a=load[column],
            most_share=most_share[column],
            most_a=most_a[column],
            limit_a=limit[column],
            room_a=room[column],
            measured=measured[column],
            partly_measured=read[column] and not measured[column],
            live=tuple(compress(STATES, on[column])),
            supply=look_up.supply_words(vehicle, slot),
        )
    return found


def _numbers(values: "Floats") -> list[float]:
    # NaN differs from itself; a place without a figure would be redrawn at every edit.
    return [inf if isnan(value) else value for value in values.tolist()]
