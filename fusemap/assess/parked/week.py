"""Whether the usual driving puts back what standing takes: the week's balance of a vehicle.

In: an assessed vehicle with drives. Out: `WeekFigures` - where the charge settles week after week,
its lowest, the minutes of driving a day that hold it, at low, typical and high charge acceptance -
and that in words. What a battery accepts is the least known figure here (from memory, unverified),
so it is spread: 0.4 to 1.3 of its capacity per hour and full lack.
"""

from __future__ import annotations

from math import isfinite
from typing import Final, Protocol

import numpy as np
from msgspec import Struct

from fusemap.assess.battery import STOP_START, battery_model, driven_to
from fusemap.assess.currents import known_spare_a
from fusemap.assess.figures import Figures
from fusemap.assess.parked.figures import Span
from fusemap.assess.parked.starting import start_need
from fusemap.assess.parked.unplaced import not_placed, with_all
from fusemap.assess.parked.weather import typical_c
from fusemap.assess.parked.who import parked_draws
from fusemap.electrics.driving import ChargeAcceptance, Drive, week_balance
from fusemap.errors import InputProblem
from fusemap.text import Amount, Argument, Duration, Text, run_on, say, share
from fusemap.vehicle import WEEKDAYS

ACCEPTANCE: Final = (0.4, 0.8, 1.3)
"""Low, typical and high rate of charge acceptance [1/h], from memory, unverified."""
UNVERIFIED: Final = say(
    "What a battery accepts on the road is from memory, unverified; cut-offs are left aside here."
)
TYPICAL: Final = 1


class WeekFigures(Struct, frozen=True):
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
    assumed: tuple[Text, ...]

    @property
    def starts(self) -> bool:
        """Whether the charge stays above what a start needs, at typical acceptance."""
        return self.settles[TYPICAL] and self.lowest_soc[TYPICAL] >= self.start_soc


class HasWeek(Protocol):
    """Whatever has reckoned its week."""

    @property
    def week(self) -> WeekFigures | None:
        """The week. Raises InputProblem where drives overlap."""


def week_figures(a: Figures) -> WeekFigures | None:
    """The usual week of a vehicle; `None` where no drives were entered.

    Raises InputProblem where drives overlap.
    """
    parking = a.vehicle.parking
    if not parking.drives:
        return None
    model = battery_model(a.vehicle.battery, a.vehicle.system_v)
    spare = known_spare_a(a.circuit)
    assumed = []
    if parking.spare_a is None:
        assumed.append(
            say("the alternator has {current} to spare on the road", current=Amount(spare, "A"))
        )
    target = _target(a)
    found = week_balance(
        model.wells,
        min(model.start_soc, target),
        _drives(a),
        parked_draws(with_all(a, not_placed(a.vehicle)), model).all,
        spare,
        temperature_c=typical_c(a),
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
        start_soc=start_need(a).soc,
        assumed=(*assumed, UNVERIFIED),
    )


def _target(a: Figures) -> float:
    """How full the alternator charges [-]: by the rule, where that was set, or as it is steered."""
    rule, battery = a.rules["charge_target_soc"], a.vehicle.battery
    if rule.value != rule.default:
        return rule.value
    steered = battery.charged_by == "smart" or (
        battery.charged_by == "unknown" and battery.chemistry in STOP_START
    )
    return driven_to("smart")[1] if steered else rule.value


def _drives(a: Figures) -> tuple[Drive, ...]:
    return tuple(
        Drive(d.start_h, d.minutes, tuple(sorted({WEEKDAYS.index(day) for day in d.weekdays})))
        for d in a.vehicle.parking.drives
    )


def _three(values: object, kind: type) -> tuple:  # type: ignore[type-arg]
    """Low, typical, high of one figure; one that does not hang on the acceptance stands thrice."""
    return tuple(kind(value) for value in np.broadcast_to(np.asarray(values), (len(ACCEPTANCE),)))


def week_words(week: WeekFigures | None) -> Text | None:
    """The week in a sentence or two; nothing where there is none."""
    return None if week is None else run_on(_settles(week), hold_words(week))


def _settles(week: WeekFigures) -> Text:
    """Where the charge settles, week after week."""
    low, high = _ends(week.settled_soc)
    if not any(week.settles):
        return say("The usual driving does not put it back: week by week the battery runs flat.")
    if not all(week.settles):
        return say(
            "The usual driving puts it back only if the battery accepts charge well: it settles at "
            "{charge} at most, or runs flat.",
            charge=share(high),
        )
    parts: dict[str, Argument] = {"lowest": share(week.lowest_soc[TYPICAL]), "charge": share(high)}
    if share(low) != share(high) and f"{low:.2f}" != f"{high:.2f}":
        ends = {"low": Amount(low * 100, significant=2), "high": share(high)}
        parts["charge"] = say("{low} to {high}", **ends)
    if week.starts:
        return say(
            "With the usual driving the charge settles at {charge} at the end of the week and "
            "falls to {lowest} at the lowest, enough to start.",
            **parts,
        )
    return say(
        "With the usual driving the charge settles at {charge} at the end of the week and falls to "
        "{lowest} at the lowest, too little to start.",
        **parts,
    )


def hold_words(week: WeekFigures) -> Text:
    """How much driving would hold the charge."""
    low, high = _ends(week.hold_min)
    if not isfinite(low):
        return say("No driving within a day would hold the charge it is parked with.")
    if not isfinite(high):
        return say(
            "To hold the charge it is parked with takes at least {time} of driving a day.",
            time=Duration(low / 60),
        )
    return say(
        "To hold the charge it is parked with takes {time} of driving a day, in one go.",
        time=Span(low / 60, high / 60),
    )


def _ends(values: tuple[float, ...]) -> tuple[float, float]:
    known = [value for value in values if value == value]
    return (min(known), max(known)) if known else (float("nan"), float("nan"))


def checked_week(a: HasWeek) -> tuple[WeekFigures | None, Text | None]:
    """The week and its words; where drives overlap no week, and why."""
    try:
        week = a.week
    except InputProblem as problem:
        return None, say("The usual week cannot be reckoned: {why}.", why=problem.what)
    return week, week_words(week)
