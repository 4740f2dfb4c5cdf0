"""A mark beside a file that somebody has it open, so that two windows do not work against each
other.

The mark is a small hidden file, ``.van.fusemap.lock``, in the same folder: whoever opens the same
file, on this computer or on another that shares the folder, finds who has it and since when. It is
a courtesy and no wall: one whose process no longer runs counts for nothing, one that cannot be
written (a read-only folder, a full disk) is done without, and the user may go on regardless.
"""

import os
import secrets
from contextlib import suppress
from datetime import datetime
from pathlib import Path

import msgspec

from fusemap.files.processes import Owner, myself, still_runs

MOST_BYTES = 10_000
"""A larger mark is none of ours [bytes]."""


class Mark(msgspec.Struct, frozen=True, kw_only=True):
    """What stands in the mark: who has the file open, since when, and a word no other mark has."""

    owner: Owner
    since: str
    token: str

    @property
    def is_mine(self) -> bool:
        """Whether another window of this very process made it."""
        return self.owner == myself()


class Lock:
    """The mark of one open file; `held` says whether it could be made."""

    def __init__(self, mark_file: Path, mark: Mark, held: bool) -> None:
        self._file = mark_file
        self._mark = mark
        self.held = held

    def is_on(self, path: Path) -> bool:
        """Whether this is the mark that stands at a file now."""
        return self.held and mark_file(path) == self._file and _read(self._file) == self._mark

    def release(self) -> None:
        """Take the mark away, unless it is somebody else's by now."""
        if self.held and _read(self._file) == self._mark:
            with suppress(OSError):
                self._file.unlink()
        self.held = False


def mark_file(path: Path) -> Path:
    """Where the mark of a file is; a link has that of the file it leads to."""
    real = Path(os.path.realpath(path))
    return real.with_name(f".{real.name}.lock")


def holder(path: Path) -> Mark | None:
    """Who has a file open; `None` when nobody has, or whoever had it no longer runs."""
    mark = _read(mark_file(path))
    if mark is None or still_runs(mark.owner) is False:
        return None
    return mark


def take(path: Path) -> Lock:
    """Mark a file as open here, whoever had it. Ask `holder` first."""
    file = mark_file(path)
    since = datetime.now().astimezone().isoformat(timespec="seconds")
    mark = Mark(owner=myself(), since=since, token=secrets.token_hex(8))
    return Lock(file, mark, _write(file, mark))


def _write(file: Path, mark: Mark) -> bool:
    new = file.with_name(f".fusemap-{mark.token}.part")
    try:
        new.write_bytes(msgspec.json.encode(mark))
        new.replace(file)
    except OSError:
        with suppress(OSError):
            new.unlink()
        return False
    return True


def _read(file: Path) -> Mark | None:
    """The mark in a file; `None` where there is none that can be understood."""
    try:
        if not file.is_file():
            return None
        with open(file, "rb") as opened:
            return msgspec.json.decode(opened.read(MOST_BYTES), type=Mark)
    except (OSError, msgspec.DecodeError, UnicodeDecodeError):
        return None
