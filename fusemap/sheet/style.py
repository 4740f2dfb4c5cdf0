"""How a sheet speaks: its language and units, chosen apart from the screen's, and typed names.

In: a language's code (“en”, “de” …) and a system of units. Out: the `Style` that makes words of a
sheet's texts and amounts, and names made safe for a line of print. No Qt.
"""

import unicodedata
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Final, Literal, get_args

from fusemap import tables
from fusemap.catalogues import LANGUAGES
from fusemap.errors import InputProblem
from fusemap.text import NARROW_SPACE, Style

Units = Literal["metric", "us"]
UNITS: Final[tuple[Units, ...]] = get_args(Units)

LEFT_TO_RIGHT_MARK: Final = "\u200e"


@dataclass(frozen=True)
class PaperStyle(Style):
    """How values become words on paper, where a cable is read as one to buy."""

    def section(self, area_mm2: float) -> str:
        """A cable's section with both gauges, the reader's own first: one that is sold.

        >>> paper_style("en").section(1.5).replace(NARROW_SPACE, " ")
        '1.5 mm² (about AWG 15)'
        >>> paper_style("en", "us").section(1.5).replace(NARROW_SPACE, " ")
        'AWG 14 (≥ 1.5 mm²)'
        """
        if self.section_unit != "AWG":
            return super().section(area_mm2)
        area = f"{self.number(area_mm2)}{NARROW_SPACE}mm²"
        gauge = tables.traded_gauge(area_mm2)
        return area if gauge is None else f"AWG{NARROW_SPACE}{gauge.awg} (≥ {area})"

    def moment(self, iso: str) -> str:
        """A day, with hour and minute where it has them; what is no day as it was typed.

        >>> paper_style("de").moment("2026-05-09T17:52:00"), paper_style("en").moment("last spring")
        ('09.05.2026, 17:52', 'last spring')
        """
        try:
            when = datetime.fromisoformat(iso)
        except ValueError:
            return named(iso)
        return self.forms.moment(when) if "T" in iso or ":" in iso else self.forms.day(when)


@cache
def paper_style(code: str, units: Units = "metric", ground: bool = False) -> PaperStyle:
    """The style of a language and a system of units; `ground` says ground for earth in English.

    Raises `InputProblem` for a language or units that are not there.
    """
    if code not in LANGUAGES:
        known = ", ".join(LANGUAGES)
        raise InputProblem(f"there is no language “{code}”", "language", f"one of: {known}")
    if units not in UNITS:
        raise InputProblem(f"there are no units “{units}”", "units", f"one of: {', '.join(UNITS)}")
    if units == "us":
        return PaperStyle(code, "ft", "°F", "AWG", ground)
    return PaperStyle(code, ground=ground)


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
