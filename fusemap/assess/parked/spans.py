"""How far what an accessory takes may be off: at work and at rest, by whose figures they are.

In: an accessory. Out: factors of its current, low, typical and high. A figure of the library has
the span that the library knows, until a label or a meter says better; unsaid, a figure that equals
the library's is the library's. A mode that was chosen for parking has the span of that mode.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, NamedTuple

from fusemap import tables
from fusemap.electrics.spread import Range
from fusemap.text import Amount, Argument, Text, say
from fusemap.text import share as share_of
from fusemap.vehicle import Accessory
from fusemap.vehicle.words import FiguresFrom

ENTERED: Final = 0.10
"""Share by which an accessory's current may differ from what is entered or on its label."""
MEASURED: Final = 0.05
"""The same where it was measured."""
SAME: Final = 1e-3
"""Share within which a figure equals the library's [-]."""


class Span(NamedTuple):
    """Factors of a current, where they come from in words, whether a choice would narrow them."""

    factors: Range
    words: Text
    has_modes: bool = False


@lru_cache(maxsize=256)
def at_work(accessory: Accessory) -> Span:
    """The span of what it takes while it works."""
    kind = _kind(accessory.kind)
    entered = accessory.watts if accessory.watts is not None else accessory.amperes
    unit = "W" if accessory.watts is not None else "A"
    known = kind is not None and kind.unit == unit and accessory.converter is None
    whose = accessory.figures_from
    if kind is not None and known and _is_library(accessory, whose, entered, kind.typical):
        return _library(accessory, kind.low, kind.typical, kind.high, unit, at_rest=False)
    return _entered(accessory, whose)


@lru_cache(maxsize=256)
def at_rest(accessory: Accessory) -> Span:
    """The span of what it takes while it has supply and does not work."""
    whose = accessory.figures_from if accessory.rest_from is None else accessory.rest_from
    mode = tables.parked_modes(accessory.kind).get(accessory.parked_mode)
    if mode is not None and _is_library(accessory, whose, accessory.standby_a, mode.typical_a):
        ends = (mode.low_a, mode.typical_a, mode.high_a)
        found = _library(accessory, *ends, "A", at_rest=True)
        return (
            found
            if mode.source.status != "memory"
            else found._replace(words=_untold(accessory, ends))
        )
    kind = _kind(accessory.kind)
    if (
        kind is not None
        and kind.standby_a > 0
        and _is_library(accessory, whose, accessory.standby_a, kind.standby_a)
    ):
        ends = (kind.standby_low_a, kind.standby_a, kind.standby_high_a)
        return _library(accessory, *ends, "A", at_rest=True)
    return _entered(accessory, whose)


def _untold(accessory: Accessory, ends: Range) -> Text:
    """A mode of which nobody published a figure: the widest that is told of it."""
    return say(
        "what {accessory} draws at rest: {low} to {high}, no figure of this mode is published",
        accessory=accessory.name,
        low=Amount(ends[0], "A", significant=2),
        high=Amount(ends[2], "A", significant=2),
    )


def _kind(key: str) -> tables.AccessoryKind | None:
    return next((each for each in tables.accessory_kinds() if each.key == key), None)


def _is_library(
    accessory: Accessory, whose: FiguresFrom, figure: float | None, library: float
) -> bool:
    if accessory.current_spread is not None or figure is None:
        return False
    if whose == "unsaid":
        return abs(figure - library) <= SAME * library
    return whose == "library"


def _entered(accessory: Accessory, whose: FiguresFrom) -> Span:
    half = MEASURED if whose == "meter" else ENTERED
    half = half if accessory.current_spread is None else accessory.current_spread
    words = say("what {accessory} draws ±\u202f{share}", accessory=accessory.name,
                share=share_of(half))  # fmt: skip
    return Span((1 - half, 1.0, 1 + half), words)


def _library(
    accessory: Accessory, low: float, typical: float, high: float, unit: str, *, at_rest: bool
) -> Span:
    parts: dict[str, Argument] = {
        "accessory": accessory.name,
        "low": Amount(low, unit, significant=2),
        "high": Amount(high, unit, significant=2),
    }
    words = say("what {accessory} draws at work: {low} to {high} by the library", **parts)
    if at_rest:
        words = say("what {accessory} draws at rest: {low} to {high} by the library", **parts)
    open_mode = at_rest and not accessory.parked_mode and bool(tables.parked_modes(accessory.kind))
    return Span((low / typical, 1.0, high / typical), words, has_modes=open_mode)
