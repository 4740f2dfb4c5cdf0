"""`fusemap install-desktop`: menu entry, icon and file type for the desktop, and their removal.

In: nothing but where the desktop keeps such files (XDG_DATA_HOME, else ~/.local/share). Out: three
files there. Source: freedesktop.org, Desktop Entry, Icon Theme and Shared MIME-info specifications.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path
from typing import Final

PLACES: Final = {
    "fusemap.desktop": "applications/fusemap.desktop",
    "fusemap.svg": "icons/hicolor/scalable/apps/fusemap.svg",
    "fusemap.xml": "mime/packages/fusemap.xml",
}
"""Each file that ships, and where it goes below the data folder."""
TOLD: Final = (("update-mime-database", "mime"), ("update-desktop-database", "applications"))
"""Programs of the desktop that read a folder anew, where they are there."""


def run(arguments: Sequence[str]) -> int:
    """Install, or with ``--remove`` take away; gives the exit code."""
    if arguments not in ([], ["--remove"]):
        print("usage: fusemap install-desktop [--remove]", file=sys.stderr)
        return 2
    if not sys.platform.startswith("linux"):
        print("this is for Linux; elsewhere the bundle brings its own entry", file=sys.stderr)
        return 1
    folder = data_folder()
    try:
        changed = remove(folder) if arguments else install(folder)
    except OSError as error:
        print(f"fusemap: {error}", file=sys.stderr)
        return 1
    _tell(folder)
    for path in changed:
        print(("removed " if arguments else "written ") + str(path))
    return 0


def data_folder() -> Path:
    """Where the desktop looks for what a user has installed."""
    given = os.environ.get("XDG_DATA_HOME")
    return Path(given) if given else Path.home() / ".local" / "share"


def install(folder: Path) -> list[Path]:
    """Write the files; gives their paths."""
    written = []
    for name, place in PLACES.items():
        text = files("fusemap.resources.install").joinpath(name).read_text(encoding="utf-8")
        path = folder / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text.replace("Exec=fusemap", f"Exec={command()}"), encoding="utf-8")
        written.append(path)
    return written


def remove(folder: Path) -> list[Path]:
    """Take the files away; gives those that were there."""
    there = [folder / place for place in PLACES.values() if (folder / place).exists()]
    for path in there:
        path.unlink()
    return there


def command() -> str:
    """What starts this program: its command where there is one, else Python with the module."""
    if getattr(sys, "frozen", False):
        return _quoted(sys.executable)
    beside = Path(sys.executable).with_name("fusemap")
    if beside.exists():
        return _quoted(str(beside))
    return f"{_quoted(sys.executable)} -m fusemap"


def _quoted(path: str) -> str:
    """A path as an Exec line has it.

    >>> _quoted("/a b/c")
    '"/a b/c"'
    """
    return f'"{path}"' if " " in path else path


def _tell(folder: Path) -> None:
    for program, place in TOLD:
        found = shutil.which(program)
        if found is not None and (folder / place).is_dir():
            subprocess.run((found, str(folder / place)), check=False, capture_output=True)
