"""Checks of the cables beyond the limits of their hops: given at all, and enough supply behind."""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.words import cable_words
from fusemap.checks.finding import Finding
from fusemap.checks.shared import tap_finding
from fusemap.text import Amount, say
from fusemap.vehicle import STATES, Vehicle, look_up
from fusemap.vehicle.words import STATE


def not_given(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A power lead whose cable is not entered."""
    for tap in vehicle.taps:
        if tap.cable_out is None and tap.lead == "power":
            yield tap_finding(
                a,
                tap,
                code="cable_not_given",
                severity="note",
                what=say(
                    "No cable is entered, so heat, voltage drop and short circuit are not checked "
                    "here."
                ),
                sum=say("section and length unknown"),
                rule=say("every cable is checked against its fuse and its load"),
                source=say("IEC 60364-4-43 for the short circuit; the rules named in the chain"),
                remedy=say("Enter section and length of the cable out."),
            )


def collapse(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A constant-power load that its supply cannot give that power."""
    for column in np.flatnonzero(a.taps.collapsed.any(axis=0)):
        tap = a.circuit.taps.taps[column]
        row = int(a.taps.collapsed[:, column].argmax())
        cable = tap.cable_out
        yield tap_finding(
            a,
            tap,
            code="voltage_collapse",
            severity="stop",
            what=say("The supply cannot give this much power: the voltage collapses."),
            sum=say(
                "{accessory}, {cable}: at most E²/4R is possible, {voltage} left ({state})",
                accessory=look_up.accessory(vehicle, tap.accessory).name,
                cable=say("no cable given") if cable is None else cable_words(cable),
                voltage=Amount(float(a.taps.voltage_v[row, column]), "V"),
                state=STATE[STATES[row]].label,
            ),
            rule=say("a source of E volts behind R ohms gives at most E²/4R watts"),
            source=say("maximum power transfer (Ohm's law)"),
            remedy=say(
                "Use a much thicker or shorter cable, or supply it from nearer the battery."
            ),
        )
