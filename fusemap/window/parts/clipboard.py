"""Copy and paste: the chosen slots of a panel, or the selected accessory, as our own format.

In: the window's selection and the clipboard. Out: text on the clipboard, and one step of the
history at a paste.
"""

from PySide6.QtCore import QMimeData, QObject, Signal
from PySide6.QtGui import QGuiApplication

from fusemap.errors import EditRefused
from fusemap.vehicle import look_up
from fusemap.window.accessory_tools import AccessoryTools
from fusemap.window.desk import Desk
from fusemap.window.panel.panel_tools import PanelTools
from fusemap.window.panel.slot_words import fuse_words, slot_names
from fusemap.window.parts import clips
from fusemap.window.photo.photo_tools import PhotoTools
from fusemap.window.photo.taking import picture_in


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
        data = QGuiApplication.clipboard().mimeData()
        if not data.hasFormat(clips.MIME) and self._paste_photo(data):
            return
        try:
            clip = clips.read(bytes(data.data(clips.MIME).data()))
        except EditRefused as error:
            self._document.refused.emit(error)
            return
        if clip.slots:
            self._paste_slots(clip)
        if clip.accessories:
            names = ", ".join(accessory.name for accessory in clip.accessories)
            text = self.tr("Paste {name}").format(name=names)
            if self._document.apply(text, clips.paste_accessories, clip):
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
            _put(clips.of_accessories([accessory]), accessory.name)

    def _copy_slots(self) -> None:
        view = self._panels.view
        slots = [] if view is None else view.commands.slots()
        if slots:
            lines = (
                "\t".join(
                    (
                        look_up.slot_name(slot),
                        fuse_words(slot, self._desk.look.theme.style),
                        slot.circuit,
                    )
                )
                for slot in sorted(slots, key=lambda slot: (slot.row, slot.column))
            )
            _put(clips.of_slots(slots), "\n".join(lines))
            text = self.tr("Copied: {slots}").format(
                slots=slot_names(slots, self._desk.look.theme.style)
            )
            self.done.emit(text)

    def _paste_slots(self, clip: clips.Clip) -> None:
        view = self._panels.view
        if view is None or not view.currentIndex().isValid():
            return
        place = view.panel_model.place(view.currentIndex())
        text = self.tr("Paste {slots}").format(
            slots=slot_names(clip.slots, self._desk.look.theme.style)
        )
        self._document.apply(text, clips.paste_slots, view.panel_id, *place, clip)


def _put(clip: bytes, text: str) -> None:
    data = QMimeData()
    data.setData(clips.MIME, clip)
    data.setText(text)
    QGuiApplication.clipboard().setMimeData(data)
