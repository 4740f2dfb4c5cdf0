"""What is predicted for a lead: what it draws, its lowest voltage, the hops beside their limits.

In: a subject and a tap. Out: `Predicted` rows, in the order of the current; what cannot be checked
stands at the end, together for one missing thing. The figures are those of the chain. No Qt.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import numpy as np
from msgspec.structs import replace

from fusemap.assess import Hop
from fusemap.assess.hops import PRINTED
from fusemap.sheet.content import Figure, Predicted
from fusemap.sheet.style import (
    STATE,
    named,
)
from fusemap.sheet.subject import Subject
from fusemap.text import Text, in_row, say
from fusemap.vehicle import STATES, Tap
from fusemap.vehicle.words import span_words

IN_THE_BLOCK: Final = say("Fuse in the block")


HOP: Final[Mapping[str, Text]] = {
    "live_contact": say("Live contact"),
    "host_fuse": say("Host fuse"),
    "lasting": say("Load for hours"),
    "tap": say("Tap"),
    "accessory_fuse": say("Accessory fuse"),
    "inrush": say("Inrush, I²t"),
    "section": say("Section"),
    "heat_out": say("Cable out, conductor"),
    "heat_back": say("Return, conductor"),
    "overload": say("Cable at overload"),
    "short": say("Hard short, I²t"),
    "far_end": say("Short at far end / rating"),
    "drop": say("Voltage drop, whole way"),
    "voltage": say("Voltage at the accessory"),
}
"""Short names of the hops: slot, fuse and cable stand beside them on a sheet."""


def predictions(subject: Subject, tap: Tap) -> Iterator[Predicted]:
    """The current drawn, the lowest voltage, and the chain's hops beside their limits."""
    a = subject.assessment
    column = a.taps.index[tap.id]
    drawn = a.taps.current_a[:, column]
    row = int(drawn.argmax())
    yield Predicted(
        key="draws",
        name=subject.show(say("Draws")),
        load=subject.figure(drawn[row], "A"),
        state=subject.show(STATE[STATES[row]]) if drawn[row] > 0 else "",
    )
    hops = a.chains[tap.id].hops
    at_work = lowest_voltage(subject, tap)
    if at_work is not None and not any(hop.key == "voltage" for hop in hops):
        name = subject.show(HOP["voltage"])
        yield Predicted("lowest", name, at_work[0], state=at_work[1])
    for hop in hops:
        figured = not np.isnan(hop.load)
        if figured and (hop.key in PRINTED or hop.verdict != "holds"):
            found = _hop(subject, hop)
            if hop.key == "host_fuse" and subject.on_block(subject.slot(tap)):
                found = replace(found, name=subject.show(IN_THE_BLOCK))
            yield found
    yield from _blind(subject, hops)


def lowest_voltage(subject: Subject, tap: Tap) -> tuple[Figure, str] | None:
    """The lowest voltage at the accessory while it works, and the state it occurs in."""
    a = subject.assessment
    column = a.taps.index[tap.id]
    works = a.taps.works[:, column] if tap.lead == "power" else a.taps.live[:, column]
    if not works.any():
        return None
    volts = np.where(works, a.taps.voltage_v[:, column], np.inf)
    row = int(volts.argmin())
    return subject.figure(volts[row], "V"), subject.show(STATE[STATES[row]])


def _hop(subject: Subject, hop: Hop) -> Predicted:
    return Predicted(
        key=hop.id,
        name=subject.show(_hop_name(subject, hop)),
        load=_hop_load(subject, hop),
        limit=_hop_figure(subject, hop.decides, hop.unit) if np.isfinite(hop.limit) else None,
        bound=subject.show(_bound(hop)),
        state="" if hop.state is None else subject.show(STATE[hop.state]),
        verdict=hop.verdict,
    )


def _blind(subject: Subject, hops: Sequence[Hop]) -> Iterator[Predicted]:
    """What one missing thing keeps from being checked, together."""
    found: dict[str, list[Hop]] = {}
    for hop in hops:
        if np.isnan(hop.load):
            found.setdefault(str(hop.missing), []).append(hop)
    for together in found.values():
        missing = say("cannot be checked: {missing}", missing=together[0].missing)
        yield Predicted(
            key=together[0].id,
            name=subject.show(in_row(_hop_name(subject, hop) for hop in together)),
            load=subject.figure(float("nan"), together[0].unit),
            bound=subject.show(missing),
            verdict="unchecked",
        )


def _hop_load(subject: Subject, hop: Hop) -> Figure:
    """The load; with both its ends where they read differently."""
    known = _hop_figure(subject, hop.load, hop.unit)
    end = _hop_figure(subject, hop.end, hop.unit)
    if hop.sure or known.text == end.text:
        return known
    return replace(known, text=subject.show(span_words(hop.load, hop.end, _short(hop.unit))))


def _bound(hop: Hop) -> Text:
    if np.isnan(hop.limit):
        return say("cannot be checked: {missing}", missing=hop.missing)
    return say("at most") if hop.at_most else say("at least")


def _hop_name(subject: Subject, hop: Hop) -> Text:
    """What a hop is called; in the words of the chain where the sheet has none of its own."""
    kind, _, which = hop.id.partition(":")
    if kind == "feed" and not which.startswith("?"):
        return say("Feed “{name}”", name=subject.feed_name(which))
    short = HOP.get(hop.key)
    return _with_safe_names(hop.title) if short is None else short


def _with_safe_names(title: Text) -> Text:
    """The same with every name in it made safe for a line of print."""
    parts = {key: named(part) if type(part) is str else part for key, part in title.parts.items()}
    return title if parts == title.parts else Text(title.template, parts, context=title.context)


def _hop_figure(subject: Subject, value: float, unit: str) -> Figure:
    """A figure of a hop; where the name says already what it is a multiple of, only as one."""
    return replace(subject.figure(value, _short(unit)), unit=unit)


def _short(unit: str) -> str:
    return "×" if unit == "× rating" else unit
