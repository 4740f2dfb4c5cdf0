"""The battery: what its label means, how its charge falls, and its two limits."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics import two_well
from fusemap.electrics.battery import CrankLimit, FreezingPoints, TwoWell
from fusemap.electrics.values import Values
from fusemap.errors import InputProblem
from tests.standing import hours_to_empty

CURVE = ((0.0, 0.25, 0.5, 0.75, 1.0), (11.8, 12.03, 12.22, 12.43, 12.64))


def make(capacity_ah: float = 70.0, **figures: float) -> TwoWell:
    return TwoWell(capacity_ah, *CURVE, **figures)


def advance(
    of: TwoWell, q: Values, d: Values, current_a: float, celsius: float, hours: float
) -> tuple[float, float]:
    leak = of.leak_per_h(celsius)
    return (
        float(two_well.charge_after(q, current_a, leak, hours)),
        float(two_well.head_after(d, current_a, of.k_per_h + leak, of.c, hours)),
    )


# label


@pytest.mark.parametrize(
    ("capacity", "reserve"), [(45, 70), (60, 95), (70, 115), (80, 140), (95, 170)]
)
def test_c20_and_reserve_on_the_label_both_come_out_exactly(
    capacity: float, reserve: float
) -> None:
    fit = two_well.fit_reserve(capacity, reserve)
    wells = {"r": fit.r, "c": fit.c, "k_per_h": fit.k_per_h}
    battery = make(fit.capacity_ah, self_discharge_share_30d_20c=0.0, **wells)
    assert hours_to_empty(battery, capacity / 20.0) == pytest.approx(20.0, rel=1e-9)
    assert hours_to_empty(battery, 25.0) * 60.0 == pytest.approx(reserve, rel=1e-9)
    assert fit.r == 1.06


def test_a_reserve_that_needs_more_charge_than_r_allows_raises_r_and_says_so() -> None:
    fit = two_well.fit_reserve(60.0, 72.0)
    assert 1.06 < fit.r <= 1.15
    assert "do not fit" in fit.assumed[0]


def test_labels_that_contradict_each_other_are_refused() -> None:
    with pytest.raises(InputProblem, match="reserve_min: 300\u202fmin"):
        two_well.fit_reserve(70.0, 300.0)


@given(k=st.floats(0.05, 20.0), r=st.floats(1.0, 1.15))
def test_default_wells_keep_c20_exact(k: float, r: float) -> None:
    fit = two_well.default_wells(70.0, k, r)
    battery = make(70.0, r=r, c=fit.c, k_per_h=k, self_discharge_share_30d_20c=0.0)
    assert hours_to_empty(battery, 3.5) == pytest.approx(20.0, rel=1e-9)


def test_lithium_counts_ampere_hours() -> None:
    fit = two_well.counting_wells(100.0)
    battery = make(100.0, r=fit.r, c=fit.c, k_per_h=fit.k_per_h, self_discharge_share_30d_20c=0.0)
    assert hours_to_empty(battery, 50.0) == pytest.approx(2.0)
    assert hours_to_empty(battery, 0.1) == pytest.approx(1000.0)


def test_a_guess_says_what_it_assumed() -> None:
    assert "unverified" in two_well.capacity_from_cca(640.0).assumed[0]
    assert "reserve" in two_well.capacity_from_reserve(115.0).assumed[0]


# charge


@given(
    soc=st.floats(0.3, 1.0),
    current=st.floats(0.0, 10.0),
    celsius=st.floats(-20.0, 40.0),
    hours=st.floats(0.01, 5.0),
    share=st.floats(0.01, 0.99),
)
def test_splitting_an_interval_changes_nothing(
    soc: float, current: float, celsius: float, hours: float, share: float
) -> None:
    battery = make()
    whole = advance(battery, *battery.start(soc), current, celsius, hours)
    half = advance(battery, *battery.start(soc), current, celsius, share * hours)
    parts = advance(battery, *half, current, celsius, (1.0 - share) * hours)
    assert parts == pytest.approx(whole, abs=1e-10)


@given(small=st.floats(0.001, 50.0), more=st.floats(0.0, 20.0), soc=st.floats(0.05, 1.0))
def test_more_current_never_lasts_longer_nor_gives_more_charge(
    small: float, more: float, soc: float
) -> None:
    battery = make()
    little, much = hours_to_empty(battery, small, soc), hours_to_empty(battery, small + more, soc)
    assert much <= little * (1.0 + 1e-9)


def test_a_rested_battery_recovers_what_a_heavy_load_left_in_the_bound_well() -> None:
    battery = make(self_discharge_share_30d_20c=0.0)
    hours = hours_to_empty(battery, 25.0)
    q, d = advance(battery, *battery.start(1.0), 25.0, 25.0, hours)
    empty = 1.0 - battery.r
    assert battery.surface_soc(q, d) == pytest.approx(empty, abs=1e-9)
    rested = advance(battery, q, d, 0.0, 25.0, 12.0)
    assert battery.surface_soc(*rested) > empty + 0.1
    assert rested[0] == pytest.approx(q)


def test_a_battery_without_load_never_empties() -> None:
    assert hours_to_empty(make(self_discharge_share_30d_20c=0.0), 0.0) == inf
    assert hours_to_empty(make(), 0.0) == inf  # the leak halves the rest again and again


def test_two_batteries_in_parallel_last_twice_as_long() -> None:
    assert hours_to_empty(make(140.0), 2.0) == pytest.approx(hours_to_empty(make(70.0), 1.0))


def test_a_battery_of_half_health_lasts_half_as_long_at_half_the_current() -> None:
    assert hours_to_empty(make(soh=0.5), 1.0) == pytest.approx(hours_to_empty(make(), 2.0))


def test_two_in_series_have_twice_the_voltage_and_the_same_charge() -> None:
    single, pair = make(), make(series=2)
    assert pair.ocv(0.6) == pytest.approx(2.0 * single.ocv(0.6))
    assert pair.terminal_ohm == pytest.approx(2.0 * single.terminal_ohm)
    assert pair.soc_from_rest_voltage(24.44) == pytest.approx(0.5)
    assert hours_to_empty(pair, 1.0) == hours_to_empty(single, 1.0)


@given(soc=st.floats(-0.06, 1.0))
def test_surface_charge_and_open_circuit_voltage_are_each_others_inverse(soc: float) -> None:
    battery = make()
    assert battery.surface_soc_at(battery.ocv(soc)) == pytest.approx(soc, abs=1e-9)


def test_the_voltage_ends_at_the_end_of_the_capacity_test() -> None:
    battery = make()
    assert battery.ocv(-0.06) == pytest.approx(10.5)
    assert battery.ocv(-5.0) == pytest.approx(10.5)
    assert battery.surface_soc_at(10.4) == -inf
    assert battery.surface_soc_at(13.0) == inf


def test_arrays_of_batteries_equal_single_ones() -> None:
    health = np.array([0.5, 0.7, 1.0])
    together = hours_to_empty(make(soh=health), 2.0, np.array([0.6, 0.8, 1.0]), 5.0)
    single = [
        hours_to_empty(make(soh=h), 2.0, s, 5.0)
        for h, s in zip(health, (0.6, 0.8, 1.0), strict=True)
    ]
    assert np.asarray(together) == pytest.approx(single, rel=1e-12)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("soh", 0.0),
        ("r", 0.9),
        ("c", 1.1),
        ("k_per_h", 0.0),
        ("series", 3),
        ("resistance_ohm", -1.0),
    ],
)
def test_impossible_figures_are_refused_by_name(field: str, value: float) -> None:
    with pytest.raises(InputProblem, match=field):
        make(**{field: value})


def test_a_rest_voltage_curve_must_rise() -> None:
    with pytest.raises(InputProblem, match="emf_v"):
        TwoWell(70.0, (0.0, 0.5, 1.0), (12.0, 11.9, 12.6))


def test_start_charge_lies_between_empty_and_full() -> None:
    with pytest.raises(InputProblem, match="start_soc"):
        make().start(1.2)


# equations


@given(
    q=st.floats(20.0, 70.0), d=st.floats(0.0, 30.0), current=st.floats(-5.0, 5.0),
    leak=st.floats(0.0, 1e-3), level=st.floats(1.0, 70.0),
)  # fmt: skip
def test_first_time_at_a_level_is_the_first(
    q: float, d: float, current: float, leak: float, level: float
) -> None:
    course = two_well.SurfaceCourse(q, d, current, leak, 1.0, 0.45)
    hours = float(course.first_time_at(level, 20.0))
    grid = np.linspace(0.0, 20.0, 4001)
    u = course.at(grid)
    below = grid[u <= level]
    if hours == inf:
        assert len(below) == 0 or u.min() > level - 1e-6
        return
    assert course.at(hours) <= level + 1e-7
    assert len(below) == 0 or hours <= below[0] + 1e-6
    assert not (u[grid < hours - 1e-6] < level - 1e-7).any()


@given(
    q=st.floats(1.0, 80.0),
    current=st.floats(-2.0, 30.0),
    leak=st.floats(0.0, 0.01),
    hours=st.floats(0.01, 100.0),
)
def test_the_current_between_two_charges_joins_them(
    q: float, current: float, leak: float, hours: float
) -> None:
    later = two_well.charge_after(q, current, leak, hours)
    found = float(two_well.current_between(q, later, leak, hours))
    assert found == pytest.approx(current, abs=1e-10)


# limits


def test_the_crank_limit_rises_in_the_cold_only() -> None:
    limit = CrankLimit(base_soc=0.5, slope_per_k=0.007)
    assert limit.soc(25.0) == limit.soc(40.0) == 0.5
    assert limit.soc(-10.0) == pytest.approx(0.745)


def test_a_flat_battery_freezes_first() -> None:
    ice = FreezingPoints((0.0, 0.25, 0.5), (-7.0, -16.0, -26.0))
    assert ice.soc_below_which_ice(-16.0) == 0.25
    assert ice.soc_below_which_ice(-6.0) == -inf
    assert ice.soc_below_which_ice(-30.0) == inf
    with pytest.raises(InputProblem, match="freezing"):
        FreezingPoints((0.0, 0.5), (-26.0, -7.0))
