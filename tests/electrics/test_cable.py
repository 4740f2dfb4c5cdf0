"""Resistance, drop and gauge of a cable: length, load and heat only make it worse."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics.cable import (
    awg_from_area,
    awg_name,
    loop_resistance,
    nearest_awg,
    resistance_factor,
    resistance_ohm,
)
from fusemap.errors import InputProblem

per_metre = st.floats(0.1, 60.0)
metres = st.floats(0.1, 30.0)
celsius = st.floats(-40.0, 160.0)


def test_copper_has_its_table_resistance_at_20_degrees():
    assert resistance_factor(20.0) == 1.0
    assert resistance_ohm(7.6, 1000.0) == pytest.approx(7.6)


@given(celsius, st.floats(0.1, 100.0))
def test_a_warmer_cable_resists_more(temperature, warmer):
    assert resistance_factor(temperature + warmer) > resistance_factor(temperature)


@given(per_metre, metres, metres, celsius)
def test_resistances_of_lengths_add_up(r20, one, other, temperature):
    together = resistance_ohm(r20, one + other, temperature)
    apart = resistance_ohm(r20, one, temperature) + resistance_ohm(r20, other, temperature)
    assert together == pytest.approx(apart)


@given(per_metre, metres, metres)
def test_the_way_there_and_the_way_back_may_be_exchanged(r20, there, back):
    assert loop_resistance(r20, there, back) == pytest.approx(loop_resistance(r20, back, there))


@given(per_metre, metres, st.floats(0.0, 0.05))
def test_a_body_return_leaves_only_the_plus_cable_and_the_joints(r20, plus, joints):
    loop = loop_resistance(r20, plus, 0.0, fixed_ohm=joints)
    assert loop == pytest.approx(resistance_ohm(r20, plus) + joints)


@given(per_metre, per_metre, metres, metres, celsius)
def test_a_return_cable_of_another_section_counts_by_its_own_resistance(
    r20, back_r20, plus, back, temperature
):
    loop = loop_resistance(r20, plus, back, temperature, return_r20_mohm_per_m=back_r20)
    there = resistance_ohm(r20, plus, temperature)
    assert loop == pytest.approx(there + resistance_ohm(back_r20, back, temperature))


def test_joints_do_not_warm_with_the_cable():
    cold, hot = (loop_resistance(7.6, 1.0, 0.0, t, fixed_ohm=0.1) for t in (20.0, 85.0))
    assert hot - cold == pytest.approx(0.0076 * 65.0 * 0.00393)


@given(st.floats(0.05, 100.0), st.floats(1.01, 3.0))
def test_a_higher_gauge_number_is_a_thinner_wire(area, thicker):
    assert awg_from_area(area * thicker) < awg_from_area(area)


@given(st.floats(0.05, 120.0))
def test_39_gauge_numbers_are_a_factor_of_92_in_diameter(area):
    assert awg_from_area(area / 92.0**2) == pytest.approx(awg_from_area(area) + 39.0)


@given(st.floats(0.05, 120.0))
def test_the_nearest_gauge_is_within_half_a_step(area):
    assert abs(nearest_awg(area) - awg_from_area(area)) <= 0.5


@pytest.mark.parametrize(
    ("awg", "name"), [(18, "18"), (1, "1"), (0, "1/0"), (-1, "2/0"), (-3, "4/0")]
)
def test_thick_gauges_are_written_as_noughts(awg, name):
    assert awg_name(awg) == name


def test_many_cables_are_reckoned_at_once():
    loops = loop_resistance(np.array([12.7, 7.6]), np.array([[1.0], [4.0]]), 0.0)
    assert loops.shape == (2, 2)
    assert loops[1, 0] == pytest.approx(loop_resistance(12.7, 4.0, 0.0))


def test_figures_that_make_no_sense_are_refused():
    with pytest.raises(InputProblem, match="r20_mohm_per_m"):
        resistance_ohm(0.0, 1.0)
    with pytest.raises(InputProblem, match="length_m"):
        resistance_ohm(7.6, -1.0)
    with pytest.raises(InputProblem, match="temperature_c"):
        resistance_factor(-240.0)
    with pytest.raises(InputProblem, match="fixed_ohm"):
        loop_resistance(7.6, 1.0, 1.0, fixed_ohm=-0.01)
    with pytest.raises(InputProblem, match="area_mm2"):
        nearest_awg(0.0)
