"""The invented vehicles that come with the program, each a small story with something to find.

They are also what the tests of the file format stand on. Title, story and names stand in the files
in English. They are the program's own words, not somebody's: the catalogues have them, under the
context `demo`, and a vehicle is opened in the reader's language. From then on they are names.
"""

import json
from collections.abc import Callable, Iterator
from functools import cache
from importlib.resources import files as package_files

from fusemap.errors import FileProblem
from fusemap.files.document_file import SUFFIX, parse
from fusemap.text import Style, Text, in_row, say
from fusemap.vehicle import Vehicle

PACKAGE = "fusemap.demo_vehicles"
FIRST = "family_estate"
"""Shown first: it has something of everything."""
CONTEXT = "demo"
"""Where the catalogues have the words of demo vehicles."""
WORDED = frozenset(
    {"name", "note", "circuit", "critical_reason", "harmless", "earth_point", "text", "colour"}
)
"""The fields that hold words; what is printed on a lid stays as it is printed."""


@cache
def demo_names(language: str = "en") -> tuple[tuple[str, str], ...]:
    """Key and title of every demo vehicle, the one with something of everything first."""
    names = [entry.name for entry in package_files(PACKAGE).iterdir()]
    keys = [name.removesuffix(SUFFIX) for name in names if name.endswith(SUFFIX)]
    ordered = sorted(keys, key=lambda key: (key != FIRST, key))
    return tuple((key, read_demo(key, language).name) for key in ordered)


def demo_text(key: str) -> str:
    """The file of a demo vehicle. Raises `FileProblem` when there is none of that key."""
    entry = package_files(PACKAGE) / f"{key}{SUFFIX}"
    if not key.isidentifier() or not entry.is_file():
        raise FileProblem(
            say("there is no demo vehicle “{key}”", key=key),
            remedy=say("there are {known}", known=in_row(key for key, _ in demo_names())),
        )
    return entry.read_text(encoding="utf-8")


@cache
def read_demo(key: str, language: str = "en") -> Vehicle:
    """A demo vehicle in a language's words. Raises `FileProblem` when there is none of that key.

    >>> read_demo("light_truck").name, read_demo("light_truck", "de").name
    ('Light truck', 'Leichter Lkw')
    """
    text = demo_text(key)
    if language != "en":
        style = Style(language)
        told = _reworded(json.loads(text), lambda word: style.show(Text(word, context=CONTEXT)))
        text = json.dumps(told)
    return parse(text, key)


def demo_words(key: str) -> Iterator[str]:
    """The words in a demo vehicle's file, in English, for the catalogues."""
    found: list[str] = []

    def note(word: str) -> str:
        found.append(word)
        return word

    _reworded(json.loads(demo_text(key)), note)
    yield from found


def _reworded(part: object, change: Callable[[str], str]) -> object:
    """A file's content with every word in it changed."""
    if isinstance(part, dict):
        return {
            field: change(each)
            if field in WORDED and isinstance(each, str) and each
            else _reworded(each, change)
            for field, each in part.items()
        }
    if isinstance(part, list):
        return [_reworded(each, change) for each in part]
    return part
