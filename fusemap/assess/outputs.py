"""The lead between a converter's output and what hangs on it: warmth, drop, and what protects it.

A converter holds its output's voltage and gives no more than a multiple of its rating, whatever is
shorted: a cable that bears that for good needs no fuse, and a fuse larger than that never opens.
In: the accessories behind converters, with their leads. Out: plain figures, one `OutputLead` each,
at both ends of what flows; what is not known has NaN. A lead without its own way back returns by
the body.
"""

from math import inf, nan

import numpy as np
from msgspec import Struct

from fusemap.assess import facts
from fusemap.assess.converters import Supplied
from fusemap.assess.figures import Figures
from fusemap.assess.runs import Runs, runs
from fusemap.assess.sources import ambient, warmest
from fusemap.vehicle import Accessory


class LeadEnd(Struct, frozen=True):
    """What one lead bears at one end of what flows.

    `load_a` [A] flows; `warm_c` and `fault_c` [°C] are its conductors', out and back (NaN where it
    returns by the body), at that load and at the most that converter and fuse let pass; `drop_v`
    [V] is lost on both ways, `voltage_v` [V] is left.
    """

    load_a: float
    warm_c: tuple[float, float]
    fault_c: tuple[float, float]
    drop_v: float
    voltage_v: float


class OutputLead(Struct, frozen=True):
    """One lead behind a converter: what it bears at both ends, and what it may.

    `volts` [V] is the output's; `fuse_limit_a` [A] is what its fuse carries for long, infinite
    without one, `fuse_least_a` in the sun; `limit_c` and `fault_limit_c` [°C] are what its
    insulation bears for good and in a fault, out and back. `bounded` says whether anything bounds a
    fault at all.
    """

    accessory: Accessory
    converter: Accessory
    volts: float
    known: LeadEnd
    most: LeadEnd
    fuse_limit_a: float
    fuse_least_a: float
    limit_c: tuple[float, float]
    fault_limit_c: tuple[float, float]
    bounded: bool


def output_leads(a: Figures) -> tuple[OutputLead, ...]:
    """All leads behind converters of which the cable is entered, in the order of the current."""
    known, most = (end.circuit.taps.behind.supplied for end in (a.known, a.most))
    return tuple(
        _lead(a, low, high)
        for low, high in zip(known, most, strict=True)
        if low.accessory.lead_cable is not None
    )


def _lead(a: Figures, known: Supplied, most: Supplied) -> OutputLead:
    it = known.accessory
    ways = (it.lead_cable, it.lead_back)
    out, back = (runs([cable], a.rule_values) for cable in ways)
    warm = warmest(a.vehicle, a.rule_values)
    warm_out, warm_back = (runs([cable], warm) for cable in ways)
    rated = known.converter.converter
    return OutputLead(
        it,
        known.converter,
        known.volts,
        _end(a, known, (out, back)),
        _end(a, most, (warm_out, warm_back)),
        _fuse_limit(it, a.rule_values),
        _fuse_limit(it, warm),
        (float(out.limit_c[0]), float(back.limit_c[0])),
        (float(out.overload_limit_c[0]), float(back.overload_limit_c[0])),
        it.lead_fuse is not None or (rated is not None and rated.rating_a is not None),
    )


def _end(a: Figures, supplied: Supplied, ways: tuple[Runs, Runs]) -> LeadEnd:
    at = int(supplied.drawn_a.argmax())
    load, volts = float(supplied.drawn_a[at]), float(supplied.left_v[at])
    out, back = (float(way.temperature_c(np.array([load]))[0]) for way in ways)
    faults = tuple(_fault_c(a, supplied, way, load) for way in ways)
    return LeadEnd(load, (out, back), (faults[0], faults[1]), supplied.volts - volts, volts)


def _fuse_limit(it: Accessory, rules: dict[str, float]) -> float:
    if it.lead_fuse is None or it.lead_cable is None:
        return inf
    warm, share = ambient(it.lead_cable.place, rules), rules["continuous_share"]
    return facts.fuse_limit(it.lead_fuse.family, it.lead_fuse.rating, warm, share)


def _fault_c(a: Figures, supplied: Supplied, run: Runs, load_a: float) -> float:
    """The hottest a conductor gets at what its converter and its fuse let pass [°C]; NaN: none."""
    if not run.given.any():
        return nan
    found = [inf]
    rated, fuse = supplied.converter.converter, supplied.accessory.lead_fuse
    if rated is not None and rated.rating_a is not None:
        most = rated.rating_a * a.rule("converter_limit_times")
        found.append(float(run.temperature_c(np.array([most]))[0]))
    if fuse is not None:
        before = float(run.temperature_c(np.array([load_a]))[0])
        found.append(run.overload_c(0, fuse, a.rule("overload_multiple"), before))
    return min(found)
