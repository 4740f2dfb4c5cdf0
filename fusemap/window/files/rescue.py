"""Unsaved work kept against a crash, a cut of power, a killed process.

After every edit the vehicle is written into the user's state folder (`fusemap.files.kept`). Saving,
or closing in the ordinary way, takes it away again; what is still there at the next start, from a
process that no longer runs, was lost and is offered (`fusemap.window.files.recovery`).
"""

from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from fusemap.errors import FileProblem
from fusemap.window.document import Document
from fusemap.window.parts.later import Later

if TYPE_CHECKING:
    from fusemap.files.kept import Keeper

_numbers = count(1)


class Rescue(QObject):
    """Keeps the vehicle of one document on disk while it is not saved.

    `failed(error)` is told once when that is not possible any more.
    """

    failed = Signal(object)

    def __init__(self, document: Document, folder: Path) -> None:
        super().__init__(document)
        self._document = document
        self._folder = folder
        self._number = next(_numbers)
        self._keeper: Keeper | None = None
        self._told = False
        # One write for the edits of one turn of the event loop; the next turn comes at once.
        self._soon = Later(self.keep, self)
        document.changed.connect(self._soon.start)
        document.modified_changed.connect(self._soon.start)

    def keep(self) -> bool:
        """Write the vehicle as it is now, or take the kept one away where it is saved.

        Says whether nothing would be lost now.
        """
        self._soon.stop()
        if not self._document.modified:
            self.forget()
            return True
        try:
            self._made().write(self._document.vehicle, self._document.path)
        except (OSError, ValueError) as error:
            # A state folder that cannot be written to must not stop the work.
            self._tell(error)
            return False
        self._told = False
        return True

    def forget(self) -> None:
        """Take the kept work away: it is saved, or was given up."""
        self._soon.stop()
        if self._keeper is not None:
            self._keeper.remove()

    def _made(self) -> "Keeper":
        """Made at the first edit: a window that only looks at a vehicle needs none."""
        if self._keeper is None:
            from fusemap.files.kept import Keeper

            self._keeper = Keeper(self._folder, str(self._number))
        return self._keeper

    def _tell(self, error: OSError | ValueError) -> None:
        if self._told:
            return
        self._told = True
        self.failed.emit(
            FileProblem(
                self.tr("unsaved work cannot be kept against a crash ({reason})").format(
                    reason=getattr(error, "strerror", None) or error
                ),
                str(self._folder),
                self.tr("save the vehicle often; editing goes on as usual"),
            )
        )
