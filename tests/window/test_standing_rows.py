"""Ranges, drives, maintainer and second battery in their forms, with real keys."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QWidget

from fusemap.vehicle import Drive, SecondBattery, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.accessory_form import AccessoryForm
from fusemap.window.forms.parking_form import ParkingForm
from fusemap.window.forms.vehicle_form import BatteryForm
from fusemap.window.style.theme import LIGHT
from tests.window.form_hands import click, enter, shown


@pytest.fixture
def document(qapp: Any) -> Document:
    vehicle = edits.add_accessory(Vehicle(name="Van"), "Cool box", watts=40.0)
    return Document(vehicle)


def pick(form: QWidget, qtbot: Any, key: str, start: str) -> None:
    """Choose with Home and Down, as one does at the keyboard."""
    box = form.findChild(QComboBox, key)
    assert box is not None, key
    row = next(n for n in range(box.count()) if box.itemText(n).startswith(start))
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Home)
    for _ in range(row):
        qtbot.keyClick(box, Qt.Key.Key_Down)
    assert box.currentIndex() == row


def test_a_range_is_entered_and_a_wrong_one_is_refused(document: Document, qtbot: Any) -> None:
    form = shown(BatteryForm(document, LIGHT), qtbot)
    enter(form, qtbot, "battery_low_soh", "60")
    enter(form, qtbot, "battery_high_soh", "95")
    assert document.vehicle.battery.low_soh == pytest.approx(0.6)
    assert document.vehicle.battery.high_soh == pytest.approx(0.95)
    assert enter(form, qtbot, "battery_low_soh", "99").property("wrong") is True
    assert document.vehicle.battery.low_soh == pytest.approx(0.6)


def test_rest_current_and_temperature_have_ranges(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    enter(form, qtbot, "parking_high_rest_current_a", "80")
    enter(form, qtbot, "parking_low_temperature_c", "-12")
    assert document.vehicle.parking.high_rest_current_a == pytest.approx(0.08)
    assert document.vehicle.parking.low_temperature_c == -12.0


def test_usual_drives_are_added_changed_and_removed(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    click(form, qtbot, "parking_addDrive")
    click(form, qtbot, "parking_addDrive")
    enter(form, qtbot, "drive0_minutes", "35")
    enter(form, qtbot, "drive1_weekdays", "sat, sun")
    first, second = document.vehicle.parking.drives
    assert first == Drive(start_h=7.5, minutes=35.0, weekdays=("mon", "tue", "wed", "thu", "fri"))
    assert (second.start_h, second.weekdays) == (17.0, ("sat", "sun"))
    assert enter(form, qtbot, "drive1_weekdays", "someday").property("wrong") is True
    click(form, qtbot, "drive0_remove")
    assert [drive.weekdays for drive in document.vehicle.parking.drives] == [("sat", "sun")]
    document.stack.undo()
    assert len(document.vehicle.parking.drives) == 2


def test_wake_ups_stay_with_their_button_below_the_drives(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    click(form, qtbot, "parking_addDrive")
    click(form, qtbot, "parking_addWakeUp")
    enter(form, qtbot, "wakeUp0_every_h", "6")
    assert document.vehicle.parking.wake_ups[0].every_h == 6.0
    wake = form.findChild(QLineEdit, "wakeUp0_every_h")
    drive = form.findChild(QLineEdit, "drive0_minutes")
    add_drive = form.findChild(QAbstractButton, "parking_addDrive")
    places = [w.mapTo(form, w.rect().topLeft()).y() for w in (wake, drive, add_drive)]
    assert places == sorted(places)


def test_a_maintainer_shows_its_figures_when_there_is_one(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    amperes = form.findChild(QLineEdit, "maintainer_current_a")
    assert not amperes.isVisible()
    pick(form, qtbot, "maintainer_kind", "Solar")
    assert amperes.isVisible()
    enter(form, qtbot, "maintainer_current_a", "0.5")
    maintainer = document.vehicle.parking.maintainer
    assert maintainer is not None
    assert (maintainer.kind, maintainer.current_a, maintainer.from_h) == ("solar", 0.5, 9.0)
    pick(form, qtbot, "maintainer_kind", "None")
    assert document.vehicle.parking.maintainer is None


def test_what_cranks_does_not_show_for_contactors(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    cranking = form.findChild(QLineEdit, "parking_cranking_a")
    assert cranking.isVisible()
    pick(form, qtbot, "parking_starts_by", "Closing")
    assert document.vehicle.parking.starts_by == "contactors"
    assert not cranking.isVisible()


def test_a_second_battery_is_added_filled_in_and_taken_away(document: Document, qtbot: Any) -> None:
    form = shown(BatteryForm(document, LIGHT), qtbot)
    capacity = form.findChild(QLineEdit, "second_capacity_ah")
    assert not capacity.isVisible()
    click(form, qtbot, "second_switch")
    assert document.vehicle.second_battery == SecondBattery()
    assert capacity.isVisible()
    enter(form, qtbot, "second_capacity_ah", "95")
    charger = form.findChild(QLineEdit, "second_charger_a")
    assert not charger.isVisible()
    pick(form, qtbot, "second_link", "DC-DC")
    assert charger.isVisible()
    assert document.vehicle.second_battery == SecondBattery(capacity_ah=95.0, link="dcdc")
    click(form, qtbot, "second_switch")
    assert document.vehicle.second_battery is None


def test_an_accessory_is_hung_on_the_second_battery(document: Document, qtbot: Any) -> None:
    form = shown(AccessoryForm(document, LIGHT), qtbot)
    form.show_accessory("accessory-1")
    box = form.findChild(QComboBox, "accessory_battery")
    assert not box.isVisible()
    document.apply("Add", edits.set_second_battery, SecondBattery())
    assert box.isVisible()
    pick(form, qtbot, "accessory_battery", "Second")
    enter(form, qtbot, "accessory_current_spread", "30")
    accessory = document.vehicle.accessories[0]
    assert (accessory.battery, accessory.current_spread) == ("second", 0.3)
