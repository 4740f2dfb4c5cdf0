"""A mark beside a file that somebody has it open, so that two windows do not work against each
other.

The mark is a small hidden file, ``.van.fusemap.lock``, in the same folder: whoever opens the same
file, on this computer or on another that shares the folder, finds who has it and since when. It is
a courtesy and no wall: one whose process no longer runs counts for nothing, one that cannot be
written (a read-only folder, a full disk) is done without, and the user may go on regardless.

Which process of which computer something belongs to (`Owner`), and whether it still runs, is asked
of the system alone, without a network: the name of the computer is the one it has for itself.
"""

import ctypes
import getpass
import os
import secrets
from contextlib import suppress
from datetime import datetime
from functools import cache
from pathlib import Path

import msgspec

QUERY_LIMITED_INFORMATION = 0x1000
"""The least right to ask Windows for about another process."""


class Owner(msgspec.Struct, frozen=True, kw_only=True):
    """A process: its number, when it was started as its system counts, its computer, its user.

    `started` is empty where the system does not tell; then the number alone has to do.
    """

    pid: int
    started: str = ""
    computer: str = ""
    user: str = ""


@cache
def _owner(pid: int) -> Owner:
    return Owner(pid=pid, started=started_at(pid), computer=computer(), user=user())


def myself() -> Owner:
    """This process."""
    return _owner(os.getpid())


def still_runs(owner: Owner) -> bool | None:
    """Whether a process is still there; `None` for one of another computer, which cannot be asked.

    A number that was given to a new process since is not the old one, where the system tells when
    it was started.
    """
    if owner.computer and owner.computer != computer():
        return None
    if not is_running(owner.pid):
        return False
    now = started_at(owner.pid)
    return not (owner.started and now) or owner.started == now


def is_running(pid: int) -> bool:
    """Whether there is a process of this number."""
    if pid <= 0:
        return False
    if os.name == "nt":
        # There os.kill(pid, 0) would not ask but send Ctrl+C.
        kernel = getattr(ctypes, "windll").kernel32  # noqa: B009
        handle = kernel.OpenProcess(QUERY_LIMITED_INFORMATION, False, pid)
        if handle:
            kernel.CloseHandle(handle)
        return bool(handle)
    try:
        os.kill(pid, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True  # there, but not ours
    return True


def started_at(pid: int) -> str:
    """When a process was started, in the system's own count; empty where it does not tell."""
    with suppress(OSError, IndexError):
        text = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8", errors="replace")
        # The name before it, in brackets, may hold anything.
        return text.rpartition(")")[2].split()[19]
    return ""


def computer() -> str:
    """What this computer calls itself."""
    return os.uname().nodename if hasattr(os, "uname") else os.environ.get("COMPUTERNAME", "")


def user() -> str:
    """The name the user is logged in with; empty where there is none."""
    try:
        return getpass.getuser()
    except (KeyError, ImportError, OSError):
        return ""


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
