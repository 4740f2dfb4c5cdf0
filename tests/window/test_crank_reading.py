"""A start followed with a meter, typed in at the battery page with real keys."""

from datetime import datetime
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLabel, QPushButton, QToolButton, QWidget

from fusemap.vehicle import CrankReading, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.accessory_form import AccessoryForm
from fusemap.window.forms.crank_reading_form import CrankReadingForm
from fusemap.window.forms.parking_form import ParkingForm
from fusemap.window.style.theme import LIGHT
from tests.window.form_hands import click, enter, shown

NOON = datetime(2025, 11, 3, 12, 0)


@pytest.fixture
def document(qapp: Any) -> Document:
    return Document(Vehicle(name="Van"))


def form_of(document: Document, qtbot: Any) -> CrankReadingForm:
    return shown(CrankReadingForm(document, LIGHT, now=lambda: NOON), qtbot)


def typed(form: QWidget, qtbot: Any, rest: str, cranking: str, celsius: str) -> None:
    for field, text in (("rest_v", rest), ("crank_v", cranking), ("temperature_c", celsius)):
        enter(form, qtbot, f"crankReading_{field}", text)


def choose(form: QWidget, qtbot: Any, key: str, start: str) -> None:
    box = form.findChild(QComboBox, key)
    row = next(n for n in range(box.count()) if box.itemText(n).startswith(start))
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Home)
    for _ in range(row):
        qtbot.keyClick(box, Qt.Key.Key_Down)


def test_a_start_is_noted_whole_and_can_be_taken_out_again(document: Document, qtbot: Any) -> None:
    form = form_of(document, qtbot)
    take = form.findChild(QPushButton, "crankReading_note")
    assert not take.isEnabled()
    typed(form, qtbot, "12.55", "10.1", "6")
    assert document.vehicle.battery.crank_readings == ()
    assert take.isEnabled()
    click(form, qtbot, "crankReading_note")
    (reading,) = document.vehicle.battery.crank_readings
    assert reading == CrankReading(
        rest_v=12.55, crank_v=10.1, temperature_c=6.0, when="2025-11-03T12:00"
    )
    assert not take.isEnabled(), "the fields are blank for the next one"
    words = [each.text().replace("\u202f", " ") for each in form.findChildren(QLabel)]
    assert any("10.1 V while it turned" in each and "Nov 2025" in each for each in words)
    assert document.assessment.parked.need.way == "reading"
    form.findChild(QToolButton, "crankReading0_remove").click()
    assert document.vehicle.battery.crank_readings == ()
    document.stack.undo()
    assert document.vehicle.battery.crank_readings == (reading,)


@pytest.mark.parametrize(
    ("rest", "cranking", "response", "why"),
    [
        ("12.55", "12.4", "Held by MIN", "did not crank"),
        ("12.55", "5.5", "Held by MIN", "less than an engine turns at"),
        ("25.2", "20", "Held by MIN", "no rest voltage of a 12 V battery"),
        ("12.55", "7.6", "Held by a MIN of 1 ms", "first dip"),
    ],
)
def test_what_cannot_be_a_start_is_refused_and_stays_typed(
    document: Document, qtbot: Any, rest: str, cranking: str, response: str, why: str
) -> None:
    told: list[str] = []
    document.refused.connect(lambda error: told.append(str(error)))
    form = form_of(document, qtbot)
    typed(form, qtbot, rest, cranking, "6")
    choose(form, qtbot, "crankReading_response", response)
    click(form, qtbot, "crankReading_note")
    assert document.vehicle.battery.crank_readings == ()
    assert any(why in each.replace("\u202f", " ") for each in told), told
    assert form.findChild(QPushButton, "crankReading_note").isEnabled()


def test_the_engine_is_entered_where_it_is_parked(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    choose(form, qtbot, "parking_engine_fuel", "Diesel")
    enter(form, qtbot, "parking_engine_l", "2")
    parking = document.vehicle.parking
    assert (parking.engine_fuel, parking.engine_l) == ("diesel", 2.0)
    assert document.assessment.parked.need.way == "engine"


def test_a_mode_for_parking_brings_its_current_and_its_span(document: Document, qtbot: Any) -> None:
    document.apply("Add", edits.add_accessory, "Camera", kind="dash_camera_parking",
                   watts=4.0, works_in=("asleep", "awake", "ignition"))  # fmt: skip
    form = shown(AccessoryForm(document, LIGHT), qtbot)
    form.show_accessory("accessory-1")
    choose(form, qtbot, "accessory_parked_mode", "Time lapse")
    (camera,) = document.vehicle.accessories
    assert (camera.parked_mode, camera.standby_a) == ("time_lapse", 0.16)
    assert set(camera.works_in) == {"ignition"}, "parked it does what the mode says"
    words = " ".join(str(each) for each in document.assessment.band.spread)
    assert "0.1 A to 0.25 A" in words.replace("\u202f", " ")


def test_what_has_no_modes_is_not_asked_for_one(document: Document, qtbot: Any) -> None:
    document.apply("Add", edits.add_accessory, "Lamp", kind="work_lamp", watts=27.0)
    form = shown(AccessoryForm(document, LIGHT), qtbot)
    form.show_accessory("accessory-1")
    assert not form.findChild(QComboBox, "accessory_parked_mode").isVisible()
