"""Vehicles whose truth is known, and what a user could read of them with an ordinary meter.

The truth of every vehicle is drawn here, by this module's own draws and formulas; the readings are
made from that truth, and the program is given the readings alone. How long it stands is the closed
sum of one current and one leak down to the charge a start takes, found by trying. The distributions
are those the program says it takes: this tests that a span is what it claims to be, not that the
figures behind it are right.
"""

from dataclasses import dataclass, field
from math import exp, inf, log
from typing import Any

import numpy as np

from fusemap import tables
from fusemap.advise import library
from fusemap.vehicle import FittedThen, StandReading, Vehicle, edits

CHEMISTRIES = ("flooded", "efb", "agm", "gel", "lifepo4")
SEASONS = {"winter": -8.0, "spring": 8.0, "summer": 22.0}
Rng = np.random.Generator


def split_normal(rng: Rng, key: str) -> float:
    """A figure of the table of starts, with a tenth of all below its low end and above its high."""
    fact = tables.start_fact(key)
    z = float(np.clip(rng.standard_normal(), -2.576, 2.576)) / 1.2816
    return fact.value + z * (fact.value - fact.low if z < 0 else fact.high - fact.value)


@dataclass
class Truth:
    """A vehicle as it really is, and what was read of it.

    `hours` it starts for; `soc` [-] when locked; `held_ah` [Ah]; `drawn_a` [A] asleep, of which
    `camera_a` is its one accessory's; `need` [-] at `celsius`; `leak` [share in 30 days at 20 °C].
    """

    vehicle: Vehicle
    hours: float
    soc: float
    held_ah: float
    drawn_a: float
    camera_a: float
    celsius: float
    need: float
    leak: float
    chemistry: str
    rng: Rng = field(repr=False)

    @property
    def table(self) -> tables.BatteryChemistry:
        return tables.battery_chemistries()[self.chemistry]

    def soc_after(self, soc: float, hours: float, *, camera: bool = True) -> float:
        """The charge [-] after so many hours asleep, with its accessory or without."""
        s = self.leak / 720.0 * 2.0 ** ((self.celsius - 20.0) / self.table.doubling_k)
        amps = self.drawn_a - (0.0 if camera else self.camera_a)
        full = self.table.r * self.held_ah
        start = full - (1.0 - soc) * self.held_ah
        left = (start + amps / s) * exp(-s * hours) - amps / s
        return 1.0 - (full - left) / self.held_ah

    def volts(self, soc: float) -> float:
        curve = tables.rest_voltage(self.chemistry)
        return float(np.interp(soc, curve.soc, curve.volts))

    @property
    def fitted(self) -> tuple[FittedThen, ...]:
        return tuple(FittedThen(accessory=each.id) for each in self.vehicle.accessories)

    def night(self) -> StandReading:
        """Its mean current over a night, by a clamp: 5 % and 3 mA off."""
        read = self.drawn_a * self.rng.normal(1.0, 0.05) + self.rng.normal(0.0, 0.003)
        return StandReading(kind="night", hours=14.0, mean_a=max(0.001, read), fitted=self.fitted)

    def rests(self, hours: float, first: float = 0.9) -> StandReading:
        """Two rest voltages so many hours apart, their difference 20 mV off."""
        sunk = self.volts(first) - self.volts(self.soc_after(first, hours))
        sunk += self.rng.normal(0.0, 0.02)
        high = self.volts(first)
        return StandReading(
            kind="rests", hours=hours, rest_v=high, later_v=min(high, high - sunk),
            fitted=self.fitted)  # fmt: skip

    def start(self, soc: float) -> StandReading:
        """Whether it started at a charge, its rest voltage read just before, 80 mV off at most."""
        return StandReading(
            kind="start", hours=24.0, started=soc >= self.need, temperature_c=self.celsius,
            rest_v=self.volts(soc) + self.shift() + self.rng.triangular(-0.08, 0.0, 0.08),
            fitted=self.fitted)  # fmt: skip

    def shift(self) -> float:
        return 0.0 if self.chemistry == "lifepo4" else shift_v(self.celsius)

    def showing(self, *readings: StandReading) -> Vehicle:
        """Its vehicle with these readings."""
        made = self.vehicle
        for each in readings:
            made = edits.add_stand_reading(made, each)
        return made


def planted(rng: Rng, chemistry: str, season: str) -> Truth:
    """A vehicle of this chemistry in this season."""
    table, curve = tables.battery_chemistries()[chemistry], tables.rest_voltage(chemistry)
    capacity, entered_soh = float(rng.choice([44, 60, 70, 80])), float(rng.uniform(0.6, 0.95))
    soh = rng.triangular(entered_soh - 0.15, entered_soh, min(1.0, entered_soh + 0.15))
    celsius = SEASONS[season] + rng.triangular(-8.0, 0.0, 8.0)
    rest_a = float(rng.uniform(0.015, 0.08))
    read_a = rest_a / rng.triangular(0.9, 1.0, 1.1)
    camera_a = 0.032 * rng.triangular(2 / 32, 1.0, 250 / 32)
    drawn = rest_a + rng.triangular(0.0, 0.0, 0.02) + camera_a
    fuel, litres = str(rng.choice(["petrol", "diesel"])), float(rng.choice([1.2, 1.6, 2.0]))
    cca = capacity * 9.0
    leak = table.self_discharge_share_30d_20c * rng.triangular(0.5, 1.0, 2.0)
    need = needed(rng, fuel, litres, cca, celsius, chemistry)
    battery: dict[str, Any] = {
        "chemistry": chemistry, "capacity_ah": capacity, "soh": entered_soh, "cca_a": cca
    }  # fmt: skip
    if chemistry == "lifepo4":
        # its rest voltage hardly tells: the charge is what its own display says, ten points off
        battery["start_soc"] = float(rng.uniform(0.7, 0.9))
        battery |= {"low_soc": battery["start_soc"] - 0.1, "high_soc": battery["start_soc"] + 0.1}
        soc = float(rng.triangular(battery["low_soc"], battery["start_soc"], battery["high_soc"]))
    else:
        soc = float(rng.uniform(0.6, 0.97))
        off = rng.triangular(-0.08, 0.0, 0.08)
        battery["rest_v"] = float(np.interp(soc, curve.soc, curve.volts)) + off
    hours = standing_h(soc, soh * capacity, drawn, leak, celsius, need, table)
    made = edits.change_battery(Vehicle(name="Planted"), **battery)
    made = edits.change_parking(
        made, temperature_c=SEASONS[season], rest_current_a=read_a, awake_current_a=read_a,
        coldest_c=SEASONS[season], sleep_after_min=0.0, engine_fuel=fuel,
        engine_l=litres)  # fmt: skip
    fields: dict[str, Any] = {**library.fields("dash_camera_parking"), "cut_off": None}
    made = edits.add_accessory(made, **fields)
    return Truth(
        made, hours, soc, soh * capacity, drawn, camera_a, celsius, need, leak, chemistry, rng
    )


def shift_v(celsius: float) -> float:
    """How far the cold lowers a lead battery's rest voltage [V]."""
    points = [tables.start_fact(f"rest_shift_{at}") for at in (-17.8, -1.1, 10, 26.7)]
    inside = float(np.interp(celsius, [p.at_c for p in points], [p.value for p in points]))
    return (inside + min(0.0, celsius + 17.8) * 72.0 / 16.7) / 1000


def needed(rng: Rng, fuel: str, litres: float, cca: float, celsius: float, chemistry: str) -> float:
    """The charge this engine really takes [-]: the least of a thousand that keep it turning."""
    curve, lithium = tables.rest_voltage(chemistry), chemistry == "lifepo4"
    keys = ("lost_v", "cranking_cold", "cold_share", f"{fuel}_a_per_l", f"least_{fuel}_v")
    lost, cold, share, per_l, least = (split_normal(rng, key) for key in keys)
    shift = 0.0 if lithium else shift_v(celsius)
    if lithium:
        floor, at_0, at_20, rated = (
            split_normal(rng, key)
            for key in ("floor_lifepo4_soc", "lifepo4_0", "lifepo4_20", "lifepo4_rated_c")
        )
        rise, at_rated, full = 0.0, lithium_rise(rated, at_0, at_20), curve.volts[-1]
        grown = lithium_rise(celsius, at_0, at_20) / at_rated
    else:
        floor, slope, rise = (
            split_normal(rng, key)
            for key in ("floor_soc", "resistance_slope_per_k", "resistance_charge")
        )
        full, grown = curve.volts[-1] + shift_v(-18.0), exp(-slope * (celsius + 18.0))
    ohm = (full - lost - 7.5) / cca / share * 0.9
    x = max(0.0, 21.0 - celsius)
    amps = litres * per_l * exp(cold * (0.006 * x + 0.0004 * x * x))
    soc = np.linspace(0.0, 1.0, 1001)
    f = 1 + rise * (1 - soc) + 0.03 * (1 / (soc + 0.02) - 1 / 1.02)
    volts = np.interp(soc, curve.soc, curve.volts) + shift - lost - amps * ohm * grown * f
    starts = soc[(volts >= least) & (soc >= floor)]
    return float(starts[0]) if len(starts) else inf


def lithium_rise(celsius: float, at_0: float, at_20: float) -> float:
    """Resistance of a LiFePO4 over that at 25 °C: straight in the logarithm to 0 and -20 °C."""
    points = ([-20.0, 0.0, 25.0], [log(at_20), log(at_0), 0.0])
    below = min(0.0, celsius + 20.0) * (log(at_20) - log(at_0)) / -20.0
    return exp(float(np.interp(celsius, *points)) + below)


def standing_h(soc: float, held_ah: float, amps: float, leak: float, celsius: float, need: float,
               table: tables.BatteryChemistry) -> float:  # fmt: skip
    """Hours until no start: down to the need, or to what the cold keeps in an empty battery."""
    full = table.r * held_ah
    kept = min(1.0, table.cold_loss_per_k * max(0.0, 25.0 - celsius)) * full
    end = max(full - (1.0 - min(need, 1.01)) * held_ah, kept)
    start = full - (1.0 - soc) * held_ah
    if start <= end:
        return 0.0
    s = leak / 720.0 * 2.0 ** ((celsius - 20.0) / table.doubling_k)
    return log((s * start + amps) / (s * end + amps)) / s
