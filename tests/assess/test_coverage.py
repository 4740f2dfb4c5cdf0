"""Of planted vehicles, nine of ten stand for a time within the span that they were given.

The truth of every vehicle is drawn here, by this module's own draws and formulas, and what a user
could read of it with an ordinary meter is made from that truth; the program is given the readings
alone. How long it stands is the closed sum of one current and one leak down to the charge a start
takes, found by trying. The distributions are those the program says it takes: this tests that the
span is what it claims to be, not that the figures behind it are right.
"""

from dataclasses import dataclass
from math import exp, inf, log
from typing import Any

import numpy as np
import pytest

from fusemap import tables
from fusemap.advise import library
from fusemap.assess import assess
from fusemap.assess.parked.band import HIGH, LOW, parked_band
from fusemap.vehicle import Vehicle, edits

COUNT = 2000
CHEMISTRIES = ("flooded", "efb", "agm", "gel")
SEASONS = {"winter": -8.0, "spring": 8.0, "summer": 22.0}
HORIZON_H = 1440.0
Rng = np.random.Generator


def split_normal(rng: Rng, key: str) -> float:
    """A figure of the table of starts, with a tenth of all below its low end and above its high."""
    fact = tables.start_fact(key)
    z = float(np.clip(rng.standard_normal(), -2.576, 2.576)) / 1.2816
    return fact.value + z * (fact.value - fact.low if z < 0 else fact.high - fact.value)


@dataclass
class Truth:
    """A vehicle as it really is, and what was read of it."""

    vehicle: Vehicle
    hours: float


def planted(rng: Rng, chemistry: str, season: str) -> Truth:
    table, curve = tables.battery_chemistries()[chemistry], tables.rest_voltage(chemistry)
    capacity, entered_soh = float(rng.choice([44, 60, 70, 80])), float(rng.uniform(0.6, 0.95))
    soh = rng.triangular(entered_soh - 0.15, entered_soh, min(1.0, entered_soh + 0.15))
    soc = rng.uniform(0.6, 0.97)
    rest_v = float(np.interp(soc, curve.soc, curve.volts)) + rng.triangular(-0.08, 0.0, 0.08)
    celsius = SEASONS[season] + rng.triangular(-8.0, 0.0, 8.0)
    rest_a = float(rng.uniform(0.015, 0.08))
    read_a = rest_a / rng.triangular(0.9, 1.0, 1.1)
    camera_a = 0.032 * rng.triangular(2 / 32, 1.0, 250 / 32)
    drawn = rest_a + rng.triangular(0.0, 0.0, 0.02) + camera_a
    fuel, litres = str(rng.choice(["petrol", "diesel"])), float(rng.choice([1.2, 1.6, 2.0]))
    cca = capacity * 9.0
    leak = table.self_discharge_share_30d_20c * rng.triangular(0.5, 1.0, 2.0)
    need = needed(rng, fuel, litres, cca, celsius, chemistry)
    hours = standing_h(soc, soh * capacity, drawn, leak, celsius, need, table)
    made = Vehicle(name="Planted")
    made = edits.change_battery(
        made, chemistry=chemistry, capacity_ah=capacity, soh=entered_soh, cca_a=cca, rest_v=rest_v
    )
    made = edits.change_parking(
        made, temperature_c=SEASONS[season], rest_current_a=read_a, awake_current_a=read_a,
        sleep_after_min=0.0, engine_fuel=fuel, engine_l=litres)  # fmt: skip
    fields: dict[str, Any] = {**library.fields("dash_camera_parking"), "cut_off": None}
    return Truth(edits.add_accessory(made, **fields), hours)


def needed(rng: Rng, fuel: str, litres: float, cca: float, celsius: float, chemistry: str) -> float:
    """The charge this engine really takes [-]: the least of a thousand that keep it turning."""
    curve = tables.rest_voltage(chemistry)
    keys = ("lost_v", "cranking_cold", "resistance_slope_per_k", "resistance_charge", "cold_share",
            "floor_soc", f"{fuel}_a_per_l", f"least_{fuel}_v")  # fmt: skip
    lost, cold, slope, rise, share, floor, per_l, least = (split_normal(rng, k) for k in keys)

    def shift(c: float) -> float:
        points = [tables.start_fact(f"rest_shift_{at}") for at in (-17.8, -1.1, 10, 26.7)]
        inside = float(np.interp(c, [p.at_c for p in points], [p.value for p in points]))
        return (inside + min(0.0, c + 17.8) * 72.0 / 16.7) / 1000

    ohm = (curve.volts[-1] + shift(-18.0) - lost - 7.5) / cca / share * 0.9
    x = max(0.0, 21.0 - celsius)
    amps = litres * per_l * exp(cold * (0.006 * x + 0.0004 * x * x))
    soc = np.linspace(0.0, 1.0, 1001)
    f = 1 + rise * (1 - soc) + 0.03 * (1 / (soc + 0.02) - 1 / 1.02)
    volts = np.interp(soc, curve.soc, curve.volts) + shift(celsius) - lost
    volts -= amps * ohm * exp(-slope * (celsius + 18.0)) * f
    starts = soc[(volts >= least) & (soc >= floor)]
    return float(starts[0]) if len(starts) else inf


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


@pytest.fixture(scope="module")
def inside() -> dict[tuple[str, str], list[bool]]:
    """Whether the truth lies in the span, by chemistry and season."""
    rng = np.random.default_rng(20)
    cells = [(chemistry, season) for chemistry in CHEMISTRIES for season in SEASONS]
    found: dict[tuple[str, str], list[bool]] = {cell: [] for cell in cells}
    for number in range(COUNT):
        cell = cells[number % len(cells)]
        truth = planted(rng, *cell)
        band = parked_band(assess(truth.vehicle), draws=300)
        hours = truth.hours if truth.hours < HORIZON_H else inf
        # many start not at all, or past the horizon: of those that tie a part lies below
        below = np.mean(band.hours < hours) + rng.random() * np.mean(band.hours == hours)
        found[cell].append(bool(LOW <= below <= HIGH))
    return found


def test_the_truth_of_nine_in_ten_lies_between_the_ends(
    inside: dict[tuple[str, str], list[bool]],
) -> None:
    whole = [each for cell in inside.values() for each in cell]
    assert np.mean(whole) == pytest.approx(0.90, abs=0.02)


@pytest.mark.parametrize("which", [*CHEMISTRIES, *SEASONS])
def test_so_do_those_of_each_chemistry_and_of_each_season(
    inside: dict[tuple[str, str], list[bool]], which: str
) -> None:
    """Within three points: of 500 vehicles one in twenty counts would be farther off than 2.6."""
    some = [each for cell, found in inside.items() if which in cell for each in found]
    assert len(some) >= 490
    assert np.mean(some) == pytest.approx(0.90, abs=0.03)
