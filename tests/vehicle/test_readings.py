"""Readings are kept as they were taken."""

import pytest

from fusemap.errors import EditRefused
from fusemap.vehicle import MeterRange, Vehicle, edits, look_up, reading_edits
from fusemap.vehicle.validity import faults


@pytest.fixture
def van() -> Vehicle:
    return edits.add_panel(Vehicle(name="Van"), "Dash", 1, 2)


def dead(slot_id: str = "slot-1", **fields):
    return {"when": "2025-05-17T18:30", "quantity": "live", "value": 0.0, "target_id": slot_id} | (
        fields
    )


def test_a_correction_leaves_the_first_reading_in_the_list(van):
    once = reading_edits.add_reading(van, **dead())
    twice = reading_edits.add_reading(once, **dead(value=1.0, corrects="reading-1"))
    assert twice.readings[0] is once.readings[0]
    assert [r.yes for r in twice.readings] == [False, True]


def test_a_withdrawn_reading_stays_with_the_reason(van):
    read = reading_edits.add_reading(van, **dead())
    read = reading_edits.withdraw_reading(read, "reading-1", "wrong slot")
    assert read.readings[0].withdrawn
    assert read.readings[0].note == "wrong slot"
    assert not reading_edits.restore_reading(read, "reading-1").readings[0].withdrawn


def test_a_new_slot_does_not_inherit_the_readings_of_one_that_is_gone(van):
    read = reading_edits.add_reading(van, **dead("slot-2"))
    gone = edits.remove_slot(read, "slot-2")
    assert gone.readings == read.readings
    anew = edits.add_slot(gone, "panel-1", 0, 1)
    assert look_up.slot_at(anew.panels[0], 0, 1).id == "slot-3"


@pytest.mark.parametrize(
    ("fields", "where"),
    [
        ({"when": "yesterday"}, "Date"),
        ({"value": 0.5}, "Value"),
        ({"quantity": "millivolts", "value": float("nan")}, "Value"),
        ({"quantity": "millivolts", "value": 1e6}, "Value"),
        ({"quantity": "millivolts", "value": 2.0, "highest": 1.0}, "Highest seen"),
        ({"after_lock_min": -1.0}, "Time after locking"),
    ],
)
def test_what_no_meter_could_show_is_refused(van, fields, where):
    with pytest.raises(EditRefused) as refusal:
        reading_edits.add_reading(van, **dead(**fields))
    assert str(refusal.value.where) == where
    assert refusal.value.remedy


@pytest.mark.parametrize(
    "fields", [{"target_id": "slot-9"}, {"meter": "meter-1"}, {"corrects": "reading-1"}]
)
def test_a_reading_of_something_that_is_not_there_is_refused(van, fields):
    with pytest.raises(EditRefused):
        reading_edits.add_reading(van, **dead(**fields))


def test_several_readings_come_all_or_not_at_all(van):
    with pytest.raises(EditRefused):
        reading_edits.add_readings(van, [dead(), dead("nowhere")])
    both = reading_edits.add_readings(van, [dead(), dead("slot-2")])
    assert [r.id for r in both.readings] == ["reading-1", "reading-2"]


def test_a_meter_that_was_used_stays(van):
    van = reading_edits.add_meter(
        van, "Pocket meter", [MeterRange(quantity="millivolts", resolution=0.1, share=0.005)]
    )
    assert reading_edits.remove_meter(van, "meter-1").meters == ()
    used = reading_edits.add_reading(van, **dead(meter="meter-1"))
    with pytest.raises(EditRefused, match="Pocket meter"):
        reading_edits.remove_meter(used, "meter-1")


def test_nobody_signs_without_a_name(van):
    with pytest.raises(EditRefused, match="nobody"):
        reading_edits.sign_off(van, "2025-05-17", "  ")
    signed = reading_edits.sign_off(van, "2025-05-17", "Kim", passed=7, left_open=1)
    assert signed.sign_offs[0].by == "Kim"
    assert list(faults(signed)) == []
