"""Edits of accessories, of the feeds they may hang on, and of the taps that connect them.

An accessory is on the shelf, on a slot or an own feed by a tap, or on another's converter. A feed
hangs on its parent, or on the battery where it has none.
"""

from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import Text, given, run_on, say
from fusemap.vehicle import look_up, validity
from fusemap.vehicle.edits.shared import free_id, keeps_id, refuse, swap, without
from fusemap.vehicle.field_words import in_words
from fusemap.vehicle.model import Accessory, Feed, Panel, Slot, Tap, Vehicle
from fusemap.vehicle.texts import is_reasoned
from fusemap.vehicle.words import KIND, LEAD, SEATED, TOW, LeadName, TapKind


def add_accessory(vehicle: Vehicle, name: str, **fields: Any) -> Vehicle:
    """Add an accessory to the shelf, not placed yet."""
    new_id = free_id((a.id for a in vehicle.accessories), "accessory")
    accessory = Accessory(id=new_id, name=name, **fields)
    _refuse_accessory(accessory)
    return _with_accessories(vehicle, (*vehicle.accessories, accessory), accessory)


def change_accessory(vehicle: Vehicle, accessory_id: str, **changes: Any) -> Vehicle:
    """Change an accessory's fields. A lead that goes takes its tap along.

    One that is hung on a converter (`supplied_by`) leaves the tap of its power lead.
    """
    keeps_id(changes)
    accessory = replace(look_up.accessory(vehicle, accessory_id), **changes)
    _refuse_accessory(accessory)
    changed = _with_accessories(vehicle, swap(vehicle.accessories, accessory), accessory)
    hangs = accessory.supplied_by is not None
    taps = tuple(
        t
        for t in vehicle.taps
        if t.accessory != accessory_id
        or (t.lead in accessory.leads and not (hangs and t.lead == "power"))
    )
    return replace(changed, taps=taps)


def _refuse_accessory(accessory: Accessory) -> None:
    refuse(validity.number_faults(accessory, ""))
    refuse(validity.accessory_faults(accessory, ""))


def _with_accessories(
    vehicle: Vehicle, accessories: tuple[Accessory, ...], changed: Accessory
) -> Vehicle:
    """The vehicle with these accessories; refused where `changed` breaks what hangs on what."""
    if changed.converter is None:
        for hanging in look_up.hanging_on(vehicle, changed.id):
            raise EditRefused(
                say("“{name}” hangs on “{converter}”", name=hanging.name, converter=changed.name),
                where=in_words("converter"),
                remedy=say("hang it elsewhere first"),
            )
    refuse(validity.supply_faults(accessories))
    before = next((a.supplied_by for a in vehicle.accessories if a.id == changed.id), None)
    for each in look_up.converters(vehicle):
        if each.id == changed.supplied_by != before and each.converter is not None:
            refuse_voltage(changed, each.converter.output_v)
    return replace(vehicle, accessories=accessories)


def refuse_voltage(accessory: Accessory, supply_v: float) -> None:
    """An accessory made for another voltage than it would get."""
    wrong = look_up.misfit(accessory.rated_v, supply_v)
    if not wrong:
        return
    remedy = say("use one that is made for this voltage")
    if wrong == "too_low":
        remedy = say(
            "hang it on a converter, or use one that is made for this voltage; {never}",
            never=look_up.NEVER_THE_MIDDLE,
        )
    raise EditRefused(
        say(
            "“{name}”, rated {rated}, is not made for {supply}",
            name=accessory.name,
            rated=given(accessory.rated_v, "V"),
            supply=given(supply_v, "V"),
        ),
        remedy=remedy,
    )


def remove_accessory(vehicle: Vehicle, accessory_id: str) -> Vehicle:
    """Remove an accessory with its taps; what hung on it stays on the shelf."""
    look_up.accessory(vehicle, accessory_id)
    taps = tuple(t for t in vehicle.taps if t.accessory != accessory_id)
    left = tuple(
        replace(each, supplied_by=None) if each.supplied_by == accessory_id else each
        for each in without(vehicle.accessories, accessory_id)
    )
    # a standing is remembered without it: its id may be another one's later
    readings = tuple(
        replace(each, fitted=tuple(x for x in each.fitted if x.accessory != accessory_id))
        for each in vehicle.battery.stand_readings
    )
    sockets = tuple(
        replace(each, module=None) if each.module == accessory_id else each
        for each in vehicle.sockets
    )
    if sockets != vehicle.sockets:
        vehicle = replace(vehicle, sockets=sockets)
    battery = vehicle.battery
    if readings != battery.stand_readings:
        battery = replace(battery, stand_readings=readings)
    return replace(vehicle, accessories=left, taps=taps, battery=battery)


def place(
    vehicle: Vehicle,
    accessory_id: str,
    lead: LeadName = "power",
    *,
    slot: str | None = None,
    **fields: Any,
) -> Vehicle:
    """Put a lead of an accessory on a slot or, with no slot, on an own feed.

    A lead that is placed already moves, and keeps its fuse, cables and joint unless `fields` say
    otherwise; one that hung on a converter leaves it. Raises `EditRefused` for a critical slot
    without a written reason, and for an accessory made for another voltage.
    """
    accessory = look_up.accessory(vehicle, accessory_id)
    refuse_voltage(accessory, vehicle.system_v)
    if lead == "power" and accessory.supplied_by is not None:
        loose = swap(vehicle.accessories, replace(accessory, supplied_by=None))
        vehicle = replace(vehicle, accessories=loose)
    old = look_up.tap_of(vehicle, accessory_id, lead)
    if old is None:
        taken = (*(t.id for t in vehicle.taps), *look_up.read_ids(vehicle, "tap"))
        old = Tap(id=free_id(taken, "tap"), accessory=accessory_id, lead=lead)
        taps = (*vehicle.taps, old)
    else:
        taps = vehicle.taps
        if old.slot != slot:
            fields.setdefault("justification", "")
            fields.setdefault("found_how", "")
    if "socket" not in fields and old.kind == "plug":
        # what is plugged in leaves its socket; a lead that ends at a pin keeps it
        fields |= {"socket": None, "pin": 0}
    if slot is None:
        fields.setdefault("kind", "own_feed")
    else:
        fields.setdefault("feed", None)
        fields.setdefault("relay", False)
        fields.setdefault("relay_limit_a", None)
        fields.setdefault("relay_coil_a", None)
        fields.setdefault("kind", _first_kind(look_up.slot(vehicle, slot), old))
    tap = replace(old, slot=slot, **fields)
    _refuse_tap(vehicle, tap)
    return replace(vehicle, taps=swap(taps, tap))


def _refuse_plug(vehicle: Vehicle, tap: Tap) -> None:
    """A lead that is plugged in has a socket, which its slot feeds."""
    there = None if tap.socket is None else look_up.socket(vehicle, tap.socket)
    fed = there is not None and there.slot == tap.slot and there.kind not in TOW
    if tap.kind == "plug" and not fed:
        raise EditRefused(
            say("it is plugged into no socket of its slot"),
            remedy=say("name the socket, or say how it is joined"),
        )


def _first_kind(slot: Slot, old: Tap) -> TapKind:
    """How a lead is joined to a slot where nobody says otherwise."""
    if slot.kind == "module":
        return "splice"
    return "two_fuse" if old.kind in ("own_feed", "plug") else old.kind


def change_tap(vehicle: Vehicle, tap_id: str, **changes: Any) -> Vehicle:
    """Change a tap's fields.

    One that sat on a slot before that was marked critical may be mended without a reason, and one
    whose reason is not complete may get one part after the other.
    """
    keeps_id(changes)
    old = look_up.tap(vehicle, tap_id)
    tap = replace(old, **changes)
    kept = tap.slot == old.slot and not is_reasoned(old.justification, old.found_how)
    _refuse_tap(vehicle, tap, moved=not kept)
    return replace(vehicle, taps=swap(vehicle.taps, tap))


def _refuse_tap(vehicle: Vehicle, tap: Tap, *, moved: bool = True) -> None:
    accessory = look_up.accessory(vehicle, tap.accessory)
    refuse(validity.number_faults(tap, ""))
    refuse(validity.tap_faults(tap, ""))
    if tap.lead not in accessory.leads:
        raise EditRefused(
            say(
                "“{name}” has no {lead} lead",
                name=accessory.name,
                lead=LEAD.get(tap.lead, tap.lead),
            ),
            remedy=say("add the lead to the accessory first"),
        )
    if tap.lead == "power" and accessory.supplied_by is not None:
        raise EditRefused(
            say("“{name}” hangs on a converter", name=accessory.name),
            remedy=say("take it off the converter first"),
        )
    there = look_up.tap_of(vehicle, tap.accessory, tap.lead)
    if there is not None and there.id != tap.id:
        raise EditRefused(
            say(
                "the {lead} lead of “{name}” is placed already",
                lead=LEAD.get(tap.lead, tap.lead),
                name=accessory.name,
            ),
            remedy=say("move that tap, or take it off first"),
        )
    if tap.feed is not None:
        look_up.feed(vehicle, tap.feed)
    if tap.earth is not None:
        look_up.earth(vehicle, tap.earth)
    _refuse_plug(vehicle, tap)
    if tap.slot is None:
        return
    slot = look_up.slot(vehicle, tap.slot)
    if slot.kind == "module" and tap.kind in SEATED:
        raise EditRefused(
            say("{slot} has no fuse to put a tap in", slot=look_up.place_words(slot)),
            remedy=say("splice the lead into its wire, as the maker shows"),
        )
    if moved:
        _refuse_place(slot, tap)


def _refuse_place(slot: Slot, tap: Tap) -> None:
    name = look_up.place_words(slot)
    if slot.kind == "module":
        _refuse_output(slot, tap)
    elif slot.kind != "fuse":
        raise EditRefused(
            say("{slot} is not a fuse slot ({kind})", slot=name, kind=KIND[slot.kind]),
            remedy=say("choose a fuse slot"),
        )
    if slot.critical and not is_reasoned(tap.justification, tap.found_how):
        what = say("{slot} feeds a circuit that must be left alone", slot=name)
        if slot.critical_reason:
            what = say(
                "{slot} feeds a circuit that must be left alone ({why})",
                slot=name,
                # a reason that the tables proposed is kept in English, and said in any language
                why=run_on(*(Text(why) for why in slot.critical_reason.split("; ")), between="; "),
            )
        raise EditRefused(
            what,
            remedy=say(
                "choose another slot, or state in a few words what the circuit feeds, and how that "
                "was found"
            ),
        )


def _refuse_output(slot: Slot, tap: Tap) -> None:
    """A control unit's output bears what its maker allows, usually nothing."""
    if tap.lead == "power" or slot.contact_limit_a is None:
        raise EditRefused(
            say(
                "{slot} is an output of a control unit: it measures its current and switches off "
                "what it does not know",
                slot=look_up.place_words(slot),
            ),
            remedy=say(
                "take the current from a fuse slot; a sense lead or a relay's coil may hang here "
                "only where the maker says how much, entered as the slot's limit"
            ),
        )


def unplace(vehicle: Vehicle, tap_id: str) -> Vehicle:
    """Take a lead off its source; the accessory stays on the shelf."""
    look_up.tap(vehicle, tap_id)
    return replace(vehicle, taps=without(vehicle.taps, tap_id))


def add_feed(vehicle: Vehicle, name: str, **fields: Any) -> Vehicle:
    """Add a feed."""
    taken = (*(f.id for f in vehicle.feeds), *look_up.read_ids(vehicle, "feed"))
    feed = Feed(id=free_id(taken, "feed"), name=name, **fields)
    return _with_feeds(vehicle, (*vehicle.feeds, feed), feed)


def change_feed(vehicle: Vehicle, feed_id: str, **changes: Any) -> Vehicle:
    """Change a feed's fields; its parent may not lie below it."""
    keeps_id(changes)
    feed = replace(look_up.feed(vehicle, feed_id), **changes)
    return _with_feeds(vehicle, swap(vehicle.feeds, feed), feed)


def _with_feeds(vehicle: Vehicle, feeds: tuple[Feed, ...], feed: Feed) -> Vehicle:
    refuse(validity.number_faults(feed, ""))
    refuse(validity.feed_faults(feed, ""))
    if feed.parent is not None:
        look_up.find(feeds, feed.parent, "feed")
    if validity.parent_cycle(feeds) is not None:
        raise EditRefused(
            say("“{name}” would be above itself", name=feed.name),
            where=in_words("parent"),
            remedy=say("choose another parent"),
        )
    return replace(vehicle, feeds=feeds)


def remove_feed(vehicle: Vehicle, feed_id: str) -> Vehicle:
    """Remove a feed; what hung below it hangs on its parent from now on.

    Where that is the battery, feeds and own feeds hang on it; of slots it is not known any more.
    """
    gone = look_up.feed(vehicle, feed_id)
    feeds = tuple(
        replace(f, parent=gone.parent) if f.parent == feed_id else f
        for f in without(vehicle.feeds, feed_id)
    )
    panels = tuple(_without_feed(panel, gone) for panel in vehicle.panels)
    taps = tuple(replace(t, feed=gone.parent) if t.feed == feed_id else t for t in vehicle.taps)
    return replace(vehicle, feeds=feeds, panels=panels, taps=taps)


def _without_feed(panel: Panel, gone: Feed) -> Panel:
    """The panel with its slots on the feed above the gone one; itself when none hung there."""
    if all(slot.feed != gone.id for slot in panel.slots):
        return panel
    return replace(
        panel,
        slots=tuple(replace(s, feed=gone.parent) if s.feed == gone.id else s for s in panel.slots),
    )
