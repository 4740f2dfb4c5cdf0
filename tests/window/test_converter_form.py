"""Converters and relays in the forms: with real keys, one edit per finished field."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLineEdit

from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Converter, Fuse, Vehicle, edits, look_up
from fusemap.window.document import Document, Selection, taps_of
from fusemap.window.forms.accessory_form import AccessoryForm
from fusemap.window.forms.tap_form import TapForm
from fusemap.window.shelf.shelf_rows import marked, own_rows
from fusemap.window.style.theme import LIGHT


def plain(text: object) -> str:
    return str(text).replace(NARROW_SPACE, " ")


@pytest.fixture
def truck() -> Vehicle:
    v = edits.add_accessory(Vehicle(name="Truck", system_v=24), "Converter", watts=2.0,
                            rated_v=27.6, converter=Converter(rating_a=10.0))  # fmt: skip
    v = edits.place(v, "accessory-1")
    return edits.add_accessory(v, "Radio", watts=55.2, rated_v=13.8)


def shown(qtbot: Any, made: Any) -> Any:
    qtbot.addWidget(made)
    made.resize(500, 1400)
    with qtbot.waitExposed(made):
        made.show()
    return made


def field(form: Any, key: str) -> QLineEdit:
    found = form.findChild(QLineEdit, key)
    assert found is not None, key
    return found


def type_in(qtbot: Any, line: QLineEdit, text: str) -> None:
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key.Key_Return)


def test_the_rating_of_a_converter_is_typed_into_its_form(qtbot: Any, truck: Vehicle) -> None:
    document = Document(truck)
    form = shown(qtbot, AccessoryForm(document, LIGHT))
    form.show_accessory("accessory-1")
    type_in(qtbot, field(form, "accessory_converter_rating_a"), "15")
    type_in(qtbot, field(form, "accessory_converter_efficiency"), "90")
    converter = document.vehicle.accessories[0].converter
    assert converter == Converter(rating_a=15.0, efficiency=pytest.approx(0.9))
    document.stack.undo()
    document.stack.undo()
    assert document.vehicle == truck


def test_only_a_converter_shows_what_a_converter_has(qtbot: Any, truck: Vehicle) -> None:
    form = shown(qtbot, AccessoryForm(Document(truck), LIGHT))
    form.show_accessory("accessory-2")
    assert not field(form, "accessory_converter_rating_a").isVisible()
    form.show_accessory("accessory-1")
    assert field(form, "accessory_converter_rating_a").isVisible()


def source(form: TapForm) -> QComboBox:
    found = form.findChild(QComboBox, "powerLead_source")
    assert found is not None
    return found


def test_a_12_volt_radio_is_hung_on_the_converter_and_taken_off_again(
    qtbot: Any, truck: Vehicle
) -> None:
    document = Document(truck)
    form = shown(qtbot, TapForm(document, LIGHT))
    form.show_accessory("accessory-2")
    box = source(form)
    rows = [plain(box.itemText(row)) for row in range(box.count())]
    assert "Output of: Converter, 13.8 V" in rows
    box.setCurrentIndex(rows.index("Output of: Converter, 13.8 V"))
    box.activated.emit(box.currentIndex())
    assert document.vehicle.accessories[1].supplied_by == "accessory-1"
    assert "Output of: Converter" in box.currentText()
    qtbot.mouseClick(form.leads["power"]._off, Qt.MouseButton.LeftButton)
    assert document.vehicle.accessories[1].supplied_by is None


def test_a_12_volt_radio_on_24_volts_itself_is_refused_and_told(qtbot: Any, truck: Vehicle) -> None:
    document = Document(truck)
    told: list[Any] = []
    document.refused.connect(told.append)
    form = shown(qtbot, TapForm(document, LIGHT))
    form.show_accessory("accessory-2")
    box = source(form)
    assert "Own feed: Straight from the battery" in box.itemText(1)
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Down)
    assert "not made for 24 V" in plain(str(told[0]))
    assert "middle of two batteries" in str(told[0])
    assert document.vehicle == truck


def test_dropped_on_a_24_volt_slot_it_is_refused_with_the_way_out(truck: Vehicle) -> None:
    from fusemap.window.panel.panel_drop import Payload, Placing

    v = edits.add_panel(truck, "Cab", 1, 1)
    slot = v.panels[0].slots[0].id
    v = edits.change_slot(v, slot, feed_class="ignition", fuse=Fuse(family="mini", rating=10))
    document = Document(v)
    told: list[Any] = []
    document.refused.connect(told.append)
    placing = Placing(document, Style())
    assert placing.begin(Payload(accessory="accessory-2"))
    assert not placing.drop(slot)
    assert "converter" in str(told[0])
    assert "output as its source" in told[0].remedy
    assert document.vehicle == v


def test_a_converter_is_not_offered_to_itself_nor_to_what_supplies_it(truck: Vehicle) -> None:
    from fusemap.window.forms.choices import sources

    v = edits.change_accessory(truck, "accessory-2", converter=Converter(output_v=5.0),
                               supplied_by="accessory-1")  # fmt: skip
    offered = {
        on: [value[1] for value, _ in sources(v, LIGHT.style, on) if value[0] == "converter"]
        for on in ("accessory-1", "accessory-2")
    }
    assert offered == {"accessory-1": [], "accessory-2": ["accessory-1"]}


def test_the_shelf_says_behind_what_an_accessory_hangs(truck: Vehicle) -> None:
    v = edits.change_accessory(truck, "accessory-2", supplied_by="accessory-1")
    rows = own_rows(v, Style())
    radio = next(row for row in marked(rows, v, None) if row.name == "Radio")
    assert radio.mark == "reckoning"
    assert "Behind Converter" in radio.look.text
    judged = next(row for row in marked(rows, v, {"tap-1": "fails"}) if row.name == "Radio")
    assert judged.mark == "fails", "it hangs on the converter's tap"


def test_selecting_what_hangs_behind_shows_the_converters_chain(truck: Vehicle) -> None:
    v = edits.change_accessory(truck, "accessory-2", supplied_by="accessory-1")
    assert [tap.id for tap in taps_of(v, Selection("accessory", "accessory-2"))] == ["tap-1"]
    assert taps_of(truck, Selection("accessory", "accessory-2")) == ()


def test_a_relays_own_figures_are_typed_beside_it(qtbot: Any, truck: Vehicle) -> None:
    v = edits.change_tap(truck, "tap-1", relay=True)
    document = Document(v)
    form = shown(qtbot, TapForm(document, LIGHT))
    form.show_accessory("accessory-1")
    type_in(qtbot, field(form, "powerLead_relay_limit_a"), "40")
    type_in(qtbot, field(form, "powerLead_relay_coil_a"), "120")
    tap = look_up.tap(document.vehicle, "tap-1")
    assert (tap.relay_limit_a, tap.relay_coil_a) == (40.0, pytest.approx(0.12))


def test_without_a_relay_there_is_no_contact_to_enter(qtbot: Any, truck: Vehicle) -> None:
    form = shown(qtbot, TapForm(Document(truck), LIGHT))
    form.show_accessory("accessory-1")
    assert not field(form, "powerLead_relay_limit_a").isVisible()
