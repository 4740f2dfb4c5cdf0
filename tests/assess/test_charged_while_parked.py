"""What charges a parked battery: the drive battery, sun on either battery; and when nothing may."""

from typing import Any

import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.assess.parked.band import parked_band
from fusemap.assess.parked.topping import top_up
from fusemap.checks import findings
from fusemap.vehicle import Drive, Maintainer, SecondBattery, Vehicle, edits
from tests.plain import plain


def electric(**parking: Any) -> Vehicle:
    """A 45 Ah AGM of an electric car, 90 mA at rest."""
    made = edits.change_battery(
        Vehicle(name="Electric"), chemistry="agm", capacity_ah=45.0, soh=1.0, start_soc=0.9
    )
    given = {
        "starts_by": "contactors", "rest_current_a": 0.09, "awake_current_a": 0.09,
        "stand_days": 30.0, "night_logged": True, "temperature_c": 15.0, **parking,
    }  # fmt: skip
    return edits.change_parking(made, **given)


def codes(vehicle: Vehicle) -> set[str]:
    return {each.code for each in findings(vehicle, assess(vehicle))}


def assumed(vehicle: Vehicle) -> list[str]:
    return [plain(each) for each in assess(vehicle).parked.assumed]


# --- the drive battery ----------------------------------------------------------------------------


def test_what_the_drive_battery_gives_lasts_as_long_as_it_covers_what_is_drawn() -> None:
    """20 min with 10 A ten times are 33.3 Ah: with what leaks some 350 h more at 90 mA."""
    given = {"topped_up": "yes", "top_up_min": 20.0, "top_up_times": 10.0, "top_up_a": 10.0}
    plain_h = assess(electric()).parked.hours
    a = assess(electric(**given))
    found = top_up(a)
    assert found is not None
    assert found.ah == pytest.approx(100 / 3)
    leak_a = 0.9 * 45.0 * float(np.asarray(a.standing.model.wells.leak_per_h(15.0)))
    assert a.parked.hours - plain_h == pytest.approx(found.ah / (0.09 + leak_a), rel=0.01)
    assert a.parked.given_ah == pytest.approx(found.ah, rel=0.01)


@pytest.mark.parametrize("answer", ["unknown", "no"])
def test_it_is_not_counted_on_unless_somebody_said_so(answer: str) -> None:
    vehicle = electric(topped_up=answer)
    assert top_up(assess(vehicle)) is None
    assert assess(vehicle).parked.hours == assess(electric()).parked.hours
    told = any("not counted on" in each for each in assumed(vehicle))
    assert told == (answer == "unknown")


def test_an_engine_that_is_cranked_has_no_drive_battery() -> None:
    vehicle = electric(starts_by="cranking", topped_up="yes")
    assert top_up(assess(vehicle)) is None
    assert not any("drive battery" in each for each in assumed(vehicle))


def test_times_and_current_that_nobody_entered_are_published_ones_and_a_wide_guess() -> None:
    found = top_up(assess(electric(topped_up="yes")))
    assert found is not None
    assert plain(found.words) == (
        "the drive battery tops it up 10 times for 4 min with 10 A, not more"
    )
    assert found.factors == pytest.approx((0.5, 1.0, 2.0))


def test_the_current_that_nobody_knows_widens_the_span() -> None:
    given = {"topped_up": "yes", "top_up_min": 20.0, "top_up_times": 10.0}
    known, guessed = (
        parked_band(assess(electric(**given, **more))) for more in ({"top_up_a": 10.0}, {})
    )
    assert guessed.high_h - guessed.low_h > known.high_h - known.low_h
    assert "topping up" in {each.key for each in guessed.inputs}


def test_more_times_never_end_it_sooner() -> None:
    hours = [
        assess(electric(topped_up="yes", top_up_times=float(times))).parked.hours
        for times in (1, 5, 10, 40)
    ]
    assert hours == sorted(hours)
    assert hours[-1] > hours[0]


# --- LiFePO4 in the frost -------------------------------------------------------------------------


def camper(celsius: float, *, chemistry: str = "lifepo4", **parking: Any) -> Vehicle:
    made = edits.change_battery(
        Vehicle(name="Camper"), chemistry=chemistry, capacity_ah=60.0, start_soc=0.8, soh=1.0
    )
    given = {
        "rest_current_a": 0.05, "awake_current_a": 0.05, "temperature_c": celsius,
        "engine_fuel": "petrol", "engine_l": 1.6, "night_logged": True, **parking,
    }  # fmt: skip
    return edits.change_parking(made, **given)


SUN = Maintainer(kind="solar", current_a=0.4, from_h=9.0, to_h=15.0)


@pytest.mark.parametrize(
    ("celsius", "chemistry", "counted"),
    [(5.0, "lifepo4", True), (-5.0, "lifepo4", False), (-5.0, "agm", True)],
)
def test_a_lithium_battery_takes_nothing_from_the_sun_in_the_frost(
    celsius: float, chemistry: str, counted: bool
) -> None:
    dark, sunny = (
        assess(camper(celsius, chemistry=chemistry, maintainer=each)).parked for each in (None, SUN)
    )
    assert (sunny.given_ah > 0) == counted
    assert (float(sunny.forecast.end_soc) > float(dark.forecast.end_soc)) == counted


def test_neither_does_it_from_the_drive_battery() -> None:
    made = edits.change_battery(electric(topped_up="yes", temperature_c=-5.0), chemistry="lifepo4")
    assert assess(made).parked.given_ah == 0.0
    assert any("not charged below freezing" in each for each in assumed(made))


def test_around_freezing_only_the_warm_ones_of_the_draws_are_charged() -> None:
    """Kept full for good where it is charged at all: else it ends in some weeks."""
    kept = Maintainer(kind="mains", current_a=2.0)
    hours = parked_band(assess(camper(1.0, maintainer=kept, rest_current_a=0.3))).hours
    share = float(np.mean(np.isinf(hours)))
    assert 0.3 < share < 0.95
    warm = parked_band(assess(camper(20.0, maintainer=kept, rest_current_a=0.3))).hours
    assert np.all(np.isinf(warm))


@pytest.mark.parametrize(
    ("vehicle", "told"),
    [
        (camper(5.0, maintainer=SUN), True),
        (camper(5.0, maintainer=SUN, coldest_c=1.0), False),
        (camper(5.0, maintainer=SUN, coldest_c=-5.0), True),
        (camper(-5.0), False),
        (camper(-5.0, chemistry="agm", maintainer=SUN), False),
        (camper(-5.0, drives=(Drive(start_h=8.0, minutes=20.0),)), True),
        (camper(5.0, maintainer=SUN, night_c=-4.0, day_c=6.0), True),
    ],
)
def test_that_it_must_not_be_charged_in_the_frost_is_told(vehicle: Vehicle, told: bool) -> None:
    assert ("not_charged_below_zero" in codes(vehicle)) == told


def test_so_is_a_second_one_that_the_sun_is_on_and_the_starters_is_not_blamed() -> None:
    on_second = Maintainer(kind="solar", current_a=0.4, from_h=9.0, to_h=15.0, battery="second")
    made = camper(-5.0, chemistry="agm", maintainer=on_second)
    lithium, lead = (
        edits.set_second_battery(made, SecondBattery(chemistry=each, capacity_ah=100.0))
        for each in ("lifepo4", "agm")
    )
    assert "not_charged_below_zero" in codes(lithium)
    assert "not_charged_below_zero" not in codes(lead)
    other = edits.set_second_battery(
        camper(-5.0, maintainer=on_second), SecondBattery(chemistry="agm", capacity_ah=100.0)
    )
    assert "not_charged_below_zero" not in codes(other)


# --- sun on the second battery --------------------------------------------------------------------


def test_sun_on_the_second_battery_charges_that_one_alone() -> None:
    second = SecondBattery(chemistry="agm", capacity_ah=100.0)
    starter, other = (
        assess(
            edits.set_second_battery(
                camper(
                    10.0, chemistry="agm",
                    maintainer=Maintainer(
                        kind="solar", current_a=1.0, from_h=9.0, to_h=15.0, battery=battery),
                ),
                second,
            )
        ).parked
        for battery in ("starter", "second")
    )  # fmt: skip
    none = assess(edits.set_second_battery(camper(10.0, chemistry="agm"), second)).parked
    assert other.hours == none.hours < starter.hours
    assert other.second is not None
    assert none.second is not None
    assert float(other.second.forecast.end_soc) > float(none.second.forecast.end_soc)


# --- harm below half charge -----------------------------------------------------------------------


@pytest.mark.parametrize(("days", "told"), [(3.0, False), (25.0, True)])
def test_weeks_below_half_charge_are_a_note(days: float, told: bool) -> None:
    made = camper(20.0, chemistry="flooded", stand_days=days, rest_current_a=0.04)
    assert ("left_half_charged" in codes(made)) == told


def test_a_lithium_battery_takes_no_harm_at_half_charge() -> None:
    assert "left_half_charged" not in codes(camper(20.0, stand_days=25.0, rest_current_a=0.04))
