"""A finding: what is wrong or worth knowing, where, by which sum and rule, and what to do."""

from dataclasses import dataclass
from typing import Final, Literal

from fusemap.assess.result import Severity
from fusemap.text import Text, say, say_in

PlaceKind = Literal["slot", "tap", "feed", "accessory", "panel", "battery", "vehicle"]

__all__ = ["SEVERITIES", "SEVERITY", "Finding", "PlaceKind", "Severity", "Words"]

SEVERITIES: Final[tuple[Severity, ...]] = ("stop", "caution", "note")
"""Worst first: unsafe or impossible; works but not as it should; worth knowing or measuring."""

SEVERITY: Final[dict[Severity, Text]] = {
    "stop": say("Stop"),
    "caution": say("Caution"),
    "note": say_in("severity", "Note"),
}
"""The one table of words for severities."""

Words = Text | str
"""A text; or a `str`, which is a name somebody gave and is in no language."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding. `code` is stable and unique per check; `place` and `place_id` say where to jump.

    `where` names the place as people call it ("F12 Radio"); `sum` is the arithmetic with units,
    `formula` says in words what it sums, where that is more than the numbers show.
    """

    code: str
    severity: Severity
    what: Words
    place: PlaceKind
    place_id: str
    where: Words
    sum: Words
    rule: Words
    source: Words
    remedy: Words
    formula: Words = ""
