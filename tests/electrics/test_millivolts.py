"""Current from the millivolts across a fuse: what a reading says, and when not to believe it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics.meter import (
    OPENING_MULTIPLE,
    calibrate,
    current_from_millivolts,
    heating_constant,
    read_fuse,
)
from fusemap.errors import InputProblem
from tests.second_way import fuse_drop_mv

MINI_15 = {"cold_mohm": 4.58, "rating_a": 15.0, "hot_to_cold": 1.49}

fuses = st.fixed_dictionaries(
    {
        "cold_mohm": st.floats(0.3, 80.0),
        "rating_a": st.floats(1.0, 60.0),
        "hot_to_cold": st.floats(1.0, 2.1),
    }
)
readings = st.floats(0.0, 300.0)


def fields(reading) -> list[float]:
    return [reading.low_a, reading.current_a, reading.high_a]


@given(fuses, st.floats(0.0, 2.0))
def test_the_drop_of_a_current_reads_back_as_that_current(fuse, share):
    current = share * fuse["rating_a"]
    drop = fuse_drop_mv(current, **fuse)
    assert current_from_millivolts(drop, **fuse) == pytest.approx(current, rel=1e-9, abs=1e-12)


@given(fuses, readings)
def test_swapped_leads_read_the_same(fuse, mv):
    assert current_from_millivolts(-mv, **fuse) == current_from_millivolts(mv, **fuse)


@given(fuses, readings, st.floats(0.01, 50.0))
def test_more_millivolts_are_more_current(fuse, mv, more):
    assert current_from_millivolts(mv + more, **fuse) > current_from_millivolts(mv, **fuse)


@given(fuses, readings)
def test_the_cold_figure_never_reads_low(fuse, mv):
    cold = mv / fuse["cold_mohm"]
    assert current_from_millivolts(mv, **fuse) <= cold * (1 + 1e-12)


def test_at_a_tenth_of_the_rating_heating_hardly_matters_at_full_rating_it_is_half():
    for share, over_read in [(0.1, 1.003), (1.0, 1.49)]:
        drop = fuse_drop_mv(share * 15.0, **MINI_15)
        assert drop / 4.58 / (share * 15.0) == pytest.approx(over_read, abs=5e-4)


def test_no_reading_runs_away_above_what_the_fuse_opens_at():
    drops = np.linspace(0.0, 2000.0, 4001)
    currents = current_from_millivolts(drops, **MINI_15)
    assert (np.diff(currents) > 0.0).all()
    assert np.diff(currents).max() < 0.2


@given(fuses, st.floats(0.01, 300.0))
def test_the_band_holds_the_reading(fuse, mv):
    low, middle, high = fields(read_fuse(mv, **fuse))
    assert 0.0 <= low < middle < high


@given(fuses, st.floats(0.0, 1.3), st.floats(-0.2, 0.2), st.floats(-0.3, 0.3))
def test_the_band_holds_the_true_current_of_any_fuse_and_meter_within_their_spread(
    fuse, share, fuse_off, meter_off
):
    true_a = share * fuse["rating_a"]
    actual = {**fuse, "cold_mohm": fuse["cold_mohm"] * (1 + fuse_off)}
    reading = read_fuse(max(fuse_drop_mv(true_a, **actual) + meter_off, 0.0), **fuse)
    assert reading.low_a <= true_a * (1 + 1e-9)
    assert true_a <= reading.high_a * (1 + 1e-9)


def test_a_fuse_read_before_it_has_warmed_up_is_in_the_band():
    """Ohm's law at the cold resistance: 9.0 A × 7.42 mΩ = 66.8 mV; a hot element needs 7.4 A."""
    found = read_fuse(66.8, 7.42, 10.0, hot_to_cold=1.4555, counts=3.0, resolution_mv=0.1)
    assert found.current_a == pytest.approx(7.44, abs=0.01)
    assert found.low_a < 7.5 < 9.0 <= found.high_a


@given(fuses, st.floats(0.0, 1.3), st.floats(-0.2, 0.2), st.floats(0.0, 1.0))
def test_however_far_it_has_warmed_up_the_most_is_never_below_the_true_current(
    fuse, share, fuse_off, warm
):
    true_a = share * fuse["rating_a"]
    cold, hot = true_a * fuse["cold_mohm"], fuse_drop_mv(true_a, **fuse)
    mv = (1 + fuse_off) * (cold + warm * (hot - cold))
    assert read_fuse(mv, **fuse).high_a >= true_a * (1 - 1e-9)


@given(fuses, st.floats(1.0, 100.0))
def test_a_calibrated_fuse_and_a_finer_meter_narrow_the_band(fuse, mv):
    usual = read_fuse(mv, **fuse)
    calibrated = read_fuse(mv, **fuse, spread=0.03)
    finer = read_fuse(mv, **fuse, resolution_mv=0.01)
    for better in (calibrated, finer):
        assert better.high_a - better.low_a < usual.high_a - usual.low_a


def test_below_the_meters_floor_there_is_no_figure_but_a_bound():
    reading = read_fuse(0.2, 4.58, 15.0)
    assert reading.below_floor
    assert reading.low_a == 0.0
    assert reading.floor_a == pytest.approx(0.3 / 4.58)
    assert reading.high_a > reading.floor_a
    assert not read_fuse(0.4, 4.58, 15.0).below_floor


def test_a_large_fuse_hides_more_current_than_a_small_one():
    floors = read_fuse(0.0, np.array([32.0, 4.58, 1.44]), np.array([3.0, 15.0, 40.0])).floor_a
    assert (np.diff(floors) > 0.0).all()


def test_a_current_the_fuse_could_not_carry_is_refused_once_and_kept_when_repeated():
    absurd = {"mv": 400.0, "cold_mohm": 4.58, "rating_a": 15.0}
    first = read_fuse(**absurd)
    assert first.above_rating
    assert first.refused
    again = read_fuse(**absurd, repeated=True)
    assert again.above_rating
    assert not again.refused
    assert again.current_a == first.current_a


def test_more_than_the_whole_vehicle_draws_is_refused():
    assert read_fuse(5.0, 4.58, 15.0, whole_vehicle_a=0.5).refused
    assert not read_fuse(5.0, 4.58, 15.0, whole_vehicle_a=1.0).refused


def test_a_reading_that_could_be_the_rating_within_its_band_is_believed():
    drop = fuse_drop_mv(15.0, **MINI_15)
    assert not read_fuse(drop, **MINI_15).refused


@given(fuses, st.floats(0.05, 1.3))
def test_calibrating_with_a_known_load_finds_the_cold_resistance(fuse, share):
    known = share * fuse["rating_a"]
    found = calibrate(fuse_drop_mv(known, **fuse), known, fuse["rating_a"], fuse["hot_to_cold"])
    assert found.cold_mohm == pytest.approx(fuse["cold_mohm"], rel=1e-9)


def test_a_calibration_far_from_the_data_sheet_is_not_believed():
    for cold, believed in [(4.58, True), (2.5, True), (9.0, True), (2.0, False), (10.0, False)]:
        found = calibrate(cold * 2.0, 2.0, 15.0, published_mohm=4.58)
        assert found.believable is believed


def test_a_fuse_cannot_be_calibrated_above_what_it_carries():
    with pytest.raises(InputProblem, match="known_a"):
        calibrate(100.0, OPENING_MULTIPLE * 15.0 + 0.1, 15.0)
    with pytest.raises(InputProblem, match="known_a"):
        calibrate(1.0, 0.0, 15.0)


def test_figures_that_make_no_sense_are_refused():
    with pytest.raises(InputProblem, match="cold_mohm"):
        current_from_millivolts(1.0, 0.0, 15.0)
    with pytest.raises(InputProblem, match="mv"):
        current_from_millivolts(float("nan"), 1.0, 15.0)
    with pytest.raises(InputProblem, match="rating_a"):
        current_from_millivolts(1.0, 1.0, 0.0)
    for ratio in (0.9, 2.3):
        with pytest.raises(InputProblem, match="hot_to_cold"):
            heating_constant(ratio)
    with pytest.raises(InputProblem, match="spread"):
        read_fuse(1.0, 4.58, 15.0, spread=1.0)
    with pytest.raises(InputProblem, match="counts"):
        read_fuse(1.0, 4.58, 15.0, counts=-1)


def test_a_whole_panel_is_read_at_once():
    panel = read_fuse(np.array([[0.0, 1.0], [5.0, 400.0]]), np.array([4.58, 4.58]), 15.0)
    assert panel.refused.tolist() == [[False, False], [False, True]]
    assert panel.below_floor.tolist() == [[True, False], [False, False]]
    alone = read_fuse(5.0, 4.58, 15.0)
    assert [panel.low_a[1, 0], panel.current_a[1, 0], panel.high_a[1, 0]] == fields(alone)
