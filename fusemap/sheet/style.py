"""How a sheet speaks: language and units, chosen apart from the screen's, typed names, its words.

In: a language's code (“en”, “de” …) and a system of units. Out: the `Style` that makes words of a
sheet's texts and amounts, names made safe for a line of print, and the words for what a vehicle is
described with, by the key that is stored; each table has all keys of its type. No Qt.
"""

import unicodedata
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from typing import Final, Literal, get_args

from fusemap.catalogues import LANGUAGES
from fusemap.circuits import Mark
from fusemap.errors import InputProblem
from fusemap.text import Style, Text, Words, in_row, say, say_in
from fusemap.vehicle import words
from fusemap.vehicle.words import (
    Chemistry,
    FeedClass,
    Found,
    LiveSide,
    Quantity,
    SlotKind,
    State,
    TapKind,
    WayRound,
)

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
        return Style(code, "ft", "°F", "AWG", ground, "us")
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


UNNAMED: Final = say("without a name")
SENSE: Final = say("sense wire")
BATTERY: Final = say("Battery")
VEHICLE: Final = say("Vehicle")
NO_FUSE: Final = say("no fuse")
ONE_VEHICLE: Final = say("Readings of this one vehicle, not the maker’s data.")
NOTHING_PLACED: Final = say("Nothing is placed on a slot or an own feed yet.")
NO_PANELS: Final = say("No fuse panel is entered yet.")
NOT_MEASURED: Final = say("not measured")
NOT_NAMED: Final = say("not written down")
NOT_CHOSEN: Final = say("not chosen")
YES: Final = say("yes")
NO: Final = say("no")
TOTAL: Final = say("Total")

STATE: Final[Mapping[State, Text]] = {state: each.label for state, each in words.STATE.items()}

STATE_HEAD: Final[Mapping[State, Text]] = {
    "asleep": say("Asleep"),
    "awake": say("Locked"),
    "accessory": say_in("state", "Access."),
    "ignition": say("Ignition"),
    "running": say_in("state", "Engine"),
}
"""The same at the head of a narrow column."""

FEED: Final[Mapping[FeedClass, Text]] = {feed: each.feed for feed, each in words.FEED.items()}

FEED_SIGNS: Final[Mapping[FeedClass, str]] = {
    **{feed: each.terminal for feed, each in words.FEED.items()},
    "unknown": "?",
}
"""What is written in the marks of the feed classes: terminal numbers of DIN 72552; nothing where
the mark is a drawing."""

SLOT_KIND: Final[Mapping[SlotKind, Text]] = {
    "fuse": say("fuse slot"),
    "relay": say("relay"),
    "blocked": say("blocked"),
    "module": say("output of a control unit"),
}

LOOKS: Final[Mapping[Mark, Text]] = {
    "critical": say("its name says: leave alone; nobody has answered"),
    "monitored": say("looks watched by the vehicle; nobody has answered"),
}
"""What a slot’s name or feed class proposes."""

SIDE: Final[Mapping[LiveSide, Text]] = {
    "left": say("live side left"),
    "right": say("live side right"),
    "top": say("live side at the top"),
    "bottom": say("live side at the bottom"),
    "unknown": say("live side not known"),
}

SIDE_SHORT: Final[Mapping[LiveSide, Words]] = {
    "left": say_in("side", "left"),
    "right": say_in("side", "right"),
    "top": say_in("side", "top"),
    "bottom": say_in("side", "bottom"),
    "unknown": "?",
}

CHEMISTRY: Final[Mapping[Chemistry, Text]] = {
    "flooded": say("Lead-acid, flooded"),
    "efb": say("Lead-acid, enhanced flooded (EFB)"),
    "agm": say("Lead-acid, glass mat (AGM)"),
    "gel": say("Lead-acid, gel"),
    "lifepo4": say("Lithium iron phosphate (LiFePO₄)"),
}

FOUND: Final[Mapping[Found, Text]] = {
    "keep": say("found in the vehicle, stays"),
    "remove": say("found in the vehicle, to be removed"),
    "unknown": say("found in the vehicle, not decided"),
}
"""What was in the vehicle before; nothing is said of what was not."""

WAY: Final[Mapping[tuple[TapKind, WayRound], Text]] = {
    ("two_fuse", "live_side"): say("common blade on the live side"),
    ("two_fuse", "load_side"): say("common blade on the load side, REVERSED"),
    ("take_off_lead", "live_side"): say("lead on the live side"),
    ("take_off_lead", "load_side"): say("lead on the load side, REVERSED"),
}
"""How a tap that can be turned sits in its slot."""

WAY_SHORT: Final[Mapping[WayRound, Text]] = {
    "live_side": say("tap on the live side"),
    "load_side": say("tap on the load side, REVERSED"),
}

QUANTITY: Final[Mapping[Quantity, Text]] = {
    "live": say("live"),
    "live_left": say("left contact live"),
    "live_right": say("right contact live"),
    "live_top": say("top contact live"),
    "live_bottom": say("bottom contact live"),
    "millivolts": say("millivolts across the fuse"),
    "clamp_current": say("current by clamp"),
    "inline_current": say("current by ammeter"),
    "volts": say("voltage"),
    "earth_millivolts": say("drop on the earth side"),
    "works": say("works"),
    "stays_on": say("stays on with the host fuse out"),
    "warm": say("warm to the touch"),
    "plus_millivolts": say("drop on the plus side"),
    "grips": say("sits firmly in its contacts"),
    "no_lamps": say("no warning lamp"),
    "polarity": say("voltage at its lead, before it is connected"),
    "output_volts": say("voltage behind a converter"),
}
