"""Whether the usual driving puts back what standing takes: the week's balance of a vehicle.

In: an assessed vehicle with drives. Out: `WeekFigures` - where the charge settles week after week,
its lowest, the minutes of driving a day that hold it, at low, typical and high charge acceptance -
and that in words. What a battery accepts is the least known figure here (from memory, unverified),
so it is spread: 0.4 to 1.3 of its capacity per hour and full lack.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING, Final

import numpy as np

from fusemap.assess.battery import battery_model
from fusemap.assess.parked import parked_draws
from fusemap.assess.starting import start_need
from fusemap.electrics.charging import ChargeAcceptance
from fusemap.electrics.driving import Drive, week_balance
from fusemap.errors import InputProblem
from fusemap.units import duration, percent, quantity
from fusemap.vehicle import WEEKDAYS

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment

ACCEPTANCE: Final = (0.4, 0.8, 1.3)
"""Low, typical and high rate of charge acceptance [1/h], from memory, unverified."""
UNVERIFIED: Final = (
    "What a battery accepts on the road is from memory, unverified; cut-offs are left aside here."
)
TYPICAL: Final = 1


@dataclass(frozen=True, slots=True)
class WeekFigures:
    """A usual week, each figure at low, typical and high acceptance.

    `settled_soc` and `lowest_soc` [-] once it has settled, `nan` where it runs flat; `hold_min`
    [min] of driving a day that hold the start charge, infinite where none does. `minutes` driven a
    week, `spare_a` [A] what the alternator has to spare, `start_soc` what is needed to start.
    """

    settles: tuple[bool, bool, bool]
    settled_soc: tuple[float, float, float]
    lowest_soc: tuple[float, float, float]
    hold_min: tuple[float, float, float]
    stored_ah: float
    taken_ah: float
    minutes: float
    spare_a: float
    start_soc: float
    assumed: tuple[str, ...]

    @property
    def starts(self) -> bool:
        """Whether the charge stays above what a start needs, at typical acceptance."""
        return self.settles[TYPICAL] and self.lowest_soc[TYPICAL] >= self.start_soc


def week_figures(a: Assessment) -> WeekFigures | None:
    """The usual week of a vehicle; `None` where no drives were entered.

    Raises InputProblem where drives overlap.
    """
    parking = a.vehicle.parking
    if not parking.drives:
        return None
    model = battery_model(a.vehicle.battery, a.vehicle.system_v)
    spare = a.rule("alternator_spare_a") if parking.spare_a is None else parking.spare_a
    assumed = []
    if parking.spare_a is None:
        assumed.append(f"the alternator has {quantity(spare, 'A')} to spare on the road")
    target = a.rule("charge_target_soc")
    found = week_balance(
        model.wells,
        min(model.start_soc, target),
        _drives(a),
        parked_draws(a, model).all,
        spare,
        temperature_c=parking.temperature_c,
        acceptance=ChargeAcceptance(rate_per_h=np.array(ACCEPTANCE), target_soc=target),
    )
    return WeekFigures(
        settles=_three(found.settles, bool),
        settled_soc=_three(found.settled_soc, float),
        lowest_soc=_three(found.settled_lowest_soc, float),
        hold_min=_three(found.hold_min, float),
        stored_ah=_three(found.stored_ah, float)[TYPICAL],
        taken_ah=_three(found.taken_ah, float)[TYPICAL],
        minutes=sum(drive.minutes * len(set(drive.weekdays)) for drive in parking.drives),
        spare_a=spare,
        start_soc=start_need(a, model).soc,
        assumed=(*assumed, UNVERIFIED),
    )


def _drives(a: Assessment) -> tuple[Drive, ...]:
    return tuple(
        Drive(d.start_h, d.minutes, tuple(sorted({WEEKDAYS.index(day) for day in d.weekdays})))
        for d in a.vehicle.parking.drives
    )


def _three(values: object, kind: type) -> tuple:  # type: ignore[type-arg]
    """Low, typical, high of one figure; one that does not hang on the acceptance stands thrice."""
    return tuple(kind(value) for value in np.broadcast_to(np.asarray(values), (len(ACCEPTANCE),)))


def week_words(week: WeekFigures | None) -> str:
    """The week in a sentence or two; nothing where there is none."""
    if week is None:
        return ""
    low, high = _ends(week.settled_soc)
    if not any(week.settles):
        head = "The usual driving does not put it back: week by week the battery runs flat."
    elif not all(week.settles):
        head = (
            "The usual driving puts it back only if the battery accepts charge well: it settles at "
            f"{percent(high)} at most, or runs flat."
        )
    else:
        span = (
            percent(high)
            if percent(low) == percent(high)
            else f"{low * 100:.0f} to {percent(high)}"
        )
        head = f"With the usual driving the charge settles at {span} at the end of the week"
        lowest = week.lowest_soc[TYPICAL]
        enough = "enough" if week.starts else "too little"
        head += f" and falls to {percent(lowest)} at the lowest, {enough} to start."
    return f"{head} {hold_words(week)}"


def hold_words(week: WeekFigures) -> str:
    """How much driving would hold the charge."""
    low, high = _ends(week.hold_min)
    if not isfinite(low):
        return "No driving within a day would hold the charge it is parked with."
    least = duration(low / 60)
    if not isfinite(high):
        return f"To hold the charge it is parked with takes at least {least} of driving a day."
    most = duration(high / 60)
    span = least if least == most else f"{least.split()[0]} to {most}"
    if least.split()[-1].rstrip("s") != most.split()[-1].rstrip("s"):
        span = f"{least} to {most}"
    return f"To hold the charge it is parked with takes {span} of driving a day, in one go."


def _ends(values: tuple[float, ...]) -> tuple[float, float]:
    known = [value for value in values if value == value]
    return (min(known), max(known)) if known else (float("nan"), float("nan"))


def checked_week(a: Assessment) -> tuple[WeekFigures | None, str]:
    """The week and its words; where drives overlap no week, and why."""
    try:
        week = a.week
    except InputProblem as problem:
        return None, f"The usual week cannot be reckoned: {problem}."
    return week, week_words(week)
