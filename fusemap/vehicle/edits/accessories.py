"""Edits of accessories: what is on the shelf, and what hangs on whose converter."""

from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import given, say
from fusemap.vehicle import look_up, supply, validity
from fusemap.vehicle.edits.shared import free_id, keeps_id, refuse, swap, without
from fusemap.vehicle.model import Accessory, Vehicle


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
        for hanging in supply.hanging_on(vehicle, changed.id):
            raise EditRefused(
                say("“{name}” hangs on “{converter}”", name=hanging.name, converter=changed.name),
                where="converter",
                remedy=say("hang it elsewhere first"),
            )
    refuse(validity.supply_faults(accessories))
    before = next((a.supplied_by for a in vehicle.accessories if a.id == changed.id), None)
    for each in supply.converters(vehicle):
        if each.id == changed.supplied_by != before and each.converter is not None:
            refuse_voltage(changed, each.converter.output_v)
    return replace(vehicle, accessories=accessories)


def refuse_voltage(accessory: Accessory, supply_v: float) -> None:
    """An accessory made for another voltage than it would get."""
    wrong = supply.misfit(accessory.rated_v, supply_v)
    if not wrong:
        return
    remedy = say("use one that is made for this voltage")
    if wrong == "too_low":
        remedy = say(
            "hang it on a converter, or use one that is made for this voltage; {never}",
            never=supply.NEVER_THE_MIDDLE,
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
    return replace(vehicle, accessories=left, taps=taps)
