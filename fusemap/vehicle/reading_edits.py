"""What can be done to the readings of a vehicle: one pure function per action, as in `edits`.

Readings only ever grow in number; what does not hold is marked as withdrawn.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.vehicle import look_up, validity
from fusemap.vehicle.edits.shared import free_id, refuse
from fusemap.vehicle.model import Vehicle
from fusemap.vehicle.parts import Meter, MeterRange, Reading, SignOff
from fusemap.vehicle.words import TargetKind


def add_reading(vehicle: Vehicle, **fields: Any) -> Vehicle:
    """Add a reading; its id is given here. Raises `EditRefused` for one that cannot be."""
    return add_readings(vehicle, [fields])


def add_readings(vehicle: Vehicle, readings: Iterable[Mapping[str, Any]]) -> Vehicle:
    """Add several readings, all of them or none."""
    there = {reading.id for reading in vehicle.readings}
    number = len(vehicle.readings)
    new = []
    for fields in readings:
        number += 1
        while f"reading-{number}" in there:
            number += 1
        reading = Reading(id=f"reading-{number}", **fields)
        refuse(validity.number_faults(reading, ""))
        refuse(validity.reading_faults(reading, ""))
        _refuse_references(vehicle, reading, there)
        there.add(reading.id)
        new.append(reading)
    return replace(vehicle, readings=(*vehicle.readings, *new)) if new else vehicle


def _refuse_references(vehicle: Vehicle, reading: Reading, there: set[str]) -> None:
    if reading.meter is not None:
        look_up.meter(vehicle, reading.meter)
    if reading.corrects is not None and reading.corrects not in there:
        raise EditRefused(
            say("there is no reading “{id}” to correct", id=reading.corrects),
            remedy=say("choose another"),
        )
    if reading.fuse_out is not None:
        look_up.slot(vehicle, reading.fuse_out)
    for slot_id in reading.fuses_out:
        look_up.slot(vehicle, slot_id)
    finds: dict[TargetKind, Callable[[Vehicle, str], object]] = {
        "slot": look_up.slot,
        "feed": look_up.feed,
        "tap": look_up.tap,
        "earth": look_up.earth,
        "panel": look_up.panel,
        "socket": look_up.socket,
    }
    if reading.target in finds:
        finds[reading.target](vehicle, reading.target_id)


def withdraw_reading(vehicle: Vehicle, reading_id: str, note: str = "") -> Vehicle:
    """Mark a reading as withdrawn; it stays in the list, with the note why."""
    return _mark(vehicle, reading_id, withdrawn=True, note=note)


def restore_reading(vehicle: Vehicle, reading_id: str) -> Vehicle:
    """Take a withdrawn reading as valid again."""
    return _mark(vehicle, reading_id, withdrawn=False)


def _mark(vehicle: Vehicle, reading_id: str, *, withdrawn: bool, note: str = "") -> Vehicle:
    old = look_up.reading(vehicle, reading_id)
    new = replace(old, withdrawn=withdrawn, note=note or old.note)
    refuse(validity.text_faults(new.note, "note"))
    if new == old:
        return vehicle
    changed = tuple(new if each is old else each for each in vehicle.readings)
    return replace(vehicle, readings=changed)


def add_meter(vehicle: Vehicle, name: str, ranges: Iterable[MeterRange] = ()) -> Vehicle:
    """Add a meter with its ranges."""
    meter_id = free_id((meter.id for meter in vehicle.meters), "meter")
    meter = Meter(id=meter_id, name=name, ranges=tuple(ranges))
    refuse(validity.number_faults(meter, ""))
    return replace(vehicle, meters=(*vehicle.meters, meter))


def change_meter(
    vehicle: Vehicle,
    meter_id: str,
    *,
    name: str | None = None,
    ranges: Iterable[MeterRange] | None = None,
) -> Vehicle:
    """Give a meter another name or other ranges; its readings are judged by them from now on."""
    old = look_up.meter(vehicle, meter_id)
    new = replace(
        old,
        name=old.name if name is None else name,
        ranges=old.ranges if ranges is None else tuple(ranges),
    )
    refuse(validity.number_faults(new, ""))
    return replace(
        vehicle,
        meters=tuple(new if meter is old and new != old else meter for meter in vehicle.meters),
    )


def remove_meter(vehicle: Vehicle, meter_id: str) -> Vehicle:
    """Remove a meter no reading was taken with."""
    meter = look_up.meter(vehicle, meter_id)
    if any(reading.meter == meter_id for reading in vehicle.readings):
        raise EditRefused(
            say("readings were taken with “{name}”", name=meter.name),
            remedy=say("rename it, or leave it in the list"),
        )
    return replace(vehicle, meters=tuple(each for each in vehicle.meters if each is not meter))


def sign_off(vehicle: Vehicle, when: str, by: str, **fields: Any) -> Vehicle:
    """Sign the check after the job. Raises `EditRefused` without a name or a date."""
    if not by.strip():
        raise EditRefused(
            say("nobody has signed"), where=say("Signed by"), remedy=say("enter a name")
        )
    if not validity.is_time(when):
        raise EditRefused(
            say("“{when}” is no date", when=when),
            where="when",
            remedy=say("write it like 2025-05-17"),
        )
    signed = SignOff(when=when, by=by.strip(), **fields)
    refuse(validity.number_faults(signed, ""))
    return replace(vehicle, sign_offs=(*vehicle.sign_offs, signed))
