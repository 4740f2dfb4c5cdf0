"""A standing typed in at the battery page, and what else is new on the parking page."""

from datetime import datetime
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLabel, QPushButton, QToolButton, QWidget

from fusemap.vehicle import FittedThen, SecondBattery, StandReading, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.parking_form import ParkingForm
from fusemap.window.forms.stand_reading_form import StandReadingForm
from fusemap.window.style.theme import LIGHT
from tests.window.form_hands import click, enter, shown

NOON = datetime(2025, 11, 3, 12, 0)


@pytest.fixture
def document(qapp: Any) -> Document:
    made = edits.add_accessory(Vehicle(name="Van"), "Camera", watts=3.0)
    return Document(edits.place(made, "accessory-1"))


def form_of(document: Document, qtbot: Any) -> StandReadingForm:
    return shown(StandReadingForm(document, LIGHT, now=lambda: NOON), qtbot)


def choose(form: QWidget, qtbot: Any, key: str, start: str) -> None:
    box = form.findChild(QComboBox, key)
    texts = [box.itemText(n) for n in range(box.count())]
    row = next((n for n, text in enumerate(texts) if text == start), -1)
    row = next(n for n, text in enumerate(texts) if text.startswith(start)) if row < 0 else row
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Home)
    for _ in range(row):
        qtbot.keyClick(box, Qt.Key.Key_Down)


def visible(form: QWidget, key: str) -> bool:
    return bool(form.findChild(QWidget, key).isVisible())


def test_a_night_is_noted_whole_and_can_be_taken_out_again(document: Document, qtbot: Any) -> None:
    form = form_of(document, qtbot)
    take = form.findChild(QPushButton, "standReading_note")
    assert not take.isEnabled()
    enter(form, qtbot, "standReading_hours", "14")
    enter(form, qtbot, "standReading_mean_a", "52")
    assert document.vehicle.battery.stand_readings == ()
    click(form, qtbot, "standReading_note")
    (reading,) = document.vehicle.battery.stand_readings
    assert reading == StandReading(
        kind="night",
        hours=14.0,
        mean_a=pytest.approx(0.052),
        when="2025-11-03T12:00",
        fitted=(FittedThen(accessory="accessory-1"),),
    )
    assert not take.isEnabled(), "the fields are blank for the next one"
    words = [each.text().replace("\u202f", " ") for each in form.findChildren(QLabel)]
    assert any("52 mA on the mean over 14 hours" in each for each in words)
    assert document.assessment.band.learned is not None
    form.findChild(QToolButton, "standReading0_remove").click()
    assert document.vehicle.battery.stand_readings == ()


def test_only_what_a_kind_of_reading_has_is_asked_for(document: Document, qtbot: Any) -> None:
    form = form_of(document, qtbot)
    assert visible(form, "standReading_mean_a")
    assert not visible(form, "standReading_later_v")
    choose(form, qtbot, "standReading_kind", "Rest")
    assert visible(form, "standReading_later_v")
    assert not visible(form, "standReading_mean_a")
    choose(form, qtbot, "standReading_kind", "A start")
    assert visible(form, "standReading_started")
    assert visible(form, "standReading_rest_v")


def test_a_start_needs_no_voltage(document: Document, qtbot: Any) -> None:
    form = form_of(document, qtbot)
    choose(form, qtbot, "standReading_kind", "A start")
    enter(form, qtbot, "standReading_hours", "200")
    assert not form.findChild(QPushButton, "standReading_note").isEnabled()
    choose(form, qtbot, "standReading_started", "No")
    click(form, qtbot, "standReading_note")
    (reading,) = document.vehicle.battery.stand_readings
    assert (reading.kind, reading.started, reading.rest_v) == ("start", False, None)


def test_what_cannot_be_is_refused_and_stays_typed(document: Document, qtbot: Any) -> None:
    form = form_of(document, qtbot)
    refused: list[object] = []
    document.refused.connect(lambda *told: refused.append(told))
    choose(form, qtbot, "standReading_kind", "Rest")
    for field, text in (("hours", "48"), ("rest_v", "12.4"), ("later_v", "12.8")):
        enter(form, qtbot, f"standReading_{field}", text)
    click(form, qtbot, "standReading_note")
    assert document.vehicle.battery.stand_readings == ()
    assert refused
    assert form.findChild(QPushButton, "standReading_note").isEnabled()


def test_topping_up_is_asked_of_what_has_a_drive_battery_alone(
    document: Document, qtbot: Any
) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    assert not visible(form, "parking_topped_up")
    choose(form, qtbot, "parking_starts_by", "Closing")
    assert visible(form, "parking_topped_up")
    assert not visible(form, "parking_top_up_min")
    choose(form, qtbot, "parking_topped_up", "Yes")
    enter(form, qtbot, "parking_top_up_min", "20")
    assert document.vehicle.parking.topped_up == "yes"
    assert document.vehicle.parking.top_up_min == 20.0


def test_day_and_night_and_the_day_of_locking(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    enter(form, qtbot, "parking_night_c", "-4")
    enter(form, qtbot, "parking_day_c", "6")
    enter(form, qtbot, "parking_locked_on", "2025-11-14")
    parking = document.vehicle.parking
    assert (parking.night_c, parking.day_c, parking.locked_on) == (-4.0, 6.0, "2025-11-14")


def test_which_battery_the_sun_is_on_is_asked_where_there_are_two(
    document: Document, qtbot: Any
) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    choose(form, qtbot, "maintainer_kind", "Solar")
    assert not visible(form, "maintainer_battery")
    document.apply("Second", edits.set_second_battery, SecondBattery(capacity_ah=100.0))
    assert visible(form, "maintainer_battery")
    choose(form, qtbot, "maintainer_battery", "Second")
    kept = document.vehicle.parking.maintainer
    assert kept is not None
    assert kept.battery == "second"
