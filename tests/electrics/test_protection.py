"""Whether a fuse protects its cable."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.cable import resistance_ohm
from fusemap.electrics.protection import (
    adiabatic_k,
    far_end,
    longest_length,
    overload_gap,
    short_check,
)
from fusemap.errors import InputProblem

THIN = (12.7, 1.5, 2.4)
RATINGS = [5.0, 7.5, 10.0, 15.0, 20.0, 30.0]

lengths = st.floats(0.0, 100.0)
sections = st.floats(0.2, 50.0)
temperatures = st.floats(-40.0, 120.0)


@settings(max_examples=60)
@given(shorter=lengths, longer=lengths, rating=st.sampled_from(RATINGS))
def test_a_longer_cable_never_clears_better(shorter, longer, rating):
    shorter, longer = sorted((shorter, longer))
    ohm = resistance_ohm(12.7, np.array([shorter, longer]), 85.0)
    short = far_end(11.0, rating, ohm, 0.02)
    assert short.fault_a[1] <= short.fault_a[0]
    assert short.wanted.passed[0] or not short.wanted.passed[1]
    assert short.least.passed[0] or not short.least.passed[1]


@settings(max_examples=60)
@given(rating=st.floats(1.0, 100.0), r20=st.floats(0.5, 60.0), other=st.floats(0.0, 0.05))
def test_at_the_longest_length_the_fuse_just_clears(rating, r20, other):
    length = longest_length(11.0, rating, r20, other)
    if length == 0.0:
        assert 11.0 / (3.5 * rating) <= other
    else:
        short = far_end(11.0, rating, resistance_ohm(r20, length, 85.0), other)
        assert short.wanted.found == pytest.approx(3.5)


def test_a_larger_fuse_clears_only_a_shorter_cable():
    found = longest_length(11.0, np.array(RATINGS), 12.7, 0.02)
    assert np.all(np.diff(found) < 0.0)


def test_what_is_wanted_lies_above_the_very_least():
    short = far_end(11.0, 10.0, cable_ohm=0.35, other_ohm=0.05)  # 27.5 A
    assert short.least.passed
    assert not short.wanted.passed
    assert short.wanted.unit == "× rating"


def test_a_rest_of_the_loop_that_is_too_much_leaves_no_length():
    assert longest_length(11.0, 30.0, 12.7, 1.0) == 0.0


@settings(max_examples=60)
@given(start=temperatures, warmer=st.floats(0.0, 30.0))
def test_a_warmer_start_leaves_less_for_the_short(start, warmer):
    assert adiabatic_k(start + warmer, 200.0) <= adiabatic_k(start, 200.0)


@settings(max_examples=60)
@given(seconds=st.floats(0.001, 5.0), area=sections, over=st.sampled_from([0.999, 1.001]))
def test_a_section_bears_k_times_itself_over_the_root_of_the_time(seconds, area, over):
    current = over * 115.0 * area / seconds**0.5
    assert short_check(current**2 * seconds, area, 115.0).passed is (over < 1.0)


def test_a_fuse_that_never_opens_fast_passes_no_section():
    assert not short_check(np.inf, 50.0, 115.0).passed


@settings(max_examples=40)
@given(load=st.floats(0.0, 10.0), longer=st.floats(0.0, 1200.0))
def test_a_longer_overload_is_never_cooler(load, longer):
    gap = overload_gap(15.0, [600.0, 600.0 + longer], 105.0, *THIN, 25.0, load)
    assert gap.found[1] >= gap.found[0] - 1e-9


def test_a_larger_fuse_makes_the_overload_hotter():
    found = overload_gap(np.array(RATINGS), 600.0, 105.0, *THIN, 25.0).found
    assert np.all(np.diff(found) > 0.0)


def test_in_a_thin_cable_a_stronger_shorter_overload_is_the_hotter_one():
    # Littelfuse ATOF 287 time-current points: 135 % up to 600 s, 160 % up to 50 s
    seconds, multiples = np.array([600.0, 50.0]), np.array([1.35, 1.6])
    thin = overload_gap(15.0, seconds, 130.0, 24.7, 0.75, 1.9, 25.0, multiple=multiples)
    thick = overload_gap(15.0, seconds, 130.0, 7.6, 2.5, 3.0, 25.0, multiple=multiples)
    assert thin.passed.tolist() == [True, False]
    assert thick.found[1] < thick.found[0]


def test_a_loaded_cable_starts_the_overload_warm():
    cold = overload_gap(15.0, 20.0, 105.0, *THIN, 25.0, load_a=0.0)
    warm = overload_gap(15.0, 20.0, 105.0, *THIN, 25.0, load_a=11.0)
    assert warm.found > cold.found


def test_an_overload_far_beyond_the_cable_has_no_margin_left():
    assert overload_gap(200.0, 600.0, 105.0, *THIN, 25.0).found == np.inf
    melted_by_its_load = overload_gap(5.0, 600.0, 105.0, *THIN, 25.0, load_a=1000.0)
    assert melted_by_its_load.found == np.inf
    assert not melted_by_its_load.passed


@pytest.mark.parametrize(
    ("call", "where"),
    [
        (lambda: adiabatic_k(160.0, 160.0), "end_c"),
        (lambda: adiabatic_k(-300.0, 160.0), "end_c"),
        (lambda: short_check(1.0, 0.0, 115.0), "area_mm2"),
        (lambda: short_check(float("nan"), 1.0, 115.0), "i2t_a2s"),
        (lambda: short_check(1.0, 1.0, 0.0), "k"),
        (lambda: far_end(11.0, 10.0, 0.0, 0.0), "ohm"),
        (lambda: far_end(0.0, 10.0, 0.1, 0.0), "u_min_v"),
        (lambda: far_end(11.0, 0.0, 0.1, 0.0), "rating_a"),
        (lambda: overload_gap(0.0, 600.0, 105.0, *THIN, 25.0), "rating_a"),
        (lambda: overload_gap(10.0, 600.0, float("nan"), *THIN, 25.0), "limit_c"),
        (lambda: longest_length(11.0, 10.0, 0.0, 0.0), "r20_mohm_per_m"),
    ],
)
def test_figures_that_make_no_protection_are_refused_by_name(call, where):
    with pytest.raises(InputProblem) as refusal:
        call()
    assert refusal.value.where == where
