"""Earlier versions of a vehicle file, numbered, so that a save never costs what was there before.

Before a save takes a file's place, what stands in it is copied as it is, byte by byte, whoever
wrote it. Work that is given up unsaved is put among them and stays there for some days. The copies
lie in the user's state folder and not beside the file: they are there when the file's disk is
read-only, full or gone, no shared or synchronised folder fills up with them, and a file sent to
somebody does not take its past along. In: the state folder and the file. Out: its versions, newest
first.
"""

import hashlib
import os
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import date, datetime, timedelta
from pathlib import Path

from msgspec import Struct

from fusemap.errors import FusemapError
from fusemap.files.atomic import FILE_MODE, clear_leftovers, close_folder, make_folder, write_whole
from fusemap.files.document_file import SUFFIX, read_vehicle
from fusemap.files.validate import MOST_BYTES, render
from fusemap.vehicle import Vehicle

KEEP = 20
"""How many of the newest versions are kept."""
KEEP_DAYS = 20
"""Of how many earlier days the last version is kept besides."""
GIVEN_UP_DAYS = 20
"""For so long work that was given up unsaved is kept."""
NO_FILE = "no-file"
"""The folder of work that had no file; no file's own is called so."""
GIVEN_UP = "-given-up"
"""In the name of a copy of work that was given up unsaved."""
NAME = re.compile(rf"(\d{{6,}}) (\d{{4}}-\d\d-\d\dT\d\d-\d\d-\d\d)({GIVEN_UP})?{re.escape(SUFFIX)}")


class Version(Struct, frozen=True):
    """One earlier version: its number, when it was saved (local time), the copy of it.

    One that was `given_up` never stood in the file; `when` is then the time it was given up.
    """

    number: int
    when: datetime
    file: Path
    given_up: bool = False

    def read(self) -> Vehicle:
        """The vehicle as it was. Raises `FileProblem` when the copy cannot be read."""
        return read_vehicle(self.file)


def versions(state: Path, path: Path | None) -> tuple[Version, ...]:
    """The earlier versions of a file, newest first; without a path, of work that had no file."""
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
    return _add(_folder(state, path), content, when, given_up=False)


def give_up(state: Path, path: Path | None, vehicle: Vehicle) -> bool:
    """Put work that is given up unsaved among a file's earlier versions, for `GIVEN_UP_DAYS`.

    Says whether that was possible. Without a path it is work that had no file yet.
    """
    kept = _add(_folder(state, path), render(vehicle).encode(), datetime.now(), given_up=True)
    for folder in (state / "versions").glob("*"):  # a file that is never saved again, too
        _tidy(folder)
    return kept


def _add(folder: Path, content: bytes, when: datetime, *, given_up: bool) -> bool:
    """Put one more version into a folder, unless the newest of its kind is the same."""
    there = _versions(folder)
    newest = next((version for version in there if version.given_up == given_up), None)
    try:
        same = newest is not None and newest.file.read_bytes() == content
        if same and not given_up:
            return True
        number = there[0].number + 1 if there else 1
        make_folder(folder)
        for ours in (folder.parent, folder):  # an older release left them open to others
            close_folder(ours)
        mark = GIVEN_UP if given_up else ""
        name = f"{number:06} {when:%Y-%m-%dT%H-%M-%S}{mark}{SUFFIX}"
        write_whole(folder / name, content, FILE_MODE)
        if newest is not None and same:
            newest.file.unlink()  # the same given up again: its time begins anew
    except (OSError, FusemapError):
        return False
    _tidy(folder)
    return True


def _tidy(folder: Path) -> None:
    for version in to_drop(_versions(folder), datetime.now()):
        with suppress(OSError):
            version.file.unlink()


def to_drop(newest_first: Iterable[Version], now: datetime) -> Iterator[Version]:
    """Versions that have had their time.

    Of those that stood in the file, all but the newest and the last of each of some earlier days;
    of those that were given up unsaved, all that were so many days before `now`.
    """
    days: set[date] = set()
    besides = 0
    saved = []
    for version in newest_first:
        if not version.given_up:
            saved.append(version)
        elif now - version.when > timedelta(days=GIVEN_UP_DAYS):
            yield version
    for count, version in enumerate(saved):
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


def _folder(state: Path, path: Path | None) -> Path:
    """The folder of one file's versions: its name to be read by eye, its place as a short sum."""
    if path is None:
        return state / "versions" / NO_FILE
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
                    found.append(Version(int(match[1]), when, file, bool(match[3])))
    clear_leftovers(folder)
    return tuple(sorted(found, key=lambda version: version.number, reverse=True))
