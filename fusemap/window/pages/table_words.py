"""The published tables as rows to show: which fit what was typed, and what the columns are called.

In: a `TableInfo`, what was typed, whether only recalled figures are wanted. Out: rows and words. No
Qt widgets.
"""

import re
from collections.abc import Sequence
from typing import Final

from fusemap.circuits import FUNCTION_WORDS
from fusemap.tables import TableInfo
from fusemap.text import ENGLISH, Argument, Style, Text, many, say
from fusemap.window.texts.sentences import capital

AS_THEY_ARE: Final = (
    "key",
    "source",
    "standard",
    "word",
    "stands_for",
    "language",
    "also_heard",
    "term",
)
"""Columns that are in no language, or in their own."""
YES_OR_NO: Final = ("has_two_fuse_tap", "bolted_or_cartridge")
"""Columns with a 1 for yes and a 0 for no."""
_LISTED: Final = re.compile(r";(?! )")
"""Between the items of a cell; a semicolon in a sentence has a space after it."""
UNITS: Final[dict[str, Argument]] = {
    "_mohm_per_m": "mΩ/m",
    "_w_per_m_k": "W/(m·K)",
    "_per_h": "1/h",
    "_per_year": say("1/year"),
    "_per_k": "1/K",
    "_a2s": "A²s",
    "_mm2": "mm²",
    "_mohm": "mΩ",
    "_mohm_70ah": say("mΩ at 70 Ah"),
    "_mv": "mV",
    "_mm": "mm",
    "_nm": "Nm",
    "_n": "N",
    "_min": "min",
    "_c": "°C",
    "_a": "A",
    "_v": "V",
    "_s": "s",
    "_w": "W",
}
"""The unit that a column's name ends in."""
HEADINGS: Final[dict[str, Text]] = {
    "word": say("Word or abbreviation"),
    "reason": say("What it stands for"),
    "stands_for": say("Written out"),
    "origin": say("Where it was found"),
}
"""Columns whose names say too little."""
FUNCTIONS: Final[dict[str, Text]] = {
    **{str(function): words for function, words in FUNCTION_WORDS.items()},
    "part": say("says nothing alone"),
    "aside": say("set aside"),
}
"""What a word in a circuit's name makes of it."""
ORIGINS: Final[dict[str, Text]] = {
    "trade": say("usual in the trade"),
    "lid": say("on a published lid"),
}
"""Where a word in a circuit's name was taken from."""
STATUS: Final[dict[str, Text]] = {
    "seen": say("seen"),
    "derived": say("derived"),
    "memory": say("from memory, unverified"),
    "practice": say("common practice"),
}


def heading(key: str) -> tuple[Text, Argument]:
    """A column's name as people read it, and its unit; empty where it has none.

    >>> heading("r20_mohm_per_m"), heading("colour")
    ((Text('R20'), 'mΩ/m'), (Text('Colour'), ''))
    """
    end = next((end for end in UNITS if key.endswith(end)), "")
    if key in HEADINGS:
        return HEADINGS[key], ""
    words = key.removesuffix(end).replace("_", " ")
    return Text(capital(words)), UNITS.get(end, "")


def column_words(key: str, style: Style) -> str:
    """A column's heading with its unit.

    >>> column_words("melting_i2t_a2s", ENGLISH), column_words("colour", Style("de"))
    ('Melting i2t [A²s]', 'Farbe')
    """
    name, unit = map(style.show, heading(key))
    return f"{name} [{unit}]" if unit else name


def status_words(status: str) -> Argument:
    """How far a figure can be trusted."""
    return STATUS.get(status, status)


def fitting(
    info: TableInfo, text: str = "", style: Style = ENGLISH, *, memory: bool = False
) -> tuple[tuple[str, ...], ...]:
    """The rows of a table in which every word typed stands, and only recalled ones if wanted.

    A text between quotes has to stand in a row as it is.
    """
    status = info.columns.index("status")
    rows = (row for row in info.rows if not memory or row[status] == "memory")
    wanted = _wanted(text)
    if not wanted:
        return tuple(rows)
    head = f"{info.title} {style.show(info.title)}".casefold()
    return tuple(row for row in rows if _has(_row_words(info, row, style), head, wanted))


def _row_words(info: TableInfo, row: Sequence[str], style: Style) -> str:
    """A row as it stands and as it is shown, to look for words in."""
    shown: list[str] = []
    if style.language != "en":
        shown = [cell_words(*cell, style) for cell in zip(info.columns, row, strict=True)]
    return " ".join((*row, *shown)).casefold()


def _wanted(text: str) -> Sequence[str]:
    typed = text.strip().casefold()
    if len(typed) > 2 and typed[0] in '“"' and typed[-1] in '”"':
        return [typed[1:-1]]
    return typed.split()


def _has(row: str, head: str, wanted: Sequence[str]) -> bool:
    return all(word in row or word in head for word in wanted)


def cell_words(key: str, value: str, style: Style) -> str:
    """A cell as it is shown: a status in words, a list with commas, words in the language.

    >>> cell_words("word", "fuel*", ENGLISH), cell_words("function", "leave_alone", ENGLISH)
    ('fuel…', 'leave alone')
    >>> cell_words("has_two_fuse_tap", "1", ENGLISH), cell_words("max_voltage_v", "1", ENGLISH)
    ('yes', '1')
    """
    if key == "status" or key.endswith("_status"):
        return style.show(status_words(value))
    if key == "function":
        return style.show(FUNCTIONS.get(value, value))
    if key == "origin":
        return style.show(ORIGINS.get(value, value))
    if key == "word":
        return value.replace("*", "…")
    if key in YES_OR_NO:
        return style.show(say("yes") if value == "1" else say("no"))
    items = _LISTED.split(value)
    if key not in AS_THEY_ARE:
        items = [style.show(Text(item.replace("_", " "))) for item in items]
    return (", " if style.forms.decimal == "." else "; ").join(items)


def counted(info: TableInfo) -> Text:
    """How many rows there are, and how many of them are from memory."""
    whole, recalled = len(info.rows), info.by_status.get("memory", 0)
    rows = many("{n} row", "{n} rows", whole)
    if not recalled:
        return rows
    return say("{rows}, {n} from memory", rows=rows, n=recalled)
