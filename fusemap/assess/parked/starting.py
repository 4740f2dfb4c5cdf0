"""How much charge a start needs, and which low-voltage cut-offs leave that much.

In: an assessed vehicle and its battery model. Out: the least state of charge [-] with both opinions
there are, and how far they can be trusted; for cut-offs, hours [h] and volts [V].

Cranking: a rule of thumb (base and slope), and where the cold-cranking current is known a second
opinion from it; the higher of the two counts. Contactors of a hybrid or electric car: the least
voltage under load.
"""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import Final

import numpy as np

from fusemap.assess.battery import BatteryModel
from fusemap.assess.figures import Figures
from fusemap.assess.parked.figures import ParkedFigures, StartNeed
from fusemap.assess.result import Floats
from fusemap.electrics.battery import CrankLimit, TwoWell, soc_to_crank
from fusemap.electrics.parked import CutOffResult
from fusemap.electrics.values import Values, plain
from fusemap.text import Amount, Argument, Text, run_on, say, share


def coldest_c(a: Figures) -> float:
    """The coldest at which it has to start [°C]."""
    parking = a.vehicle.parking
    return parking.temperature_c if parking.coldest_c is None else parking.coldest_c


def start_need(a: Figures, model: BatteryModel) -> StartNeed:
    """What a start needs of this battery."""
    if a.vehicle.parking.starts_by == "contactors":
        return _contactor_need(a, model.wells)
    rule = a.rules["crank_soc_base"]
    cold = coldest_c(a)
    by_rule = float(np.asarray(crank_socs(a, 0.0, cold)))
    words = say(
        "{charge} by the rule of thumb at {temperature} (from memory; published figures run from "
        "30 to 67 %)",
        charge=share(by_rule),
        temperature=Amount(cold, "°C"),
    )
    known = _cold_cranking(a)
    if known is None:
        return StartNeed(min(1.0, by_rule), by_rule, None, words, rule.source)
    by_cca = float(np.asarray(soc_to_crank(known[0], _warm_a(a, model), cold)))
    words = run_on(words, _second_opinion(*known, by_rule, by_cca), between="; ")
    source = say(
        "{rule}; US Army TM 5-1185 and a trade text on battery testing, ours", rule=rule.source
    )
    return StartNeed(min(1.0, max(by_rule, by_cca)), by_rule, by_cca, words, source)


def _second_opinion(cca: float, whose: Text, by_rule: float, by_cca: float) -> Text:
    """What a cold-cranking current [A] says of the charge a start needs, and whether it counts."""
    gives: Argument = share(by_cca) if by_cca > 0 else say("hardly any")
    if by_cca > 1:
        gives = say("more than a full battery gives")
    parts = {"charge": gives, "whose": whose, "current": Amount(cca, "A")}
    if by_cca > by_rule:
        return say(
            "{charge} by {whose} cold cranking current of {current}, which counts as the higher",
            **parts,
        )
    return say("{charge} by {whose} cold cranking current of {current}", **parts)


def crank_socs(a: Figures, more: Values, cold_c: Values) -> Values:
    """The rule of thumb with its base moved by `more` [-], at a temperature [°C]."""
    base = np.clip(a.rule("crank_soc_base") + np.asarray(more), 0.0, 1.0)
    return CrankLimit(base, a.rule("crank_soc_slope_per_k")).soc(cold_c)


def crank_limit(a: Figures, soc: Values) -> CrankLimit:
    """The charge a start needs [-] as the forecast wants it, held at all temperatures meanwhile."""
    return CrankLimit(soc, 0.0, by_voltage=a.vehicle.parking.starts_by == "contactors")


def need_at(
    a: Figures, model: BatteryModel, wells: TwoWell, more: Values, cold_c: Values
) -> Values:
    """What a start needs [-] at another base and temperature [°C], for a Monte Carlo."""
    if a.vehicle.parking.starts_by == "contactors":
        return plain(np.clip(contactor_soc(a, wells, cold_c) + np.asarray(more), 0.0, 1.0))
    soc = np.asarray(crank_socs(a, more, cold_c))
    known = _cold_cranking(a)
    if known is not None:
        soc = np.maximum(soc, soc_to_crank(known[0], _warm_a(a, model), cold_c))
    return plain(np.clip(soc, 0.0, 1.0))


def _cold_cranking(a: Figures) -> tuple[float, Text] | None:
    """Cold-cranking current of all batteries in parallel [A], and whose figure it is."""
    battery = a.vehicle.battery
    if battery.measured_cca_a is not None:
        return battery.measured_cca_a * battery.parallel, say("a tester's")
    if battery.cca_a is not None:
        return battery.cca_a * battery.parallel, say("the label's")
    return None


def _warm_a(a: Figures, model: BatteryModel) -> float:
    """What the starter takes when warm [A]: measured, or by the size of the battery."""
    measured = a.vehicle.parking.cranking_a
    if measured is not None:
        return measured
    return a.rule("cranking_a_per_ah") * float(np.asarray(model.wells.capacity_ah))


def contactor_soc(a: Figures, wells: TwoWell, cold_c: Values) -> Values:
    """Charge [-] at which the battery just holds the contactors' voltage, at a temperature [°C].

    Below 25 °C no less than what the cold keeps inside the battery.
    """
    volts = a.rule("contactor_min_v") * wells.series
    load = volts + a.rule("contactor_load_a") * np.asarray(wells.terminal_ohm)
    soc = np.nan_to_num(np.asarray(wells.surface_soc_at(load)), posinf=1.0, neginf=0.0)
    kept = np.asarray(wells.soc(wells.empty_level_ah(cold_c)))
    return plain(np.clip(np.maximum(soc, kept), 0.0, 1.0))


def _contactor_need(a: Figures, wells: TwoWell) -> StartNeed:
    rule = a.rules["contactor_min_v"]
    middle = replace(wells, soh=float(np.asarray(wells.soh)))
    soc = float(np.asarray(contactor_soc(a, middle, coldest_c(a))))
    volts = rule.value * wells.series
    words = say(
        "{charge}: the contactors need {voltage} at {current}; no cranking (from memory, "
        "unverified)",
        charge=share(soc),
        voltage=Amount(volts, "V"),
        current=Amount(a.rule("contactor_load_a"), "A"),
    )
    return StartNeed(soc, soc, None, words, rule.source)


LEAST_WORK_H: Final = 3.0
"""A load that works for less than this, all in all [h], hardly works at all; ours."""
LEAST_SHARE: Final = 0.1
"""Unless it has taken this share of the capacity in that time, as a large load does [-]; ours."""


def saving_v(model: BatteryModel, crank_soc: float) -> float:
    """The lowest cut-off that leaves what a start needs, to a tenth of a volt upwards [V]."""
    volts = float(np.asarray(model.wells.ocv(crank_soc)))
    return ceil(volts * 10 - 1e-9) / 10


def work_h(parked: ParkedFigures, result: CutOffResult) -> float:
    """Hours for which a cut-off lets its load work, on and off, within the forecast [h]."""
    current = _own(parked, result).max(initial=0.0)
    return _taken_ah(parked, result) / current if current > 0 else 0.0


def hardly_works(parked: ParkedFigures, result: CutOffResult, capacity_ah: float) -> bool:
    """Whether a cut-off trips so early that its load might as well be off [Ah]."""
    trips = np.isfinite(result.first_trip_h)
    much = _taken_ah(parked, result) >= LEAST_SHARE * capacity_ah
    return bool(trips) and not much and work_h(parked, result) < LEAST_WORK_H


def _own(parked: ParkedFigures, result: CutOffResult) -> Floats:
    return np.asarray(parked.forecast.samples.current_a[parked.forecast.names.index(result.name)])


def _taken_ah(parked: ParkedFigures, result: CutOffResult) -> float:
    samples = parked.forecast.samples
    return float(samples.charge_ah[parked.forecast.names.index(result.name), -1])
