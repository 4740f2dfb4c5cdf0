"""New, open, save: what the window does with files. A problem never costs the vehicle in hand.

Every way to another vehicle first asks about unsaved work; the question does not wait, so each way
is a call that goes on once it was answered.
"""

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from fusemap.errors import FileProblem, FusemapError
from fusemap.vehicle import Vehicle, edits
from fusemap.window import dialogs
from fusemap.window.document import Document
from fusemap.window.settings import Settings

Stamp = tuple[int, int, int]


class FileCommands(QObject):
    """The commands of the file menu. `problem(error)` and `done(words)` are for the message bar."""

    problem = Signal(object)
    done = Signal(str)
    new_wanted = Signal()

    def __init__(self, window: QWidget, document: Document, settings: Settings) -> None:
        super().__init__(window)
        self._window = window
        self._document = document
        self._settings = settings
        self._stamp: Stamp | None = None
        self._warned: Stamp | None = None

    # --- another vehicle ------------------------------------------------------------------------

    def new(self) -> None:
        """Go to the page that asks for a new vehicle's lid."""
        self.new_wanted.emit()

    def create(self, name: str, rows: int, columns: int, family: str, system_v: int) -> None:
        """Take a new vehicle in hand, with one panel of that size."""

        def make() -> None:
            vehicle = edits.change_vehicle(Vehicle(name=name), system_v=system_v)
            panel = self.tr("Fuse panel")
            vehicle = edits.add_panel(vehicle, panel, rows, columns, family=family)
            self._document.set_vehicle(vehicle, unsaved=True)

        self.after_saving(make)

    def open(self) -> None:
        """Choose a file and open it."""
        title = self.tr("Open a vehicle")
        self.after_saving(
            lambda: dialogs.choose_file(self._window, title, self._folder(), self._read)
        )

    def open_path(self, path: Path) -> None:
        """Open a file."""
        self.after_saving(lambda: self._read(path))

    def open_demo(self, key: str) -> None:
        """Open a demo vehicle (the first with an empty key); it has no file until it is saved."""
        self.after_saving(lambda: self._read_demo(key))

    def take_up(self, vehicle: Vehicle, path: Path | None) -> None:
        """Take unsaved work in hand that belongs to a file."""
        self._document.set_vehicle(vehicle, path, unsaved=True)
        self._stamp = stamp(path) if path else None

    def recent(self) -> Sequence[tuple[str, Path]]:
        """The recent files, each with what to call it."""
        return [(f"{path.stem} — {path.parent}", path) for path in self._settings.recent]

    def demos(self) -> Sequence[tuple[str, str]]:
        """The demo vehicles, each with its title."""
        from fusemap.files import demos

        return [(title, key) for key, title in demos.demo_names()]

    def demo_stories(self) -> Sequence[tuple[str, str, str]]:
        """The demo vehicles: key, title, and the first sentence of their note."""
        from fusemap.files import demos

        notes = [(key, title, demos.read_demo(key).note) for key, title in demos.demo_names()]
        return [(key, title, first_sentence(note)) for key, title, note in notes]

    def after_saving(self, then: Callable[[], object]) -> None:
        """Go on with `then` once unsaved work is saved or given up; or not at all."""
        if not self._document.modified:
            then()
            return
        dialogs.ask_to_save(
            self._window, self.name, save=lambda: self.save(then), discard=lambda: _call(then)
        )

    # --- this vehicle ---------------------------------------------------------------------------

    @property
    def name(self) -> str:
        """What to call the vehicle in hand: its file's name, else its own."""
        path = self._document.path
        return path.name if path else self._document.vehicle.name or self.tr("New vehicle")

    def save(self, then: Callable[[], object] | None = None) -> None:
        """Save to the vehicle's file, asking for one when there is none; then go on."""
        path = self._document.path
        if path is None:
            self.save_as(then)
        else:
            self._write(path, then)

    def save_as(self, then: Callable[[], object] | None = None) -> None:
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

    def _read(self, path: Path) -> None:
        from fusemap.files import read_vehicle

        try:
            vehicle = read_vehicle(path)
        except FusemapError as error:
            if not path.exists():
                self._settings.drop_recent(path)
            self.problem.emit(_about(path, error))
            return
        self._document.set_vehicle(vehicle, path)
        self._stamp = stamp(path)
        self._settings.add_recent(path)

    def _read_demo(self, key: str) -> None:
        from fusemap.files import demos

        try:
            self._document.set_vehicle(demos.read_demo(key or demos.FIRST))
        except FusemapError as error:
            self.problem.emit(error)

    def _write(self, path: Path, then: Callable[[], object] | None) -> None:
        from fusemap.files import write_vehicle

        if self._changed_by_others(path):
            return
        try:
            write_vehicle(path, self._document.vehicle)
        except FusemapError as error:
            self.problem.emit(_about(path, error))
            return
        self._stamp = stamp(path)
        self._document.mark_saved(path)
        self._settings.add_recent(path)
        self.done.emit(self.tr("Saved to {path}").format(path=path))
        if then is not None:
            then()

    def _changed_by_others(self, path: Path) -> bool:
        """Whether somebody else wrote the file meanwhile: told once, the next save replaces it."""
        now = stamp(path)
        if path != self._document.path or now in (None, self._stamp, self._warned):
            return False
        self._warned = now
        self.problem.emit(
            FileProblem(
                self.tr("it was not saved: something else has changed this file meanwhile"),
                str(path),
                self.tr("save under another name, or save once more to replace it"),
            )
        )
        return True

    def _folder(self) -> Path:
        """Where a file dialog starts: beside the file in hand, else the newest one, else home."""
        near = [self._document.path, *self._settings.recent]
        return next((path.parent for path in near if path and path.parent.is_dir()), Path.home())


def stamp(path: Path) -> Stamp | None:
    """What tells one state of a file from another; `None` where there is no file."""
    try:
        state = path.stat()
    except OSError:
        return None
    return state.st_mtime_ns, state.st_size, state.st_ino


def _call(then: Callable[[], object]) -> None:
    then()


def _about(path: Path, error: FusemapError) -> FileProblem:
    """The same problem, with the file's name where only a field in it was named."""
    if str(path) in str(error) or path.name in str(error):
        return FileProblem(error.what, error.where, error.remedy)
    where = f"{path.name}, {error.where}" if error.where else path.name
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
