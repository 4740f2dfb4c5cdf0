"""A finding: what is wrong or worth knowing, where, by which sum and rule, and what to do."""

from dataclasses import dataclass
from typing import Final, Literal

from fusemap.assess.result import Severity
from fusemap.text import NOTHING, Text, Words, say, say_in

PlaceKind = Literal["slot", "tap", "feed", "accessory", "panel", "battery", "vehicle"]

__all__ = ["SEVERITIES", "SEVERITY", "Finding", "PlaceKind", "Severity"]

SEVERITIES: Final[tuple[Severity, ...]] = ("stop", "caution", "note")
"""Worst first: unsafe or impossible; works but not as it should; worth knowing or measuring."""

SEVERITY: Final[dict[Severity, Text]] = {
    "stop": say("Stop"),
    "caution": say("Caution"),
    "note": say_in("severity", "Note"),
}
"""The severities in words."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding. `code` is stable and unique per check; `place` and `place_id` say where to jump.

    `where` names the place as people call it ("F12 Radio"); `sum` is the arithmetic with units,
    `formula` says in words what it sums, where that is more than the numbers show. A `where` that
    is a plain `str` is a name somebody gave, a `source` that is one a standard's title.
    """

    code: str
    severity: Severity
    what: Text
    place: PlaceKind
    place_id: str
    where: Words
    sum: Text
    rule: Text
    source: Words
    remedy: Text
    formula: Text = NOTHING
