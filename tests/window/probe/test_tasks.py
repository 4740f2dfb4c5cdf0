"""The stages of the job are one key each; tables and maps come in through its menu."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QGuiApplication, QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLabel, QWidget

from fusemap import files
from fusemap.errors import EditRefused
from fusemap.probing import travel
from fusemap.text import say
from fusemap.vehicle import Vehicle, edits, look_up, reading_edits
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.probe.map_travel import NameQuestion
from fusemap.window.probe.reading_tables import PasteDialog
from fusemap.window.settings import Settings
from fusemap.window.style.theme import PROBE
from tests.window.probe.hand import press

CTRL = Qt.KeyboardModifier.ControlModifier
ALT = Qt.KeyboardModifier.AltModifier
STAGES = ("panel", "probe", "plan", "standing", "paper", "check")


@pytest.fixture
def window(twelve: Vehicle, qtbot: Any) -> Iterator[MainWindow]:
    made = MainWindow(Document(), Settings())
    made.tasks.now = lambda: datetime(2025, 5, 17, 18, 30)
    qtbot.addWidget(made, before_close_func=lambda w: w.document.stack.setClean())
    made.document.set_vehicle(twelve)
    made.resize(1200, 800)
    made.show()
    qtbot.waitExposed(made)
    yield made
    made.document.stack.setClean()


def ticked(window: MainWindow) -> list[str]:
    keys = {stage: "stage_panel" if stage == "panel" else stage for stage in STAGES}
    return [stage for stage, key in keys.items() if window.actions_.by_key[key].isChecked()]


def test_where_there_is_no_panel_yet_the_plan_begins_with_an_accessory(
    window: MainWindow, twelve: Vehicle
) -> None:
    window.document.set_vehicle(Vehicle(name="My vehicle"))
    QTest.keyClick(window, Qt.Key.Key_3, ALT)
    assert QApplication.focusWidget() is window.work.shelf.search
    QTest.keyClick(window, Qt.Key.Key_1, ALT)
    assert QApplication.focusWidget().objectName() == "noPanelAdd"
    window.document.set_vehicle(twelve)
    QTest.keyClick(window, Qt.Key.Key_3, ALT)
    assert window.work.panels.isAncestorOf(QApplication.focusWidget())


def ground(window: MainWindow) -> str:
    return window.frame_.palette().color(QPalette.ColorRole.Window).name()


def test_the_stages_are_one_key_each_and_one_is_always_ticked(window: MainWindow) -> None:
    assert ticked(window) == ["panel"], "nothing is on the shelf yet"
    for number in (2, 6, 3, 4, 5, 1):
        stage = STAGES[number - 1]
        QTest.keyClick(window, Qt.Key(Qt.Key.Key_0 + number), ALT)
        assert window.tasks.shown == stage
        assert ticked(window) == [stage]
        filled = [key for key, b in window.frame_.rail.stages.items() if b.isChecked()]
        assert filled == [stage]


def test_the_whole_window_is_dark_beside_the_vehicle_and_only_there(window: MainWindow) -> None:
    usual = ground(window)
    assert usual == window.look.theme.window != PROBE.window
    for stage in ("probe", "check"):
        window.tasks.show(stage)
        assert ground(window) == PROBE.window
        window.tasks.show("plan")
        assert ground(window) == usual


def test_the_menu_of_everything_is_dark_there_too(window: MainWindow) -> None:
    for stage, dark in (("probe", True), ("plan", False), ("check", True)):
        window.tasks.show(stage)
        window.open_menu()
        menu = window.actions_.menu
        image = menu.grab().toImage()
        at = image.rect().adjusted(8, 8, -8, -8).topRight()
        assert (image.pixelColor(at).lightness() < 128) == dark
        menu.close()


def test_a_message_on_the_stage_is_light_on_dark(window: MainWindow) -> None:
    refusal = EditRefused(say("nobody has signed"), remedy=say("enter a name"))
    for stage, dark in (("check", True), ("plan", False)):
        window.tasks.show(stage)
        window.message.show_error(refusal)
        label = window.message.findChild(QLabel, "messageText")
        ink = label.palette().color(QPalette.ColorRole.WindowText)
        assert (ink.lightness() > 128) == dark
        window.message.clear()


def test_a_signature_without_a_name_is_asked_for_where_it_can_be_typed(window: MainWindow) -> None:
    window.tasks.show("check")
    end = window.tasks.check.end
    QTest.keyClick(window.tasks.check, Qt.Key.Key_End)
    QTest.mouseClick(end.sign, Qt.MouseButton.LeftButton)
    assert window.message.text == "Signed by: nobody has signed. Enter a name."
    said = QRect(window.message.mapToGlobal(QPoint()), window.message.size())
    for each in (end.by, end.sign):
        assert not said.intersects(QRect(each.mapToGlobal(QPoint()), each.size()))
    assert window.focusWidget() is end.by


def test_the_cross_on_the_stage_leads_back_to_the_plan(window: MainWindow) -> None:
    for stage in ("probe", "check"):
        window.tasks.show(stage)
        page = getattr(window.tasks, stage)
        QTest.mouseClick(page.frame.leave, Qt.MouseButton.LeftButton)
        assert window.tasks.shown == "plan"


def test_sound_is_on_until_somebody_turns_it_off_and_that_is_kept(window: MainWindow) -> None:
    window.tasks.show("probe")
    window.tasks.show("check")
    probe, check = window.tasks.probe, window.tasks.check
    assert (probe.herald.sound, check.herald.sound) == (True, True)
    QTest.mouseClick(check.frame.sounds, Qt.MouseButton.LeftButton)
    assert (probe.herald.sound, check.herald.sound) == (False, False)
    assert window.tasks._desk.settings.kept.stage_sound is False
    window.tasks.look_again()
    assert window.tasks.check.herald.sound is False


def test_what_was_probed_is_there_when_planning(window: MainWindow) -> None:
    window.tasks.show("probe")
    page = window.tasks.probe
    press(page, "⇟")
    press(page, "1⏎")
    assert look_up.slot(window.document.vehicle, "slot-1").feed_class == "permanent"
    QTest.keyClick(window, Qt.Key.Key_Z, CTRL)
    assert window.document.vehicle.readings == ()
    QTest.keyClick(window, Qt.Key.Key_3, ALT)
    assert window.tasks.shown == "plan"


def test_another_theme_or_vehicle_leaves_no_page_of_the_old_one(
    window: MainWindow, twelve: Vehicle
) -> None:
    window.tasks.show("check")
    first = window.tasks.check
    window.look.set_theme("dark")
    assert window.tasks.shown == "check"
    assert window.tasks.check is not first
    window.tasks.show("probe")
    press(window.tasks.probe, "⇟1")
    window.document.stack.setClean()
    window.document.set_vehicle(edits.change_vehicle(twelve, name="Other"))
    assert window.tasks.shown == "panel"
    window.tasks.show("probe")
    assert window.tasks.probe.session.typed == ""


def test_no_task_before_there_is_a_vehicle(qtbot: Any) -> None:
    made = MainWindow(Document(), Settings())
    qtbot.addWidget(made, before_close_func=lambda w: w.document.stack.setClean())
    made.show()
    assert ticked(made) == []
    assert not made.actions_.by_key["probe"].isEnabled()


class TestPaste:
    @pytest.fixture
    def dialog(self, window: MainWindow) -> PasteDialog:
        QGuiApplication.clipboard().setText("Slot\tAmps\tFunction\nF1\t7,5\tClock\nF99\t10\tWiper")
        dialog = window.tasks.paste_table()
        assert isinstance(dialog, PasteDialog)
        return dialog

    def test_the_preview_names_each_row_and_changes_nothing(
        self, window: MainWindow, dialog: PasteDialog
    ) -> None:
        words = [dialog.table.item(row, 0).text() for row in (1, 2)]
        assert words[0].startswith("F1:")
        assert "F99" in words[1]
        assert "1 cannot be used" in dialog.count.text()
        assert window.document.stack.count() == 0

    def test_taking_in_is_one_step_and_what_was_left_out_is_in_the_history(
        self, window: MainWindow, dialog: PasteDialog
    ) -> None:
        dialog.take.click()
        vehicle = window.document.vehicle
        assert look_up.slot(vehicle, "slot-1").circuit == "Clock"
        assert "F99 | 10 | Wiper" in vehicle.log[-1].text
        assert window.document.stack.count() == 1

    def test_a_column_can_be_said_to_be_something_else(
        self, window: MainWindow, dialog: PasteDialog
    ) -> None:
        box = dialog.table.cellWidget(0, 3)
        assert isinstance(box, QComboBox)
        assert box.currentData() == "circuit"
        box.setCurrentIndex(box.findData("note"))
        box.activated.emit(box.currentIndex())
        dialog.take.click()
        slot = look_up.slot(window.document.vehicle, "slot-1")
        assert (slot.circuit, slot.note) == ("", "Clock")

    def test_nothing_usable_cannot_be_taken_in(self, dialog: PasteDialog) -> None:
        dialog.text.setPlainText("just some words\nand more of them")
        assert not dialog.take.isEnabled()


class TestTravel:
    def test_a_map_goes_out_without_what_is_private_and_comes_in_as_a_word(
        self, window: MainWindow, tmp_path: Path
    ) -> None:
        document = window.document
        document.apply("Note", edits.change_slot, "slot-1", note="secret", circuit="Clock",
                       feed_class="permanent")  # fmt: skip
        path = tmp_path / "map.fusemap"
        window.tasks.travel.write(path, "Kim")
        assert "secret" not in path.read_text(encoding="utf-8")
        document.stack.setClean()
        document.set_vehicle(Vehicle(name="Mine"))
        window.tasks.travel.read(path, "Kim")
        slot = next(look_up.slots(document.vehicle))
        assert (slot.circuit, slot.feed_class) == ("Clock", "unknown")
        assert "permanent by Kim" in travel.verdicts(document.vehicle)[0].words

    def test_a_file_that_is_none_is_told(self, window: MainWindow, tmp_path: Path) -> None:
        path = tmp_path / "map.fusemap"
        path.write_text("{}", encoding="utf-8")
        window.tasks.travel.read(path, "Kim")
        assert "not a vehicle file" in window.message.text

    def test_whose_map_it_is_has_to_be_said(self, window: MainWindow) -> None:
        answered: list[str] = []
        question = NameQuestion(window, "Whose?", "Whose is it?", answered.append)
        question.open()
        question._answered()
        assert question.isVisible()
        QTest.keyClicks(question.name, " Kim ")
        QTest.keyClick(question.name, Qt.Key.Key_Return)
        assert answered == ["Kim"]


class TestReadings:
    def test_a_withdrawn_reading_stays_and_its_conclusion_goes(self, window: MainWindow) -> None:
        document = window.document
        window.tasks.show("probe")
        press(window.tasks.probe, "⇟")
        press(window.tasks.probe, "1⏎-⏎")
        dialog = window.tasks.show_readings()
        found = dialog.findChild(QWidget, "readingsList")
        assert found.model.rowCount() == 2
        found.table.selectRow(1)  # newest first
        found.withdraw.click()
        assert document.vehicle.readings[0].withdrawn
        assert look_up.slot(document.vehicle, "slot-1").feed_class == "unknown"
        assert "withdrawn" in found.model.index(1, 6).data()
        found.withdraw.click()
        assert look_up.slot(document.vehicle, "slot-1").feed_class == "permanent"

    def test_all_readings_are_listed_even_of_slots_that_are_gone(self, window: MainWindow) -> None:
        document = window.document
        document.apply("Read", reading_edits.add_reading, when="2025-05-17", quantity="live",
                       value=1.0, target_id="slot-12")  # fmt: skip
        document.apply("Remove", edits.remove_slot, "slot-12")
        dialog = window.tasks.show_readings()
        model = dialog.findChild(QWidget, "readingsList").model
        assert model.rowCount() == 1
        assert "gone" in model.index(0, 1).data()
        assert model.index(0, 0).data() == "17 May 2025"
        assert files.parse(files.render(document.vehicle)) == document.vehicle


class TestNumbering:
    def test_slots_are_numbered_as_the_lid_does_in_one_step(self, window: MainWindow) -> None:
        dialog = window.tasks.number_slots()
        dialog.prefix.setText("")
        dialog.first.setValue(10)
        dialog.corner.setCurrentIndex(2)
        dialog.along.setCurrentIndex(1)
        assert dialog.table.item(1, 0).text() == "10"
        assert dialog.table.item(0, 0).text() == "11"
        dialog.table.cellClicked.emit(0, 0)  # this one has a label of its own
        assert dialog.table.item(1, 1).text() == "11"
        dialog._give()
        labels = [slot.label for slot in look_up.slots(window.document.vehicle)]
        assert labels[0] == "F1"
        assert labels[6:8] == ["10", "11"]
        assert window.document.stack.count() == 1

    def test_a_lid_of_forty_is_numbered_in_a_handful_of_keys(self, window: MainWindow) -> None:
        window.document.stack.setClean()
        window.document.set_vehicle(edits.add_panel(Vehicle(name="New"), "Dash", 5, 8))
        dialog = window.tasks.number_slots()
        dialog.prefix.setFocus()
        dialog.prefix.selectAll()
        QTest.keyClicks(dialog.prefix, "S")
        QTest.keyClick(dialog.along, Qt.Key.Key_Down)
        QTest.keyClick(dialog.prefix, Qt.Key.Key_Return)
        labels = {(s.row, s.column): s.label for s in look_up.slots(window.document.vehicle)}
        assert [labels[0, 0], labels[1, 0], labels[0, 1], labels[4, 7]] == ["S1", "S2", "S6", "S40"]


def test_a_slot_is_taken_in_hand_from_the_panel(window: MainWindow) -> None:
    """Also at the very beginning, when the whole vehicle would be read first."""
    assert window.work is not None
    slot = window.document.vehicle.panels[0].slots[3]
    window.work.probe_wanted.emit("slot", slot.id, "")
    assert window.tasks.shown == "probe"
    assert window.tasks.probe is not None
    assert window.tasks.probe.session.slot == slot.id
    assert window.tasks.probe.session.round.kind != "whole"
