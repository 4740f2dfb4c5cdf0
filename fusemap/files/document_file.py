"""A vehicle file: one UTF-8 JSON document, indented by 2, `format` and `version` first.

In: text or bytes, or a path. Out: a `Vehicle`, or a `FileProblem` that says where in the file the
trouble is (``panels[0].slots[7].fuse.rating``), what it is and what to do about it. What equals its
default is left out of the file. Quantities are in the units their names end in.
"""

import json
import os
import re
import stat
from pathlib import Path
from typing import Any, Final

import msgspec

from fusemap.errors import FileProblem
from fusemap.files import atomic
from fusemap.files.upgrades import upgraded
from fusemap.files.validate import FORMAT, MOST_BYTES, MOST_MB, VERSION, check_vehicle, render
from fusemap.files.wording import broken_text, problem, refuse_twice, type_problem
from fusemap.text import Words, say
from fusemap.vehicle import Vehicle

SUFFIX = ".fusemap"
MOST_VALUES = 1_100_000
"""No vehicle has so many values; what has more would fill the memory before it is looked at."""
JSON_FAULTS: Final = (
    say("expecting value"),
    say("expecting property name enclosed in double quotes"),
    say("expecting ':' delimiter"),
    say("expecting ',' delimiter"),
    say("illegal trailing comma before end of object"),
    say("illegal trailing comma before end of array"),
    say("extra data"),
    say("unterminated string starting at"),
    say("invalid control character at"),
    say("invalid \\escape"),
    say("invalid \\uXXXX escape"),
)
"""What the reader that knows places finds, in its own words."""
_TEXT_IN_QUOTES = re.compile(r'"(?:[^"\\]++|\\.?)*+"?', re.DOTALL)


def parse(text: str | bytes, name: str = "this file") -> Vehicle:
    """The vehicle in a file's text; `name` says in messages which file it is.

    Raises `FileProblem` for anything that is not a vehicle this program can work with.
    """
    vehicle = _typed(text, name)
    check_vehicle(vehicle, name)
    return vehicle


def _typed(text: str | bytes, name: str) -> Vehicle:
    """What stands in a file's text, whether it is possible or not."""
    fields = _fields(_text(text, name), name)
    try:
        return msgspec.convert(fields, Vehicle)
    except msgspec.ValidationError as error:
        raise type_problem(str(error), fields) from error


def read_vehicle(path: Path) -> Vehicle:
    """Read a vehicle file. Raises `FileProblem` when it cannot be read."""
    try:
        content = _content(path)
    except OSError as error:
        raise _unreadable(error, path) from error
    except ValueError as error:  # a name with a zero byte in it
        raise FileProblem(
            say("there is no such file"), str(path), say("choose another file")
        ) from error
    return parse(content, path.name)


def _content(path: Path) -> bytes:
    """What stands in a file, as far as a vehicle may go; a pipe or a device is never waited for."""
    number = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with open(number, "rb") as file:
        kind = os.fstat(number).st_mode
        if stat.S_ISDIR(kind):
            raise IsADirectoryError(path)
        if not stat.S_ISREG(kind):
            raise FileProblem(
                say("this is not an ordinary file"), str(path), say("choose a vehicle file")
            )
        return file.read(MOST_BYTES + 1)


def write_vehicle(path: Path, vehicle: Vehicle) -> None:
    """Write a vehicle file whole or not at all.

    Raises `FileProblem` when it cannot be written, or when the file could not be read again; the
    old file is then as it was.
    """
    check_vehicle(vehicle, path.name)
    content = render(vehicle).encode()
    _typed(content, path.name)  # what the reader refuses never takes the place of the old file
    atomic.write_whole(path, content)


def _text(text: str | bytes, name: str) -> str:
    if len(text) > MOST_BYTES:
        raise FileProblem(
            say("it is larger than {most} MB", most=MOST_MB),
            name,
            say("a vehicle file is far smaller: choose another file"),
        )
    if isinstance(text, bytes):
        try:
            text = text.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise FileProblem(
                say("it is not UTF-8 text (byte {byte})", byte=error.start),
                name,
                say("choose a vehicle file"),
            ) from error
    if not text.strip():
        raise FileProblem(say("it is empty"), name, say("open a copy of it, if there is one"))
    return text.removeprefix("\ufeff")


def _fields(text: str, name: str) -> dict[str, Any]:
    """The fields of a file, as the newest version has them, without `format` and `version`."""
    fields = _json(text, name)
    if not isinstance(fields, dict) or fields.get("format") != FORMAT:
        raise _not_ours(name)
    version = fields.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise FileProblem(
            say("its version is not a number from 1 up"), "version", say("open a copy of it")
        )
    if version > VERSION:
        raise FileProblem(
            say(
                "it is of version {version}, and this program reads up to version {newest}",
                version=str(version),
                newest=VERSION,
            ),
            name,
            say("open it with a newer fusemap; it has not been changed"),
        )
    rest = {key: value for key, value in fields.items() if key not in ("format", "version")}
    return upgraded(rest, version, VERSION)


def _json(text: str, name: str) -> Any:
    """What stands in the text, once it is known not to be more than can be read safely."""
    # What stands in texts is counted along at first: in nearly all files there is not even so much.
    if _values(text) > MOST_VALUES and _values(_TEXT_IN_QUOTES.sub("", text)) > MOST_VALUES:
        raise FileProblem(
            say("it has more than {most} values", most=MOST_VALUES),
            name,
            say("choose a vehicle file"),
        )
    try:
        found = msgspec.json.decode(text)
        refuse_twice(text, found, name)
        return found
    except RecursionError as error:
        raise _too_deep(name) from error
    except (msgspec.MsgspecError, UnicodeError):
        return _json_with_places(text, name)


def _values(text: str) -> int:
    """How many values a text has, where none of its texts has a comma or a bracket in it."""
    return sum(map(text.count, ",{["))


def _json_with_places(text: str, name: str) -> Any:
    """Read again, slower: this reader knows line and column of what is broken."""
    try:
        fields = json.loads(text)
    except json.JSONDecodeError as error:
        if not text.lstrip().startswith("{"):  # there is no vehicle in it to be mended
            raise _not_ours(name) from error
        raise FileProblem(
            say(
                "line {line}, column {column}: {fault}",
                line=error.lineno,
                column=error.colno,
                fault=_json_fault(error.msg),
            ),
            name,
            say("mend it in a text editor, or open a copy of it"),
        ) from error
    except RecursionError as error:
        raise _too_deep(name) from error
    except ValueError as error:  # a whole number with thousands of digits
        raise FileProblem(
            say("a number in it is too long"), name, say("open a copy of it")
        ) from error
    for path, what, remedy in broken_text(fields):
        raise problem(what, path or name, remedy)
    return fields


def _json_fault(message: str) -> Words:
    """The reader's message inside a sentence; as it is where a newer reader has others."""
    found = f"{message[:1].lower()}{message[1:]}"
    return next((fault for fault in JSON_FAULTS if fault == found), found)


def _not_ours(name: str) -> FileProblem:
    return FileProblem(
        say(
            "it is not a vehicle file: it does not begin with the format “{format}”", format=FORMAT
        ),
        name,
        say("choose a vehicle file"),
    )


def _too_deep(name: str) -> FileProblem:
    return FileProblem(
        say("it is nested far deeper than a vehicle"), name, say("choose a vehicle file")
    )


def _unreadable(error: OSError, path: Path) -> FileProblem:
    if isinstance(error, FileNotFoundError):
        return FileProblem(say("there is no such file"), str(path), say("choose another file"))
    if isinstance(error, IsADirectoryError):
        return FileProblem(say("this is a folder"), str(path), say("choose a file in it"))
    if isinstance(error, PermissionError):
        return FileProblem(
            say("reading it is not allowed"), str(path), say("ask for the right to read it")
        )
    return FileProblem(
        say("it cannot be read: {reason}", reason=error.strerror or str(error)),
        str(path),
        say("try again, or use a copy"),
    )
