"""Whether the usual driving puts back what parking takes: the battery over a week of drives.

In: drives (clock hour, minutes, weekdays), draws while parked [A], what the alternator has to spare
[A], capacity [Ah], temperature [°C]. Out: what the battery takes while the engine runs [A, Ah];
state of charge [-] at the end of the week, its lowest, whether it settles and where, and the
minutes of driving a day that hold it. Any figure may be an array of shape (draws,).

What a battery accepts is the least known part of this program. The model is the simplest that falls
towards full: current = min(alternator's spare, g(T)·capacity·(target - SoC)). Rate g and its loss
in the cold are from memory, unverified. One published charge of a glass-mat battery, an hour at a
fifth of its capacity and about five and a half hours from half to full, takes 4.3 to 5.6 h by the
model. Charge is counted, the wells and their recovery are left aside, and so are cut-offs.

Source: charge taken while parked as in parked/, the leak as in battery.py; charging is a proposal
of ours, the figures' own sources stand at their fields.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked import Draw
from fusemap.electrics.parked.timeline import build_timeline
from fusemap.electrics.two_well import mean_decay
from fusemap.electrics.values import (
    Floats,
    TruthArray,
    Truths,
    Values,
    plain,
    plain_truth,
    require_finite,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import given, say

LEAST_A = 1e-9
"""Current [A] that stands for nothing to spare in a division."""

WARM_C = 25.0
"""Temperature [°C] above which acceptance is taken to rise no more."""


class ChargeAcceptance(Struct, frozen=True, eq=False):
    """What a battery takes at charging voltage: g(T) times capacity times what lacks to target.

    rate_per_h g [1/h] at 20 °C: 0.8 gives a fifth of C20 per hour at three quarters charged (from
    memory, unverified). cold_factor_20k [-]: 20 K colder it takes a third (from memory,
    unverified). target_soc [-]: below 1 where the vehicle stops charging earlier, as some do with
    start-stop. efficiency [-]: 0.95, a glass-mat maker's recharge factor of 1.05 (seen).
    """

    rate_per_h: Values = 0.8
    cold_factor_20k: Values = 3.0
    target_soc: Values = 1.0
    efficiency: Values = 0.95

    def __post_init__(self) -> None:
        for name, unit in (("rate_per_h", "1/h"), ("target_soc", "-"), ("efficiency", "-")):
            require_positive(getattr(self, name), name, unit)
        require_positive(self.cold_factor_20k, "cold_factor_20k", "-")
        for name in ("target_soc", "efficiency"):
            if (np.asarray(getattr(self, name)) > 1.0).any():
                raise InputProblem(say("at most 1 is possible"), name)

    def rate_at(self, temperature_c: Values) -> Values:
        """Rate g [1/h] at a temperature [°C]. Source: proposal of ours, see the class.

        >>> round(ChargeAcceptance().rate_at(0.0), 3)
        0.267
        """
        cold = (np.minimum(temperature_c, WARM_C) - 20.0) / 20.0
        return plain(self.rate_per_h * np.asarray(self.cold_factor_20k) ** cold)

    def limit_a(self, capacity_ah: Values, soc: Values, temperature_c: Values) -> Values:
        """Current [A] that a battery of this capacity [Ah] takes at most.

        soc [-], temperature_c [°C]. Source: proposal of ours, see the class.

        >>> round(ChargeAcceptance().limit_a(70.0, 0.75, 20.0), 1)
        14.0
        """
        lacking = np.maximum(0.0, np.asarray(self.target_soc) - soc)
        return plain(self.rate_at(temperature_c) * capacity_ah * lacking)


class Charging(Struct, frozen=True, eq=False):
    """A drive's charging: constant up to `bend_ah`, from there falling towards `target_ah`."""

    spare_a: Floats
    efficiency: Floats
    bend_ah: Floats
    target_ah: Floats
    rate_per_h: Floats  # of the falling part, efficiency included

    def after(self, q: Floats, hours: float) -> Floats:
        """Charge after some hours [h] of driving from q [Ah]; spare below 0 draws on the battery.

        Source: the current of this module, integrated.
        """
        amperes = np.maximum(self.spare_a, LEAST_A) * self.efficiency
        steady = np.clip((self.bend_ah - q) / amperes, 0.0, hours)
        bent = q + amperes * steady
        lacking = np.maximum(0.0, self.target_ah - bent)
        charged = bent - lacking * np.expm1(-self.rate_per_h * (hours - steady))
        return np.where(self.spare_a > 0.0, charged, q + self.spare_a * hours)

    def hours_between(self, q: Floats, later: Floats) -> Floats:
        """Hours [h] of driving that lift the charge from q [Ah] to later [Ah]; inf where none do.

        Source: as after, solved for the hours.
        """
        possible = (self.spare_a > 0.0) & (later < self.target_ah) & (later > q)
        amperes = np.maximum(self.spare_a, LEAST_A) * self.efficiency
        bent = np.clip(self.bend_ah, q, np.maximum(q, later))
        lacking = np.where(possible, self.target_ah - bent, 1.0)
        lacks_later = np.where(possible, self.target_ah - later, 1.0)
        hours = (bent - q) / amperes + np.log(lacking / lacks_later) / self.rate_per_h
        return np.where(later <= q, 0.0, np.where(possible, hours, np.inf))


def charging_of(
    battery: TwoWell, acceptance: ChargeAcceptance, spare_a: Values, temperature_c: Values
) -> Charging:
    """The charging of a battery with `spare_a` [A] at a temperature [°C].

    Source: proposal of ours, see ChargeAcceptance. Raises InputProblem that names spare_a.
    """
    spare = require_finite(spare_a, "spare_a", "A")
    rate = np.asarray(acceptance.rate_at(temperature_c))
    target = np.asarray(battery.charge_at(acceptance.target_soc))
    return Charging(
        spare_a=spare,
        efficiency=np.asarray(acceptance.efficiency),
        bend_ah=target - np.maximum(spare, 0.0) / rate,
        target_ah=target,
        rate_per_h=rate * acceptance.efficiency,
    )


WEEK_H, DAY_H = 168.0, 24.0

SETTLED_AH = 1e-9
"""A week that gains less than this [Ah] has settled."""

MOST_ROUNDS = 60
"""Trials for the settled charge; it takes about six."""


class Drive(Struct, frozen=True):
    """A drive that begins at a clock hour [h], lasts some minutes, on weekdays (0 is Monday)."""

    start_clock_h: float
    minutes: float
    weekdays: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)

    def __post_init__(self) -> None:
        require_positive(self.minutes, "minutes", "min")
        if not 0.0 <= self.start_clock_h < DAY_H:
            raise InputProblem(
                say("{hour} given, 0 to 24 h needed", hour=given(self.start_clock_h)),
                "start_clock_h",
            )
        if not self.weekdays or any(day not in range(7) for day in self.weekdays):
            raise InputProblem(say("weekdays are numbers from 0, Monday, to 6, Sunday"), "weekdays")


class WeekBalance(Struct, frozen=True, eq=False):
    """A week from the last drive's end to the next last drive's end.

    end_soc, lowest_soc [-] in the first week. stored_ah: charge that the drives put in; taken_ah:
    what draws, leak and starts took [Ah]. settles: week after week it comes to rest above flat;
    settled_soc and settled_lowest_soc [-] are its ends and its lowest then (nan where it does
    not). hold_min [min]: one drive a day of this length holds the start charge, inf where none.
    """

    end_soc: Values
    lowest_soc: Values
    stored_ah: Values
    taken_ah: Values
    settles: Truths
    settled_soc: Values
    settled_lowest_soc: Values
    hold_min: Values


def week_balance(
    battery: TwoWell,
    start_soc: Values,
    drives: Sequence[Drive],
    parked: Sequence[Draw],
    spare_a: Values,
    *,
    temperature_c: Values = 20.0,
    acceptance: ChargeAcceptance | None = None,
    crank_ah: Values = 0.1,
) -> WeekBalance:
    """The week's balance of a battery at `start_soc` [-] when locked after the week's last drive.

    Source: ours, summed stop by stop from parked draws, leak_per_h and ChargeAcceptance.
    parked: the draws of the forecast, counted anew from each locking (cut-offs are left aside).
    spare_a [A]: what the alternator gives on the road beyond what the vehicle uses. crank_ah [Ah]
    per start (0.05 to 0.15, from memory, unverified). temperature_c [°C].
    Raises InputProblem that names the argument.

    >>> battery = TwoWell(70.0, (0.0, 1.0), (11.8, 12.6))
    >>> commute = (Drive(7.5, 20.0, (0, 1, 2, 3, 4)), Drive(17.0, 20.0, (0, 1, 2, 3, 4)))
    >>> week = week_balance(battery, 0.8, commute, (Draw.constant("rest", 0.03),), 40.0)
    >>> week.settles, round(week.settled_soc, 2), round(week.hold_min, 1)
    (True, 0.97, 4.9)
    """
    require_not_negative(crank_ah, "crank_ah", "Ah")
    require_finite(temperature_c, "temperature_c", "°C")
    charging = charging_of(battery, acceptance or ChargeAcceptance(), spare_a, temperature_c)
    leak = np.asarray(battery.leak_per_h(temperature_c))
    stops = _stops(drives, parked, leak)
    week = _Week(stops, charging, np.asarray(crank_ah), np.asarray(battery.full_ah))
    given = (battery.start(start_soc)[0], spare_a, leak, charging.rate_per_h, crank_ah)
    start = np.broadcast_arrays(*given, *(stop.takes for stop in stops))[0]

    end, lowest, stored = week.through(start)
    settled, settles = week.settled(battery.charge_at(0.0) + np.zeros_like(start))
    calm = week.through(settled)[1]
    settles &= calm >= battery.charge_at(0.0)

    locked_at = (drives[0].start_clock_h + drives[0].minutes / 60.0) if drives else 0.0
    day = _parked_for(DAY_H, locked_at % DAY_H, parked, leak)
    before = day.keeps * start - day.takes - crank_ah
    hold = charging.hours_between(before, start)
    return WeekBalance(
        end_soc=_from_flat(battery, end),
        lowest_soc=_from_flat(battery, lowest),
        stored_ah=plain(stored),
        taken_ah=plain(start + stored - end),
        settles=plain_truth(settles),
        settled_soc=plain(np.where(settles, battery.soc(settled), np.nan)),
        settled_lowest_soc=plain(np.where(settles, battery.soc(calm), np.nan)),
        hold_min=plain(np.where(hold <= DAY_H, 60.0 * hold, np.inf)),
    )


def _from_flat(battery: TwoWell, charge: Floats) -> Values:
    return plain(np.maximum(0.0, battery.soc(charge)))


class _Stop(Struct, frozen=True, eq=False):
    """Time parked, after which the charge is keeps·q - takes [Ah]; then a drive of some hours."""

    keeps: Floats
    takes: Floats
    drive_h: float = 0.0


class _Week(Struct, frozen=True, eq=False):
    """One round of stops and drives; nothing keeps the charge above flat, so that it shows."""

    stops: tuple[_Stop, ...]
    charging: Charging
    crank_ah: Floats
    full_ah: Floats

    def through(self, q: Floats) -> tuple[Floats, Floats, Floats]:
        """Charge [Ah] at the end, the lowest on the way, and what the drives stored."""
        lowest, stored = q, np.zeros_like(q)
        for stop in self.stops:
            q = np.minimum(stop.keeps * q - stop.takes, self.full_ah)
            if stop.drive_h > 0.0:
                before = q - self.crank_ah
                q = self.charging.after(before, stop.drive_h)
                lowest, stored = np.minimum(lowest, before), stored + np.maximum(0.0, q - before)
            lowest = np.minimum(lowest, q)
        return q, lowest, stored

    def settled(self, flat: Floats) -> tuple[Floats, TruthArray]:
        """The charge [Ah] that a week ends with as it began, and whether there is one above flat.

        More charge at the start means more at the end, but never by more than was added: what a
        week gains falls as the charge rises, so a false position between flat and full finds where
        it is nothing (Illinois rule: an end that stays twice counts half).
        """
        low, high = flat, self.full_ah + np.zeros_like(flat)
        at_low, at_high = self.through(low)[0] - low, self.through(high)[0] - high
        settles = np.asarray(at_low >= 0.0)
        found, rose = high, np.full(flat.shape, -1, dtype=np.int8)
        for _ in range(MOST_ROUNDS):
            fall = at_low - at_high
            found = low + (high - low) * np.where(
                fall > 0.0, at_low / np.where(fall > 0.0, fall, 1.0), 0.5
            )
            gain = self.through(found)[0] - found
            if (np.abs(gain[settles]) <= SETTLED_AH).all():
                break
            rises = gain >= 0.0
            again = rises == rose
            low, high = np.where(rises, found, low), np.where(rises, high, found)
            at_low = np.where(rises, gain, np.where(again, 0.5 * at_low, at_low))
            at_high = np.where(rises, np.where(again, 0.5 * at_high, at_high), gain)
            rose = rises.astype(np.int8)
        return found, settles


def _stops(drives: Sequence[Drive], parked: Sequence[Draw], leak: Floats) -> tuple[_Stop, ...]:
    """The week's stops, each with the drive that ends it; the first follows the last drive."""
    times = sorted(
        (DAY_H * day + drive.start_clock_h, drive.minutes / 60.0)
        for drive in drives
        for day in set(drive.weekdays)
    )
    if not times:
        return (_parked_for(WEEK_H, 0.0, parked, leak),)
    ends = [start + hours for start, hours in times]
    found, known = [], {}
    for (start, hours), locked in zip(times, [ends[-1] - WEEK_H, *ends[:-1]], strict=True):
        length, clock = round(start - locked, 9), round(locked % DAY_H, 9)
        if length <= 0.0:
            raise InputProblem(say("a drive begins before the one before it has ended"), "drives")
        if (length, clock) not in known:
            known[length, clock] = _parked_for(length, clock, parked, leak)
        found.append(replace(known[length, clock], drive_h=hours))
    return tuple(found)


def _parked_for(hours: float, locked_at: float, parked: Sequence[Draw], leak: Floats) -> _Stop:
    """What a stop of some hours [h] leaves of the charge, locked at a clock hour."""
    timeline = build_timeline(parked, ((0.0, 20.0),), locked_at, hours)
    drawn = timeline.total(np.ones(len(parked)))[timeline.pattern]
    length, rest = np.diff(timeline.edges)[:, None], hours - timeline.edges[1:, None]
    takes = (drawn * length * mean_decay(leak * length) * np.exp(-leak * rest)).sum(axis=0)
    return _Stop(np.exp(-leak * hours), takes if len(takes) > 1 else takes[0])
