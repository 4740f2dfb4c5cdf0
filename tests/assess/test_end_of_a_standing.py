"""What ends a standing, said in words and in volts, and whether what is planned fits."""

from math import inf
from typing import Any

import numpy as np
import pytest

from fusemap.advise import library
from fusemap.assess import Assessment, assess
from fusemap.assess.parked.ends import at_words, standing_end, standing_verdict
from fusemap.assess.parked.start_spans import start_case, start_ranges
from fusemap.assess.parked.start_words import least_v, plan_words
from fusemap.assess.parked.starting import gets_v, starting
from fusemap.checks import findings
from fusemap.text import Duration
from fusemap.vehicle import StandReading, Vehicle, edits
from tests.plain import plain

PETROL = {"engine_fuel": "petrol", "engine_l": 1.6, "coldest_c": -2.0}
DIESEL = {"engine_fuel": "diesel", "engine_l": 2.0, "coldest_c": -10.0}


def car(battery: dict[str, Any] | None = None, **parking: Any) -> Vehicle:
    """70 Ah, 640 A, nine tenths charged, 50 mA."""
    fields = {"capacity_ah": 70.0, "cca_a": 640.0, "start_soc": 0.9, "soh": 0.9, **(battery or {})}
    made = edits.change_battery(Vehicle(name="Car"), **fields)
    given = {"rest_current_a": 0.05, "awake_current_a": 0.05, "stand_days": 6.0, **parking}
    return edits.change_parking(made, **given)


def end_of(vehicle: Vehicle) -> tuple[Assessment, Any]:
    a = assess(vehicle)
    return a, standing_end(a, a.parked, a.band.middle)


LITHIUM = {"chemistry": "lifepo4", "low_soc": 0.8, "high_soc": 0.95}


@pytest.mark.parametrize(
    ("vehicle", "kind"),
    [
        (car(), "charge"),
        (car(**PETROL), "floor"),
        (car(**DIESEL), "voltage"),
        (car({"cca_a": 250.0, "soh": 0.6}, **{**DIESEL, "coldest_c": -25.0}), "never"),
        (car(starts_by="contactors"), "contactors"),
        (car(rest_current_a=0.001, awake_current_a=0.001, **PETROL), "none"),
    ],
)
def test_each_end_is_named_by_what_it_is(vehicle: Vehicle, kind: str) -> None:
    a, end = end_of(vehicle)
    assert end.kind == kind
    assert end.hours == a.band.middle_h
    assert plain(end.words)


def test_what_the_starter_would_get_is_said_against_what_the_engine_wants() -> None:
    a = assess(car(**PETROL))
    words = plain(at_words(a, a.parked, a.band.middle, 144.0))
    assert words.startswith("After 6 days at −2 °C the starter would get ")
    assert words.endswith(" V; a petrol engine of 1.6 l wants 7.6 V.")


def test_those_volts_are_what_the_formula_gives_for_the_charge_then() -> None:
    a = assess(car(**PETROL))
    case = start_case(a)
    usual = {key: np.array([each.typical]) for key, each in start_ranges(case).items()}
    soc = a.band.middle.charge(144.0)
    volts = float(np.asarray(starting(case, usual).cranking_v(soc, -2.0))[0])
    assert a.parked.need.gets_v(soc) == pytest.approx(volts, abs=0.15)


def test_at_its_end_the_starter_gets_what_the_engine_wants_and_before_it_more() -> None:
    a, end = end_of(car(**DIESEL))
    assert end.kind == "voltage"
    assert a.parked.need.gets_v(end.soc) == pytest.approx(8.0, abs=0.15)
    assert a.parked.need.gets_v(a.band.middle.charge(end.hours / 2)) > 8.1


def test_where_the_usual_volts_would_do_it_is_said_what_else_ends_it() -> None:
    """Half of such vehicles need more than the usual figures one by one: what one of ten gets."""
    for vehicle in (car({"cca_a": 680.0}, **{**DIESEL, "coldest_c": -2.0}), car(**PETROL)):
        a, end = end_of(vehicle)
        low, usual, high = gets_v(start_case(a), end.soc)
        assert low < usual < high
        words = plain(end.words)
        if usual > least_v(start_case(a)) + 0.05:
            assert "one of ten" in words or "below this charge no start is promised" in words
        later = plain(at_words(a, a.parked, a.band.middle, end.hours + 24.0))
        assert "one of ten" in later or "no start is promised" in later
        before = plain(at_words(a, a.parked, a.band.middle, end.hours / 2))
        assert "one of ten" not in before


def test_the_least_of_the_three_ends_it() -> None:
    """Charge a start needs, empty, volts under load: in the cold what is kept ends it first."""
    for celsius in (20.0, 0.0, -15.0):
        for way in ({}, PETROL, DIESEL, {"starts_by": "contactors"}):
            made = car(**{**way, "temperature_c": celsius, "coldest_c": celsius})
            a, end = end_of(made)
            assert end.hours <= a.band.middle.empty_h + 1e-6
            if np.isfinite(end.hours) and end.hours > 0:
                later = a.band.middle.charge(end.hours)
                assert later == pytest.approx(max(a.parked.need.soc, later), abs=0.03)


@pytest.mark.parametrize(
    ("planned", "low", "high", "verdict"),
    [
        (5.0, 6.0, 10.0, "holds"),
        (6.0, 6.0, 10.0, "holds"),
        (7.0, 6.0, 10.0, "may_not_hold"),
        (10.0, 6.0, 10.0, "may_not_hold"),
        (11.0, 6.0, 10.0, "fails"),
        (5.0, 0.0, inf, "may_not_hold"),
        (0.0, 6.0, 10.0, "unchecked"),
    ],
)
def test_what_is_planned_is_held_to_both_ends(
    planned: float, low: float, high: float, verdict: str
) -> None:
    assert standing_verdict(planned, low, high) == verdict


def test_what_does_not_start_now_or_was_not_said_is_never_good() -> None:
    assert standing_verdict(5.0, 6.0, 10.0, starts_now=False) == "fails"
    assert standing_verdict(5.0, 6.0, 10.0, battery_said=False) == "unchecked"


@pytest.mark.parametrize("days", [0.5, 2.0, 6.0, 12.0, 20.0, 40.0])
def test_finding_and_verdict_say_the_same(days: float) -> None:
    a = assess(car(stand_days=days, **PETROL))
    codes = {each.code for each in findings(a.vehicle, a)}
    verdict = standing_verdict(days * 24, a.band.low_h, a.band.high_h)
    assert ("stands_too_short" in codes) == (verdict == "fails")
    assert ("stands_perhaps_too_short" in codes) == (verdict == "may_not_hold")


def test_the_doubt_is_said_with_how_many_of_twenty_start() -> None:
    a = assess(car(**PETROL))
    days = (a.band.low_h + a.band.middle_h) / 48
    a = assess(edits.change_parking(a.vehicle, stand_days=days))
    found = {each.code: each for each in findings(a.vehicle, a)}["stands_perhaps_too_short"]
    assert "of 20 vehicles like this one at least" in plain(found.sum)
    assert "the starter would get" in plain(found.sum)


def test_what_was_learned_decides_over_the_usual_figures() -> None:
    made = car(stand_days=10.0, **PETROL)
    assert assess(made).parked.hours > 240.0
    hungry = StandReading(kind="night", hours=14.0, mean_a=0.5)
    made = edits.change_parking(made, low_rest_current_a=0.02, high_rest_current_a=0.6)
    a = assess(edits.add_stand_reading(made, hungry))
    assert a.band.high_h < 240.0
    finding = {each.code: each for each in findings(a.vehicle, a)}["stands_too_short"]
    half = plain(Duration(a.band.middle_h))
    assert f"half of such vehicles start for {half}, planned 10 days" in plain(finding.sum)


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "it may not start; of 20 vehicles like this one perhaps none does."),
        (0.3, "it may not start; of 20 vehicles like this one at least 6 do."),
        (0.8, "it may not start; of 20 vehicles like this one at least 16 do."),
    ],
)
def test_what_may_not_hold_is_never_told_as_sure_to_fail(chance: float, words: str) -> None:
    """The share is made with all that nobody answered at its hard end: the least."""
    assert plain(plan_words("may_not_hold", 168.0, chance)).endswith(words)


def test_a_doubt_says_that_perhaps_none_starts_where_half_usually_do() -> None:
    """A camera of the library, and a battery of which the label alone was read."""
    made = edits.change_battery(Vehicle(name="Car"), capacity_ah=70.0)
    made = edits.add_accessory(made, **library.fields("dash_camera_parking"))
    a = assess(made)
    wanted = a.band.middle_h * 0.95 / 24
    a = assess(edits.change_parking(made, stand_days=wanted))
    assert a.chance < 0.5 <= float(np.mean(a.band.hours >= wanted * 24))
    found = {each.code: each for each in findings(a.vehicle, a)}["stands_perhaps_too_short"]
    said = plain(found.sum)
    assert "at least" in said or "perhaps none" in said
    assert "half of such vehicles have" in said


def test_the_chance_falls_with_every_day_and_is_that_of_the_draws() -> None:
    a = assess(car(**PETROL))
    at_h = np.linspace(0.0, a.parked.forecast.horizon_h, 40)
    chances = a.band.chances(at_h)
    assert np.all(np.diff(chances) <= 0.0)
    assert chances.tolist() == pytest.approx([a.band.chance(float(each)) for each in at_h])
    assert a.band.chance(a.band.low_h) == pytest.approx(0.95, abs=0.01)
    assert a.band.chance(a.band.middle_h) == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize("days", [1.0, 6.0, 15.0])
def test_the_chance_for_the_time_planned_is_known_before_the_band(days: float) -> None:
    a = assess(car(stand_days=days, **PETROL))
    assert a.chance == pytest.approx(a.band.chance(days * 24), abs=1e-12)


def test_what_remains_in_doubt_comes_most_first() -> None:
    a = assess(car(**PETROL))
    said = [plain(each) for each in a.band.in_doubt]
    shares = [float(each.split(": ")[1].split(" %")[0]) for each in said]
    assert len(said) > 1
    assert shares == sorted(shares, reverse=True)
