"""Checks at the leads behind converters: warmth, drop, fuse, and whether anything protects them."""

from collections.abc import Iterator

from fusemap.assess import Assessment
from fusemap.assess.outputs import OutputLead, output_leads
from fusemap.assess.words import cable_words, fuse_words
from fusemap.checks.finding import PRACTICE, Finding, accessory_finding, amperes
from fusemap.text import Amount, Text, say
from fusemap.vehicle import Vehicle

THICKER = say("Use a thicker or a shorter cable.")


def lead_dangers(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A lead behind a converter that gets too hot at its load, or that nothing protects."""
    for lead in output_leads(a):
        if lead.warm_c > lead.limit_c:
            yield accessory_finding(
                lead.accessory,
                behind=lead.converter,
                code="output_cable_too_hot",
                severity="stop",
                what=say("The cable behind the converter gets hotter than its insulation bears."),
                sum=say(
                    "{load}: {warm} > {limit}",
                    load=amperes(lead.load_a),
                    warm=Amount(lead.warm_c, "°C"),
                    limit=Amount(lead.limit_c, "°C"),
                ),
                rule=say("conductor temperature at the lasting load ≤ the insulation's limit"),
                source=say("heat: Churchill–Chu, horizontal cylinder in still air"),
                remedy=THICKER,
            )
        elif not lead.bounded or lead.fault_c > lead.fault_limit_c:
            yield _unprotected(a, lead)


def _unprotected(a: Assessment, lead: OutputLead) -> Finding:
    rule = a.rules["converter_limit_times"]
    return accessory_finding(
        lead.accessory,
        behind=lead.converter,
        code="output_cable_unprotected",
        severity="stop" if lead.bounded else "caution",
        what=say("In a fault the cable behind the converter gets too hot before anything opens.")
        if lead.bounded
        else say("Nothing is known that protects the cable behind the converter."),
        sum=_fault_sum(lead),
        rule=rule.label,
        source=rule.source,
        remedy=say(
            "Put a fuse at the converter's output that the cable bears, or use a cable that bears "
            "all that the converter gives."
        ),
    )


def _fault_sum(lead: OutputLead) -> Text:
    fuse, cable = lead.accessory.lead_fuse, lead.accessory.lead_cable
    assert cable is not None  # only such leads are reckoned
    guard = say("no fuse") if fuse is None else fuse_words(fuse)
    if not lead.bounded:
        return say(
            "{cable}, {fuse}, the converter's rating unknown", cable=cable_words(cable), fuse=guard
        )
    return say(
        "{cable}, {fuse}: {warm} > {limit}",
        cable=cable_words(cable),
        fuse=guard,
        warm=Amount(lead.fault_c, "°C"),
        limit=Amount(lead.fault_limit_c, "°C"),
    )


def lead_nuisances(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A lead behind a converter whose fuse is too small, or that costs too much voltage."""
    allowed = a.rule("allowed_drop_share")
    for lead in output_leads(a):
        if lead.load_a > lead.fuse_limit_a * (1 + 1e-9):
            yield accessory_finding(
                lead.accessory,
                behind=lead.converter,
                code="output_fuse_overloaded",
                severity="caution",
                what=say("The fuse behind the converter carries more than it may for long."),
                sum=say(
                    "{load} > {limit}",
                    load=amperes(lead.load_a),
                    limit=amperes(lead.fuse_limit_a),
                ),
                rule=a.rules["continuous_share"].label,
                source=a.rules["continuous_share"].source,
                remedy=say("Fit the next larger fuse that the cable bears."),
            )
        most = allowed * (lead.drop_v + lead.voltage_v)
        least = lead.accessory.min_voltage_v
        if lead.drop_v > most or (least is not None and lead.voltage_v < least):
            yield accessory_finding(
                lead.accessory,
                behind=lead.converter,
                code="output_drop",
                severity="caution",
                what=say("The cable behind the converter costs too much voltage."),
                sum=say(
                    "{load}: {drop} lost, {voltage} left",
                    load=amperes(lead.load_a),
                    drop=Amount(lead.drop_v, "V"),
                    voltage=Amount(lead.voltage_v, "V"),
                ),
                rule=a.rules["allowed_drop_share"].label,
                source=a.rules["allowed_drop_share"].source,
                remedy=say(
                    "Put the converter nearer to what hangs on it: on its other side the same "
                    "cable costs half or less. Or use a thicker cable."
                ),
            )


def lead_not_given(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Something behind a converter whose cable is not entered."""
    for each in a.circuit.taps.behind.supplied:
        if each.accessory.lead_cable is None:
            yield accessory_finding(
                each.accessory,
                behind=each.converter,
                code="output_cable_not_given",
                severity="note",
                what=say("No cable is entered behind the converter: nothing of it is checked."),
                sum=say("section and length unknown"),
                rule=say("every cable is checked against its fuse and its load"),
                source=PRACTICE,
                remedy=say("Enter section and length of the cable, and its fuse."),
            )
