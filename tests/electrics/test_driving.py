"""Driving: whether the usual week puts back what parking takes."""

from __future__ import annotations

from math import inf, isnan
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import fields, replace
from scipy.integrate import solve_ivp

from fusemap.electrics.battery import TwoWell
from fusemap.electrics.driving import (
    ChargeAcceptance,
    Drive,
    WeekBalance,
    charging_of,
    week_balance,
)
from fusemap.electrics.parked import Draw
from fusemap.errors import InputProblem

WORKDAYS = (0, 1, 2, 3, 4)
COMMUTE = (Drive(7.5, 20.0, WORKDAYS), Drive(17.0, 20.0, WORKDAYS))
REST = Draw("modules", phases=((0.0, 0.5, 4.0), (0.5, inf, 0.03)))


def battery(**figures: Any) -> TwoWell:
    return TwoWell(**{"capacity_ah": 70.0, "emf_soc": (0.0, 1.0), "emf_v": (11.8, 12.6)} | figures)


def week(
    soc: Any = 0.8,
    drives: tuple[Drive, ...] = COMMUTE,
    parked: tuple[Draw, ...] = (REST,),
    spare_a: Any = 40.0,
    of: TwoWell | None = None,
    **rest: Any,
) -> WeekBalance:
    return week_balance(of or battery(), soc, drives, parked, spare_a, **rest)


def test_a_commuter_settles_well_charged() -> None:
    found = week()
    assert found.settles
    assert 0.8 < found.settled_soc < 1.0
    assert found.settled_lowest_soc < found.settled_soc
    again = week(found.settled_soc)
    assert again.end_soc == pytest.approx(found.settled_soc, abs=1e-6)
    assert again.lowest_soc == pytest.approx(found.settled_lowest_soc, abs=1e-6)


def test_without_drives_the_battery_only_falls() -> None:
    found = week(drives=())
    assert found.end_soc < 0.8
    assert found.stored_ah == 0.0
    assert not found.settles
    assert isnan(found.settled_soc)


def test_too_much_parked_current_never_settles() -> None:
    found = week(parked=(Draw.constant("fridge", 2.0),))
    assert not found.settles
    assert found.lowest_soc == 0.0
    assert found.hold_min == inf or found.hold_min > 40.0


def test_the_charge_of_a_week_balances() -> None:
    found = week(0.7)
    assert (found.end_soc - 0.7) * 70.0 == pytest.approx(found.stored_ah - found.taken_ah)


def test_a_week_without_leak_takes_what_was_drawn() -> None:
    found = week(0.5, of=battery(self_discharge_share_30d_20c=0.0), crank_ah=0.2)
    awake = 10 * 0.5 * 4.0
    asleep = (168.0 - 10 * 20 / 60 - 10 * 0.5) * 0.03
    assert found.taken_ah == pytest.approx(awake + asleep + 10 * 0.2)


def test_a_daily_timetable_is_read_on_the_clock() -> None:
    lamp = Draw("lamp", daily=((7.5, 8.0, 2.0),))
    drives = (Drive(7.5, 20.0),)
    found = week(0.5, drives, (lamp,), of=battery(self_discharge_share_30d_20c=0.0), crank_ah=0.0)
    # the drive covers the first 20 of the lamp's 30 minutes
    assert found.taken_ah == pytest.approx(7 * 2.0 / 6.0)


def test_the_after_run_is_paid_at_every_stop() -> None:
    once = week(drives=(Drive(8.0, 40.0),))
    twice = week(drives=(Drive(8.0, 20.0), Drive(12.0, 20.0)))
    assert twice.taken_ah > once.taken_ah + 7 * 0.5 * 3.9


@given(minutes=st.floats(5.0, 60.0), spare=st.floats(1.0, 60.0), soc=st.floats(0.4, 0.97))
def test_holding_the_charge_means_coming_back_to_it(
    minutes: float, spare: float, soc: float
) -> None:
    hold = week(soc, (Drive(8.0, minutes),), spare_a=spare).hold_min
    if hold == inf:
        return
    # a day with a drive of that length: parked a full day, as the answer supposes
    charging = charging_of(battery(), ChargeAcceptance(), spare, 20.0)
    q = battery().charge_at(soc)
    leak = battery().leak_per_h(20.0)
    takes = 0.5 * 4.0 + 23.5 * 0.03 + 0.1
    before = q * np.exp(-24.0 * leak) - takes
    assert charging.after(before, hold / 60.0) == pytest.approx(q, abs=0.02)


def test_more_driving_never_leaves_less() -> None:
    found = [week(0.6, (Drive(8.0, minutes),)).end_soc for minutes in (5.0, 10.0, 20.0, 60.0)]
    assert found == sorted(found)


def test_a_bigger_alternator_helps_only_until_the_battery_takes_no_more() -> None:
    small, medium, large, huge = (
        week(0.8, spare_a=spare).stored_ah for spare in (2.0, 5.0, 60.0, 600.0)
    )
    assert small < medium < large
    assert huge == pytest.approx(large)


def test_accessories_beyond_the_alternator_drain_the_battery_on_the_road() -> None:
    found = week(spare_a=-5.0)
    assert found.end_soc < week(drives=()).end_soc
    assert found.hold_min == inf


def test_winter_needs_longer_drives() -> None:
    assert week(temperature_c=-10.0).hold_min > 2.0 * week(temperature_c=20.0).hold_min


def test_a_vehicle_that_stops_charging_early_settles_there() -> None:
    found = week(acceptance=ChargeAcceptance(target_soc=0.8))
    assert found.settled_soc < 0.8
    assert week(0.9, acceptance=ChargeAcceptance(target_soc=0.8)).hold_min == inf


def test_a_full_battery_takes_nothing() -> None:
    assert ChargeAcceptance().limit_a(70.0, 1.0, 20.0) == 0.0
    assert week(1.0).hold_min == inf


def test_twenty_minutes_put_back_three_to_four_ampere_hours() -> None:
    # common practice, no source: a 70 Ah battery at three quarters
    charging = charging_of(battery(), ChargeAcceptance(), 40.0, 20.0)
    q = np.asarray(battery().charge_at(0.75))
    assert 3.0 < float(charging.after(q, 1.0 / 3.0) - q) < 4.0


@settings(max_examples=25, deadline=None)
@given(
    soc=st.floats(0.1, 0.95), spare=st.floats(0.5, 60.0), celsius=st.floats(-15.0, 25.0),
    hours=st.floats(0.05, 8.0),
)  # fmt: skip
def test_charging_follows_its_own_equation(
    soc: float, spare: float, celsius: float, hours: float
) -> None:
    acceptance = ChargeAcceptance(target_soc=0.97)
    charging = charging_of(battery(), acceptance, spare, celsius)
    q0 = float(battery().charge_at(soc))

    def flow(_: float, q: np.ndarray) -> np.ndarray:
        limit = np.asarray(acceptance.limit_a(70.0, battery().soc(q), celsius))
        return 0.95 * np.minimum(spare, limit)

    stepped = solve_ivp(flow, (0.0, hours), [q0], rtol=1e-9, atol=1e-9, max_step=0.05).y[0, -1]
    assert charging.after(np.asarray(q0), hours) == pytest.approx(stepped, abs=1e-5)
    later = charging.after(np.asarray(q0), hours)
    if later - q0 > 1e-6 and charging.target_ah - later > 1e-6:
        assert charging.hours_between(np.asarray(q0), later) == pytest.approx(hours, rel=1e-6)


def test_arrays_of_draws_equal_single_weeks() -> None:
    rng = np.random.default_rng(2)
    count = 5
    soc, soh = rng.uniform(0.5, 1.0, count), rng.uniform(0.6, 1.0, count)
    rest, spare = rng.uniform(0.02, 1.5, count), rng.uniform(-2.0, 40.0, count)
    celsius = rng.uniform(-10.0, 25.0, count)

    def run(i: Any) -> WeekBalance:
        return week(
            soc[i], parked=(Draw.constant("rest", rest[i]),), spare_a=spare[i],
            of=battery(soh=soh[i]), temperature_c=celsius[i],
        )  # fmt: skip

    together = run(slice(None))
    for i in range(count):
        single = run(i)
        for field in fields(WeekBalance):
            many, one = getattr(together, field.name), getattr(single, field.name)
            assert isinstance(one, bool | float)
            assert many[i] == pytest.approx(one, abs=1e-6, nan_ok=True), field.name


def test_one_array_among_plain_numbers_makes_every_answer_an_array() -> None:
    found = week(spare_a=np.array([0.0, 40.0]))
    assert found.settles.tolist() == [False, True]
    parked = (Draw.constant("rest", np.array([0.02, 0.03])),)
    for each in (found, week(drives=(), parked=parked), week(drives=(), spare_a=np.ones(2))):
        assert {np.shape(getattr(each, field.name)) for field in fields(each)} == {(2,)}


def test_a_solar_roof_holds_the_battery_without_drives() -> None:
    sun = Draw("sun", daily=((9.0, 16.0, -1.0),))
    found = week(0.6, drives=(), parked=(REST, sun))
    assert found.settles
    assert found.settled_soc == pytest.approx(1.0, abs=0.02)


def test_drives_that_overlap_are_refused() -> None:
    with pytest.raises(InputProblem, match="drives"):
        week(drives=(Drive(8.0, 90.0), Drive(9.0, 10.0)))
    with pytest.raises(InputProblem, match="drives"):
        week(drives=(Drive(23.5, 60.0, (6,)), Drive(0.1, 10.0, (0,))))


def test_a_drive_over_midnight_at_the_end_of_the_week() -> None:
    assert week(drives=(Drive(23.5, 60.0, (6,)),)).stored_ah > 0.0


@pytest.mark.parametrize(
    ("wrong", "where"),
    [
        ({"start_clock_h": 24.0}, "start_clock_h"),
        ({"minutes": 0.0}, "minutes"),
        ({"weekdays": (7,)}, "weekdays"),
    ],
)
def test_impossible_drives_are_refused_by_name(wrong: dict[str, Any], where: str) -> None:
    with pytest.raises(InputProblem, match=where):
        replace(Drive(8.0, 20.0), **wrong)


@pytest.mark.parametrize(
    ("wrong", "where"),
    [
        ({"soc": 1.2}, "start_soc"),
        ({"spare_a": float("nan")}, "spare_a"),
        ({"crank_ah": -1.0}, "crank_ah"),
        ({"temperature_c": inf}, "temperature_c"),
    ],
)
def test_impossible_weeks_are_refused_by_name(wrong: dict[str, Any], where: str) -> None:
    with pytest.raises(InputProblem, match=where):
        week(**wrong)
    with pytest.raises(InputProblem, match="efficiency"):
        ChargeAcceptance(efficiency=1.2)
