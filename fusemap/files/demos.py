"""The invented vehicles that come with the program, each a small story with something to find.

They are also what the tests of the file format stand on. Title and story stand in the files.
"""

from functools import cache
from importlib.resources import files as package_files

from fusemap.errors import FileProblem
from fusemap.files.document_file import SUFFIX, parse
from fusemap.text import in_row, say
from fusemap.vehicle import Vehicle

PACKAGE = "fusemap.demo_vehicles"
FIRST = "family_estate"
"""Shown first: it has something of everything."""


@cache
def demo_names() -> tuple[tuple[str, str], ...]:
    """Key and title of every demo vehicle, the one with something of everything first."""
    names = [entry.name for entry in package_files(PACKAGE).iterdir()]
    keys = [name.removesuffix(SUFFIX) for name in names if name.endswith(SUFFIX)]
    ordered = sorted(keys, key=lambda key: (key != FIRST, key))
    return tuple((key, read_demo(key).name) for key in ordered)


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
def read_demo(key: str) -> Vehicle:
    """A demo vehicle. Raises `FileProblem` when there is none of that key."""
    return parse(demo_text(key), key)
