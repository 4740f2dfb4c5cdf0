"""Write a file whole or not at all.

The new content goes into a temporary file in the same folder, is flushed to the disk and then takes
the old file's place in one step: whoever looks, at any moment, finds the old file or the new one.
A temporary file that a killed program left behind is taken away by a later save in that folder.
"""

import errno
import os
import re
import secrets
import stat
import time
from contextlib import suppress
from pathlib import Path

from fusemap.errors import FileProblem

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
        raise FileProblem("this is a folder", str(path), "choose a file name")
    if not stat.S_ISREG(old.st_mode):
        raise FileProblem("this is not an ordinary file", str(path), "choose another file name")
    # Replacing asks only for the right to write in the folder; a file marked read-only stays.
    if not old.st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise FileProblem(
            "this file is read-only", str(path), "save under another name, or allow writing to it"
        )
    return old


def _write_part(folder: Path, content: bytes, old: os.stat_result | None, new_mode: int) -> Path:
    """A temporary file with the content, safe on the disk."""
    part = folder / f".fusemap-{secrets.token_hex(8)}.part"
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


REASONS = {
    errno.ENOSPC: ("the disk is full", "free some space, or save somewhere else"),
    errno.EDQUOT: ("your share of this disk is used up", "free some space, or save somewhere else"),
    errno.EROFS: ("this disk is read-only", "save somewhere else"),
    errno.EACCES: ("writing is not allowed here", "save somewhere else"),
    errno.EPERM: ("writing is not allowed here", "save somewhere else"),
    errno.ENOENT: ("the folder is not there", "choose a folder that is there"),
    errno.ENOTDIR: ("the folder is not there", "choose a folder that is there"),
    errno.ENAMETOOLONG: ("the name is too long", "choose a shorter one"),
    errno.ELOOP: ("the links lead round in a circle", "choose another file name"),
    errno.EIO: ("the disk does not answer properly", "save somewhere else, and check this disk"),
}


def _problem(error: OSError, path: Path) -> FileProblem:
    what, remedy = REASONS.get(
        error.errno or 0, (error.strerror or str(error), "save somewhere else")
    )
    return FileProblem(f"it was not saved: {what}", str(path), remedy)
