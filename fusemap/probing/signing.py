"""What a signature under the check stands for, and whether that is still what is planned.

In: a vehicle with its signatures. Out: the mark of a plan, kept with a signature, and what the
signature means today, in words. A signature is never changed; what changes is what it still says.
"""

from hashlib import sha256
from typing import Final

import msgspec

from fusemap.text import Text, many, say
from fusemap.vehicle import SignOff, Vehicle, look_up

MARK_LONG: Final = 16
"""So many letters of the mark are kept."""


def plan_mark(vehicle: Vehicle) -> str:
    """The mark of all that a check is made against: leads, accessories, feeds, fuses, supply.

    Names of slots and notes are no part of it; neither are readings.
    """
    fuses = [(slot.id, slot.kind, slot.family, slot.fuse) for slot in look_up.slots(vehicle)]
    planned = (vehicle.system_v, vehicle.battery, vehicle.accessories, vehicle.taps,
               vehicle.feeds, fuses)  # fmt: skip
    return sha256(msgspec.json.encode(planned)).hexdigest()[:MARK_LONG]


def meaning(vehicle: Vehicle, signed: SignOff) -> Text:
    """What a signature says of the vehicle as it is planned now."""
    if not signed.stands_for:
        return say("what was signed was not kept with it: compare the date")
    if signed.stands_for != plan_mark(vehicle):
        return say(
            "the plan was changed after it: it stands for what was fitted then, not for this"
        )
    later = sum(
        reading.purpose == "check" and not reading.withdrawn and reading.when > signed.when
        for reading in vehicle.readings
    )
    if later:
        return many(
            "the plan is as it was signed; {n} check reading was taken after it",
            "the plan is as it was signed; {n} check readings were taken after it",
            later,
        )
    return say("the plan is as it was signed")
