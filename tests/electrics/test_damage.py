"""The time for which a cable bears a current: the trade's two limits, and how they join."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics.cable_heat import conductor_temperature, temperature_after
from fusemap.electrics.protection import ADIABATIC_S, damage_time, heating_time, knee_current
from fusemap.errors import InputProblem

CABLE = (12.7, 1.5, 2.4, 25.0)
"""1.5 mm² at 25 °C: mΩ/m, mm², mm, °C."""
K = 87.4


def bears(current_a, start_c=None):
    return damage_time(current_a, K, 130.0, *CABLE, start_c)


def test_in_a_hard_short_the_time_falls_with_the_square_of_the_current():
    assert bears(200.0) == pytest.approx((K * 1.5 / 200.0) ** 2)
    assert bears(400.0) == pytest.approx(bears(200.0) / 4)


def test_a_current_the_cable_bears_for_good_never_harms_it():
    lasting = 10.0
    assert conductor_temperature(lasting, *CABLE) < 130.0
    assert bears(lasting) == np.inf


def test_beyond_five_seconds_it_is_the_time_of_heating_up():
    current = 45.0
    assert bears(current) == pytest.approx(heating_time(130.0, current, *CABLE))
    after = temperature_after(bears(current), current, *CABLE)
    assert after == pytest.approx(130.0, abs=0.05)


def test_the_two_limits_meet_at_five_seconds_each_in_its_own_span():
    knee = knee_current(K, 1.5)
    assert bears(knee * 1.0001) == pytest.approx(ADIABATIC_S, rel=1e-3)
    assert bears(knee * 0.9999) >= ADIABATIC_S


def test_a_cable_that_is_hot_already_holds_five_seconds_by_the_short_circuit_limit():
    assert heating_time(130.0, 40.0, *CABLE, start_c=140.0) == 0.0
    assert bears(40.0, start_c=140.0) == ADIABATIC_S


def test_a_warm_cable_bears_an_overload_for_less_time():
    assert bears(45.0, start_c=60.0) < bears(45.0, start_c=25.0)


@given(st.floats(1.0, 400.0), st.floats(1.0, 1.5), st.sampled_from([25.0, 60.0, 100.0]))
def test_more_current_is_never_borne_longer(current, more, start):
    assert bears(current * more, start) <= bears(current, start) * (1 + 1e-9)


@given(st.floats(5.0, 300.0), st.sampled_from([(0.5, 37.1, 1.6), (1.0, 18.5, 2.1)]))
def test_a_thicker_cable_bears_a_current_longer(current, thinner):
    area, r20, od = thinner
    thin = damage_time(current, K, 130.0, r20, area, od, 25.0)
    assert thin <= bears(current) * (1 + 1e-9)


def test_many_currents_at_once_are_as_one_by_one():
    currents = np.array([5.0, 30.0, 45.0, 90.0, 300.0])
    assert bears(currents) == pytest.approx([bears(float(each)) for each in currents])


def test_no_current_harms_nothing_and_nonsense_is_refused():
    assert bears(0.0) == np.inf
    with pytest.raises(InputProblem):
        bears(-1.0)
    with pytest.raises(InputProblem):
        damage_time(10.0, 0.0, 130.0, *CABLE)
