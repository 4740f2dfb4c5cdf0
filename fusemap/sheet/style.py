"""How a sheet speaks: its language and units, chosen apart from the screen's, and typed names.

In: a language's code (“en”, “de” …) and a system of units. Out: the `Style` that makes words of a
sheet's texts and amounts, and names made safe for a line of print. No Qt.
"""

import unicodedata
from datetime import datetime
from functools import cache
from typing import Final, Literal, get_args

from fusemap.catalogues import LANGUAGES
from fusemap.errors import InputProblem
from fusemap.text import Style, in_row, say

Units = Literal["metric", "us"]
UNITS: Final[tuple[Units, ...]] = get_args(Units)

LEFT_TO_RIGHT_MARK: Final = "\u200e"


@cache
def paper_style(code: str, units: Units = "metric", ground: bool = False) -> Style:
    """The style of a language and a system of units; `ground` says ground for earth in English.

    Raises `InputProblem` for a language or units that are not there.
    """
    if code not in LANGUAGES:
        what = say("there is no language “{code}”", code=code)
        raise InputProblem(what, "language", say("one of: {known}", known=in_row(LANGUAGES)))
    if units not in UNITS:
        what = say("there are no units “{units}”", units=units)
        raise InputProblem(what, "units", say("one of: {known}", known=in_row(UNITS)))
    if units == "us":
        return Style(code, "ft", "°F", "AWG", ground)
    return Style(code, ground=ground)


def moment(iso: str, style: Style) -> str:
    """A day, with hour and minute where it has them; what is no day as it was typed.

    >>> moment("2026-05-09T17:52:00", Style("de")), moment("last spring", Style())
    ('09.05.2026, 17:52', 'last spring')
    """
    try:
        when = datetime.fromisoformat(iso)
    except ValueError:
        return named(iso)
    return style.forms.moment(when) if "T" in iso or ":" in iso else style.forms.day(when)


def named(text: str) -> str:
    """A text that somebody typed, made safe for a line of print.

    Line breaks become spaces, signs that turn the reading direction are left out, and a text with
    letters read from the right is closed off, so that figures after it stay in their order.

    >>> named("Dash\\ncam \\u202e")
    'Dash cam'
    """
    kept = "".join(_safe(sign) for sign in text)
    whole = " ".join(kept.split())
    if any(unicodedata.bidirectional(sign) in ("R", "AL") for sign in whole):
        return f"{LEFT_TO_RIGHT_MARK}{whole}{LEFT_TO_RIGHT_MARK}"
    return whole


def _safe(sign: str) -> str:
    kind = unicodedata.category(sign)
    if kind in ("Cc", "Zl", "Zp"):
        return " "
    # joiners shape Arabic and Indic letters; every other invisible sign can only mislead
    return "" if kind in ("Cf", "Cs") and sign not in "\u200c\u200d" else sign
