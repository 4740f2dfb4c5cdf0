"""How warm a cable gets, alone, over time and in a bundle."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.cable_heat import (
    among_alike_temperature,
    ampacity,
    bundle_temperature,
    conductor_temperature,
    temperature_after,
)
from fusemap.errors import InputProblem

THIN = (12.7, 1.5, 2.4)
"""mΩ/m, mm², outside diameter [mm] of a 1.5 mm² thin-wall cable."""

AREA = np.array([0.35, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 8.0, 10.0, 16.0, 25.0])
R20 = np.array([54.4, 37.1, 24.7, 18.5, 12.7, 9.42, 7.6, 6.15, 4.71, 3.14, 2.38, 1.82, 1.16, 0.743])
OD = np.array([1.4, 1.6, 1.9, 2.1, 2.4, 2.8, 3.0, 3.4, 3.7, 4.3, 5.0, 6.0, 7.2, 8.7])

amperes = st.floats(0.0, 400.0)
ambients = st.floats(-40.0, 150.0)


@settings(max_examples=60)
@given(current=amperes, ambient=ambients)
def test_a_thicker_cable_never_runs_hotter(current, ambient):
    found = conductor_temperature(current, R20, AREA, OD, ambient)
    # beyond 300 °C no insulation is left, whose thicker wall from 10 mm² on would hold the heat in
    alive = found[:-1] < 300.0
    assert np.all(found[1:][alive] <= found[:-1][alive] + 1e-6)


@settings(max_examples=60)
@given(
    area=st.floats(0.2, 50.0),
    more=st.floats(1.0, 5.0),
    wall=st.floats(0.2, 1.5),
    current=amperes,
)
def test_the_same_with_any_section_and_wall(area, more, wall, current):
    both = np.array([area, area * more])
    od = np.sqrt(4.0 * both / (np.pi * 0.73)) + 2.0 * wall
    thin, thick = conductor_temperature(current, 19.0 / both, both, od, 30.0)
    assert thick <= thin + 1e-6


@settings(max_examples=60)
@given(cooler=ambients, warmer=ambients, limit=st.sampled_from([70.0, 105.0, 125.0]))
def test_a_hotter_place_never_raises_what_a_cable_carries(cooler, warmer, limit):
    cooler, warmer = sorted((cooler, warmer))
    assert np.all(
        ampacity(limit, R20, AREA, OD, warmer) <= ampacity(limit, R20, AREA, OD, cooler) + 1e-9
    )


@settings(max_examples=60)
@given(current=amperes, more=st.floats(0.0, 50.0), ambient=ambients)
def test_more_current_never_cools(current, more, ambient):
    less, greater = conductor_temperature([current, current + more], *THIN, ambient)
    assert ambient - 1e-9 <= less <= greater


def test_a_cable_far_beyond_its_current_melts_without_a_gap():
    # between 90 and 130 A the copper of 1.5 mm² comes to its melting point
    found = conductor_temperature(np.arange(80.0, 200.0, 0.5), *THIN, np.array([[-14.0], [25.0]]))
    assert np.all(found[:, 1:] >= found[:, :-1])
    assert np.isinf(found[:, -100:]).all()


@settings(max_examples=60)
@given(limit=st.floats(40.0, 500.0), ambient=st.floats(-40.0, 150.0), size=st.integers(0, 13))
def test_ampacity_brings_the_conductor_exactly_to_its_limit(limit, ambient, size):
    cable = (R20[size], AREA[size], OD[size], ambient)
    found = conductor_temperature(ampacity(limit, *cable), *cable)
    assert found == pytest.approx(max(limit, ambient), abs=1e-3)


def test_a_place_at_the_limit_leaves_no_current():
    assert ampacity(105.0, *THIN, 105.0) == pytest.approx(0.0, abs=1e-3)
    assert ampacity(105.0, *THIN, 120.0) == pytest.approx(0.0, abs=1e-3)


def test_an_idle_cable_has_the_temperature_of_its_place():
    assert conductor_temperature(0.0, *THIN, -20.0) == pytest.approx(-20.0, abs=1e-6)


def test_copper_that_would_melt_counts_as_endlessly_hot():
    assert conductor_temperature(1000.0, *THIN, 25.0) == np.inf
    assert conductor_temperature([1e5, 1e9], *THIN, 25.0).tolist() == [np.inf, np.inf]


def test_a_bare_conductor_has_no_insulation_to_heat_through():
    bare_mm = np.sqrt(4.0 * 1.5 / (np.pi * 0.73)) * 1.0000001
    covered = conductor_temperature(20.0, 12.7, 1.5, 2.4, 25.0)
    bare = conductor_temperature(20.0, 12.7, 1.5, bare_mm, 25.0)
    assert bare > covered  # a small cable cools better in its cover


@settings(max_examples=60)
@given(
    current=st.floats(0.0, 300.0),
    start_above=st.floats(0.0, 80.0),
    seconds=st.lists(st.floats(0.0, 1e5), min_size=2, max_size=6),
)
def test_heating_only_rises_and_stays_between_start_and_end(current, start_above, seconds):
    times = np.sort(np.array(seconds))
    start = 25.0 + start_above
    end = conductor_temperature(current, *THIN, 25.0)
    found = temperature_after(times, current, *THIN, 25.0, start_c=start)
    assert not np.isnan(found).any()
    assert np.all(found[1:] >= found[:-1] - 1e-9)
    assert np.all(found >= start)
    assert np.all(found <= max(end, start) + 1e-6)


@settings(max_examples=40)
@given(current=st.floats(0.0, 80.0), more=st.floats(0.0, 20.0), seconds=st.floats(0.0, 3600.0))
def test_more_current_heats_no_slower(current, more, seconds):
    less, greater = temperature_after(seconds, [current, current + more], *THIN, 25.0)
    assert greater >= less - 0.01 * (less - 25.0)


def test_heating_starts_where_it_was_and_ends_steady():
    end = conductor_temperature(20.0, *THIN, 25.0)
    assert temperature_after(0.0, 20.0, *THIN, 25.0) == pytest.approx(25.0)
    assert temperature_after(0.0, 20.0, *THIN, 25.0, start_c=40.0) == pytest.approx(40.0)
    assert temperature_after(7200.0, 20.0, *THIN, 25.0) == pytest.approx(end)


def test_a_cable_warmer_than_its_load_keeps_its_temperature():
    assert temperature_after(600.0, 1.0, *THIN, 25.0, start_c=90.0) == pytest.approx(90.0)


def test_a_cable_out_of_the_cold_warms_to_its_place_without_current():
    found = temperature_after([0.0, 60.0, 36_000.0], 0.0, *THIN, 25.0, start_c=-10.0)
    assert found[0] == pytest.approx(-10.0)
    assert -10.0 < found[1] < 25.0
    assert found[2] == pytest.approx(25.0, abs=0.01)


def test_a_short_heats_without_cooling_until_it_melts():
    found = temperature_after([0.01, 0.1, 60.0], 1000.0, *THIN, 25.0)
    assert 25.0 < found[0] < found[1] < 1083.0
    assert found[2] == np.inf


@settings(max_examples=40)
@given(count=st.integers(2, 40), amperes=st.floats(0.5, 8.0), ambient=st.floats(0.0, 60.0))
def test_one_more_loaded_cable_never_cools_a_bundle(count, amperes, ambient):
    fewer, more = (
        bundle_temperature(np.full(n, amperes), *THIN, ambient).conductor_c[0]
        for n in (count, count + 1)
    )
    assert more >= fewer > conductor_temperature(amperes, *THIN, ambient)


@settings(max_examples=60)
@given(current=amperes, ambient=ambients)
def test_a_cable_among_alike_ones_is_as_warm_as_in_their_bundle(current, ambient):
    counts = np.arange(1.0, 9.0)
    found = among_alike_temperature(current, *THIN, ambient, counts)
    alone = conductor_temperature(current, *THIN, ambient)
    bundles = [
        bundle_temperature(np.full(int(count), current), *THIN, ambient).conductor_c[0]
        for count in counts[1:]
    ]
    assert found == pytest.approx(np.array([alone, *bundles]), abs=1e-6)


def test_an_idle_neighbour_is_warmed_by_the_loaded_one():
    found = bundle_temperature([15.0, 0.0], *THIN, 30.0)
    assert found.conductor_c[0] > found.conductor_c[1] > found.surface_c > 30.0


def test_a_melting_bundle_is_endlessly_hot():
    found = bundle_temperature([1000.0, 0.0], *THIN, 30.0)
    assert np.isinf(found.conductor_c).all()


def test_many_bundles_at_once():
    currents = np.array([[5.0, 5.0, 0.0], [10.0, 10.0, 10.0]])
    both = bundle_temperature(currents, *THIN, np.array([20.0, 40.0]))
    assert both.conductor_c.shape == (2, 3)
    alone = bundle_temperature(currents[1], *THIN, 40.0)
    assert both.conductor_c[1] == pytest.approx(alone.conductor_c)


@pytest.mark.parametrize(
    ("call", "where"),
    [
        (lambda: conductor_temperature(-1.0, *THIN, 25.0), "current_a"),
        (lambda: conductor_temperature(1.0, 0.0, 1.5, 2.4, 25.0), "r20_mohm_per_m"),
        (lambda: conductor_temperature(1.0, 12.7, 0.0, 2.4, 25.0), "area_mm2"),
        (lambda: conductor_temperature(1.0, 12.7, 1.5, 1.0, 25.0), "od_mm"),
        (lambda: conductor_temperature(1.0, *THIN, 500.0), "ambient_c"),
        (lambda: conductor_temperature(1.0, *THIN, float("nan")), "ambient_c"),
        (lambda: ampacity(1083.0, *THIN, 25.0), "limit_c"),
        (lambda: temperature_after(-1.0, 1.0, *THIN, 25.0), "seconds"),
        (lambda: temperature_after(1.0, 1.0, *THIN, 25.0, start_c=float("nan")), "start_c"),
        (lambda: temperature_after(1.0, 1.0, *THIN, 25.0, start_c=-300.0), "start_c"),
    ],
)
def test_figures_that_make_no_cable_are_refused_by_name(call, where):
    with pytest.raises(InputProblem) as refusal:
        call()
    assert refusal.value.where == where
