"""Edits of the vehicle itself: its name and voltage, its batteries, parking, rules and history."""

from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.vehicle import validity
from fusemap.vehicle.edits.shared import refuse
from fusemap.vehicle.field_words import in_words
from fusemap.vehicle.model import Battery, LogEntry, Parking, RuleChoice, Vehicle
from fusemap.vehicle.parts import CrankReading, SecondBattery, StandReading


def change_vehicle(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """Change the name, the note or the system voltage."""
    wrong = set(changes) - {"name", "note", "system_v"}
    if wrong:
        raise TypeError(f"not a field of this edit: {sorted(wrong)}")
    changed = replace(vehicle, **changes)
    refuse(validity.text_faults(changed.name, "name"))
    refuse(validity.text_faults(changed.note, "note"))
    return changed


def change_battery(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """Change fields of the battery. The ends of a range go that no longer hold the new figure."""
    battery: Battery = replace(vehicle.battery, **_with_ends(vehicle.battery, changes))
    refuse(validity.number_faults(battery, "battery"))
    refuse(validity.battery_faults(battery, "battery"))
    return replace(vehicle, battery=battery)


def add_crank_reading(vehicle: Vehicle, reading: CrankReading) -> Vehicle:
    """Note a start that was followed with a meter. Raises InputProblem where it cannot be one."""
    refuse(validity.number_faults(reading, ""))
    return change_battery(vehicle, crank_readings=(*vehicle.battery.crank_readings, reading))


def remove_crank_reading(vehicle: Vehicle, index: int) -> Vehicle:
    """Take a start out again, as after a new battery. Refused where there is none."""
    left = list(vehicle.battery.crank_readings)
    if not 0 <= index < len(left):
        raise EditRefused(
            say("there is no reading {n}", n=index + 1),
            in_words("battery.crank_readings"),
            say("choose one that is there"),
        )
    del left[index]
    return change_battery(vehicle, crank_readings=tuple(left))


def add_stand_reading(vehicle: Vehicle, reading: StandReading) -> Vehicle:
    """Note what a standing showed. Raises InputProblem where it cannot have shown that."""
    refuse(validity.number_faults(reading, ""))
    return change_battery(vehicle, stand_readings=(*vehicle.battery.stand_readings, reading))


def remove_stand_reading(vehicle: Vehicle, index: int) -> Vehicle:
    """Take what a standing showed out again. Refused where there is no such reading."""
    left = list(vehicle.battery.stand_readings)
    if not 0 <= index < len(left):
        raise EditRefused(
            say("there is no reading {n}", n=index + 1),
            in_words("battery.stand_readings"),
            say("choose one that is there"),
        )
    del left[index]
    return change_battery(vehicle, stand_readings=tuple(left))


def change_parking(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """Change fields of the parking habits; ends of ranges as in `change_battery`."""
    parking: Parking = replace(vehicle.parking, **_with_ends(vehicle.parking, changes))
    refuse(validity.number_faults(parking, "parking"))
    refuse(validity.parking_faults(parking, "parking"))
    return replace(vehicle, parking=parking)


def _with_ends(part: Battery | Parking, changes: dict[str, Any]) -> dict[str, Any]:
    """The changes, and nothing for both ends of a range that does not hold a changed figure."""
    found = dict(changes)
    for name, ends in validity.RANGE_OF.items():
        value = changes.get(name)
        if value is None or any(end in changes for end in ends):
            continue
        low, high = (getattr(part, end, None) for end in ends)
        if (low is not None and value < low) or (high is not None and value > high):
            found |= dict.fromkeys(ends)
    return found


def set_second_battery(vehicle: Vehicle, battery: SecondBattery | None) -> Vehicle:
    """Give the vehicle a second battery, or take it away; what hung on it goes to the starter's."""
    if battery is not None:
        refuse(validity.number_faults(battery, "second_battery"))
        return replace(vehicle, second_battery=battery)
    back = tuple(
        replace(each, battery="starter") if each.battery != "starter" else each
        for each in vehicle.accessories
    )
    feeds = tuple(
        replace(each, battery="starter") if each.battery != "starter" else each
        for each in vehicle.feeds
    )
    return replace(vehicle, second_battery=None, accessories=back, feeds=feeds)


def change_second_battery(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """Change fields of the second battery; there is one from the first change on."""
    old = vehicle.second_battery or SecondBattery()
    return set_second_battery(vehicle, replace(old, **changes))


def set_rule(vehicle: Vehicle, key: str, value: float | None) -> Vehicle:
    """Give a named rule this vehicle's own value, or with `None` its default again."""
    others = tuple(rule for rule in vehicle.rules if rule.key != key)
    if value is None:
        return replace(vehicle, rules=others)
    choice = RuleChoice(key=key, value=value)
    refuse(validity.number_faults(choice, "rule"))
    return replace(vehicle, rules=(*others, choice))


def add_log(vehicle: Vehicle, when: str, text: str) -> Vehicle:
    """Add a line to the vehicle's history."""
    entry = LogEntry(when=when, text=text)
    refuse(validity.number_faults(entry, ""))
    return replace(vehicle, log=(*vehicle.log, entry))
