"""What ends a standing and how likely a start is, as data of the command `parked`.

In: an assessed vehicle and its band. Out: the keys that `parked` tells of them.
"""

from datetime import datetime
from math import isfinite
from typing import Final

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.parked.band import ParkedBand
from fusemap.assess.parked.ends import at_words, standing_end, verdict_as_planned
from fusemap.assess.parked.learning import Learned
from fusemap.assess.parked.weather import moment
from fusemap.terminal.command import Data, plain

CHANCES: Final = 25
"""Points of the chance of a start over the whole time."""


def end_data(a: Assessment, band: ParkedBand) -> Data:
    """What ends it, whether the time planned fits, and the chance of a start over the days."""
    parked, parking = a.parked, a.vehicle.parking
    planned_h, end = parking.stand_days * 24, standing_end(a, parked, band.middle)
    at_h = np.linspace(0.0, parked.forecast.horizon_h, CHANCES)
    return {
        "locked_at": _iso(moment(parking, 0.0)),
        "ends_at": _iso(moment(parking, end.hours)) if isfinite(end.hours) else None,
        "verdict": verdict_as_planned(a, parked, band),
        "end": {
            "kind": end.kind,
            "hours": plain(end.hours),
            "soc": plain(end.soc),
            "words": end.words,
            "as_planned": at_words(a, parked, band.middle, planned_h),
        },
        "chance_over_time": {
            "hours": [plain(each) for each in at_h],
            "share": [plain(each) for each in band.chances(at_h)],
        },
        "learned": None if band.learned is None else _learned_data(band.learned, band.draws),
        "in_doubt": list(band.in_doubt),
    }


def _iso(when: datetime | None) -> str | None:
    return None if when is None else when.isoformat(timespec="minutes")


def _learned_data(learned: Learned, draws: int) -> Data:
    return {
        "readings": learned.readings,
        "effective": plain(learned.effective / draws),
        "widened": learned.widened,
        "contradicts": list(learned.contradicts),
        "narrowed": [
            {
                "key": each.key,
                "unit": each.unit,
                "before": [plain(value) for value in each.before],
                "after": [plain(value) for value in each.after],
            }
            for each in learned.narrowed
        ],
        "words": list(learned.words),
    }
