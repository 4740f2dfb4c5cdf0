"""Earlier versions of a vehicle file, numbered, so that a save never costs what was there before.

Before a save takes a file's place, what stands in it is copied as it is, byte by byte, whoever
wrote it. The copies lie in the user's state folder and not beside the file: they are there when the
file's disk is read-only, full or gone, no shared or synchronised folder fills up with them, and a
file sent to somebody does not take its past along. In: the state folder and the file. Out: its
versions, newest first.
"""

import hashlib
import os
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from fusemap.errors import FusemapError
from fusemap.files.atomic import clear_leftovers, write_whole
from fusemap.files.document_file import SUFFIX, read_vehicle
from fusemap.files.written import MOST_BYTES
from fusemap.vehicle import Vehicle

KEEP = 20
"""How many of the newest versions are kept."""
KEEP_DAYS = 20
"""Of how many earlier days the last version is kept besides."""
NAME = re.compile(rf"(\d{{6,}}) (\d{{4}}-\d\d-\d\dT\d\d-\d\d-\d\d){re.escape(SUFFIX)}")


@dataclass(frozen=True, slots=True)
class Version:
    """One earlier version: its number, when it was saved (local time), the copy of it."""

    number: int
    when: datetime
    file: Path

    def read(self) -> Vehicle:
        """The vehicle as it was. Raises `FileProblem` when the copy cannot be read."""
        return read_vehicle(self.file)


def versions(state: Path, path: Path) -> tuple[Version, ...]:
    """The earlier versions of a file, newest first."""
    return _versions(_folder(state, path))


def keep(state: Path, path: Path) -> bool:
    """Copy a file as it stands now to its earlier versions; says whether that was possible.

    There is nothing to do, and that is well, where there is no file or it is as last copied.
    """
    try:
        content, when = _content(path)
    except FileNotFoundError:
        return True
    except (OSError, OverflowError, ValueError):  # a time no calendar has, too
        return False
    if content is None:
        return False
    folder = _folder(state, path)
    newest = next(iter(_versions(folder)), None)
    try:
        if newest is not None and newest.file.read_bytes() == content:
            return True
        number = 1 if newest is None else newest.number + 1
        folder.mkdir(parents=True, exist_ok=True)
        write_whole(folder / f"{number:06} {when:%Y-%m-%dT%H-%M-%S}{SUFFIX}", content)
    except (OSError, FusemapError):
        return False
    for version in to_drop(_versions(folder)):
        with suppress(OSError):
            version.file.unlink()
    return True


def to_drop(newest_first: Iterable[Version]) -> Iterator[Version]:
    """Versions that are given up: all but the newest, and the last of each of some earlier days."""
    days: set[date] = set()
    besides = 0
    for count, version in enumerate(newest_first):
        new_day = version.when.date() not in days
        days.add(version.when.date())
        if count < KEEP:
            continue
        if new_day and besides < KEEP_DAYS:
            besides += 1
        else:
            yield version


def _content(path: Path) -> tuple[bytes | None, datetime]:
    """What stands in a file and when it was written; no content where it is no vehicle's size."""
    if not path.is_file():
        raise FileNotFoundError(path)
    with open(path, "rb") as file:
        content = file.read(MOST_BYTES + 1)
        when = datetime.fromtimestamp(os.fstat(file.fileno()).st_mtime)
    return (content if len(content) <= MOST_BYTES else None), when


def _folder(state: Path, path: Path) -> Path:
    """The folder of one file's versions: its name to be read by eye, its place as a short sum."""
    real = os.path.realpath(path)
    word = re.sub(r"[^\w-]+", "_", Path(real).stem, flags=re.ASCII)[:40]
    place = hashlib.sha256(os.fsencode(os.path.normcase(real))).hexdigest()[:16]
    return state / "versions" / f"{word}-{place}"


def _versions(folder: Path) -> tuple[Version, ...]:
    found = []
    with suppress(OSError):
        for file in folder.iterdir():
            match = NAME.fullmatch(file.name)
            if match:
                with suppress(ValueError):
                    when = datetime.strptime(match[2], "%Y-%m-%dT%H-%M-%S")
                    found.append(Version(int(match[1]), when, file))
    clear_leftovers(folder)
    return tuple(sorted(found, key=lambda version: version.number, reverse=True))
