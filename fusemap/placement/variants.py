"""Two plans of one vehicle side by side: places, margins, days, parts.

In: two assessed vehicles. Out: a `Comparison` of rows with what is left and what is right, `None`
where one of them does not have it. Which fields differ, one by one, says `vehicle.difference`.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.assess.result import Floats
from fusemap.assess.words import TAP_WORDS, fuse_words
from fusemap.checks import SEVERITIES, findings
from fusemap.placement.ways_chain import section_words
from fusemap.units import digits, duration, percent, quantity
from fusemap.vehicle import STATES, Feed, Slot, Tap, Vehicle, look_up

ASLEEP = STATES.index("asleep")


@dataclass(frozen=True, slots=True)
class Row:
    """One thing in both plans, in words; `same` where they do not differ."""

    what: str
    left: str
    right: str

    @property
    def same(self) -> bool:
        """Whether both say the same."""
        return self.left == self.right


@dataclass(frozen=True, slots=True)
class Comparison:
    """All rows by subject, those that are the same among them."""

    places: tuple[Row, ...]
    margins: tuple[Row, ...]
    parked: tuple[Row, ...]
    found: tuple[Row, ...]
    parts: tuple[Row, ...]

    def groups(self) -> tuple[tuple[str, tuple[Row, ...]], ...]:
        """The subjects with their titles."""
        return (
            ("Where it is", self.places),
            ("Most loaded, of its limit", self.margins),
            ("Parked", self.parked),
            ("Findings", self.found),
            ("Parts", self.parts),
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


def _leads(left: Vehicle, right: Vehicle) -> Iterator[tuple[str, str, str]]:
    """Every lead of both vehicles: accessory, lead, and what it is called."""
    seen = set()
    for vehicle in (left, right):
        for accessory in vehicle.accessories:
            for lead in accessory.leads:
                if (accessory.id, lead) not in seen:
                    seen.add((accessory.id, lead))
                    words = "" if lead == "power" else ", sense lead"
                    yield accessory.id, lead, f"{accessory.name}{words}"


def _tap(a: Assessment, accessory: str, lead: str) -> Tap | None:
    return next((t for t in a.vehicle.taps if (t.accessory, t.lead) == (accessory, lead)), None)


def _places(left: Assessment, right: Assessment) -> Iterator[Row]:
    for accessory, lead, name in _leads(left.vehicle, right.vehicle):
        words = []
        for a in (left, right):
            tap = _tap(a, accessory, lead)
            there = any(each.id == accessory for each in a.vehicle.accessories)
            words.append(
                look_up.source_name(a.vehicle, tap)
                if tap is not None
                else "not placed"
                if there
                else NONE
            )
        yield Row(name, words[0], words[1])


def _margins(left: Assessment, right: Assessment) -> Iterator[Row]:
    """The most loaded hop of every lead, and every slot and feed with something on it."""
    for accessory, lead, name in _leads(left.vehicle, right.vehicle):
        yield Row(name, _worst(left, accessory, lead), _worst(right, accessory, lead))
    used = {tap.slot for a in (left, right) for tap in a.vehicle.taps if tap.slot is not None}
    for slot in _either(look_up.slots(left.vehicle), look_up.slots(right.vehicle)):
        if slot.id in used:
            name = look_up.slot_and_circuit(slot)
            shares = [_share(a.slots.index, a.slots.worst_share, slot.id) for a in (left, right)]
            yield Row(f"Slot {name}", *shares)
    for feed in _either(left.vehicle.feeds, right.vehicle.feeds):
        shares = [_share(a.feeds.index, a.feeds.worst_share, feed.id) for a in (left, right)]
        yield Row(f"Feed {feed.name}", *shares)


P = TypeVar("P", Slot, Feed)


def _either(left: Iterable[P], right: Iterable[P]) -> list[P]:
    """The parts of both vehicles, each id once, those of the right one last."""
    found = {part.id: part for part in left}
    for part in right:
        found.setdefault(part.id, part)
    return list(found.values())


def _share(index: Mapping[str, int], shares: Floats, wanted: str) -> str:
    return percent(float(shares[index[wanted]])) if wanted in index else NONE


def _worst(a: Assessment, accessory: str, lead: str) -> str:
    tap = _tap(a, accessory, lead)
    worst = None if tap is None else a.chains[tap.id].worst
    return NONE if worst is None else f"{percent(worst.share)}, {worst.title}"


# --- parked and findings --------------------------------------------------------------------------


def _parked(left: Assessment, right: Assessment) -> Iterator[Row]:
    yield Row("Starts for", duration(left.parked.hours), duration(right.parked.hours))
    drawn = [float(a.battery_a[ASLEEP]) for a in (left, right)]
    yield Row("Drawn asleep", *(quantity(max(each, 0.0), "A") for each in drawn))


def _found(left: Assessment, right: Assessment) -> Iterator[Row]:
    both = [[f.severity for f in findings(a.vehicle, a)] for a in (left, right)]
    for severity in SEVERITIES:
        yield Row(severity.capitalize(), *(str(each.count(severity)) for each in both))


# --- parts ----------------------------------------------------------------------------------------

Parts = dict[tuple[str, str], float]
"""How much of each part, by its name and unit (empty for pieces)."""


def parts_of(vehicle: Vehicle) -> Parts:
    """What the accessories of a vehicle take: taps, fuses, relays, joints, cable [m]."""
    found: Parts = {}
    for tap in vehicle.taps:
        for name in _pieces(vehicle, tap):
            found[name, ""] = found.get((name, ""), 0.0) + 1
        for cable in (tap.cable_out, tap.cable_back):
            if cable is not None:
                name = f"Cable {section_words(cable.section_mm2)}"
                found[name, "m"] = found.get((name, "m"), 0.0) + cable.length_m
    return found


def _pieces(vehicle: Vehicle, tap: Tap) -> Iterator[str]:
    yield _tap_name(vehicle, tap)
    if tap.fuse is not None:
        yield f"Fuse {fuse_words(tap.fuse)}"
    if tap.relay:
        yield "Relay"
    joint = tables.joints().get(tap.joint)
    if joint is not None:
        yield joint.name.capitalize()


def _tap_name(vehicle: Vehicle, tap: Tap) -> str:
    if tap.slot is None or tap.kind in ("own_feed", "splice"):
        return str(TAP_WORDS[tap.kind])
    family = tables.fuse_family(look_up.slot(vehicle, tap.slot).family).name
    return f"{TAP_WORDS[tap.kind]}, {family}"


def _parts(left: Vehicle, right: Vehicle) -> Iterator[Row]:
    both = parts_of(left), parts_of(right)
    for name, unit in sorted(both[0].keys() | both[1].keys()):
        amounts = [each.get((name, unit), 0.0) for each in both]
        words = [f"{digits(n)} {unit}".strip() if n else NONE for n in amounts]
        yield Row(name, words[0], words[1])
