"""How far a source lies from an accessory, in steps a fitter would count; nothing is measured.

In: the vehicle, an accessory, a slot. Out: a step, and a sentence. The anchor is the
accessory's other lead where it is placed, else the place where its cable ends, else where such an
accessory usually sits (ours).
"""

from typing import Final

from fusemap.text import Text, say, say_in
from fusemap.vehicle import Accessory, Panel, Slot, Vehicle, look_up
from fusemap.vehicle.words import LeadName, Place

NEXT, PANEL, PLACE, OTHER, BULKHEAD, BATTERY = range(6)
"""Next to the other lead, on its panel, in the same place of the vehicle, in another one, through
the bulkhead, at the battery."""
STAYS: Final[dict[Place, Text]] = {
    "cabin": say("The cable stays in the cabin."),
    "engine_bay": say("The cable stays under the bonnet."),
    "boot": say("The cable stays in the boot."),
    "under_carpet": say("The cable stays under the carpet."),
}
ENDS: Final[dict[Place, Text]] = {
    "cabin": say_in("end of a cable", "the cabin"),
    "engine_bay": say_in("end of a cable", "the engine bay"),
    "boot": say_in("end of a cable", "the boot"),
    "under_carpet": say_in("end of a cable", "below the carpet"),
}
USUAL: Final[dict[str, Place]] = {
    "light_bar": "engine_bay",
    "horn": "engine_bay",
    "winch": "engine_bay",
    "rear_camera": "boot",
    "tow_module": "boot",
    "cool_box_compressor": "boot",
    "cool_box_thermo": "boot",
}
"""Where accessories of a kind usually sit; all others in the cabin (common practice, ours)."""


def step_to(
    vehicle: Vehicle, accessory: Accessory, lead: LeadName, panel: Panel, slot: Slot
) -> int:
    """The step from an accessory to a slot, its other lead being the nearest anchor."""
    other = other_slot(vehicle, accessory, lead)
    if other is not None:
        there, its_panel = other
        if its_panel.id == panel.id:
            near = abs(there.row - slot.row) + abs(there.column - slot.column) <= 1
            return NEXT if near else PANEL
        return between(its_panel.place, panel.place)
    return between(home(vehicle, accessory), panel.place)


def between(one: Place, other: Place) -> int:
    """The step between two places of the vehicle."""
    if one == other:
        return PLACE
    return BULKHEAD if "engine_bay" in (one, other) else OTHER


def home(vehicle: Vehicle, accessory: Accessory) -> Place:
    """Where the accessory sits: where its cable lies, else where such a thing usually sits."""
    for tap in vehicle.taps:
        if tap.accessory == accessory.id and tap.cable_out is not None:
            return tap.cable_out.place
    return USUAL.get(accessory.kind, "cabin")


def other_slot(vehicle: Vehicle, accessory: Accessory, lead: LeadName) -> tuple[Slot, Panel] | None:
    """The slot of the accessory's other lead, with its panel."""
    for tap in vehicle.taps:
        if tap.accessory == accessory.id and tap.lead != lead and tap.slot is not None:
            return look_up.slot(vehicle, tap.slot), look_up.panel_of(vehicle, tap.slot)
    return None


def step_words(step: int, here: Place, there: Place) -> Text:
    """The step as a sentence.

    >>> str(step_words(BULKHEAD, "engine_bay", "cabin"))
    'The cable goes through the bulkhead, from the engine bay to the cabin.'
    """
    ends = {"here": ENDS[here], "there": ENDS[there]}
    return {
        NEXT: say("It sits next to the accessory’s other lead."),
        PANEL: say("It is on the panel of the accessory’s other lead."),
        PLACE: STAYS[here],
        OTHER: say("The cable goes from {here} to {there}.", **ends),
        BULKHEAD: say("The cable goes through the bulkhead, from {here} to {there}.", **ends),
        BATTERY: say("The cable goes all the way to the battery."),
    }[step]
