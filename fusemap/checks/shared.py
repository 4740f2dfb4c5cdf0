"""What the checks are written with: findings that know their place, and a few shared words.

A check says what is wrong, the sum, the rule and what to do; one of these functions adds where:
`slot_finding`, `tap_finding`, `accessory_finding`, `battery_finding`. Where a tap passes the limit
of one hop of its chain, `hop_findings` also takes the sum and the source from the chain.
"""

from collections.abc import Iterator
from typing import NamedTuple, NotRequired, TypedDict, Unpack

import numpy as np

from fusemap.assess import Assessment, Hop
from fusemap.assess.hops import HopFigures
from fusemap.checks.finding import Finding, Severity, Words
from fusemap.text import Amount, Text, in_row, run_on, say, say_in
from fusemap.vehicle import STATES, Accessory, Slot, State, Tap, Vehicle, look_up
from fusemap.vehicle.words import FeedClass, LeadName

PRACTICE = say("common practice, no source")
ASLEEP = STATES.index("asleep")
STATE_WORDS: dict[State, Text] = {
    "asleep": say("parked and asleep"),
    "awake": say("locked but still awake"),
    "accessory": say("key at accessory"),
    "ignition": say("ignition on"),
    "running": say("engine running"),
}


FEED_WORDS: dict[FeedClass, Text] = {
    "permanent": say_in("feed", "permanent"),
    "ignition": say_in("feed", "ignition"),
    "accessory": say_in("feed", "accessory"),
    "delayed_off": say_in("feed", "delayed-off"),
    "lighting": say_in("feed", "lighting"),
    "unfed": say_in("feed", "unfed"),
    "unknown": say_in("feed", "unknown"),
}


class Said(TypedDict):
    """What a check says; the fields are those of `Finding`."""

    code: str
    severity: Severity
    what: Words
    sum: Words
    rule: Words
    source: Words
    remedy: Words
    formula: NotRequired[Words]


class SaidOfHop(TypedDict):
    """What a check says of a hop: its sum and its source are those of the chain."""

    code: str
    severity: Severity
    what: Words
    rule: Words
    remedy: Words


class Broken(NamedTuple):
    """A tap that passes the limit of a hop; `column` is its place in the figures."""

    tap: Tap
    hop: HopFigures
    column: int


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
        source=source_words(a.vehicle, tap),
    )


def source_words(vehicle: Vehicle, tap: Tap) -> Words:
    """Where a tap takes its current from."""
    if tap.slot is None and tap.feed is None:
        return say("battery")
    return look_up.source_name(vehicle, tap)


def slot_finding(slot: Slot, **said: Unpack[Said]) -> Finding:
    """A finding about a slot and what is on it."""
    return Finding(place="slot", place_id=slot.id, where=look_up.slot_and_circuit(slot), **said)


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


def broken(a: Assessment, key: str) -> Iterator[Broken]:
    """The taps that pass the limit of one kind of hop."""
    hop = a.hops.get(key)
    if hop is not None:
        for column in np.flatnonzero(hop.broken):
            yield Broken(a.circuit.taps.taps[column], hop, int(column))


def hop_findings(a: Assessment, key: str, **said: Unpack[SaidOfHop]) -> Iterator[Finding]:
    """The same finding about every tap that passes the limit of one kind of hop."""
    for each in broken(a, key):
        yield hop_finding(a, each, **said)


def hop_finding(a: Assessment, each: Broken, **said: Unpack[SaidOfHop]) -> Finding:
    """A finding about one hop; the sum and the source are those of the chain."""
    tap, hop, _ = each
    shown = next(h for h in a.chains[tap.id].hops if h.key == hop.key)
    return tap_finding(
        a,
        tap,
        sum=_passed(each, shown),
        source=shown.basis.source,
        formula=shown.basis.formula,
        **said,
    )


def _passed(each: Broken, shown: Hop) -> Text:
    """The limit that is passed, and what went into the sum."""
    row, unit = int(each.hop.state[each.column]), each.hop.unit
    figures = {"load": Amount(shown.load, unit), "limit": Amount(shown.limit, unit)}
    passed = say("{load} > {limit}" if each.hop.at_most else "{load} < {limit}", **figures)
    if row >= 0:
        passed = say("{passed} ({state})", passed=passed, state=STATE_WORDS[STATES[row]])
    inputs = in_row(run_on(name, value) for name, value in shown.basis.inputs)
    return run_on(passed, inputs, between="; ") if shown.basis.inputs else passed
