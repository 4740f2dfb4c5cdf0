"""What the forecasts reckon with: the shelf, the library's spans, wake-ups, a driven battery."""

from typing import Any, Final

import numpy as np
import pytest

from fusemap import tables
from fusemap.advise import library
from fusemap.assess import Assessment, assess
from fusemap.assess.battery import battery_model
from fusemap.assess.parked.band import ParkedBand, accessory_key
from fusemap.assess.parked.spans import at_rest
from fusemap.assess.parked.start_spans import START
from fusemap.electrics.spread import Tenths, draws
from fusemap.vehicle import Battery, Drive, Vehicle, WakeUp, edits

DAYS = ("mon", "tue", "wed", "thu", "fri")


ENGINE: Final[dict[str, Any]] = {"engine_fuel": "petrol", "engine_l": 1.2}
"""A small one, said: then the start is not what decides."""
MILD: Final[dict[str, Any]] = {"temperature_c": 25.0, "coldest_c": 20.0}
"""Where any engine that may be starts."""


def van(**parking: Any) -> Vehicle:
    vehicle = edits.change_battery(Vehicle(name="Van"), capacity_ah=70.0, soh=0.9, start_soc=0.85)
    fields = {"rest_current_a": 0.03, "temperature_c": 15.0, **parking}
    return edits.change_parking(vehicle, **fields)


def shelved(vehicle: Vehicle, key: str, **fields: Any) -> Vehicle:
    """With a generic accessory on the shelf: without any source yet."""
    return edits.add_accessory(vehicle, **{**library.fields(key), **fields})


def ends(a: Assessment, key: str) -> tuple[float, ...]:
    return tuple(next(each.range for each in a.band.inputs if each.key == key))


def width(band: ParkedBand) -> float:
    return band.high_h / band.low_h


# --- the shelf ------------------------------------------------------------------------------------


def test_what_is_on_the_shelf_counts_as_if_it_hung_on_the_battery() -> None:
    vehicle = shelved(van(), "dash_camera_parking")
    on_shelf = assess(vehicle).parked
    placed = assess(edits.place(vehicle, "accessory-1")).parked
    assert on_shelf.unplaced == (vehicle.accessories[0].name,)
    assert placed.unplaced == ()
    assert on_shelf.hours == pytest.approx(placed.hours, rel=1e-3)
    assert on_shelf.hours < 0.75 * assess(van()).parked.hours
    assert on_shelf.hours_placed == pytest.approx(assess(van()).parked.hours)


def test_what_hangs_behind_a_converter_on_the_shelf_counts_too() -> None:
    vehicle = shelved(van(), "converter_24_12", works_in=("asleep", "awake"))
    vehicle = edits.add_accessory(
        vehicle, "Radio", amperes=0.3, load_kind="constant_current",
        works_in=("asleep", "awake"), supplied_by="accessory-1")  # fmt: skip
    found = assess(vehicle).parked
    assert {each.accessory for each in found.consumers} >= {"accessory-2"}
    assert found.hours < assess(van()).parked.hours


def test_the_band_counts_the_shelf_as_the_forecast_does() -> None:
    assert assess(shelved(van(), "tracker")).band.middle_h < assess(van()).band.middle_h


# --- spans of the library -------------------------------------------------------------------------


def test_a_figure_of_the_library_has_the_librarys_span() -> None:
    """A camera of 32 mA at standby: the table says 2 to 250 mA."""
    a = assess(shelved(van(**MILD), "dash_camera_parking"))
    key = accessory_key("accessory-1", resting=True)
    assert ends(a, key) == pytest.approx((2 / 32, 1.0, 250 / 32))
    measured = shelved(van(**MILD), "dash_camera_parking", figures_from="meter")
    assert ends(assess(measured), key) == pytest.approx((0.95, 1.0, 1.05))
    assert width(a.band) > 1.5 * width(assess(measured).band)


def test_the_shortest_of_a_library_camera_is_that_of_its_hungriest_mode() -> None:
    """Three days with 250 mA, three weeks with 2 mA: the span tells both within its ends."""
    a = assess(shelved(van(), "dash_camera_parking"))
    hungry = shelved(van(), "dash_camera_parking", standby_a=0.2, figures_from="meter")
    assert a.band.low_h < 1.35 * assess(hungry).band.middle_h


@pytest.mark.parametrize(
    ("mode", "low_a", "high_a"),
    [("asleep", 0.002, 0.020), ("time_lapse", 0.1, 0.25), ("recording", 0.2, 0.5)],
)
def test_a_mode_that_was_chosen_has_the_span_of_that_mode(
    mode: str, low_a: float, high_a: float
) -> None:
    usual = tables.parked_modes("dash_camera_parking")[mode].typical_a
    vehicle = shelved(van(), "dash_camera_parking", parked_mode=mode, standby_a=usual)
    found = ends(assess(vehicle), accessory_key("accessory-1", resting=True))
    assert (found[0] * usual, found[2] * usual) == pytest.approx((low_a, high_a))


@pytest.mark.parametrize(
    ("mode", "published"),
    [("asleep", False), ("standby", True), ("time_lapse", False), ("recording", True)],
)
def test_a_mode_of_which_nothing_is_published_says_so(mode: str, published: bool) -> None:
    chosen = tables.parked_modes("dash_camera_parking")[mode]
    made = edits.add_accessory(Vehicle(name="Car"), **library.fields("dash_camera_parking"))
    made = edits.change_accessory(
        made, made.accessories[0].id, parked_mode=mode, standby_a=chosen.typical_a
    )
    span = at_rest(made.accessories[0])
    assert ("no figure of this mode is published" in str(span.words)) != published
    assert span.factors[0] < 1.0 < span.factors[2]


def test_a_figure_that_was_changed_is_no_longer_the_librarys() -> None:
    vehicle = shelved(van(), "dash_camera_parking", standby_a=0.05)
    key = accessory_key("accessory-1", resting=True)
    assert ends(assess(vehicle), key) == pytest.approx((0.9, 1.0, 1.1))
    entered = edits.change_accessory(vehicle, "accessory-1", current_spread=0.3)
    assert ends(assess(entered), key) == pytest.approx((0.7, 1.0, 1.3))


def test_what_works_while_parked_has_the_span_of_its_watts() -> None:
    """A compressor cool box: 25 to 60 W by the library, 45 W usual."""
    a = assess(shelved(van(), "cool_box_compressor"))
    found = ends(a, accessory_key("accessory-1", resting=False))
    assert found == pytest.approx((25 / 45, 1.0, 60 / 45))


# --- wake-ups -------------------------------------------------------------------------------------


def test_wake_ups_that_nobody_logged_only_shorten_it() -> None:
    unlogged = assess(van(**ENGINE))
    logged = assess(van(night_logged=True, **ENGINE))
    entered = assess(van(**ENGINE, wake_ups=(WakeUp(every_h=6.0, minutes=1.0, current_a=0.01),)))
    assert ends(unlogged, "unlogged wake-ups") == pytest.approx((0.0, 0.0, 0.02))
    for other in (logged, entered):
        assert "unlogged wake-ups" not in {each.key for each in other.band.inputs}
        assert unlogged.band.low_h < other.band.low_h
        assert unlogged.band.high_h <= other.band.high_h
    assert unlogged.parked.hours == logged.parked.hours, "most likely are none"


# --- how full driving leaves it -------------------------------------------------------------------


def start_charge(**battery: Any) -> tuple[float, ...]:
    return battery_model(Battery(capacity_ah=70.0, **battery), 12).ranges["charge"]


@pytest.mark.parametrize(
    ("by", "wanted"),
    [
        ("smart", (0.70, 0.80, 0.90)),
        ("plain", (0.80, 0.90, 0.98)),
        ("short_trips", (0.60, 0.70, 0.80)),
    ],
)
def test_how_it_is_charged_says_how_full_it_is_when_parked(by: Any, wanted: Any) -> None:
    assert start_charge(charged_by=by) == pytest.approx(wanted)
    assert start_charge(charged_by=by, start_soc=0.95)[1] == 0.95


def test_a_battery_for_stop_start_is_taken_as_left_with_room() -> None:
    assert start_charge(chemistry="agm")[1] == pytest.approx(0.80)
    assert start_charge(chemistry="flooded")[1] == pytest.approx(0.85)


def test_without_a_reading_the_week_says_how_full_it_is() -> None:
    """Short trips: where the week settles is where the standing begins."""
    drives = tuple(Drive(start_h=hour, minutes=12.0, weekdays=DAYS) for hour in (7.5, 17.0))
    vehicle = edits.change_battery(van(drives=drives, rest_current_a=0.1), start_soc=None)
    a = assess(vehicle)
    assert a.week is not None
    assert a.parked.start_soc == pytest.approx(a.week.settled_soc[1])
    assert ends(a, "charge")[1] == pytest.approx(a.week.settled_soc[1])
    assert any("usual driving leaves" in str(each) for each in a.parked.assumed)
    assert not any("no rest voltage measured" in str(each) for each in a.parked.assumed)
    read = assess(edits.change_battery(vehicle, rest_v=12.5))
    assert read.parked.start_soc > a.parked.start_soc + 0.02


def test_a_steered_alternator_lets_the_week_settle_lower() -> None:
    drives = (Drive(start_h=7.5, minutes=90.0),)
    plain = assess(van(drives=drives))
    smart = assess(edits.change_battery(van(drives=drives), charged_by="smart"))
    assert plain.week is not None
    assert smart.week is not None
    assert smart.week.settled_soc[1] < 0.81 < plain.week.settled_soc[1]


# --- the draws ------------------------------------------------------------------------------------


def test_tenths_lie_where_they_are_said_to_lie() -> None:
    found = draws({"cold": Tenths(0.6, 0.8, 0.95)}, n=4000)["cold"]
    assert np.quantile(found, [0.1, 0.5, 0.9]) == pytest.approx([0.6, 0.8, 0.95], abs=2e-3)
    assert found.min() > 0.3
    assert found.max() < 1.15


def test_something_on_the_shelf_that_draws_nothing_moves_no_end() -> None:
    """Every figure has a stream of its own: what is added never shakes what was there."""
    lamp = shelved(van(), "work_lamp")
    before, after = assess(van()).band, assess(lamp).band
    assert (before.low_h, before.middle_h, before.high_h) == (
        after.low_h, after.middle_h, after.high_h)  # fmt: skip


def test_every_draw_ends_no_later_than_empty_and_never_starts_means_at_once() -> None:
    vehicle = edits.change_battery(
        van(coldest_c=-15.0, engine_fuel="diesel", engine_l=2.5), cca_a=500.0
    )
    band = assess(vehicle).band
    assert band.need[2] == float("inf")
    assert (band.hard_h == 0.0).mean() == pytest.approx(1.0 - band.chance(1e-9), abs=1e-9)
    assert band.low_h == 0.0
    assert START in {each.name for each in band.shares}
