"""Standings followed minute by minute, held against the program's from the user's figures on.

The reference steps Manwell and McGowan's two wells (Solar Energy 50, 1993; `second_way.well_step`)
by a minute each: every wake-up runs when it runs, the drive battery charges for its minutes, the
leak follows the temperature of the hour. A start is tried every minute. What the program makes
simpler is named where a case needs it; nothing differs by more than 0.1 day or 0.1 Ah.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import cos, exp, inf, log, pi
from typing import Any

import numpy as np
import pytest

from fusemap import tables
from fusemap.assess import assess
from fusemap.electrics.battery import CrankLimit, TwoWell
from fusemap.electrics.parked import Draw, forecast
from fusemap.electrics.starting import LeadCold, Starting
from fusemap.vehicle import ClockSpan, Maintainer, Vehicle, WakeUp, edits
from tests.plain import plain
from tests.second_way import well_step

MINUTE_H = 1.0 / 60.0
DAY_H = 2.4
"""A tenth of a day [h]."""
AH = 0.1
Load = Callable[[float, float], float]
"""A current [A] at hours after locking and at the hour of the clock."""


@dataclass
class Stepped:
    """A battery as its label has it, and what draws on it, by name."""

    chemistry: str = "flooded"
    capacity_ah: float = 70.0
    soc: float = 0.9
    loads: Mapping[str, Load] = field(default_factory=dict)
    celsius: Callable[[float], float] = lambda clock: 15.0
    coldest_c: float = 15.0
    locked_at_h: float = 18.0
    starts: Callable[[float], bool] = lambda soc: True
    topped: tuple[float, int, float] | None = None
    """Minutes at a time, times, amperes of a drive battery."""

    def run(self, horizon_h: float) -> tuple[float, float, dict[str, float]]:
        """Hours until it does not start or is empty, the charge then [-], what each took [Ah]."""
        table = tables.battery_chemistries()[self.chemistry]
        r, k, held = table.r, table.k_per_h, self.capacity_ah
        # the share of the available well makes the 20-hour capacity come out; LiFePO4 is one well
        c = 1.0 if k is None else 1.0 / (1.0 + (r - 1.0) * 20.0 * k / (1.0 - exp(-20.0 * k)))
        full = r * held
        kept = min(1.0, table.cold_loss_per_k * max(0.0, 25.0 - self.usual_c)) * full
        q, d = full - (1.0 - self.soc) * held, 0.0
        took = dict.fromkeys((*self.loads, "leak", "given"), 0.0)
        topping, left = 0.0, self.topped[1] if self.topped else 0
        for step in range(int(horizon_h / MINUTE_H)):
            hours = step * MINUTE_H
            clock = (self.locked_at_h + hours) % 24.0
            soc = 1.0 - (full - q) / held
            if not self.starts(soc) or q - (1.0 - c) * d <= kept:
                return hours, soc, took
            leak = table.self_discharge_share_30d_20c / 720.0
            leak *= 2.0 ** ((self.celsius(clock) - 20.0) / table.doubling_k)
            current = 0.0
            for name, load in self.loads.items():
                amps = load(hours, clock)
                current += amps
                took["given" if amps < 0 else name] += abs(amps) * MINUTE_H
            if self.topped and topping <= 0 and left and soc <= self.soc - self.a_time_ah / held:
                topping, left = self.topped[0] / 60.0, left - 1
            if self.topped and topping > 0:
                part = min(topping, MINUTE_H)
                current -= self.topped[2] * part / MINUTE_H
                took["given"] += self.topped[2] * part
                topping -= MINUTE_H
            took["leak"] += leak * q * MINUTE_H
            q, d = well_step(q, d, current, MINUTE_H, c=c, k_per_h=k or 1.0, leak=leak)
        return inf, 1.0 - (full - q) / held, took

    @property
    def a_time_ah(self) -> float:
        assert self.topped is not None
        return self.topped[0] / 60.0 * self.topped[2]

    @property
    def usual_c(self) -> float:
        """What counts for what the cold keeps: the temperature that leaks as the whole day does."""
        doubling = tables.battery_chemistries()[self.chemistry].doubling_k
        clock = (np.arange(1440) + 0.5) / 60.0
        mean = np.mean([2.0 ** (self.celsius(float(each)) / doubling) for each in clock])
        return doubling * log(float(mean), 2.0)


def steady(amps: float) -> Load:
    return lambda hours, clock: amps


def awake(amps: float, rest: float, minutes: float) -> Load:
    return lambda hours, clock: amps if hours < minutes / 60.0 - 1e-9 else rest


def waking(every_h: float, minutes: float, amps: float, sleeps_h: float) -> Load:
    """The first after a whole turn asleep, each for its minutes."""

    def load(hours: float, clock: float) -> float:
        since_min = round((hours - sleeps_h) * 60.0)
        return (
            amps if since_min >= 0 and since_min % (every_h * 60) >= every_h * 60 - minutes else 0.0
        )

    return load


def between(start: float, end: float, amps: float, else_a: float = 0.0) -> Load:
    def load(hours: float, clock: float) -> float:
        inside = start <= clock < end if start <= end else clock >= start or clock < end
        return amps if inside else else_a

    return load


def swing(night: float, day: float) -> Callable[[float], float]:
    """Lowest at 6, highest at 14 h, a half cosine up and one down."""

    def celsius(clock: float) -> float:
        since = (clock - 6.0) % 24.0
        turn = since / 8.0 if since < 8.0 else 1.0 + (since - 8.0) / 16.0
        return night + (day - night) * (1.0 - cos(pi * turn)) / 2.0

    return celsius


def car(
    chemistry: str = "flooded", soc: float = 0.9, *, volts: int = 12, **parking: Any
) -> Vehicle:
    made = edits.change_vehicle(Vehicle(name="Car"), system_v=volts)
    made = edits.change_battery(
        made, chemistry=chemistry, capacity_ah=70.0, cca_a=680.0, soh=1.0, start_soc=soc
    )
    given = {"locked_at_h": 18.0, "temperature_c": 15.0, "sleep_after_min": 0.0, **parking}
    return edits.change_parking(made, **given)


def camera(vehicle: Vehicle, amperes: float, **fields: Any) -> Vehicle:
    vehicle = edits.add_accessory(
        vehicle, "Camera", amperes=amperes, load_kind="constant_current",
        works_in=("asleep", "awake"), **fields)  # fmt: skip
    return edits.place(vehicle, vehicle.accessories[-1].id)


PETROL = {"engine_fuel": "petrol", "engine_l": 1.6}
ITSELF = "Vehicle itself"

CASES: dict[str, tuple[Vehicle, dict[str, Any]]] = {
    "always on": (
        car(rest_current_a=0.05, awake_current_a=0.05, **PETROL),
        {"loads": {ITSELF: steady(0.05)}},
    ),
    "awake first, wake-ups, a camera": (
        camera(
            car(rest_current_a=0.026, awake_current_a=3.6, **{**PETROL, "sleep_after_min": 25.0},
                wake_ups=(WakeUp(every_h=6.0, minutes=1.0, current_a=2.0),)),
            0.032,
        ),
        {"loads": {ITSELF: awake(3.6, 0.026, 25.0), "wakes": waking(6.0, 1.0, 2.0, 25.0 / 60.0),
                   "Camera": steady(0.032)}},
    ),
    "a camera that records at night": (
        camera(
            car("agm", rest_current_a=0.02, awake_current_a=0.02, **PETROL),
            0.3, standby_a=0.008, timetable=(ClockSpan(from_h=20.0, to_h=6.0),),
        ),
        {"chemistry": "agm",
         "loads": {ITSELF: steady(0.02), "Camera": between(20.0, 6.0, 0.3, 0.008)}},
    ),
    "weak sun": (
        car("agm", 0.7, rest_current_a=0.15, awake_current_a=0.15, **PETROL,
            maintainer=Maintainer(kind="solar", current_a=0.2, from_h=9.0, to_h=15.0)),
        {"chemistry": "agm", "soc": 0.7,
         "loads": {ITSELF: steady(0.15), "sun": between(9.0, 15.0, -0.2)}},
    ),
    "night and day": (
        car(rest_current_a=0.06, awake_current_a=0.06, night_c=-6.0, day_c=12.0,
            engine_fuel="diesel", engine_l=2.0),
        {"loads": {ITSELF: steady(0.06)}, "celsius": swing(-6.0, 12.0)},
    ),
    "LiFePO4": (
        car("lifepo4", rest_current_a=0.04, awake_current_a=0.04, **PETROL),
        {"chemistry": "lifepo4", "loads": {ITSELF: steady(0.04)}},
    ),
    "two batteries, 24 V": (
        car(volts=24, rest_current_a=0.08, awake_current_a=0.08, engine_fuel="diesel",
            engine_l=6.0),
        {"loads": {ITSELF: steady(0.08)}},
    ),
    "an electric car": (
        car("agm", starts_by="contactors", rest_current_a=0.09, awake_current_a=0.09),
        {"chemistry": "agm", "loads": {ITSELF: steady(0.09)}},
    ),
    "an electric car, topped up": (
        car("agm", starts_by="contactors", rest_current_a=0.09, awake_current_a=0.09,
            topped_up="yes", top_up_min=4.0, top_up_times=10.0, top_up_a=10.0),
        {"chemistry": "agm", "loads": {ITSELF: steady(0.09)}, "topped": (4.0, 10, 10.0)},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_a_standing_minute_by_minute_ends_as_the_program_says(name: str) -> None:
    """Simpler in the program: wake-ups and topping up by their mean, a day by its leak."""
    vehicle, given = CASES[name]
    parked = assess(vehicle).parked
    need = parked.need.soc
    stepped = Stepped(**{**given, "starts": lambda soc: soc >= need})
    hours, _, took = stepped.run(parked.forecast.horizon_h)
    assert np.isfinite(hours)
    assert parked.hours == pytest.approx(hours, abs=DAY_H)
    rows = {plain(each.name): each.charge_ah for each in parked.consumers}
    for row, ah in rows.items():
        wanted = {"Battery's self-discharge": "leak"}.get(row, "wakes" if "ake-up" in row else row)
        # up to the same end: what a row took since then is its mean times the hours between
        apart = (parked.hours - hours) * ah / parked.hours
        assert ah - apart == pytest.approx(took[wanted], abs=AH), row
    if "sun" in stepped.loads or stepped.topped:
        assert parked.given_ah == pytest.approx(took["given"], abs=AH)


@pytest.mark.parametrize("celsius", [20.0, 0.0, -10.0])
@pytest.mark.parametrize(("amps", "least"), [(96.0, 7.6), (220.0, 8.0)])
def test_a_start_tried_every_minute_fails_when_the_program_says(
    celsius: float, amps: float, least: float
) -> None:
    """The end by volts at the starter: U = E + shift − Vk − I·R, as published constants have it."""
    curve = tables.rest_voltage("flooded")
    table = tables.battery_chemistries()["flooded"]
    ohm = (curve.volts[-1] - 0.134 - 0.7 - 7.5) / 680.0 / 0.8 * 0.9
    warm = ohm * exp(-0.010 * (21.0 + 18.0))
    start = Starting(
        np.asarray(curve.soc), np.asarray(curve.volts), amps * warm, 21.0, 1.0, least, 0.2,
        LeadCold(0.010),
    )  # fmt: skip
    points = [tables.start_fact(f"rest_shift_{at}") for at in (-17.8, -1.1, 10, 26.7)]
    shift = float(np.interp(celsius, [p.at_c for p in points], [p.value for p in points])) / 1000

    def starts(soc: float) -> bool:
        x = max(0.0, 21.0 - celsius)
        current = amps * exp(0.006 * x + 0.0004 * x * x)
        rise = 1.0 + 0.5 * (1.0 - soc) + 0.03 * (1.0 / (soc + 0.02) - 1.0 / 1.02)
        resistance = ohm * exp(-0.010 * (celsius + 18.0)) * rise
        volts = float(np.interp(soc, curve.soc, curve.volts)) + shift - 0.7 - current * resistance
        return volts >= least and soc >= 0.2

    stepped = Stepped(loads={"load": steady(0.08)}, celsius=lambda clock: celsius, starts=starts)
    hours, soc, _ = stepped.run(1440.0)
    k = table.k_per_h
    assert k is not None
    wells = TwoWell(
        70.0, np.asarray(curve.soc), np.asarray(curve.volts), soh=1.0, r=table.r, k_per_h=k,
        c=1.0 / (1.0 + (table.r - 1.0) * 20.0 * k / (1.0 - exp(-20.0 * k))),
        self_discharge_share_30d_20c=table.self_discharge_share_30d_20c,
        doubling_k=table.doubling_k, cold_loss_per_k=table.cold_loss_per_k,
    )  # fmt: skip
    need = float(np.asarray(start.need(celsius)))
    found = forecast(
        wells, 0.9, (Draw.constant("load", 0.08),), temperature_c=celsius,
        crank=CrankLimit(min(need, 1.01), 0.0), horizon_h=1440.0, sample_h=(),
    )  # fmt: skip
    ours = min(float(found.hours_to_crank_limit), float(found.hours_to_empty))
    assert ours == pytest.approx(hours, abs=DAY_H)
    if 0 < hours < inf and ours == float(found.hours_to_crank_limit):
        assert need * 70.0 == pytest.approx(soc * 70.0, abs=AH)
