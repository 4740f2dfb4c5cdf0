"""Which keys a keypad has: those a reading is typed with by mouse or touch, column by column.

In: what is typed so far, the units the field knows, the decimal sign of the language. Out: a `Pad`,
plain values; no widgets. What a key presses are keys of the page it stands on.
"""

from collections.abc import Callable, Sequence
from typing import Final

from fusemap.probing.entry import can_follow
from fusemap.text import Style
from fusemap.window.beside.shown import KeyShown, Pad, PadKey

Usable = Callable[[str], bool]
"""Whether a character makes sense after what is typed already."""


DIGITS: Final = ("741", "852", "963")
"""Digits as on a number pad, column by column."""
MINUS: Final = "−"


def of_figure(
    style: Style,
    typed: str,
    units: Sequence[str],
    *,
    minus: bool = True,
    usable: Usable | None = None,
    row: tuple[KeyShown, ...] = (),
) -> Pad:
    """The keys of a reading: digits, decimal sign, minus, and a key for each of `units`.

    >>> pad = of_figure(Style("de"), "12", ("mV", "V"))
    >>> ["".join(key.cap for key in column) for column in pad.columns]
    ['741', '852', '963', '0,−', 'mVV']
    """
    follows = usable or (lambda key: can_follow(typed, key))
    signs = ["0", style.forms.decimal, *(["-"] if minus else [])]
    columns = [tuple(_key(sign, follows) for sign in column) for column in (*DIGITS, signs)]
    there = [_unit_key(typed, unit) for unit in units]
    per_column = 3 if len(there) <= 3 else 2
    columns += [tuple(there[at : at + per_column]) for at in range(0, len(there), per_column)]
    return Pad(columns=tuple(columns), row=row)


def of_row(style: Style, typed: str, space: str, usable: Usable) -> Pad:
    """The keys of a row of a night: a time, a space, a current."""
    columns = [tuple(_key(sign, usable) for sign in column) for column in (*DIGITS, "0.:")]
    decimal = PadKey((style.forms.decimal,), style.forms.decimal, usable=usable("."))
    columns[3] = (columns[3][0], decimal, columns[3][2])
    apart = PadKey((" ",), space, usable=bool(typed) and " " not in typed)
    return Pad(columns=(*columns, (apart,)))


def of_contacts(typed: str, row: tuple[KeyShown, ...] = ()) -> Pad:
    """The keys by which a live contact is told: 8 top, 2 bottom, 4 left, 6 right."""
    columns = [tuple(_key(sign, lambda key: key in "2468" and not typed) for sign in column)
               for column in DIGITS]  # fmt: skip
    return Pad(columns=tuple(columns), row=row)


def _key(sign: str, usable: Usable) -> PadKey:
    return PadKey((sign,), MINUS if sign == "-" else sign, usable=usable(sign))


def _unit_key(typed: str, unit: str) -> PadKey:
    """The unit behind a figure; typed as its letters."""
    letters = unit.lower()
    follows = all(can_follow(typed + letters[:at], letter) for at, letter in enumerate(letters))
    return PadKey(tuple(letters), unit, usable=typed[-1:].isdigit() and follows)


# --- a name ---------------------------------------------------------------------------------------

ALPHABET: Final = "abcdefghijklmnopqrstuvwxyz"
BESIDES: Final = {"de": "äöüß", "fr": "àâçéèêëîïôùû", "es": "áéíñóúü", "nl": "ëïéèöü"}
"""Letters of a language that the alphabet has not."""
SIGNS: Final = "'.-"
MORE_SIGNS: Final = ",&/()+"
"""Signs that every name may need, and those that fill the last row."""
MOST_IN_ROW: Final = 10


def of_name(language: str, *, capital: bool, space: str) -> Pad:
    """The keys a name is written with, in the order of the alphabet; `capital` ones at its start.

    >>> pad = of_name("en", capital=True, space="Space")
    >>> "".join(column[0].cap for column in pad.columns), pad.columns[-1][-1].cap
    ('ABCDEFGHIJ', 'Space')
    """
    letters = ALPHABET + BESIDES.get(language, "")
    if capital:
        letters = "".join(each if each == "ß" else each.upper() for each in letters)
    count = len(letters) + len(SIGNS) + 1
    rows = -(-count // MOST_IN_ROW)
    wide = -(-count // rows)
    signs = letters + SIGNS + MORE_SIGNS[: rows * wide - count]
    keys = [PadKey((each,), each) for each in signs] + [PadKey((" ",), space)]
    return Pad(columns=tuple(tuple(keys[at::wide]) for at in range(wide)))
