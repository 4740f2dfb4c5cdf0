"""Checks of what is placed where: voltage, feed class, leads, joints, earth."""

from collections.abc import Iterator
from typing import Final

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.checks.finding import ASLEEP, PRACTICE, Finding, accessory_finding, tap_finding
from fusemap.text import Amount, Text, given, in_row, say
from fusemap.vehicle import Tap, Vehicle, look_up
from fusemap.vehicle.look_up import NEVER_THE_MIDDLE, misfit
from fusemap.vehicle.words import CLOSED_BY, PLACE, Place


def wrong_voltage(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A 12 V accessory on a 24 V vehicle, or the other way round."""
    system = given(vehicle.system_v, "V")
    for tap in vehicle.taps:
        accessory = look_up.accessory(vehicle, tap.accessory)
        wrong = misfit(accessory.rated_v, vehicle.system_v)
        if wrong:
            yield tap_finding(
                a,
                tap,
                code="wrong_voltage",
                severity="stop",
                what=say("This accessory is not made for a {system} vehicle.", system=system),
                sum=say(
                    "rated {rated}, vehicle {system}",
                    rated=given(accessory.rated_v, "V"),
                    system=system,
                ),
                rule=say("the accessory's rated voltage has to be the vehicle's"),
                source=PRACTICE,
                remedy=say(
                    "Use one made for {system}, or hang it behind a converter; {never}.",
                    system=system,
                    never=NEVER_THE_MIDDLE,
                )
                if wrong == "too_low"
                else say(
                    "Use one made for {system}, or hang it behind a converter.", system=system
                ),
            )


def dead_while_parked(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory that has to work while parked, on a feed that is dead then."""
    for column, tap in enumerate(vehicle.taps):
        accessory = look_up.accessory(vehicle, tap.accessory)
        if tap.lead != "power" or accessory.needs != "permanent":
            continue
        # behind a switch it is off because somebody switches it off
        at = int(a.circuit.taps.slot[column])
        fed = at < 0 or bool(a.circuit.slots.live[ASLEEP, at])
        if not a.taps.live[ASLEEP, column] and not (fed and tap.switch in CLOSED_BY):
            yield tap_finding(
                a,
                tap,
                code="dead_while_parked",
                severity="caution",
                what=say("The accessory needs a permanent feed, but has no supply while parked."),
                sum=say("parked and asleep: dead"),
                rule=say("the feed class fits what the accessory needs"),
                source=PRACTICE,
                remedy=say("Move it to a permanent slot."),
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
                what=say(
                    "The accessory should be switched off with the vehicle, but goes on drawing."
                ),
                sum=say(
                    "asleep {load}, {charge} a day",
                    load=Amount(drawn, "A"),
                    charge=Amount(drawn * 24, "Ah"),
                ),
                rule=say("the feed class fits what the accessory needs"),
                source=PRACTICE,
                remedy=say("Move it to a slot that is switched."),
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
        if look_up.cut_off_of(vehicle, accessory) is None and lasting > limit:
            yield tap_finding(
                a,
                tap,
                code="key_off_load",
                severity="caution",
                what=say(
                    "The accessory goes on drawing with the key off, and nothing switches it off."
                ),
                sum=say(
                    "asleep {load} > {limit}, {charge} a day",
                    load=Amount(lasting, "A"),
                    limit=Amount(limit, "A"),
                    charge=Amount(lasting * 24, "Ah"),
                ),
                rule=a.rules["key_off_load_ma"].label,
                source=a.rules["key_off_load_ma"].source,
                remedy=say("Fit an isolating switch, a relay or a low-voltage cut-off."),
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
                what=say(
                    "The sense lead is not placed; the accessory cannot tell whether the vehicle "
                    "is on."
                ),
                sum=say("power placed, sense open"),
                rule=say("every lead has a source"),
                source=PRACTICE,
                remedy=say("Put the sense lead on a slot that is live with ignition or accessory."),
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
                what=say("The accessory has no source yet."),
                sum=say("not placed; while parked it is reckoned as live always"),
                rule=say("every lead has a source"),
                source=PRACTICE,
                remedy=say("Drag it onto a slot, or pick it up with Enter and choose one."),
            )


LIKE: Final[dict[Place, Place]] = {
    "sill": "cabin",
    "roof": "cabin",
    "underbody": "engine_bay",
    "trailer": "engine_bay",
}
"""Places that ask of a joint what another one does: dry ones, and those that are wet and shaken."""


def joint_unsuitable(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A joint that does not belong where the cable lies."""
    joints = tables.joints()
    for tap in vehicle.taps:
        joint = joints.get(tap.joint)
        place = "cabin" if tap.cable_out is None else tap.cable_out.place
        if joint is not None and LIKE.get(place, place) not in joint.places:
            yield tap_finding(
                a,
                tap,
                code="joint_unsuitable",
                severity="caution",
                what=say(
                    "A joint of this kind ({joint}) does not belong here.", joint=Text(joint.name)
                ),
                sum=say(
                    "place: {place}; suitable in: {places}",
                    place=PLACE[place],
                    places=in_row(PLACE[each] for each in joint.places),
                )
                if joint.places
                else say("place: {place}; suitable nowhere", place=PLACE[place]),
                rule=say("the joint has to bear the place's heat, damp and shaking"),
                source=joint.source.text,
                remedy=say("Use a crimped joint with a sleeve that seals."),
            )


def _earth_named(tap: Tap) -> bool:
    return tap.earth is not None or bool(tap.earth_point.strip())


def earth_unnamed(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A power lead of which nobody wrote down where its earth goes."""
    for tap in vehicle.taps:
        if tap.lead == "power" and tap.cable_out is not None and not _earth_named(tap):
            yield tap_finding(
                a,
                tap,
                code="earth_unnamed",
                severity="note",
                what=say("Where the current goes back is not written down."),
                sum=say("earth point: not named; the joint is reckoned with the rule's resistance"),
                rule=a.rules["body_return_mohm"].label,
                source=a.rules["body_return_mohm"].source,
                remedy=say("Choose an existing earth bolt on bare metal, and name it."),
            )
