"""Work that is not saved yet, kept in the user's state folder against a crash or a cut of power.

`Keeper` writes the vehicle after every edit: a note of one line (who keeps it, for which file, and
when) and the vehicle's file on the next. A write takes a tenth of a millisecond; it stands in the
file whole whenever the process is killed, and is forced onto the disk a moment later, in a thread
of its own. Two files take turns, so that after a cut of power the one that was safe on the disk is
still there. `lost_work` finds what processes that no longer run have left.
"""

import errno
import os
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from datetime import datetime
from pathlib import Path

import msgspec
from msgspec import Struct

from fusemap.errors import FileProblem, FusemapError
from fusemap.files.atomic import FILE_MODE, make_folder, sync_folder
from fusemap.files.document_file import parse
from fusemap.files.lock import Owner, myself, still_runs
from fusemap.files.validate import MOST_BYTES, compact, size_faults
from fusemap.text import say
from fusemap.vehicle import Vehicle

PATTERN = "unsaved-*.kept"
AT_ONCE = os.name == "nt"
"""Windows lets nobody take a file's name while it is open: there it is forced out before that."""


class Note(msgspec.Struct, frozen=True, kw_only=True):
    """The first line: whose work, for which file (empty: none yet), when, the how manieth write.

    `mark` tells it from others of its name while it has no file; releases before had none.
    """

    owner: Owner
    file: str
    when: str
    turn: int
    mark: str = ""


class Lost(Struct, frozen=True):
    """Work that was left behind: the vehicle, or why it cannot be read.

    `path` is the file it belongs to, if it had one; `when` the local time of the last edit;
    `elsewhere` another computer whose process keeps it, which may still run; `mark` as in `Note`.
    """

    vehicle: Vehicle | None
    problem: FusemapError | None
    path: Path | None
    when: datetime
    elsewhere: str
    files: tuple[Path, ...]
    mark: str = ""

    def forget(self) -> None:
        """Take the kept work away."""
        for file in self.files:
            with suppress(OSError):
                file.unlink()


class Keeper:
    """Keeps the work of one document under a word of its own.

    `forced(done)` is called, in another thread, whenever it was tried to force what was written
    onto the disk: a cut of power takes what is not.
    """

    def __init__(
        self, folder: Path, word: str, forced: Callable[[bool], object] = lambda done: None
    ) -> None:
        stem = f"unsaved-{os.getpid()}-{word}"
        self._files = (folder / f"{stem}-a.kept", folder / f"{stem}-b.kept")
        self._forced = forced
        self._turn = 0
        self._turns = [0, 0]
        self._safe = 1
        """Which of the two is safe on the disk; the other one is written."""
        self._syncing = False
        self._guard = threading.Lock()
        self._thread: ThreadPoolExecutor | None = None

    def write(self, vehicle: Vehicle, path: Path | None, mark: str = "") -> None:
        """Keep the vehicle as it is now, with what tells it from others while it has no file.

        Raises OSError when that is not possible, and for a vehicle too large to be read again: what
        was kept before is then still there.
        """
        content = compact(vehicle)
        for fault in size_faults(content):
            raise OSError(errno.EFBIG, fault.what)
        when = datetime.now().isoformat(timespec="seconds")
        with self._guard:
            self._turn += 1
            half = 1 - self._safe
            turn = self._turn
            note = Note(owner=myself(), file=_path_text(path), when=when, turn=turn, mark=mark)
            safe = _put(self._files[half], msgspec.json.encode(note) + b"\n" + content)
            self._turns[half] = self._turn
            if AT_ONCE:
                self._safe = half if safe else self._safe
                self._forced(safe)
                return
            start = not self._syncing
            self._syncing = True
        if start:
            self._thread = self._thread or ThreadPoolExecutor(1, "keeper")
            self._thread.submit(self._make_safe)

    def remove(self) -> None:
        """Take the kept work away: it is saved, or was given up."""
        for file in self._files:
            with suppress(OSError):
                file.unlink()

    def settle(self) -> None:
        """Wait until what was written is safe on the disk."""
        if self._thread is not None:
            self._thread.shutdown(wait=True)
            self._thread = None

    def _make_safe(self) -> None:
        """Force the newest onto the disk, until there is none newer."""
        while True:
            with self._guard:
                half = 0 if self._turns[0] > self._turns[1] else 1
                turn = self._turns[half]
            done = _force_out(self._files[half])
            sync_folder(self._files[half].parent)  # its name is only safe with its folder
            with self._guard:
                unchanged = self._turns[half] == turn
                if done and unchanged:
                    self._safe = half
                over = not done or (unchanged and turn == self._turn)
                self._syncing = not over
            if over:
                self._forced(done)
                return


def _path_text(path: Path | None) -> str:
    """A path as text for any file name there can be, broken ones too."""
    return os.fsencode(path.absolute()).decode("latin-1") if path else ""


def _text_path(text: str) -> Path:
    return Path(os.fsdecode(text.encode("latin-1", "replace")))


def _put(file: Path, content: bytes) -> bool:
    """Put the content under this name in one step; says whether it is safe on the disk already."""
    new = file.with_suffix(".new")
    safe = False
    try:
        make_folder(file.parent)
        new.touch(FILE_MODE)
        new.write_bytes(content)
        if AT_ONCE:
            safe = _force_out(new)
        new.replace(file)
    except OSError:
        with suppress(OSError):
            new.unlink()
        raise
    return safe


def _force_out(file: Path) -> bool:
    """Force a file onto the disk; says whether that was possible."""
    try:
        number = os.open(file, os.O_RDWR)
        try:
            os.fsync(number)
        finally:
            os.close(number)
    except OSError:
        return False
    return True


# --- what was left behind ---------------------------------------------------------------------


def lost_work(folder: Path) -> tuple[Lost, ...]:
    """What processes that no longer run have left, newest first."""
    _clear(folder)
    pairs: dict[str, list[Path]] = {}
    for file in sorted(folder.glob(PATTERN)):
        pairs.setdefault(file.stem.rpartition("-")[0], []).append(file)
    found = [lost for pair in pairs.values() if (lost := _read_pair(pair)) is not None]
    return tuple(sorted(found, key=lambda lost: lost.when, reverse=True))


def _clear(folder: Path) -> None:
    """Take away what a write was killed in the middle of."""
    for file in folder.glob("unsaved-*.new"):
        if not _still_kept(file, None):
            with suppress(OSError):
                file.unlink()


def _read_pair(files: list[Path]) -> Lost | None:
    """The newer of the two that can be read; nothing while somebody keeps them."""
    read = [_read(file, tuple(files)) for file in files]
    if any(_still_kept(file, note) for file, (note, _) in zip(files, read, strict=True)):
        return None
    by_turn = sorted(read, key=lambda one: one[0].turn if one[0] else 0, reverse=True)
    whole = [lost for _, lost in by_turn if lost.vehicle is not None]
    return next(iter([*whole, by_turn[0][1]]))


def _read(file: Path, files: tuple[Path, ...]) -> tuple[Note | None, Lost]:
    note: Note | None = None
    vehicle, problem, when = None, None, datetime.fromtimestamp(0)
    try:
        when = datetime.fromtimestamp(file.stat().st_mtime)
        with open(file, "rb") as opened:
            head, _, text = opened.read(MOST_BYTES + 10_000).partition(b"\n")
        note = msgspec.json.decode(head, type=Note)
        when = datetime.fromisoformat(note.when).replace(tzinfo=None)
        vehicle = parse(text, file.name)
    except FusemapError as error:
        problem = error
    except (OSError, ValueError, OverflowError, msgspec.MsgspecError) as error:
        problem = FileProblem(say("it cannot be read"), file.name, str(error)[:100])
    path = _text_path(note.file) if note is not None and note.file else None
    elsewhere = note.owner.computer if note is not None and still_runs(note.owner) is None else ""
    mark = note.mark if note is not None else ""
    return note, Lost(vehicle, problem, path, when, elsewhere, files, mark)


def _still_kept(file: Path, note: Note | None) -> bool:
    """Whether the process that keeps this file is still there; one elsewhere cannot be asked."""
    owner = Owner(pid=_pid(file)) if note is None else note.owner
    return owner.pid == os.getpid() or still_runs(owner) is True


def _pid(file: Path) -> int:
    """The number of the process in a file's name; 0 where there is none."""
    number = file.stem.split("-")[1]
    return int(number) if number.isdecimal() and len(number) < 12 else 0
