"""Checks of converters and of what hangs behind them."""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment
from fusemap.checks.finding import ASLEEP, PRACTICE, Finding, accessory_finding, amperes
from fusemap.text import Amount, given, run_on, say
from fusemap.vehicle import STATES, Vehicle
from fusemap.vehicle.look_up import above, misfit
from fusemap.vehicle.words import STATE


def overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A converter whose output gives more than its rating."""
    for output in a.circuit.taps.behind.outputs:
        row = int(output.current_a.argmax())
        peak = float(output.current_a[row])
        if peak <= output.limit_a * (1 + 1e-9):
            continue
        behind = [
            s for s in a.circuit.taps.behind.supplied if s.converter.id == output.converter.id
        ]
        parts = (run_on(s.accessory.name, amperes(float(s.drawn_a[row]))) for s in behind)
        yield accessory_finding(
            output.converter,
            code="converter_overloaded",
            severity="stop",
            what=say("The converter's output gives more than it is made for."),
            sum=say(
                "{parts} = {load} > {limit} ({state})",
                parts=run_on(*parts, between=" + "),
                load=amperes(peak),
                limit=amperes(output.limit_a),
                state=STATE[STATES[row]].label,
            ),
            rule=say("the sum of what hangs on a converter is within its lasting rating"),
            source=say("rating as entered for this converter"),
            remedy=say("Use a larger converter, or a second one."),
        )


def rating_unknown(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A converter in use of which nobody said what it may give."""
    for output in a.circuit.taps.behind.outputs:
        if not np.isfinite(output.limit_a):
            yield accessory_finding(
                output.converter,
                code="converter_rating_unknown",
                severity="note",
                what=say("What the converter's output may give is not entered."),
                sum=say(
                    "gives up to {load}, rating unknown",
                    load=amperes(float(output.current_a.max())),
                ),
                rule=say("the sum of what hangs on a converter is within its lasting rating"),
                source=PRACTICE,
                remedy=say("Enter the lasting current on its label, not the peak."),
            )


def unused(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A converter with a source and nothing hanging on it: what it is to give is not known."""
    for column, tap in enumerate(vehicle.taps):
        accessory = a.circuit.taps.accessories[column]
        used = a.circuit.taps.behind.output(accessory.id) is not None
        if tap.lead == "power" and accessory.converter is not None and not used:
            yield accessory_finding(
                accessory,
                code="converter_unused",
                severity="note",
                what=say(
                    "Nothing hangs on this converter yet; it is reckoned with its own draw alone."
                ),
                sum=say(
                    "{load} without any load",
                    load=amperes(float(a.taps.current_a[:, column].max())),
                ),
                rule=say("a converter takes its output's watts ÷ efficiency"),
                source=say("energy balance"),
                remedy=say("Add what it supplies, and choose the converter as its source."),
            )


def wrong_output(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory behind a converter whose output has another voltage than it is made for."""
    for accessory in vehicle.accessories:
        converter = next(above(vehicle, accessory), None)
        gives = None if converter is None else converter.converter
        if converter is None or gives is None or not misfit(accessory.rated_v, gives.output_v):
            continue
        yield accessory_finding(
            accessory,
            behind=converter,
            code="converter_wrong_output",
            severity="stop",
            what=say("The converter gives another voltage than this accessory is made for."),
            sum=say(
                "rated {rated}, output {output}",
                rated=given(accessory.rated_v, "V"),
                output=given(gives.output_v, "V"),
            ),
            rule=say("the accessory's rated voltage has to be the converter's"),
            source=PRACTICE,
            remedy=say("Use a converter with another output."),
        )


def too_low_an_output(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory that needs more than a converter's output gives."""
    for each in a.circuit.taps.behind.supplied:
        least = each.accessory.min_voltage_v
        if least is not None and each.volts < least:
            yield accessory_finding(
                each.accessory,
                behind=each.converter,
                code="converter_output_low",
                severity="caution",
                what=say("The accessory gets less voltage than it needs."),
                sum=say("{load} < {limit}", load=Amount(each.volts, "V"), limit=Amount(least, "V")),
                rule=say("the accessory's own minimum voltage"),
                source=PRACTICE,
                remedy=say("Use a converter with a higher output."),
            )


def not_supplied(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory behind a converter that has no source itself."""
    placed = {tap.accessory for tap in vehicle.taps if tap.lead == "power"}
    for accessory in vehicle.accessories:
        way = tuple(above(vehicle, accessory))
        if way and way[-1].id not in placed:
            yield accessory_finding(
                accessory,
                behind=way[0],
                code="converter_not_placed",
                severity="note",
                what=say("The converter it hangs on has no source yet."),
                sum=say("not reckoned with"),
                rule=say("every lead has a source"),
                source=PRACTICE,
                remedy=say("Place “{converter}” on a slot or an own feed.", converter=way[-1].name),
            )


def dead_behind(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory that has to work while parked, behind a converter that is off then."""
    for each in a.circuit.taps.behind.supplied:
        if each.accessory.needs == "permanent" and not each.live[ASLEEP]:
            yield accessory_finding(
                each.accessory,
                behind=each.converter,
                code="converter_off_while_parked",
                severity="caution",
                what=say(
                    "The accessory needs a permanent feed, but its converter is off while parked."
                ),
                sum=say("parked and asleep: dead"),
                rule=say("the feed class fits what the accessory needs"),
                source=PRACTICE,
                remedy=say("Use a converter that works all the time, on a permanent slot."),
            )


def draws_behind(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory that wants a switched feed and goes on drawing behind its converter."""
    for each in a.circuit.taps.behind.supplied:
        drawn = float(each.drawn_a[ASLEEP])
        if each.accessory.needs == "switched" and drawn > 0:
            yield accessory_finding(
                each.accessory,
                behind=each.converter,
                code="converter_drains_while_parked",
                severity="caution",
                what=say(
                    "The accessory should be switched off with the vehicle, but goes on drawing "
                    "behind its converter."
                ),
                sum=say(
                    "asleep {load} at {output}, from the vehicle {power}",
                    load=amperes(drawn),
                    output=Amount(each.volts, "V"),
                    power=Amount(float(each.taken_w[ASLEEP]), "W"),
                ),
                rule=say("the feed class fits what the accessory needs"),
                source=PRACTICE,
                remedy=say("Put the converter on a slot that is switched."),
            )


def blind_cut_off(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A low-voltage cut-off that cannot see the battery."""
    for each in a.circuit.taps.behind.supplied:
        cut_off = each.accessory.cut_off
        if cut_off is not None:
            yield accessory_finding(
                each.accessory,
                behind=each.converter,
                code="cut_off_behind_converter",
                severity="caution",
                what=say(
                    "The low-voltage cut-off sees the converter's output, not the battery: it "
                    "never trips."
                ),
                sum=say(
                    "off below {off}, output held at {output}",
                    off=Amount(cut_off.off_v, "V"),
                    output=Amount(each.volts, "V"),
                ),
                rule=say("a converter holds its output voltage until it switches off itself"),
                source=PRACTICE,
                remedy=say("Set the cut-off at the converter, or before it."),
            )
