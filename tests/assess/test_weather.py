"""Night and day, the day of locking: which temperature counts for what, and when it is."""

from datetime import datetime

import numpy as np
import pytest

from fusemap import tables
from fusemap.assess import assess
from fusemap.assess.parked.weather import air_c, coldest_c, coldest_ends, moment, typical_c
from fusemap.errors import EditRefused
from fusemap.vehicle import Parking, Vehicle, edits


def car(chemistry: str = "flooded", **parking: object) -> Vehicle:
    made = edits.change_battery(Vehicle(name="Car"), chemistry=chemistry, capacity_ah=70.0)
    return edits.change_parking(made, **parking)


def test_the_day_runs_from_the_lowest_at_six_to_the_highest_at_fourteen() -> None:
    parking = Parking(night_c=-4.0, day_c=8.0)
    assert air_c(parking, np.array([6.0, 10.0, 14.0, 22.0, 30.0])).tolist() == pytest.approx(
        [-4.0, 2.0, 8.0, 2.0, -4.0]
    )
    over = air_c(parking, np.linspace(0.0, 24.0, 1000))
    assert over.min() >= -4.0
    assert over.max() <= 8.0


def test_without_both_it_is_the_same_all_day() -> None:
    for parking in (Parking(temperature_c=11.0), Parking(temperature_c=11.0, night_c=3.0)):
        assert air_c(parking, np.array([6.0, 14.0])).tolist() == [11.0, 11.0]


@pytest.mark.parametrize("chemistry", ["flooded", "agm", "lifepo4"])
@pytest.mark.parametrize(("night", "day"), [(-10.0, 2.0), (5.0, 25.0), (12.0, 12.0)])
def test_the_one_temperature_leaks_as_much_as_the_day_that_it_stands_for(
    chemistry: str, night: float, day: float
) -> None:
    """Held against the leak summed over the minutes of a day."""
    vehicle = car(chemistry, night_c=night, day_c=day)
    doubling = tables.battery_chemistries()[chemistry].doubling_k
    minutes = air_c(vehicle.parking, (np.arange(1440) + 0.5) / 60.0)
    leak = np.mean(2.0 ** ((minutes - 20.0) / doubling))
    one = 2.0 ** ((typical_c(assess(vehicle)) - 20.0) / doubling)
    assert one == pytest.approx(leak, rel=1e-4)


def test_a_start_is_held_to_the_night_unless_a_colder_one_was_named() -> None:
    assert coldest_c(assess(car(night_c=-4.0, day_c=8.0))) == -4.0
    assert coldest_c(assess(car(night_c=-4.0, day_c=8.0, coldest_c=-12.0))) == -12.0


def test_a_coldest_night_that_nobody_said_lies_below_the_mean_as_in_the_table() -> None:
    """Of a week at ten stations: 7.1 K as a rule, 12.7 K in one week of twenty."""
    a = assess(car(temperature_c=9.0, stand_days=7.0))
    assert coldest_ends(a) == pytest.approx((9.0 - 12.7, 9.0 - 7.1, 9.0 - 3.3))
    assert coldest_c(a) == pytest.approx(1.9)
    a_month = assess(car(temperature_c=9.0, stand_days=30.0))
    assert coldest_ends(a_month)[0] == pytest.approx(9.0 - 16.5)
    nights = assess(car(night_c=-4.0, day_c=8.0))
    assert coldest_ends(nights)[0] < -4.0


def test_cold_nights_shorten_it_as_a_cold_start_does() -> None:
    steady, swinging = (
        assess(car(rest_current_a=0.05, awake_current_a=0.05, **given)).parked
        for given in ({"temperature_c": 2.0}, {"night_c": -8.0, "day_c": 12.0})
    )
    assert swinging.need.soc > steady.need.soc
    assert swinging.hours < steady.hours


def test_a_night_warmer_than_the_day_is_refused() -> None:
    with pytest.raises(EditRefused):
        car(night_c=8.0, day_c=-4.0)


@pytest.mark.parametrize("day", ["2025-02-30", "Monday", "17.5.2025"])
def test_a_day_that_is_none_is_refused(day: str) -> None:
    with pytest.raises(EditRefused):
        car(locked_on=day)


def test_the_calendar_counts_from_the_hour_of_locking() -> None:
    parking = Parking(locked_on="2025-05-16", locked_at_h=18.5)
    assert moment(parking, 0.0) == datetime(2025, 5, 16, 18, 30)
    assert moment(parking, 60.5) == datetime(2025, 5, 19, 7, 0)
    assert moment(Parking(), 60.5) is None
