"""A finding: what is wrong or worth knowing, where, by which sum and rule, and what to do.

A check says what is wrong, the sum, the rule and what to do; one of these functions adds where:
`slot_finding`, `tap_finding`, `accessory_finding`, `battery_finding`. With them the few words that
several checks share.
"""

from typing import Final, Literal, NotRequired, TypedDict, Unpack

from msgspec import Struct

from fusemap.assess import Assessment, Hop
from fusemap.assess.result import Severity
from fusemap.text import NOTHING, Amount, Text, Words, say, say_in
from fusemap.vehicle import STATES, Accessory, Slot, Tap, look_up
from fusemap.vehicle.words import LeadName

PlaceKind = Literal[
    "slot", "tap", "feed", "accessory", "panel", "battery", "vehicle", "earth", "socket"
]

__all__ = ["SEVERITIES", "SEVERITY", "Finding", "PlaceKind", "Severity"]

SEVERITIES: Final[tuple[Severity, ...]] = ("stop", "caution", "note")
"""Worst first: unsafe or impossible; works but not as it should; worth knowing or measuring."""

SEVERITY: Final[dict[Severity, Text]] = {
    "stop": say("Stop"),
    "caution": say("Caution"),
    "note": say_in("severity", "Note"),
}
"""The severities in words."""


class Finding(Struct, frozen=True):
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


PRACTICE = say("common practice, no source")
ASLEEP = STATES.index("asleep")


class Said(TypedDict):
    """What a check says; the fields are those of `Finding`."""

    code: str
    severity: Severity
    what: Text
    sum: Text
    rule: Text
    source: Words
    remedy: Text
    formula: NotRequired[Text]


def amperes(value: float) -> Amount:
    """A current [A] to read."""
    return Amount(value, "A")


def passed(hop: Hop) -> Text:
    """A limit that is passed: “18 A > 15 A”."""
    figures = {"load": Amount(hop.load, hop.unit), "limit": Amount(hop.limit, hop.unit)}
    if hop.at_most:
        return say("{load} > {limit}", **figures)
    return say("{load} < {limit}", **figures)


def between(hop: Hop) -> Text:
    """A limit that may be passed: “12 A known, at most 18 A > 15 A”."""
    figures = {
        "known": Amount(hop.load, hop.unit),
        "end": Amount(hop.end, hop.unit),
        "limit": Amount(hop.hard, hop.unit),
    }
    if hop.at_most:
        return say("{known} known, at most {end} > {limit}", **figures)
    return say("{known} known, at least {end} < {limit}", **figures)


def with_lead(name: str, lead: LeadName) -> Words:
    """An accessory's name; with the lead where it is not the power lead."""
    return name if lead == "power" else say("{name} (sense lead)", name=name)


def tap_words(a: Assessment, tap: Tap) -> Text:
    """A tap as people say it: "Dash camera on F12 Radio"."""
    name = look_up.accessory(a.vehicle, tap.accessory).name
    return say(
        "{lead} on {source}",
        lead=with_lead(name, tap.lead),
        source=look_up.source_words(a.vehicle, tap),
    )


def slot_finding(slot: Slot, **said: Unpack[Said]) -> Finding:
    """A finding about a slot and what is on it."""
    return Finding(place="slot", place_id=slot.id, where=look_up.slot_with_circuit(slot), **said)


def tap_finding(a: Assessment, tap: Tap, **said: Unpack[Said]) -> Finding:
    """A finding about one tap."""
    return Finding(place="tap", place_id=tap.id, where=tap_words(a, tap), **said)


def accessory_finding(
    accessory: Accessory, *, behind: Accessory | None = None, **said: Unpack[Said]
) -> Finding:
    """A finding about an accessory, perhaps one that hangs behind a converter."""
    where: Words = accessory.name
    if behind is not None:
        where = say(
            "{accessory} behind {converter}", accessory=accessory.name, converter=behind.name
        )
    return Finding(place="accessory", place_id=accessory.id, where=where, **said)


def battery_finding(**said: Unpack[Said]) -> Finding:
    """A finding about the starter battery."""
    return Finding(place="battery", place_id="battery", where=say("Battery"), **said)
