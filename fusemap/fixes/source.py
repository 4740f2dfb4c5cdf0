"""Fixes by another source: turn the tap round, another slot, an own feed, a first place.

In: a `Case` and a tap or an accessory. Out: `Fix`es; whether they help is tried elsewhere.
"""

from collections.abc import Iterator
from functools import partial
from typing import Any

from fusemap.fixes.fix import Case, Fix
from fusemap.placement import suggest
from fusemap.placement.candidates import Candidate, candidates
from fusemap.placement.suggest import suggest_tap
from fusemap.text import Argument, Text, say
from fusemap.vehicle import SEATED, Accessory, Tap, Vehicle, edits, look_up
from fusemap.vehicle.words import LeadName

BEST = 2
"""So many slots are proposed for one lead."""


def taps_at(case: Case) -> list[Tap]:
    """The taps a finding is about: the tap itself, those on its slot, those below its feed."""
    vehicle, place, wanted = case.vehicle, case.finding.place, case.place_id
    if place == "tap":
        return [look_up.tap(vehicle, wanted)]
    if place == "slot":
        return list(look_up.taps_on(vehicle, wanted))
    if place == "feed":
        return [tap for tap in vehicle.taps if wanted in _feeds(vehicle, tap)]
    return [tap for tap in vehicle.taps if tap.accessory == wanted]


def _feeds(vehicle: Vehicle, tap: Tap) -> list[str]:
    first = tap.feed if tap.slot is None else look_up.slot(vehicle, tap.slot).feed
    return [feed.id for feed in look_up.feeds_above(vehicle, first)]


def heaviest_first(case: Case, taps: list[Tap]) -> list[Tap]:
    """Taps by what they draw at most."""
    a = case.a
    return sorted(taps, key=lambda tap: -float(a.taps.current_a[:, a.taps.index[tap.id]].max()))


def name_of(case: Case, tap: Tap) -> str:
    """What the accessory of a tap is called."""
    return look_up.accessory(case.vehicle, tap.accessory).name


# --- the same source, otherwise -------------------------------------------------------------------


def turn_round(case: Case) -> Iterator[Fix]:
    """Put a reversed tap onto the live side, or a tap in place of a splice."""
    for tap in taps_at(case):
        if tap.kind in SEATED and tap.way_round == "load_side":
            edit = partial(edits.change_tap, tap_id=tap.id, way_round="live_side")
            yield Fix(_turn_words(case, tap), edit, short=say("Turn the tap round"))
        elif tap.kind == "splice" and tap.slot is not None:
            fields = _first_fields(case, tap, tap.slot)
            edit = partial(edits.change_tap, tap_id=tap.id, **fields)
            yield Fix(_join_words(case, tap), edit)


def _turn_words(case: Case, tap: Tap) -> Text:
    name = name_of(case, tap)
    if tap.lead == "power":
        return say("Turn the tap of “{accessory}” round", accessory=name)
    return say("Turn the tap of the sense lead of “{accessory}” round", accessory=name)


def _join_words(case: Case, tap: Tap) -> Text:
    name = name_of(case, tap)
    if tap.lead == "power":
        return say("Join “{accessory}” by a fuse tap on the live side", accessory=name)
    return say(
        "Join the sense lead of “{accessory}” by a fuse tap on the live side", accessory=name
    )


def change_kind(case: Case) -> Iterator[Fix]:
    """A fuse with a take-off lead in place of a tap that does not exist."""
    for tap in taps_at(case):
        if tap.kind == "two_fuse" and tap.slot is not None:
            edit = partial(edits.change_tap, tap_id=tap.id, kind="take_off_lead")
            yield Fix(say("Use a fuse with a take-off lead, where one is made for it"), edit)


def take_off(case: Case) -> Iterator[Fix]:
    """Take the lead off and plan it later."""
    for tap in taps_at(case):
        edit = partial(edits.unplace, tap_id=tap.id)
        yield Fix(_take_off_words(case, tap), edit, short=say("Take it off for now"))


def _take_off_words(case: Case, tap: Tap) -> Text:
    name = name_of(case, tap)
    if tap.lead == "power":
        return say("Take “{accessory}” off for now", accessory=name)
    return say("Take the sense lead of “{accessory}” off for now", accessory=name)


# --- another slot ---------------------------------------------------------------------------------


def move(case: Case) -> Iterator[Fix]:
    """Move a lead that the finding is about to its best other slots."""
    for tap in heaviest_first(case, taps_at(case)):
        accessory = look_up.accessory(case.vehicle, tap.accessory)
        yield from _to_slots(case, accessory, tap.lead, tap.slot)


def place(case: Case) -> Iterator[Fix]:
    """Give the power lead of an accessory without a source its best slots, or an own feed."""
    accessory = look_up.accessory(case.vehicle, case.place_id)
    yield from _to_slots(case, accessory, "power", None)
    yield _own_feed(case, accessory)


def place_sense(case: Case) -> Iterator[Fix]:
    """Give the sense lead its best slots."""
    accessory = accessory_of(case)
    yield from _to_slots(case, accessory, "sense", None)


def accessory_of(case: Case) -> Accessory:
    """The accessory a finding is about."""
    if case.finding.place == "tap":
        return look_up.accessory(case.vehicle, look_up.tap(case.vehicle, case.place_id).accessory)
    return look_up.accessory(case.vehicle, case.place_id)


def move_sense(case: Case) -> Iterator[Fix]:
    """Move the sense lead to its best switched slots."""
    accessory = accessory_of(case)
    tap = look_up.tap_of(case.vehicle, accessory.id, "sense")
    yield from _to_slots(case, accessory, "sense", None if tap is None else tap.slot)


def _to_slots(case: Case, accessory: Accessory, lead: LeadName, now: str | None) -> Iterator[Fix]:
    found = candidates(case.vehicle, case.a, accessory, lead)
    fitting = [c for c in found if c.fits and c.slot_id != now]
    for candidate in fitting[:BEST]:
        yield _to_slot(case, accessory, lead, candidate)


def _to_slot(case: Case, accessory: Accessory, lead: LeadName, to: Candidate) -> Fix:
    old = look_up.tap_of(case.vehicle, accessory.id, lead)
    slot = look_up.slot(case.vehicle, to.slot_id)
    where = look_up.slot_with_circuit(slot)
    fields = suggest_tap(case.vehicle, case.a, accessory, lead, to.slot_id)
    if old is not None:
        kept = old.cable_out is not None and fields["fuse"] is not None and old.fuse is not None
        if kept and old.fuse is not None and old.fuse.rating >= fields["fuse"].rating:
            fields = {k: v for k, v in fields.items() if k not in ("cable_out", "cable_back")}
        elif old.cable_out is not None:
            fields["cable_out"], fields["cable_back"] = old.cable_out, old.cable_back
        fields["joint"] = old.joint
    edit = partial(edits.place, accessory_id=accessory.id, lead=lead, slot=slot.id, **fields)
    name = look_up.place_words(slot)
    short = say("Put it on {slot}", slot=name)
    if old is not None:
        short = say("Move it to {slot}", slot=name)
    return Fix(_to_slot_words(accessory.name, lead, where, move=old is not None), edit, short=short)


def _to_slot_words(name: str, lead: LeadName, slot: Argument, *, move: bool) -> Text:
    if lead == "power" and move:
        return say("Move “{accessory}” to {slot}", accessory=name, slot=slot)
    if lead == "power":
        return say("Put “{accessory}” on {slot}", accessory=name, slot=slot)
    if move:
        return say("Move the sense lead of “{accessory}” to {slot}", accessory=name, slot=slot)
    return say("Put the sense lead of “{accessory}” on {slot}", accessory=name, slot=slot)


def _first_fields(case: Case, tap: Tap, slot_id: str) -> dict[str, Any]:
    accessory = look_up.accessory(case.vehicle, tap.accessory)
    fields = suggest_tap(case.vehicle, case.a, accessory, tap.lead, slot_id)
    if tap.cable_out is not None:
        fields["cable_out"], fields["cable_back"] = tap.cable_out, tap.cable_back
    fields["joint"] = tap.joint
    return fields


# --- an own feed ----------------------------------------------------------------------------------


def give_own_feed(case: Case) -> Iterator[Fix]:
    """Give a power lead that the finding is about an own feed from the battery."""
    for tap in heaviest_first(case, taps_at(case)):
        if tap.lead == "power":
            yield _own_feed(case, look_up.accessory(case.vehicle, tap.accessory))


def _own_feed(case: Case, accessory: Accessory) -> Fix:
    plan = suggest.own_feed(case.vehicle, case.a, accessory)
    tap = look_up.tap_of(case.vehicle, accessory.id)
    now = None if tap is None else look_up.source_words(case.vehicle, tap)
    coil = None
    if plan.relay and plan.sense_slot is not None:
        coil = look_up.place_words(look_up.slot(case.vehicle, plan.sense_slot))
    title = _own_feed_words(accessory.name, plan.relay, coil, now)
    return Fix(title, partial(suggest.fit, plan=plan), short=say("Own feed from the battery"))


def _own_feed_words(name: str, relay: bool, coil: Argument | None, now: Argument | None) -> Text:
    if not relay and now is None:
        return say("Own feed from the battery for “{accessory}”", accessory=name)
    if not relay and now is not None:
        return say(
            "Own feed from the battery for “{accessory}” instead of {source}",
            accessory=name,
            source=now,
        )
    if coil is None and now is None:
        return say("Own feed from the battery for “{accessory}” with a relay", accessory=name)
    if coil is None and now is not None:
        return say(
            "Own feed from the battery for “{accessory}” with a relay instead of {source}",
            accessory=name,
            source=now,
        )
    if coil is not None and now is None:
        return say(
            "Own feed from the battery for “{accessory}” with a relay, its coil on {slot}",
            accessory=name,
            slot=coil,
        )
    return say(
        "Own feed from the battery for “{accessory}” with a relay, its coil on {slot}, instead of "
        "{source}",
        accessory=name,
        slot=coil or "",
        source=now or "",
    )
