"""Folders and files that are the user's alone: kept work, earlier versions, log, settings.

A shared computer's other users may not read them. A folder that is there already keeps its rights:
it may be one that somebody chose and shares.
"""

import os
from contextlib import suppress
from pathlib import Path
from typing import Final

from fusemap.files.atomic import sync_folder

FOLDER_MODE: Final = 0o700
"""Rights of a new folder (XDG Base Directory Specification 0.8) [mode bits]."""
FILE_MODE: Final = 0o600
"""Rights of a new file in it [mode bits]."""


def make_folder(folder: Path) -> None:
    """Make a folder with those above it, where they are missing. Raises OSError if it cannot."""
    try:
        folder.mkdir(FOLDER_MODE)
    except FileNotFoundError:
        if folder.parent == folder:
            raise
        make_folder(folder.parent)
        make_folder(folder)
    except FileExistsError:
        if not folder.is_dir():
            raise
    else:
        sync_folder(folder.parent)


def close_folder(folder: Path) -> None:
    """Take the rights of others to a folder away, where there are any and that is possible."""
    with suppress(OSError):
        if folder.stat().st_mode & 0o077:
            folder.chmod(FOLDER_MODE)


def open_private(path: str, flags: int) -> int:
    """Open a file for `open(…, opener=open_private)`: made anew, nobody else may read it."""
    return os.open(path, flags, FILE_MODE)
