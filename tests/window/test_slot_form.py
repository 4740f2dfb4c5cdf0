"""The form of a slot, and the table of its currents."""

from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QPlainTextEdit, QPushButton, QWidget

from fusemap.circuits import unanswered
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import BATTERY, STATES, Fuse, Slot, StateLoads, edits, look_up
from fusemap.window.document import Document
from fusemap.window.forms.slot_form import SlotForm
from fusemap.window.style.theme import LIGHT

Key = Qt.Key


@pytest.fixture
def form(document: Document, qtbot: Any) -> SlotForm:
    form = SlotForm(document, LIGHT)
    qtbot.addWidget(form)
    form.resize(500, 900)
    form.show()
    qtbot.waitExposed(form)
    document.select("slot", "slot-2")
    return form


def slot(document: Document) -> Slot:
    return look_up.slot(document.vehicle, "slot-2")


def line(form: SlotForm, key: str) -> QLineEdit:
    return form.findChild(QLineEdit, key)


def type_into(form: SlotForm, key: str, text: str) -> None:
    field = line(form, key)
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text) if text else QTest.keyClick(field, Key.Key_Delete)
    QTest.keyClick(field, Key.Key_Return)


def choose(form: SlotForm, key: str, words: str) -> None:
    """Go to a choice by keyboard, as a user does."""
    box = form.findChild(QComboBox, key)
    box.setFocus()
    wanted = next(
        row
        for row in range(box.count())
        if box.itemText(row).replace(NARROW_SPACE, " ").startswith(words)
    )
    while box.currentIndex() != wanted:
        QTest.keyClick(box, Key.Key_Down if box.currentIndex() < wanted else Key.Key_Up)


def shown(form: SlotForm, row: int, column: int) -> str:
    model = form.currents.model
    words = model.data(model.index(row, column), Qt.ItemDataRole.AccessibleTextRole)
    return str(words).replace(NARROW_SPACE, " ")


def test_the_form_shows_the_slot_that_is_selected(document: Document, form: SlotForm) -> None:
    assert form.heading.text() == "F2 · 12 V socket"
    assert line(form, "slot_circuit").text() == "12 V socket"
    document.select("slot", "slot-1")
    assert form.heading.text() == "F1 · Radio"
    document.select("battery")
    assert form.heading.text() == "F1 · Radio"


def test_words_are_written_as_named_steps(document: Document, form: SlotForm) -> None:
    type_into(form, "slot_label", "12a")
    type_into(form, "slot_circuit", "Front socket")
    assert (slot(document).label, slot(document).circuit) == ("12a", "Front socket")
    assert document.stack.undoText() == "12a: Circuit"
    document.stack.undo()
    assert line(form, "slot_circuit").text() == "12 V socket"


def test_only_ratings_of_the_family_can_be_chosen(document: Document, form: SlotForm) -> None:
    box = form.findChild(QComboBox, "slot_rating")
    words = [box.itemText(row).replace(NARROW_SPACE, " ") for row in range(box.count())]
    assert words[0] == "empty"
    assert words[1:] == [
        "2 A",
        "3 A",
        "4 A",
        "5 A",
        "7.5 A",
        "10 A",
        "15 A",
        "20 A",
        "25 A",
        "30 A",
    ]
    choose(form, "slot_rating", "20 A")
    assert slot(document).fuse == Fuse(family="mini", rating=20)


def test_another_family_offers_its_own_ratings_and_empties_the_slot(
    document: Document, form: SlotForm
) -> None:
    document.apply("x", edits.change_slot, "slot-2", family="maxi")
    box = form.findChild(QComboBox, "slot_rating")
    assert box.currentText() == "empty"
    assert box.itemText(1).startswith("20")


def test_a_relay_lets_its_fuse_go(document: Document, form: SlotForm) -> None:
    choose(form, "slot_kind", "A relay")
    assert slot(document).kind == "relay"
    assert slot(document).fuse is None
    assert not form.currents.isVisible()


def test_the_feed_class_is_chosen_and_explained(document: Document, form: SlotForm) -> None:
    choose(form, "slot_feed_class", "Delayed")
    assert slot(document).feed_class == "delayed_off"
    assert line(form, "slot_delayed_off_min").isVisible()
    type_into(form, "slot_delayed_off_min", "0.5 h")
    assert slot(document).delayed_off_min == 30
    choose(form, "slot_feed_class", "Permanent")
    assert not line(form, "slot_delayed_off_min").isVisible()


def test_a_critical_circuit_asks_why(document: Document, form: SlotForm) -> None:
    assert not line(form, "slot_critical_reason").isVisible()
    QTest.keyClick(form.findChild(QCheckBox, "slot_critical"), Key.Key_Space)
    assert slot(document).critical
    assert document.stack.undoText() == "F2: leave alone"
    assert line(form, "slot_critical_reason").isVisible()
    type_into(form, "slot_critical_reason", "brakes")
    assert slot(document).critical_reason == "brakes"
    QTest.keyClick(form.findChild(QCheckBox, "slot_critical"), Key.Key_Space)
    assert document.stack.undoText() == "F2: need not be left alone"


def test_a_load_left_blank_is_not_measured_and_a_zero_is(
    document: Document, form: SlotForm
) -> None:
    type_into(form, "slot_load_asleep", "")
    type_into(form, "slot_load_running", "0")
    assert slot(document).own_load.asleep is None
    assert slot(document).own_load.running == 0
    type_into(form, "slot_load_running", "350 mA")
    assert slot(document).own_load.running == pytest.approx(0.35)


def test_side_limit_feed_and_note_are_written(document: Document, form: SlotForm) -> None:
    document.apply("x", edits.add_feed, "Main fuse")
    choose(form, "slot_live_side", "Top")
    choose(form, "slot_feed", "Main fuse")
    type_into(form, "slot_contact_limit_a", "18")
    note = form.findChild(QPlainTextEdit, "slot_note")
    note.setFocus()
    QTest.keyClicks(note, "loose clip")
    line(form, "slot_label").setFocus()
    now = slot(document)
    assert (now.live_side, now.feed, now.contact_limit_a, now.note) == (
        "top",
        document.vehicle.feeds[0].id,
        18,
        "loose clip",
    )


def test_what_supplies_a_slot_is_asked_for_and_not_known_at_first(
    document: Document, form: SlotForm
) -> None:
    document.apply("x", edits.add_feed, "Main fuse")
    document.apply("y", edits.change_slot, "slot-2", feed_class="permanent", feed=None)
    box = form.findChild(QComboBox, "slot_feed")
    words = [box.itemText(row) for row in range(box.count())]
    assert words == ["Not known", "Straight from the battery", "Main fuse"]
    assert box.currentText() == "Not known"
    choose(form, "slot_feed", "Straight")
    assert slot(document).feed == BATTERY


def test_a_switched_slot_is_not_offered_the_battery(document: Document, form: SlotForm) -> None:
    document.apply("x", edits.change_slot, "slot-2", feed_class="permanent", feed=BATTERY)
    choose(form, "slot_feed_class", "Ignition")
    box = form.findChild(QComboBox, "slot_feed")
    assert box.findText("Straight from the battery") == -1
    assert (box.currentText(), slot(document).feed) == ("Not known", None)


BOUNDED = {
    "own_load": StateLoads(asleep=0.0, ignition=7.44),
    "own_most": StateLoads(asleep=0.204, ignition=11.3),
}


def test_a_load_that_a_reading_only_bounds_is_not_shown_as_nothing(
    document: Document, form: SlotForm
) -> None:
    document.apply("x", edits.change_slot, "slot-2", feed_class="permanent", **BOUNDED)
    asleep = line(form, "slot_load_asleep")
    assert (asleep.text(), asleep.placeholderText()) == ("", "0 to 0.204")
    assert line(form, "slot_load_ignition").text() == "7.44"
    assert line(form, "slot_load_running").placeholderText() == "not measured"
    told = form._most.text().replace(NARROW_SPACE, " ")
    assert told.endswith("Asleep: 0 to 0.204 A; Ignition on: 7.44 to 11.3 A")
    cell = form.currents.model.rows()[STATES.index("asleep")][1]
    assert cell == f"0 to 0.204{NARROW_SPACE}A"


def test_a_load_typed_over_a_bound_is_that_load(document: Document, form: SlotForm) -> None:
    document.apply("x", edits.change_slot, "slot-2", feed_class="permanent", **BOUNDED)
    type_into(form, "slot_load_asleep", "0")
    assert (slot(document).own_load.asleep, slot(document).own_most.asleep) == (0.0, None)
    assert slot(document).own_most.ignition == 11.3
    assert line(form, "slot_load_asleep").text() == "0"
    type_into(form, "slot_load_ignition", "")
    assert slot(document).own_most == StateLoads()
    assert not form._most.isVisible()


# --- currents -----------------------------------------------------------------------------------


def known(cell: float | str) -> float:
    """What is known of a current: the number, or the first of its two ends [A]."""
    return cell if isinstance(cell, float) else float(cell.split()[0])


def test_the_currents_are_those_of_the_assessment(document: Document, form: SlotForm) -> None:
    document.apply("x", edits.place, "accessory-2", slot="slot-2")
    figures = document.assessment.slots
    column = figures.index["slot-2"]
    rows = form.currents.model.rows()
    shown = (figures.own_a, figures.accessory_a, figures.host_a, figures.live_contact_a)
    for row in range(len(STATES)):
        for place, currents in enumerate(shown, start=1):
            # two ends are said to three digits
            assert known(rows[row][place]) == pytest.approx(currents[row, column], rel=0.005)
    assert rows[-1][3] == pytest.approx(figures.host_limit_a[column])
    running = STATES.index("running")
    assert known(rows[running][4]) > known(rows[running][3]) + 2


def test_a_tap_the_wrong_way_round_loads_the_host_fuse_with_both(
    document: Document, form: SlotForm
) -> None:
    document.apply("x", edits.place, "accessory-2", slot="slot-2", way_round="load_side")
    own, drawn, host = form.currents.model.rows()[STATES.index("running")][1:4]
    assert known(host) == pytest.approx(known(own) + known(drawn), rel=0.005)


def test_what_was_not_measured_says_so_and_is_left_blank_in_the_table(
    document: Document, form: SlotForm
) -> None:
    loads = replace(slot(document).own_load, running=None)
    document.apply("x", edits.change_slot, "slot-2", own_load=loads)
    running = STATES.index("running")
    assert shown(form, running, 0) == "not measured"
    assert form.currents.model.rows()[running][1] is None


def test_a_limit_that_is_passed_is_said_in_a_word(document: Document, form: SlotForm) -> None:
    loads = replace(slot(document).own_load, running=14.0)
    document.apply("x", edits.change_slot, "slot-2", own_load=loads)
    running = STATES.index("running")
    assert shown(form, running, 2) == "14 A over!"
    assert "over" not in shown(form, STATES.index("ignition"), 2)


def test_the_table_is_copied_with_units_in_its_header(form: SlotForm) -> None:
    QTest.mouseClick(form.findChild(QPushButton, "slotCurrentsCopy"), Qt.MouseButton.LeftButton)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0].split("\t")[:3] == ["State", "Own load [A]", "Tapped [A]"]
    assert lines[5].split("\t")[:2] == ["Engine running", "3.0"]
    assert lines[6].startswith("Limit\t\t\t")


def test_the_table_keeps_qts_rules(form: SlotForm, qtmodeltester: Any) -> None:
    qtmodeltester.check(form.currents.model, force_py=True)


def test_every_field_has_a_name_for_screen_readers(form: SlotForm) -> None:
    kinds = (QLineEdit, QComboBox, QCheckBox, QPlainTextEdit)
    fields: list[QWidget] = [field for kind in kinds for field in form.findChildren(kind)]
    named = [field for field in fields if field.objectName().startswith("slot")]
    assert len(named) >= 18
    assert all(field.accessibleName() for field in named)


@pytest.mark.parametrize("wide", [300, 700])
def test_no_row_of_the_table_is_cut_however_narrow_the_pane(
    form: SlotForm, qtbot: Any, wide: int
) -> None:
    form.resize(wide, 900)
    view = form.currents.view
    columns = view.horizontalHeader().length()
    fits = wide == 700
    qtbot.waitUntil(lambda: (columns <= view.viewport().width()) == fits)
    qtbot.waitUntil(lambda: view.horizontalScrollBar().isVisible() != fits)
    qtbot.waitUntil(lambda: view.verticalHeader().length() <= view.viewport().height())


def test_the_form_asks_about_a_name_and_takes_the_written_answer(
    form: SlotForm, document: Document
) -> None:
    assert not line(form, "slot_harmless").isVisible()
    document.apply("name", edits.change_slot, "slot-2", circuit="Airbag", critical=False)
    form.refresh()
    assert line(form, "slot_harmless").isVisible()
    type_into(form, "slot_harmless", "x")
    assert slot(document).harmless == ""
    type_into(form, "slot_harmless", "air bed pump, traced")
    assert slot(document).harmless == "air bed pump, traced"
    assert unanswered(slot(document)) == {}
    assert line(form, "slot_harmless").isVisible(), "the answer can be read and taken back"


def test_what_a_circuit_is_can_be_answered_in_the_form(form: SlotForm, document: Document) -> None:
    document.apply("name", edits.change_slot, "slot-2", circuit="Xyz 4", critical=False)
    form.refresh()
    field = form.findChild(QComboBox, "slot_function")
    assert field is not None
    assert field.isVisible()
    assert "offered last" in form._taken_for.text()
    field.setCurrentIndex(field.findText("Comfort"))
    field.activated.emit(field.currentIndex())
    assert slot(document).function == "comfort"
    assert form._taken_for.text() == ""
    document.apply("mark", edits.change_slot, "slot-2", critical=True)
    form.refresh()
    assert not field.isVisible(), "the mark is the answer"
