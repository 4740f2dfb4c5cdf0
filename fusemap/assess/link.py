"""The link between two batteries: what flows in it while the engine runs, its cable and fuses.

A battery stands at each end, so either can feed a short of it: each of the two fuses protects the
whole cable from its own end. In: the figures of a vehicle. Out: plain figures, one `Link`; what is
not known has NaN.

A DC-DC charger takes its own current and gives on what is left of it. Through a relay flows what
hangs on the second battery, and what that takes as charge: at its usual rate by what is known; at
the most, empty, at the highest rate. Of a LiFePO4 no rate is known: at the most it takes whatever
link and battery let pass. Neither is more than the voltage between alternator and battery drives
through both resistances.
"""

from math import inf
from typing import Final

import numpy as np
from msgspec import Struct

from fusemap.assess import facts
from fusemap.assess.battery import CHARGER_SHARE, second_model
from fusemap.assess.end import End
from fusemap.assess.figures import Figures
from fusemap.assess.runs import Runs, runs
from fusemap.assess.sources import SECOND, STARTER, ambient, fuse_mohm, warmest
from fusemap.assess.supply import RUNNING, link_ohm
from fusemap.electrics.charging import LEAST_OHM
from fusemap.electrics.driving import ChargeAcceptance
from fusemap.electrics.protection import adiabatic_k, short_check
from fusemap.vehicle import Fuse, SecondBattery

ACCEPTANCE: Final = (0.8, 1.3)
"""Usual and highest rate of charge acceptance of a lead battery [1/h], from memory."""
CHARGED_AT_C: Final = 20.0
"""The battery's temperature at which that is taken [°C]; ours."""


class Guard(Struct, frozen=True):
    """The fuse at one end: what flows there, known and at most, what it carries for long [A].

    `least_a` [A] it carries as warm as it may get there; `short_a` [A] flows in a short at the
    other end of the cable, fed from this one.
    """

    fuse: Fuse
    known_a: float
    most_a: float
    limit_a: float
    least_a: float
    short_a: float


class Heat(Struct, frozen=True):
    """Its cable: temperatures [°C] at the load, known and at most, in an overload; I²t [A²s]."""

    known_c: float
    most_c: float
    limit_c: float
    overload_c: float
    overload_limit_c: float
    through_a2s: float
    bears_a2s: float


class Link(Struct, frozen=True):
    """The link. `known_a` and `most_a` [A] flow in its cable; NaN where that cannot be said."""

    second: SecondBattery
    known_a: float
    most_a: float
    near: Guard | None
    far: Guard | None
    heat: Heat | None


def link_of(a: Figures) -> Link | None:
    """The link as entered; `None` without a second battery or where nothing is entered of it."""
    second = a.vehicle.second_battery
    if second is None or (second.link_cable, second.near_fuse, second.far_fuse) == (None,) * 3:
        return None
    known, most = _flows_a(a, a.known, second, 0), _flows_a(a, a.most, second, 1)
    most = max(known, most)
    passed = CHARGER_SHARE if second.link == "dcdc" else 1.0
    near = _guard(a, second, second.near_fuse, (known, most), far=False)
    far = _guard(a, second, second.far_fuse, (passed * known, passed * most), far=True)
    return Link(second, known, most, near, far, _heat(a, second, (known, most)))


def _flows_a(a: Figures, end: End, second: SecondBattery, rate: int) -> float:
    """What flows from the starter battery's side at one end of what is known [A]."""
    if second.link == "dcdc":
        return np.nan if second.charger_a is None else second.charger_a
    model = second_model(second, a.vehicle.system_v)
    own_v = second.rest_v if second.rest_v is not None else model.emf_v
    ohm = max(link_ohm(second, a.rule_values), LEAST_OHM)
    ohm += float(np.asarray(model.wells.terminal_ohm))
    hangs = float(end.currents.second_a[RUNNING])
    charging_v = a.rule("charging_v") * a.vehicle.system_v / 12
    driven = max(0.0, charging_v - own_v) / ohm
    taken = 0.0 if rate == 0 else driven
    if second.chemistry != "lifepo4":
        soc = model.start_soc if rate == 0 else a.rule("deep_discharge_soc")
        accepts = ChargeAcceptance(rate_per_h=ACCEPTANCE[rate])
        taken = float(accepts.limit_a(model.wells.capacity_ah, soc, CHARGED_AT_C))
    return hangs + min(taken, driven)


def _guard(
    a: Figures, second: SecondBattery, fuse: Fuse | None, flows_a: tuple[float, float], *, far: bool
) -> Guard | None:
    if fuse is None:
        return None
    rules, cable = a.rule_values, second.link_cable
    place = "engine_bay"
    if cable is not None:
        place = cable.stretches[-1].place if far else cable.place
    limit_a, least_a = (
        facts.fuse_limit(fuse.family, fuse.rating, ambient(place, each), rules["continuous_share"])
        for each in (rules, warmest(a.vehicle, rules))
    )
    root, circuit = (SECOND if far else STARTER), a.circuit
    ohm = circuit.inner_ohm()[root] + float(runs([cable], rules).fault_ohm()[0])
    ohm += (fuse_mohm(fuse, most=True) + rules["body_return_mohm"]) / 1000
    return Guard(
        fuse,
        *flows_a,
        limit_a,
        least_a,
        float(circuit.fault_v_at(np.array(root))) / ohm,
    )


def _heat(a: Figures, second: SecondBattery, flows_a: tuple[float, float]) -> Heat | None:
    if second.link_cable is None:
        return None
    run = runs([second.link_cable], a.rule_values)
    fuses = [fuse for fuse in (second.near_fuse, second.far_fuse) if fuse is not None]
    # what is above a fuse's rating does not last; an overload is held by itself
    lasts = np.fmax(flows_a[0], min((fuse.rating for fuse in fuses), default=inf))
    known, most = (_warm_c(run, each) for each in (flows_a[0], float(np.fmin(flows_a[1], lasts))))
    both = len(fuses) == 2
    multiple = a.rule("overload_multiple")
    found = [facts.protection(fuse.family, fuse.rating, multiple) for fuse in fuses]
    k = adiabatic_k(run.limit_c, run.short_end_c)
    return Heat(
        known,
        most,
        float(run.limit_c[0]),
        max(_overload_c(run, fuse, multiple, most) for fuse in fuses) if both else np.nan,
        float(run.overload_limit_c[0]),
        max(each.let_through_a2s for each in found) if both else np.nan,
        float(np.asarray(short_check(0.0, run.area_mm2, k).limit)[0]),
    )


def _warm_c(run: Runs, current_a: float) -> float:
    """Its conductor's temperature at a lasting current [°C]; NaN where that is not known."""
    if not np.isfinite(current_a):
        return np.nan
    return float(run.temperature_c(np.array([current_a]))[0])


def _overload_c(run: Runs, fuse: Fuse, multiple: float, start_c: float) -> float:
    """The hottest it gets at an overload that one of its fuses lets pass [°C]."""
    if start_c == inf:
        return inf
    before = float(run.ambient_c[0]) if start_c != start_c else start_c
    return run.overload_c(0, fuse, multiple, before)
