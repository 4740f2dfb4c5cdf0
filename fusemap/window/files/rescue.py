"""Unsaved work kept against a crash, a cut of power, a killed process, and offered again.

At every edit, before anything shows it, the vehicle is written into the user's state folder
(`fusemap.files.kept`). Saving, or closing in the ordinary way, takes it away again; what is still
there at the next start, from a process that no longer runs, was lost and is offered, shown with
what differs. Nothing is taken up unasked and nothing is thrown away unasked: what is not decided on
stays kept and is offered again at the next start, or from the file menu.
"""

from contextlib import suppress
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QWidget

from fusemap.errors import FileProblem
from fusemap.text import Text, say
from fusemap.vehicle import Vehicle
from fusemap.window.asking import begin
from fusemap.window.document import Document
from fusemap.window.files.file_commands import FileCommands
from fusemap.window.settings import state_folder
from fusemap.window.style.theme import Look

if TYPE_CHECKING:
    from fusemap.files.kept import Keeper, Lost

_numbers = count(1)
NOT_FORCED: Final = say("unsaved work is kept, but the disk does not hold it over a cut of power")


class Rescue(QObject):
    """Keeps the vehicle of one document on disk while it is not saved.

    `trouble(error)` is told when that is not possible any more, and `trouble(None)` when it is
    again, or nothing is left to be kept.
    """

    trouble = Signal(object)
    _forced = Signal(bool)

    def __init__(self, document: Document, folder: Path) -> None:
        super().__init__(document)
        self._document = document
        self._folder = folder
        self._number = next(_numbers)
        self._keeper: Keeper | None = None
        self._kept: Vehicle | None = None
        self._not_written: FileProblem | None = None
        self._not_forced: FileProblem | None = None
        self._told: FileProblem | None = None
        self._forced.connect(self._tell_forced, Qt.ConnectionType.QueuedConnection)
        document.stepped.connect(self._write)
        document.modified_changed.connect(self._look_again)

    def keep(self) -> bool:
        """Write the vehicle as it is now, or take the kept one away where it is saved.

        Says whether nothing would be lost now.
        """
        if not self._document.modified:
            self.forget()
            return True
        return self._write(self._document.vehicle)

    def forget(self) -> None:
        """Take the kept work away: it is saved, or was given up."""
        self._kept = None
        if self._keeper is not None:
            self._keeper.remove()
        self._not_written = self._not_forced = None
        self._tell()

    def _look_again(self) -> None:
        """It is saved now, or was taken in hand unsaved; a step was written before it was told."""
        if not self._document.modified or self._document.vehicle is not self._kept:
            self.keep()

    def _write(self, vehicle: Vehicle) -> bool:
        try:
            self._made().write(vehicle, self._document.path, self._document.mark)
        except (OSError, ValueError) as error:
            # A state folder that cannot be written to must not stop the work.
            self._kept = None
            self._not_written = self._problem(
                say("unsaved work cannot be kept against a crash ({reason})", reason=_why(error))
            )
        else:
            self._kept = vehicle
            self._not_written = None
        self._tell()
        return self._not_written is None

    def _made(self) -> "Keeper":
        """Made at the first edit: a window that only looks at a vehicle needs none."""
        if self._keeper is None:
            # loaded when it is first needed: the start stays short
            from fusemap.files.kept import Keeper

            self._keeper = Keeper(self._folder, str(self._number), self._say_forced)
        return self._keeper

    def _say_forced(self, done: bool) -> None:
        """Asked in another thread; it is told in the window's."""
        with suppress(RuntimeError):  # the window is gone already
            self._forced.emit(done)

    def _tell_forced(self, done: bool) -> None:
        if self._kept is None:  # saved meanwhile, or not even written
            return
        self._not_forced = None if done else self._problem(NOT_FORCED)
        self._tell()

    def _problem(self, what: Text) -> FileProblem:
        remedy = say("save the vehicle often; editing goes on as usual")
        return FileProblem(what, str(self._folder), remedy)

    def _tell(self) -> None:
        trouble = self._not_written or self._not_forced
        if str(trouble) != str(self._told):
            self._told = trouble
            self.trouble.emit(trouble)


def _why(error: OSError | ValueError) -> Text | str:
    # loaded when it is first needed: the start stays short
    from fusemap.files.atomic import reason

    return reason(error) if isinstance(error, OSError) else str(error)


class Recovery(QObject):
    """Offers lost work in a window. `rescue` keeps the work in hand, where there is one."""

    def __init__(self, window: QWidget, files: FileCommands, look: Look) -> None:
        super().__init__(window)
        self._window = window
        self._files = files
        self._look = look
        self.rescue: Rescue | None = None

    def offer(self) -> bool:
        """Show the lost work; says whether there is any."""
        folder = state_folder()
        if not any(folder.glob("unsaved-*")):
            return False
        # loaded when it is first needed: the start stays short
        from fusemap.files.kept import lost_work
        from fusemap.window.files.file_questions import RecoveryDialog

        lost = [work for work in lost_work(folder) if not self._is_saved(work)]
        if lost:
            style = self._look.theme.style
            RecoveryDialog(self._window, style, lost, self._take, _give_up).open()
        return bool(lost)

    def _is_saved(self, lost: "Lost") -> bool:
        """Whether this very vehicle stands in its file already; then it is forgotten."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.files.file_questions import in_file

        if lost.vehicle is None or lost.elsewhere or lost.vehicle != in_file(lost.path):
            return False
        lost.forget()
        return True

    def _take(self, lost: "Lost") -> None:
        begin(self._take_up(lost))

    async def _take_up(self, lost: "Lost") -> None:
        if not await self._files.may_leave():
            return
        assert lost.vehicle is not None
        self._files.take_up(lost.vehicle, lost.path, lost.mark)
        # Only when it is kept anew may the old keeping go.
        if self.rescue is not None and self.rescue.keep():
            lost.forget()


def _give_up(lost: "Lost") -> None:
    """Put it among the earlier versions; where that cannot be done it is offered again."""
    # loaded when it is first needed: the start stays short
    from fusemap.files.backups import give_up

    if lost.vehicle is None or give_up(state_folder(), lost.path, lost.vehicle):
        lost.forget()
