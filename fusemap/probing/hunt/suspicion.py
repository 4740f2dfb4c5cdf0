"""Which fuse to look at first: how much is expected of each, from what is known of its circuit.

In: a vehicle. Out: its slots that may have a fuse in, the likeliest first, each with a weight [-]
and the reason in words. The weights are ours: they decide an order, never an answer.
"""

from collections.abc import Container, Iterator
from typing import Final

from msgspec import Struct

from fusemap.circuits import circuit_of
from fusemap.probing import evidence
from fusemap.tables import Function
from fusemap.text import Amount, Text, given, in_row, run_on, say
from fusemap.vehicle import FeedClass, Slot, Vehicle, look_up
from fusemap.vehicle.words import FEED, PARKED_STATES

BY_FEED: Final[dict[FeedClass, float]] = {
    "permanent": 1.0,
    "unknown": 0.7,
    "delayed_off": 0.4,
    "accessory": 0.15,
    "ignition": 0.15,
    "lighting": 0.15,
    "unfed": 0.02,
}
"""What is live asleep comes first; what should be dead comes last, and comes."""

BY_FUNCTION: Final[dict[Function, float]] = {
    "comfort": 1.0,
    "unclear": 1.0,
    "supply": 1.2,
    "control": 0.8,
    "watched": 0.6,
    "regulated": 0.4,
    "leave_alone": 0.4,
}

FITTED: Final = 4.0
"""What somebody fitted draws more often than what the maker did; common practice, no source."""


class Suspicion(Struct, frozen=True):
    """A slot with how much is expected of it [-], and why."""

    slot: Slot
    weight: float
    why: Text


def with_fuse(vehicle: Vehicle) -> Iterator[Slot]:
    """The slots that have a fuse in, or may have: one that is not entered is not known."""
    for slot in evidence.fuse_slots(vehicle):
        if slot.fuse is not None or slot.feed_class != "unfed":
            yield slot


def expected(vehicle: Vehicle, among: Container[str] | None = None) -> tuple[Suspicion, ...]:
    """The slots that may have a fuse in, the likeliest to draw asleep first.

    `among` these ids alone.
    """
    found = [_of(vehicle, slot) for slot in with_fuse(vehicle) if among is None or slot.id in among]
    return tuple(sorted(found, key=lambda each: -each.weight))


def fitted_on(vehicle: Vehicle, slot_id: str) -> tuple[str, ...]:
    """Names of the accessories tapped into a slot that may draw while parked."""
    found: list[str] = []
    for tap in look_up.taps_on(vehicle, slot_id) if vehicle.taps else ():
        each = look_up.accessory(vehicle, tap.accessory)
        works = any(state in each.works_in for state in PARKED_STATES)
        if works or each.standby_a > 0 or each.found != "no":
            found.append(each.name)
    return tuple(dict.fromkeys(found))


def _of(vehicle: Vehicle, slot: Slot) -> Suspicion:
    rating = 10.0 if slot.fuse is None else slot.fuse.rating
    weight = BY_FEED[slot.feed_class] * BY_FUNCTION[circuit_of(slot).function]
    weight *= (rating / 10.0) ** 0.3
    fitted = fitted_on(vehicle, slot.id)
    known = slot.own_load.asleep or 0.0
    if fitted:
        weight *= FITTED
    weight *= 1.0 + min(4.0, known / 0.05)
    return Suspicion(slot, weight, _why(slot, fitted, known))


def _why(slot: Slot, fitted: tuple[str, ...], known: float) -> Text:
    """The strongest reason there is."""
    if fitted:
        return say("{accessories} may draw while parked", accessories=in_row(fitted, "and"))
    if known > 0:
        return say("it drew {current} asleep before", current=Amount(known, "A"))
    if slot.feed_class in ("permanent", "unknown"):
        return run_on(FEED[slot.feed_class].meaning)
    if slot.feed_class == "delayed_off" and slot.delayed_off_min:
        return say("it should be off by now: {delay}", delay=given(slot.delayed_off_min, "min"))
    return say(
        "its class, {feed}, is dead asleep: current here means a switch or relay that stays on",
        feed=FEED[slot.feed_class].label,
    )
