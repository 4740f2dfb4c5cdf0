"""Where the doors of the first page lead: each straight to the first useful act.

In: which door was opened, and the window's tools. Out: a vehicle in hand where one is needed, and
the keyboard where the first thing is typed. Where a vehicle is in hand already, accessories and
what drains the battery are about that one.
"""

from collections.abc import Callable, Coroutine
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QObject
from PySide6.QtGui import QImage

from fusemap.vehicle import PanelPhoto
from fusemap.vehicle.edits.panels import Lid
from fusemap.window.accessory_tools import AccessoryTools
from fusemap.window.asking import ask_system_voltage, begin
from fusemap.window.desk import Desk
from fusemap.window.files.file_commands import FileCommands
from fusemap.window.help.help_tools import HelpTools
from fusemap.window.photo.photo_tools import PhotoTools
from fusemap.window.probe.tasks import Tasks

if TYPE_CHECKING:
    from fusemap.window.photo.lid_on_photo import LidOnPhoto
    from fusemap.window.start.start_page import StartPage

FIRST_SYSTEM_V: Final = 12
"""Of a vehicle of which nothing was asked yet [V]."""
Then = Callable[[], object]
Opening = Coroutine[Any, Any, bool]


class FirstSteps(QObject):
    """What happens behind a door, up to the first useful act."""

    def __init__(
        self,
        desk: Desk,
        files: FileCommands,
        photos: PhotoTools,
        accessories: AccessoryTools,
        help: HelpTools,
        tasks: Tasks,
    ) -> None:
        super().__init__(desk)
        self._desk = desk
        self._files = files
        self._photos = photos
        self._accessories = accessories
        self._help = help
        self._tasks = tasks
        self._after_lid: Then | None = None
        self._landing: Then | None = None
        self._photo: PanelPhoto | None = None

    def land(self) -> bool:
        """Do what a vehicle was opened for; False where that is nothing but to look at it."""
        landing, self._landing = self._landing, None
        if landing is not None:
            landing()
        return landing is not None

    def begin_anew(self) -> None:
        """The first page is shown: whatever was begun behind a door is forgotten."""
        self._after_lid = self._landing = self._photo = None

    # --- the doors ------------------------------------------------------------------------------

    def open_door(self, key: str, start: "StartPage", *, in_hand: bool) -> None:
        """Go through a door; `in_hand` says that there is a vehicle to go on with."""
        if key == "accessory":
            self._add_accessory(in_hand)
        elif key == "drain":
            self._find_drain(in_hand)
        elif key == "photo":
            self._photos.ask_for_picture(partial(self.take_photo, start))
        else:
            self.only_look()

    def only_look(self) -> None:
        """A demo vehicle in the user's language, with the tour."""
        begin(self._open(self._files.take_demo(""), self._help.tour))

    def _add_accessory(self, in_hand: bool) -> None:
        """The search over the library; nothing has to be known of the panel for that."""
        if in_hand:
            self._desk.show_work()
            self._accessories.add()
            return
        made = self._files.make(self.tr("My vehicle"), FIRST_SYSTEM_V)
        begin(self._open(made, self._accessories.add))

    def _find_drain(self, in_hand: bool) -> None:
        """The hunt for what draws while parked: the whole first, which no lid is needed for."""
        if in_hand:
            self._tasks.find_drain()
            return
        begin(self._hunt_anew())

    async def _hunt_anew(self) -> None:
        """On a new vehicle; its voltage is asked, since nothing in the hunt would tell it."""
        system_v = await ask_system_voltage(self._desk.window, self._desk.look.theme.style)
        if system_v is not None:
            made = self._files.make(self.tr("My vehicle"), system_v)
            await self._open(made, self._tasks.find_drain)

    def take_photo(self, start: "StartPage", picture: Path | QImage) -> None:
        """Let the grid be drawn on the picture; then the panel is read off it slot by slot."""
        photo = self._photos.made_small(picture)
        if photo is None:
            return
        # Not needed to show the window.
        from fusemap.window.photo import taking

        start.ask_lid(picture=taking.image_of(photo))
        self._lay_on(photo, start)

    def _lay_on(self, photo: PanelPhoto, start: "StartPage") -> None:
        if start.new.on_photo is not None:
            self._photo = photo
            self._after_lid = partial(self._read_off, photo, start.new.on_photo)

    def go_on_from(self, earlier: "StartPage", show: Callable[[], "StartPage"]) -> None:
        """Show the first page anew, in another language, and go on where one was behind a door."""
        then, photo = self._after_lid, self._photo
        now = show()
        if now.go_on_from(earlier):
            self._after_lid = then
            if photo is not None:
                self._lay_on(photo, now)

    def _read_off(self, photo: PanelPhoto, drawn: "LidOnPhoto") -> None:
        """Put the photo behind the panel as its grid was drawn, and ask for slot after slot."""
        panel = self._desk.document.vehicle.panels[0]
        if self._photos.put(panel, photo, drawn.corners):
            self._photos.walk_for(panel.id)

    # --- on the way -----------------------------------------------------------------------------

    def create(self, name: str, system_v: int, lid: Lid) -> None:
        """Make the vehicle of the lid that was asked about, and go where the door leads."""
        begin(self._open(self._files.make(name, system_v, lid), self._after_lid))

    async def _open(self, opening: Opening, then: Then | None) -> None:
        """Open a vehicle; what it is opened for is done once its views are there."""
        if await opening:
            self._landing = then
            self._after_lid = None
