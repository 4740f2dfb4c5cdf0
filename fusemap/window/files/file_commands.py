"""New, open, save: what the window does with files. A problem never costs the vehicle in hand.

Each command is a coroutine that asks on its way (`fusemap.window.asking`) and stops where the user
does not go on. Every way to another vehicle first asks about unsaved work. Before a save takes the
file's place, what stands there is kept among the earlier versions; what somebody else has open or
has changed is asked about first.
"""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Literal
from uuid import uuid4

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from fusemap.errors import FileProblem, FusemapError
from fusemap.text import in_row, say
from fusemap.vehicle import Vehicle, edits
from fusemap.vehicle.edits.panels import Lid
from fusemap.window import asking
from fusemap.window.asking import Answer, begin
from fusemap.window.document import Document
from fusemap.window.files.file_hold import FileHold
from fusemap.window.parts.typing import finish_typing
from fusemap.window.settings import Settings, state_folder
from fusemap.window.style.theme import Look

Way = Literal["write", "elsewhere", "take_theirs", "give_up", "leave"]
"""What can be done where a save meets something."""


class FileCommands(QObject):
    """The commands of the file menu.

    For the message bar: `problem(error)`, `done(words)`, and `stuck(error, choices)` where there is
    something to choose, as pairs of a text and what to call.
    """

    problem = Signal(object)
    stuck = Signal(object, object)
    done = Signal(str)
    new_wanted = Signal()

    def __init__(self, window: QWidget, document: Document, settings: Settings, look: Look) -> None:
        super().__init__(window)
        self._window = window
        self._document = document
        self._settings = settings
        self._look = look
        self.hold = FileHold()
        self._told = False

    # --- another vehicle ------------------------------------------------------------------------

    def new(self) -> None:
        """Go to the page that asks for a new vehicle's lid."""
        self.new_wanted.emit()

    def create(self, name: str, system_v: int, lid: Lid) -> None:
        """Take a new vehicle in hand, with one panel as its lid shows it."""
        begin(self.make(name, system_v, lid))

    def open(self) -> None:
        """Choose a file and open it."""
        begin(self._open())

    def open_path(self, path: Path) -> None:
        """Open a file."""
        begin(self._open(path.absolute()))

    def open_demo(self, key: str) -> None:
        """Open a demo vehicle (the first with an empty key); it has no file until it is saved."""
        begin(self.take_demo(key))

    async def make(self, name: str, system_v: int, lid: Lid | None = None) -> bool:
        """The same as a step of another command, without a panel too; says whether it was made."""
        if not await self.may_leave():
            return False
        vehicle = edits.change_vehicle(Vehicle(name=name), system_v=system_v)
        try:
            if lid is not None:
                vehicle = edits.add_lid(vehicle, self.tr("Fuse panel"), lid)
        except FusemapError as error:
            self.problem.emit(error)
            return False
        self._take(vehicle, unsaved=True, mark=uuid4().hex)
        return True

    async def _open(self, path: Path | None = None) -> None:
        """Unsaved work, which file, who else has it open: then read it and take it in hand.

        One that is named and cannot be read is told before anything is asked for its sake.
        """
        if path is not None and self._read(path) is None:
            return
        if not await self.may_leave():
            return
        if path is None:
            title = self.tr("Open a vehicle")
            path = await asking.ask_for_file(self._window, title, self._folder())
        way = await self._ask_how_to_open(path) if path is not None else ""
        if path is None or not way:
            return
        vehicle = self._read(path)
        if vehicle is None:
            return
        if way == "openCopy":
            self._take(vehicle, mark=uuid4().hex)
        else:
            self._take(vehicle, path)
        self._settings.add_recent(path)

    def _read(self, path: Path) -> Vehicle | None:
        """What stands in a file; `None` where it cannot be read, which is then told."""
        # Imported when first needed: with it comes all that reads vehicles.
        from fusemap.files import read_vehicle

        try:
            return read_vehicle(path)
        except FusemapError as error:
            if not path.exists():
                self._settings.drop_recent(path)
            self.problem.emit(_about(path, error))
            return None

    async def _ask_how_to_open(self, path: Path) -> str:
        """As a copy, or all the same, where somebody else has it open; empty for not at all."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.files.file_questions import ask_in_use

        mark = self.hold.others(path)
        if mark is None:
            return "openAnyway"
        answers = (
            ("openCopy", self.tr("Open a &copy")),
            ("openAnyway", self.tr("Open it all the &same")),
        )
        return await ask_in_use(self._window, path, mark, answers)

    async def take_demo(self, key: str) -> bool:
        """The same as a step of another command; says whether it was opened."""
        # loaded when it is first needed: the start stays short
        from fusemap.files import demos

        if not await self.may_leave():
            return False
        try:
            self._take(demos.read_demo(key or demos.FIRST, self._language()))
        except FusemapError as error:
            self.problem.emit(error)
            return False
        return True

    def take_up(self, vehicle: Vehicle, path: Path | None, mark: str) -> None:
        """Take unsaved work in hand again, with its file or the mark it had without one."""
        self._take(vehicle, path, unsaved=True, mark=mark)

    def _take(
        self, vehicle: Vehicle, path: Path | None = None, *, unsaved: bool = False, mark: str = ""
    ) -> None:
        """Take a vehicle in hand, and its file if it has one."""
        self.hold.take(path, mark=path is not None and self.hold.others(path) is None)
        self._told = False
        self._document.set_vehicle(vehicle, path, unsaved=unsaved, mark=mark)

    def let_go(self) -> None:
        """The window closes: the file is open here no more."""
        self.hold.let_go()

    def recent(self) -> Sequence[tuple[str, Path]]:
        """The recent files, each with what to call it."""
        return [(f"{path.stem} — {path.parent}", path) for path in self._settings.recent]

    def demos(self) -> Sequence[tuple[str, str]]:
        """The demo vehicles, each with its title."""
        # loaded when it is first needed: the start stays short
        from fusemap.files import demos

        return [(title, key) for key, title in demos.demo_names(self._language())]

    def demo_stories(self) -> Sequence[tuple[str, str, str]]:
        """The demo vehicles: key, title, and the first sentence of their note."""
        # loaded when it is first needed: the start stays short
        from fusemap.files import demos

        language = self._language()
        return [
            (key, title, first_sentence(demos.read_demo(key, language).note))
            for key, title in demos.demo_names(language)
        ]

    # --- unsaved work ---------------------------------------------------------------------------

    async def may_leave(self) -> bool:
        """Whether the vehicle in hand may be let go: it is saved, or was saved or given up now."""
        finish_typing(self._window)
        if not self._document.modified:
            return True
        answer = await asking.ask_to_save(self._window, self.name)
        if answer == "discard":
            return await self._discard()
        return answer == "save" and await self._save_to(self._document.path)

    async def _discard(self) -> bool:
        """Give the work up; it stays among the earlier versions, or else it is asked once more."""
        if self._give_up():
            return True
        error = FileProblem(
            say("what you discard cannot be kept among the earlier versions"),
            str(state_folder()),
            say("save it somewhere, or discard it all the same"),
        )
        way = await self._ask_in_bar(
            error,
            (self.tr("Save under &another name…"), "elsewhere"),
            (self.tr("&Discard all the same"), "give_up"),
        )
        return way == "give_up" or await self._save_to(None)

    def _give_up(self) -> bool:
        """Put the vehicle in hand among its file's earlier versions; says whether that worked."""
        # loaded when it is first needed: the start stays short
        from fusemap.files.backups import give_up

        return give_up(state_folder(), self._document.path, self._document.vehicle)

    def _ask_in_bar(self, error: FileProblem, *choices: tuple[str, Way]) -> Answer[Way]:
        """Tell a problem, with what can be done about it, as pairs of words and way."""
        answer: Answer[Way] = Answer()
        self.stuck.emit(error, tuple((words, partial(answer.give, way)) for words, way in choices))
        return answer

    # --- this vehicle ---------------------------------------------------------------------------

    @property
    def name(self) -> str:
        """What to call the vehicle in hand: its file's name, else its own."""
        path = self._document.path
        return path.name if path else self._document.vehicle.name or self.tr("New vehicle")

    def save(self) -> None:
        """Save to the vehicle's file, asking for one when there is none."""
        begin(self._save_to(self._document.path))

    def save_as(self) -> None:
        """Save to a file that is chosen now."""
        begin(self._save_to(None))

    async def _save_to(self, path: Path | None) -> bool:
        """Save to a file, or to one that is asked for; says whether it was saved in the end."""
        finish_typing(self._window)
        while path := path or await self._ask_where_to_save():
            way = await self._ask_about(path)
            if way == "write":
                error = self._write(path)
                if error is None:
                    return True
                way = await self._ask_in_bar(
                    error,
                    (self.tr("Save under &another name…"), "elsewhere"),
                    (self.tr("&Try again"), "write"),
                )
            if way == "take_theirs":
                self._take_theirs(path)
            if way in ("take_theirs", "leave"):
                return False
            if way == "elsewhere":
                path = None
        return False

    def _ask_where_to_save(self) -> Answer[Path | None]:
        path = self._document.path
        name = path.name if path else file_name(self._document.vehicle.name)
        title = self.tr("Save the vehicle")
        return asking.ask_for_file(self._window, title, self._folder(), save_as=name)

    async def _ask_about(self, path: Path) -> Way:
        """What is to be done where somebody else has the file open, or has changed it."""
        # loaded when it is first needed: the start stays short
        from fusemap.files import read_vehicle
        from fusemap.window.files import file_questions

        mark = self.hold.others(path)
        if mark is not None:
            answers = (
                ("saveElsewhere", self.tr("Save under &another name…")),
                ("saveAnyway", self.tr("Save all the &same")),
            )
            answer = await file_questions.ask_in_use(self._window, path, mark, answers)
            if answer != "saveAnyway":
                return "elsewhere" if answer else "leave"
        if path != self._document.path or not self.hold.changed(path):
            return "write"
        style, mine = self._look.theme.style, self._document.vehicle
        read = partial(read_vehicle, path)
        return await file_questions.ask_changed(self._window, style, path, read, mine)

    def _write(self, path: Path) -> FileProblem | None:
        """Write the file and keep what stood in it before; the problem, if there was one."""
        # loaded when it is first needed: the start stays short
        from fusemap.files import backups, write_vehicle

        kept = backups.keep(state_folder(), path)
        try:
            write_vehicle(path, self._document.vehicle)
        except FusemapError as error:
            return _about(path, error)
        self.hold.take(path)
        self._told = False
        self._document.mark_saved(path)
        self._settings.add_recent(path)
        words = self.tr("Saved to {path}").format(path=path)
        if not kept:
            words += self.tr(". The version before could not be kept.")
        self.done.emit(words)
        return None

    def _take_theirs(self, path: Path) -> None:
        """Take up what stands in the file now, as a step that can be undone.

        The vehicle in hand counts as saved then: so that it outlives this window, it goes among the
        earlier versions.
        """
        # loaded when it is first needed: the start stays short
        from fusemap.files import read_vehicle

        try:
            theirs = read_vehicle(path)
        except FusemapError as error:
            self.problem.emit(_about(path, error))
            return
        kept = self._give_up()
        step = say("Take up the file's version")
        if self._document.apply(step, lambda mine: theirs):
            self.hold.take(path)
            self._document.mark_saved(path)
            self.done.emit(
                self.tr(
                    "Taken up as it stands in the file. Undo brings yours back; it is among the "
                    "earlier versions, too."
                )
                if kept
                else self.tr(
                    "Taken up as it stands in the file. Undo brings yours back; it could not be "
                    "kept among the earlier versions."
                )
            )

    # --- earlier versions -----------------------------------------------------------------------

    def show_versions(self) -> None:
        """Show the earlier versions of the file in hand, to restore one."""
        begin(self._restore_version())

    async def _restore_version(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.files import read_vehicle
        from fusemap.files.backups import versions
        from fusemap.window.files.file_questions import choose_version

        path, now = self._document.path, self._document.vehicle
        earlier = versions(state_folder(), path)
        in_file = None
        if path is not None and (self._document.modified or self.hold.changed(path)):
            in_file = partial(read_vehicle, path) if path.exists() else None
        if in_file is None and not earlier:
            self.done.emit(
                self.tr("This vehicle has no file yet: earlier versions begin with it.")
                if path is None
                else self.tr("There are no earlier versions yet: each save will keep one.")
            )
            return
        name, style = path.name if path is not None else "", self._look.theme.style
        chosen = await choose_version(self._window, style, name, in_file, earlier, now)
        if chosen is None:
            return
        vehicle, words = chosen
        step = say("Restore: {which}", which=words)
        if self._document.apply(step, lambda old: vehicle):
            self.done.emit(
                self.tr("Restored: {which}. Undo brings yours back.").format(which=words)
            )

    def notice_changes(self) -> None:
        """Tell once when something else has changed or taken away the file meanwhile."""
        path = self.hold.path
        gone = self.hold.vanished()
        if path is None or not (gone or self.hold.changed(path)):
            self._told = False
        elif not self._told:
            self._told = True
            words = (
                self.tr("“{name}” is not there any more. Your vehicle is; saving writes it anew.")
                if gone
                else self.tr(
                    "Something else has changed “{name}”. Saving will ask; Earlier versions in "
                    "the file menu shows what differs."
                )
            )
            self.done.emit(words.format(name=path.name))

    def _language(self) -> str:
        """The language a demo vehicle is opened in: the window's."""
        return self._look.theme.style.language

    def _folder(self) -> Path:
        """Where a file dialog starts: beside the file in hand, else the newest one, else home."""
        near = [self._document.path, *self._settings.recent]
        return next((path.parent for path in near if path and path.parent.is_dir()), Path.home())


def _about(path: Path, error: FusemapError) -> FileProblem:
    """The same problem, with the file's name where only a field in it was named."""
    if str(path) in str(error) or path.name in str(error):
        return FileProblem(error.what, error.where, error.remedy)
    where = in_row([path.name, error.where]) if error.where else path.name
    return FileProblem(error.what, where, error.remedy)


def first_sentence(text: str) -> str:
    """A text up to its first full stop.

    >>> first_sentence("A 24 V truck. It has two panels.")
    'A 24 V truck.'
    """
    head, stop, _ = text.partition(". ")
    return f"{head}." if stop else text


def file_name(name: str) -> str:
    """A file name for a vehicle's name.

    >>> file_name("Blue van / 2")
    'Blue van - 2.fusemap'
    """
    safe = "".join("-" if letter in '/\\:*?"<>|' or ord(letter) < 32 else letter for letter in name)
    return f"{safe.strip(' .') or 'vehicle'}{asking.SUFFIX}"
