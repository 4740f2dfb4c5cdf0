"""What the checks are written with: findings that know their place, and a few shared words.

A check says what is wrong, the sum, the rule and what to do; one of these functions adds where:
`slot_finding`, `tap_finding`, `accessory_finding`, `battery_finding`.
"""

from typing import NotRequired, TypedDict, Unpack

from fusemap.assess import Assessment
from fusemap.checks.finding import Finding, Severity
from fusemap.text import Amount, Text, Words, say
from fusemap.vehicle import STATES, Accessory, Slot, Tap, look_up
from fusemap.vehicle.words import LeadName

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
