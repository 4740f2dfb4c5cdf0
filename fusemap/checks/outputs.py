"""Checks at the leads behind converters: warmth, drop, fuse, and whether anything protects them.

What passing a limit means is said where the limit is, in `assess.hops.output`; this adds the place
and the sum.
"""

from collections.abc import Iterator

from fusemap.assess import Assessment
from fusemap.assess.hops.limit import Limit
from fusemap.assess.words import cable_words
from fusemap.checks.finding import (
    PRACTICE,
    Finding,
    accessory_finding,
    between,
    passed,
)
from fusemap.text import say
from fusemap.vehicle import Accessory, Vehicle, look_up


def lead_dangers(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A lead behind a converter that gets too hot at its load, or that nothing protects."""
    for it, limits in _leads(vehicle, a):
        over = [each for each in limits if each.dangerous and each.hop.verdict == "fails"]
        for limit in over[:1]:  # one too hot at its load is too hot in a fault as well
            yield _passed(vehicle, it, limit)
        for limit in limits:
            if limit.hop.key == "output_fault" and limit.hop.verdict == "unchecked" and not over:
                yield _unbounded(vehicle, it, limit)


def lead_nuisances(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A lead behind a converter whose fuse is too small, or that costs too much voltage."""
    for it, limits in _leads(vehicle, a):
        told = set()
        for limit in limits:
            if limit.dangerous or limit.hop.verdict != "fails" or limit.code in told:
                continue
            told.add(limit.code)
            yield _passed(vehicle, it, limit)


def lead_may_not_hold(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A lead behind a converter that may pass one of its limits."""
    for it, limits in _leads(vehicle, a):
        for hop in (limit.hop for limit in limits if limit.hop.verdict == "may_not_hold"):
            yield _at(
                vehicle,
                it,
                code="output_may_not_hold",
                severity="caution",
                what=say("May not hold: {hop}.", hop=hop.title),
                sum=between(hop),
                rule=hop.basis.formula,
                source=hop.basis.source,
                remedy=say("Enter or measure what is not known; the chain says what that is."),
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


def _leads(vehicle: Vehicle, a: Assessment) -> Iterator[tuple[Accessory, tuple[Limit, ...]]]:
    for accessory_id, limits in a.beside.outputs.items():
        yield look_up.accessory(vehicle, accessory_id), limits


def _at(vehicle: Vehicle, it: Accessory, **said: object) -> Finding:
    converter = look_up.accessory(vehicle, it.supplied_by or "")
    return accessory_finding(it, behind=converter, **said)  # type: ignore[arg-type]


def _passed(vehicle: Vehicle, it: Accessory, limit: Limit) -> Finding:
    breach, hop = limit.breach, limit.hop
    return _at(
        vehicle,
        it,
        code=limit.code,
        severity=breach.severity,
        what=breach.what,
        sum=passed(hop),
        rule=breach.rule,
        source=hop.basis.source,
        remedy=breach.remedy,
        formula=hop.basis.formula,
    )


def _unbounded(vehicle: Vehicle, it: Accessory, limit: Limit) -> Finding:
    assert it.lead_cable is not None  # only such leads are reckoned
    return _at(
        vehicle,
        it,
        code=limit.code,
        severity="caution",
        what=say("Nothing is known that protects the cable behind the converter."),
        sum=say(
            "{cable}, {fuse}, the converter's rating unknown",
            cable=cable_words(it.lead_cable),
            fuse=say("no fuse"),
        ),
        rule=limit.breach.rule,
        source=PRACTICE,
        remedy=limit.breach.remedy,
    )
