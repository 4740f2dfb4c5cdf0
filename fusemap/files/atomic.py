"""Write a file whole or not at all, and files and folders that are the user's alone.

The new content goes into a temporary file in the same folder, is flushed to the disk and then takes
the old file's place in one step: whoever looks, at any moment, finds the old file or the new one.
A temporary file that a killed program left behind is taken away by a later save in that folder.

Kept work, earlier versions, log and settings are private: a shared computer's other users may not
read them. A folder that is there already keeps its rights: it may be one that somebody chose and
shares.
"""

import errno
import os
import re
import stat
import time
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Final

from fusemap.errors import FileProblem
from fusemap.text import Text, Words, say

NEW_MODE = 0o666
"""Permissions of a new file, before the user's own mask [mode bits]."""
LEFTOVER = re.compile(r"\.fusemap-[0-9a-f]{16}\.part")
"""What our temporary files are called, and nobody else's."""
LEFT_FOR_GOOD_S = 3600.0
"""A temporary file of this age belongs to no save that still runs [s]."""


def write_whole(path: Path, content: bytes, new_mode: int = NEW_MODE) -> None:
    """Put `content` into the file `path`, which keeps its permissions if it is there already.

    A symbolic link stays; the file it leads to is replaced. A file that is not there yet is made
    with the permissions `new_mode`, less the user's own mask [mode bits]. Raises `FileProblem` when
    the place is read-only, full or gone; the old file is then as it was.
    """
    target = Path(os.path.realpath(path))
    try:
        old = _old_state(target, path)
        part = _write_part(target.parent, content, old, new_mode)
    except OSError as error:
        raise _problem(error, path) from error
    try:
        os.replace(part, target)
    except OSError as error:
        _remove(part)
        raise _problem(error, path) from error
    sync_folder(target.parent)
    clear_leftovers(target.parent)


def clear_leftovers(folder: Path, older_than_s: float = LEFT_FOR_GOOD_S) -> None:
    """Take away what killed saves left in a folder, if it is older than this [s]."""
    with suppress(OSError):  # tidying is never worth a message
        for entry in folder.iterdir():
            if LEFTOVER.fullmatch(entry.name) and _age_s(entry) > older_than_s:
                _remove(entry)


def _age_s(path: Path) -> float:
    try:
        return time.time() - path.stat().st_mtime
    except OSError:
        return 0.0


def _old_state(target: Path, path: Path) -> os.stat_result | None:
    """The state of the file that is there; raises when it is none that can be replaced."""
    try:
        old = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(old.st_mode):
        raise FileProblem(say("this is a folder"), str(path), say("choose a file name"))
    if not stat.S_ISREG(old.st_mode):
        raise FileProblem(
            say("this is not an ordinary file"), str(path), say("choose another file name")
        )
    # Replacing asks only for the right to write in the folder; a file marked read-only stays.
    if not old.st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise FileProblem(
            say("this file is read-only"),
            str(path),
            say("save under another name, or allow writing to it"),
        )
    return old


def _write_part(folder: Path, content: bytes, old: os.stat_result | None, new_mode: int) -> Path:
    """A temporary file with the content, safe on the disk."""
    part = folder / f".fusemap-{os.urandom(8).hex()}.part"
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    number = os.open(part, flags, new_mode)
    try:
        try:
            if old is not None:
                _take_over(part, old)
            _write_all(number, content)
            os.fsync(number)
        finally:
            os.close(number)
    except BaseException:
        _remove(part)
        raise
    return part


def _write_all(number: int, content: bytes) -> None:
    """Write to the last byte; the system may take less than it is given."""
    rest = memoryview(content)
    while rest:
        rest = rest[os.write(number, rest) :]


def _take_over(part: Path, old: os.stat_result) -> None:
    """Owner where that is allowed, then permissions of the old file."""
    if hasattr(os, "chown"):
        with suppress(OSError):  # only a privileged user may give a file away
            os.chown(part, old.st_uid, old.st_gid)
    os.chmod(part, stat.S_IMODE(old.st_mode))


def _remove(part: Path) -> None:
    with suppress(OSError):  # the folder may be gone by now; the first problem is the one to tell
        part.unlink()


def sync_folder(folder: Path) -> None:
    """Make the new name last over a power cut, where the system can do that."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    try:
        number = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    except OSError:
        return  # the file is in place and whole; only its name is not forced out yet
    with suppress(OSError):  # some network disks cannot do this for a folder
        os.fsync(number)
    with suppress(OSError):
        os.close(number)


ELSEWHERE: Final = say("save somewhere else")
REASONS: Final[Mapping[int, Text]] = {
    errno.ENOSPC: say("the disk is full"),
    errno.EDQUOT: say("your share of this disk is used up"),
    errno.EFBIG: say("the file would be too large"),
    errno.EROFS: say("this disk is read-only"),
    errno.EACCES: say("writing is not allowed here"),
    errno.EPERM: say("writing is not allowed here"),
    errno.ENOENT: say("the folder is not there"),
    errno.ENOTDIR: say("the folder is not there"),
    errno.ENAMETOOLONG: say("the name is too long"),
    errno.ELOOP: say("the links lead round in a circle"),
    errno.EIO: say("the disk does not answer properly"),
}
REMEDIES: Final[Mapping[int, Text]] = {
    errno.ENOSPC: say("free some space, or save somewhere else"),
    errno.EDQUOT: say("free some space, or save somewhere else"),
    errno.EFBIG: say("take a photo away, or shorten long notes"),
    errno.ENOENT: say("choose a folder that is there"),
    errno.ENOTDIR: say("choose a folder that is there"),
    errno.ENAMETOOLONG: say("choose a shorter one"),
    errno.ELOOP: say("choose another file name"),
    errno.EIO: say("save somewhere else, and check this disk"),
}
"""What to do, where it is not just to save elsewhere."""


def reason(error: OSError) -> Words:
    """Why the system did not write; in its own words where we know none."""
    return REASONS.get(error.errno or 0, error.strerror or str(error))


def _problem(error: OSError, path: Path) -> FileProblem:
    remedy = REMEDIES.get(error.errno or 0, ELSEWHERE)
    return FileProblem(say("it was not saved: {reason}", reason=reason(error)), str(path), remedy)


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
