"""The checks of all hops: every tap that passes a limit of its chain.

What that means is said where the limit is, in `assess.hops`; this adds the place and the sum. A
limit of a whole slot or converter is told once, by their own checks.
"""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment, Hop
from fusemap.assess.hops import HOPS
from fusemap.checks.finding import Finding
from fusemap.checks.shared import tap_finding
from fusemap.text import Amount, Text, in_row, run_on, say
from fusemap.vehicle import Vehicle
from fusemap.vehicle.words import STATE


def dangers(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Every tap that passes a limit beyond which something may burn or fail."""
    return _limits_passed(a, dangerous=True)


def nuisances(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Every tap that passes a limit beyond which something does not work as it should."""
    return _limits_passed(a, dangerous=False)


def _limits_passed(a: Assessment, *, dangerous: bool) -> Iterator[Finding]:
    for kind in HOPS if a.hops else ():
        if not kind.code or kind.dangerous is not dangerous:
            continue
        for column in np.flatnonzero(a.hops[kind.key].broken):
            tap = a.circuit.taps.taps[column]
            breach = kind.breach(a.chains.view(tap.id))
            shown = next(hop for hop in a.chains[tap.id].hops if hop.key == kind.key)
            yield tap_finding(
                a,
                tap,
                code=kind.code,
                severity=breach.severity,
                what=breach.what,
                sum=_sum(shown),
                rule=breach.rule,
                source=shown.basis.source,
                remedy=breach.remedy,
                formula=shown.basis.formula,
            )


def _sum(hop: Hop) -> Text:
    """The limit that is passed, the state it is passed in, and what went into the sum."""
    figures = {"load": Amount(hop.load, hop.unit), "limit": Amount(hop.limit, hop.unit)}
    passed = say("{load} > {limit}" if hop.at_most else "{load} < {limit}", **figures)
    if hop.state is not None:
        passed = say("{passed} ({state})", passed=passed, state=STATE[hop.state].label)
    if not hop.basis.inputs:
        return passed
    inputs = in_row(run_on(name, value) for name, value in hop.basis.inputs)
    return run_on(passed, inputs, between="; ")
