"""The parked vehicle: how long it stands, what each draw takes, what the cut-offs do."""

from __future__ import annotations

from math import inf
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fusemap.electrics.battery import CrankLimit, FreezingPoints, TwoWell
from fusemap.electrics.parked import (
    CutOff,
    Draw,
    EventKind,
    Forecast,
    engine,
    even_hours,
    forecast,
    run,
    timeline,
)
from fusemap.electrics.parked.engine import through_events
from fusemap.errors import InputProblem
from tests.second_way import well_step

CURVE = ((0.0, 0.25, 0.5, 0.75, 1.0), (11.8, 12.03, 12.22, 12.43, 12.64))
NO_LEAK = {"self_discharge_share_30d_20c": 0.0}
WARM = CrankLimit(0.5, 0.0)


def battery(**figures: Any) -> TwoWell:
    return TwoWell(**{"capacity_ah": 60.0, "emf_soc": CURVE[0], "emf_v": CURVE[1]} | figures)


def park(*draws: Draw, soc: Any = 1.0, of: TwoWell | None = None, **rest: Any) -> Forecast:
    return forecast(of or battery(**NO_LEAK), soc, draws, **{"crank": WARM} | rest)


def kinds(result: Forecast) -> list[str]:
    return [event.kind.value for event in result.events]


# how long it stands


def test_half_of_60_ah_at_50_ma_lasts_600_hours() -> None:
    result = park(Draw.constant("modules", 0.05))
    assert result.hours_to_crank_limit == pytest.approx(600.0)
    assert result.draw_ah == pytest.approx((30.0,))
    assert result.self_discharge_ah == pytest.approx(0.0, abs=1e-9)


def test_a_vehicle_that_nothing_draws_on_stands_until_the_horizon() -> None:
    result = park(horizon_h=500.0)
    assert result.hours_to_crank_limit == result.hours_to_empty == inf
    assert result.end_soc == pytest.approx(1.0)
    assert result.events == ()


def test_a_battery_below_the_crank_limit_does_not_crank_from_the_start() -> None:
    result = park(Draw.constant("modules", 0.05), soc=0.45)
    assert result.hours_to_crank_limit == 0.0
    assert result.draw_ah == (0.0,)


def test_there_is_no_start_from_the_moment_the_battery_is_empty() -> None:
    heavy = park(Draw.constant("winch", 500.0))  # too fast: empty while half of it is still inside
    assert heavy.hours_to_empty < 0.5 * 60.0 / 500.0
    assert heavy.hours_to_crank_limit == heavy.hours_to_empty
    assert heavy.draw_ah[0] == pytest.approx(500.0 * heavy.hours_to_empty)
    cold = park(Draw.constant("modules", 0.05), crank=CrankLimit(0.0, 0.0), temperature_c=-15.0)
    assert cold.hours_to_crank_limit == cold.hours_to_empty < 1440.0


def test_a_start_by_voltage_looks_at_the_surface_of_the_plates() -> None:
    def ends(by_voltage: bool) -> float:
        limit = CrankLimit(0.5, 0.0, by_voltage=by_voltage)
        return float(park(Draw.constant("box", 5.0), crank=limit).hours_to_crank_limit)

    ends_at = ends(True)
    wells = battery(**NO_LEAK)
    (q, d), steps = wells.start(1.0), 10_000
    for _ in range(steps):
        q, d = well_step(
            float(q), float(d), 5.0, ends_at / steps, c=wells.c, k_per_h=wells.k_per_h, leak=0.0
        )
    assert float(battery().surface_soc(q, d)) == pytest.approx(0.5, abs=1e-6)
    assert ends_at < ends(False) - 0.5


def test_self_discharge_is_booked_beside_the_draws() -> None:
    result = park(Draw.constant("modules", 0.02), of=battery(), temperature_c=30.0)
    assert result.self_discharge_ah + result.draw_ah[0] == pytest.approx(30.0)
    assert result.self_discharge_ah > 4.0
    assert result.hours_to_crank_limit < 1440.0


def test_worn_battery_stands_for_less() -> None:
    result = park(Draw.constant("modules", 0.05), of=battery(soh=0.6, **NO_LEAK))
    assert result.hours_to_crank_limit == pytest.approx(360.0)


def test_the_vehicle_asleep_draws_less_than_awake() -> None:
    modules = Draw("modules", phases=((0.0, 0.5, 4.0), (0.5, inf, 0.03)))
    result = park(modules, horizon_h=100.0)
    assert result.draw_ah[0] == pytest.approx(2.0 + 99.5 * 0.03)
    (change,) = (e for e in result.events if e.kind is EventKind.DRAW_CHANGES)
    assert (change.hours, change.name) == (0.5, "modules")


def test_an_after_run_timer_ends_everything_the_draw_does() -> None:
    heater = Draw("heater", phases=((0.0, inf, 5.0),), daily=((6.0, 7.0, 5.0),), until_h=0.5)
    assert park(heater, horizon_h=48.0).draw_ah == pytest.approx((2.5,))


def test_a_delayed_off_feed_draws_until_its_delay_is_over() -> None:
    socket = Draw.constant("socket", 2.0, until_h=10.0 / 60.0)
    result = park(socket, horizon_h=24.0)
    assert result.draw_ah == pytest.approx((2.0 / 6.0,))
    assert result.samples.current_a[0, -1] == 0.0


def test_a_duty_cycle_draws_its_mean() -> None:
    fridge = Draw.constant("fridge", 4.0, duty=0.25, duty_period_s=1200.0)
    assert park(fridge, horizon_h=20.0).draw_ah == pytest.approx((20.0,))


def test_a_daily_row_runs_over_midnight() -> None:
    lamp = Draw("lamp", daily=((22.0, 6.0, 0.5),))
    result = park(lamp, locked_at_clock_h=18.0, horizon_h=48.0)
    assert result.draw_ah == pytest.approx((2 * 8 * 0.5,))
    on = result.samples.time_h[result.samples.current_a[0] > 0.0]
    assert (on.min(), on.max()) == pytest.approx((4.0, 36.0))


def test_a_daily_row_from_an_hour_to_itself_is_on_all_day() -> None:
    lamp = Draw("lamp", daily=((8.0, 8.0, 0.5),))
    assert park(lamp, horizon_h=48.0).draw_ah == pytest.approx((24.0,))


def test_the_clock_of_locking_moves_the_timetable() -> None:
    lamp = Draw("lamp", daily=((12.0, 13.0, 1.0),))
    assert park(lamp, locked_at_clock_h=12.5, horizon_h=23.0).draw_ah == pytest.approx((0.5,))
    assert park(lamp, locked_at_clock_h=11.0, horizon_h=23.0).draw_ah == pytest.approx((1.0,))


def test_rows_of_one_draw_add_up() -> None:
    lamp = Draw("lamp", phases=((0.0, inf, 0.1), (2.0, 5.0, 1.0)), daily=((3.0, 4.0, 0.5),))
    assert park(lamp, horizon_h=10.0).draw_ah == pytest.approx((1.0 + 3.0 + 0.5,))


# temperature


def test_a_cold_night_ends_cranking_before_the_charge_does() -> None:
    modules = Draw.constant("modules", 0.05)
    steps = ((0.0, 20.0), (100.0, -15.0))
    result = park(modules, soc=0.8, temperature_c=steps, crank=CrankLimit(0.5, 0.01))
    assert result.hours_to_crank_limit == 100.0
    assert kinds(result)[:2] == ["temperature step", "crank limit"]


def test_warmth_leaks_more() -> None:
    steps = ((0.0, 20.0), (360.0, 30.0))
    even = park(of=battery(), temperature_c=20.0, horizon_h=720.0)
    warmer = park(of=battery(), temperature_c=steps, horizon_h=720.0)
    assert warmer.self_discharge_ah == pytest.approx(1.5 * even.self_discharge_ah, rel=0.02)


def test_a_discharged_battery_freezes() -> None:
    ice = FreezingPoints((0.0, 0.25, 0.5, 1.0), (-7.0, -16.0, -26.0, -57.0))
    result = park(Draw.constant("modules", 0.1), temperature_c=-16.0, freezing=ice)
    assert result.hours_to_freezing == pytest.approx(450.0)
    assert "freezes" in kinds(result)


# empty


def test_an_empty_battery_stops_the_loads_for_good() -> None:
    result = park(Draw.constant("heater", 6.0), horizon_h=100.0, crank=CrankLimit(0.0, 0.0))
    assert result.hours_to_empty < 10.0
    assert result.draw_ah[0] == pytest.approx(6.0 * result.hours_to_empty)
    assert result.samples.current_a[0, -1] == 0.0
    assert result.samples.soc.min() >= -0.06


def test_a_cold_battery_is_empty_earlier() -> None:
    load = Draw.constant("heater", 2.0)
    warm, cold = (park(load, temperature_c=t).hours_to_empty for t in (25.0, -15.0))
    assert cold < 0.8 * warm


# sources


def test_a_solar_maintainer_holds_a_battery_that_draws_less() -> None:
    sun = Draw("sun", daily=((9.0, 17.0, -0.5),))
    result = park(sun, Draw.constant("modules", 0.05), horizon_h=2400.0)
    assert result.hours_to_crank_limit == inf
    assert result.draw_ah[0] == pytest.approx(-0.5 * 8 * 100)
    assert result.unaccepted_ah == pytest.approx(400.0 - 120.0, rel=0.02)
    assert "full" in kinds(result)


def test_a_source_never_lifts_a_battery_above_full() -> None:
    result = park(Draw.constant("sun", -20.0), soc=0.6, of=battery(), horizon_h=100.0)
    assert result.samples.soc.max() <= 1.0 + 1e-9
    assert result.samples.surface_soc.max() <= 1.0 + 1e-9
    assert result.unaccepted_ah > 0.0


def test_charge_in_and_out_balances_with_what_was_refused() -> None:
    result = park(Draw.constant("sun", -1.0), soc=0.9, horizon_h=100.0)
    gained = (result.end_soc - 0.9) * 60.0
    assert 100.0 - result.unaccepted_ah == pytest.approx(gained, abs=1e-6)


# cut-offs


CUT = CutOff(v_off=12.0, v_on=12.8, delay_s=60.0)


def test_a_cut_off_saves_the_start() -> None:
    camera = Draw.constant("camera", 0.5, cut_off=CutOff(12.3, 12.8, 60.0))
    free = park(replace(camera, cut_off=None))
    saved = park(camera)
    assert free.hours_to_crank_limit == pytest.approx(60.0)
    assert saved.hours_to_crank_limit == inf
    result = saved.cut_offs[0]
    assert (result.name, result.trips, result.reconnects, result.off_at_end) == (
        "camera",
        1,
        0,
        True,
    )
    assert 40.0 < result.first_trip_h < 60.0
    assert saved.draw_ah[0] == pytest.approx(0.5 * result.first_trip_h)


def test_a_cut_off_waits_for_its_delay() -> None:
    trips = [
        park(Draw.constant("camera", 0.5, cut_off=replace(CUT, delay_s=delay))).cut_offs[0]
        for delay in (0.0, 1800.0)
    ]
    assert trips[1].first_trip_h - trips[0].first_trip_h == pytest.approx(0.5)


def test_a_dip_shorter_than_the_delay_does_not_trip() -> None:
    camera = Draw.constant("camera", 0.2, cut_off=CutOff(12.2, 12.6, delay_s=600.0))
    pump = Draw("pump", phases=((1.0, 1.1, 40.0),))
    assert park(camera, pump, soc=0.9, horizon_h=20.0).cut_offs[0].trips == 0
    longer = Draw("pump", phases=((1.0, 1.3, 40.0),))
    assert park(camera, longer, soc=0.9, horizon_h=20.0).cut_offs[0].trips == 1


def test_a_thin_cable_trips_the_cut_off_earlier() -> None:
    near, far = (
        park(Draw.constant("fridge", 4.0, cut_off=replace(CUT, cable_ohm=ohm))).cut_offs[0]
        for ohm in (0.0, 0.1)
    )
    assert far.first_trip_h < near.first_trip_h


def test_what_else_runs_on_the_same_way_trips_a_cut_off_earlier() -> None:
    """At the trip: rest voltage less both currents through the feed, and its own cable's drop."""

    def trip(*beside: Draw, way: Any = ((0, 0.02), (1, 0.01))) -> tuple[float, float]:
        box = Draw.constant("box", 5.0, cut_off=CutOff(11.9, 12.8, 0.0, 0.03), way=way)
        result = park(box, *beside, sample_h=())
        first = result.cut_offs[0].first_trip_h
        (event,) = (e for e in result.events if e.kind is EventKind.CUT_OFF_TRIPS)
        return first, event.volts

    alone, volts = trip()
    assert volts == pytest.approx(11.9 + 5.0 * (0.03 + 0.02 + 0.01))
    beside, volts = trip(Draw.constant("pump", 2.0, way=((0, 0.02), (7, 1.0))))
    assert volts == pytest.approx(11.9 + 5.0 * 0.06 + 2.0 * 0.02)
    elsewhere, volts = trip(Draw.constant("pump", 2.0, way=((7, 1.0),)))
    assert volts == pytest.approx(11.9 + 5.0 * 0.06)
    assert beside < elsewhere < alone
    start = {"phases": ((0.0, 0.1, 40.0),)}  # 0.8 V on the feed
    assert trip(Draw("starter", **start, way=((0, 0.02),)))[0] == 0.0
    assert trip(Draw("starter", **start, way=((7, 0.02),)))[0] > 0.1
    lost = CutOff(11.9, 12.8, 0.0, 0.03, lost_v=0.15)
    given = park(Draw.constant("box", 5.0, cut_off=lost), sample_h=())
    assert given.cut_offs[0].first_trip_h == pytest.approx(alone)


def test_a_cut_off_relieves_another_on_the_same_way() -> None:
    """The one that trips first takes its drop off the feed: the other trips later for it."""
    first = Draw.constant("first", 4.0, cut_off=CutOff(12.2, 13.5), way=((0, 0.05),))
    second = Draw.constant("second", 2.0, cut_off=CutOff(11.9, 13.5), way=((0, 0.05),))
    together = park(first, second)
    stays = park(replace(first, cut_off=None), second)
    assert together.cut_offs[0].first_trip_h < together.cut_offs[1].first_trip_h
    assert stays.cut_offs[0].first_trip_h < together.cut_offs[1].first_trip_h


def test_a_cut_off_stays_off_below_its_reconnect_voltage() -> None:
    fridge = Draw.constant("fridge", 3.0, cut_off=CutOff(12.0, 12.6, 60.0))
    result = park(fridge, horizon_h=200.0).cut_offs[0]
    assert (result.trips, result.reconnects, result.chatter) == (1, 0, False)
    assert 12.0 < result.rebound_v < 12.6


def test_a_reconnect_voltage_below_the_rebound_chatters() -> None:
    fridge = Draw.constant("fridge", 6.0, cut_off=CutOff(12.0, 12.05, 60.0))
    outcome = park(fridge, horizon_h=200.0)
    result = outcome.cut_offs[0]
    assert result.chatter
    assert result.rebound_v >= 12.05
    assert result.trips > 1
    # it ends with the draw off: each swing takes a little, until the rebound no longer does
    assert result.off_at_end
    assert kinds(outcome).count("chatters") == 1


def test_without_hysteresis_the_draw_runs_on_and_is_said_to_chatter() -> None:
    camera = Draw.constant("camera", 0.5, cut_off=CutOff(12.3, 12.2, 60.0))
    result = park(camera)
    free = park(replace(camera, cut_off=None))
    assert result.cut_offs[0].chatter
    assert result.hours_to_crank_limit == pytest.approx(free.hours_to_crank_limit)


def test_sun_that_brings_a_draw_back_is_no_chatter() -> None:
    camera = Draw.constant("camera", 0.3, cut_off=CutOff(12.1, 12.6, 60.0))
    sun = Draw("sun", phases=((200.0, 240.0, -2.0),))
    result = park(camera, sun, horizon_h=240.0, crank=CrankLimit(0.0, 0.0)).cut_offs[0]
    assert (result.trips, result.reconnects, result.chatter) == (1, 1, False)


def test_the_peak_of_a_slow_duty_cycle_trips_a_quick_cut_off() -> None:
    def first_trip(period_s: float) -> float:
        fridge = Draw.constant(
            "fridge", 5.0, duty=0.2, duty_period_s=period_s, cut_off=replace(CUT, cable_ohm=0.05)
        )
        return float(park(fridge, horizon_h=300.0).cut_offs[0].first_trip_h)

    assert first_trip(1200.0) < first_trip(10.0)  # on for 240 s against a delay of 60 s


def test_one_cut_off_relieves_another() -> None:
    heater = Draw.constant("heater", 15.0, cut_off=CutOff(12.15, 12.9))
    camera = Draw.constant("camera", 0.2, cut_off=CutOff(12.0, 12.9))
    both = park(heater, camera, horizon_h=60.0)
    assert both.cut_offs[0].first_trip_h < 3.0
    assert both.cut_offs[1].first_trip_h == inf


def test_two_equal_cut_offs_trip_in_the_same_instant() -> None:
    draws = [Draw.constant(name, 2.0, cut_off=CUT) for name in ("left", "right")]
    left, right = park(*draws).cut_offs
    assert left.first_trip_h == right.first_trip_h < inf


def test_two_cut_offs_do_not_switch_each_other_for_ever() -> None:
    # with both off the battery is above v_on, with both on below v_off, in the same instant
    cut = CutOff(v_off=12.375, v_on=12.5, cable_ohm=0.05)
    draws = [
        Draw.constant(name, amperes, cut_off=cut) for name, amperes in (("a", 2.0), ("b", 3.0))
    ]
    sun = Draw("sun", daily=((9.0, 15.0, -1.0),))
    result = park(*draws, sun, horizon_h=120.0)
    for each in result.cut_offs:
        assert each.chatter
        assert 1 < each.trips < 120.0 / 0.25


def test_a_sun_that_swings_a_load_for_weeks_is_not_followed_swing_by_swing(
    monkeypatch: Any,
) -> None:
    """Later swings are fewer and longer; what is taken, and what is left, is the same."""
    box = Draw.constant("box", 2.0, cut_off=CutOff(12.0, 12.0, 0.0))
    sun = Draw("sun", daily=((9.0, 15.0, -0.5),))
    limit = CrankLimit(0.0, 0.0)

    def ahead() -> Forecast:
        return park(box, sun, of=battery(), soc=0.85, crank=limit, temperature_c=20.0)

    short = ahead()
    monkeypatch.setattr(run, "SWINGS_FOLLOWED", 10**6)
    long = ahead()
    assert long.cut_offs[0].trips > 1000
    assert short.cut_offs[0].trips < 0.65 * long.cut_offs[0].trips
    assert short.cut_offs[0].first_trip_h == long.cut_offs[0].first_trip_h
    assert short.draw_ah[0] == pytest.approx(long.draw_ah[0], rel=0.02)
    assert short.end_soc == pytest.approx(long.end_soc, abs=0.02)


def test_battery_24_v_doubles_the_cut_off() -> None:
    single = park(Draw.constant("camera", 0.5, cut_off=CutOff(12.1, 12.8)))
    pair = park(
        Draw.constant("camera", 0.5, cut_off=CutOff(24.2, 25.6)), of=battery(series=2, **NO_LEAK)
    )
    assert pair.cut_offs[0].first_trip_h == pytest.approx(single.cut_offs[0].first_trip_h)


def test_a_source_cannot_have_a_cut_off() -> None:
    with pytest.raises(InputProblem, match="cut_off"):
        Draw.constant("sun", -1.0, cut_off=CUT)


# chart


def test_the_chart_has_both_sides_of_a_jump() -> None:
    modules = Draw("modules", phases=((0.0, 2.0, 5.0), (2.0, inf, 0.05)))
    samples = park(modules, horizon_h=10.0).samples
    at_jump = samples.time_h == 2.0
    assert samples.current_a[0, at_jump].tolist() == [5.0, 0.05]
    before, after = samples.volts[at_jump]
    assert after - before == pytest.approx(4.95 * 0.005)
    assert samples.charge_ah[0, -1] == pytest.approx(10.4)


def test_events_carry_charge_and_voltage() -> None:
    result = park(Draw.constant("modules", 0.05), sample_h=(), horizon_h=1000.0)
    (crank,) = result.events
    assert crank.kind is EventKind.CRANK_LIMIT
    assert crank.soc == pytest.approx(0.5)
    assert crank.volts == pytest.approx(12.22, abs=0.005)


def test_asked_for_points_are_in_the_band() -> None:
    result = park(
        Draw.constant("modules", np.array([0.05, 0.1])), sample_h=(100.0, 200.0), horizon_h=500.0
    )
    assert result.samples.time_h.tolist() == [0.0, 100.0, 200.0, 500.0]
    assert result.samples.soc[:, 0] == pytest.approx(1.0 - 0.05 * result.samples.time_h / 60.0)


@pytest.mark.parametrize("daily", [(), ((22.0, 6.0, 0.2),)])
@pytest.mark.parametrize("cut_off", [None, CutOff(12.1, 12.8)])
def test_no_figure_depends_on_whether_a_chart_is_drawn(
    daily: tuple[tuple[float, float, float], ...], cut_off: CutOff | None
) -> None:
    camera = Draw("camera", ((0.0, inf, 0.3),), daily, exponent=-1.0, cut_off=cut_off)
    tracker = Draw.constant("tracker", 0.02)

    def figures(points: Any) -> list[float]:
        leaky = battery(self_discharge_share_30d_20c=0.3)
        found = park(camera, tracker, of=leaky, harm_soc=0.3, sample_h=points)
        hours = (found.hours_to_crank_limit, found.hours_to_empty, found.hours_to_harm)
        trips = (each.first_trip_h for each in found.cut_offs)
        return [*hours, *found.draw_ah, found.self_discharge_ah, found.end_soc, *trips]

    with_chart = figures(None)
    assert figures(()) == pytest.approx(with_chart, rel=1e-9)
    assert figures((50.0, 51.0)) == pytest.approx(with_chart, rel=1e-9)


# laws


CURRENTS = st.floats(0.0, 3.0)


@st.composite
def loads(draw: st.DrawFn, number: int = 0) -> Draw:
    """A load of any shape, with or without a cut-off."""
    current = draw(CURRENTS)
    clock = st.integers(0, 47).map(lambda half: half / 2)
    cut = st.builds(
        CutOff,
        v_off=st.floats(11.6, 12.4),
        v_on=st.floats(12.3, 12.9),
        delay_s=st.sampled_from((0.0, 60.0, 900.0)),
        cable_ohm=st.sampled_from((0.0, 0.05)),
    )
    shape = draw(st.sampled_from(("constant", "phase", "daily", "timer")))
    cut_off = draw(st.none() | cut)
    if shape == "daily":
        return Draw(f"d{number}", daily=((draw(clock), draw(clock), current),), cut_off=cut_off)
    if shape == "phase":
        start = draw(clock)
        return Draw(f"d{number}", phases=((start, start + 5.0, current),), cut_off=cut_off)
    until = 3.0 if shape == "timer" else inf
    return Draw.constant(f"d{number}", current, until_h=until, cut_off=cut_off)


@st.composite
def several(draw: st.DrawFn) -> tuple[Draw, ...]:
    return tuple(draw(loads(number)) for number in range(draw(st.integers(1, 4))))


CUT_AT_ONCE = Draw(
    "d0", phases=((0.0, 5.0, 0.343758748919183),), cut_off=CutOff(12.375, 12.375, 0.0, 0.0)
)
SOURCE = Draw("sun", daily=((9.0, 15.0, -1.5),))
STEPS = ((0.0, 15.0), (30.0, -10.0), (60.0, 25.0))


@settings(max_examples=40, deadline=None)
@given(draws=several(), soc=st.floats(0.3, 1.0), sun=st.booleans())
@example(draws=(CUT_AT_ONCE,), soc=0.5, sun=True)
def test_charge_is_never_negative_and_nothing_is_lost(
    draws: tuple[Draw, ...], soc: float, sun: bool
) -> None:
    draws = (*draws, SOURCE) if sun else draws
    result = park(*draws, soc=soc, of=battery(), temperature_c=STEPS, horizon_h=120.0,
                  crank=CrankLimit(-1.0, 0.0))  # fmt: skip
    assert (result.samples.soc >= -0.06 - 1e-9).all()
    assert (result.samples.surface_soc <= 1.0 + 1e-7).all()
    assert all(ah >= 0.0 for ah in result.draw_ah[: len(draws) - sun])
    assert result.self_discharge_ah >= -1e-9
    assert result.unaccepted_ah >= -1e-9
    until = min(result.hours_to_crank_limit, 120.0)
    stacked = [np.interp(until, result.samples.time_h, ah) for ah in result.samples.charge_ah]
    assert np.array(result.draw_ah) == pytest.approx(np.array(stacked), abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(draws=several(), seed=st.integers(0, 1000), sun=st.booleans(), by_voltage=st.booleans())
def test_in_no_draw_is_there_a_start_from_an_empty_battery(
    draws: tuple[Draw, ...], seed: int, sun: bool, by_voltage: bool
) -> None:
    rng = np.random.default_rng(seed)
    soc, celsius, base = (rng.uniform(*ends, 8) for ends in ((0.2, 1.0), (-25.0, 35.0), (0.0, 0.8)))
    of, limit = battery(soh=rng.uniform(0.4, 1.0, 8)), CrankLimit(base, 0.0, by_voltage=by_voltage)
    given_draws = (*draws, SOURCE) if sun else draws
    result = park(*given_draws, soc=soc, of=of, temperature_c=celsius, crank=limit)
    assert (np.asarray(result.hours_to_crank_limit) <= np.asarray(result.hours_to_empty)).all()
    there, given_ah = np.asarray(of.charge_at(soc)), -np.asarray(result.draw_ah[-1]) * sun
    taken = sum(np.asarray(each) for each in result.draw_ah[: len(draws)])
    assert (taken <= there + given_ah + 1e-9).all()


@settings(max_examples=40, deadline=None)
@given(draws=several(), seed=st.integers(0, 1000), sun=st.booleans())
def test_the_order_of_draws_does_not_matter(draws: tuple[Draw, ...], seed: int, sun: bool) -> None:
    draws = (*draws, SOURCE) if sun else draws
    order = np.random.default_rng(seed).permutation(len(draws))
    first = park(*draws, soc=0.8, temperature_c=STEPS, horizon_h=120.0)
    second = park(*(draws[i] for i in order), soc=0.8, temperature_c=STEPS, horizon_h=120.0)
    assert second.hours_to_crank_limit == pytest.approx(first.hours_to_crank_limit, abs=1e-6)
    assert second.hours_to_empty == pytest.approx(first.hours_to_empty, abs=1e-6)
    assert second.end_soc == pytest.approx(first.end_soc, abs=1e-9)
    assert [second.draw_ah[list(order).index(i)] for i in range(len(draws))] == pytest.approx(
        first.draw_ah, abs=1e-6
    )
    assert len(second.events) == len(first.events)


@settings(max_examples=40, deadline=None)
@given(draws=several(), sun_a=st.floats(0.2, 8.0), soc=st.floats(0.5, 1.0), many=st.booleans())
def test_repeating_a_day_is_as_good_as_living_through_it(
    draws: tuple[Draw, ...], sun_a: float, soc: float, many: bool
) -> None:
    sun = Draw("sun", daily=((9.0, 15.0, -sun_a),))
    start = np.array([soc, 0.9, 0.6]) if many else soc

    def ahead() -> Forecast:
        return park(*draws, sun, soc=start, horizon_h=30 * 24.0, sample_h=even_hours(720.0, 60))

    short = ahead()
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(timeline, "LEAST_ALIKE", 10**9)
        long = ahead()
    for name in ("hours_to_crank_limit", "hours_to_empty", "end_soc", "unaccepted_ah"):
        assert getattr(short, name) == pytest.approx(getattr(long, name), abs=1e-6), name
    assert np.array(short.draw_ah) == pytest.approx(np.array(long.draw_ah), abs=1e-6)
    if many:
        assert short.samples.soc == pytest.approx(long.samples.soc, abs=1e-8)
    for one, other in zip(short.cut_offs, long.cut_offs, strict=True):
        assert np.array(one.trips) == pytest.approx(np.array(other.trips))


def weak_sun_for_a_year(**more: Any) -> Forecast:
    """Sixty vehicles that could be one: some fill up, some hold, some run down; night and wake-ups.

    The camera has a cut-off, the recorder takes constant power, so that its current follows the
    voltage; the lamp's timetable ends in spring.
    """
    rng, n = np.random.default_rng(3), 60
    of = battery(soh=rng.uniform(0.5, 1.0, n), k_per_h=1.1, r=1.06, c=0.45)
    cut = CutOff(12.15, 12.5, 60.0, 0.03)
    return park(
        Draw("modules", phases=((0.0, 0.5, 4.0), (0.5, np.inf, rng.uniform(0.002, 0.02, n)))),
        Draw.constant("camera", rng.uniform(0.002, 0.03, n), cut_off=cut),
        Draw("recorder", phases=((0.0, np.inf, rng.uniform(0.0, 0.01, n)),), exponent=-1.0),
        Draw("lamp", daily=((22.0, 6.0, 0.01),), until_h=4000.0),
        Draw("wake-ups", daily=((3.0, 3.25, 0.3), (12.0, 12.25, 0.3))),
        Draw("sun", daily=((9.0, 15.0, -rng.uniform(0.04, 0.16, n)),)),
        of=of,
        soc=rng.uniform(0.7, 1.0, n),
        temperature_c=rng.uniform(-5.0, 20.0, n),
        horizon_h=365 * 24.0,
        freezing=FreezingPoints((0.0, 0.25, 0.5, 1.0), (-7.0, -10.0, -25.0, -60.0)),
        harm_soc=0.6,
        **more,
    )


def test_days_passed_at_once_are_as_good_as_days_lived_through() -> None:
    quick = weak_sun_for_a_year()
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(timeline, "LEAST_ALIKE", 10**9)
        slow = weak_sun_for_a_year()
    assert len(set(np.isfinite(quick.hours_to_crank_limit).tolist())) == 2  # some last, some do not
    for name in ("crank_limit", "empty", "freezing", "harm"):
        one, other = (np.asarray(getattr(each, f"hours_to_{name}")) for each in (quick, slow))
        assert one == pytest.approx(other, abs=1e-6), name
    for name in ("draw_ah", "self_discharge_ah", "unaccepted_ah", "end_soc"):
        one, other = (np.asarray(getattr(each, name)) for each in (quick, slow))
        assert one == pytest.approx(other, abs=1e-6), name
    for cut, lived in zip(quick.cut_offs, slow.cut_offs, strict=True):
        assert np.array_equal(cut.trips, lived.trips)
        assert np.array_equal(cut.reconnects, lived.reconnects)
    for points in ("time_h", "soc", "surface_soc", "volts"):
        one, other = (getattr(each.samples, points) for each in (quick, slow))
        assert one == pytest.approx(other, abs=1e-8), points


def test_a_year_of_weak_sun_goes_through_few_events(monkeypatch: Any) -> None:
    """Most days pass at once: the work is that of the days in which something happens."""
    lived: list[int] = []
    monkeypatch.setattr(engine, "through_events", lambda run, which, row: (
        lived.append(len(which)), through_events(run, which, row)
    ))  # fmt: skip
    result = weak_sun_for_a_year(sample_h=())
    days, count = 365, len(np.asarray(result.end_soc))
    assert sum(lived) < 0.25 * days * count
    lived.clear()
    monkeypatch.setattr(timeline, "LEAST_ALIKE", 10**9)
    weak_sun_for_a_year(sample_h=())
    assert sum(lived) > 0.5 * days * count


def test_a_year_in_the_sun_is_as_few_pieces_as_its_first_days(monkeypatch: Any) -> None:
    passed: list[int] = []
    monkeypatch.setattr(engine, "through_events", lambda run, which, row: (
        passed.append(len(which)), through_events(run, which, row)
    ))  # fmt: skip
    lamp = Draw.constant("lamp", 0.1)
    result = park(lamp, Draw("sun", daily=((9.0, 15.0, -2.0),)), horizon_h=365 * 24.0)
    assert len(result.samples.time_h) > 2 * 365
    assert 0 < len(passed) < 60


@settings(max_examples=40, deadline=None)
@given(draws=several(), cuts=st.lists(st.floats(0.1, 119.9), max_size=8))
def test_splitting_the_time_changes_nothing(draws: tuple[Draw, ...], cuts: list[float]) -> None:
    whole = park(*draws, soc=0.85, temperature_c=STEPS, horizon_h=120.0, sample_h=())
    split = park(*draws, soc=0.85, temperature_c=STEPS, horizon_h=120.0, sample_h=sorted(cuts))
    assert split.hours_to_crank_limit == pytest.approx(whole.hours_to_crank_limit, abs=1e-6)
    assert split.end_soc == pytest.approx(whole.end_soc, abs=1e-9)
    assert split.draw_ah == pytest.approx(whole.draw_ah, abs=1e-6)
    for one, other in zip(whole.cut_offs, split.cut_offs, strict=True):
        assert other.chatter == one.chatter
        assert one.chatter or other.trips == one.trips  # rounding decides a swing more or less


@settings(max_examples=40, deadline=None)
@given(draws=several(), more=st.floats(0.001, 1.0), soc=st.floats(0.55, 1.0))
def test_more_load_never_lasts_longer(draws: tuple[Draw, ...], more: float, soc: float) -> None:
    # without cut-offs: with one, more load may trip it earlier and so save the start
    draws = tuple(replace(draw, cut_off=None) for draw in draws)
    less = park(*draws, soc=soc, of=battery())
    loaded = park(*draws, Draw.constant("more", more), soc=soc, of=battery())
    assert loaded.hours_to_crank_limit <= less.hours_to_crank_limit
    assert loaded.hours_to_empty <= less.hours_to_empty + 1e-9
    if loaded.hours_to_empty == inf:  # an empty battery is spared the rest
        assert loaded.end_soc <= less.end_soc + 1e-12


@settings(max_examples=25, deadline=None)
@given(draws=several(), seed=st.integers(0, 1000), sun=st.booleans())
def test_arrays_of_draws_equal_single_forecasts(
    draws: tuple[Draw, ...], seed: int, sun: bool
) -> None:
    rng = np.random.default_rng(seed)
    count = 4
    soc, soh = rng.uniform(0.6, 1.0, count), rng.uniform(0.6, 1.0, count)
    base, celsius = rng.uniform(0.3, 0.6, count), rng.uniform(-10.0, 30.0, count)
    scale = rng.uniform(0.5, 2.0, count)
    draws = (*draws, SOURCE) if sun else draws

    def scaled(draw: Draw, factor: Any) -> Draw:
        def rows(given: Any) -> Any:
            return tuple((start, end, amperes * factor) for start, end, amperes in given)

        return replace(draw, phases=rows(draw.phases), daily=rows(draw.daily))

    def run(i: Any) -> Forecast:
        return park(
            *(scaled(draw, scale[i]) for draw in draws), soc=soc[i], of=battery(soh=soh[i]),
            temperature_c=((0.0, celsius[i]), (50.0, 10.0)), horizon_h=120.0,
            crank=CrankLimit(base[i]), sample_h=(),
        )  # fmt: skip

    together = run(slice(None))
    for i in range(count):
        single = run(i)
        assert together.hours_to_crank_limit[i] == pytest.approx(
            single.hours_to_crank_limit, abs=1e-6
        )
        assert together.hours_to_empty[i] == pytest.approx(single.hours_to_empty, abs=1e-6)
        assert together.end_soc[i] == pytest.approx(single.end_soc, abs=1e-9)
        assert [ah[i] for ah in together.draw_ah] == pytest.approx(single.draw_ah, abs=1e-6)
        assert together.unaccepted_ah[i] == pytest.approx(single.unaccepted_ah, abs=1e-6)
        for many, one in zip(together.cut_offs, single.cut_offs, strict=True):
            assert (
                one.chatter or many.trips[i] == one.trips
            )  # rounding decides a swing more or less
            assert many.first_trip_h[i] == pytest.approx(one.first_trip_h, abs=1e-6)
            assert many.chatter[i] == one.chatter


# refusals


@pytest.mark.parametrize(
    ("wrong", "where"),
    [
        ({"soc": 1.1}, "start_soc"),
        ({"horizon_h": 0.0}, "horizon_h"),
        ({"temperature_c": ((5.0, 20.0),)}, "temperature_c"),
        ({"temperature_c": ((0.0, 20.0), (0.0, 25.0))}, "temperature_c"),
        ({"temperature_c": float("nan")}, "temperature_c"),
        ({"soc": np.array([0.5, 0.6]), "temperature_c": np.array([1.0, 2.0, 3.0])}, "draws"),
    ],
)
def test_impossible_questions_are_refused_by_name(wrong: dict[str, Any], where: str) -> None:
    with pytest.raises(InputProblem, match=where):
        park(Draw.constant("modules", 0.05), **wrong)


@pytest.mark.parametrize(
    ("wrong", "where"),
    [
        ({"phases": ((2.0, 1.0, 0.1),)}, "phases"),
        ({"phases": ((0.0, 1.0, float("nan")),)}, "phases"),
        ({"daily": ((0.0, 25.0, 0.1),)}, "daily"),
        ({"duty": 1.5}, "duty"),
        ({"until_h": -1.0}, "until_h"),
    ],
)
def test_impossible_draws_are_refused_by_name(wrong: dict[str, Any], where: str) -> None:
    with pytest.raises(InputProblem, match=where):
        Draw("load", **wrong)
