"""Which process of which computer something belongs to, and whether it still runs.

In: nothing, or the owner noted in a file. Out: an `Owner` to note in a file, or an answer. Asked of
the system alone, without a network: the name of the computer is the one it has for itself.
"""

import ctypes
import getpass
import os
from contextlib import suppress
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
