"""Hops of the lead behind a converter: its fuse, its warmth, what protects it, what it costs.

The lead on the other side of a converter is that of its tap. In: the figures of `outputs`. Out: by
the accessory at the lead's end its limits, in the order of the current.
"""

from collections.abc import Iterator, Mapping
from typing import Final, Literal

import numpy as np

from fusemap.assess import facts
from fusemap.assess.figures import Figures
from fusemap.assess.hops.cable_limits import HEAT_RULE, HEAT_SUM, heat_source
from fusemap.assess.hops.kind import Breach, Input
from fusemap.assess.hops.limit import Limit
from fusemap.assess.outputs import OutputLead, output_leads
from fusemap.assess.result import Basis, Hop, HopKey
from fusemap.assess.verdict import Ground
from fusemap.assess.words import cable_words, fuse_words
from fusemap.text import NOTHING, Amount, Text, given, say
from fusemap.vehicle import Accessory, Fuse

NAN: Final = float("nan")
THICKER: Final = say("Use a thicker or a shorter cable.")
NOT_ENTERED: Final = say("section and length of the cable behind the converter are not entered")
UNBOUNDED: Final = say("neither a fuse nor what the converter gives is entered")


def output_hops(a: Figures) -> Mapping[str, tuple[Limit, ...]]:
    """The limits of every lead behind a converter, by the accessory at its end."""
    found = {lead.accessory.id: tuple(_limits(a, lead)) for lead in output_leads(a)}
    return {
        each.accessory.id: found.get(each.accessory.id) or (_not_entered(each.accessory),)
        for each in a.circuit.taps.behind.supplied
    }


def _limits(a: Figures, lead: OutputLead) -> Iterator[Limit]:
    if lead.accessory.lead_fuse is not None:
        yield _fuse(a, lead, lead.accessory.lead_fuse)
    yield _heat(a, lead, "out")
    if lead.accessory.lead_back is not None:
        yield _heat(a, lead, "back")
    yield _fault(a, lead)
    yield _drop(a, lead)
    if lead.accessory.min_voltage_v is not None:
        yield _voltage(a, lead, lead.accessory.min_voltage_v)


def _hop(
    key: HopKey,
    lead: OutputLead,
    title: Text,
    quantity: Text,
    unit: str,
    ends: tuple[float, float],
    limit: float,
    basis: Basis,
    ground: Ground,
    *,
    at_most: bool = True,
    least: float | None = None,
) -> Hop:
    known, most = ends
    return Hop(
        key=key,
        behind=lead.accessory.id,
        title=title,
        quantity=quantity,
        load=known,
        most=max(known, most) if at_most else min(known, most),
        limit=limit,
        least=least,
        unit=unit,
        basis=basis,
        at_most=at_most,
        ground=ground,
    )


def _blind(key: HopKey, it: Accessory, title: Text, missing: Text) -> Hop:
    return Hop(
        key=key,
        behind=it.id,
        title=title,
        quantity=say("conductor temperature"),
        load=NAN,
        limit=NAN,
        unit="°C",
        basis=Basis(missing),
        ground="none",
        missing=missing,
    )


def _not_entered(it: Accessory) -> Limit:
    """Of a lead nothing is entered of: `checks.outputs` asks for it."""
    title = say("Cable to “{accessory}” behind the converter", accessory=it.name)
    return Limit(_blind("output_heat", it, title, NOT_ENTERED), "", _never())


def _never() -> Breach:
    return Breach("note", NOTHING, NOTHING, NOTHING)


def _inputs(lead: OutputLead) -> tuple[Input, ...]:
    """Output, cable and fuse as inputs of a sum."""
    it = lead.accessory
    assert it.lead_cable is not None  # only such leads are reckoned
    back = say("by the body") if it.lead_back is None else cable_words(it.lead_back)
    guard = say("no fuse") if it.lead_fuse is None else fuse_words(it.lead_fuse)
    return (
        (say("Converter output"), Amount(lead.volts, "V")),
        (say("Out"), cable_words(it.lead_cable)),
        (say("Back"), back),
        (say("Protected by"), guard),
    )


def _fuse(a: Figures, lead: OutputLead, fuse: Fuse) -> Limit:
    rule = a.rules["continuous_share"]
    title = say("Fuse of “{accessory}” at the converter", accessory=lead.accessory.name)
    hop = _hop(
        "output_fuse",
        lead,
        title,
        say("current"),
        "A",
        (lead.known.load_a, lead.most.load_a),
        lead.fuse_limit_a,
        Basis(
            say("what flows behind the converter; what a fuse carries for long where it sits"),
            (*_inputs(lead), (rule.label, rule.value)),
            rule.source,
        ),
        facts.fuse_ground(fuse.family, fuse.rating),
        least=lead.fuse_least_a,
    )
    what = say("The fuse behind the converter carries more than it may for long.")
    remedy = say("Fit the next larger fuse that the cable bears.")
    breach = Breach("caution", what, rule.label, remedy)
    return Limit(hop, "output_fuse_overloaded", breach, dangerous=False)


def _heat(a: Figures, lead: OutputLead, side: Literal["out", "back"]) -> Limit:
    at = ("out", "back").index(side)
    it = lead.accessory
    cable = it.lead_cable if side == "out" else it.lead_back
    assert cable is not None  # only such leads are reckoned
    title = (
        say("Cable behind the converter, {cable}", cable=cable_words(cable))
        if side == "out"
        else say("Cable back to the converter, {cable}", cable=cable_words(cable))
    )
    wire = facts.wire(cable.section_mm2, cable.insulation)
    current = (say("Current that warms it"), Amount(lead.known.load_a, "A"))
    hop = _hop(
        "output_heat" if side == "out" else "output_heat_back",
        lead,
        title,
        say("conductor temperature"),
        "°C",
        (lead.known.warm_c[at], lead.most.warm_c[at]),
        lead.limit_c[at],
        Basis(
            HEAT_SUM,
            (*_inputs(lead), current),
            heat_source(wire),
        ),
        "published",
    )
    breach = Breach(
        "stop",
        say("The cable behind the converter gets hotter than its insulation bears."),
        HEAT_RULE,
        THICKER,
    )
    return Limit(hop, "output_cable_too_hot", breach)


def _fault(a: Figures, lead: OutputLead) -> Limit:
    """The worse of both ways at the most that converter and fuse let pass."""
    rule, title = a.rules["converter_limit_times"], say("Cable behind the converter in a fault")
    breach = Breach(
        "stop",
        say("In a fault the cable behind the converter gets too hot before anything opens."),
        rule.label,
        say(
            "Put a fuse at the converter's output that the cable bears, or use a cable that bears "
            "all that the converter gives."
        ),
    )
    code = "output_cable_unprotected"
    if not lead.bounded:
        return Limit(_blind("output_fault", lead.accessory, title, UNBOUNDED), code, breach)
    limits = np.array(lead.fault_limit_c)
    over = np.nan_to_num(np.array(lead.most.fault_c) - limits, nan=-np.inf)
    at = int(over.argmax())
    hop = _hop(
        "output_fault",
        lead,
        title,
        say("conductor temperature"),
        "°C",
        (lead.known.fault_c[at], lead.most.fault_c[at]),
        lead.fault_limit_c[at],
        Basis(
            say(
                "the less of what the converter gives into a short and what its fuse lets pass; "
                "the conductor's temperature at that"
            ),
            (*_inputs(lead), (rule.label, Amount(rule.value, rule.unit))),
            rule.source,
        ),
        _fault_ground(a, lead),
    )
    return Limit(hop, code, breach)


def _fault_ground(a: Figures, lead: OutputLead) -> Ground:
    fuse = lead.accessory.lead_fuse
    if fuse is None:
        return a.rules["converter_limit_times"].ground
    found = facts.protection(fuse.family, fuse.rating, a.rule("overload_multiple"))
    return "published" if found.published else "analogy"


def _drop(a: Figures, lead: OutputLead) -> Limit:
    rule = a.rules["allowed_drop_share"]
    hop = _hop(
        "output_drop",
        lead,
        say("Voltage drop behind the converter"),
        say("voltage drop"),
        "V",
        (lead.known.drop_v, lead.most.drop_v),
        rule.value * lead.volts,
        Basis(
            say("current × (fuse + cable out + return), cables at working temperature"),
            (*_inputs(lead), (say("Current"), Amount(lead.known.load_a, "A"))),
            rule.source,
        ),
        a.rules["allowed_drop_share"].ground,
    )
    return Limit(hop, "output_drop", _costs_too_much(rule.label), dangerous=False)


def _costs_too_much(rule: Text) -> Breach:
    return Breach(
        "caution",
        say("The cable behind the converter costs too much voltage."),
        rule,
        say(
            "Put the converter nearer to what hangs on it: on its other side the same "
            "cable costs half or less. Or use a thicker cable."
        ),
    )


def _voltage(a: Figures, lead: OutputLead, least_v: float) -> Limit:
    hop = _hop(
        "output_voltage",
        lead,
        say("Voltage at “{accessory}”", accessory=lead.accessory.name),
        say("voltage"),
        "V",
        (lead.known.voltage_v, lead.most.voltage_v),
        least_v,
        Basis(
            say("the converter's output less the drop on both ways"),
            (*_inputs(lead), (say("Least it needs"), given(least_v, "V"))),
            say("the accessory's own minimum, as entered"),
        ),
        "user",
        at_most=False,
    )
    breach = _costs_too_much(say("the accessory's own minimum voltage"))
    return Limit(hop, "output_drop", breach, dangerous=False)
