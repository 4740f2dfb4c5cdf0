"""A panel by questions: with the first two numbers alone, or as the lid shows it, by keys."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from fusemap.vehicle import Panel, Vehicle
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.lid_questions import AddPanelDialog, LidQuestions

Key = Qt.Key
SHIFT = Qt.KeyboardModifier.ShiftModifier


class Keys:
    """A keyboard that counts: every press goes to where the focus is."""

    def __init__(self, within: QWidget) -> None:
        self.count = 0
        self._within = within

    def press(self, *keys: Qt.Key | str, times: int = 1) -> None:
        for key in keys * times:
            for each in key if isinstance(key, str) else [key]:
                at = self._within.focusWidget()
                assert at is not None
                QTest.keyClick(at, each)
                self.count += 1

    @property
    def at(self) -> str:
        focused = self._within.focusWidget()
        assert focused is not None
        return focused.objectName()


@pytest.fixture
def window(window: MainWindow) -> MainWindow:
    """The window with the questions about a new vehicle's lid."""
    window.actions_.trigger("new")
    return window


@pytest.fixture
def keys(window: MainWindow) -> Keys:
    return Keys(window)


@pytest.fixture
def questions(window: MainWindow) -> LidQuestions:
    return window.start.new.questions


def panel(window: MainWindow) -> Panel:
    return window.document.vehicle.panels[0]


def families(of: Panel) -> list[list[str]]:
    """The families of a panel, row by row; gaps are empty, relay places say so."""
    rows = [["" for _ in range(of.columns)] for _ in range(of.rows)]
    for slot in of.slots:
        rows[slot.row][slot.column] = slot.family if slot.kind == "fuse" else slot.kind
    return rows


def test_two_numbers_and_enter_are_enough(window: MainWindow, keys: Keys) -> None:
    keys.press("3", Key.Key_Tab, "5", Key.Key_Return)
    made = panel(window)
    assert (made.rows, made.columns) == (3, 5)
    assert [slot.label for slot in made.slots] == [f"F{n}" for n in range(1, 16)]
    assert {(slot.family, slot.kind, slot.orientation) for slot in made.slots} == {
        ("mini", "fuse", "upright")
    }
    assert keys.count == 4


def test_enter_after_the_rows_goes_on_to_the_columns(window: MainWindow, keys: Keys) -> None:
    keys.press("3", Key.Key_Return, "5", Key.Key_Return)
    assert (panel(window).rows, panel(window).columns) == (3, 5)


def test_a_forty_slot_panel_with_two_families_gaps_and_relays_by_keys(
    window: MainWindow, keys: Keys
) -> None:
    """Four rows of eleven: row 1 maxi, two gaps, two relay places, labels as on a maker's lid."""
    keys.press("4", Key.Key_Tab, "11", Key.Key_Tab, Key.Key_Tab, Key.Key_Tab)
    assert keys.at == "newLabels"
    keys.press("F1-F12, F20", Key.Key_Tab, Key.Key_Tab, Key.Key_Tab, Key.Key_Tab)
    assert keys.at == "newName"
    keys.press("Van", Key.Key_Tab)
    assert keys.at == "newRowFamily"
    keys.press("ma", Key.Key_Tab, Key.Key_Tab)
    assert keys.at == "lidPreview"
    keys.press(Key.Key_Down, Key.Key_End, Key.Key_Delete, Key.Key_Left, Key.Key_Delete)
    keys.press(Key.Key_Down, Key.Key_Down, Key.Key_Space, Key.Key_Space)
    keys.press(Key.Key_Right, Key.Key_Space, Key.Key_Space, Key.Key_Tab)
    assert keys.at == "newCreate"
    keys.press(Key.Key_Space)

    made = panel(window)
    assert families(made) == [
        ["maxi"] * 11,
        ["mini"] * 9 + ["", ""],
        ["mini"] * 11,
        ["mini"] * 9 + ["relay", "relay"],
    ]
    fuses = [slot for slot in made.slots if slot.kind == "fuse"]
    assert len(fuses) == 40
    labels = [slot.label for slot in fuses]
    assert labels[:14] == [*(f"F{n}" for n in range(1, 13)), "F20", "F21"]
    assert labels[-1] == "F47"
    assert window.document.vehicle.name == "Van"
    assert keys.count < 50, keys.count
    print(f"\n{keys.count} presses")


def test_a_lid_that_counts_down_the_columns_from_the_right(
    window: MainWindow, keys: Keys, questions: LidQuestions
) -> None:
    keys.press("2", Key.Key_Tab, "3", *[Key.Key_Tab] * 2, "l", *[Key.Key_Tab] * 2)
    assert keys.at == "newAlong"
    keys.press(Key.Key_Down, Key.Key_Tab, Key.Key_Down)
    assert questions.grid.labels[0, 2] == "F1"
    keys.press(Key.Key_Tab, Key.Key_Tab, Key.Key_Return)
    labels = {(slot.row, slot.column): slot.label for slot in panel(window).slots}
    assert labels == {
        (0, 2): "F1", (1, 2): "F2", (0, 1): "F3", (1, 1): "F4", (0, 0): "F5", (1, 0): "F6",
    }  # fmt: skip
    assert {slot.orientation for slot in panel(window).slots} == {"lying"}


def test_no_labels_are_an_answer_too(
    window: MainWindow, keys: Keys, questions: LidQuestions
) -> None:
    questions.labels.setFocus()
    questions.labels.selectAll()
    keys.press(Key.Key_Delete, Key.Key_Return)
    assert {slot.label for slot in panel(window).slots} == {""}


def test_a_series_that_is_none_is_said_at_once_and_makes_nothing(
    window: MainWindow, keys: Keys, questions: LidQuestions
) -> None:
    questions.labels.setFocus()
    questions.labels.selectAll()
    keys.press("F1-R9", Key.Key_Return)
    assert "F1-F12" in questions.summary.text()
    assert window.pages.currentWidget() is window.start
    assert keys.at == "newLabels"


def test_a_click_goes_from_slot_to_gap_to_relay_place_and_back(questions: LidQuestions) -> None:
    at = questions.grid.cell((1, 2)).center().toPoint()
    for kind in ("gap", "relay", None):
        QTest.mouseClick(questions.grid, Qt.MouseButton.LeftButton, pos=at)
        assert questions.lid().kinds.get((1, 2)) == kind


def test_a_drag_makes_a_whole_row_gaps(questions: LidQuestions) -> None:
    grid = questions.grid
    points = [grid.cell((0, column)).center().toPoint() for column in range(4)]
    QTest.mousePress(grid, Qt.MouseButton.LeftButton, pos=points[0])
    for point in points[1:]:
        QTest.mouseMove(grid, point)
    QTest.mouseRelease(grid, Qt.MouseButton.LeftButton, pos=points[-1])
    assert set(questions.lid().kinds) == {(0, column) for column in range(4)}
    QTest.mouseMove(grid, QPoint(1, 1) + points[0])
    assert questions.lid().kinds[0, 0] == "gap"


def test_the_figures_follow_the_lid(questions: LidQuestions, keys: Keys) -> None:
    questions.grid.setFocus()
    keys.press(Key.Key_Delete, Key.Key_Right, Key.Key_Space, Key.Key_Space)
    assert questions.summary.text() == "Fuse slots: 22 · gaps: 1 · relay places: 1"
    questions.labels.setText("F1-F30")
    assert questions.summary.text().endswith("labels too many: 8")
    questions.labels.setText("F1-F20")
    assert questions.summary.text().endswith("without a label: 2")


def test_a_family_of_a_column_is_shown_with_its_row_as_mixed(
    questions: LidQuestions, keys: Keys
) -> None:
    questions.column_family.setFocus()
    keys.press("ma")
    assert [questions.lid().family_at((row, 0)) for row in range(4)] == ["maxi"] * 4
    assert questions.row_family.currentIndex() == -1
    questions.grid.setFocus()
    keys.press(Key.Key_Right)
    assert questions.column_family.currentData() == ""


def test_a_screen_reader_hears_what_is_under_the_cursor(
    questions: LidQuestions, keys: Keys
) -> None:
    questions.grid.setFocus()
    assert questions.grid.accessibleName() == "Lid: row 1, column 1, F1, mini"
    keys.press(Key.Key_Right, Key.Key_Space)
    assert questions.grid.accessibleName() == "Lid: row 1, column 2, gap"


def test_a_further_panel_is_asked_for_in_the_same_way(window: MainWindow, van: Vehicle) -> None:
    window.document.set_vehicle(van)
    window.actions_.trigger("add_panel")
    dialog = window.findChild(AddPanelDialog)
    assert dialog is not None
    keys = Keys(dialog)
    keys.press("1", Key.Key_Return, "3")
    dialog.questions.grid.setFocus()
    keys.press(Key.Key_Delete)
    dialog.place.setCurrentIndex(dialog.place.findData("boot"))
    dialog.name.setFocus()
    dialog.name.selectAll()
    keys.press("Boot")
    add = dialog.findChild(QWidget, "addPanelAdd")
    QTest.mouseClick(add, Qt.MouseButton.LeftButton)
    made = window.document.vehicle.panels[-1]
    assert (made.name, made.place, [slot.label for slot in made.slots]) == (
        "Boot", "boot", ["F11", "F12"],
    )  # fmt: skip
    window.actions_.trigger("undo")
    assert window.document.vehicle.panels == van.panels


# --- one vehicle after the other -----------------------------------------------------------------


def make_one_with_everything(window: MainWindow, keys: Keys) -> None:
    """A vehicle of 3 × 4 at 24 V with a row of another family, a gap and a relay place."""
    new = window.start.new
    new.rows.setValue(3)
    new.columns.setValue(4)
    new.name.setText("Photo car")
    new.system.setCurrentIndex(new.system.findData(24))
    new.questions.labels.setText("K1")
    new.questions.along.setCurrentIndex(1)
    new.questions.corner.setCurrentIndex(3)
    new.questions._make((0, 1), "gap")
    new.questions._make((1, 1), "relay")
    new.questions.grid.setFocus()
    keys.press(Key.Key_Down, times=2)
    row = new.questions.row_family
    row.setCurrentIndex(row.findData("regular"))
    new.button.click()


def test_a_further_new_vehicle_is_asked_for_on_a_fresh_form(window: MainWindow, keys: Keys) -> None:
    fresh, system = window.start.new.questions.lid(), window.start.new.system.currentData()
    make_one_with_everything(window, keys)
    assert families(panel(window))[2] == ["regular"] * 4
    window.actions_.trigger("new")
    new = window.start.new
    assert new.name.text() == ""
    assert new.system.currentData() == system == 12
    assert new.questions.lid() == fresh


def test_the_last_vehicles_lid_can_be_had_again_but_not_its_name(
    window: MainWindow, keys: Keys
) -> None:
    assert not window.start.new.like_button.isVisible()
    make_one_with_everything(window, keys)
    first = panel(window)
    window.document.stack.setClean()
    window.actions_.trigger("new")
    new = window.start.new
    assert new.like_button.isVisible()
    new.like_button.click()
    assert (new.name.text(), new.system.currentData()) == ("", 24)
    assert new.rows.hasFocus()
    new.button.click()
    assert panel(window) == first
    assert window.document.vehicle.name != "Photo car"


def test_what_is_half_answered_stays_while_its_form_is_shown(window: MainWindow) -> None:
    new = window.start.new
    new.name.setText("Blue van")
    window.actions_.trigger("new")
    assert new.name.text() == "Blue van"


# --- what cannot be -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "why"),
    [("999", "999 is too large"), ("abc-7", "is not a number"), ("0", "0 is too small"),
     ("2.5", "2.5 is not a whole number"), ("\b", "it cannot be blank")],
)  # fmt: skip
def test_a_wrong_number_of_rows_stands_as_it_was_typed_and_is_said(
    window: MainWindow, keys: Keys, questions: LidQuestions, typed: str, why: str
) -> None:
    keys.press(*(Key.Key_Backspace if each == "\b" else each for each in typed), Key.Key_Tab)
    assert keys.at == "newColumns"
    assert questions.rows.text() == typed.strip("\b")
    assert why in questions.summary.text()
    assert why in questions.rows.accessibleDescription()
    assert "type a number from 1 to 60" in questions.summary.text()


def test_no_vehicle_is_made_of_a_wrong_number(
    window: MainWindow, keys: Keys, questions: LidQuestions
) -> None:
    keys.press("999", Key.Key_Return)
    assert keys.at == "newRows", "it is typed over there"
    keys.press(Key.Key_Tab, "abc-7", Key.Key_Return)
    assert window.document.vehicle.panels == ()
    window.start.new.button.click()
    assert window.document.vehicle.panels == ()
    assert keys.at == "newRows"
    keys.press("3", Key.Key_Return, "4", Key.Key_Return)
    assert (panel(window).rows, panel(window).columns) == (3, 4)


def test_the_arrows_lead_out_of_a_wrong_number(keys: Keys, questions: LidQuestions) -> None:
    keys.press("999", Key.Key_Up)
    assert questions.rows.text() == "9", "the last that was right"
    assert questions.problem() == ""


@pytest.mark.parametrize("code", ["en", "de", "es", "fr", "nl"])
def test_every_field_begins_at_one_distance_from_the_edge(
    window: MainWindow, qtbot: Any, code: Any
) -> None:
    """Those about the cursor's row and column stand in line with the questions above them."""
    window.look.set_language(code)
    window.show_new()
    window.resize(1366, 768)
    qtbot.wait(40)
    asked = window.start.new.questions
    fields = (asked.rows, asked.family, asked.labels, asked.along, asked.row_family,
              asked.column_family)  # fmt: skip
    assert len({each.mapTo(asked, QPoint()).x() for each in fields}) == 1
    window.look.set_language("en")
