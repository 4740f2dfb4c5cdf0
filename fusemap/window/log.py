"""The log in the user's state folder: what helps to understand a fault, and no more.

Into it go the versions in use, faults of the program with the lines of code they passed, warnings
of Qt, and saves that failed. What is in a vehicle does not; the user's own folder is written as ~.
It stays small: at its bound it becomes ``fusemap.log.1`` in place of the one before. A log that
cannot be written is done without. No Qt.
"""

import faulthandler
import sys
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import IO

MOST_BYTES = 250_000
"""At this size a new log is begun [bytes]; there are two of them at most."""
MOST_LETTERS = 8000
"""The longest entry [characters]."""
PARTS = ("fusemap", "PySide6-Essentials", "numpy", "msgspec", "pyqtgraph")


class Log:
    """Lines in one file; each is on disk when `write` is done."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "fusemap.log"
        self._crash: IO[str] | None = None

    def write(self, kind: str, text: str) -> None:
        """Add an entry: when, which kind, what. Further lines of it are set in."""
        when = datetime.now().isoformat(timespec="seconds")
        body = without_home(text)[:MOST_LETTERS].rstrip().replace("\n", "\n    ")
        with suppress(OSError):
            self._make_folder()
            self._begin_anew()
            with self._open(self.path, "a") as file:
                file.write(f"{when} {kind}: {body}\n")

    def started(self) -> None:
        """Note the versions in use, and what a crash of the last run has left."""
        self.write("start", versions())
        with suppress(OSError):
            crashed = self._crash_path.read_text(encoding="utf-8", errors="replace")
            if crashed.strip():
                self.write("crash of an earlier run", crashed)

    def watch_crashes(self) -> None:
        """Let a crash below Python (in Qt, say) leave its lines of code for the next start."""
        with suppress(OSError):
            self._make_folder()
            self._crash = self._open(self._crash_path, "w")
            faulthandler.enable(self._crash)

    @property
    def watching(self) -> bool:
        """Whether crashes are watched for."""
        return self._crash is not None

    def close(self) -> None:
        """The program ends in the ordinary way: nothing is watched for any more."""
        if self._crash is not None:
            faulthandler.disable()
            self._crash.close()
            self._crash = None

    # Imported when first needed: with it comes all that reads vehicles, which a start does without.

    def _make_folder(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.files.atomic import make_folder

        make_folder(self.path.parent)

    @staticmethod
    def _open(path: Path, mode: str) -> IO[str]:
        # loaded when it is first needed: the start stays short
        from fusemap.files.atomic import open_private

        return open(path, mode, encoding="utf-8", errors="backslashreplace", opener=open_private)

    @property
    def _crash_path(self) -> Path:
        return self.path.with_name("crash.log")

    def _begin_anew(self) -> None:
        with suppress(FileNotFoundError):
            if self.path.stat().st_size > MOST_BYTES:
                self.path.replace(self.path.with_name(f"{self.path.name}.1"))


def versions() -> str:
    """The program, what it stands on, and the system, on one line."""
    # loaded when it is first needed: the start stays short
    import platform
    from importlib.metadata import PackageNotFoundError, version

    found = []
    for part in PARTS:
        with suppress(PackageNotFoundError):
            found.append(f"{part} {version(part)}")
    python = f"Python {platform.python_version()}"
    return ", ".join([*found, python, f"{sys.platform} {platform.machine()}"])


def without_home(text: str) -> str:
    """A text in which the user's own folder is written as ~."""
    with suppress(RuntimeError):
        home = str(Path.home())
        if len(home) > 1:
            return text.replace(home, "~")
    return text
