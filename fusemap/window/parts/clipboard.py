"""Copy and paste: the chosen slots of a panel, or the selected accessory, as our own format.

In: the window's selection and the clipboard. Out: text (JSON) on the clipboard, and one step of the
history at a paste; what pastes is a pure edit. Ids, feeds and taps belong to the vehicle they came
from and stay behind.
"""

from collections.abc import Iterable, Sequence
from typing import Any, Final

import msgspec
from PySide6.QtCore import QMimeData, QObject, Signal
from PySide6.QtGui import QGuiApplication

from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.vehicle import Accessory, Slot, Vehicle, edits, look_up
from fusemap.window.accessory_tools import AccessoryTools
from fusemap.window.desk import Desk
from fusemap.window.panel.panel_tools import PanelTools
from fusemap.window.panel.slot_words import fuse_words, slot_names
from fusemap.window.photo.photo_tools import PhotoTools
from fusemap.window.photo.taking import picture_in
from fusemap.window.shelf.shelf import free_name

MIME: Final = "application/x-fusemap-parts"
_BOUND: Final = frozenset({"id", "row", "column", "feed", "borrowed", "label"})


class Clip(msgspec.Struct, frozen=True, kw_only=True):
    """What was copied: slots with their places from the top left of what was chosen."""

    slots: tuple[Slot, ...] = ()
    accessories: tuple[Accessory, ...] = ()


def of_slots(slots: Sequence[Slot]) -> bytes:
    """These slots as a clip."""
    top = min(slot.row for slot in slots)
    left = min(slot.column for slot in slots)
    moved = (
        msgspec.structs.replace(
            slot, row=slot.row - top, column=slot.column - left, feed=None, borrowed=None
        )
        for slot in slots
    )
    return msgspec.json.encode(Clip(slots=tuple(moved)))


def of_accessories(accessories: Iterable[Accessory]) -> bytes:
    """These accessories as a clip."""
    return msgspec.json.encode(Clip(accessories=tuple(accessories)))


def read(text: bytes) -> Clip:
    """A clip from its text. Raises `EditRefused` for anything else."""
    try:
        return msgspec.json.decode(text, type=Clip)
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise EditRefused(
            say("what is on the clipboard is not from here"),
            remedy=say("copy slots or accessories first"),
        ) from error


def paste_slots(vehicle: Vehicle, panel_id: str, row: int, column: int, clip: Clip) -> Vehicle:
    """The clip's slots onto a panel, its top left at this place; labels there stay as they are.

    Raises `EditRefused` where they would lie beyond the panel's edge.
    """
    for slot in clip.slots:
        panel = look_up.panel(vehicle, panel_id)
        at = row + slot.row, column + slot.column
        if at[0] >= panel.rows or at[1] >= panel.columns:
            raise EditRefused(
                say("what was copied is larger than the panel from here on"),
                where=panel.name,
                remedy=say("go further to the top left, or add rows and columns"),
            )
        fields = _fields(slot)
        there = look_up.slot_at(panel, *at)
        if there is None:
            vehicle = edits.add_slot(vehicle, panel_id, *at, label=slot.label, **fields)
        else:
            vehicle = edits.change_slot(vehicle, there.id, **fields)
    return vehicle


def paste_accessories(vehicle: Vehicle, clip: Clip) -> Vehicle:
    """The clip's accessories into the vehicle, not placed yet, each under a free name."""
    for accessory in clip.accessories:
        fields = {
            name: getattr(accessory, name)
            for name in accessory.__struct_fields__
            if name not in ("id", "name", "supplied_by")
        }
        name = free_name(vehicle, accessory.name)
        vehicle = edits.add_accessory(vehicle, name, **fields)
    return vehicle


def _fields(slot: Slot) -> dict[str, Any]:
    return {f: getattr(slot, f) for f in slot.__struct_fields__ if f not in _BOUND}


class Clipboard(QObject):
    """What the menu and the keys for copying call."""

    done = Signal(str)
    """What was copied, in words."""

    def __init__(
        self, desk: Desk, panels: PanelTools, accessories: AccessoryTools, photos: PhotoTools
    ) -> None:
        super().__init__(desk)
        self._desk = desk
        self._document = desk.document
        self._panels = panels
        self._accessories = accessories
        self._photos = photos

    def copy(self) -> None:
        """Copy the selected accessory where the keyboard is among them, else the chosen slots."""
        if self._desk.work is None:
            return
        selection = self._document.selection
        if selection is not None and selection.kind in ("accessory", "tap"):
            self._copy_accessory()
        else:
            self._copy_slots()

    def paste(self) -> None:
        """Paste what was copied: slots at the panel's cursor, accessories into the vehicle."""
        there: QMimeData | None = QGuiApplication.clipboard().mimeData()
        # an empty clipboard has nothing at all on some systems
        data = QMimeData() if there is None else there
        if not data.hasFormat(MIME) and self._paste_photo(data):
            return
        try:
            clip = read(bytes(data.data(MIME).data()))
        except EditRefused as error:
            self._document.refused.emit(error)
            return
        if clip.slots:
            self._paste_slots(clip)
        if clip.accessories:
            names = ", ".join(accessory.name for accessory in clip.accessories)
            text = self.tr("Paste {name}").format(name=names)
            if self._document.apply(text, paste_accessories, clip):
                self._document.select("accessory", self._document.vehicle.accessories[-1].id)

    def _paste_photo(self, data: QMimeData) -> bool:
        """Take a picture on the clipboard in as the panel's photo; says whether there is one."""
        picture = picture_in(data)
        if picture is not None:
            self._photos.take_for_shown(picture)
        return picture is not None

    def _copy_accessory(self) -> None:
        chosen = self._accessories.selected
        if chosen is not None:
            accessory = look_up.accessory(self._document.vehicle, chosen)
            _put(of_accessories([accessory]), accessory.name)

    def _copy_slots(self) -> None:
        view = self._panels.view
        slots = [] if view is None else view.commands.slots()
        style = self._desk.look.theme.style
        if slots:
            lines = (
                "\t".join(
                    (
                        style.show(look_up.slot_words(slot)),
                        fuse_words(slot, style),
                        slot.circuit,
                    )
                )
                for slot in sorted(slots, key=lambda slot: (slot.row, slot.column))
            )
            _put(of_slots(slots), "\n".join(lines))
            text = self.tr("Copied: {slots}").format(
                slots=slot_names(slots, self._desk.look.theme.style)
            )
            self.done.emit(text)

    def _paste_slots(self, clip: Clip) -> None:
        view = self._panels.view
        if view is None or not view.currentIndex().isValid():
            return
        place = view.panel_model.place(view.currentIndex())
        text = self.tr("Paste {slots}").format(
            slots=slot_names(clip.slots, self._desk.look.theme.style)
        )
        self._document.apply(text, paste_slots, view.panel_id, *place, clip)


def _put(clip: bytes, text: str) -> None:
    data = QMimeData()
    data.setData(MIME, clip)
    data.setText(text)
    QGuiApplication.clipboard().setMimeData(data)
