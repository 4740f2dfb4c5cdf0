"""What a fuse carries for good, its inrush, the rating a load needs."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.fuses import (
    NO_LINE,
    PULSE_SHAPES,
    PULSE_SHARES,
    ReratingLine,
    choose_fuse,
    continuous_limit,
    inrush_check,
    pulse_i2t,
    pulse_share,
    share_limit,
    table_limit,
)
from fusemap.errors import InputProblem

MINI_LINE = ReratingLine(-39.85, 1.0997, 123.12, 0.8528)
RATINGS = np.array([2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0])
COLUMNS = [-40.0, 0.0, 20.0, 65.0, 85.0, 110.0, 125.0]
REGULAR_20 = [20.0, 19.0, 18.0, 15.0, 14.0, 12.0, 10.0]

ambients = st.floats(-40.0, 140.0)
loads = st.floats(0.0, 40.0)


@settings(max_examples=100)
@given(cooler=ambients, warmer=ambients)
def test_a_hotter_place_never_raises_a_limit(cooler, warmer):
    cooler, warmer = sorted((cooler, warmer))
    assert share_limit(10.0, warmer, line=MINI_LINE) <= share_limit(10.0, cooler, line=MINI_LINE)
    assert share_limit(10.0, warmer) <= share_limit(10.0, cooler)
    assert table_limit(COLUMNS, REGULAR_20, warmer) <= table_limit(COLUMNS, REGULAR_20, cooler)


@settings(max_examples=50)
@given(ambient=ambients, table_a=st.floats(0.0, 30.0))
def test_the_share_is_never_put_on_the_table(ambient, table_a):
    limit = continuous_limit(20.0, ambient, line=MINI_LINE, table_a=table_a)
    assert limit == min(share_limit(20.0, ambient, line=MINI_LINE), table_a)


def test_a_table_below_the_share_rules_alone():
    # 20 A at 125 °C: table 10 A, share 15 A; not 0.75 · 10 A
    assert continuous_limit(20.0, 125.0, table_a=10.0) == 10.0


def test_above_the_hottest_column_nothing_is_published_so_nothing_is_allowed():
    assert table_limit(COLUMNS, REGULAR_20, 125.1) == 0.0
    assert share_limit(20.0, 125.1) == 0.0


def test_an_ambient_on_a_column_reads_that_column():
    assert table_limit(COLUMNS, REGULAR_20, 65.0) == 15.0
    assert table_limit(COLUMNS, REGULAR_20, 65.1) == 14.0


def test_a_table_of_many_fuses_at_many_places():
    tables = np.array([REGULAR_20, [1.0] * 7])
    assert table_limit(COLUMNS, tables, 65.0).tolist() == [15.0, 1.0]
    assert table_limit(COLUMNS, tables, [20.0, 130.0]).tolist() == [18.0, 0.0]
    one_fuse = table_limit(COLUMNS, REGULAR_20, [-50.0, 20.0, 70.0])
    assert one_fuse.tolist() == [20.0, 18.0, 14.0]


@settings(max_examples=100)
@given(smaller=loads, larger=loads, ambient=ambients)
def test_a_larger_load_never_gets_a_smaller_fuse(smaller, larger, ambient):
    smaller, larger = sorted((smaller, larger))
    limits = continuous_limit(RATINGS, ambient, line=MINI_LINE)
    small, large = (choose_fuse(load, RATINGS, limits).rating_a for load in (smaller, larger))
    assert large is None or (small is not None and small <= large)


def test_more_pulses_never_allow_a_larger_share():
    counts = np.arange(1, 100_001, 37)
    assert np.all(np.diff(pulse_share(counts)) <= 0.0)
    assert pulse_share(list(PULSE_SHARES)) == pytest.approx(list(PULSE_SHARES.values()))


def test_pulses_beyond_the_published_count_are_refused():
    with pytest.raises(InputProblem, match="pulses"):
        pulse_share(100_001)


@pytest.mark.parametrize("shape", PULSE_SHAPES)
def test_an_inrush_is_the_integral_of_its_square(shape):
    scipy_integrate = pytest.importorskip("scipy.integrate")
    peak, length = 30.0, 0.02
    # the forms of the catalogue's chart: constant, slope to zero, half sine, i = peak·(1 - t/T)²,
    # exponential decay to its end
    forms = {
        "constant": lambda t: peak,
        "slope": lambda t: peak * (1.0 - t / length),
        "half_sine": lambda t: peak * np.sin(np.pi * t / length),
        "parabola": lambda t: peak * (1.0 - t / length) ** 2,
        "decay": lambda t: peak * np.exp(-t / length),
    }
    end = 40.0 * length if shape == "decay" else length
    exact, _ = scipy_integrate.quad(lambda t: forms[shape](t) ** 2, 0.0, end, limit=200)
    assert pulse_i2t(shape, peak, length) == pytest.approx(exact, rel=1e-6)


def test_a_slope_that_ends_at_a_current_counts_both_ends():
    scipy_integrate = pytest.importorskip("scipy.integrate")
    exact, _ = scipy_integrate.quad(lambda t: (30.0 - 20.0 * t / 0.5) ** 2, 0.0, 0.5)
    assert pulse_i2t("slope", 30.0, 0.5, base_a=10.0) == pytest.approx(exact)


def test_inrush_of_a_row_of_fuses():
    check = inrush_check(20.0, [68.0, 93.0, 270.0])
    assert check.passed.tolist() == [False, True, True]


@pytest.mark.parametrize(
    ("call", "where"),
    [
        (lambda: share_limit(-10.0, 25.0), "rating_a"),
        (lambda: share_limit(10.0, float("nan")), "ambient_c"),
        (lambda: share_limit(10.0, 25.0, share=0.0), "share"),
        (lambda: table_limit([20.0, 20.0], [1.0, 1.0], 20.0), "columns_c"),
        (lambda: table_limit([20.0, 65.0], [1.0, -1.0], 20.0), "allowed_a"),
        (lambda: continuous_limit(10.0, 25.0, table_a=-1.0), "table_a"),
        (lambda: pulse_i2t("square", 5.0, 0.1), "shape"),
        (lambda: pulse_i2t("constant", -5.0, 0.1), "peak_a"),
        (lambda: inrush_check(1.0, 0.0), "melting_i2t_a2s"),
    ],
)
def test_figures_that_make_no_fuse_are_refused_by_name(call, where):
    with pytest.raises(InputProblem) as refusal:
        call()
    assert refusal.value.where == where


def test_a_family_without_a_line_keeps_its_rating_to_125_c():
    assert NO_LINE.factor([-40.0, 25.0, 125.0, 126.0]).tolist() == [1.0, 1.0, 1.0, 0.0]
