"""Where an accessory can take its power from, and how it is best joined there.

`candidates` holds an accessory against every slot of the assessed vehicle and says in a sentence
why each fits or does not. `suggest_tap` proposes fuse and cable for a first placement.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from fusemap import tables
from fusemap.advice import Route, cable_for, fuse_for
from fusemap.assess import Assessment, facts
from fusemap.assess.gather import rated_current
from fusemap.units import quantity
from fusemap.vehicle import (
    LIVE_IN,
    STATES,
    Accessory,
    Cable,
    Feed,
    Fuse,
    Slot,
    Vehicle,
    look_up,
)
from fusemap.vehicle.words import LeadName

CLASS_WORDS = {
    "permanent": "permanent",
    "ignition": "ignition",
    "accessory": "accessory",
    "delayed_off": "delayed-off",
    "lighting": "lighting",
    "unfed": "unfed",
    "unknown": "of unknown class",
}
FIRST_LENGTH_M = 2.0
"""Cable length proposed before the user has measured one [m]."""
HIGHEST_12V, LOWEST_24V = 16.0, 18.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """One slot as a source: whether it fits, what is left at the tightest place [A], and why.

    `margin_a` is negative where something would be overloaded. The first reason decides.
    """

    slot_id: str
    fits: bool
    margin_a: float
    reasons: tuple[str, ...]


def candidates(
    vehicle: Vehicle, assessment: Assessment, accessory: Accessory, lead: LeadName = "power"
) -> tuple[Candidate, ...]:
    """Every fuse slot once as a source for one lead, best first.

    The accessory need not be in the vehicle. Where this lead is placed already, its own current is
    not counted against the slot it sits on.
    """
    found = [
        _candidate(vehicle, assessment, accessory, lead, slot)
        for slot in look_up.slots(vehicle)
        if slot.kind == "fuse"
    ]
    order = {slot.id: n for n, slot in enumerate(look_up.slots(vehicle))}
    return tuple(sorted(found, key=lambda c: (not c.fits, -c.margin_a, order[c.slot_id])))


def _candidate(
    vehicle: Vehicle, a: Assessment, accessory: Accessory, lead: LeadName, slot: Slot
) -> Candidate:
    ruled_out = tuple(_ruled_out(vehicle, accessory, lead, slot))
    room, where = _room(vehicle, a, accessory, lead, slot)
    asked = asked_current(a, accessory, lead)
    margin = room - asked
    if margin < 0:
        ruled_out = (
            *ruled_out,
            f"{where} has room for {quantity(max(room, 0.0), 'A')}, {quantity(asked, 'A')} asked.",
        )
    if ruled_out:
        return Candidate(slot.id, False, margin, ruled_out)
    good = (
        f"It is {CLASS_WORDS[slot.feed_class]}; {quantity(margin, 'A')} is left at {where}.",
        *_hints(a, slot),
    )
    return Candidate(slot.id, True, margin, good)


def asked_current(a: Assessment, accessory: Accessory, lead: LeadName) -> float:
    """What one lead asks while the accessory works [A], a constant power at its lowest voltage."""
    return accessory.sense_a if lead == "sense" else rated_current(accessory)


def _ruled_out(vehicle: Vehicle, accessory: Accessory, lead: LeadName, slot: Slot) -> Iterator[str]:
    """Every rule that forbids this slot, whatever its room."""
    if slot.critical:
        reason = f": {slot.critical_reason}" if slot.critical_reason else ""
        yield f"Its circuit must be left alone{reason}."
    if slot.monitored:
        yield "The vehicle watches the current of this circuit."
    yield from _wrong_voltage(vehicle, accessory)
    yield from _wrong_class(accessory, lead, slot)
    if not tables.fuse_family(slot.family).has_two_fuse_tap:
        yield f"There is no fuse tap for the {tables.fuse_family(slot.family).name} family."


def _wrong_voltage(vehicle: Vehicle, accessory: Accessory) -> Iterator[str]:
    if vehicle.system_v == 24 and accessory.rated_v <= HIGHEST_12V:
        yield "A 12 V accessory needs a converter in a 24 V vehicle."
    if vehicle.system_v == 12 and accessory.rated_v >= LOWEST_24V:
        yield "A 24 V accessory does not work in a 12 V vehicle."


def _wrong_class(accessory: Accessory, lead: LeadName, slot: Slot) -> Iterator[str]:
    live = LIVE_IN[slot.feed_class]
    word = CLASS_WORDS[slot.feed_class]
    if slot.feed_class == "unfed":
        yield "It has no supply."
    elif slot.feed_class == "unknown":
        yield "When it is live was not measured."
    elif lead == "sense" and ("asleep" in live or slot.feed_class == "lighting"):
        yield f"A sense lead needs a switched slot; this one is {word}."
    elif lead == "power" and accessory.needs == "permanent" and "asleep" not in live:
        yield f"It needs a permanent feed; this slot is {word}."
    elif lead == "power" and accessory.needs == "switched" and "asleep" in live:
        yield "It needs a switched feed; this slot stays live when parked."
    elif slot.feed_class == "lighting" and lead == "power":
        yield "It would work with the lamps on only."
    elif lead == "power" and not set(live) & set(accessory.works_in):
        yield f"It is {word}, dead whenever the accessory works."


def _hints(a: Assessment, slot: Slot) -> Iterator[str]:
    """What speaks against trusting this slot, without ruling it out."""
    column = a.slots.index[slot.id]
    if slot.fuse is None:
        yield "No host fuse is entered here."
    if not a.slots.own_known[:, column].all():
        yield "Its own load was not measured in every state."
    if slot.live_side == "unknown":
        yield "Its live side was not measured."
    if a.slots.accessory_a[:, column].any():
        yield "Another accessory is tapped here already."


def _room(
    vehicle: Vehicle, a: Assessment, accessory: Accessory, lead: LeadName, slot: Slot
) -> tuple[float, str]:
    """What may still flow here [A] and the name of the tightest place."""
    column = a.slots.index[slot.id]
    already = _already(vehicle, a, accessory, lead)
    mine = already if _sits_on(vehicle, accessory, lead, slot.id) else np.zeros(len(STATES))
    works = np.array([s in accessory.works_in for s in STATES]) & a.slots.live[:, column]
    states = works if works.any() else a.slots.live[:, column]
    contact = a.slots.contact_limit_a[column] - (a.slots.live_contact_a[:, column] - mine)
    places = [
        (_least(contact, states), "the live contact"),
        (a.rule("tap_kit_ceiling_a"), "the fuse tap"),
    ]
    if slot.fuse is not None:
        own = facts.fuse_limit(
            slot.family,
            slot.fuse.rating,
            float(a.slots.ambient_c[column]),
            a.rule("continuous_share"),
        )
        places.append((own, "an accessory fuse as large as the host fuse"))
    for feed in feeds_above(vehicle, slot.feed):
        at = a.feeds.index[feed.id]
        taken = a.feeds.current_a[:, at] - (
            already if _hangs_below(vehicle, accessory, lead, feed) else 0.0
        )
        places.append((_least(a.feeds.limit_a[at] - taken, states), f"the feed “{feed.name}”"))
    return min(places)


def _least(room: np.ndarray, states: np.ndarray) -> float:
    return float(room[states].min()) if states.any() else float(room.min())


def _already(vehicle: Vehicle, a: Assessment, accessory: Accessory, lead: LeadName) -> np.ndarray:
    """What this lead draws today, where it is placed [A, (states,)]."""
    tap = look_up.tap_of(vehicle, accessory.id, lead)
    return np.zeros(len(STATES)) if tap is None else a.taps.current_a[:, a.taps.index[tap.id]]


def _sits_on(vehicle: Vehicle, accessory: Accessory, lead: LeadName, slot_id: str) -> bool:
    tap = look_up.tap_of(vehicle, accessory.id, lead)
    return tap is not None and tap.slot == slot_id


def _hangs_below(vehicle: Vehicle, accessory: Accessory, lead: LeadName, feed: Feed) -> bool:
    tap = look_up.tap_of(vehicle, accessory.id, lead)
    if tap is None:
        return False
    first = tap.feed if tap.slot is None else look_up.slot(vehicle, tap.slot).feed
    return any(f.id == feed.id for f in feeds_above(vehicle, first))


def feeds_above(vehicle: Vehicle, feed_id: str | None) -> Iterator[Feed]:
    """A feed and its parents, upwards."""
    while feed_id is not None:
        feed = look_up.feed(vehicle, feed_id)
        yield feed
        feed_id = feed.parent


# --- a first proposal ---------------------------------------------------------------------------


def suggest_tap(
    vehicle: Vehicle, a: Assessment, accessory: Accessory, lead: LeadName, slot_id: str
) -> dict[str, object]:
    """Fields of a first tap on a slot: kind, way round, fuse, cable.

    The fuse is the smallest of the slot's family that carries the load and is not above the host
    fuse and the tap's ceiling; the cable the smallest that passes every check over 2 m with the
    body as return. What cannot be chosen is left open.
    """
    slot = look_up.slot(vehicle, slot_id)
    column = a.slots.index[slot_id]
    load = asked_current(a, accessory, lead)
    fuse = suggested_fuse(a, accessory, slot, load, float(a.slots.ambient_c[column]))
    return {
        "kind": "two_fuse",
        "way_round": "live_side",
        "joint": "",
        "fuse": fuse,
        "cable_out": None if fuse is None else suggested_cable(a, load, fuse),
        "cable_back": None,
    }


def suggested_fuse(
    a: Assessment, accessory: Accessory, slot: Slot, load_a: float, ambient_c: float
) -> Fuse | None:
    """The smallest fuse of the slot's family for a load, `None` where every one would open.

    Where none carries the load for good it is the largest that is allowed; the findings then say
    what is wrong with it.
    """
    ceilings = {"tap": a.rule("tap_kit_ceiling_a")}
    if slot.fuse is not None:
        ceilings["host"] = slot.fuse.rating
    peak = load_a * accessory.inrush_multiple
    choice = fuse_for(
        a,
        slot.family,
        load_a,
        ambient_c=ambient_c,
        inrush_i2t_a2s=peak**2 * accessory.inrush_s,
        ceilings=ceilings,
    )
    rating = choice.rating_a
    if rating is None:
        ratings = tables.fuse_family(slot.family).ratings_a
        rating = max((r for r in ratings if load_a <= r <= min(ceilings.values())), default=None)
    return None if rating is None else Fuse(family=slot.family, rating=rating)


def suggested_cable(a: Assessment, load_a: float, fuse: Fuse) -> Cable | None:
    """The smallest vehicle cable over the first length, returning by the body."""
    choice = cable_for(
        a,
        load_a,
        fuse,
        Route(FIRST_LENGTH_M),
        fixed_ohm=a.rule("body_return_mohm") / 1000,
        other_ohm=a.circuit.source_ohm + a.circuit.contact_ohm,
    )
    if choice.area_mm2 is None:
        return None
    return Cable(section_mm2=choice.area_mm2, length_m=FIRST_LENGTH_M)
