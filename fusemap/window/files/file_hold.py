"""What this window knows of the file it has open: how it was when last read or written, and the
mark that it is open here.

In: the path. Out: whether somebody else has it open, and whether it was changed meanwhile. No Qt.
"""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fusemap.files.lock import Lock, Mark

Stamp = tuple[int, int, int]


class FileHold:
    """The one file a window has open, or none."""

    def __init__(self) -> None:
        self.path: Path | None = None
        self._stamp: Stamp | None = None
        self._lock: Lock | None = None

    def take(self, path: Path | None, *, mark: bool = True) -> None:
        """Have this file open from now on, as it is now; the one before is let go."""
        if self._lock is None or path != self.path:
            self.let_go()
            self._lock = _locked(path) if path is not None and mark else None
        self.path = path
        self._stamp = stamp(path) if path is not None else None

    def let_go(self) -> None:
        """Have no file open any more."""
        if self._lock is not None:
            self._lock.release()
        self._lock = self.path = self._stamp = None

    def others(self, path: Path) -> "Mark | None":
        """Who else has a file open."""
        # loaded when it is first needed: the start stays short
        from fusemap.files.lock import holder

        if self._lock is not None and self._lock.is_on(path):
            return None
        return holder(path)

    def changed(self, path: Path) -> bool:
        """Whether a file is there that is not as this window last read or wrote it."""
        now = stamp(path)
        return now is not None and (path != self.path or now != self._stamp)

    def vanished(self) -> bool:
        """Whether the file was there and is not any more."""
        return self.path is not None and self._stamp is not None and stamp(self.path) is None


def _locked(path: Path) -> "Lock | None":
    # loaded when it is first needed: a demo vehicle has no file
    from fusemap.files.lock import take

    return take(path)


def stamp(path: Path) -> Stamp | None:
    """What tells one state of a file from another; `None` where there is no file."""
    try:
        state = path.stat()
    except (OSError, ValueError):
        return None
    return state.st_mtime_ns, state.st_size, state.st_ino
