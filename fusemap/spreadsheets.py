"""Texts in tables for spreadsheet programs: none of them is taken for a formula.

A cell that begins like a formula is carried out when the table is opened, whoever wrote it. It gets
a quote before it (common practice), and loses it again when the table is pasted back.
"""

import re
from typing import Final

_FORMULA: Final = re.compile(r"'*[=+\-@\t\r\n]")
"""How a formula begins; a text that has quotes before that already gets one more, to lose it."""
_QUOTED: Final = re.compile(r"'+[=+\-@\t\r\n]")


def guarded(text: str) -> str:
    """A text as it stands in a cell.

    >>> guarded("=1+1"), guarded("Radio"), guarded("'=1+1")
    ("'=1+1", 'Radio', "''=1+1")
    """
    return f"'{text}" if _FORMULA.match(text) else text


def unguarded(cell: str) -> str:
    """The text that was guarded.

    >>> unguarded("'=1+1"), unguarded("'n Radio")
    ('=1+1', "'n Radio")
    """
    return cell[1:] if _QUOTED.match(cell) else cell
