"""New, open, save: what the window does with files. A problem never costs the vehicle in hand.

Every way to another vehicle first asks about unsaved work; the question does not wait, so each way
is a call that goes on once it was answered. Before a save takes the file's place, what stands there
is kept among the earlier versions; what somebody else has open or has changed is asked about first.
"""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from fusemap.errors import FileProblem, FusemapError
from fusemap.text import in_row
from fusemap.vehicle import Vehicle, edits
from fusemap.vehicle.lid import Lid
from fusemap.window import dialogs
from fusemap.window.document import Document
from fusemap.window.files.file_hold import FileHold
from fusemap.window.settings import Settings, state_folder
from fusemap.window.texts.languages import chosen_language

if TYPE_CHECKING:
    from fusemap.files.lock import Mark

Then = Callable[[], object]


class FileCommands(QObject):
    """The commands of the file menu.

    For the message bar: `problem(error)`, `done(words)`, and `stuck(error, choices)` where there is
    something to choose, as pairs of a text and what to call.
    """

    problem = Signal(object)
    stuck = Signal(object, object)
    done = Signal(str)
    new_wanted = Signal()

    def __init__(self, window: QWidget, document: Document, settings: Settings) -> None:
        super().__init__(window)
        self._window = window
        self._document = document
        self._settings = settings
        self.hold = FileHold()
        self._told = False

    # --- another vehicle ------------------------------------------------------------------------

    def new(self) -> None:
        """Go to the page that asks for a new vehicle's lid."""
        self.new_wanted.emit()

    def create(self, name: str, system_v: int, lid: Lid) -> None:
        """Take a new vehicle in hand, with one panel as its lid shows it."""

        def make() -> None:
            vehicle = edits.change_vehicle(Vehicle(name=name), system_v=system_v)
            try:
                vehicle = edits.add_lid(vehicle, self.tr("Fuse panel"), lid)
            except FusemapError as error:
                self.problem.emit(error)
            else:
                self._take(vehicle, unsaved=True)

        self.after_saving(make)

    def open(self) -> None:
        """Choose a file and open it."""
        title = self.tr("Open a vehicle")
        self.after_saving(
            lambda: dialogs.choose_file(self._window, title, self._folder(), self._read)
        )

    def open_path(self, path: Path) -> None:
        """Open a file."""
        self.after_saving(lambda: self._read(path.absolute()))

    def open_demo(self, key: str) -> None:
        """Open a demo vehicle (the first with an empty key); it has no file until it is saved."""
        self.after_saving(lambda: self._read_demo(key))

    def take_up(self, vehicle: Vehicle, path: Path | None) -> None:
        """Take unsaved work in hand that belongs to a file."""
        self._take(vehicle, path, unsaved=True)

    def let_go(self) -> None:
        """The window closes: the file is open here no more."""
        self.hold.let_go()

    def recent(self) -> Sequence[tuple[str, Path]]:
        """The recent files, each with what to call it."""
        return [(f"{path.stem} — {path.parent}", path) for path in self._settings.recent]

    def demos(self) -> Sequence[tuple[str, str]]:
        """The demo vehicles, each with its title."""
        from fusemap.files import demos

        return [(title, key) for key, title in demos.demo_names(self._language())]

    def demo_stories(self) -> Sequence[tuple[str, str, str]]:
        """The demo vehicles: key, title, and the first sentence of their note."""
        from fusemap.files import demos

        language = self._language()
        return [
            (key, title, first_sentence(demos.read_demo(key, language).note))
            for key, title in demos.demo_names(language)
        ]

    def _language(self) -> str:
        """The language a demo vehicle is opened in: the window's."""
        return chosen_language(self._settings.kept.language)

    def after_saving(self, then: Then) -> None:
        """Go on with `then` once unsaved work is saved or given up; or not at all."""
        if not self._document.modified:
            then()
            return
        dialogs.ask_to_save(
            self._window,
            self.name,
            save=lambda: self.save(then),
            discard=lambda: self._discard(then),
        )

    def _discard(self, then: Then) -> None:
        """Go on without saving; what is given up stays among the earlier versions."""
        if self._give_up():
            then()
            return
        error = FileProblem(
            self.tr("what you discard cannot be kept among the earlier versions"),
            str(state_folder()),
            self.tr("save it somewhere, or discard it all the same"),
        )
        other = (self.tr("Save under &another name…"), partial(self.save_as, then))
        self.stuck.emit(error, (other, (self.tr("&Discard all the same"), then)))

    def _give_up(self) -> bool:
        """Put the vehicle in hand among its file's earlier versions; says whether that worked."""
        from fusemap.files.backups import give_up

        return give_up(state_folder(), self._document.path, self._document.vehicle)

    # --- this vehicle ---------------------------------------------------------------------------

    @property
    def name(self) -> str:
        """What to call the vehicle in hand: its file's name, else its own."""
        path = self._document.path
        return path.name if path else self._document.vehicle.name or self.tr("New vehicle")

    def save(self, then: Then | None = None) -> None:
        """Save to the vehicle's file, asking for one when there is none; then go on."""
        path = self._document.path
        if path is None:
            self.save_as(then)
        else:
            self._write(path, then)

    def save_as(self, then: Then | None = None) -> None:
        """Save to a file that is chosen now; then go on."""
        path = self._document.path
        name = path.name if path else file_name(self._document.vehicle.name)
        dialogs.choose_file(
            self._window,
            self.tr("Save the vehicle"),
            self._folder(),
            lambda chosen: self._write(chosen, then),
            save_as=name,
        )

    def show_versions(self) -> None:
        """Show the earlier versions of the file in hand, to restore one."""
        from fusemap.files import read_vehicle
        from fusemap.files.backups import versions
        from fusemap.window.files.file_questions import show_versions

        path, now = self._document.path, self._document.vehicle
        earlier = versions(state_folder(), path)
        in_file = None
        if path is not None and (self._document.modified or self.hold.changed(path)):
            in_file = partial(read_vehicle, path) if path.exists() else None
        if in_file is not None or earlier:
            name = path.name if path is not None else ""
            show_versions(self._window, name, in_file, earlier, now, self._restore)
        elif path is None:
            self.done.emit(self.tr("This vehicle has no file yet: earlier versions begin with it."))
        else:
            self.done.emit(self.tr("There are no earlier versions yet: each save will keep one."))

    def _restore(self, vehicle: Vehicle, words: str) -> None:
        text = self.tr("Restore: {which}").format(which=words)
        if self._document.apply(text, lambda old: vehicle):
            self.done.emit(
                self.tr("Restored: {which}. Undo brings yours back.").format(which=words)
            )

    def look_round(self) -> None:
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

    # --- reading --------------------------------------------------------------------------------

    def _read(self, path: Path) -> None:
        mark = self.hold.others(path)
        if mark is None:
            self._read_now(path)
            return
        from fusemap.window.files.file_questions import ask_in_use

        copy, anyway = self.tr("Open a &copy"), self.tr("Open it all the &same")
        answers = (
            ("openCopy", copy, partial(self._read_now, path, as_copy=True)),
            ("openAnyway", anyway, partial(self._read_now, path)),
        )
        ask_in_use(self._window, path, mark, answers)

    def _read_now(self, path: Path, *, as_copy: bool = False) -> None:
        from fusemap.files import read_vehicle

        try:
            vehicle = read_vehicle(path)
        except FusemapError as error:
            if not path.exists():
                self._settings.drop_recent(path)
            self.problem.emit(_about(path, error))
            return
        self._take(vehicle, None if as_copy else path)
        self._settings.add_recent(path)

    def _read_demo(self, key: str) -> None:
        from fusemap.files import demos

        try:
            self._take(demos.read_demo(key or demos.FIRST, self._language()))
        except FusemapError as error:
            self.problem.emit(error)

    def _take(self, vehicle: Vehicle, path: Path | None = None, *, unsaved: bool = False) -> None:
        """Take a vehicle in hand, and its file if it has one."""
        self.hold.take(path, mark=path is not None and self.hold.others(path) is None)
        self._told = False
        self._document.set_vehicle(vehicle, path, unsaved=unsaved)

    # --- writing --------------------------------------------------------------------------------

    def _write(self, path: Path, then: Then | None) -> None:
        """Save to a file, unless somebody else has to do with it: then ask first."""
        mark = self.hold.others(path)
        if mark is not None:
            self._ask_in_use(path, mark, then)
        elif path == self._document.path and self.hold.changed(path):
            self._ask_changed(path, then)
        else:
            self._write_now(path, then)

    def _write_now(self, path: Path, then: Then | None) -> None:
        from fusemap.files import backups, write_vehicle

        kept = backups.keep(state_folder(), path)
        try:
            write_vehicle(path, self._document.vehicle)
        except FusemapError as error:
            again = (self.tr("&Try again"), partial(self._write, path, then))
            other = (self.tr("Save under &another name…"), partial(self.save_as, then))
            self.stuck.emit(_about(path, error), (other, again))
            return
        self.hold.take(path)
        self._told = False
        self._document.mark_saved(path)
        self._settings.add_recent(path)
        words = self.tr("Saved to {path}").format(path=path)
        if not kept:
            words += self.tr(". The version before could not be kept.")
        self.done.emit(words)
        if then is not None:
            then()

    def _ask_in_use(self, path: Path, mark: "Mark", then: Then | None) -> None:
        from fusemap.window.files.file_questions import ask_in_use

        anyway, other = self.tr("Save all the &same"), self.tr("Save under &another name…")
        changed = path == self._document.path and self.hold.changed(path)
        go_on = partial(self._ask_changed if changed else self._write_now, path, then)
        answers = (
            ("saveElsewhere", other, partial(self.save_as, then)),
            ("saveAnyway", anyway, go_on),
        )
        ask_in_use(self._window, path, mark, answers)

    def _ask_changed(self, path: Path, then: Then | None) -> None:
        from fusemap.files import read_vehicle
        from fusemap.window.files.file_questions import ChangedAnswers, ask_changed

        answers = ChangedAnswers(
            replace=partial(self._write_now, path, then),
            save_as=partial(self.save_as, then),
            take_theirs=partial(self._take_theirs, path),
        )
        read = partial(read_vehicle, path)
        ask_changed(self._window, path, read, self._document.vehicle, answers)

    def _take_theirs(self, path: Path) -> None:
        """Take up what stands in the file now, as a step that can be undone.

        The vehicle in hand counts as saved then: so that it outlives this window, it goes among the
        earlier versions.
        """
        from fusemap.files import read_vehicle

        try:
            theirs = read_vehicle(path)
        except FusemapError as error:
            self.problem.emit(_about(path, error))
            return
        kept = self._give_up()
        text = self.tr("Take up the file's version")
        if self._document.apply(text, lambda mine: theirs):
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
    return f"{safe.strip(' .') or 'vehicle'}{dialogs.SUFFIX}"
