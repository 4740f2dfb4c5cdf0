"""Which of two fuses in series opens first, and how sure that is."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.operating_time import SeriesFuse, TimePoints, series_order
from fusemap.errors import InputProblem

INF = float("inf")
MINI = TimePoints(
    [1.1, 1.35, 2.0, 3.5, 6.0], [360e3, 0.75, 0.15, 0.08, 0.03], [INF, 600.0, 5.0, 0.5, 0.1]
)
MAXI = TimePoints(
    [1.0, 1.35, 2.0, 3.5, 6.0], [360e3, 60.0, 2.0, 0.2, 0.04], [INF, 1800.0, 50.0, 7.0, 1.0]
)
# typical melting I²t [A²s], Littelfuse MINI 297 and MAXI 299 data sheets
MINI_I2T = {5.0: 25.0, 7.5: 68.0, 10.0: 93.0, 15.0: 270.0, 20.0: 380.0, 30.0: 1130.0}

minis = st.sampled_from([SeriesFuse(rating, MINI, i2t) for rating, i2t in MINI_I2T.items()])
maxis = st.sampled_from([SeriesFuse(30.0, MAXI, 4100.0), SeriesFuse(40.0, MAXI, 8500.0)])
fuses = minis | maxis
currents = st.floats(0.1, 2000.0)


def mini(rating: float) -> SeriesFuse:
    return SeriesFuse(rating, MINI, MINI_I2T[rating])


@settings(max_examples=200)
@given(lower=fuses, upper=fuses, fault=currents)
def test_never_certain_when_the_bands_overlap(lower, upper, fault):
    order = series_order(lower, upper, fault)
    apart = order.lower_s[1] < order.upper_s[0] or order.upper_s[1] < order.lower_s[0]
    assert (order.sureness == "certain") is apart
    if order.sureness == "certain":
        first, second = order.lower_s, order.upper_s
        if order.first == "upper":
            first, second = second, first
        assert first[1] < second[0]


@settings(max_examples=100)
@given(lower=fuses, upper=fuses, fault=currents)
def test_the_answer_does_not_depend_on_which_fuse_is_named_lower(lower, upper, fault):
    order, mirrored = series_order(lower, upper, fault), series_order(upper, lower, fault)
    swap = {"lower": "upper", "upper": "lower", "": ""}
    assert mirrored.first == swap[order.first]
    assert mirrored.sureness == order.sureness


@settings(max_examples=50)
@given(fuse=fuses, fault=currents)
def test_two_alike_fuses_are_always_open(fuse, fault):
    order = series_order(fuse, fuse, fault)
    assert (order.first, order.sureness) == ("", "open")


def test_a_small_accessory_fuse_below_a_large_maxi_opens_first_for_certain():
    # 80 A through 5 A mini (16 times: at most 0.1 s) and 40 A maxi (twice: at least 2 s)
    order = series_order(mini(5.0), SeriesFuse(40.0, MAXI, 8500.0), 80.0)
    assert (order.first, order.sureness) == ("lower", "certain")


def test_an_accessory_fuse_larger_than_the_host_lets_the_host_go_first():
    order = series_order(mini(30.0), mini(5.0), 200.0)
    assert (order.first, order.sureness) == ("upper", "likely")
    assert order.melting_ratio == pytest.approx(25.0 / 1130.0)


def test_neighbouring_ratings_stay_open():
    # 10 A below 7.5 A: melting I²t 93 and 68 A²s
    assert series_order(mini(7.5), mini(10.0), 200.0).sureness == "open"


def test_twice_the_melting_i2t_is_likely_and_less_is_open():
    """Littelfuse MAXI 299 data sheet: 8500 A²s at 40 A, 4100 A²s at 30 A, 2.07 times as much."""
    thirty, forty = SeriesFuse(30.0, MAXI, 4100.0), SeriesFuse(40.0, MAXI, 8500.0)
    assert series_order(thirty, forty, 200.0).sureness == "likely"
    barely = SeriesFuse(30.0, MAXI, 8500.0 / 1.99)
    assert series_order(barely, forty, 200.0).sureness == "open"


def test_a_soft_overload_is_not_judged_by_melting_i2t():
    # 25 A: below twice the 15 A fuse's rating
    assert series_order(mini(5.0), mini(15.0), 25.0).sureness == "open"
    assert series_order(mini(5.0), mini(15.0), 31.0).sureness == "likely"


def test_without_a_published_melting_i2t_only_the_times_count():
    nameless = SeriesFuse(15.0, MINI)
    order = series_order(mini(5.0), nameless, 150.0)
    assert (order.sureness, order.melting_ratio) == ("open", None)


def test_a_working_current_opens_neither():
    order = series_order(mini(5.0), mini(15.0), 3.0)
    assert order.lower_s == order.upper_s == (360e3, INF)
    assert order.sureness == "open"


@pytest.mark.parametrize(
    ("call", "where"),
    [
        (lambda: series_order(mini(5.0), mini(15.0), 0.0), "fault_a"),
        (lambda: series_order(mini(5.0), mini(15.0), np.nan), "fault_a"),
        (lambda: series_order(SeriesFuse(0.0, MINI), mini(15.0), 50.0), "rating_a"),
        (lambda: series_order(SeriesFuse(5.0, MINI, 0.0), mini(15.0), 50.0), "melting_i2t_a2s"),
    ],
)
def test_figures_that_make_no_fuse_are_refused_by_name(call, where):
    with pytest.raises(InputProblem) as refusal:
        call()
    assert refusal.value.where == where
