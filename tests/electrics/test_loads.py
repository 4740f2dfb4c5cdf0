"""What a load draws: how each kind follows its voltage."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics.loads import (
    LOAD_EXPONENTS,
    load_current,
)
from fusemap.errors import InputProblem

kinds = st.sampled_from(sorted(LOAD_EXPONENTS))
amperes = st.floats(0.01, 100.0)
volts = st.floats(5.0, 32.0)


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


def test_figures_that_make_no_sense_are_refused():
    with pytest.raises(InputProblem, match="constant_power"):
        load_current(1.0, 12.0, 12.0, "inductive")
    with pytest.raises(InputProblem, match="volts"):
        load_current(1.0, 0.0, 12.0, "resistive")
    with pytest.raises(InputProblem, match="rated_v"):
        load_current(1.0, 12.0, 0.0, "resistive")
    with pytest.raises(InputProblem, match="rated_a"):
        load_current(-1.0, 12.0, 12.0, "resistive")
