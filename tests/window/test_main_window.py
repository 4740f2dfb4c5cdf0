"""The main window: what is asked before work is lost, what files do, where the keyboard is."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QPalette
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QFileDialog,
    QLineEdit,
    QMessageBox,
    QWidget,
)

from fusemap.files import read_vehicle, write_vehicle
from fusemap.files.demos import demo_names, read_demo
from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.findings.groups import grouped
from fusemap.window.frame.job_state import JobState
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.lid_questions import AddPanelDialog
from fusemap.window.settings import Settings

Button = QMessageBox.StandardButton


@pytest.fixture
def van() -> Vehicle:
    return edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 3)


@pytest.fixture
def van_file(tmp_path: Path, van: Vehicle) -> Path:
    path = tmp_path / "van.fusemap"
    write_vehicle(path, van)
    return path


def rename(window: MainWindow, name: str = "Bus") -> None:
    window.document.apply("Rename", edits.change_vehicle, name=name)


def question(window: MainWindow) -> QMessageBox | None:
    boxes = window.findChildren(QMessageBox, "unsavedQuestion")
    return next((box for box in boxes if box.isVisible()), None)


def answer(window: MainWindow, qtbot: Any, button: Button) -> None:
    box = question(window)
    assert box is not None
    qtbot.mouseClick(box.button(button), Qt.MouseButton.LeftButton)


def choose_file(window: MainWindow, path: Path) -> None:
    """What the user does in the file dialog."""
    (dialog,) = (d for d in window.findChildren(QFileDialog) if d.isVisible())
    dialog.fileSelected.emit(str(path))
    dialog.close()


# --- the start -----------------------------------------------------------------------------------


def test_a_window_without_a_vehicle_asks_what_is_to_be_done(window: MainWindow) -> None:
    assert window.pages.currentWidget() is window.start
    assert window.start.doors.doors[0].hasFocus()
    assert not window.actions_.by_key["save"].isEnabled()
    assert window.windowTitle() == "fusemap"


def test_rows_and_columns_typed_make_a_panel(window: MainWindow, qtbot: Any) -> None:
    window.actions_.trigger("new")
    new = window.start.new
    assert new.rows.hasFocus()
    for field, text in ((new.rows, "3"), (new.columns, "5")):
        field.selectAll()
        qtbot.keyClicks(field, text)
    qtbot.keyClicks(new.name, "Blue van")
    qtbot.keyClick(new.name, Qt.Key.Key_Return)
    (panel,) = window.document.vehicle.panels
    assert (panel.rows, panel.columns, len(panel.slots)) == (3, 5, 15)
    assert {slot.family for slot in panel.slots} == {"mini"}
    assert window.document.vehicle.name == "Blue van"
    assert window.pages.currentWidget() is window.work
    assert window.document.modified


def test_every_demo_vehicle_is_one_click_away(window: MainWindow, qtbot: Any) -> None:
    assert len(demo_names()) == 5
    for key, _ in demo_names():
        window.show_start()
        button = window.start.findChild(QAbstractButton, f"demo_{key}")
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
        assert window.document.vehicle == read_demo(key)
        assert window.document.path is None
        assert not window.document.modified
        QApplication.sendPostedEvents()


def test_going_to_the_start_page_and_back_keeps_the_vehicle(
    window: MainWindow, van: Vehicle, qtbot: Any
) -> None:
    window.document.set_vehicle(van)
    window.actions_.trigger("new")
    assert window.pages.currentWidget() is window.start
    qtbot.mouseClick(window.start.new.back_button, Qt.MouseButton.LeftButton)
    assert window.pages.currentWidget() is window.work
    assert window.document.vehicle is van


# --- files ---------------------------------------------------------------------------------------


def test_opening_shows_the_file_in_the_title_and_among_the_recent(
    window: MainWindow, van_file: Path, van: Vehicle
) -> None:
    window.actions_.trigger("open")
    choose_file(window, van_file)
    assert window.document.vehicle == van
    assert window.windowTitle() == "van.fusemap[*] – fusemap"
    assert not window.isWindowModified()
    assert Settings().recent == (van_file,)


def test_an_edit_marks_the_title_and_saving_takes_the_mark_away(
    window: MainWindow, van_file: Path
) -> None:
    window.files.open_path(van_file)
    rename(window)
    assert window.isWindowModified()
    window.actions_.trigger("save")
    assert not window.isWindowModified()
    assert read_vehicle(van_file).name == "Bus"


def test_saving_a_new_vehicle_asks_where(window: MainWindow, van: Vehicle, tmp_path: Path) -> None:
    window.document.set_vehicle(van, unsaved=True)
    window.actions_.trigger("save")
    choose_file(window, tmp_path / "new.fusemap")
    assert read_vehicle(tmp_path / "new.fusemap") == van
    assert window.document.path == tmp_path / "new.fusemap"
    assert "new.fusemap" in window.message.text


@pytest.mark.parametrize(
    ("content", "said"),
    [("{", "line 1"), ("", "empty"), ('{"format": "fusemap vehicle", "version": 999}', "newer")],
)
def test_a_file_that_cannot_be_read_costs_nothing(
    window: MainWindow, van: Vehicle, tmp_path: Path, content: str, said: str
) -> None:
    window.document.set_vehicle(van)
    broken = tmp_path / "broken.fusemap"
    broken.write_text(content)
    window.files.open_path(broken)
    assert window.document.vehicle is van
    assert "broken.fusemap" in window.message.text
    assert said in window.message.text


def test_a_recent_file_that_is_gone_is_told_and_forgotten(
    window: MainWindow, van: Vehicle, van_file: Path
) -> None:
    window.files.open_path(van_file)
    van_file.unlink()
    window.files.open_path(van_file)
    assert "no such file" in window.message.text
    assert Settings().recent == ()
    assert window.document.vehicle == van


def test_a_place_that_cannot_be_written_to_keeps_the_edits(
    window: MainWindow, van: Vehicle, tmp_path: Path
) -> None:
    window.document.set_vehicle(van, tmp_path / "no folder" / "van.fusemap")
    rename(window)
    window.actions_.trigger("save")
    assert window.document.modified
    assert window.document.vehicle.name == "Bus"
    assert "not saved" in window.message.text


# --- unsaved work --------------------------------------------------------------------------------


def test_closing_without_changes_asks_nothing(window: MainWindow, van_file: Path) -> None:
    window.files.open_path(van_file)
    assert window.close()
    assert question(window) is None


def test_closing_with_changes_asks_and_cancel_stays(
    window: MainWindow, van_file: Path, qtbot: Any
) -> None:
    window.files.open_path(van_file)
    rename(window)
    assert not window.close()
    answer(window, qtbot, Button.Cancel)
    assert window.isVisible()
    assert window.document.vehicle.name == "Bus"


def test_closing_with_discard_leaves_the_file_as_it_was(
    window: MainWindow, van_file: Path, qtbot: Any
) -> None:
    window.files.open_path(van_file)
    rename(window)
    window.close()
    answer(window, qtbot, Button.Discard)
    assert not window.isVisible()
    assert read_vehicle(van_file).name == "Van"


def test_closing_with_save_saves_and_closes(window: MainWindow, van_file: Path, qtbot: Any) -> None:
    window.files.open_path(van_file)
    rename(window)
    window.close()
    answer(window, qtbot, Button.Save)
    assert not window.isVisible()
    assert read_vehicle(van_file).name == "Bus"


def test_a_failed_save_does_not_close(
    window: MainWindow, van: Vehicle, tmp_path: Path, qtbot: Any
) -> None:
    window.document.set_vehicle(van, tmp_path / "no folder" / "van.fusemap")
    rename(window)
    window.close()
    answer(window, qtbot, Button.Save)
    assert window.isVisible()
    assert window.document.vehicle.name == "Bus"


def test_opening_another_vehicle_asks_first(
    window: MainWindow, van: Vehicle, van_file: Path, qtbot: Any
) -> None:
    window.document.set_vehicle(van, unsaved=True)
    rename(window)
    window.files.open_path(van_file)
    assert window.document.vehicle.name == "Bus"
    answer(window, qtbot, Button.Discard)
    assert window.document.path == van_file


# --- messages and history ------------------------------------------------------------------------


def test_a_refused_edit_is_told_below_and_goes_with_the_next_that_works(
    window: MainWindow, van: Vehicle
) -> None:
    window.document.set_vehicle(van)
    window.document.apply("Add", edits.add_slot, "panel-1", 0, 0)
    assert window.message.isVisible()
    assert "The place is taken by F1" in window.message.text
    assert "Choose a free place." in window.message.text
    rename(window)
    assert not window.message.isVisible()


def test_escape_takes_the_message_away(window: MainWindow, van: Vehicle, qtbot: Any) -> None:
    window.document.set_vehicle(van)
    window.document.apply("Add", edits.add_slot, "panel-1", 0, 0)
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert not window.message.isVisible()


def dropped(window: MainWindow, *paths: Path) -> bool:
    """Drop files on the window, from where both copying and moving is offered."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    actions = Qt.DropAction.CopyAction | Qt.DropAction.MoveAction
    button, held = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier
    entered = QDragEnterEvent(QPoint(9, 9), actions, mime, button, held)
    QApplication.sendEvent(window, entered)
    if not entered.isAccepted():
        return False
    event = QDropEvent(QPointF(9, 9), actions, mime, button, held)
    QApplication.sendEvent(window, event)
    assert event.dropAction() == Qt.DropAction.CopyAction
    return event.isAccepted()


def test_a_vehicle_file_dropped_on_the_window_is_opened(
    window: MainWindow, van: Vehicle, van_file: Path, tmp_path: Path, qtbot: Any
) -> None:
    assert dropped(window, van_file)
    assert window.document.vehicle == van
    assert window.document.path == van_file
    rename(window)
    assert dropped(window, van_file), "asks first, as the menu does"
    answer(window, qtbot, Button.Cancel)
    assert window.document.vehicle.name != van.name


def test_whatever_else_is_dropped_is_refused_in_words_and_nothing_is_asked(
    window: MainWindow, van: Vehicle, van_file: Path, tmp_path: Path
) -> None:
    window.document.set_vehicle(van, van_file)
    rename(window)
    mine = window.document.vehicle
    notes, lid = tmp_path / "notes.txt", tmp_path / "lid.png"
    notes.write_text("x")
    lid.write_bytes(b"")
    for paths, what, do in (
        ([notes], "notes.txt: it is not a vehicle file", "Choose a vehicle file"),
        ([tmp_path], f"{tmp_path.name}: this is a folder", "Open it and drop one vehicle file"),
        ([van_file] * 30, "30 files cannot be opened at once", "Drop one vehicle file"),
        ([lid], "lid.png: this is a picture", "Drop it onto the lid"),
    ):
        window.message.clear()
        assert dropped(window, *paths)
        assert what in window.message.text
        assert do in window.message.text
        assert window.findChildren(QMessageBox) == [], "what cannot be opened asks nothing"
        assert window.document.vehicle is mine


def test_the_verdict_says_nothing_before_the_checks_have_run(
    window: MainWindow, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.files.open_demo("")
    cells = window.frame_.verdict.cells
    assert not any(cell.reckoned for cell in cells.values())
    assert [cell.figure for cell in cells.values()] == ["", "", ""]
    assert not window.frame_.rail.next.isEnabled()
    qtbot.waitUntil(lambda: all(cell.reckoned for cell in cells.values()))
    assert cells["holds"].verdict == "fails"
    assert "%" in cells["holds"].figure
    monkeypatch.setattr(JobState, "_find_now", lambda state: None)  # nothing new comes meanwhile
    rename(window)
    assert window.frame_.state.job is None, "never an old figure"
    qtbot.waitUntil(lambda: not any(cell.reckoned for cell in cells.values()))


def test_undo_and_redo_say_what_they_would_do(window: MainWindow, van: Vehicle, qtbot: Any) -> None:
    window.document.set_vehicle(van)
    undo, redo = window.actions_.by_key["undo"], window.actions_.by_key["redo"]
    assert not undo.isEnabled()
    window.document.apply("Put camera on F12", edits.change_vehicle, name="Bus")
    assert undo.isEnabled(), "at once; its name follows what is painted"
    qtbot.waitUntil(lambda: undo.text() == "&Undo: Put camera on F12")
    undo.trigger()
    assert window.document.vehicle is van
    qtbot.waitUntil(lambda: redo.text() == "&Redo: Put camera on F12")
    assert not undo.isEnabled()


def test_the_step_to_undo_is_named_in_the_language_chosen_after_it(
    window: MainWindow, qtbot: Any
) -> None:
    window.files.open_demo("")
    window.document.select("accessory", window.document.vehicle.accessories[0].id)
    window.accessories.remove()
    qtbot.waitUntil(lambda: window.actions_.by_key["undo"].text().startswith("&Undo: Remove "))
    window.look.set_language("de")
    try:
        assert window.actions_.by_key["undo"].text().endswith(" entfernen")
    finally:
        window.look.set_language("en")


# --- panels --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("action", "rows", "columns", "place"),
    [
        ("row_above", 3, 3, (2, 1)),
        ("row_below", 3, 3, (1, 1)),
        ("column_left", 2, 4, (1, 2)),
        ("column_right", 2, 4, (1, 1)),
    ],
)
def test_lines_are_added_beside_the_selected_slot(
    window: MainWindow,
    van: Vehicle,
    action: str,
    rows: int,
    columns: int,
    place: tuple[int, int],
) -> None:
    window.document.set_vehicle(van)
    window.document.select("slot", "slot-5")
    window.actions_.trigger(action)
    (panel,) = window.document.vehicle.panels
    assert (panel.rows, panel.columns) == (rows, columns)
    (slot,) = (slot for slot in panel.slots if slot.id == "slot-5")
    assert (slot.row, slot.column) == place


def test_a_line_goes_with_its_slots(window: MainWindow, van: Vehicle) -> None:
    window.document.set_vehicle(van)
    window.document.select("slot", "slot-5")
    window.actions_.trigger("remove_row")
    assert [s.label for s in window.document.vehicle.panels[0].slots] == ["F1", "F2", "F3"]
    window.document.stack.undo()
    window.document.select("slot", "slot-5")
    window.actions_.trigger("remove_column")
    labels = [s.label for s in window.document.vehicle.panels[0].slots]
    assert labels == ["F1", "F3", "F4", "F6"]


def test_a_slot_goes_and_comes_back_in_the_gap(window: MainWindow, van: Vehicle) -> None:
    window.document.set_vehicle(van)
    window.document.select("slot", "slot-2")
    window.actions_.trigger("remove_slot")
    assert len(window.document.vehicle.panels[0].slots) == 5
    window.actions_.trigger("add_slot")
    assert len(window.document.vehicle.panels[0].slots) == 6


def test_a_panel_is_added_shown_and_removed(window: MainWindow, van: Vehicle, qtbot: Any) -> None:
    window.document.set_vehicle(van)
    window.actions_.trigger("add_panel")
    dialog = window.findChild(AddPanelDialog)
    assert dialog is not None
    qtbot.keyClicks(dialog.questions.rows, "2")
    qtbot.keyClick(dialog.questions.columns, Qt.Key.Key_Return)
    assert [slot.label for slot in window.document.vehicle.panels[1].slots][:2] == ["F7", "F8"]
    assert len(window.document.vehicle.panels) == 2
    assert window.panels.panel == window.document.vehicle.panels[1]
    assert window.work is not None
    assert window.work.focused_pane() == "panel"
    window.actions_.trigger("remove_panel")
    assert [panel.name for panel in window.document.vehicle.panels] == ["Cabin"]


# --- the parts of the window ---------------------------------------------------------------------


@pytest.mark.parametrize("page", ["vehicle", "battery", "parking", "feed", "rules"])
def test_every_page_can_be_reached_from_the_menu(window: MainWindow, page: str) -> None:
    window.files.open_demo("")
    window.actions_.trigger({"feed": "feeds"}.get(page, page))
    assert window.work is not None
    assert window.work.details.page_name == page
    assert window.work.focused_pane() == "details"


@pytest.mark.parametrize("pane", ["panel", "details", "shelf", "findings", "parked"])
def test_every_part_of_the_window_can_be_reached_by_keyboard(
    window: MainWindow, pane: str, qtbot: Any
) -> None:
    window.files.open_demo("")
    digits = {"panel": 1, "details": 8, "shelf": 9, "findings": 7, "parked": 4}
    digit = Qt.Key(Qt.Key.Key_0 + digits[pane])
    qtbot.keyClick(window, digit, Qt.KeyboardModifier.AltModifier)
    assert window.work is not None
    assert window.work.focused_pane() == pane


def test_f6_goes_round_all_parts_and_back(window: MainWindow, qtbot: Any) -> None:
    window.files.open_demo("")
    window.focus_pane("panel")
    assert window.work is not None
    seen = []
    for _ in range(3):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F6)
        seen.append(window.work.focused_pane())
    assert seen == ["chosen", "shelf", "panel"]
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F6, Qt.KeyboardModifier.ShiftModifier)
    assert window.work.focused_pane() == "shelf"


def test_f8_goes_through_the_findings_and_selects_their_places(
    window: MainWindow, qtbot: Any
) -> None:
    window.files.open_demo("")
    found = grouped(window.document.findings)
    assert len(found) > 2
    places = []
    for _ in found[:3]:
        qtbot.keyClick(window, Qt.Key.Key_F8)
        selection = window.document.selection
        assert selection is not None
        places.append((selection.kind, selection.id))
    assert places == [(f.place, f.place_id) for f in found[:3]]


def test_a_click_on_a_slot_shows_it_in_the_details(window: MainWindow, qtbot: Any) -> None:
    window.files.open_demo("")
    view = window.panels.view
    assert view is not None
    slot = window.document.vehicle.panels[0].slots[1]
    cell = view.visualRect(view.panel_model.index_of(slot.id)).center()
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=cell)
    assert window.work is not None
    assert window.work.details.page_name == "slot"
    texts = [field.text() for field in window.work.details.findChildren(QLineEdit)]
    assert slot.circuit in texts


# --- look ----------------------------------------------------------------------------------------


def test_the_theme_changes_at_once_and_is_kept(window: MainWindow) -> None:
    window.files.open_demo("")
    window.document.select("slot", window.document.vehicle.panels[0].slots[0].id)
    rename(window)
    before = window.document.vehicle, window.document.selection
    window.actions_.trigger("theme_dark")
    assert window.look.theme.name == "dark"
    assert Settings().kept.theme == "dark"
    assert (window.document.vehicle, window.document.selection) == before
    assert window.document.stack.canUndo()
    assert window.pages.currentWidget() is window.work
    window.actions_.trigger("theme_light")
    assert window.palette().color(QPalette.ColorRole.Base).name() == "#ffffff"


def test_views_made_anew_leave_no_old_ones_listening(window: MainWindow, qtbot: Any) -> None:
    window.files.open_demo("")
    old = window.work
    assert old is not None
    with qtbot.waitSignal(old.destroyed):
        window.actions_.trigger("theme_dark")
    rename(window)
    assert window.message.text == ""


def test_ground_is_said_where_the_user_says_ground(window: MainWindow) -> None:
    window.files.open_demo("")
    window.actions_.trigger("word_ground")
    try:
        assert QApplication.translate("Any", "Earth point") == "Ground point"
        assert QApplication.translate("Any", "Slot") == "Slot"
        assert Settings().kept.earth_word == "ground"
    finally:
        window.actions_.trigger("word_earth")
    assert QApplication.translate("Any", "Earth point") == "Earth point"


def test_sizes_are_kept_between_starts(make: Callable[[], MainWindow], qtbot: Any) -> None:
    first = make()
    first.show()
    first.files.open_demo("")
    assert first.work is not None
    shares = []
    for width in (1250, 790):
        first.resize(width, 700)
        qtbot.wait(20)
        split = first.work.lid.split
        split.moveSplitter(sum(split.sizes()) // 2, 1)
        shares.append(split.sizes()[0] / sum(split.sizes()))
    first.document.stack.setClean()
    first.close()
    second = make()
    assert second.size() == first.size()
    second.show()
    second.files.open_demo("")
    assert second.work is not None
    for width, share in zip((1250, 790), shares, strict=True):
        second.resize(width, 700)
        qtbot.wait(20)
        split = second.work.lid.split
        assert split.orientation() is (
            Qt.Orientation.Horizontal if width > 1200 else Qt.Orientation.Vertical
        )
        again = split.sizes()[0] / sum(split.sizes())
        assert again == pytest.approx(share, abs=0.05)
        assert again < 0.6, "as dragged, not as at the first start"


def test_everything_that_takes_the_keyboard_is_named_for_a_screen_reader(
    window: MainWindow,
) -> None:
    window.files.open_demo("")
    for page in ("vehicle", "battery", "parking", "feed", "rules"):
        window.show_page(page)
    for pane in ("shelf", "findings", "parked"):
        window.focus_pane(pane)
    nameless = [
        (type(widget).__name__, widget.objectName())
        for widget in window.findChildren(QWidget)
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        and widget.window() is window
        and not widget.objectName().startswith("qt_")
        and not (widget.accessibleName() or getattr(widget, "text", str)())
        and not widget.focusProxy()
    ]
    assert nameless == []


def test_about_carries_the_cautions(window: MainWindow, qtbot: Any) -> None:
    window.actions_.trigger("about")
    text = window.findChild(QWidget, "aboutPageText").toPlainText()  # type: ignore[attr-defined]
    for word in ("orange", "airbag", "larger fuse", "this one vehicle"):
        assert word in text.lower()


def test_the_shortcut_sheet_shows_every_shortcut(window: MainWindow) -> None:
    window.actions_.trigger("shortcuts")
    text = window.findChild(QWidget, "shortcutSheetText").toPlainText()  # type: ignore[attr-defined]
    for key in ("Ctrl+S", "F6", "F8", "Alt+4", "Ctrl+Return", "Shift+F2"):
        assert key in text


@pytest.mark.skipif(os.name == "nt", reason="names are no bytes on Windows")
def test_a_file_whose_name_is_no_text_is_opened_saved_and_found_again(
    make: Callable[[], MainWindow], tmp_path: Path, van: Vehicle
) -> None:
    path = tmp_path / os.fsdecode(b"K\xfcbel.fusemap")
    write_vehicle(path, van)
    window = make()
    window.files.open_path(path)
    rename(window)
    window.files.save()
    assert read_vehicle(path).name == "Bus"
    assert "Saved" in window.message.text
    window.close()
    again = make()
    assert [recent for _, recent in again.files.recent()] == [path]
    again.show_start()
    again.files.open_path(path)
    assert again.document.path == path


def test_a_demo_vehicle_speaks_the_language_of_the_window(qtbot: Any) -> None:
    settings = Settings()
    settings.kept.language = "de"
    window = MainWindow(Document(), settings)
    qtbot.addWidget(window)
    window.show_start()
    button = window.start.findChild(QAbstractButton, "demo_light_truck")
    assert "Leichter Lkw" in (button.text() or button.accessibleName())
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert window.document.vehicle == read_demo("light_truck", "de")
    assert not window.document.modified
    window.look.set_language("en")
    assert window.document.vehicle.name == "Leichter Lkw", "a name from then on"


def test_the_link_to_one_start_leads_to_where_it_is_followed(window: Any) -> None:
    """From the standing, straight onto the stage, not to a form."""
    window.files.open_demo("light_truck")
    window.work.probe_wanted.emit("start", "", "")
    assert window.tasks.shown == "crank"


def test_what_is_typed_and_not_entered_is_asked_about_at_the_cross(
    window: MainWindow, van: Vehicle, van_file: Path, qtbot: Any
) -> None:
    window.document.set_vehicle(van, van_file)
    window.actions_.trigger("battery")
    field = window.findChild(QLineEdit, "battery_capacity_ah")
    field.setFocus()
    qtbot.keyClicks(field, "77")
    assert not window.document.modified
    window.close()
    assert window.isVisible()
    answer(window, qtbot, Button.Cancel)
    assert window.isVisible()
    assert window.document.vehicle.battery.capacity_ah == 77
    assert window.focusWidget() is field


def test_what_is_typed_and_not_entered_is_saved_too(
    window: MainWindow, van: Vehicle, van_file: Path, qtbot: Any
) -> None:
    window.document.set_vehicle(van, van_file)
    window.files.hold.take(van_file)
    window.actions_.trigger("battery")
    field = window.findChild(QLineEdit, "battery_capacity_ah")
    field.setFocus()
    qtbot.keyClicks(field, "77")
    window.actions_.trigger("save")
    assert read_vehicle(van_file).battery.capacity_ah == 77
    assert not window.document.modified
