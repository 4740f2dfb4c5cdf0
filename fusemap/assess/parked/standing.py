"""What the parked forecasts reckon with: everything on the shelf, and the charge at the start.

In: an assessed vehicle, and its usual week where it has one. Out: `Standing`. What is not placed
yet is on a feed of its own from the battery, live always: what is not known is never nothing. Where
no reading says how full the battery is, it is as full as the usual driving leaves it.
"""

from __future__ import annotations

from functools import cached_property
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from fusemap.assess.battery import BatteryModel, battery_model
from fusemap.assess.figures import Figures
from fusemap.assess.parked.unplaced import not_placed, with_all
from fusemap.assess.parked.week import TYPICAL, WeekFigures, checked_week, week_figures
from fusemap.assess.parked.who import ParkedDraws, parked_draws
from fusemap.electrics.spread import Range
from fusemap.text import Amount, say, share

FLAT: Final = 0.2
"""Charge at the low end where a week may run the battery flat [-], ours."""


class Standing(Struct, frozen=True, eq=False):
    """The figures of the vehicle with all its accessories, its battery when locked, who draws.

    `unplaced` are the ids of the accessories that have no source yet.
    """

    figures: Figures
    model: BatteryModel
    who: ParkedDraws
    unplaced: tuple[str, ...]


class Parked(Figures, frozen=True, eq=False, dict=True):
    """The figures of a vehicle with what its forecasts need, each reckoned when first asked for."""

    @cached_property
    def week(self) -> WeekFigures | None:
        """The usual week of drives, `None` without any. Raises InputProblem where they overlap."""
        return week_figures(self)

    @cached_property
    def standing(self) -> Standing:
        """What the parked forecasts reckon with."""
        unplaced = not_placed(self.vehicle)
        figures = with_all(self, unplaced)
        model = battery_model(self.vehicle.battery, self.vehicle.system_v)
        if "charge" not in model.measured:
            model = as_driven(model, checked_week(self)[0])
        return Standing(figures, model, parked_draws(figures, model), unplaced)


def as_driven(model: BatteryModel, week: WeekFigures | None) -> BatteryModel:
    """The battery as full as the usual week leaves it, where nothing was entered or read."""
    if week is None or not any(week.settles):
        return model
    ends = _settled(week)
    assumed = tuple(each for each in model.assumed if each is not model.charge_words)
    low, high = Amount(ends[0] * 100, significant=2), share(ends[2])
    words = say(
        "charged to {charge} when locked ({low} to {high}): what the usual driving leaves",
        charge=share(ends[1]),
        low=low,
        high=high,
    )
    ranges = {**model.ranges, "charge": ends}
    return replace(
        model, start_soc=ends[1], ranges=ranges, assumed=(*assumed, words), charge_words=words
    )


def _settled(week: WeekFigures) -> Range:
    """Where the charge settles [-]; where it may run flat the low end says so."""
    known = [soc for soc, settles in zip(week.settled_soc, week.settles, strict=True) if settles]
    low = min(known) if all(week.settles) else min(FLAT, *known)
    typical = week.settled_soc[TYPICAL] if week.settles[TYPICAL] else min(known)
    return low, typical, max(known)
