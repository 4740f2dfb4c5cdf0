"""Two plans of one vehicle side by side: places, margins, days, parts.

In: two assessed vehicles. Out: a `Comparison` of rows with what is left and what is right, `None`
where one of them does not have it. Which fields differ, one by one, says `vehicle.difference`.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeVar

from msgspec import Struct

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.assess.result import Floats
from fusemap.assess.words import fuse_words
from fusemap.checks import SEVERITIES, findings
from fusemap.checks.finding import SEVERITY
from fusemap.text import (
    ENGLISH,
    Amount,
    Argument,
    Duration,
    Section,
    Text,
    in_row,
    say,
    share,
)
from fusemap.vehicle import STATES, Feed, Slot, Tap, Vehicle, look_up
from fusemap.vehicle.words import BEHIND, TAP

ASLEEP = STATES.index("asleep")


class Row(Struct, frozen=True):
    """One thing in both plans, in words; `same` where they do not differ."""

    what: Argument
    left: Argument
    right: Argument

    @property
    def same(self) -> bool:
        """Whether both read the same."""
        return ENGLISH.show(self.left) == ENGLISH.show(self.right)


class Comparison(Struct, frozen=True):
    """All rows by subject, those that are the same among them."""

    places: tuple[Row, ...]
    margins: tuple[Row, ...]
    parked: tuple[Row, ...]
    found: tuple[Row, ...]
    parts: tuple[Row, ...]

    def groups(self) -> tuple[tuple[Text, tuple[Row, ...]], ...]:
        """The subjects with their titles."""
        return (
            (say("Where it is"), self.places),
            (say("Most loaded, of its limit"), self.margins),
            (say("Parked"), self.parked),
            (say("Findings"), self.found),
            (say("Parts"), self.parts),
        )


NONE = "–"
"""Stands where a plan does not have something."""


def compare(left: Assessment, right: Assessment) -> Comparison:
    """Two plans side by side."""
    return Comparison(
        places=tuple(_places(left, right)),
        margins=tuple(_margins(left, right)),
        parked=tuple(_parked(left, right)),
        found=tuple(_found(left, right)),
        parts=tuple(_parts(left.vehicle, right.vehicle)),
    )


# --- places and margins ---------------------------------------------------------------------------


def _leads(left: Vehicle, right: Vehicle) -> Iterator[tuple[str, str, Argument]]:
    """Every lead of both vehicles: accessory, lead, and what it is called."""
    seen = set()
    for vehicle in (left, right):
        for accessory in vehicle.accessories:
            for lead in accessory.leads:
                if (accessory.id, lead) not in seen:
                    seen.add((accessory.id, lead))
                    yield accessory.id, lead, _lead_name(accessory.name, lead)


def _lead_name(accessory: str, lead: str) -> Argument:
    return accessory if lead == "power" else say("{accessory}, sense lead", accessory=accessory)


def _tap(a: Assessment, accessory: str, lead: str) -> Tap | None:
    return next((t for t in a.vehicle.taps if (t.accessory, t.lead) == (accessory, lead)), None)


def _places(left: Assessment, right: Assessment) -> Iterator[Row]:
    for accessory, lead, name in _leads(left.vehicle, right.vehicle):
        yield Row(name, _place(left, accessory, lead), _place(right, accessory, lead))


def _place(a: Assessment, accessory: str, lead: str) -> Argument:
    tap = _tap(a, accessory, lead)
    if tap is not None:
        return look_up.source_words(a.vehicle, tap)
    there = any(each.id == accessory for each in a.vehicle.accessories)
    return say("not placed") if there else NONE


def _margins(left: Assessment, right: Assessment) -> Iterator[Row]:
    """The most loaded hop of every lead, and every slot and feed with something on it."""
    for accessory, lead, name in _leads(left.vehicle, right.vehicle):
        yield Row(name, _worst(left, accessory, lead), _worst(right, accessory, lead))
    used = {tap.slot for a in (left, right) for tap in a.vehicle.taps if tap.slot is not None}
    for slot in _either(look_up.slots(left.vehicle), look_up.slots(right.vehicle)):
        if slot.id in used:
            shares = [_share(a.slots.index, a.slots.worst_share, slot.id) for a in (left, right)]
            yield Row(say("Slot {slot}", slot=look_up.slot_with_circuit(slot)), *shares)
    for feed in _either(left.vehicle.feeds, right.vehicle.feeds):
        shares = [_share(a.feeds.index, a.feeds.worst_share, feed.id) for a in (left, right)]
        yield Row(say("Feed {feed}", feed=feed.name), *shares)


P = TypeVar("P", Slot, Feed)


def _either(left: Iterable[P], right: Iterable[P]) -> list[P]:
    """The parts of both vehicles, each id once, those of the right one last."""
    found = {part.id: part for part in left}
    for part in right:
        found.setdefault(part.id, part)
    return list(found.values())


def _share(index: Mapping[str, int], shares: Floats, wanted: str) -> Argument:
    return share(float(shares[index[wanted]])) if wanted in index else NONE


def _worst(a: Assessment, accessory: str, lead: str) -> Argument:
    tap = _tap(a, accessory, lead)
    worst = None if tap is None else a.chains[tap.id].worst
    return NONE if worst is None else in_row([share(worst.share), worst.title])


# --- parked and findings --------------------------------------------------------------------------


def _parked(left: Assessment, right: Assessment) -> Iterator[Row]:
    yield Row(
        say("Starts by the usual figures for"),
        Duration(left.parked.hours),
        Duration(right.parked.hours),
    )
    drawn = [float(a.battery_a[ASLEEP]) for a in (left, right)]
    yield Row(say("Drawn asleep"), *(Amount(max(each, 0.0), "A") for each in drawn))


def _found(left: Assessment, right: Assessment) -> Iterator[Row]:
    both = [[f.severity for f in findings(a.vehicle, a)] for a in (left, right)]
    for severity in SEVERITIES:
        yield Row(SEVERITY[severity], *(each.count(severity) for each in both))


# --- parts ----------------------------------------------------------------------------------------

Parts = dict[tuple[Text, str], float]
"""How much of each part, by its name and unit (empty for pieces)."""


def parts_of(vehicle: Vehicle) -> Parts:
    """What the accessories of a vehicle take: taps, fuses, relays, joints, cable [m]."""
    found: Parts = {}
    for tap in vehicle.taps:
        for name in _pieces(vehicle, tap):
            found[name, ""] = found.get((name, ""), 0.0) + 1
        for cable in (tap.cable_out, tap.cable_back):
            if cable is not None:
                name = say("Cable {section}", section=Section(cable.section_mm2))
                found[name, "m"] = found.get((name, "m"), 0.0) + cable.whole_m
    return found


def _pieces(vehicle: Vehicle, tap: Tap) -> Iterator[Text]:
    yield _tap_name(vehicle, tap)
    if tap.fuse is not None:
        yield say("Fuse {fuse}", fuse=fuse_words(tap.fuse))
    if tap.relay:
        yield say("Relay")
    joint = tables.joints().get(tap.joint)
    if joint is not None:
        yield Text(joint.name).capital()


def _tap_name(vehicle: Vehicle, tap: Tap) -> Text:
    if tap.slot is None or tap.kind in ("own_feed", *BEHIND):
        return in_row([TAP[tap.kind]])
    family = tables.fuse_family(look_up.slot(vehicle, tap.slot).family).name
    return in_row([TAP[tap.kind], Text(family)])


def _parts(left: Vehicle, right: Vehicle) -> Iterator[Row]:
    both = parts_of(left), parts_of(right)
    names = both[0].keys() | both[1].keys()
    for name, unit in sorted(names, key=lambda part: (str(part[0]), part[1])):
        amounts = [each.get((name, unit), 0.0) for each in both]
        yield Row(name, *(Amount(n, unit) if n else NONE for n in amounts))
