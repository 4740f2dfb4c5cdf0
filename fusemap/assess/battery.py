"""The vehicle's battery as the equations want it, and what had to be assumed for it."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from fusemap import tables
from fusemap.electrics import battery_fit
from fusemap.electrics.battery import TwoWell
from fusemap.errors import InputProblem
from fusemap.vehicle import Battery


@dataclass(frozen=True, eq=False)
class BatteryModel:
    """The two-well battery, its state of charge when locked, and the assumptions made."""

    wells: TwoWell
    start_soc: float
    assumed: tuple[str, ...]

    @property
    def emf_v(self) -> float:
        """Voltage at rest at the start charge [V]."""
        return float(self.wells.ocv(self.start_soc))


@lru_cache(maxsize=64)
def battery_model(battery: Battery, system_v: int) -> BatteryModel:
    """The model of a vehicle's battery, from what its label and readings say.

    Missing figures come from the chemistry's defaults and are named in `assumed`.
    """
    assumed: list[str] = []
    chemistry = tables.battery_chemistries()[battery.chemistry]
    capacity = _capacity(battery, assumed)
    fit = _wells(battery, chemistry, capacity, assumed)
    curve = tables.rest_voltage(battery.chemistry)
    soh = battery.soh
    if soh is None:
        soh = chemistry.soh
        assumed.append(f"health {soh:.0%} of the label (not measured)")
    ohm = chemistry.resistance_mohm_70ah / 1000 * 70.0 / capacity
    if battery.resistance_mohm is not None:
        ohm = battery.resistance_mohm / 1000
    wells = TwoWell(
        capacity_ah=capacity * battery.parallel,
        emf_soc=np.asarray(curve.soc),
        emf_v=np.asarray(curve.volts),
        soh=soh,
        r=fit.r,
        c=fit.c,
        k_per_h=fit.k_per_h,
        self_discharge_share_30d_20c=chemistry.self_discharge_share_30d_20c,
        doubling_k=chemistry.doubling_k,
        series=system_v // 12,
        resistance_ohm=ohm / battery.parallel,
        cold_loss_per_k=chemistry.cold_loss_per_k,
    )
    return BatteryModel(wells, _start_soc(battery, wells, chemistry, assumed), tuple(assumed))


def _capacity(battery: Battery, assumed: list[str]) -> float:
    if battery.capacity_ah is not None:
        return battery.capacity_ah
    if battery.reserve_min is not None:
        guess = battery_fit.capacity_from_reserve(battery.reserve_min)
    elif battery.cca_a is not None:
        guess = battery_fit.capacity_from_cca(battery.cca_a)
    else:
        assumed.append("capacity 60 Ah: the battery's label was not entered")
        return 60.0
    assumed.extend(guess.assumed)
    return float(guess.capacity_ah)


def _wells(
    battery: Battery,
    chemistry: tables.BatteryChemistry,
    capacity_ah: float,
    assumed: list[str],
) -> battery_fit.WellFit:
    if chemistry.k_per_h is None:
        return battery_fit.counting_wells(capacity_ah)
    if battery.reserve_min is not None and battery.capacity_ah is not None:
        try:
            fit = battery_fit.fit_reserve(capacity_ah, battery.reserve_min, chemistry.r)
        except InputProblem as problem:  # two figures on a label that cannot both be right
            assumed.append(f"the reserve capacity was left out: {problem.what}")
        else:
            assumed.extend(fit.assumed)
            return fit
    assumed.append(f"loss at high current as usual for {chemistry.name} (no reserve capacity used)")
    return battery_fit.default_wells(capacity_ah, chemistry.k_per_h, chemistry.r)


def _start_soc(
    battery: Battery,
    wells: TwoWell,
    chemistry: tables.BatteryChemistry,
    assumed: list[str],
) -> float:
    if battery.start_soc is not None:
        return battery.start_soc
    if battery.rest_v is not None:
        return float(np.asarray(wells.soc_from_rest_voltage(battery.rest_v)))
    assumed.append(f"charged to {chemistry.start_soc:.0%} when locked (no rest voltage measured)")
    return chemistry.start_soc
