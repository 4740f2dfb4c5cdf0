"""The voltage at a cranking battery and the charge a start needs: what must hold of any battery."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.battery import CCA_C
from fusemap.electrics.starting import (
    NEVER,
    LeadCold,
    LithiumCold,
    Starting,
    charge_rise,
    current_rise,
    rated_ohm,
)
from fusemap.errors import InputProblem

SOC = np.array([0.0, 0.25, 0.5, 0.75, 1.0])
VOLTS = np.array([11.8, 12.03, 12.22, 12.43, 12.64])
LITHIUM_V = np.array([10.0, 13.0, 13.18, 13.3, 13.5])

warm_a = st.floats(30.0, 400.0)
share = st.floats(0.4, 1.0)
celsius = st.floats(-30.0, 35.0)
charge = st.floats(0.02, 1.0)


def battery(amps: float, left: float = 1.0, *, least_v: float = 7.6, floor: float = 0.1,
            cca: float = 640.0) -> Starting:  # fmt: skip
    ohm = float(rated_ohm(12.5, 0.7, 7.5, 10.0, cca)) / left * 0.9
    drop = amps * float(current_rise(CCA_C)) * ohm
    return Starting(SOC, VOLTS, drop, CCA_C, 1.0, least_v, floor, LeadCold())


def lithium(amps: float) -> Starting:
    return Starting(SOC, LITHIUM_V, amps * 0.012, 25.0, 1.0, 7.6, 0.15, LithiumCold(),
                    towards_empty=0.0)  # fmt: skip


@given(warm_a, share, celsius, charge)
def test_a_reading_made_by_the_model_gives_the_model_back(amps, left, cold, soc):
    """D1 = rest − crank − lost at T1 and s1, and then every voltage is the same as before."""
    one = battery(amps, left)
    rest, cranked = (float(f(soc, cold)) for f in (one.rest_v, one.cranking_v))
    read = Starting(SOC, VOLTS, rest - cranked - 0.7, cold, soc, 7.6, 0.1, LeadCold())
    for other_soc, other_c in ((0.3, -15.0), (0.9, 20.0), (0.6, 0.0)):
        assert read.cranking_v(other_soc, other_c) == pytest.approx(
            one.cranking_v(other_soc, other_c), abs=1e-6
        )
    assert read.need(-10.0) == pytest.approx(one.need(-10.0), abs=1e-5)


@given(warm_a, share, celsius, st.lists(charge, min_size=2, max_size=5))
def test_more_charge_never_gives_the_starter_less(amps, left, cold, socs):
    for one in (battery(amps, left), lithium(amps)):
        volts = [one.cranking_v(soc, cold) for soc in sorted(socs)]
        assert volts == sorted(volts)


@given(warm_a, share, charge, st.lists(st.floats(-30.0, 21.0), min_size=2, max_size=5))
def test_the_colder_it_is_the_less_the_starter_gets(amps, left, soc, temperatures):
    for one in (battery(amps, left), lithium(amps)):
        volts = [one.cranking_v(soc, cold) for cold in sorted(temperatures)]
        assert volts == sorted(volts)


@settings(max_examples=200)
@given(warm_a, share, celsius, st.floats(6.5, 9.0), st.floats(0.05, 0.4))
def test_the_need_is_where_the_voltage_meets_the_least_or_the_floor(amps, left, cold, least, floor):
    one = battery(amps, left, least_v=least, floor=floor)
    need = float(one.need(cold))
    if need == NEVER:
        assert float(one.cranking_v(1.0, cold)) < least
        return
    assert need >= floor
    assert float(one.cranking_v(need, cold)) >= least - 1e-4
    if need > floor + 1e-6:
        assert float(one.cranking_v(need - 1e-4, cold)) < least


def test_never_is_an_answer_and_not_a_full_battery():
    assert battery(400.0, 0.5).need(-25.0) == NEVER
    assert battery(60.0).need(20.0) == pytest.approx(0.1)


def test_a_thousand_draws_go_at_once_and_give_what_each_gives_alone():
    rng = np.random.default_rng(3)
    amps, left = rng.uniform(60, 300, 1000), rng.uniform(0.5, 1.0, 1000)
    together = np.asarray(battery(amps, left).need(-8.0))  # type: ignore[arg-type]
    alone = [float(battery(amps[n], left[n]).need(-8.0)) for n in range(0, 1000, 97)]
    assert together[::97].tolist() == pytest.approx(alone)
    assert np.isinf(together).any()
    assert np.isfinite(together).any()


def test_a_start_in_the_frost_left_by_a_reading_in_the_warm():
    """12.60 V at rest and 10.5 V cranking at 20 °C: some 7.4 V at −10 °C and half charge.

    11.0 V leave some 8.8 V, 9.5 V no start in the frost.
    """
    left = {}
    for cranked in (11.0, 10.5, 9.5):
        one = Starting(SOC, VOLTS, 12.6 - cranked - 0.7, 20.0, 0.95, 7.6, 0.1, LeadCold())
        left[cranked] = float(one.cranking_v(0.5, -10.0))
        if cranked == 9.5:
            assert one.need(-10.0) == NEVER
    assert left[10.5] == pytest.approx(7.4, abs=0.15)
    assert left[11.0] == pytest.approx(8.8, abs=0.15)


@pytest.mark.parametrize(
    ("cold", "grown"), [(10.0, 1.2), (0.0, 1.6), (-2.0, 1.8), (-10.0, 2.4), (-20.0, 3.7)]
)
def test_how_far_the_drop_grows_in_the_cold(cold, grown):
    """As tabled in the paper the model was made from: over 20 °C, to two figures."""
    one = battery(100.0)
    assert float(one.grows(cold)) / float(one.grows(20.0)) == pytest.approx(grown, abs=0.06)


@pytest.mark.parametrize(("soc", "rise"), [(0.5, 1.28), (0.2, 1.51), (0.05, 1.87)])
def test_how_far_the_resistance_rises_towards_empty(soc, rise):
    assert float(charge_rise(soc)) == pytest.approx(rise, abs=0.01)


def test_a_rating_of_nothing_is_refused_by_name():
    with pytest.raises(InputProblem, match="cca_a"):
        rated_ohm(12.5, 0.7, 7.5, 10.0, 0.0)
    with pytest.raises(InputProblem, match="drop_v"):
        Starting(SOC, VOLTS, float("nan"), 0.0, 1.0, 7.6, 0.1, LeadCold())
