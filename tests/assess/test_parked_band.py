"""The band of the parked forecast: the less was measured, the wider; never without its middle."""

from typing import Any

import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.assess.parked_band import SPREADS, ParkedBand, draw_lot, parked_band
from fusemap.vehicle import Vehicle, VoltageCutOff, edits


def van(**battery: Any) -> Vehicle:
    fields = {"capacity_ah": 70.0, "soh": 0.9, "start_soc": 0.85, **battery}
    vehicle = edits.change_battery(Vehicle(name="Van"), **fields)
    return edits.change_parking(vehicle, rest_current_a=0.05, temperature_c=20.0)


def width(band: ParkedBand) -> float:
    return band.high_h - band.low_h


def test_the_most_likely_time_lies_within_the_band() -> None:
    a = assess(van())
    band = parked_band(a)
    assert band.low_h < a.parked.hours < band.high_h
    assert abs((band.low_h + band.high_h) / 2 - a.parked.hours) < 0.15 * a.parked.hours


def test_the_charge_lies_within_its_band_all_the_while() -> None:
    a = assess(van())
    band = parked_band(a)
    soc = np.interp(band.time_h, a.parked.forecast.samples.time_h, a.parked.forecast.samples.soc)
    until_empty = soc > 0.1
    assert (band.low_soc <= soc)[until_empty].all()
    assert (soc <= band.high_soc)[until_empty].all()


def test_the_same_vehicle_gives_the_same_band() -> None:
    one, other = parked_band(assess(van())), parked_band(assess(van()))
    assert (one.low_h, one.high_h) == (other.low_h, other.high_h)


@pytest.mark.parametrize("missing", ["soh", "start_soc"])
def test_what_was_not_measured_makes_it_wider(missing: str) -> None:
    known = van()
    figures = {"soh": 0.85, "start_soc": 0.85}
    # the same middle, once measured and once assumed by the table
    unknown = edits.change_battery(known, **{missing: None})
    middle = assess(unknown).parked
    if missing == "start_soc":
        figures["start_soc"] = middle.start_soc
    known = edits.change_battery(known, **{missing: figures[missing]})
    assert width(parked_band(assess(unknown))) > width(parked_band(assess(known)))


def test_a_wider_rule_for_cranking_makes_it_wider() -> None:
    narrow = parked_band(assess(edits.set_rule(van(), "crank_soc_band", 0.02)))
    wide = parked_band(assess(edits.set_rule(van(), "crank_soc_band", 0.2)))
    assert width(wide) > 1.5 * width(narrow)


def test_more_draws_hardly_move_its_ends() -> None:
    a = assess(van())
    few, many = parked_band(a, draws=400), parked_band(a, draws=4000)
    assert few.low_h == pytest.approx(many.low_h, rel=0.1)
    assert few.high_h == pytest.approx(many.high_h, rel=0.1)


def test_a_cut_off_is_followed_in_every_draw() -> None:
    vehicle = edits.add_accessory(
        van(),
        "Cool box",
        amperes=2.0,
        load_kind="constant_current",
        works_in=("asleep", "awake"),
        cut_off=VoltageCutOff(off_v=12.2, on_v=13.0),
    )
    without = parked_band(assess(van()))
    placed = edits.place(vehicle, "accessory-1")
    band = parked_band(assess(placed))
    endless = edits.change_accessory(placed, "accessory-1", cut_off=None)
    assert parked_band(assess(endless)).low_h < band.low_h < without.low_h


def test_each_spread_is_said_in_words() -> None:
    band = parked_band(assess(van()))
    assert len(band.spread) == len(SPREADS) + 1
    assert "charge when locked ± 8 % of the capacity" in band.spread
    assumed = parked_band(assess(van(start_soc=None)))
    assert "charge when locked ± 12 % of the capacity" in assumed.spread


def test_the_lot_keeps_within_its_half_widths() -> None:
    lot = draw_lot(assess(van()), 1000)
    assert np.abs(lot.charge).max() <= SPREADS["charge"].measured
    assert np.abs(lot.crank).max() <= 0.1
    assert abs(lot.health.mean()) < 0.01
