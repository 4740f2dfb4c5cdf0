"""Checks of relays in own feeds and of the sense leads that drive them."""

from collections.abc import Iterator

from fusemap.assess import Assessment
from fusemap.checks.finding import Finding
from fusemap.checks.shared import ASLEEP, PRACTICE, amperes, hop_findings, tap_finding
from fusemap.vehicle import Vehicle, look_up


def overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A relay whose contact carries more than it may."""
    yield from hop_findings(
        a,
        "relay",
        code="relay_overloaded",
        severity="stop",
        what="The relay's contact carries more than it may.",
        rule=a.rules["relay_contact_a"].label,
        remedy="Use a relay for more current, or two of them with half the load each.",
    )


def undriven(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A relay whose coil hangs on nothing."""
    driven = {tap.accessory for tap in vehicle.taps if tap.lead == "sense"}
    for tap in vehicle.taps:
        if tap.relay and tap.lead == "power" and tap.accessory not in driven:
            has_lead = "sense" in look_up.accessory(vehicle, tap.accessory).leads
            yield tap_finding(
                a,
                tap,
                code="relay_undriven",
                severity="caution",
                what="Nothing drives the coil of this relay.",
                sum="coil: not joined; reckoned as on whenever the accessory is to work",
                rule="every lead has a source",
                source=PRACTICE,
                remedy="Put the sense lead on a switched slot: it drives the coil."
                if has_lead
                else "Give the accessory a sense lead and put it on a switched slot: it drives the "
                "coil.",
            )


def sense_overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A sense lead that asks more than a circuit may be asked for."""
    yield from hop_findings(
        a,
        "sense",
        code="sense_overloaded",
        severity="caution",
        what="The sense lead asks more of its circuit than a sense lead may.",
        rule=a.rules["sense_budget_ma"].label,
        remedy="Use a relay with a smaller coil, or drive it from a slot with room for it.",
    )


def coil_drains(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A relay that stays on while the vehicle is parked."""
    relayed = {tap.accessory for tap in vehicle.taps if tap.relay and tap.lead == "power"}
    for column, tap in enumerate(vehicle.taps):
        drawn = float(a.taps.current_a[ASLEEP, column])
        wanted = "asleep" in look_up.accessory(vehicle, tap.accessory).works_in
        if tap.lead == "sense" and tap.accessory in relayed and drawn > 0 and not wanted:
            yield tap_finding(
                a,
                tap,
                code="relay_stays_on",
                severity="caution",
                what="The relay stays on while parked: its coil hangs on a feed that stays live.",
                sum=f"coil and sense lead asleep: {amperes(drawn)}",
                rule="a relay's coil hangs on a switched feed",
                source=PRACTICE,
                remedy="Move the sense lead to a slot that is switched.",
            )
