"""When a fuse opens: only what the published points bracket."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.operating_time import TimePoints
from fusemap.errors import InputProblem

INF = float("inf")
# Littelfuse MINI blade fuse 32 V, series 297 data sheet
MINI = TimePoints(
    [1.1, 1.35, 2.0, 3.5, 6.0], [360e3, 0.75, 0.15, 0.08, 0.03], [INF, 600.0, 5.0, 0.5, 0.1]
)
multiples = st.floats(0.0, 12.0)


def test_on_a_published_point_the_band_is_that_point():
    assert MINI.band(2.0) == (0.15, 5.0)
    assert MINI.band(1.1) == (360e3, INF)


def test_between_two_points_the_band_is_the_wider_bracket_not_a_point_in_between():
    assert MINI.band(2.7) == (0.08, 5.0)


def test_below_the_first_point_the_fuse_holds_and_may_hold_for_ever():
    assert MINI.band(0.75) == (360e3, INF)


def test_above_the_last_point_it_may_open_at_once():
    assert MINI.band(8.0) == (0.0, 0.1)


@settings(max_examples=100)
@given(smaller=multiples, larger=multiples)
def test_a_larger_current_never_opens_the_fuse_later(smaller, larger):
    smaller, larger = sorted((smaller, larger))
    slow, fast = MINI.band(smaller), MINI.band(larger)
    assert fast.min_s <= slow.min_s
    assert fast.max_s <= slow.max_s
    assert fast.min_s <= fast.max_s


def test_a_bound_that_is_missing_is_filled_by_the_neighbours_only():
    gaps = TimePoints([1.35, 3.5, 6.0], [60.0, 0.0, 0.04], [1800.0, INF, 1.0])
    assert gaps.band(3.5) == (0.04, 1800.0)
    assert gaps.band(2.0) == (0.04, 1800.0)


def test_bands_of_many_currents_at_once():
    band = MINI.band(np.array([[1.35, 2.0], [3.5, 6.0]]))
    assert band.max_s.tolist() == [[600.0, 5.0], [0.5, 0.1]]


def test_let_through_counts_only_points_that_open_fast():
    assert MINI.let_through_i2t(10.0) == pytest.approx(20.0**2 * 5.0)
    assert MINI.let_through_i2t(10.0, longest_s=0.5) == pytest.approx(35.0**2 * 0.5)
    assert MINI.let_through_i2t(10.0, longest_s=0.01) == 0.0


def test_let_through_of_twice_the_rating_is_four_times():
    assert MINI.let_through_i2t([10.0, 20.0]) == pytest.approx([2000.0, 8000.0])


@pytest.mark.parametrize(
    "bad",
    [
        lambda: TimePoints([2.0, 1.35], [1.0, 1.0], [5.0, 5.0]),
        lambda: TimePoints([2.0, 2.0], [1.0, 1.0], [5.0, 5.0]),
        lambda: TimePoints([2.0], [-1.0], [5.0]),
        lambda: TimePoints([2.0], [1.0], [0.0]),
        lambda: TimePoints([2.0, 3.5], [1.0, 1.0, 1.0], [5.0, 5.0, 5.0]),
        lambda: TimePoints([2.0], [6.0], [5.0]),
        lambda: MINI.band(-1.0),
        lambda: MINI.band(float("nan")),
        lambda: MINI.let_through_i2t(0.0),
    ],
)
def test_figures_that_make_no_fuse_are_refused(bad):
    with pytest.raises(InputProblem):
        bad()
