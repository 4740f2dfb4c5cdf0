"""How warm a parked battery is, at which moment: the usual day, the coldest, days of the calendar.

In: an assessed vehicle, or its parking. Out: temperatures [°C] and moments.

Where the lowest of the night and the highest of the day are entered, a day runs between them on two
half cosines: lowest at 6, highest at 14 h (de Wit, Goudriaan and van Laar 1978, who take sunrise
and 14 h). The forecast itself needs one figure, since only the self-discharge and what the cold
keeps in an empty battery hang on it: for a leak that doubles with every few kelvins the mean of
such a day is exact at mean + d/ln 2 · ln I0(a·ln 2/d), a being half the swing and I0 the modified
Bessel function (Abramowitz and Stegun 9.6.16). What a start needs goes by the coldest.
"""

from __future__ import annotations

from datetime import datetime, time, timedelta
from math import log
from typing import Final

import numpy as np

from fusemap import tables
from fusemap.assess.figures import Figures
from fusemap.assess.result import Floats
from fusemap.electrics.spread import Range
from fusemap.vehicle import Parking

COLDEST_AT_H: Final = 6.0
WARMEST_AT_H: Final = 14.0
DAY_H: Final = 24.0


def swings(parking: Parking) -> bool:
    """Whether the lowest of the night and the highest of the day were entered."""
    return parking.night_c is not None and parking.day_c is not None


def typical_c(a: Figures) -> float:
    """The one temperature [°C] that stands for the whole standing."""
    parking = a.vehicle.parking
    if parking.night_c is None or parking.day_c is None:
        return parking.temperature_c
    half = (parking.day_c - parking.night_c) / 2.0
    doubling = tables.battery_chemistries()[a.vehicle.battery.chemistry].doubling_k
    more = doubling / log(2.0) * log(float(np.i0(half * log(2.0) / doubling)))
    return (parking.day_c + parking.night_c) / 2.0 + more


def coldest_c(a: Figures) -> float:
    """The coldest at which it has to start [°C]; not answered, what is usual."""
    return coldest_ends(a)[1]


def coldest_ends(a: Figures) -> Range:
    """Between what the coldest at which it has to start lies, and what is usual [°C].

    Where nobody answered it, the lowest night of as many days as are planned, as far below their
    mean as the table says, and no warmer than a usual night that was entered.
    """
    parking = a.vehicle.parking
    if parking.coldest_c is not None:
        return parking.coldest_c, parking.coldest_c, parking.coldest_c
    mean = typical_c(a)
    low, usual, high = (mean - each for each in _below_k(parking.stand_days))
    if parking.night_c is None or not swings(parking):
        return low, usual, high
    return min(low, parking.night_c), parking.night_c, parking.night_c


NIGHTS: Final = (2, 4, 7, 14, 30)
"""The lengths of a standing that the table has a row for [d]."""


def _below_k(days: float) -> Range:
    """How far the coldest night of so many days lies below their mean [K]: hard, usual, mild."""
    each = [tables.unanswered(f"coldest_{n}d") for n in NIGHTS]
    at = log(days) if days > 0 else log(NIGHTS[2])
    hard, usual, mild = (
        float(np.interp(at, np.log(NIGHTS), [getattr(row, key) for row in each]))
        for key in ("hard", "usual", "mild")
    )
    return hard, usual, mild


def air_c(parking: Parking, clock_h: Floats) -> Floats:
    """The temperature [°C] at hours of the clock [h]; the same all day where no swing is known."""
    clock_h = np.asarray(clock_h, dtype=float)
    if parking.night_c is None or parking.day_c is None:
        return np.full(clock_h.shape, parking.temperature_c)
    since = (clock_h - COLDEST_AT_H) % DAY_H
    rise = WARMEST_AT_H - COLDEST_AT_H
    turn = np.where(since < rise, since / rise, 1.0 + (since - rise) / (DAY_H - rise))
    return parking.night_c + (parking.day_c - parking.night_c) * (1.0 - np.cos(np.pi * turn)) / 2.0


def moment(parking: Parking, hours: float) -> datetime | None:
    """The moment so many hours [h] after locking; `None` where no day was named."""
    if not parking.locked_on:
        return None
    day = datetime.fromisoformat(parking.locked_on).date()
    try:
        return datetime.combine(day, time()) + timedelta(hours=parking.locked_at_h + hours)
    except OverflowError:  # beyond the years a calendar has
        return None
