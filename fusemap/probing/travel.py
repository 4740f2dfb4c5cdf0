"""Maps travel between owners: one is given away without what is private, one comes in unverified.

In: a vehicle, or two of the same type. Out: a vehicle to give away, or the owner's own with the
other's map in it: every slot says whose map it is from, and its own fields stay unknown until they
are read at this vehicle.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.probing import conclusions, plan
from fusemap.text import Text, given, say
from fusemap.vehicle import (
    BATTERY,
    BorrowedSlot,
    Feed,
    Meter,
    Panel,
    Reading,
    Slot,
    Vehicle,
    look_up,
)
from fusemap.vehicle.edits import free_ids
from fusemap.vehicle.model import UNREAD
from fusemap.vehicle.words import FEED


def to_give_away(vehicle: Vehicle, by: str = "") -> Vehicle:
    """The map alone: panels, feeds and readings of this vehicle.

    Left out are accessories and taps, notes, photos, history, battery, parking habits, rules,
    signatures, and readings that were somebody else's or were withdrawn. `by` signs the readings.
    """
    panels = tuple(
        replace(
            panel,
            photo=None,
            slots=tuple(replace(slot, note="", borrowed=None) for slot in panel.slots),
        )
        for panel in vehicle.panels
    )
    kept = [
        replace(reading, by=by or reading.by, note="", corrects=None)
        for reading in vehicle.readings
        if reading.verified and not reading.withdrawn and _is_of_the_map(reading)
    ]
    used = {reading.meter for reading in kept}
    return Vehicle(
        name=vehicle.name,
        system_v=vehicle.system_v,
        panels=panels,
        feeds=vehicle.feeds,
        meters=tuple(meter for meter in vehicle.meters if meter.id in used),
        readings=tuple(kept),
    )


def _is_of_the_map(reading: Reading) -> bool:
    """Whether a reading was taken to find out, at a slot, a feed or of the whole vehicle."""
    return reading.purpose == "probe" and reading.target in ("slot", "feed", "vehicle")


def take_in(vehicle: Vehicle, other: Vehicle, by: str) -> Vehicle:
    """The vehicle with somebody else's map in it, unverified; `by` says whose it is.

    A panel of the same name, rows and columns is matched place by place: what is missing is added,
    and what is known stays. Other panels, with their feeds, come in new. Raises `EditRefused` for
    a map of another system voltage, or one nobody's name is given for.
    """
    if not by.strip():
        raise EditRefused(
            say("it is not said whose map this is"), where=say("Name"), remedy=say("enter a name")
        )
    if vehicle.panels and vehicle.system_v != other.system_v:
        raise EditRefused(
            say(
                "this map is of a {theirs} vehicle, this vehicle has {own}",
                theirs=given(other.system_v, "V"),
                own=given(vehicle.system_v, "V"),
            ),
            remedy=say("choose a map of the same vehicle type"),
        )
    ids = _Ids(vehicle, other)
    matched = {panel.id: own for panel in other.panels if (own := _same(vehicle, panel))}
    panels = tuple(_panel(panel, other, ids, matched, by) for panel in vehicle.panels)
    new = tuple(_new_panel(panel, ids, by) for panel in other.panels if panel.id not in matched)
    slots = {slot.id: ids.slots[slot.id] for panel in other.panels for slot in panel.slots}
    for theirs, own in matched.items():
        slots |= _pairs(look_up.panel(other, theirs), own, ids)
    all_panels = (*panels, *new)
    feeds = _feeds(other, ids, all_panels)
    there = {feed.id for feed in feeds}
    places = {"slot": slots, "feed": {old: new for old, new in ids.feeds.items() if new in there}}
    return replace(
        vehicle,
        system_v=vehicle.system_v if vehicle.panels else other.system_v,
        panels=all_panels,
        feeds=(*vehicle.feeds, *feeds),
        meters=(*vehicle.meters, *_meters(other, ids)),
        readings=(*vehicle.readings, *_readings(other, ids, places, by)),
    )


class _Ids:
    """New ids, free in the vehicle that takes in, for what comes from the other one."""

    def __init__(self, vehicle: Vehicle, other: Vehicle) -> None:
        slots = [slot.id for slot in look_up.slots(other)]
        taken = [*(slot.id for slot in look_up.slots(vehicle)), *look_up.read_ids(vehicle, "slot")]
        self.slots = _renamed(slots, taken, "slot")
        self.feeds = _renamed(
            [feed.id for feed in other.feeds],
            [*(feed.id for feed in vehicle.feeds), *look_up.read_ids(vehicle, "feed")],
            "feed",
        )
        self.panels = _renamed(
            [panel.id for panel in other.panels], [panel.id for panel in vehicle.panels], "panel"
        )
        self.meters = _renamed(
            [meter.id for meter in other.meters], [meter.id for meter in vehicle.meters], "meter"
        )
        self.readings = _renamed(
            [reading.id for reading in other.readings],
            [reading.id for reading in vehicle.readings],
            "reading",
        )


def _renamed(old: list[str], taken: list[str], stem: str) -> dict[str, str]:
    return dict(zip(old, free_ids(taken, stem), strict=False))


def _same(vehicle: Vehicle, panel: Panel) -> Panel | None:
    """The panel of the vehicle that this one is, by name and size."""
    for own in vehicle.panels:
        if own.name.casefold() == panel.name.casefold() and (own.rows, own.columns) == (
            panel.rows,
            panel.columns,
        ):
            return own
    return None


def _pairs(theirs: Panel, own: Panel, ids: _Ids) -> dict[str, str]:
    """Which own slot each of theirs is: the one on its place, else a new one."""
    found = {}
    for slot in theirs.slots:
        there = look_up.slot_at(own, slot.row, slot.column)
        found[slot.id] = ids.slots[slot.id] if there is None else there.id
    return found


def _panel(own: Panel, other: Vehicle, ids: _Ids, matched: Mapping[str, Panel], by: str) -> Panel:
    """An own panel with what a matching one of theirs knows more."""
    theirs = next((p for p in other.panels if matched.get(p.id) is own), None)
    if theirs is None:
        return own
    slots = list(own.slots)
    for slot in theirs.slots:
        place = (slot.row, slot.column)
        at = next((n for n, there in enumerate(slots) if (there.row, there.column) == place), None)
        if at is None:
            slots.append(_borrowed_slot(slot, ids, by))
        else:
            slots[at] = _filled(slots[at], slot, by)
    return replace(own, slots=tuple(slots))


def _filled(own: Slot, theirs: Slot, by: str) -> Slot:
    """An own slot with what was empty taken from theirs; marks of critical circuits always."""
    changes: dict[str, Any] = {"borrowed": _word(theirs, by)}
    if own.kind == theirs.kind:
        for name in ("label", "circuit"):
            if not getattr(own, name):
                changes[name] = getattr(theirs, name)
        if own.fuse is None and theirs.fuse is not None and own.family == theirs.family:
            changes["fuse"] = replace(theirs.fuse, resistance_mohm=None)
    if theirs.critical and not own.critical:
        changes |= {"critical": True, "critical_reason": theirs.critical_reason}
    changes["monitored"] = own.monitored or theirs.monitored
    return replace(own, **changes)


def _word(slot: Slot, by: str) -> BorrowedSlot:
    """What their map says of a slot."""
    return BorrowedSlot(
        by=by.strip(),
        feed_class=slot.feed_class,
        delayed_off_min=slot.delayed_off_min,
        live_side=slot.live_side,
        own_load=slot.own_load,
        own_most=slot.own_most,
    )


def _borrowed_slot(slot: Slot, ids: _Ids, by: str) -> Slot:
    fuse = None if slot.fuse is None else replace(slot.fuse, resistance_mohm=None)
    return replace(
        slot,
        id=ids.slots[slot.id],
        feed=slot.feed if slot.feed in (None, BATTERY) else ids.feeds[slot.feed],
        fuse=fuse,
        note="",
        harmless="",
        function=None,
        feed_class="unknown",
        delayed_off_min=0.0,
        live_side="unknown",
        own_load=UNREAD,
        own_most=UNREAD,
        borrowed=_word(slot, by),
    )


def _new_panel(panel: Panel, ids: _Ids, by: str) -> Panel:
    slots = tuple(_borrowed_slot(slot, ids, by) for slot in panel.slots)
    return replace(panel, id=ids.panels[panel.id], slots=slots)


def _feeds(other: Vehicle, ids: _Ids, panels: Iterable[Panel]) -> tuple[Feed, ...]:
    """Those of their feeds that supply a slot that came in, with what is above them.

    What they carried was read at another vehicle: only the readings come along.
    """
    parents = {feed.id: feed.parent for feed in other.feeds}
    theirs = {new: old for old, new in ids.feeds.items()}
    wanted: set[str] = set()
    for panel in panels:
        for slot in panel.slots:
            above = theirs.get(slot.feed or "")
            while above is not None and above not in wanted:
                wanted.add(above)
                above = parents[above]
    return tuple(
        replace(
            feed,
            id=ids.feeds[feed.id],
            parent=None if feed.parent is None else ids.feeds[feed.parent],
            carried=UNREAD,
        )
        for feed in other.feeds
        if feed.id in wanted
    )


def _meters(other: Vehicle, ids: _Ids) -> tuple[Meter, ...]:
    return tuple(replace(meter, id=ids.meters[meter.id]) for meter in other.meters)


def _readings(
    other: Vehicle, ids: _Ids, places: Mapping[str, Mapping[str, str]], by: str
) -> list[Reading]:
    """Their readings, unverified; `places` are the new ids of slots and feeds."""
    slots = places["slot"]
    found = []
    for reading in other.readings:
        if reading.withdrawn or not _is_of_the_map(reading):
            continue
        found.append(
            replace(
                reading,
                id=ids.readings[reading.id],
                target_id=places.get(reading.target, {}).get(reading.target_id, ""),
                fuse_out=None if reading.fuse_out is None else slots.get(reading.fuse_out),
                meter=None if reading.meter is None else ids.meters[reading.meter],
                corrects=None,
                by=reading.by or by.strip(),
                verified=False,
            )
        )
    return [reading for reading in found if reading.target == "vehicle" or reading.target_id]


class Verdict(Struct, frozen=True):
    """What the own readings make of what somebody else's map says of a slot."""

    slot: Slot
    by: str
    words: Text
    agrees: bool | None


def verdicts(vehicle: Vehicle) -> tuple[Verdict, ...]:
    """Every borrowed slot: not read here yet, confirmed, or different."""
    found = []
    for slot in look_up.slots(vehicle):
        if slot.borrowed is None:
            continue
        claimed = plan.claimed_class(vehicle, slot)
        own = conclusions.of_slot(vehicle, slot).feed
        by = slot.borrowed.by
        if not own.known:
            words = say("{feed} by {by}’s map, not read here", feed=FEED[claimed].label, by=by)
            found.append(Verdict(slot, by, words, None))
        elif own.feed_class == claimed:
            found.append(Verdict(slot, by, say("{by}’s map, confirmed here", by=by), True))
        else:
            words = say(
                "{by}’s map says {claimed}, read here: {found}",
                by=by,
                claimed=FEED[claimed].label,
                found=FEED[own.feed_class].label,
            )
            found.append(Verdict(slot, by, words, False))
    return tuple(found)
