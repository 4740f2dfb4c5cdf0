"""What the alternator gives beside the vehicle's own loads, and what is said of too little."""

from typing import Any

import pytest

from fusemap.assess import Assessment, assess
from fusemap.assess.sure_words import order
from fusemap.checks import Finding, findings
from fusemap.vehicle import STATES, Cable, Fuse, Vehicle, edits
from tests.vehicles import one_slot

RUNNING = STATES.index("running")
CODES = {"drains_on_the_road", "may_drain_on_the_road", "drains_at_idle"}


def heated(amperes: float, parking: dict[str, Any] | None = None, **fields: Any) -> Vehicle:
    """A load on an own feed while the engine runs."""
    given: dict[str, Any] = {"load_kind": "constant_current", "works_in": ("running",), **fields}
    vehicle = edits.add_accessory(one_slot(), "heater", amperes=amperes, **given)
    vehicle = edits.place(vehicle, vehicle.accessories[-1].id, kind="own_feed")
    return edits.change_parking(vehicle, **(parking or {}))


def told(vehicle: Vehicle) -> dict[str, Finding]:
    return {f.code: f for f in findings(vehicle, assess(vehicle)) if f.code in CODES}


def posts(vehicle: Vehicle) -> tuple[float, float]:
    a: Assessment = assess(vehicle)
    return float(a.battery_v[RUNNING]), float(a.most.currents.battery_v[RUNNING])


def test_a_label_says_what_is_known_and_the_least() -> None:
    """100 A are 80 A hot, less 25 A of the vehicle's: 55 A; idling 40 A are 32 A hot."""
    label = {"alternator_a": 100.0, "alternator_idle_a": 40.0}
    known, least = posts(heated(50.0, label))
    assert known == pytest.approx(14.2)
    assert least < 12.8
    known, least = posts(heated(60.0, label))
    assert known < 12.8
    assert least < known


def test_with_no_label_the_least_is_that_of_the_smallest_usual_one() -> None:
    """50 A are 16 A at idle in the heat: less than any vehicle takes by itself."""
    known, least = posts(heated(5.0))
    assert known == pytest.approx(14.2)
    assert least < 12.8
    smallest = {"alternator_a": 50.0, "alternator_idle_a": 50.0 * 0.4 * 0.8}
    assert least == pytest.approx(posts(heated(5.0, smallest))[1])


def test_no_label_within_the_span_is_worse_than_none() -> None:
    """Sizes of the table, between its ends: the voltage is never lower with one entered."""
    bare = posts(heated(20.0))[1]
    for rated in (50.0, 60.0, 100.0, 220.0):
        for idle in (None, 0.32 * rated, 0.6 * rated):
            label = {"alternator_a": rated, "alternator_idle_a": idle}
            assert posts(heated(20.0, label))[1] >= bare - 1e-9


def test_of_what_an_idling_one_gives_the_vehicle_takes_its_part_first() -> None:
    """100 A at idle are 80 A hot; 25 A of these are the vehicle's, though less was measured."""
    label = {"alternator_a": 150.0, "alternator_idle_a": 100.0}
    assert posts(heated(50.0, label))[1] == pytest.approx(14.2)
    assert posts(heated(60.0, label))[1] < 12.8


def test_the_label_is_asked_for_where_a_good_one_would_do() -> None:
    """13 V are wanted of 12 A: a large alternator leaves that at idle, a small one does not."""
    vehicle = heated(12.0, min_voltage_v=13.0)
    wire = Cable(section_mm2=6.0, length_m=1.0)
    guard = Fuse(family="mini", rating=25.0)
    vehicle = edits.change_tap(vehicle, "tap-1", cable_out=wire, fuse=guard)
    a = assess(vehicle)
    asked = [(wanted.how, wanted.state) for wanted in a.measure_next]
    assert ("label", None) in asked
    assert not [how for how, _ in asked if how == "volts"]
    words = [str(order(vehicle, wanted)) for wanted in a.measure_next]
    assert "Alternator: say what its label states, rated and at idle" in words
    labelled = edits.change_parking(vehicle, alternator_a=220.0, alternator_idle_a=130.0)
    assert "label" not in {wanted.how for wanted in assess(labelled).measure_next}
    assert not [d for d in assess(labelled).doubts if d.key == "voltage"]


def test_the_label_is_not_asked_for_where_none_would_do() -> None:
    a = assess(heated(150.0, min_voltage_v=13.0))
    assert "label" not in {wanted.how for wanted in a.measure_next}


def test_more_known_of_it_never_lowers_the_least() -> None:
    bare = posts(heated(20.0))[1]
    rated = posts(heated(20.0, {"alternator_a": 150.0}))[1]
    both = posts(heated(20.0, {"alternator_a": 150.0, "alternator_idle_a": 90.0}))[1]
    assert bare <= rated <= both


def test_the_converter_of_a_drive_battery_does_not_idle() -> None:
    known, least = posts(heated(60.0, {"alternator_a": 90.0, "starts_by": "contactors"}))
    assert (known, least) == pytest.approx((14.2, 14.2))


def test_more_than_it_has_to_spare_for_good_is_told() -> None:
    """70 A − 55 A = 15 A out of the battery."""
    found = told(heated(70.0, {"alternator_a": 100.0}))
    assert set(found) == {"drains_on_the_road"}
    assert found["drains_on_the_road"].severity == "caution"
    said = str(found["drains_on_the_road"].sum).replace("\u202f", " ")
    assert "70 A − 55 A of the alternator = 15 A" in said


def test_what_nobody_entered_is_a_note() -> None:
    found = told(heated(40.0))
    assert set(found) == {"may_drain_on_the_road"}
    assert found["may_drain_on_the_road"].severity == "note"
    assert not told(heated(25.0))


def test_an_idling_engine_is_a_note() -> None:
    found = told(heated(50.0, {"alternator_a": 100.0, "alternator_idle_a": 40.0}))
    assert set(found) == {"drains_at_idle"}


def test_short_runs_and_pauses_do_not_count() -> None:
    assert not told(heated(300.0, {"spare_a": 60.0}, short_s=60.0))
    assert not told(heated(90.0, {"spare_a": 60.0}, duty=0.5, duty_period_s=600.0))
    assert told(heated(90.0, {"spare_a": 60.0}))


def test_loads_that_follow_their_voltage_are_judged_at_the_highest_too() -> None:
    """Nobody says that the alternator is weak: a lamp may have 14.2 V as well."""
    vehicle = heated(90.0, {"spare_a": 30.0}, load_kind="resistive", rated_v=12.0)
    a = assess(vehicle)
    most = float(a.most.taps.current_a[RUNNING, -1])
    assert float(a.battery_v[RUNNING]) < 12.8
    strong = assess(edits.change_parking(vehicle, spare_a=300.0))
    assert most == pytest.approx(float(strong.taps.current_a[RUNNING, -1]), rel=1e-6)
