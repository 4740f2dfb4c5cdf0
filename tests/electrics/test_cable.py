"""Resistance, drop and gauge of a cable: length, load and heat only make it worse."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics.cable import (
    allowed_length,
    awg_area_mm2,
    awg_diameter_mm,
    awg_from_area,
    awg_name,
    loop_resistance,
    nearest_awg,
    resistance_factor,
    resistance_ohm,
    section_for_drop,
    voltage_drop,
)
from fusemap.errors import InputProblem

per_metre = st.floats(0.1, 60.0)
metres = st.floats(0.1, 30.0)
amperes = st.floats(0.1, 200.0)
celsius = st.floats(-40.0, 160.0)
drops = st.floats(0.05, 2.5)


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


@given(amperes, st.floats(0.001, 2.0), st.floats(0.1, 50.0))
def test_more_current_drops_more(current, ohm, more):
    assert voltage_drop(current + more, ohm) > voltage_drop(current, ohm)


@given(drops, amperes, per_metre, celsius, st.floats(0.0, 0.01))
def test_a_cable_of_the_allowed_length_drops_exactly_what_is_allowed(
    drop, current, r20, temperature, joints
):
    length = allowed_length(drop, current, r20, temperature, joints)
    loop = loop_resistance(r20, length, 0.0, temperature, joints)
    if length > 0.0:
        assert voltage_drop(current, loop) == pytest.approx(drop)
    else:
        assert voltage_drop(current, joints) >= drop * (1 - 1e-12)


@given(drops, amperes, per_metre, st.floats(0.1, 100.0))
def test_more_current_or_a_hotter_cable_shortens_what_is_allowed(drop, current, r20, more):
    usual = allowed_length(drop, current, r20)
    assert allowed_length(drop, current + more, r20) < usual
    assert allowed_length(drop, current, r20, 20.0 + more) < usual


def test_joints_that_use_up_the_drop_leave_no_length():
    assert allowed_length(0.3, 20.0, 7.6, fixed_ohm=0.02) == 0.0


@given(metres, amperes, drops)
def test_the_section_for_a_drop_gives_that_drop(length, current, drop):
    section = section_for_drop(length, current, drop)
    per_metre_mohm = 17.241 / section
    found = voltage_drop(current, resistance_ohm(per_metre_mohm, length))
    assert found == pytest.approx(drop)


@given(st.floats(-3.0, 40.0), st.floats(0.1, 10.0))
def test_a_higher_gauge_number_is_a_thinner_wire(awg, more):
    assert awg_area_mm2(awg + more) < awg_area_mm2(awg)


@given(st.floats(-3.0, 40.0))
def test_39_gauge_numbers_are_a_factor_of_92_in_diameter(awg):
    assert awg_diameter_mm(awg) / awg_diameter_mm(awg + 39.0) == pytest.approx(92.0)


@given(st.integers(-3, 40))
def test_a_gauge_is_nearest_to_its_own_section(awg):
    assert nearest_awg(awg_area_mm2(awg)) == awg
    assert awg_from_area(awg_area_mm2(awg)) == pytest.approx(awg)


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
    with pytest.raises(InputProblem, match="current_a"):
        allowed_length(0.3, 0.0, 7.6)
    with pytest.raises(InputProblem, match="drop_v"):
        section_for_drop(1.0, 1.0, 0.0)
    with pytest.raises(InputProblem, match="area_mm2"):
        nearest_awg(0.0)
