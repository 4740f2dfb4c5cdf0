"""Every row of what is published about starting: held against the model, or said why it is not.

`tests/outside/test_starting.py` has the main checks; here are the rows besides, and at the end that
none was left out. A row's source stands in `resources/tables/starting.csv`.
"""

import csv
import re
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from fusemap import tables
from fusemap.electrics.starting import LeadCold, LithiumCold, current_rise
from fusemap.vehicle import CrankReading
from fusemap.vehicle.validity.starts import CRANKING_V, crank_reading_faults
from tests.outside.test_starting import LOST, need, ohm, published, rest_v, vehicle

CRANK_TESTS = (33, 27, 21, 16, 10, 4, -1, -7)


@pytest.mark.parametrize("celsius", CRANK_TESTS)
def test_the_cranking_limits_of_a_meters_manual_are_one_battery_at_one_current(celsius):
    """Not fitted: 10.0 V at 33 °C down to 8.6 V at −7 °C, one load that the cold does not raise.

    What is taken from the table is its middle alone, 9.6 V at 21 °C.
    """
    cold = LeadCold()
    drop = rest_v(1.0, 21.0) - LOST - published("crank_test_21").value
    ours = rest_v(1.0, celsius) - LOST - drop * float(cold.rise(celsius) / cold.rise(21.0))
    assert ours == pytest.approx(published(f"crank_test_{celsius}").value, abs=0.25)


@pytest.mark.parametrize(("celsius", "key"), [(0, "army_0"), (-18, "army_-18"), (-29, "army_-29")])
def test_an_armys_table_of_capacity_is_no_table_of_currents(celsius, key):
    """It gives 65, 40 and 20 % and falls faster than any cranking current that was published."""
    share = float(LeadCold().rise(27.0) / LeadCold().rise(celsius))
    assert published(key).value / published("army_27").value < share
    ours = float(LeadCold().rise(-18.0) / LeadCold().rise(0.0))
    assert published("army_0").value / published("army_-18").value > 1.25 * ours


@pytest.mark.parametrize("celsius", [0, -18, -29])
def test_a_trade_charts_power_falls_where_the_need_rises(celsius):
    """A trade chart: available 65, 40, 25 %, required 155, 210, 350 %, of those at 27 °C.

    What is required is ours within a seventh: the current at a voltage that hardly changes. What is
    available the model has more of, as the cranking amperes that are published do.
    """
    fact = published(f"power_{celsius}")
    gives = float(LeadCold().rise(27.0) / LeadCold().rise(celsius))
    asks = float(current_rise(celsius))
    assert fact.low < gives < 1.0
    assert asks == pytest.approx(fact.high, rel=1 / 7)


def test_a_hot_engine_takes_what_its_maker_states():
    """Fitted engine of 53 A/l, not fitted here: 70 to 110 A above 50 °C, 1.9 l."""
    fact = published("four_hot")
    assert fact.low <= 53.0 * 1.9 * float(current_rise(60.0)) <= fact.high


def test_a_large_truck_takes_over_a_thousand_amperes_in_the_cold():
    """A construction paper: over 1000 A cold; the largest have 16 l, on 24 V half the amperes."""
    per_litre = published("large_diesel_a_per_l").value / 2.0
    assert per_litre * 16.0 * float(current_rise(-18.0)) > published("truck_a").value


def test_a_large_diesel_takes_less_of_each_litre_than_a_car():
    """Its manual's batteries are 83 A (SAE) a litre on 24 V; a car's are 300 and more on 12 V."""
    large, car = published("large_diesel_a_per_l"), published("diesel_a_per_l")
    assert car.low > large.value > 0.5 * car.value
    assert large.low < large.value < large.high


def test_a_motorcycle_of_0_8_l_takes_what_one_was_measured_at():
    """One bike: about 65 A warm, 130 A cold: the cold doubles it somewhere in a usual frost."""
    warm = 0.8 * published("motorcycle_a_per_l").value
    assert warm == pytest.approx(65.0, abs=1.0)
    doubled = published("motorcycle_a").value / warm
    assert float(current_rise(-8.0)) < doubled < float(current_rise(-18.0))


def test_the_least_voltage_lies_above_what_stops_electronics_and_over_what_still_turned():
    """Start-stop from 6.5 V, modules at 7.5 ± 1 V, no start though it turned at 7 to 8 V."""
    petrol, diesel = published("least_petrol_v"), published("least_diesel_v")
    cold, turned = published("electronics_cold_v"), published("turned_v")
    assert published("stop_start_v").value < petrol.low
    assert cold.low < petrol.low < petrol.value < cold.high
    assert turned.low < petrol.value < turned.high
    assert petrol.value < diesel.value < published("electronics_warm_v").high
    assert diesel.high < published("manual_limit_v").low  # which is of a warm engine


@pytest.mark.parametrize("standard", ["en", "sae", "iec", "din"])
def test_a_battery_holds_at_its_rating_what_its_standard_asks(standard):
    """From the definitions: 7.5 V at 10 s, 7.2 and 9.0 at 30, 8.4 at 60 s."""
    test = tables.label_tests()[standard]
    assert test.held_v == published(f"cold_test_{standard}").value
    grown = {10: 1.0, 30: 1.1, 60: 1.2}[round(test.seconds)]
    held = rest_v(1.0, -18.0) - LOST - ohm(1.0, first=1.0, standard=standard) * grown
    assert held == pytest.approx(test.held_v, abs=0.01)


def test_lead_passes_its_test_at_minus_18_and_not_at_minus_30():
    """Bauknecht et al. 2023: passed at 0, −10 and −18, failed at −30 °C."""
    passes = published("lead_cold_test_c").value
    rises = [float(LeadCold().rise(celsius)) for celsius in (0.0, -10.0, passes, -30.0)]
    assert rises == sorted(rises)
    assert [each <= rises[2] for each in rises] == [True, True, True, False]


@pytest.mark.parametrize(("celsius", "key"), [(0.0, "lifepo4_0"), (-20.0, "lifepo4_20")])
def test_lithium_rises_as_a_maker_states(celsius, key):
    """Fitted: 1.5 to 2 times at 0, 3 to 5 times at −20 °C, of that at 25 °C."""
    fact = published(key)
    assert fact.low <= float(LithiumCold().rise(celsius) / LithiumCold().rise(25.0)) <= fact.high


def test_the_first_dip_is_refused_by_whatever_shows_it():
    """7 to 8 V for some milliseconds: a fast MIN is refused, and what lies below any cranking."""
    dip = published("first_dip_v")
    fast = CrankReading(rest_v=12.6, crank_v=dip.value, temperature_c=20.0, response="fast")
    assert [each.path for each in crank_reading_faults(fast, "")] == [".response"]
    assert CRANKING_V[0] < published("electronics_cold_v").value


def test_what_a_smart_alternator_leaves_lies_between_what_cars_are_seen_to_hold():
    """Held 75–80, lowered above 80, reached 80; start-stop from 68 or 78 %; city 70 %."""
    smart, short = published("smart_soc"), published("short_soc")
    seen = [published(key) for key in ("held_soc", "lowered_soc", "reached_soc", "stop_start_soc")]
    for fact in seen:
        assert smart.low <= fact.value <= smart.high
    assert np.mean([fact.value for fact in seen]) == pytest.approx(smart.value, abs=3.0)
    assert short.value == published("city_soc").value


def test_contactors_want_what_is_seen_of_hybrids():
    """Supplied by 9 to 14 V; a shut-down was reported below 10.5 V."""
    fact, supply = published("contactor_v"), published("hybrid_supply_v")
    assert supply.low <= fact.low < fact.high <= supply.high
    assert fact.value == published("hybrid_shut_v").value


def test_warm_limits_of_makers_lie_within_what_is_given_where_no_engine_is_known():
    """30 % (sensor, AGM maker), 40–50 % (loads are shed), 60 % (a bulletin, with its margin)."""
    found = need(vehicle(capacity_ah=70.0), 20.0)
    assert found.low < published("agm_claim_soc").value <= found.soc + 0.005
    assert published("shed_soc").value < found.high + 0.005
    assert found.high < published("no_start_soc").value


@pytest.mark.parametrize(("celsius", "key"), [(15.0, "line_soc"), (-15.0, "line_cold_soc")])
def test_where_no_engine_is_known_the_makers_own_two_points_come_out(celsius, key):
    """A car maker's sensor: 30 % at 15 °C, 50 % at −15 °C."""
    found = need(vehicle(capacity_ah=70.0), celsius)
    assert found.way == "line"
    assert found.soc == pytest.approx(published(key).value, abs=0.005)


# --- none left out --------------------------------------------------------------------------------

NOT_HELD = {
    "first_seconds|resistance_slope_per_k|resistance_charge|cold_share|cold_share_new|cold_per_ah|"
    "cranking_cold|least_motorcycle_v|floor_soc|floor_lifepo4_soc|contactor_a|plain_soc|wake_ups_a|"
    "top_up_a|one_start_ah|line_slope_per_k": "what the model is made of: ours, or from memory",
    "rest_slope": "three sources that contradict each other by a factor of three",
    "starter_manual|starter_automatic|starter_locked": "of a starter on a bench, without an engine",
    "least_rpm": "a speed; the model knows volts alone",
    "electronics_iso_v|pulse_sae_v": "pulses of test generators, for modules and no engine",
    "lifepo4_warm_s": "how long it is warmed by lamps: advice, no figure of the model",
    "breakdowns": "how many are called for: statistics of cars",
    "drive_min|acceptance_months": "of charging while driving: held in the week's tests",
    "top_up_min|top_up_times": "of one car each; counted as entered or as published",
}
"""Rows that the model is not asked for, and why."""


def test_every_published_row_is_held_or_said_why_not():
    folder = Path(__file__).parent
    asked = "".join((folder / name).read_text() for name in (
        "test_starting.py", "test_starting_rows.py"
    )).partition("NOT_HELD = ")[0]  # fmt: skip
    path = files("resources").joinpath("tables", "starting.csv")
    keys = [row["key"] for row in csv.DictReader(path.read_text("utf-8").splitlines())]
    not_held = {key for keys_ in NOT_HELD for key in keys_.split("|")}
    assert not_held <= set(keys)

    def is_held(key: str) -> bool:
        stem = re.sub(r"_(-?\d+(\.\d+)?|en|sae|iec|din|sae_en|din_en|iec_din)$", "_", key)
        return f'"{key}"' in asked or f'published(f"{stem}' in asked

    left = [key for key in keys if not is_held(key) and key not in not_held]
    assert left == []
    assert [key for key in not_held if is_held(key)] == []
