"""Four doors lead straight to the first useful act; keys are counted as they are pressed."""

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDragEnterEvent, QDropEvent, QFont, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QFileDialog, QPushButton, QWidget

from fusemap.files.demos import read_demo
from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.hunt.words import how_far
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.add_panel import AddPanelDialog
from fusemap.window.parts.cut_label import Cut
from fusemap.window.photo.fit_view import FIRST_CORNERS
from fusemap.window.photo.walk_dialog import WalkDialog
from fusemap.window.settings import Settings
from fusemap.window.start.recent import RecentRow, SaidRow
from fusemap.window.texts.languages import speak

Key = Qt.Key


class Hand:
    """Keys to whatever has the keyboard, counted."""

    def __init__(self) -> None:
        self.keys = 0

    def press(self, *keys: Any) -> None:
        for key in keys:
            for each in key if isinstance(key, str) else (key,):
                at = QApplication.focusWidget()
                assert at is not None
                QTest.keyClick(at, each)
                self.keys += 1
        settle()

    def answer(self, window: MainWindow, key: Any) -> None:
        """A key to the box over the window, which is the active one again then."""
        self.press(key)
        window.activateWindow()
        settle()


def settle() -> None:
    """Let the window turn to its page and put the keyboard there."""
    for _ in range(3):
        QTest.qWait(10)


def at() -> str:
    focused = QApplication.focusWidget()
    assert focused is not None
    return focused.objectName()


@pytest.fixture
def hand() -> Hand:
    return Hand()


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    image = QImage(320, 200, QImage.Format.Format_RGB32)
    image.fill(QColor("#334455"))
    path = tmp_path / "lid.png"
    assert image.save(str(path))
    return path


def test_a_second_vehicle_is_made_by_a_button_that_is_seen(window: MainWindow, qtbot: Any) -> None:
    """What is offered since the first one lies over nothing."""
    window.resize(1200, 800)
    window.show_new()
    new = window.start.new
    qtbot.waitUntil(new.button.isVisible)
    qtbot.mouseClick(new.button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.working)
    window.document.stack.setClean()
    window.show_new()
    qtbot.waitUntil(new.like_button.isVisible)
    settle()
    row = [new.button, new.like_button, new.back_button]
    for before, after in pairwise(row):
        assert after.x() > before.geometry().right()


# --- one key each -------------------------------------------------------------------------------


def test_an_accessory_one_key_and_the_library_is_searched(window: MainWindow, hand: Hand) -> None:
    hand.press("1")
    assert window.working
    assert at() == "shelfSearch"
    assert hand.keys == 1
    hand.press("parking", Key.Key_Return, Key.Key_Return)
    (added,) = window.document.vehicle.accessories
    assert added.kind == "dash_camera_parking", "counted, though there is no panel yet"
    assert hand.keys == 10


def test_a_drain_the_whole_is_read_first_and_then_the_lid_is_asked_about(
    window: MainWindow, hand: Hand
) -> None:
    hand.press("2")
    assert at() == "system12V", "nothing that is read later would tell it"
    hand.answer(window, Key.Key_Return)
    assert window.tasks.shown == "hunt"
    page = window.tasks.hunt
    assert page is not None
    # it is locked, it sleeps already, and the whole vehicle is read
    hand.press(Key.Key_Return, Key.Key_Return, "0.35", Key.Key_Return)
    (reading,) = window.document.vehicle.readings
    assert (reading.quantity, reading.value) == ("inline_current", 0.35)
    assert reading.state == "asleep"
    assert hand.keys == 9
    assert page.step.kind == "lid"
    asked = page.frame.question.accessibleDescription()
    assert asked == "Count the lid’s rows and columns"
    far = how_far(page.hunt, window.document.vehicle)
    assert far == (0, 0), "of how many fuses nobody knows yet"
    assert page.onward is not None
    hand.press(Key.Key_Return)
    dialog = window.findChild(AddPanelDialog)
    assert dialog is not None
    assert at() == dialog.questions.rows.objectName()
    add = dialog.findChild(QPushButton, "addPanelAdd")
    QTest.mouseClick(add, Qt.MouseButton.LeftButton)
    settle()
    assert len(window.document.vehicle.panels) == 1
    assert window.tasks.shown == "hunt"
    assert page.step.kind not in ("lid", "end")
    assert page.hunt.scene.locked_at is not None, "it sleeps on"


def test_a_usual_current_asks_for_no_lid(window: MainWindow, hand: Hand) -> None:
    hand.press("2")
    hand.answer(window, Key.Key_Return)
    hand.press(Key.Key_Return, Key.Key_Return, "0.015", Key.Key_Return)
    assert window.tasks.hunt is not None
    assert window.tasks.hunt.step.kind == "night"


def test_a_drain_of_a_lorry_is_hunted_on_24_v(window: MainWindow, hand: Hand) -> None:
    hand.press("2")
    button = window.findChild(QPushButton, "system24V")
    assert button is not None
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    settle()
    assert window.tasks.shown == "hunt"
    assert window.document.vehicle.system_v == 24


def test_who_does_not_say_the_voltage_is_back_at_the_doors(window: MainWindow, hand: Hand) -> None:
    hand.press("2")
    hand.answer(window, Key.Key_Escape)
    assert at() == "door_accessory"
    assert window.tasks.hunt is None


def test_a_drain_of_the_vehicle_in_hand_is_hunted_at_once(
    window: MainWindow, van: Vehicle, hand: Hand
) -> None:
    window.document.set_vehicle(van)
    settle()
    window.tasks.show("probe")
    window.tasks.probe_at("slot", "slot-2", None)
    window.actions_.trigger("start")
    hand.press("2")
    assert window.document.vehicle is van
    assert window.tasks.shown == "hunt"
    assert window.tasks.hunt is not None
    assert window.tasks.hunt.step.kind == "prepare"
    assert at() == "huntPage"


def test_a_drain_is_hunted_from_the_first_page_with_the_mouse(
    window: MainWindow, van: Vehicle
) -> None:
    window.document.set_vehicle(van)
    settle()
    window.actions_.trigger("start")
    settle()
    QTest.mouseClick(window.start.doors.doors[1], Qt.MouseButton.LeftButton)
    settle()
    page = window.tasks.hunt
    assert page is not None
    for kind in ("wait", "whole"):
        keys = page.frame.picture
        place = next(place for key, place in keys.places() if key.press == "enter")
        QTest.mouseClick(keys, Qt.MouseButton.LeftButton, pos=place.center().toPoint())
        assert page.step.kind == kind


def test_a_photo_the_grid_is_drawn_on_it_and_the_slots_are_read_off_it(
    window: MainWindow, hand: Hand, picture: Path
) -> None:
    hand.press("3")
    (dialog,) = window.findChildren(QFileDialog)
    dialog.fileSelected.emit(str(picture))
    dialog.close()
    window.activateWindow()
    settle()
    drawn = window.start.new.on_photo
    assert drawn is not None
    assert drawn.isVisible()
    hand.press("2", Key.Key_Return, "4", Key.Key_Return)
    assert at() == "lidOnPhoto", "the size is said, now its corners"
    hand.press(Key.Key_Right, Key.Key_Return)
    (panel,) = window.document.vehicle.panels
    assert (panel.rows, panel.columns) == (2, 4)
    assert panel.photo is not None
    assert panel.photo.corners == drawn.corners
    assert panel.photo.top_left.across > FIRST_CORNERS[0].across
    (walk,) = window.findChildren(WalkDialog)
    assert walk.isVisible()
    assert walk.walk.piece.isVisible()


def test_what_is_no_picture_is_said_and_the_doors_stay(
    window: MainWindow, hand: Hand, tmp_path: Path
) -> None:
    path = tmp_path / "lid.jpg"
    path.write_text("no picture")
    window.first.take_photo(window.start, path)
    assert window.message.text
    assert window.start.currentIndex() == 0
    assert window.document.vehicle.panels == ()


def test_a_picture_dropped_on_the_first_page_is_the_photo(
    window: MainWindow, picture: Path
) -> None:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(picture))])
    both = Qt.DropAction.CopyAction | Qt.DropAction.MoveAction
    how = (both, mime, Qt.MouseButton.LeftButton)
    held = Qt.KeyboardModifier.ShiftModifier
    QApplication.sendEvent(window.start, QDragEnterEvent(QPoint(50, 50), *how, held))
    event = QDropEvent(QPointF(50, 50), *how, held)
    QApplication.sendEvent(window.start, event)
    assert event.dropAction() == Qt.DropAction.CopyAction
    assert window.start.new.on_photo is not None
    assert window.start.new.on_photo.isVisible()


def test_only_look_opens_the_demo_with_the_tour(window: MainWindow, hand: Hand) -> None:
    hand.press("4")
    assert window.document.vehicle == read_demo("family_estate")
    assert window.findChild(QWidget, "tourCard") is not None
    assert hand.keys == 1


def test_only_look_speaks_the_language_of_the_window(qtbot: Any) -> None:
    settings = Settings()
    settings.kept.language = "nl"
    window = MainWindow(Document(), settings)
    qtbot.addWidget(window)
    window.show()
    window.start.doors.doors[3].click()
    assert window.document.vehicle == read_demo("family_estate", "nl")
    window.look.set_language("en")


# --- doors as buttons ---------------------------------------------------------------------------


def test_a_click_opens_a_door_as_its_number_does(window: MainWindow, qtbot: Any) -> None:
    qtbot.mouseClick(window.start.doors.doors[0], Qt.MouseButton.LeftButton)
    settle()
    assert at() == "shelfSearch"


def test_the_arrows_go_round_the_doors_and_enter_opens(window: MainWindow, hand: Hand) -> None:
    hand.press(Key.Key_Left)
    assert at() == "door_look"
    hand.press(Key.Key_Right, Key.Key_Right)
    assert at() == "door_drain"
    hand.press(Key.Key_Return)
    hand.press(Key.Key_Return)
    assert window.tasks.shown == "hunt"


def test_back_from_the_questions_is_to_the_doors_and_forgets_what_was_meant(
    window: MainWindow, hand: Hand, picture: Path
) -> None:
    window.first.take_photo(window.start, picture)
    window.start.new.back_button.click()
    assert at() == "door_accessory"
    window.actions_.trigger("new")
    hand.press(Key.Key_Return, Key.Key_Return)
    assert window.tasks.shown == "panel", "nobody asked for the photo any more"


def test_escape_leads_back_from_the_questions_as_well(window: MainWindow, hand: Hand) -> None:
    lid = window.start.findChild(QAbstractButton, "startLid")
    assert lid is not None
    lid.click()
    settle()
    hand.press("7", Key.Key_Escape)
    assert window.start.currentIndex() == 0
    assert at() == "door_accessory"


def test_doors_stand_above_what_was_open(window: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "Blue van.fusemap"
    window.files.open_demo("light_truck")
    window.files._write(path)
    window.actions_.trigger("start")
    settle()
    start = window.start
    row = start.findChild(QAbstractButton, "recent_Blue van")
    lowest = max(door.mapTo(start, QPoint(0, door.height())).y() for door in start.doors.doors)
    assert row.mapTo(start, QPoint(0, 0)).y() > lowest
    row.click()
    assert window.document.path == path


def test_the_doors_wrap_where_there_is_little_room(window: MainWindow) -> None:
    for width, columns in ((1366, 4), (700, 2)):
        window.resize(width, 768)
        settle()
        tops = {door.y() for door in window.start.doors.doors}
        assert len(tops) == 4 // columns, width


# --- before there is a panel ---------------------------------------------------------------------


def test_the_empty_place_of_the_panel_has_the_way_to_one(window: MainWindow, hand: Hand) -> None:
    hand.press("1")
    button = window.work.panels.findChild(QPushButton, "noPanelAdd")
    assert button.isVisible()
    button.click()
    assert window.findChild(QWidget, "newRows") is not None


def test_a_file_to_go_on_with_says_how_far_it_is_and_what_holds(
    window: MainWindow, tmp_path: Path, qtbot: Any
) -> None:
    window.resize(1366, 768)
    path, broken = tmp_path / "Blue van.fusemap", tmp_path / "Broken.fusemap"
    window.files.open_demo("family_estate")
    window.files._write(path)
    broken.write_text("no vehicle", encoding="utf-8")
    window.settings.add_recent(broken)
    window.actions_.trigger("start")
    row = window.start.findChild(RecentRow, "recent_Blue van")
    assert row.stage.text() == "", "nothing is said before it was read"
    qtbot.waitUntil(lambda: row.stage.text() != "", timeout=10000)
    assert row.stage.text() == "Probe: 47 open"
    assert row.holds.words.text().replace("\u202f", " ") == "121–146 %, Does not hold"
    assert "Will not stand 9 days" in row.days.words.text()
    assert "Climate control panel" in row.accessibleDescription()
    other = window.start.findChild(RecentRow, "recent_Broken")
    assert other.stage.text() == other.holds.words.text() == ""


def test_files_of_one_name_are_told_apart_by_their_folders(
    window: MainWindow, tmp_path: Path
) -> None:
    for folder in ("one", "two"):
        (tmp_path / folder).mkdir()
        path = tmp_path / folder / "Van.fusemap"
        window.files.open_demo("light_truck")
        window.files._write(path)
        window.settings.add_recent(path)
    window.actions_.trigger("start")
    names = [row.name.text() for row in window.start.findChildren(RecentRow)]
    assert names[:2] == ["Van (two)", "Van (one)"]


def test_with_nothing_to_go_on_with_the_demo_vehicles_are_rows_with_their_stories(
    window: MainWindow,
) -> None:
    window.settings.kept.recent.clear()
    window.show_start()
    settle()
    rows = [row for row in window.start.findChildren(SaidRow) if row.isVisible()]
    assert len(rows) == 5
    assert len({row.x() for row in rows}) == len({row.height() for row in rows}) == 1
    assert all(row.height() >= 40 for row in rows)
    rows[-1].click()
    assert window.working


def test_what_is_in_hand_and_saved_has_one_row(window: MainWindow, tmp_path: Path) -> None:
    window.files.open_demo("light_truck")
    window.files._write(tmp_path / "Truck.fusemap")
    window.actions_.trigger("start")
    assert not window.start.findChildren(SaidRow, "startBack")
    window.document.apply("Name it", edits.change_vehicle, name="Truck 2")
    window.actions_.trigger("start")
    settle()
    (row,) = (r for r in window.start.findChildren(SaidRow, "startBack") if r.isVisible())
    row.click()
    assert window.working


def test_the_menu_and_the_search_are_reached_from_the_first_page(
    window: MainWindow, qtbot: Any
) -> None:
    start = window.start
    qtbot.mouseClick(start.menu, Qt.MouseButton.LeftButton)
    assert window.actions_.menu.isVisible()
    window.actions_.menu.close()
    find = start.findChild(QPushButton, "startFind")
    qtbot.mouseClick(find, Qt.MouseButton.LeftButton)
    assert window.search.isVisible()
    window.search.close()


def test_no_words_of_a_row_are_cut_without_dots(window: MainWindow) -> None:
    window.settings.kept.recent.clear()
    window.resize(800, 640)
    window.show_start()
    settle()
    row = next(r for r in window.start.findChildren(SaidRow) if r.isVisible())
    words = row.findChild(Cut, "recentWords")
    wide = words.fontMetrics().horizontalAdvance(words.text())
    cut = words.grab().toImage()
    words.setText(words.text() + " and still more of it, and more, and more, and more, and more")
    assert wide < words.width() or words.grab().toImage() == cut, "its end is dots"


def test_the_main_button_is_measured_as_heavy_as_it_is_written(
    window: MainWindow, qtbot: Any
) -> None:
    """Its weight is in its own font: were it in a state of it alone, its words would be cut."""
    window.start.ask_lid()
    settle()
    button = window.start.new.button
    assert button.font().weight() >= QFont.Weight.DemiBold
    words = button.fontMetrics().horizontalAdvance(button.text().replace("&", ""))
    assert button.width() > words + button.fontMetrics().height() / 2


@pytest.mark.parametrize("wide", [1280, 1440, 2560, 3840])
def test_on_a_large_screen_what_belongs_together_stays_together(
    window: MainWindow, wide: int
) -> None:
    """Doors begin where the words above them do, and stand one beside the other."""
    window.resize(wide, 1000)
    window.show_start()
    settle()
    doors = window.start.doors
    lefts = [door.mapTo(window, QPoint(0, 0)).x() for door in doors.doors]
    assert abs(lefts[0] - doors.mapTo(window, QPoint(0, 0)).x()) <= 1
    gaps = [after - before - doors.doors[0].width() for before, after in pairwise(lefts)]
    assert max(gaps) <= 2 * min(gaps)
    assert max(gaps) < 40


@pytest.fixture
def _english_afterwards() -> Iterator[None]:
    yield
    speak("en")


@pytest.mark.usefixtures("_english_afterwards")
def test_the_questions_about_a_lid_go_on_in_another_language(
    window: MainWindow, picture: Path
) -> None:
    """What was typed, right or wrong, the picture with its corners, and what comes after it."""
    window.first.take_photo(window.start, picture)
    new = window.start.new
    new.rows.setValue(2)
    QTest.keyClicks(new.columns, "abc")
    new.name.setText("Blue van")
    drawn = new.on_photo
    assert drawn is not None
    drawn.turn()
    corners = drawn.corners
    window.actions_.trigger("language_de")
    after = window.start.new
    assert after is not new
    assert after.button.text() == "Fahrzeug anlegen"
    assert (after.rows.value(), after.name.text()) == (2, "Blue van")
    assert "abc" in after.columns.text()
    assert after.columns.problem is not None
    assert after.on_photo is not None
    assert after.on_photo.corners == corners
    after.columns.setValue(3)
    after.button.click()
    settle()
    vehicle = window.document.vehicle
    assert vehicle.name == "Blue van"
    assert vehicle.panels[0].photo is not None, "the door still leads on"


@pytest.mark.parametrize("code", ["en", "de", "es", "fr", "nl"])
def test_what_is_said_before_the_demo_vehicles_stands_on_their_line(
    window: MainWindow, qtbot: Any, code: Any
) -> None:
    window.look.set_language(code)
    window.files.open_demo("")
    window.show_start()
    qtbot.wait(30)
    said = window.start._demos_are
    first = window.start._demos.widgets()[0]
    middle = [each.mapTo(window, each.rect().center()).y() for each in (said, first)]
    assert abs(middle[0] - middle[1]) <= 1
    window.look.set_language("en")
