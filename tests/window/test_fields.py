"""Fields: they show what the vehicle says and write what was finished."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from fusemap.errors import InputProblem
from fusemap.text import Style
from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.entry import read_number, show_number
from fusemap.window.forms.fields import CheckField, ChoiceField, NoteField, NumberField, TextField
from fusemap.window.forms.form import Form
from fusemap.window.style.theme import LIGHT


@pytest.fixture
def document(qapp: Any) -> Document:
    return Document(Vehicle(name="Van"))


@pytest.fixture
def form(document: Document, qtbot: Any) -> Form:
    form = Form(document, LIGHT, "form", "Form")
    qtbot.addWidget(form)
    return form


def capacity(document: Document, **options: Any) -> NumberField:
    return NumberField(
        document,
        LIGHT.style,
        lambda: document.vehicle.battery.capacity_ah,
        lambda value: document.apply("Capacity", edits.change_battery, capacity_ah=value),
        name="Capacity",
        unit="Ah",
        optional=True,
        **options,
    )


def shown(form: Form, field: QWidget, qtbot: Any) -> None:
    form.add("Field", field)
    form.add("Other", QWidget())
    with qtbot.waitExposed(form):
        form.show()
    field.setFocus()


def type_over(qtbot: Any, field: Any, text: str) -> None:
    field.selectAll()
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClicks(field, text)


@pytest.mark.parametrize("typed", ["7.5", "7,5", " 7,50 ", "7.5 A", "7500 mA", "7,5a"])
def test_point_comma_and_unit_are_all_read(typed: str) -> None:
    assert read_number(typed, "A") == pytest.approx(7.5)


@pytest.mark.parametrize(
    "typed", ["seven", "1.2.3", "1,000.5", "-", ".", "7 V", "5 5", "1e400", "nan"]
)
def test_what_is_no_number_of_the_unit_is_refused(typed: str) -> None:
    with pytest.raises(InputProblem):
        read_number(typed, "A")


@pytest.mark.parametrize("value", [0.0, 0.035, 7.5, 1234.25, 40.0, -12.5, 100.0, 0.000123])
def test_a_number_shown_is_read_back_the_same(value: float) -> None:
    assert read_number(show_number(value)) == pytest.approx(value, rel=1e-9)


def test_enter_writes_one_undoable_edit(form: Form, document: Document, qtbot: Any) -> None:
    field = capacity(document)
    shown(form, field, qtbot)
    qtbot.keyClicks(field, "70,5")
    assert document.vehicle.battery.capacity_ah is None
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert document.vehicle.battery.capacity_ah == 70.5
    assert document.stack.count() == 1
    document.stack.undo()
    assert field.text() == ""


def test_leaving_the_field_writes_too(form: Form, document: Document, qtbot: Any) -> None:
    field = capacity(document)
    shown(form, field, qtbot)
    qtbot.keyClicks(field, "70")
    field.clearFocus()
    assert document.vehicle.battery.capacity_ah == 70


def test_blank_means_not_known(form: Form, document: Document, qtbot: Any) -> None:
    document.apply("Capacity", edits.change_battery, capacity_ah=70.0)
    field = capacity(document)
    shown(form, field, qtbot)
    type_over(qtbot, field, "")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert document.vehicle.battery.capacity_ah is None


def test_a_wrong_number_marks_the_field_and_says_why(
    form: Form, document: Document, qtbot: Any
) -> None:
    refused: list[InputProblem] = []
    document.refused.connect(refused.append)
    field = capacity(document)
    shown(form, field, qtbot)
    qtbot.keyClicks(field, "lots")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert field.property("wrong") is True
    assert "“lots” is not a number" in refused[0].what
    assert field.text() == "lots"
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert field.text() == ""
    assert not field.property("wrong")


def test_a_number_the_edit_refuses_marks_the_field(
    form: Form, document: Document, qtbot: Any
) -> None:
    field = capacity(document)
    shown(form, field, qtbot)
    qtbot.keyClicks(field, "0")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert field.property("wrong") is True
    assert document.stack.count() == 0


def test_bounds_are_in_the_shown_unit(form: Form, document: Document, qtbot: Any) -> None:
    field = NumberField(
        document,
        LIGHT.style,
        lambda: document.vehicle.battery.soh,
        lambda value: document.apply("Health", edits.change_battery, soh=value),
        name="Health",
        unit="%",
        scale=0.01,
        optional=True,
        most=100,
    )
    shown(form, field, qtbot)
    qtbot.keyClicks(field, "80 %")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert document.vehicle.battery.soh == pytest.approx(0.8)
    assert field.text() == "80"
    type_over(qtbot, field, "101")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert field.property("wrong") is True


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("1", "1\u202fft ist zu klein (1,64\u202fft ist das Mindeste)"),
        ("10", "10\u202fft ist zu groß (6,56\u202fft ist das Höchste)"),
        ("", "es darf nicht leer sein (eine Zahl von 1,64\u202fft bis 6,56\u202fft tippen)"),
    ],
)
def test_what_is_refused_is_told_in_the_readers_language_and_units(
    document: Document, qtbot: Any, typed: str, told: str
) -> None:
    field = NumberField(
        document,
        Style("de", length="ft"),
        lambda: 1.0,
        lambda value: True,
        name="Länge",
        unit="m",
        least=0.5,
        most=2.0,
    )
    qtbot.addWidget(field)
    field.setText(typed)
    field.commit()
    assert field.toolTip() == told


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("150,4", "150,4\u202f% ist zu groß (150\u202f% ist das Höchste)"),
        ("1,5", "1,5 ist keine ganze Zahl (eine wie 4 tippen)"),
    ],
)
def test_a_share_and_a_count_are_refused_as_they_were_typed(
    document: Document, qtbot: Any, typed: str, told: str
) -> None:
    share = "150" in typed
    field = NumberField(
        document,
        Style("de"),
        lambda: 1.0,
        lambda value: True,
        name="Feld",
        unit="%" if share else "",
        whole=not share,
        scale=0.01 if share else 1.0,
        most=150,
    )
    qtbot.addWidget(field)
    field.setText(typed)
    field.commit()
    assert field.toolTip() == told


def test_a_field_follows_the_vehicle(form: Form, document: Document, qtbot: Any) -> None:
    field = capacity(document)
    shown(form, field, qtbot)
    document.apply("Capacity", edits.change_battery, capacity_ah=44.0)
    assert field.text() == "44"


def test_an_edit_elsewhere_leaves_what_is_being_typed(
    form: Form, document: Document, qtbot: Any
) -> None:
    field = capacity(document)
    shown(form, field, qtbot)
    form.activateWindow()
    qtbot.waitUntil(field.hasFocus)
    qtbot.keyClicks(field, "4")
    document.apply("Name", edits.change_vehicle, name="Bus")
    assert field.text() == "4"


def test_a_form_out_of_view_catches_up_when_shown(
    form: Form, document: Document, qtbot: Any
) -> None:
    field = capacity(document)
    form.add("Capacity", field)
    document.apply("Capacity", edits.change_battery, capacity_ah=44.0)
    assert field.text() == ""
    with qtbot.waitExposed(form):
        form.show()
    assert field.text() == "44"


def test_a_choice_is_written_when_chosen(form: Form, document: Document, qtbot: Any) -> None:
    field = ChoiceField(
        lambda: document.vehicle.system_v,
        lambda value: document.apply("System", edits.change_vehicle, system_v=value),
        [(12, "12 V"), (24, "24 V")],
        name="System",
    )
    shown(form, field, qtbot)
    assert field.currentText() == "12 V"
    qtbot.keyClick(field, Qt.Key.Key_Down)
    assert document.vehicle.system_v == 24
    document.stack.undo()
    assert field.currentText() == "12 V"


def test_a_text_is_written_trimmed(form: Form, document: Document, qtbot: Any) -> None:
    field = TextField(
        document,
        LIGHT.style,
        lambda: document.vehicle.name,
        lambda value: document.apply("Name", edits.change_vehicle, name=value),
        name="Name",
    )
    shown(form, field, qtbot)
    type_over(qtbot, field, " Bus ")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert document.vehicle.name == field.text() == "Bus"


def test_a_note_is_written_on_leaving_it(form: Form, document: Document, qtbot: Any) -> None:
    field = NoteField(
        lambda: document.vehicle.note,
        lambda value: document.apply("Note", edits.change_vehicle, note=value),
        name="Note",
    )
    shown(form, field, qtbot)
    qtbot.keyClicks(field, "red van")
    assert document.vehicle.note == ""
    field.clearFocus()
    assert document.vehicle.note == "red van"


def test_a_refused_tick_goes_back(form: Form, document: Document, qtbot: Any) -> None:
    field = CheckField(lambda: False, lambda on: False, text="Critical")
    shown(form, field, qtbot)
    qtbot.keyClick(field, Qt.Key.Key_Space)
    assert not field.isChecked()


def test_every_field_is_named_for_a_screen_reader(document: Document, qtbot: Any) -> None:
    field = capacity(document, key="batteryCapacity")
    qtbot.addWidget(field)
    assert field.accessibleName() == "Capacity [Ah]"
    assert field.objectName() == "batteryCapacity"


@pytest.mark.parametrize(
    ("pasted", "taken"),
    [
        ("Fog\u200b lamps", "Fog lamps"),
        ("\u202bRadio\u202c", "Radio"),
        ("Radio\u2028two", "Radio two"),
    ],
)
def test_signs_that_nobody_sees_are_left_out_of_what_is_pasted(
    document: Document, pasted: str, taken: str, qtbot: Any
) -> None:
    field = TextField(
        document,
        LIGHT.style,
        lambda: document.vehicle.name,
        lambda text: document.apply("Rename", edits.change_vehicle, name=text),
        name="Name",
    )
    qtbot.addWidget(field)
    field.setText(pasted)
    field.commit()
    assert document.vehicle.name == taken
    assert field.text() == taken
