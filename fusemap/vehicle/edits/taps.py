"""Edits of taps: putting a lead of an accessory on a slot or an own feed, and taking it off."""

from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import Text, run_on, say
from fusemap.vehicle import look_up, validity
from fusemap.vehicle.edits.accessories import refuse_voltage
from fusemap.vehicle.edits.shared import free_id, keeps_id, refuse, swap, without
from fusemap.vehicle.model import Slot, Tap, Vehicle
from fusemap.vehicle.texts import tells
from fusemap.vehicle.words import KIND, LEAD, LeadName


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
    without a written justification, and for an accessory made for another voltage.
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
    if slot is None:
        fields.setdefault("kind", "own_feed")
    else:
        fields.setdefault("feed", None)
        fields.setdefault("relay", False)
        fields.setdefault("relay_limit_a", None)
        fields.setdefault("relay_coil_a", None)
        fields.setdefault("kind", "two_fuse" if old.kind == "own_feed" else old.kind)
    tap = replace(old, slot=slot, **fields)
    _refuse_tap(vehicle, tap)
    return replace(vehicle, taps=swap(taps, tap))


def change_tap(vehicle: Vehicle, tap_id: str, **changes: Any) -> Vehicle:
    """Change a tap's fields.

    One that sat on a slot before that was marked critical may be mended without a justification.
    """
    keeps_id(changes)
    old = look_up.tap(vehicle, tap_id)
    tap = replace(old, **changes)
    _refuse_tap(vehicle, tap, moved=(tap.slot, tap.justification) != (old.slot, old.justification))
    return replace(vehicle, taps=swap(vehicle.taps, tap))


def _refuse_tap(vehicle: Vehicle, tap: Tap, *, moved: bool = True) -> None:
    accessory = look_up.accessory(vehicle, tap.accessory)
    refuse(validity.number_faults(tap, ""))
    refuse(validity.tap_faults(tap, ""))
    if tap.lead not in accessory.leads:
        raise EditRefused(
            say("“{name}” has no {lead} lead", name=accessory.name, lead=LEAD[tap.lead]),
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
                lead=LEAD[tap.lead],
                name=accessory.name,
            ),
            remedy=say("move that tap, or take it off first"),
        )
    if tap.feed is not None:
        look_up.feed(vehicle, tap.feed)
    if tap.slot is not None and moved:
        _refuse_place(look_up.slot(vehicle, tap.slot), tap)


def _refuse_place(slot: Slot, tap: Tap) -> None:
    name = look_up.slot_words(slot)
    if slot.kind != "fuse":
        raise EditRefused(
            say("{slot} is not a fuse slot ({kind})", slot=name, kind=KIND[slot.kind]),
            remedy=say("choose a fuse slot"),
        )
    if slot.critical and not tells(tap.justification):
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
            remedy=say("choose another slot, or state in a few words why it has to be this one"),
        )


def unplace(vehicle: Vehicle, tap_id: str) -> Vehicle:
    """Take a lead off its source; the accessory stays on the shelf."""
    look_up.tap(vehicle, tap_id)
    return replace(vehicle, taps=without(vehicle.taps, tap_id))
