"""Which column of a pasted table is what: by its heading, or by looking at what stands in it.

In: text with tabs, semicolons, bars or commas between its columns. Out: cells without signs nobody
sees, a column for each sort of thing that was found, and what words in the cells mean. Headings and
words are read in every language there is.
"""

import csv
import io
import re
from collections.abc import Callable, Sequence
from functools import cache
from typing import Final, Literal, get_args

from fusemap import tables
from fusemap.catalogues import LANGUAGES
from fusemap.spreadsheets import unguarded
from fusemap.text import Style, Text, say
from fusemap.vehicle import FeedClass
from fusemap.vehicle.texts import clean
from fusemap.vehicle.words import FEED, LiveSide

YES: Final = frozenset({"1", "+", "x", "y", "yes", "live", "on", "ja", "oui", "✓", "✔", "true"})
NO: Final = frozenset(
    {"0", "-", "–", "n", "no", "dead", "off", "nein", "non", "ohne", "mort", "dood", "✗", "false"}
)

COLUMNS: Final[dict[str, tuple[str, ...]]] = {
    "label": ("slot", "label", "no", "nr", "number", "fuse", "position", "pos", "platz",
              "sicherung", "steckplatz", "#", "place", "id"),
    "panel": ("panel", "box", "kasten", "location"),
    "rating": ("rating", "amp", "amps", "ampere", "a", "size", "wert", "calibre", "intensité"),
    "family": ("family", "type", "typ", "shape", "kind", "bauform"),
    "circuit": ("circuit", "function", "feeds", "description", "what", "stromkreis", "funktion",
                "name", "fonction", "supplies", "protects"),
    "feed_class": ("feed", "feed class", "class", "klemme", "terminal"),
    "live_side": ("live side", "side", "plusseite", "lado vivo"),
    "asleep": ("asleep", "off", "locked", "key off", "permanent", "sleep", "aus",
               "spannung schlafend"),
    "accessory": ("accessory", "acc", "key at accessory", "radio"),
    "ignition": ("ignition", "ign", "on", "ignition on", "key on", "zündung"),
    "running": ("running", "engine running", "engine", "motor"),
    "millivolts": ("mv", "millivolts", "drop", "mv asleep", "rest mv"),
    "current": ("current", "load", "draw", "ma", "own load", "strom", "rest current"),
    "note": ("note", "notes", "remark", "remarks", "comment", "bemerkung"),
}  # fmt: skip
"""What a column may be headed with; a longer heading that begins so fits too."""

COLUMN_WORDS: Final[dict[str, Text]] = {
    "label": say("slot"),
    "panel": say("panel"),
    "rating": say("rating"),
    "family": say("fuse family"),
    "circuit": say("circuit"),
    "feed_class": say("feed class"),
    "live_side": say("live side"),
    "asleep": say("live asleep"),
    "accessory": say("live with key at accessory"),
    "ignition": say("live with ignition on"),
    "running": say("live with engine running"),
    "millivolts": say("millivolts asleep"),
    "current": say("current asleep"),
    "note": say("note"),
}
"""What a column is called; a heading that says so in any language is known too."""

SIDES: Final[dict[LiveSide, Text]] = {
    "left": say("left"),
    "right": say("right"),
    "top": say("top"),
    "bottom": say("bottom"),
}

MOST_LINE: Final = 100_000
"""No row of a table is longer [characters]; of a line that is, the rest is left out."""

_CLASSES: Final[dict[str, FeedClass]] = {
    **{feed_class: feed_class for feed_class in FEED},
    "delayed-off": "delayed_off", "delayed off": "delayed_off", "30": "permanent",
    "15": "ignition", "15r": "accessory", "75": "accessory", "58": "lighting",
    "zubehörplus": "accessory", "always": "permanent",
    "b+": "permanent", "acc": "accessory", "ign": "ignition",
}  # fmt: skip
"""Words for a feed class; the numbers are terminals of DIN 72552."""


def in_any_language(text: Text) -> frozenset[str]:
    """A text in every language there is, without capitals.

    >>> sorted(in_any_language(say("yes")))
    ['ja', 'oui', 'sí', 'yes']
    """
    return frozenset(Style(code).show(text).casefold() for code in LANGUAGES)


@cache
def classes() -> dict[str, FeedClass]:
    """Feed classes by the words there are for them in every language, and by terminal."""
    own = {word: key for key, words in FEED.items() for word in in_any_language(words.label)}
    return own | _CLASSES


@cache
def sides() -> dict[str, LiveSide]:
    """The sides of a slot by the words there are for them in every language."""
    own = {word: key for key, text in SIDES.items() for word in in_any_language(text)}
    return own | {key: key for key in get_args(LiveSide)}


@cache
def headings() -> dict[str, frozenset[str]]:
    """What each column may be headed with, in every language."""
    return {
        name: frozenset(known) | in_any_language(COLUMN_WORDS[name])
        for name, known in COLUMNS.items()
    }


@cache
def yes_or_no() -> dict[str, bool]:
    """What says that a slot is live or dead, in every language."""
    yes = YES.union(*map(in_any_language, (say("yes"), say("live"))))
    no = NO.union(*map(in_any_language, (say("no"), say("dead"))))
    return dict.fromkeys(no, False) | dict.fromkeys(yes, True)


RATING: Final = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*a?(?:mp(?:ere)?s?)?\s*", re.IGNORECASE)


def split(text: str) -> list[list[str]]:
    """The cells of a pasted table; empty rows are left out.

    >>> split("F1;10;Radio\\nF2;15;Horn")
    [['F1', '10', 'Radio'], ['F2', '15', 'Horn']]
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    sample = next((line for line in lines if line.strip()), "")
    sign = max("\t;|,", key=lambda each: (sample.count(each) > 0, "\t;|,".index(each) * -1))
    if sample.count(sign) == 0:
        sign = ","
    # An odd quote would swallow the rows up to the next one.
    quoting: Literal[0, 3] = csv.QUOTE_NONE if text.count('"') % 2 else csv.QUOTE_MINIMAL
    whole = io.StringIO("\n".join(line[:MOST_LINE] for line in lines))
    rows = csv.reader(whole, delimiter=sign, skipinitialspace=True, quoting=quoting)
    cleaned = [[unguarded(clean(cell)) for cell in row] for row in rows]
    return [row for row in cleaned if any(row)]


def find_columns(rows: Sequence[Sequence[str]]) -> tuple[dict[str, int], bool]:
    """Which column is what, by its heading or else by what stands in it; whether there is one."""
    if not rows:
        return {}, False
    named = _by_heading(rows[0])
    if "label" in named and len(named) > 1:
        return named, True
    return _by_content(rows), False


def _by_heading(heading: Sequence[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    plain = [re.sub(r"[\[\](){}.:]", " ", cell).casefold().split() for cell in heading]
    words = [" ".join(cell) for cell in plain]
    for exact in (True, False):
        for name, known in headings().items():
            for at, head in enumerate(words):
                if name in found or at in found.values() or not head:
                    continue
                if head in known or (not exact and any(head.startswith(f"{w} ") for w in known)):
                    found[name] = at
    return found


def _by_content(rows: Sequence[Sequence[str]]) -> dict[str, int]:
    """Without a heading: the first short column that never repeats is the label, and so on."""
    width = max(len(row) for row in rows)
    found: dict[str, int] = {}
    for at in range(width):
        cells = [row[at] for row in rows if at < len(row) and row[at]]
        if not cells:
            continue
        if "label" not in found and len(set(cells)) == len(cells) and max(map(len, cells)) <= 8:
            found["label"] = at
        elif "rating" not in found and _mostly(cells, _is_rating):
            found["rating"] = at
        elif "feed_class" not in found and _mostly(
            cells, lambda cell: cell.casefold() in classes()
        ):
            found["feed_class"] = at
        elif "circuit" not in found and _mostly(cells, lambda cell: not _is_rating(cell)):
            found["circuit"] = at
    return found


def _mostly(cells: Sequence[str], fits: Callable[[str], bool]) -> bool:
    return sum(fits(cell) for cell in cells) > len(cells) / 2


def _is_rating(cell: str) -> bool:
    found = RATING.fullmatch(cell)
    return found is not None and float(found[1].replace(",", ".")) in _all_ratings()


def _all_ratings() -> set[float]:
    return {rating for family in tables.fuse_families().values() for rating in family.ratings_a}
