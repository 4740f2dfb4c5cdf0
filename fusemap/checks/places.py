"""Checks of what is placed where: voltage, feed class, leads, joints, earth."""

from collections.abc import Iterator

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.checks.finding import Finding
from fusemap.checks.shared import ASLEEP, PRACTICE, accessory_finding, tap_finding
from fusemap.units import quantity
from fusemap.vehicle import Vehicle, look_up
from fusemap.vehicle.supply import NEVER_THE_MIDDLE, misfit


def wrong_voltage(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A 12 V accessory on a 24 V vehicle, or the other way round."""
    for tap in vehicle.taps:
        accessory = look_up.accessory(vehicle, tap.accessory)
        wrong = misfit(accessory.rated_v, vehicle.system_v)
        if wrong:
            yield tap_finding(
                a,
                tap,
                code="wrong_voltage",
                severity="stop",
                what=f"This accessory is not made for a {vehicle.system_v} V vehicle.",
                sum=f"rated {accessory.rated_v:g} V, vehicle {vehicle.system_v} V",
                rule="the accessory's rated voltage has to be the vehicle's",
                source=PRACTICE,
                remedy=f"Use one made for {vehicle.system_v} V, or hang it behind a converter"
                + (f"; {NEVER_THE_MIDDLE}." if wrong == "too_low" else "."),
            )


def dead_while_parked(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory that has to work while parked, on a feed that is dead then."""
    for column, tap in enumerate(vehicle.taps):
        accessory = look_up.accessory(vehicle, tap.accessory)
        if tap.lead != "power" or accessory.needs != "permanent":
            continue
        if not a.taps.live[ASLEEP, column]:
            yield tap_finding(
                a,
                tap,
                code="dead_while_parked",
                severity="caution",
                what="The accessory needs a permanent feed, but has no supply while parked.",
                sum="parked and asleep: dead",
                rule="the feed class fits what the accessory needs",
                source=PRACTICE,
                remedy="Move it to a permanent slot.",
            )


def drains_while_parked(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory that wants a switched feed and draws while parked."""
    for column, tap in enumerate(vehicle.taps):
        accessory = look_up.accessory(vehicle, tap.accessory)
        drawn = float(a.taps.current_a[ASLEEP, column])
        if tap.lead == "power" and accessory.needs == "switched" and drawn > 0:
            yield tap_finding(
                a,
                tap,
                code="drains_while_parked",
                severity="caution",
                what="The accessory should be switched off with the vehicle, but goes on drawing.",
                sum=f"asleep {quantity(drawn, 'A')}, {quantity(drawn * 24, 'Ah')} a day",
                rule="the feed class fits what the accessory needs",
                source=PRACTICE,
                remedy="Move it to a slot that is switched.",
            )


def key_off_load(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A lasting load with the key off that nothing switches off."""
    limit = a.rule("key_off_load_ma") / 1000
    for column, tap in enumerate(vehicle.taps):
        accessory = look_up.accessory(vehicle, tap.accessory)
        if tap.lead != "power" or tap.relay or accessory.needs == "switched":
            continue
        timed = accessory.run_on_min is not None or accessory.timetable
        drawn = float(a.taps.current_a[ASLEEP, column])
        lasting = min(drawn, accessory.standby_a) if timed else drawn
        if accessory.cut_off is None and lasting > limit:
            yield tap_finding(
                a,
                tap,
                code="key_off_load",
                severity="caution",
                what="The accessory goes on drawing with the key off, and nothing switches it off.",
                sum=f"asleep {quantity(lasting, 'A')} > {quantity(limit, 'A')}, "
                f"{quantity(lasting * 24, 'Ah')} a day",
                rule=a.rules["key_off_load_ma"].label,
                source=a.rules["key_off_load_ma"].source,
                remedy="Fit an isolating switch, a relay or a low-voltage cut-off.",
            )


def sense_not_placed(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory whose power is placed but whose sense lead is not."""
    placed = {(tap.accessory, tap.lead) for tap in vehicle.taps}
    for accessory in vehicle.accessories:
        missing = "sense" in accessory.leads and (accessory.id, "sense") not in placed
        if missing and (accessory.id, "power") in placed:
            yield accessory_finding(
                accessory,
                code="sense_not_placed",
                severity="caution",
                what="The sense lead is not placed; the accessory cannot tell whether the vehicle "
                "is on.",
                sum="power placed, sense open",
                rule="every lead has a source",
                source=PRACTICE,
                remedy="Put the sense lead on a slot that is live with ignition or accessory.",
            )


def not_placed(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory that is planned but has no source yet."""
    placed = {tap.accessory for tap in vehicle.taps if tap.lead == "power"}
    for accessory in vehicle.accessories:
        if accessory.id not in placed and accessory.supplied_by is None:
            yield accessory_finding(
                accessory,
                code="not_placed",
                severity="note",
                what="The accessory has no source yet.",
                sum="not placed, not reckoned with",
                rule="every lead has a source",
                source=PRACTICE,
                remedy="Drag it onto a slot, or pick it up with Enter and choose one.",
            )


def joint_unsuitable(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A joint that does not belong where the cable lies."""
    joints = tables.joints()
    for tap in vehicle.taps:
        joint = joints.get(tap.joint)
        place = "cabin" if tap.cable_out is None else tap.cable_out.place
        if joint is not None and place not in joint.places:
            yield tap_finding(
                a,
                tap,
                code="joint_unsuitable",
                severity="caution",
                what=f"A joint of this kind ({joint.name}) does not belong here.",
                sum=f"place: {place.replace('_', ' ')}; "
                + (
                    "suitable in: " + ", ".join(p.replace("_", " ") for p in joint.places)
                    if joint.places
                    else "suitable nowhere"
                ),
                rule="the joint has to bear the place's heat, damp and shaking",
                source=joint.source.words,
                remedy="Use a crimped joint with a sleeve that seals.",
            )


def earth_unnamed(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A power lead of which nobody wrote down where its earth goes."""
    for tap in vehicle.taps:
        if tap.lead == "power" and tap.cable_out is not None and not tap.earth_point.strip():
            yield tap_finding(
                a,
                tap,
                code="earth_unnamed",
                severity="note",
                what="Where the current goes back is not written down.",
                sum="earth point: not named; the joint is reckoned with the rule's resistance",
                rule=a.rules["body_return_mohm"].label,
                source=a.rules["body_return_mohm"].source,
                remedy="Choose an existing earth bolt on bare metal, and name it.",
            )
