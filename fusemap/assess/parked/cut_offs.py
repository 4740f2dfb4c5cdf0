"""Low-voltage cut-offs of a parked vehicle: how long they let a load work, and which save a start.

In: the parked forecast and the battery's model. Out: hours [h] and volts [V].
"""

from math import ceil
from typing import Final

import numpy as np

from fusemap.assess.battery import BatteryModel
from fusemap.assess.parked.figures import ParkedFigures
from fusemap.assess.result import Floats
from fusemap.electrics.parked import CutOffResult

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
