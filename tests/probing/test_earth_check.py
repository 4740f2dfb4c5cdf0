"""An earth point under its load: predicted beside measured, causes, the figure into the plan."""

import pytest

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.probing import final_check, taking
from fusemap.probing.check_step import CheckStep
from fusemap.vehicle import Vehicle, edits, look_up, reading_edits
from tests import trade_vehicles as trade
from tests.probing.vehicles import WHEN


def point_steps(vehicle: Vehicle) -> dict[str, CheckStep]:
    found = final_check.steps(vehicle, assess(vehicle))
    return {step.target_id: step for step in found if step.key == "earth_point"}


def read(vehicle: Vehicle, drop_mv: float) -> tuple[Vehicle, CheckStep]:
    """The vehicle with its first earth point read, and the step after that."""
    step = point_steps(vehicle)[vehicle.earths[0].id]
    fields = final_check.fields(step) | {"when": WHEN, "value": drop_mv}
    vehicle = reading_edits.add_reading(vehicle, **fields)
    return vehicle, point_steps(vehicle)[vehicle.earths[0].id]


def of_fridge(resistance_mohm: float | None) -> Vehicle:
    """The camper, with this resistance at the bolt that its fridge goes back by."""
    vehicle = trade.camper()
    return edits.change_earth(vehicle, vehicle.earths[0].id, resistance_mohm=resistance_mohm)


def test_a_point_is_asked_for_once_with_all_that_goes_back_there() -> None:
    vehicle = trade.pickup()
    steps = point_steps(vehicle)
    assert set(steps) == {vehicle.earths[0].id}  # the battery's post is measured against itself
    assert all(name in str(steps[vehicle.earths[0].id].how) for name in ("Light bar", "compressor"))


def test_the_prediction_is_current_times_resistance() -> None:
    """Ohm's law: what all leads there draw together, on 1.5 mΩ."""
    vehicle = trade.pickup()
    vehicle = edits.change_earth(vehicle, vehicle.earths[0].id, resistance_mohm=1.5)
    a, point = assess(vehicle), vehicle.earths[0].id
    columns = [i for i, tap in enumerate(vehicle.taps) if tap.earth == point]
    together = float(a.taps.current_a[:, columns].sum(axis=1).max())
    step = point_steps(vehicle)[point]
    assert step.expected is not None
    assert step.expected.typical == pytest.approx(1.5 * together)
    assert step.expected.high == pytest.approx(1.2 * 1.5 * together)


def test_a_reading_beyond_the_band_differs_with_its_likely_causes() -> None:
    _, step = read(of_fridge(1.0), 60.0)
    assert step.verdict == "differs"
    assert "paint" in str(step.causes[0])


def test_one_key_takes_the_resistance_into_the_plan_and_all_follows() -> None:
    """34.4 mV at the fridge's 3.44 A are 10 mΩ; then the same reading is what is expected."""
    vehicle, step = read(of_fridge(1.0), 34.4)
    a = assess(vehicle)
    taken = taking.taking(vehicle, a, step)
    assert taken is not None
    after = taken.edit(vehicle)
    assert look_up.earth(after, vehicle.earths[0].id).resistance_mohm == pytest.approx(10, rel=0.01)
    assert point_steps(after)[vehicle.earths[0].id].verdict == "agrees"
    assert "earth_drop_high" in {f.code for f in findings(after, assess(after))}
    # the fridge has a cable of its own to that bolt: what lies behind the bolt costs it, too
    before, later = (float(each.taps.voltage_v[0, 0]) for each in (a, assess(after)))
    assert before - later == pytest.approx(9e-3 * 3.44, rel=0.02)


def test_of_a_point_that_nobody_measured_a_good_reading_is_taken_too() -> None:
    vehicle, step = read(of_fridge(None), 2.0)
    assert step.verdict == "agrees"
    taken = taking.taking(vehicle, assess(vehicle), step)
    assert taken is not None
    after = taken.edit(vehicle)
    assert look_up.earth(after, vehicle.earths[0].id).resistance_mohm == pytest.approx(
        0.58, abs=0.02
    )
    step = point_steps(after)[vehicle.earths[0].id]
    assert taking.taking(after, assess(after), step) is None


def test_a_point_without_a_load_is_not_asked_for() -> None:
    vehicle = edits.add_earth(trade.camper(), "spare bolt")
    assert vehicle.earths[-1].id not in point_steps(vehicle)


def test_the_step_belongs_to_the_first_lead_that_goes_back_there() -> None:
    vehicle = trade.pickup()
    step = point_steps(vehicle)[vehicle.earths[0].id]
    tap = final_check.tap_of(vehicle, step)
    assert tap is not None
    assert tap.id == vehicle.taps[0].id


def test_an_id_that_a_reading_speaks_of_is_never_given_again() -> None:
    vehicle = edits.add_earth(trade.camper(), "second bolt")
    gone = vehicle.earths[-1].id
    fields = {"when": WHEN, "quantity": "earth_millivolts", "value": 3.0, "purpose": "check"}
    vehicle = reading_edits.add_reading(vehicle, target="earth", target_id=gone, **fields)
    vehicle = edits.add_earth(edits.remove_earth(vehicle, gone), "third bolt")
    assert vehicle.earths[-1].id != gone
