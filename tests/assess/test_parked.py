"""The parked vehicle as the trade would say it: who draws, what a start needs, what charges."""

from collections.abc import Iterator
from math import inf
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.assess import ParkedFigures, assess
from fusemap.assess.battery import battery_model
from fusemap.assess.parked.band import parked_band
from fusemap.assess.parked.start_spans import start_case, start_ranges
from fusemap.assess.parked.week import checked_week
from fusemap.catalogues import messages
from fusemap.checks import findings
from fusemap.errors import InputProblem
from fusemap.files import demos
from fusemap.fixes.what_if import what_ifs
from fusemap.text import Argument, Style
from fusemap.vehicle import (
    Battery,
    ClockSpan,
    CrankReading,
    Drive,
    Fuse,
    Maintainer,
    SecondBattery,
    StateLoads,
    Vehicle,
    VoltageCutOff,
    WakeUp,
    edits,
)
from tests.said import not_in
from tests.second_way import well_step
from tests.strategies import vehicles

COMMUTE = tuple(
    Drive(start_h=hour, minutes=30.0, weekdays=("mon", "tue", "wed", "thu", "fri"))
    for hour in (7.0, 17.0)
)


def van(**parking: Any) -> Vehicle:
    """70 Ah, healthy, 90 % charged, 30 mA at rest, at 25 °C."""
    vehicle = edits.change_battery(Vehicle(name="Van"), capacity_ah=70.0, soh=1.0, start_soc=0.9)
    fields = {"rest_current_a": 0.03, "awake_current_a": 0.03, "temperature_c": 25.0, **parking}
    if "night_c" not in fields:
        fields.setdefault("coldest_c", fields["temperature_c"])
    return edits.change_parking(vehicle, **fields)


def with_slot(vehicle: Vehicle, asleep: float, awake: float = 0.0, **slot: Any) -> Vehicle:
    """The vehicle with a panel of one slot that draws by itself."""
    vehicle = edits.add_panel(vehicle, "Dash", 1, 1)
    loads = StateLoads(asleep=asleep, awake=awake, accessory=0.0, ignition=0.0, running=0.0)
    fields = {"feed_class": "permanent", "own_load": loads, **slot}
    return edits.change_slot(vehicle, "slot-1", **fields)


def with_load(vehicle: Vehicle, amperes: float, **fields: Any) -> Vehicle:
    """The vehicle with something that draws all the time, straight from the battery."""
    given_fields = {"amperes": amperes, "works_in": ("asleep", "awake"), **fields}
    vehicle = edits.add_accessory(vehicle, "Cool box", load_kind="constant_current", **given_fields)
    return edits.place(vehicle, vehicle.accessories[-1].id)


def parked(vehicle: Vehicle) -> ParkedFigures:
    return assess(vehicle).parked


def charges(vehicle: Vehicle) -> dict[str, float]:
    return {each.name: each.charge_ah for each in parked(vehicle).consumers}


def codes(vehicle: Vehicle) -> set[str]:
    return {finding.code for finding in findings(vehicle, assess(vehicle))}


# --- the battery --------------------------------------------------------------------------------


def test_an_old_battery_has_less_left_and_it_is_said_that_this_is_assumed() -> None:
    new, old = (battery_model(Battery(capacity_ah=70.0, age_years=age), 12) for age in (0.0, 5.0))
    assert float(np.asarray(new.wells.soh)) == 1.0
    assert float(np.asarray(old.wells.soh)) == pytest.approx(0.55)
    assert any("from its age" in words for words in old.assumed)


def test_a_measured_health_is_believed_over_the_age() -> None:
    model = battery_model(Battery(capacity_ah=70.0, age_years=8.0, soh=0.9), 12)
    assert float(np.asarray(model.wells.soh)) == 0.9


@pytest.mark.parametrize(
    ("known", "capacity"),
    [
        ({"capacity_ah": 70.0, "reserve_min": 120.0}, 70.0),
        ({"capacity_ah": 70.0, "cca_a": 640.0}, 70.0),
        ({"reserve_min": 115.0, "cca_a": 640.0}, 69.0),
        ({"reserve_min": 115.0}, 69.0),
        ({"cca_a": 630.0}, 70.0),
    ],
)
def test_any_two_figures_of_the_label_are_enough(known: dict[str, float], capacity: float) -> None:
    model = battery_model(Battery(**known), 12)
    assert float(np.asarray(model.wells.capacity_ah)) == pytest.approx(capacity)


def test_a_guessed_capacity_widens_what_an_entered_one_does_not() -> None:
    entered = battery_model(Battery(capacity_ah=70.0, cca_a=640.0), 12).ranges["capacity"]
    guessed = battery_model(Battery(reserve_min=115.0), 12).ranges["capacity"]
    assert entered == (1.0, 1.0, 1.0)
    assert guessed[0] < 0.9 < 1.05 < guessed[2]


def test_label_figures_that_contradict_each_other_are_told() -> None:
    model = battery_model(Battery(reserve_min=60.0, cca_a=900.0), 12)
    assert any("check the label" in words for words in model.assumed)


def test_a_rest_voltage_of_24_v_says_as_much_as_half_of_it_on_one_battery() -> None:
    """Two batteries in series: the doubt of either counts, so of 24 V it is twice as large."""
    one = battery_model(Battery(capacity_ah=70.0, rest_v=12.4), 12).ranges["charge"]
    two = battery_model(Battery(capacity_ah=70.0, rest_v=24.8), 24).ranges["charge"]
    assert two == pytest.approx(one)
    assert one[0] < one[1] < one[2]


@pytest.mark.parametrize("known", [{}, {"resistance_mohm": 8.0}])
def test_two_batteries_in_parallel_have_half_the_resistance(known: dict[str, float]) -> None:
    one, two = (
        battery_model(Battery(capacity_ah=70.0, parallel=count, **known), 12).wells
        for count in (1, 2)
    )
    assert two.terminal_ohm == pytest.approx(one.terminal_ohm / 2.0)


def test_the_charge_of_lifepo4_cannot_be_read_from_its_rest_voltage() -> None:
    """Between 20 and 90 % its voltage hardly changes: the range from a reading is wide."""
    wide = battery_model(Battery(chemistry="lifepo4", capacity_ah=100.0, rest_v=13.2), 12)
    lead = battery_model(Battery(chemistry="agm", capacity_ah=100.0, rest_v=12.6), 12)
    widths = [m.ranges["charge"][2] - m.ranges["charge"][0] for m in (wide, lead)]
    assert widths[0] > 1.5 * widths[1]


# --- who draws ----------------------------------------------------------------------------------


def test_what_no_circuit_explains_is_a_consumer_of_its_own() -> None:
    vehicle = with_slot(van(rest_current_a=0.05, awake_current_a=0.05), asleep=0.02)
    found = charges(vehicle)
    assert found["Unexplained remainder"] / found["Measured circuits"] == pytest.approx(1.5)
    assert parked(vehicle).remainder_a == pytest.approx(0.03)
    whole = van(rest_current_a=0.05, awake_current_a=0.05)
    assert parked(vehicle).hours == pytest.approx(parked(whole).hours)


@pytest.mark.parametrize("trifle_a", [1e-18, 1e-6, 9e-5])
def test_a_circuit_that_draws_next_to_nothing_changes_nothing(trifle_a: float) -> None:
    vehicle = van(rest_current_a=2.0, awake_current_a=None)
    bare, found = (parked_band(assess(v)) for v in (vehicle, with_slot(vehicle, asleep=trifle_a)))
    for end in ("low_h", "middle_h", "high_h"):
        assert getattr(found, end) == pytest.approx(getattr(bare, end), rel=1e-3)


@pytest.mark.parametrize("read_a", [0.0, 1e-320])
def test_a_rest_current_read_as_none_may_still_be_what_its_upper_end_says(read_a: float) -> None:
    bare = van(rest_current_a=0.02, low_rest_current_a=0.0, high_rest_current_a=0.08)
    none = van(rest_current_a=read_a, low_rest_current_a=0.0, high_rest_current_a=0.08)
    nothing = van(rest_current_a=read_a)
    lasting, least, most = (parked_band(assess(v)).low_h for v in (bare, none, nothing))
    assert 0 < least < 1.5 * lasting
    assert least < most


def test_a_vehicle_nobody_measured_is_not_taken_as_drawing_nothing() -> None:
    found = parked(van(rest_current_a=None, awake_current_a=None))
    assert found.hours < inf
    assert any("what is usual" in words for words in found.assumed)


def test_circuits_that_come_to_more_than_the_whole_are_told() -> None:
    found = parked(with_slot(van(rest_current_a=0.02), asleep=0.08))
    assert found.remainder_a == 0.0
    assert any("the whole is believed" in words for words in found.assumed)


def test_a_delayed_off_slot_draws_for_its_minutes_and_no_longer() -> None:
    short, long = (
        with_slot(
            van(awake_current_a=None, sleep_after_min=30.0),
            asleep=0.0,
            awake=2.0,
            feed_class="delayed_off",
            delayed_off_min=minutes,
        )
        for minutes in (15.0, 90.0)
    )
    assert charges(short)["Delayed-off slots"] == pytest.approx(0.5)
    assert charges(long)["Delayed-off slots"] == pytest.approx(3.0)


def test_a_measured_awake_current_holds_the_delayed_off_slots_until_it_sleeps() -> None:
    vehicle = with_slot(
        van(awake_current_a=4.0, sleep_after_min=30.0),
        asleep=0.0,
        awake=2.0,
        feed_class="delayed_off",
        delayed_off_min=45.0,
    )
    assert charges(vehicle)["Delayed-off slots"] == pytest.approx(0.5)


def test_wake_ups_count_by_their_share_of_the_time() -> None:
    wakes = (WakeUp(every_h=6.0, minutes=3.0, current_a=1.2),)
    found = parked(van(wake_ups=wakes, sleep_after_min=0.0))
    mean = next(each for each in found.consumers if each.name == "Wake-ups 1").mean_a
    assert mean == pytest.approx(1.2 * 3 / 360)
    assert found.hours < parked(van()).hours


def test_an_accessory_in_parking_mode_draws_in_its_hours_and_for_its_minutes() -> None:
    always = parked(with_load(van(), 0.3)).hours
    timed = parked(with_load(van(), 0.3, run_on_min=240.0)).hours
    assert always < timed < parked(van()).hours


def test_a_cut_off_looks_at_the_full_current_of_a_compressor_that_runs_for_minutes() -> None:
    """Averaged, 15 A for a third of the time pull the voltage down by a third of what they do."""
    cut_off = VoltageCutOff(off_v=12.1, on_v=12.9, delay_s=60.0)
    vehicle = edits.change_battery(van(), resistance_mohm=20.0)
    trips, without = [], []
    for period in (0.0, 1800.0):
        fields = {"duty": 1 / 3, "duty_period_s": period}
        cut = parked(with_load(vehicle, 9.0, cut_off=cut_off, **fields))
        trips.append(float(cut.forecast.cut_offs[0].first_trip_h))
        without.append(parked(with_load(vehicle, 9.0, **fields)).hours)
    assert 0.0 < trips[1] < 0.8 * trips[0]
    assert without[0] == pytest.approx(without[1], rel=1e-9)


def behind_a_feed(feed_mohm: float, *, beside_a: float = 0.0, own_a: float = 0.0) -> Vehicle:
    """A box of 5 A with a cut-off at 11.8 V on a slot, beside another load on the same feed."""
    vehicle = edits.add_feed(van(), "Main feed", limit_a=60.0, resistance_mohm=feed_mohm)
    vehicle = edits.add_panel(vehicle, "Dash", 1, 2)
    loads = StateLoads(asleep=own_a, awake=own_a, accessory=0.0, ignition=0.0, running=0.0)
    for slot in ("slot-1", "slot-2"):
        vehicle = edits.change_slot(
            vehicle,
            slot,
            fuse=Fuse(family="mini", rating=20.0),
            feed_class="permanent",
            feed="feed-1",
            **({"own_load": loads} if slot == "slot-2" else {}),
        )
    cut_off = VoltageCutOff(off_v=11.8, on_v=13.2, delay_s=0.0)
    for name, amperes, fields in (("Box", 5.0, {"cut_off": cut_off}), ("Lamp", beside_a, {})):
        if amperes > 0:
            vehicle = edits.add_accessory(
                vehicle,
                name,
                amperes=amperes,
                load_kind="constant_current",
                works_in=("asleep", "awake"),
                **fields,
            )
            slot = "slot-1" if name == "Box" else "slot-2"
            vehicle = edits.place(vehicle, vehicle.accessories[-1].id, slot=slot)
    return vehicle


@pytest.mark.parametrize("feed_mohm", [0.0, 5.0, 20.0, 50.0])
@pytest.mark.parametrize(("beside_a", "own_a"), [(0.0, 0.0), (3.0, 0.0), (0.0, 0.5)])
def test_a_cut_off_sees_the_whole_way_from_the_battery(
    feed_mohm: float, beside_a: float, own_a: float
) -> None:
    """Of constant currents the network's drop stays as it is, whatever the charge."""
    vehicle = behind_a_feed(feed_mohm, beside_a=beside_a, own_a=own_a)
    vehicle = edits.change_parking(vehicle, rest_current_a=None if own_a else 0.03)
    a = assess(vehicle)
    drop = float(a.circuit.emf_v[0] - a.taps.voltage_v[0, 0])
    (cut,) = a.parked.forecast.cut_offs
    samples = a.parked.forecast.samples
    surface = np.interp(float(cut.first_trip_h), samples.time_h, samples.surface_soc)
    rest_v = float(battery_model(vehicle.battery, 12).wells.ocv(surface))
    assert rest_v == pytest.approx(11.8 + drop, abs=2e-3)


@pytest.mark.parametrize("works_h", [24, 9])
@pytest.mark.parametrize(("kind", "power"), [("constant_power", -1.0), ("resistive", 1.0)])
def test_a_load_takes_the_current_that_the_falling_voltage_asks_for(
    kind: str, power: float, works_h: int
) -> None:
    """Against a plain integration in steps of a minute with the current taken anew in each.

    Also where a timetable lets it work for some hours of the day, from locking on.
    """
    vehicle = with_load(van(rest_current_a=0.001, awake_current_a=0.001), 0.4)
    start_h = vehicle.parking.locked_at_h
    span = ClockSpan(from_h=start_h, to_h=(start_h + works_h) % 24)
    vehicle = edits.change_accessory(
        vehicle, "accessory-1", load_kind=kind, timetable=() if works_h == 24 else (span,)
    )
    found = parked(vehicle)
    wells = battery_model(vehicle.battery, 12).wells
    (q, d), rest_v = wells.start(0.9), float(wells.ocv(0.9))
    first_a = float(assess(vehicle).taps.current_a[0, 0])
    hours, no_start, leak = 0.0, 0.0, float(wells.leak_per_h(25.0))
    while float(wells.surface_soc(q, d)) > 1.0 - wells.r:
        volts = float(wells.ocv(wells.surface_soc(q, d)))
        works = hours % 24.0 < works_h - 1e-6
        drawn_a = 0.001 + (first_a * (volts / rest_v) ** power if works else 0.0)
        q, d = well_step(q, d, drawn_a, 1 / 60, c=wells.c, k_per_h=wells.k_per_h, leak=leak)
        hours += 1 / 60
        if not no_start and wells.soc(q) <= found.crank_soc:
            no_start = hours
    assert found.hours == pytest.approx(no_start, rel=1e-3)
    assert float(found.forecast.hours_to_empty) == pytest.approx(hours, rel=5e-3)


def test_an_edit_that_changes_no_draw_needs_no_other_forecast() -> None:
    vehicle = with_load(van(), 0.4)
    noted = edits.change_accessory(vehicle, "accessory-1", note="behind the glove box")
    more = edits.change_accessory(vehicle, "accessory-1", amperes=0.5)
    warmer = edits.change_parking(vehicle, temperature_c=vehicle.parking.temperature_c + 1.0)
    older = edits.change_battery(vehicle, soh=0.7)
    forecast = parked(vehicle).forecast
    assert parked(noted).forecast is forecast
    others = [parked(each).forecast for each in (more, warmer, older)]
    assert len({float(each.hours_to_empty) for each in (forecast, *others)}) == 4


def test_a_load_that_follows_the_voltage_makes_no_events_of_it() -> None:
    vehicle = edits.change_accessory(
        with_load(van(), 0.4), "accessory-1", load_kind="constant_power"
    )
    steady = edits.change_accessory(vehicle, "accessory-1", load_kind="constant_current")
    kinds = [[event.kind for event in parked(each).forecast.events] for each in (vehicle, steady)]
    assert kinds[0] == kinds[1]


def test_the_band_of_a_load_at_constant_power_holds_its_forecast() -> None:
    vehicle = edits.change_accessory(
        with_load(van(), 0.4), "accessory-1", load_kind="constant_power"
    )
    steady = edits.change_accessory(vehicle, "accessory-1", load_kind="constant_current")
    shorter = parked(vehicle).hours / parked(steady).hours
    assert shorter < 0.99
    bands = [parked_band(assess(each)).middle_h for each in (vehicle, steady)]
    assert bands[0] / bands[1] == pytest.approx(shorter, abs=2e-3)


def test_a_long_feed_trips_a_cut_off_in_time_for_the_start() -> None:
    higher = VoltageCutOff(off_v=11.75, on_v=13.2, delay_s=0.0)
    pair = [
        edits.change_accessory(behind_a_feed(mohm), "accessory-1", cut_off=higher)
        for mohm in (0.0, 80.0)
    ]
    near, far = (assess(each).parked for each in pair)
    assert float(far.forecast.cut_offs[0].first_trip_h) < near.hours
    assert near.hours < 50.0
    assert far.hours > 200.0
    assert ["cut_off_too_low" in codes(each) for each in pair] == [True, False]


# --- what a start needs -------------------------------------------------------------------------


def test_a_colder_morning_takes_more_charge() -> None:
    warm, cold = parked(van(coldest_c=10.0)), parked(van(coldest_c=-15.0))
    assert cold.crank_soc > warm.crank_soc
    assert cold.hours < warm.hours


def diesel(**battery: Any) -> Vehicle:
    """A 2 l diesel that has to start at −18 °C, its battery full."""
    vehicle = van(coldest_c=-18.0, engine_fuel="diesel", engine_l=2.0)
    return edits.change_battery(vehicle, **{"cca_a": 640.0, "start_soc": 1.0, **battery})


def test_a_battery_that_tests_too_weak_for_the_cold_never_starts_not_even_full() -> None:
    vehicle = diesel(measured_cca_a=330.0)
    found = parked(vehicle)
    assert found.need.never
    assert found.crank_soc == 1.0
    assert found.hours == 0.0
    assert "never_starts" in codes(vehicle)
    assert "does_not_start_now" not in codes(vehicle)
    assert not parked(diesel(cca_a=950.0, measured_cca_a=950.0)).need.never


def test_never_stays_never_when_a_charger_keeps_it_full() -> None:
    vehicle = edits.change_parking(
        diesel(measured_cca_a=330.0), maintainer=Maintainer(current_a=4.0)
    )
    assert parked(vehicle).hours == 0.0


def test_an_engine_that_is_not_known_takes_the_makers_line_whatever_the_label_says() -> None:
    with_cca = edits.change_battery(van(coldest_c=-5.0), cca_a=900.0)
    found = parked(with_cca)
    assert found.need.way == "line"
    assert found.crank_soc == parked(van(coldest_c=-5.0)).crank_soc
    # 30 % at 15 °C, 50 % at −15 °C: straight between
    assert found.crank_soc == pytest.approx(0.30 + 20.0 * 0.20 / 30.0, abs=2e-3)
    assert "car maker" in str(found.need.words)


def test_a_thirsty_starter_takes_more_of_the_same_battery() -> None:
    vehicle = edits.change_battery(van(coldest_c=-10.0), cca_a=640.0)
    small, large = (
        parked(edits.change_parking(vehicle, cranking_a=amperes)).need for amperes in (100.0, 220.0)
    )
    assert large.soc > small.soc
    assert large.way == small.way == "engine"


def test_a_petrol_engine_asks_less_than_a_diesel_of_its_size() -> None:
    needs = [
        parked(edits.change_parking(diesel(), coldest_c=-10.0, engine_fuel=fuel)).need.soc
        for fuel in ("petrol", "diesel")
    ]
    assert needs[0] < 0.7 * needs[1]


@pytest.mark.parametrize("standard", ["en", "sae", "iec", "din"])
def test_the_same_figure_on_the_label_means_more_by_an_old_standard(standard: str) -> None:
    """DIN and IEC ask for higher volts at that current: such a battery has less resistance."""
    named = parked(edits.change_parking(diesel(label_standard=standard), coldest_c=-10.0)).need
    usual = parked(edits.change_parking(diesel(), coldest_c=-10.0)).need
    if standard == "en":
        assert named.soc == usual.soc
    else:
        assert named.soc < usual.soc


def test_the_weaker_of_two_batteries_in_series_decides() -> None:
    """A starter that takes the same current, measured, from each of the two."""
    one = edits.change_parking(diesel(), coldest_c=-5.0, cranking_a=220.0)
    pair = edits.change_vehicle(one, system_v=24)
    assert parked(pair).need.soc > parked(one).need.soc


def test_a_larger_diesel_takes_less_for_each_litre() -> None:
    """As a car's up to 3 l, as a maker's engine of 10.8 l from there on, falling between."""

    def per_litre(litres: float) -> float:
        case = start_case(assess(edits.change_parking(diesel(), engine_l=litres)))
        return start_ranges(case)["start: current"].typical / litres

    found = [per_litre(litres) for litres in (1.5, 3.0, 5.0, 8.0, 10.8, 16.0)]
    assert found[0] == pytest.approx(found[1])
    assert found[1] > found[2] > found[3] > found[4]
    assert found[4] == pytest.approx(found[5])


def test_a_motorcycle_asks_like_a_diesel_of_its_battery() -> None:
    """0.8 l at 65 A warm on 12 Ah: at 0 °C more than the floor, and never the least of a car."""
    vehicle = van(coldest_c=0.0, engine_fuel="motorcycle", engine_l=0.8)
    need = parked(edits.change_battery(vehicle, capacity_ah=12.0, cca_a=190.0)).need
    assert 0.3 < need.soc <= 1.0


def test_lithium_is_held_to_its_own_floor_when_warm() -> None:
    vehicle = edits.change_battery(van(coldest_c=15.0), chemistry="lifepo4")
    need = parked(vehicle).need
    assert need.way == "engine"
    assert need.soc < 0.2
    assert parked(edits.change_parking(vehicle, coldest_c=-25.0)).need.high > need.high


def read(vehicle: Vehicle, crank_v: float, **fields: Any) -> Vehicle:
    reading = {"rest_v": 12.6, "temperature_c": 5.0, "response": "steady", **fields}
    return edits.add_crank_reading(vehicle, CrankReading(crank_v=crank_v, **reading))


def test_a_reading_takes_the_place_of_engine_label_and_age() -> None:
    needs = [parked(read(diesel(**fields), 10.4)).need for fields in ({}, {"cca_a": 300.0})]
    assert needs[0].soc == needs[1].soc
    assert needs[0].way == "reading"


def test_a_low_reading_asks_for_more_and_a_very_low_one_is_told() -> None:
    good, poor = read(diesel(), 10.6), read(diesel(), 8.3)
    assert parked(poor).need.soc > parked(good).need.soc
    assert "crank_reading_low" in codes(poor)
    assert "crank_reading_low" not in codes(good)


def test_a_held_least_counts_as_too_low_by_up_to_0_8_v() -> None:
    """So a steady reading of the same figure asks for more."""
    held, steady = (
        parked(edits.change_parking(read(diesel(), 9.8, response=way), coldest_c=0.0)).need
        for way in ("slow", "steady")
    )
    assert held.soc < steady.soc


def test_a_start_at_a_low_voltage_shows_that_this_voltage_starts() -> None:
    """It caps the least voltage: nothing is asked for that the engine was seen to do without."""
    once = read(diesel(), 10.4)
    twice = read(once, 7.2, rest_v=12.2, temperature_c=30.0)
    assert parked(twice).need.soc < parked(once).need.soc


def test_contactors_take_less_than_cranking_but_not_nothing_in_the_cold() -> None:
    cranks, closes = van(coldest_c=-10.0), van(coldest_c=-10.0, starts_by="contactors")
    assert 0.1 < parked(closes).crank_soc < parked(cranks).crank_soc
    assert parked(closes).hours > parked(cranks).hours
    higher = edits.set_rule(closes, "contactor_min_v", 12.4)
    assert parked(higher).crank_soc > parked(closes).crank_soc


def hybrid(temperature_c: float, rest_a: float = 0.09) -> Vehicle:
    """45 Ah of AGM that closes contactors, 90 % charged, to stand for 60 days."""
    vehicle = edits.change_battery(
        Vehicle(name="Hybrid"), chemistry="agm", capacity_ah=45.0, start_soc=0.9
    )
    return edits.change_parking(
        vehicle,
        starts_by="contactors",
        rest_current_a=rest_a,
        awake_current_a=rest_a,
        temperature_c=temperature_c,
        stand_days=60.0,
    )


@pytest.mark.parametrize("temperature_c", [-15.0, 0.0, 15.0, 25.0])
def test_no_contactor_closes_on_a_battery_that_is_empty(temperature_c: float) -> None:
    vehicle = hybrid(temperature_c)
    found = parked(vehicle)
    empty = float(found.forecast.hours_to_empty)
    assert found.hours <= empty < 18.0 * 24.0
    assert sum(each.charge_ah for each in found.consumers) <= 0.9 * 1.06 * 45.0
    assert "stands_too_short" in codes(vehicle)
    band = parked_band(assess(vehicle), draws=200)
    # 40.5 Ah at 90 mA last 19 days; a full battery at 10 % less current a week more
    assert band.middle_h < 19.0 * 24.0
    assert band.high_h < 26.0 * 24.0


def test_the_colder_it_is_the_sooner_no_contactor_closes() -> None:
    """Self-discharge aside, which the warmth has more of."""
    found = [parked(hybrid(temperature)) for temperature in (-25.0, 0.0, 15.0)]
    needs = [each.crank_soc for each in found]
    assert needs == sorted(needs, reverse=True)
    assert found[0].hours < found[1].hours


@settings(max_examples=25, deadline=None)
@given(
    st.floats(0.01, 5.0),
    st.floats(-25.0, 35.0),
    st.sampled_from(("cranking", "contactors")),
    st.sampled_from(("flooded", "agm", "lifepo4")),
)
def test_in_no_draw_does_it_start_after_the_battery_is_empty(
    amperes: float, temperature: float, starts_by: str, chemistry: str
) -> None:
    vehicle = edits.change_parking(hybrid(temperature, amperes), starts_by=starts_by)
    vehicle = edits.change_battery(vehicle, chemistry=chemistry)
    a = assess(vehicle)
    found = a.parked
    assert found.hours <= float(found.forecast.hours_to_empty)
    there = battery_model(vehicle.battery, 12).wells
    most = float(np.asarray(there.full_ah))
    assert sum(each.charge_ah for each in found.consumers) <= most + 1e-9
    band = parked_band(a, draws=50)
    # the most in any draw: full, sound, and the vehicle at 10 % less than was read
    longest = float(np.asarray(there.r)) * 45.0 / (0.9 * amperes)
    assert band.high_h == inf or band.high_h <= longest + 1e-6
    assert band.high_h < inf or longest > found.forecast.horizon_h


# --- harm ---------------------------------------------------------------------------------------


def test_long_standing_ends_in_deep_discharge() -> None:
    vehicle = van(stand_days=60.0, rest_current_a=0.06)
    found = parked(vehicle)
    assert found.hours < found.hours_to_harm < float(found.forecast.hours_to_empty)
    soc = np.interp(found.hours_to_harm, found.forecast.samples.time_h, found.forecast.samples.soc)
    # straight between the chart's points, where the leak bends it a little
    assert soc == pytest.approx(found.harm_soc, abs=1e-5)
    assert "deep_discharge" in codes(vehicle)
    assert "deep_discharge" not in codes(edits.change_parking(vehicle, stand_days=10.0))


def test_ice_comes_in_the_coldest_night_not_at_the_mean() -> None:
    mild = van(temperature_c=0.0, rest_current_a=0.06, stand_days=60.0)
    harsh = edits.change_parking(mild, coldest_c=-20.0)
    assert parked(mild).forecast.hours_to_freezing == inf
    assert parked(harsh).forecast.hours_to_freezing < inf
    assert "ice" in codes(harsh)


def test_lifepo4_holds_no_water_that_freezes() -> None:
    vehicle = edits.change_battery(
        van(temperature_c=-20.0, rest_current_a=0.1), chemistry="lifepo4"
    )
    assert parked(vehicle).forecast.hours_to_freezing == inf


# --- what charges -------------------------------------------------------------------------------


def test_a_maintainer_that_gives_less_than_is_drawn_only_slows_it() -> None:
    thirsty = {"rest_current_a": 0.06, "awake_current_a": 0.06}
    bare = parked(van(**thirsty)).hours
    slow = parked(van(maintainer=Maintainer(current_a=0.01), **thirsty)).hours
    assert bare < slow < inf
    assert parked(van(maintainer=Maintainer(current_a=0.5), **thirsty)).hours == inf


def test_a_solar_panel_charges_in_its_hours_only() -> None:
    sun = Maintainer(kind="solar", current_a=0.1, from_h=9.0, to_h=15.0)
    found = parked(van(maintainer=sun, rest_current_a=0.08, awake_current_a=0.08))
    mean = Maintainer(current_a=0.1 * 6 / 24)
    same = parked(van(maintainer=mean, rest_current_a=0.08, awake_current_a=0.08))
    assert found.hours == pytest.approx(same.hours, abs=18.0)  # it ends in some night
    assert found.given_ah == pytest.approx(0.025 * found.hours, rel=0.03)
    assert "Maintainer" not in {each.name for each in found.consumers}


# --- a second battery ---------------------------------------------------------------------------


def second(vehicle: Vehicle, **fields: Any) -> Vehicle:
    battery = SecondBattery(**{"capacity_ah": 95.0, "soh": 1.0, "start_soc": 1.0, **fields})
    vehicle = edits.set_second_battery(vehicle, battery)
    return edits.change_accessory(vehicle, "accessory-1", battery="second")


def test_what_hangs_on_the_second_battery_leaves_the_starters_alone() -> None:
    vehicle = second(with_load(van(), 1.0))
    assert parked(vehicle).hours == pytest.approx(parked(van()).hours)
    found = parked(vehicle).second
    assert found is not None
    assert found.accessories == ("accessory-1",)
    assert 80.0 < found.hours_to_empty < 105.0
    assert found.hours_to_harm < found.hours_to_empty


def test_a_relay_that_stays_closed_makes_both_batteries_give() -> None:
    alone, joined = (
        parked(second(with_load(van(), 2.0), linked_min=minutes)) for minutes in (0.0, 600.0)
    )
    assert joined.hours < alone.hours
    assert joined.second is not None
    assert alone.second is not None
    assert joined.second.hours_to_empty > alone.second.hours_to_empty


def test_a_closed_relay_lets_each_battery_give_by_its_size() -> None:
    """70 Ah beside 140 Ah: a third of the 3 A comes from the starter's, for the ten hours."""
    vehicle = second(with_load(van(), 3.0), capacity_ah=140.0, linked_min=600.0)
    found = parked(vehicle)
    given_ah = next(each.charge_ah for each in found.consumers if each.name == "Cool box")
    assert given_ah == pytest.approx(10.0, rel=1e-3)
    assert found.second is not None
    curve = found.second.forecast.samples
    left = float(np.interp(10.0, curve.time_h, curve.charge_ah[0]))
    assert left == pytest.approx(20.0, rel=1e-3)


def test_a_charger_that_runs_on_takes_from_the_starter_until_the_second_is_full() -> None:
    empty, full = (
        parked(
            second(
                with_load(van(), 0.5), link="dcdc", linked_min=60.0, charger_a=20.0, start_soc=soc
            )
        )
        for soc in (0.5, 1.0)
    )
    taken = {each.name: each.charge_ah for each in empty.consumers}
    assert taken["Charger of the second battery"] == pytest.approx(20.0)
    assert "Charger of the second battery" not in {each.name for each in full.consumers}
    assert empty.hours < full.hours


def test_the_link_itself_draws_on_the_starter_battery() -> None:
    assert (
        parked(second(with_load(van(), 0.5), idle_a=0.02)).hours
        < parked(second(with_load(van(), 0.5))).hours
    )


def test_a_lead_at_a_slot_does_not_hang_on_the_second_battery() -> None:
    vehicle = second(with_load(with_slot(van(), 0.0), 0.5))
    assert "second_battery_at_a_slot" not in codes(vehicle)
    at_slot = edits.place(vehicle, "accessory-1", slot="slot-1")
    assert "second_battery_at_a_slot" in codes(at_slot)


# --- the week -----------------------------------------------------------------------------------


def test_a_commute_puts_back_what_a_good_rest_current_takes() -> None:
    week = assess(van(drives=COMMUTE)).week
    assert week is not None
    assert all(week.settles)
    assert week.settled_soc[0] <= week.settled_soc[1] <= week.settled_soc[2]
    assert week.starts
    assert week.minutes == 300.0
    assert "driving_puts_too_little_back" not in codes(van(drives=COMMUTE))


def test_too_little_driving_runs_it_flat_and_how_much_would_hold_it_is_said() -> None:
    short = (Drive(start_h=10.0, minutes=8.0, weekdays=("sat",)),)
    vehicle = with_load(van(drives=short), 0.4)
    week, words = checked_week(assess(vehicle))
    assert week is not None
    assert not any(week.settles)
    assert "runs flat" in words
    assert "of driving a day" in words
    assert "driving_puts_too_little_back" in codes(vehicle)


def test_the_minutes_that_hold_it_do_hold_it() -> None:
    vehicle = with_load(van(drives=COMMUTE), 0.2)
    week = assess(vehicle).week
    assert week is not None
    hold = week.hold_min[1]
    daily = (Drive(start_h=8.0, minutes=hold * 1.02),)
    held = assess(edits.change_parking(vehicle, drives=daily)).week
    assert held is not None
    assert held.settled_soc[1] >= 0.9 - 0.01


def test_drives_that_overlap_are_told_and_nothing_breaks() -> None:
    twice = (Drive(start_h=8.0, minutes=60.0), Drive(start_h=8.5, minutes=10.0))
    a = assess(van(drives=twice))
    with pytest.raises(InputProblem):
        assert a.week
    week, words = checked_week(a)
    assert week is None
    assert "before the one before it has ended" in words
    assert a.parked.hours > 0


def test_without_drives_there_is_no_week() -> None:
    assert checked_week(assess(van())) == (None, None)


# --- laws ---------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(
    st.floats(0.0, 3.0), st.floats(0.0, 2.0), st.floats(-20.0, 30.0), st.booleans(), st.booleans()
)
def test_more_load_never_lasts_longer(
    amperes: float, more: float, temperature: float, cut: bool, sunny: bool
) -> None:
    sun = Maintainer(kind="solar", current_a=0.2, from_h=9.0, to_h=15.0) if sunny else None
    base = van(temperature_c=temperature, maintainer=sun)
    cut_off = VoltageCutOff(off_v=12.0, on_v=13.0) if cut else None
    base = with_load(base, amperes + 0.01, cut_off=cut_off)
    assert parked(with_load(base, more + 0.01)).hours <= parked(base).hours + 1e-6


@settings(max_examples=15, deadline=None)
@given(st.permutations(range(3)))
def test_the_order_of_the_accessories_does_not_matter(order: list[int]) -> None:
    figures = ((0.1, 0.0), (0.4, 120.0), (0.05, 30.0))
    vehicle = van()
    for number in order:
        amperes, minutes = figures[number]
        vehicle = with_load(vehicle, amperes, run_on_min=minutes or None)
    assert parked(vehicle).hours == pytest.approx(parked_in_order(figures), rel=1e-9)


def parked_in_order(figures: tuple[tuple[float, float], ...]) -> float:
    vehicle = van()
    for amperes, minutes in figures:
        vehicle = with_load(vehicle, amperes, run_on_min=minutes or None)
    return parked(vehicle).hours


@settings(max_examples=40, deadline=None)
@given(vehicles(usual=True))
def test_any_vehicle_has_a_forecast_a_band_and_perhaps_a_week(vehicle: Vehicle) -> None:
    a = assess(vehicle)
    low, high = a.parked.start_soc, a.parked.crank_soc
    assert 0.0 <= low <= 1.0
    assert 0.0 <= high <= 1.0
    band = parked_band(a, draws=30)
    assert 0.0 <= band.low_h <= band.middle_h <= band.high_h
    assert (band.low_soc <= band.high_soc).all()
    week, words = checked_week(a)
    assert (week is None) or words


# --- in words -----------------------------------------------------------------------------------


def told(vehicle: Vehicle) -> Iterator[Argument]:
    """Everything that is said of a parked vehicle."""
    a = assess(vehicle)
    p, band = a.parked, a.band
    yield from (*p.assumed, p.basis.formula, p.basis.source, p.need.words, p.need.source)
    yield from (word for pair in p.basis.inputs for word in pair)
    yield from (consumer.name for consumer in p.consumers)
    yield from () if p.second is None else p.second.assumed
    yield from (band.measure_next, *band.spread, *(each.what for each in band.inputs))
    week, words = checked_week(a)
    yield words or ""
    yield from () if week is None else week.assumed
    yield from (words for each in what_ifs(a) for words in (each.words, each.gain_words))


@pytest.mark.parametrize("code", ["de", "es", "fr", "nl"])
@pytest.mark.parametrize("key", [key for key, _ in demos.demo_names()])
def test_what_is_said_of_a_parked_vehicle_is_in_every_language(key: str, code: str) -> None:
    vehicle = edits.change_parking(demos.read_demo(key), drives=COMMUTE, rest_current_a=None)
    vehicle = edits.change_battery(vehicle, capacity_ah=None, reserve_min=None, start_soc=None)
    vehicle = edits.change_second_battery(vehicle, link="dcdc", linked_min=30.0)
    known = messages(code)
    assert [text for each in told(vehicle) for text in not_in(known, each)] == []


def test_what_is_said_of_a_parked_vehicle_has_the_readers_units_and_decimal_sign() -> None:
    found = parked(van(temperature_c=-17.5, coldest_c=-17.5))
    german = Style("de", temperature="°F")
    assert "0,5\u202f°F" in german.show(found.need.words)
    assert "°C" not in german.show(found.need.words)
