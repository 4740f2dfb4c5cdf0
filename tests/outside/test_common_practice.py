"""Common practice of the trade: rules everybody uses, for which no document is the source."""

import pytest

from fusemap.electrics.cable import (
    allowed_length,
    loop_resistance,
    resistance_ohm,
    section_for_drop,
    voltage_drop,
)
from fusemap.electrics.fuse_choice import choose_fuse
from fusemap.electrics.fuses import continuous_limit
from fusemap.electrics.loads import load_current, watts_to_amperes
from fusemap.electrics.taps import tap_currents, way_round_from_pull_test

RATINGS_A = [2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30]


@pytest.mark.parametrize(
    ("watts", "volts", "amperes"), [(90, 12, 7.5), (60, 12, 5), (90, 24, 3.75), (240, 24, 10)]
)
def test_watts_over_nominal_volts_are_amperes(watts, volts, amperes):
    assert watts_to_amperes(watts, volts) == amperes


def test_90_w_at_12_v_get_a_10_a_fuse():
    limits = continuous_limit(RATINGS_A, 25.0)
    choice = choose_fuse(watts_to_amperes(90.0, 12.0), RATINGS_A, limits)
    assert choice.rating_a == 10.0
    assert choice.reason == "load"


@pytest.mark.parametrize("way_round", ["live_side", "load_side"])
def test_90_w_fit_on_a_15_a_slot_beside_a_2_a_neighbour(way_round):
    found = tap_currents("two_fuse", way_round, 2.0, watts_to_amperes(90.0, 12.0))
    assert found.host_fuse_a <= continuous_limit(15.0, 25.0)
    assert found.live_contact_a == 9.5


def test_beside_a_5_a_neighbour_they_fit_only_the_right_way_round():
    limit = continuous_limit(15.0, 25.0)
    load = watts_to_amperes(90.0, 12.0)
    assert tap_currents("two_fuse", "live_side", 5.0, load).host_fuse_a <= limit
    assert tap_currents("two_fuse", "load_side", 5.0, load).host_fuse_a > limit


def test_the_accessory_goes_dead_with_the_host_fuse_on_a_reversed_tap():
    assert way_round_from_pull_test(accessory_stays_on=True) == "live_side"
    assert way_round_from_pull_test(accessory_stays_on=False) == "load_side"


def test_twice_the_way_needs_twice_the_section():
    assert section_for_drop(10.0, 10.0, 0.5) == pytest.approx(2 * section_for_drop(5.0, 10.0, 0.5))


def test_a_return_cable_doubles_the_drop_of_a_body_return():
    there_and_back = voltage_drop(5.0, loop_resistance(7.6, 4.0, 4.0))
    by_body = voltage_drop(5.0, loop_resistance(7.6, 4.0, 0.0))
    assert there_and_back == pytest.approx(2 * by_body)


def test_at_24_v_a_load_reaches_four_times_as_far_for_the_same_share_of_drop():
    near = allowed_length(0.03 * 12, watts_to_amperes(60, 12), 7.6)
    far = allowed_length(0.03 * 24, watts_to_amperes(60, 24), 7.6)
    assert far == pytest.approx(4 * near)


def test_an_electronic_load_draws_more_and_a_heater_less_when_the_voltage_falls():
    assert load_current(5.0, 10.8, 12.0, "constant_power") > 5.0
    assert load_current(5.0, 10.8, 12.0, "resistive") < 5.0
    assert load_current(5.0, 10.8, 12.0, "resistive") < load_current(5.0, 10.8, 12.0, "filament")


def test_a_warm_cable_resists_more():
    assert resistance_ohm(7.6, 10.0, 60.0) > resistance_ohm(7.6, 10.0, 20.0)
