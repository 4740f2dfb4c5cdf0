"""Whatever can be entered of battery, engine and standing: no nonsense is said of it.

What the gate refuses never comes here; what it lets in has to give a span, a verdict, words and
figures that fit together, and none of them may be green for the sake of an entry that cannot be.
"""

from math import isfinite
from typing import Any

import pytest

from fusemap.assess import Assessment, assess
from fusemap.assess.parked.ends import battery_said, verdict_as_planned
from fusemap.checks import findings
from fusemap.job.standing_of import Job
from fusemap.job.whole_cells import stands_for
from fusemap.terminal.command import as_json
from fusemap.terminal.parked import parked_data, parked_lines
from fusemap.vehicle import CrankReading, Maintainer, StandReading, Vehicle, WakeUp, edits
from fusemap.window.parked.chart_figures import Case
from fusemap.window.parked.known_words import known
from fusemap.window.parked.page_words import headline
from tests.assess.test_end_of_a_standing import DIESEL, PETROL, car
from tests.plain import plain

BIKE = {"engine_fuel": "motorcycle", "engine_l": 0.8}


def of_24_v(made: Vehicle) -> Vehicle:
    return edits.change_vehicle(made, system_v=24)


def read(made: Vehicle, *readings: CrankReading | StandReading) -> Vehicle:
    for each in readings:
        add: Any = edits.add_stand_reading
        if isinstance(each, CrankReading):
            add = edits.add_crank_reading
        made = add(made, each)
    return made


VEHICLES = {
    "nothing said": Vehicle(name="Bare"),
    "electric": car(starts_by="contactors"),
    "electric, topped up without end": car(
        starts_by="contactors",
        topped_up="yes",
        top_up_min=1000.0,
        top_up_times=1000.0,
        top_up_a=100.0,
    ),
    "electric, lithium in the frost": car(
        {"chemistry": "lifepo4"}, starts_by="contactors", topped_up="yes", temperature_c=-10.0
    ),
    "a 24 V pair": of_24_v(car(**DIESEL)),
    "a 24 V pair, one block's voltage": of_24_v(car({"rest_v": 12.6, "start_soc": None}, **DIESEL)),
    "12 V, a pair's voltage": car({"rest_v": 25.2, "start_soc": None}, **PETROL),
    "motorcycle": car({"capacity_ah": 10.0, "cca_a": 130.0}, **BIKE),
    "motorcycle, hardly drawing": car(
        {"capacity_ah": 10.0, "cca_a": 130.0}, rest_current_a=0.0005, awake_current_a=0.0005, **BIKE
    ),
    "empty": car({"start_soc": 0.0}, **PETROL),
    "worn out": car({"soh": 0.01}, **PETROL),
    "cold current of 1 A": car({"cca_a": 1.0}, **PETROL),
    "5000 A at rest": car(rest_current_a=5000.0, awake_current_a=5000.0, **PETROL),
    "nothing draws": car(rest_current_a=0.0, awake_current_a=0.0, **PETROL),
    "arctic": car(temperature_c=-60.0, **{**PETROL, "coldest_c": -60.0}),
    "oven": car(temperature_c=100.0, **PETROL),
    "no plan": car(stand_days=0.0, **PETROL),
    "two years": car(stand_days=730.0, **PETROL),
    "a sun of 100 A": car(
        maintainer=Maintainer(kind="solar", current_a=100.0, from_h=9.0, to_h=15.0), **PETROL
    ),
    "a sun of nothing": car(
        maintainer=Maintainer(kind="solar", current_a=0.0, from_h=9.0, to_h=15.0), **PETROL
    ),
    "readings that contradict each other": read(
        car(**DIESEL),
        CrankReading(rest_v=12.6, crank_v=11.9, temperature_c=-20.0),
        CrankReading(rest_v=12.6, crank_v=6.5, temperature_c=25.0),
        StandReading(kind="night", hours=14.0, mean_a=50.0),
        StandReading(kind="rests", hours=500.0, rest_v=12.7, later_v=10.5),
        StandReading(kind="start", hours=1.0, started=False),
        StandReading(kind="start", hours=2000.0, started=True),
    ),
    "always waking": car(wake_ups=(WakeUp(every_h=0.01, minutes=10.0, current_a=10.0),), **PETROL),
    "locked at the end of the calendar": car(locked_on="9999-12-31", **PETROL),
}


def words_of(a: Assessment) -> str:
    case = Case(a.parked, a.band, battery_said(a.vehicle))
    lines = [headline(case, a.vehicle.parking.stand_days * 24.0)]
    lines += [each.words for each in known(a, case)]
    lines += [stands_for(Job(a.vehicle, a, ()).look_ahead())]
    for finding in findings(a.vehicle, a):
        lines += [finding.what, finding.sum]  # type: ignore[list-item]
    return "\n".join(map(plain, lines))


@pytest.mark.parametrize("name", VEHICLES)
def test_what_is_said_of_it_fits_together(name: str) -> None:
    a = assess(VEHICLES[name])
    band, words = a.band, words_of(a)
    assert 0.0 <= band.low_h <= band.middle_h <= band.high_h
    assert "nan" not in words
    assert "inf" not in words.replace("inform", "")
    data = as_json(parked_data(a, 100))
    assert "NaN" not in data
    assert "Infinity" not in data
    assert list(parked_lines(parked_data(a, 100)))
    verdict = verdict_as_planned(a, a.parked, band)
    if verdict == "holds":
        assert band.chance(a.vehicle.parking.stand_days * 24.0) >= 0.95
        assert a.parked.starts_now
    ends = a.parked.forecast
    if isfinite(float(ends.hours_to_crank_limit)):
        assert float(ends.hours_to_crank_limit) <= float(ends.hours_to_empty) + 1e-6


def test_a_span_from_nothing_to_past_the_forecast_is_said_as_that() -> None:
    made = car({"capacity_ah": 10.0, "cca_a": 130.0}, rest_current_a=0.0005,
               awake_current_a=0.0005, **BIKE)  # fmt: skip
    words = words_of(assess(made))
    assert "Starts for 0 to over 60 days." in words
    assert "0 minutes or longer" not in words
    assert "0 min or more" not in words


def test_where_no_verdict_is_given_no_chance_is_either() -> None:
    words = words_of(assess(VEHICLES["nothing said"]))
    assert "Nobody said which battery it has: no verdict." in words
    assert "of 20" not in words


def codes(made: Vehicle) -> set[str]:
    return {each.code for each in findings(made, assess(made))}


def test_a_voltage_that_no_battery_rests_at_is_told_and_not_taken_for_full() -> None:
    of_a_pair = VEHICLES["12 V, a pair's voltage"]
    assert "rest_voltage_unlikely" in codes(of_a_pair)
    found = assess(of_a_pair)
    blank = assess(edits.change_battery(of_a_pair, rest_v=None))
    assert found.parked.start_soc == blank.parked.start_soc < 0.95
    assert "not counted" in "\n".join(map(plain, found.parked.assumed))


def test_one_block_of_a_pair_is_told_and_still_counts_as_empty() -> None:
    of_a_block = VEHICLES["a 24 V pair, one block's voltage"]
    assert {"rest_voltage_unlikely", "does_not_start_now"} <= codes(of_a_block)


@pytest.mark.parametrize("volts", [11.9, 12.4, 12.75])
def test_a_usual_rest_voltage_is_told_nothing_about(volts: float) -> None:
    assert "rest_voltage_unlikely" not in codes(car({"rest_v": volts, "start_soc": None}, **PETROL))


def test_a_slow_draw_leaves_no_less_than_nothing_in_it() -> None:
    """The capacity is that at 20 hours; a slow draw takes out more, and it is flat all the same."""
    vehicle = edits.add_panel(Vehicle(name="Bench"), "Dash", 2, 4)
    vehicle = edits.add_accessory(vehicle, "Camera", watts=4.0)
    band = assess(vehicle).band
    assert band.low_soc.min() == 0.0
    assert (band.high_soc >= band.low_soc).all()
