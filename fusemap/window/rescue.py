"""Unsaved work kept against a crash, a cut of power, a killed process.

After every edit the vehicle is written into the user's state folder, as a vehicle file of its own
with a note of the file it belongs to. Saving, or closing in the ordinary way, takes it away again;
what is still there at the next start, from a process that no longer runs, was lost and is offered.
"""

import ctypes
import json
import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, QTimer

from fusemap.errors import FusemapError
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document

QUERY_LIMITED_INFORMATION = 0x1000
"""The least right to ask Windows for about another process."""


@dataclass(frozen=True, slots=True)
class Found:
    """Work that was not saved: the vehicle and the file it belongs to, if it had one."""

    vehicle: Vehicle
    path: Path | None
    kept_in: Path

    def forget(self) -> None:
        """Take the kept work away."""
        with suppress(OSError):
            self.kept_in.unlink()


class Rescue(QObject):
    """Keeps the vehicle of one document on disk while it is not saved."""

    def __init__(self, document: Document, folder: Path) -> None:
        super().__init__(document)
        self._document = document
        self._file = folder / f"unsaved-{os.getpid()}-{id(document):x}.json"
        # One write for the edits of one turn of the event loop; the next turn comes at once.
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self._soon.timeout.connect(self.keep)
        document.changed.connect(self._soon.start)
        document.modified_changed.connect(self._soon.start)

    def keep(self) -> None:
        """Write the vehicle as it is now, or take the kept one away where it is saved."""
        if not self._document.modified:
            self.forget()
            return
        from fusemap.files import render

        path = self._document.path
        note = {"file": str(path) if path else "", "pid": os.getpid()}
        new = self._file.with_suffix(".new")
        # A state folder that cannot be written to must not stop the work.
        with suppress(OSError, FusemapError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            text = json.dumps(note) + "\n" + render(self._document.vehicle)
            new.write_text(text, encoding="utf-8")
            new.replace(self._file)

    def forget(self) -> None:
        """Take the kept work away: it is saved, or was given up."""
        self._soon.stop()
        with suppress(OSError):
            self._file.unlink()


def lost_work(folder: Path) -> Iterator[Found]:
    """What earlier processes left behind, newest first."""
    files = [path for path in folder.glob("unsaved-*.json") if not _still_runs(path)]
    for path in sorted(files, key=_age, reverse=True):
        found = _read(path)
        if found is not None:
            yield found


def _age(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:
        return 0.0


def _read(path: Path) -> Found | None:
    from fusemap.files import parse

    try:
        head, _, text = path.read_text(encoding="utf-8").partition("\n")
        file = json.loads(head)["file"]
        vehicle = parse(text, path.name)
    except (OSError, ValueError, KeyError, TypeError, FusemapError):
        return None
    return Found(vehicle, Path(file) if file else None, path)


def _still_runs(path: Path) -> bool:
    """Whether the process that keeps this file is another one that is still there."""
    try:
        pid = int(path.stem.split("-")[1])
    except (IndexError, ValueError):
        return True
    return pid == os.getpid() or _is_running(pid)


def _is_running(pid: int) -> bool:
    if os.name == "nt":
        # There os.kill(pid, 0) would not ask but send Ctrl+C.
        kernel = getattr(ctypes, "windll").kernel32  # noqa: B009
        handle = kernel.OpenProcess(QUERY_LIMITED_INFORMATION, False, pid)
        if handle:
            kernel.CloseHandle(handle)
        return bool(handle)
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True  # there, but not ours
    return True
