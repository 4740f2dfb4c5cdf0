"""Checks of the cables: warmth, overload, short circuit, voltage."""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.chain import cable_words
from fusemap.checks.finding import Finding
from fusemap.checks.shared import STATE_WORDS, broken, hop_finding, hop_findings, tap_finding
from fusemap.units import quantity
from fusemap.vehicle import STATES, Vehicle, look_up

THICKER = "Use a thicker cable, a smaller accessory fuse if the load allows, or a shorter run."


def not_given(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A power lead whose cable is not entered."""
    for tap in vehicle.taps:
        if tap.cable_out is None and tap.lead == "power":
            yield tap_finding(
                a,
                tap,
                code="cable_not_given",
                severity="note",
                what="No cable is entered, so heat, voltage drop and short circuit are not checked"
                " here.",
                sum="section and length unknown",
                rule="every cable is checked against its fuse and its load",
                source="IEC 60364-4-43 for the short circuit; the rules named in the chain",
                remedy="Enter section and length of the cable out.",
            )


def too_thin_to_last(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A section below the mechanical floor."""
    yield from hop_findings(
        a,
        "section",
        code="cable_too_thin_to_last",
        severity="caution",
        what="The cable is so thin that it breaks rather than wears.",
        rule=a.rules["mechanical_floor_mm2"].label,
        remedy="Use a thicker cable.",
    )


def too_hot(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A conductor above its insulation's limit at the load."""
    for key, way in (("heat_out", "out"), ("heat_back", "back")):
        yield from hop_findings(
            a,
            key,
            code=f"cable_too_hot_{way}",
            severity="stop",
            what=f"The cable {way} gets hotter than its insulation bears.",
            rule="conductor temperature at the lasting load ≤ the insulation's limit",
            remedy="Use a thicker cable, fewer loaded cables together, or a cooler place.",
        )


def overload_gap(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A cable that its fuse lets overheat for minutes."""
    yield from hop_findings(
        a,
        "overload",
        code="cable_overload_gap",
        severity="stop",
        what="The fuse lets an overload pass long enough to overheat this cable.",
        rule=a.rules["overload_multiple"].label,
        remedy=THICKER,
    )


def short(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A cable that a hard short destroys before the fuse has opened."""
    yield from hop_findings(
        a,
        "short",
        code="cable_short",
        severity="stop",
        what="A short circuit overheats this cable before its fuse has opened.",
        rule="I²t the fuse lets through ≤ (k × section)²",
        remedy=THICKER,
    )


def far_end(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A cable at whose end a short circuit does not open the fuse at once."""
    least = a.rule("far_end_multiple_least")
    for each in broken(a, "far_end"):
        never = float(each.hop.load[each.column]) < least
        yield hop_finding(
            a,
            each,
            code="cable_far_end",
            severity="stop" if never else "caution",
            what="A short circuit at the far end may never open the fuse: the cable burns with "
            "the fuse whole."
            if never
            else "A short circuit at the far end opens the fuse late.",
            rule=a.rules["far_end_multiple"].label,
            remedy=THICKER,
        )


def drop(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """More voltage lost on the way than allowed."""
    yield from hop_findings(
        a,
        "drop",
        code="cable_drop",
        severity="caution",
        what="Too much voltage is lost on the way to the accessory.",
        rule=a.rules["allowed_drop_share"].label,
        remedy="Use a thicker or shorter cable, or return by a cable to a good earth point.",
    )


def low_voltage(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory that gets less than it needs."""
    yield from hop_findings(
        a,
        "voltage",
        code="low_voltage",
        severity="caution",
        what="The accessory gets less voltage than it needs.",
        rule="the accessory's own minimum voltage",
        remedy="Use a thicker or shorter cable.",
    )


def collapse(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A constant-power load that its supply cannot give that power."""
    for column in np.flatnonzero(a.taps.collapsed.any(axis=0)):
        tap = a.circuit.taps.taps[column]
        row = int(a.taps.collapsed[:, column].argmax())
        accessory = look_up.accessory(vehicle, tap.accessory)
        cable = "no cable given" if tap.cable_out is None else cable_words(tap.cable_out)
        yield tap_finding(
            a,
            tap,
            code="voltage_collapse",
            severity="stop",
            what="The supply cannot give this much power: the voltage collapses.",
            sum=f"{accessory.name}, {cable}: at most E²/4R is possible, "
            f"{quantity(float(a.taps.voltage_v[row, column]), 'V')} left "
            f"({STATE_WORDS[STATES[row]]})",
            rule="a source of E volts behind R ohms gives at most E²/4R watts",
            source="maximum power transfer (Ohm's law)",
            remedy="Use a much thicker or shorter cable, or supply it from nearer the battery.",
        )
