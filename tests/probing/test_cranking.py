"""One start followed with a meter, asked for step by step: what is taken, refused, taken back."""

from datetime import datetime

import pytest

from fusemap.assess import assess
from fusemap.probing import cranking
from fusemap.probing.cranking import Crank
from fusemap.text import NOTHING
from fusemap.vehicle import CrankReading, Vehicle, edits
from tests.assess.test_end_of_a_standing import DIESEL, PETROL, car
from tests.plain import plain

NOW = datetime(2026, 11, 29, 7, 30)


def typed(state: Crank, text: str) -> Crank:
    for key in text:
        state = cranking.type_in(state, key)
    return state


def entered(state: Crank, vehicle: Vehicle, *texts: str) -> cranking.Outcome:
    done = cranking.Outcome(state)
    for text in texts:
        done = cranking.enter(typed(done.state, text), vehicle, NOW)
    return done


def test_five_steps_make_a_reading_of_the_battery() -> None:
    vehicle = car(**PETROL)
    done = entered(cranking.begin(vehicle), vehicle, "", "1", "12,6", "10.4", "-3")
    assert done.state.step == "end"
    assert done.vehicle is not None
    assert done.vehicle.battery.crank_readings == (
        CrankReading(rest_v=12.6, crank_v=10.4, temperature_c=-3.0, when="2026-11-29T07:30"),
    )
    assert plain(cranking.taken(done.state)) == "12.6 V at rest, 10.4 V while it turned, −3 °C"


def test_it_is_the_reading_that_the_battery_page_takes() -> None:
    vehicle = car(**DIESEL)
    done = entered(cranking.begin(vehicle), vehicle, "", "2", "12.5", "9.9", "4")
    reading = CrankReading(
        rest_v=12.5, crank_v=9.9, temperature_c=4.0, response="steady", when="2026-11-29T07:30"
    )
    assert done.vehicle == edits.add_crank_reading(vehicle, reading)


@pytest.mark.parametrize(
    ("before", "text", "said"),
    [
        (("",), "3", "shows the first dip of the starter"),
        (("",), "", "type 1, 2 or 3"),
        (("", "1"), "25.2", "no rest voltage of a 12 V battery"),
        (("", "1"), "9", "no rest voltage of a 12 V battery"),
        (("", "1", "12.6"), "5.9", "less than an engine turns at"),
        (("", "1", "12.6"), "12.4", "this battery did not crank"),
        (("", "1", "12.2"), "12.1", "this battery did not crank"),
        (("", "1", "12.6"), "", "type a figure"),
        (("", "1", "12.6", "10.4"), "900", "no temperature of a battery"),
    ],
)
def test_what_cannot_be_a_start_is_refused_at_its_own_step(
    before: tuple[str, ...], text: str, said: str
) -> None:
    vehicle = car(**PETROL)
    at = entered(cranking.begin(vehicle), vehicle, *before).state
    done = cranking.enter(typed(at, text), vehicle, NOW)
    assert (done.state.step, done.vehicle) == (at.step, None)
    assert said in plain(done.state.message)
    # nothing of it was taken, and the right figure still goes on
    assert done.state.typed == ""


def test_only_figures_are_typed_and_a_sign_before_a_temperature_alone() -> None:
    state = Crank(step="rest_v")
    assert typed(state, "-1,a2v.6").typed == "1,26"
    assert typed(Crank(step="temperature_c"), "-4-").typed == "-4"
    assert typed(Crank(step="response"), "74").typed == ""


def test_back_goes_step_by_step_and_takes_the_noted_start_out_again() -> None:
    vehicle = car(**PETROL)
    done = entered(cranking.begin(vehicle), vehicle, "", "1", "12.6", "10.4", "2")
    assert done.vehicle is not None
    undone = cranking.undo(done.state, done.vehicle)
    assert undone.vehicle == vehicle
    state, steps = undone.state, []
    while state.step != "prepare":
        steps.append(state.step)
        state = cranking.undo(state, vehicle).state
    assert steps == ["temperature_c", "crank_v", "rest_v", "response"]
    assert cranking.undo(typed(Crank(step="rest_v"), "12"), vehicle).state == Crank(step="rest_v")


def test_no_start_is_asked_of_a_car_that_closes_contactors() -> None:
    vehicle = car(starts_by="contactors")
    assert cranking.begin(vehicle).step == "none"
    assert cranking.worth(assess(vehicle)) == 0.0


def test_of_a_24_volt_pair_one_battery_is_asked() -> None:
    vehicle = edits.change_vehicle(car(**DIESEL), system_v=24)
    assert "one battery by itself" in plain(cranking.how_to(Crank(step="rest_v"), vehicle))
    assert "one battery by itself" not in plain(cranking.how_to(Crank(step="rest_v"), car()))


def test_it_is_worth_while_only_where_the_start_leaves_the_plan_in_doubt() -> None:
    doubtful = car(stand_days=12.0, **DIESEL)
    a = assess(doubtful)
    assert a.band.low_h < 12.0 * 24.0 <= a.band.high_h
    part = cranking.worth(a)
    assert part > 0.2
    assert "% of the doubt" in plain(cranking.why(part))
    sure = assess(car(stand_days=0.5, **PETROL))
    assert sure.band.low_h > 12.0
    assert cranking.worth(sure) == 0.0


def test_the_reading_narrows_the_span_it_was_asked_for() -> None:
    vehicle = car(stand_days=12.0, **DIESEL)
    done = entered(cranking.begin(vehicle), vehicle, "", "1", "12.6", "10.6", "-4")
    assert done.vehicle is not None
    before, after = assess(vehicle).band, assess(done.vehicle).band
    assert after.need[2] - after.need[0] < before.need[2] - before.need[0]
    assert cranking.worth(assess(done.vehicle)) < cranking.worth(assess(vehicle))


def test_every_step_says_what_is_asked() -> None:
    for step in cranking.ORDER:
        assert cranking.question(Crank(step=step)) != NOTHING
    safely = " ".join(plain(each) for each in (*cranking.SAFELY, cranking.how_to(
        Crank(step="crank_v"), car()
    )))  # fmt: skip
    for minded in ("no fuse", "hands out of the engine bay", "maker", "not crank long"):
        assert minded in safely
