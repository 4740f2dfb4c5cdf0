"""A figure held against its limit."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.values import Comparison

figures = st.floats(0.0, 1e6) | st.just(float("inf"))
directions = st.sampled_from(["at_most", "at_least"])


def test_a_load_at_its_limit_passes():
    exact = Comparison(7.5, 7.5, "at_most", "A")
    assert exact.passed
    assert exact.ratio == 1.0
    assert exact.margin == 0.0


def test_ratio_reads_the_same_for_both_directions():
    load = Comparison(6.0, 7.5, "at_most", "A")
    voltage = Comparison(12.0, 9.6, "at_least", "V")
    assert load.ratio == pytest.approx(0.8)
    assert voltage.ratio == pytest.approx(0.8)
    assert load.margin == pytest.approx(1.5)
    assert voltage.margin == pytest.approx(2.4)


@settings(max_examples=100)
@given(found=figures, limit=figures, direction=directions)
def test_passed_means_a_ratio_of_at_most_one_and_no_negative_margin(found, limit, direction):
    check = Comparison(found, limit, direction, "A")
    assert not np.isnan(check.ratio)
    assert not np.isnan(check.margin)
    assert check.passed is bool(check.margin >= 0.0)
    if check.passed:
        assert check.ratio <= 1.0
    else:
        assert check.ratio >= 1.0  # equal where the two differ by less than a rounding


def test_a_limit_of_nothing_takes_nothing():
    assert Comparison(0.0, 0.0, "at_most", "A").passed
    assert Comparison(0.1, 0.0, "at_most", "A").ratio == np.inf
    assert Comparison(0.1, 1e-310, "at_most", "A").ratio == np.inf


def test_endless_against_endless_is_exactly_on_the_limit():
    check = Comparison(np.inf, np.inf, "at_most", "A²s")
    assert (check.ratio, check.margin, check.passed) == (1.0, 0.0, True)


def test_no_limit_leaves_an_endless_margin():
    check = Comparison(5.0, np.inf, "at_most", "A²s")
    assert (check.ratio, check.margin, check.passed) == (0.0, np.inf, True)


def test_one_item_of_many_against_a_common_limit():
    many = Comparison(np.array([[0.1, 0.2], [0.3, 0.4]]), np.array([0.15, 0.35]), "at_most", "V")
    one = many.at((1, 0))
    assert (one.found, one.limit, one.passed) == (0.3, 0.15, False)
    assert isinstance(one.found, float)
    assert many.passed.tolist() == [[True, True], [False, False]]
