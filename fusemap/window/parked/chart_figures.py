"""Everything the chart of the parked battery draws, as plain figures and words. No Qt, no model.

In: the forecasts with their bands, as it is and with what is ticked. Out: `ChartFigures`: curves in
per cent over hours since locking on, how long it starts for, what a start needs, the plan.
"""

from datetime import date, datetime
from math import inf, isfinite
from typing import Final, Literal

import numpy as np
from msgspec import Struct

from fusemap.assess.parked.band import ParkedBand
from fusemap.assess.parked.figures import ParkedFigures
from fusemap.assess.parked.standing import Parked
from fusemap.assess.parked.start_spans import start_case
from fusemap.assess.result import Floats
from fusemap.text import Text, many, say
from fusemap.window.parked.parked_words import Happening, at, happenings
from fusemap.window.parked.time_axis import locked_when

Key = Literal["now", "ticked", "second"]
FAR: Final = 6.0
"""Of a plan three times as far off as this against the answer, only this much is shown at first."""


class Case(Struct, frozen=True):
    """A forecast with its band: as it is, or with what is ticked.

    Where nothing was said of the battery, all of it is a guess.
    """

    parked: ParkedFigures
    band: ParkedBand
    battery_said: bool = True


class Course(Struct, frozen=True, eq=False):
    """One battery's charge: typical [%, (n,)] over hours [h, (n,)], band [%, (m,)] over its own.

    `ends_h` are the hours [h] at which 5, 50 and 95 % of such vehicles no longer start, infinite
    past the horizon; none for a battery that starts nothing.
    """

    key: Key
    name: Text
    hours: Floats
    percent: Floats
    band_h: Floats | None = None
    low: Floats | None = None
    high: Floats | None = None
    ends_h: tuple[float, float, float] | None = None

    def charge(self, hour: float) -> float:
        """Charge at a moment [%]."""
        return at(self.hours, self.percent, hour)

    def between(self, hour: float) -> tuple[float, float] | None:
        """The band at a moment [%]."""
        if self.band_h is None or self.low is None or self.high is None:
            return None
        return at(self.band_h, self.low, hour), at(self.band_h, self.high, hour)


class ChartFigures(Struct, frozen=True, eq=False):
    """What the chart draws.

    `need` is what a start needs [%] at 10, 50 and 90 % of such vehicles, at most 100; `draws_h`
    [h, (draws,)] when each of them no longer starts. `start` is when it was locked.
    """

    now: Course
    ticked: Course | None
    second: Course | None
    need: tuple[float, float, float]
    coldest_c: float
    plan_h: float
    end_h: float
    start: datetime
    happenings: tuple[Happening, ...]
    draws_h: Floats

    @property
    def shown(self) -> Course:
        """The course that the answer is about: with what is ticked, where something is."""
        return self.ticked or self.now

    @property
    def courses(self) -> tuple[Course, ...]:
        """All of them, the one that the answer is about last, so that it is drawn on top."""
        return tuple(each for each in (self.second, self.now, self.ticked) if each is not None)

    def chance(self, hour: float) -> float:
        """Share of such vehicles that still start at a moment [-]."""
        return float(np.mean(self.draws_h >= hour))

    def first_view_h(self) -> float:
        """How much to show at first [h]: past every answer, past the plan where it is near."""
        ends = [each.ends_h for each in self.courses if each.ends_h is not None]
        middle = max((low_mid[1] for low_mid in ends if isfinite(low_mid[1])), default=0.0)
        high = max((span[2] for span in ends if isfinite(span[2])), default=middle)
        plan = self.plan_h if self.plan_h <= 3 * FAR * middle or middle <= 0 else FAR * middle
        answer = min(high, 3.0 * middle) if middle > 0 else high
        return float(min(self.end_h, max(1.2 * plan, 1.15 * answer, 24.0)))


def chart_figures(a: Parked, case: Case, ticked: Case | None, n: int, today: date) -> ChartFigures:
    """All that the chart draws of a vehicle as it is, and with the `n` changes that are ticked."""
    parking, shown = a.vehicle.parking, ticked or case
    after = None
    if ticked is not None:
        name = many("with the ticked one", "with the {n} ticked", n)
        after = course("ticked", name, ticked.band)
    return ChartFigures(
        now=course("now", say("as it is"), case.band),
        ticked=after,
        second=second_course(say("Second battery"), case.parked),
        need=need_percent(shown.parked, shown.band),
        coldest_c=start_case(a).coldest_c,
        plan_h=parking.stand_days * 24,
        end_h=float(case.parked.forecast.samples.time_h[-1]),
        start=locked_when(parking, today),
        happenings=happenings(case.parked, case.band),
        draws_h=shown.band.hard_h,
    )


def course(key: Key, name: Text, band: ParkedBand) -> Course:
    """A vehicle's charge with its band and its answer.

    The line is the charge that half of such vehicles still have, so that it meets what half of them
    need about where half of them stop starting.
    """
    low, middle, high = (100.0 * each for each in (band.low_soc, band.middle_soc, band.high_soc))
    return Course(
        key,
        name,
        band.time_h,
        middle,
        band.time_h,
        np.minimum(low, middle),
        high,
        (band.low_h, band.middle_h, band.high_h),
    )


def second_course(name: Text, parked: ParkedFigures) -> Course | None:
    """The charge of the second battery, where something hangs on it while parked."""
    second = parked.second
    if second is None or not second.accessories:
        return None
    samples = second.forecast.samples
    return Course("second", name, samples.time_h, np.maximum(samples.soc, 0.0) * 100)


def need_percent(parked: ParkedFigures, band: ParkedBand) -> tuple[float, float, float]:
    """What a start needs [%], low, typical and high; more than a full battery has counts as 100."""
    low, _, high = (100.0 * min(1.0, each if each < inf else 1.0) for each in band.need)
    middle = 100.0 * min(1.0, parked.crank_soc if isfinite(parked.crank_soc) else 1.0)
    return min(low, middle), middle, max(high, middle)
