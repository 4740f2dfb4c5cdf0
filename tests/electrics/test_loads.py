"""What a load draws: how each kind follows its voltage, and what a cable cannot feed."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics.loads import (
    LOAD_EXPONENTS,
    constant_power,
    load_current,
    watts_to_amperes,
)
from fusemap.errors import InputProblem

kinds = st.sampled_from(sorted(LOAD_EXPONENTS))
amperes = st.floats(0.01, 100.0)
volts = st.floats(5.0, 32.0)
ohms = st.floats(1e-3, 5.0)


@given(amperes, volts)
def test_watts_come_back_from_the_amperes(current, voltage):
    assert watts_to_amperes(current * voltage, voltage) == pytest.approx(current)


def test_a_converter_draws_more_than_it_gives():
    assert watts_to_amperes(100.0, 12.5, efficiency=0.8) == pytest.approx(10.0)
    assert watts_to_amperes(100.0, 12.5) == pytest.approx(8.0)


@given(kinds, amperes, volts)
def test_at_its_rated_voltage_a_load_draws_its_rated_current(kind, current, voltage):
    assert load_current(current, voltage, voltage, kind) == pytest.approx(current)


@given(amperes, volts, volts)
def test_a_constant_power_load_keeps_its_watts(current, at, rated):
    drawn = load_current(current, at, rated, "constant_power")
    assert drawn * at == pytest.approx(current * rated)


@given(amperes, volts, volts)
def test_a_constant_current_load_does_not_care(current, at, rated):
    assert load_current(current, at, rated, "constant_current") == pytest.approx(current)


@given(amperes, volts, volts)
def test_a_resistive_load_keeps_its_ohms(current, at, rated):
    assert at / load_current(current, at, rated, "resistive") == pytest.approx(rated / current)


@pytest.mark.parametrize(
    ("at", "share"), [(6.0, 0.6830), (10.0, 0.9046), (13.0, 1.0450), (14.5, 1.1097)]
)
def test_a_filament_lamp_follows_its_voltage_by_the_published_power(at, share):
    """Standard Handbook for Electrical Engineers, 11th ed., p. 22-8: (V/V0) to the power of 0.55.

    Worked by hand for a lamp of 12 V, e.g. exp(0.55 × ln(6/12)) = 0.6830.
    """
    assert load_current(5.0, at, 12.0, "filament") == pytest.approx(5.0 * share, rel=1e-4)


@given(amperes, st.floats(5.0, 11.9))
def test_on_a_flat_battery_the_kinds_part_in_a_fixed_order(current, at):
    by_kind = ["resistive", "filament", "constant_current", "constant_power"]
    drawn = [load_current(current, at, 12.0, kind) for kind in by_kind]
    assert drawn == sorted(drawn)
    assert len(set(drawn)) == 4


@given(amperes, volts, volts)
def test_a_filament_lies_between_resistance_and_constant_current(current, at, rated):
    low, high = sorted(
        load_current(current, at, rated, kind) for kind in ("resistive", "constant_current")
    )
    assert low * (1 - 1e-12) <= load_current(current, at, rated, "filament") <= high * (1 + 1e-12)


def test_a_motor_draws_what_its_torque_asks_at_any_voltage():
    """T = k·Φ·I of a direct-current machine: the same pull is the same current, only slower."""
    assert load_current(400.0, 9.0, 12.0, "motor") == 400.0


def test_exponents_may_be_given_for_many_loads_at_once():
    drawn = load_current(6.0, 10.0, 12.0, np.array([-1.0, 0.0, 1.0]))
    assert drawn == pytest.approx([7.2, 6.0, 5.0])


@given(volts, ohms, st.floats(0.0, 1.0))
def test_a_fed_load_gets_its_watts_and_the_cable_takes_the_rest(emf, ohm, share):
    watts = share * 0.999 * emf**2 / (4 * ohm)
    branch = constant_power(emf, ohm, watts)
    assert not branch.collapsed
    assert branch.voltage_v * branch.current_a == pytest.approx(watts)
    assert branch.voltage_v + ohm * branch.current_a == pytest.approx(emf)
    assert branch.voltage_v >= emf / 2


@given(volts, ohms, st.floats(1e-6, 100.0), st.booleans())
def test_a_quarter_of_e_squared_over_r_is_the_most_a_cable_gives(emf, ohm, distance, above):
    limit = emf**2 / (4 * ohm)
    watts = limit * (1 + distance) if above else limit / (1 + distance)
    branch = constant_power(emf, ohm, watts)
    assert branch.collapsed is above
    assert branch.limit_w == pytest.approx(limit)


@given(volts, ohms, st.floats(1.001, 1e6))
def test_after_a_collapse_the_last_point_that_holds_is_given(emf, ohm, over):
    branch = constant_power(emf, ohm, over * emf**2 / (4 * ohm))
    assert branch.voltage_v == pytest.approx(emf / 2)
    assert branch.current_a == pytest.approx(emf / (2 * ohm))


@given(volts, st.floats(0.0, 5.0), st.floats(0.0, 500.0), st.floats(0.0, 500.0))
def test_more_watts_never_raise_the_voltage(emf, ohm, watts, more):
    before, after = constant_power(emf, ohm, watts), constant_power(emf, ohm, watts + more)
    assert after.voltage_v <= before.voltage_v
    assert after.current_a >= before.current_a * (1 - 1e-12)


@given(volts, ohms, ohms, st.floats(0.0, 500.0))
def test_a_longer_cable_never_raises_the_voltage(emf, ohm, more, watts):
    before, after = constant_power(emf, ohm, watts), constant_power(emf, ohm + more, watts)
    assert after.voltage_v <= before.voltage_v


def test_without_any_resistance_everything_can_be_fed():
    branch = constant_power(12.0, 0.0, 1e6)
    assert (branch.voltage_v, branch.collapsed, branch.limit_w) == (12.0, False, np.inf)


def test_a_load_of_nothing_sees_the_whole_voltage():
    branch = constant_power(12.0, 0.5, 0.0)
    assert (branch.voltage_v, branch.current_a) == (12.0, 0.0)


def test_sound_and_collapsed_branches_are_told_apart_in_one_pass():
    branches = constant_power(12.0, [0.2, 0.2], [100.0, 200.0])
    assert branches.collapsed.tolist() == [False, True]
    assert np.isfinite(branches.voltage_v).all()


def test_figures_that_make_no_sense_are_refused():
    with pytest.raises(InputProblem, match="watts"):
        watts_to_amperes(-1.0, 12.0)
    with pytest.raises(InputProblem, match="volts"):
        watts_to_amperes(10.0, 0.0)
    with pytest.raises(InputProblem, match="efficiency"):
        watts_to_amperes(10.0, 12.0, efficiency=0.0)
    with pytest.raises(InputProblem, match="constant_power"):
        load_current(1.0, 12.0, 12.0, "inductive")
    with pytest.raises(InputProblem, match="emf_v"):
        constant_power(0.0, 0.1, 10.0)
    with pytest.raises(InputProblem, match="ohm"):
        constant_power(12.0, -0.1, 10.0)
