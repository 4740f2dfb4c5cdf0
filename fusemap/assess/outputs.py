"""The lead between a converter's output and what hangs on it: warmth, drop, and what protects it.

A converter holds its output's voltage and gives no more than a multiple of its rating, whatever is
shorted: a cable that bears that for good needs no fuse, and a fuse larger than that never opens.
In: the accessories behind converters, with their leads. Out: plain figures, one `OutputLead` each;
what is not known has NaN. A lead without its own way back returns by the body.
"""

from dataclasses import dataclass
from math import inf, nan

import numpy as np

from fusemap.assess import facts
from fusemap.assess.cables import MELTED_C, Runs, runs
from fusemap.assess.converters import Supplied
from fusemap.assess.figures import Figures
from fusemap.assess.sources import ambient, fuse_mohm
from fusemap.electrics.loads import LOAD_EXPONENTS
from fusemap.electrics.protection import overload_gap
from fusemap.vehicle import Accessory

STEPS = 60
"""Rounds until voltage and current of a load agree; each halves what is left."""


@dataclass(frozen=True, slots=True)
class OutputLead:
    """One lead behind a converter, at the most that it may carry.

    `load_a` [A] flows, `fuse_limit_a` [A] is what its fuse carries for long, infinite without one;
    `warm_c` and `limit_c` [°C] are the conductor's at that load, `fault_c` [°C] the hottest it gets
    at what converter and fuse let pass, against `fault_limit_c`; `drop_v` [V] is lost on both ways,
    `voltage_v` [V] is left. `bounded` says whether anything bounds a fault at all.
    """

    accessory: Accessory
    converter: Accessory
    load_a: float
    fuse_limit_a: float
    warm_c: float
    limit_c: float
    fault_c: float
    fault_limit_c: float
    drop_v: float
    voltage_v: float
    bounded: bool


def output_leads(a: Figures) -> tuple[OutputLead, ...]:
    """All leads behind converters of which the cable is entered."""
    supplied = a.most.circuit.taps.behind.supplied
    return tuple(_lead(a, each) for each in supplied if each.accessory.lead_cable is not None)


def _lead(a: Figures, supplied: Supplied) -> OutputLead:
    it, rules = supplied.accessory, a.rule_values
    out = runs([it.lead_cable], rules)
    back = runs([it.lead_back], rules)
    both = [run for run in (out, back) if run.given.any()]
    asked = float(supplied.drawn_a.max())
    load, volts = _meets(a, supplied, asked, both)
    warm = [(float(run.temperature_c(np.array([load]))[0]), float(run.limit_c[0])) for run in both]
    hottest = max(warm, key=lambda pair: pair[0] - pair[1])
    faults = [(_fault_c(a, supplied, run, load), float(run.overload_limit_c[0])) for run in both]
    fault = max(faults, key=lambda pair: pair[0] - pair[1])
    rated = supplied.converter.converter
    return OutputLead(
        it,
        supplied.converter,
        load,
        _fuse_limit(a, it),
        *hottest,
        *fault,
        supplied.volts - volts,
        volts,
        it.lead_fuse is not None or (rated is not None and rated.rating_a is not None),
    )


def _fuse_limit(a: Figures, it: Accessory) -> float:
    if it.lead_fuse is None or it.lead_cable is None:
        return inf
    warm = ambient(it.lead_cable.place, a.rule_values)
    share = a.rule("continuous_share")
    return facts.fuse_limit(it.lead_fuse.family, it.lead_fuse.rating, warm, share)


def _meets(a: Figures, supplied: Supplied, asked_a: float, both: list[Runs]) -> tuple[float, float]:
    """Current [A] and voltage [V] at the thing; where it asks more than can flow, all that can."""
    exponent = LOAD_EXPONENTS[supplied.accessory.load_kind]
    fixed = fuse_mohm(supplied.accessory.lead_fuse, most=True) / 1000
    if len(both) == 1:
        fixed += a.rule("body_return_mohm") / 1000
    current, volts = asked_a, supplied.volts
    for _ in range(STEPS):
        flows = np.array([current])
        ohm = sum(float(run.ohm(np.minimum(run.temperature_c(flows), MELTED_C))[0]) for run in both)
        volts = supplied.volts - current * (ohm + fixed)
        if volts <= 0.0:
            return supplied.volts / (ohm + fixed), 0.0
        wanted = asked_a * (volts / supplied.volts) ** exponent
        current = (current + wanted) / 2
    return current, volts


def _fault_c(a: Figures, supplied: Supplied, run: Runs, load_a: float) -> float:
    """The hottest a conductor gets at what its converter and its fuse let pass [°C]."""
    found = [inf]
    rated, fuse = supplied.converter.converter, supplied.accessory.lead_fuse
    if rated is not None and rated.rating_a is not None:
        most = rated.rating_a * a.rule("converter_limit_times")
        found.append(float(run.temperature_c(np.array([most]))[0]))
    if fuse is not None:
        multiple = a.rule("overload_multiple")
        times, seconds = np.array(facts.protection(fuse.family, fuse.rating, multiple).overloads).T
        gap = overload_gap(
            fuse.rating,
            seconds,
            run.overload_limit_c[0],
            run.r20_mohm_per_m[0],
            run.area_mm2[0],
            run.od_mm[0],
            run.ambient_c[0],
            multiple=times,
            start_c=run.temperature_c(np.array([load_a]))[0],
        )
        found.append(float(np.max(gap.found)))
    coolest = min(found)
    return coolest if coolest < inf else nan
