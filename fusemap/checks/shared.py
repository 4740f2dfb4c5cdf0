"""What the checks are written with: findings that know their place, and a few shared words.

A check says what is wrong, the sum, the rule and what to do; one of these functions adds where:
`slot_finding`, `tap_finding`, `accessory_finding`, `battery_finding`. Where a tap passes the limit
of one hop of its chain, `hop_findings` also takes the sum and the source from the chain.
"""

from collections.abc import Iterator
from typing import NamedTuple, NotRequired, TypedDict, Unpack

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.hops import HopFigures
from fusemap.checks.finding import Finding, Severity
from fusemap.units import quantity
from fusemap.vehicle import STATES, Accessory, Slot, Tap, look_up
from fusemap.vehicle.words import STATE

PRACTICE = "common practice, no source"
ASLEEP = STATES.index("asleep")
STATE_WORDS = {state: words.label for state, words in STATE.items()}


class Said(TypedDict):
    """What a check says; the fields are those of `Finding`."""

    code: str
    severity: Severity
    what: str
    sum: str
    rule: str
    source: str
    remedy: str
    formula: NotRequired[str]


class SaidOfHop(TypedDict):
    """What a check says of a hop: its sum and its source are those of the chain."""

    code: str
    severity: Severity
    what: str
    rule: str
    remedy: str


class Broken(NamedTuple):
    """A tap that passes the limit of a hop; `column` is its place in the figures."""

    tap: Tap
    hop: HopFigures
    column: int


def amperes(value: float) -> str:
    """A current [A] to read."""
    return quantity(value, "A")


def tap_words(a: Assessment, tap: Tap) -> str:
    """A tap as people say it: "Dash camera on F12 Radio"."""
    name = look_up.accessory(a.vehicle, tap.accessory).name
    lead = "" if tap.lead == "power" else f" ({tap.lead} lead)"
    return f"{name}{lead} on {look_up.source_name(a.vehicle, tap)}"


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
    where = accessory.name if behind is None else f"{accessory.name} behind {behind.name}"
    return Finding(place="accessory", place_id=accessory.id, where=where, **said)


def battery_finding(**said: Unpack[Said]) -> Finding:
    """A finding about the starter battery."""
    return Finding(place="battery", place_id="battery", where="Battery", **said)


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
    tap, hop, column = each
    shown = next(h for h in a.chains[tap.id].hops if h.key == hop.key)
    sign = ">" if hop.at_most else "<"
    row = int(hop.state[column])
    state = "" if row < 0 else f" ({STATE_WORDS[STATES[row]]})"
    inputs = ", ".join(f"{name} {value}" for name, value in shown.basis.inputs)
    return tap_finding(
        a,
        tap,
        sum=f"{quantity(shown.load, hop.unit)} {sign} {quantity(shown.limit, hop.unit)}{state}"
        + (f"; {inputs}" if inputs else ""),
        source=shown.basis.source,
        formula=shown.basis.formula,
        **said,
    )
