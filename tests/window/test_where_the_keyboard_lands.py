"""A key that goes to a part of the window lands on what the part is for; so does adding."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton

from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.document import Selection
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.add_panel import AddPanelDialog
from tests.window.keyboard_hands import focus, press

Key = Qt.Key
ALT = Qt.KeyboardModifier.AltModifier


def test_alt_7_lands_on_the_list_of_findings_and_down_walks_it(opened: MainWindow) -> None:
    QTest.keyClick(focus(), Key.Key_7, ALT)
    rows = opened.work.findings.list
    assert focus() is rows
    first = rows.currentIndex().row()
    press(Key.Key_Down)
    assert rows.currentIndex().row() == first + 1


def test_alt_4_lands_on_the_chart_and_right_reads_it(opened: MainWindow, qtbot: Any) -> None:
    QTest.keyClick(focus(), Key.Key_4, ALT)
    chart = opened.work.parked.chart
    assert focus() is chart
    qtbot.waitUntil(lambda: not chart.waiting)
    before = chart.cursor_h
    press(Key.Key_Right)
    assert chart.cursor_h > before


def test_the_way_to_fuse_and_cable_lands_on_the_chart_of_fuse_and_cable(opened: MainWindow) -> None:
    opened.document.select("tap", opened.document.vehicle.taps[0].id)
    opened.actions_.trigger("go_band")
    assert focus() is opened.work.band.chart


def test_the_way_to_fuse_and_cable_with_nothing_to_draw_lands_within_its_part(
    opened: MainWindow,
) -> None:
    opened.document.select(None)
    opened.actions_.trigger("go_band")
    assert focus() is not opened.work.band.chart


def test_add_accessory_goes_to_the_search_of_the_library(opened: MainWindow) -> None:
    before = opened.document.vehicle
    opened.work.shelf.search_for("left over")
    opened.actions_.trigger("add_accessory")
    assert opened.document.vehicle is before
    assert focus() is opened.work.shelf.search
    press("cool comp")
    assert opened.work.shelf.search.text() == "cool comp"
    press(Key.Key_Down, Key.Key_Insert)
    added = opened.document.vehicle.accessories[-1]
    assert look_up.accessory(opened.document.vehicle, added.id).kind != ""


def test_a_name_that_nothing_fits_makes_a_new_accessory_and_opens_its_form(
    opened: MainWindow,
) -> None:
    opened.document.select("accessory", opened.document.vehicle.accessories[0].id)
    tabs = opened.work.details.page("accessory")
    tabs.setCurrentIndex(2)  # its sources
    opened.actions_.trigger("add_accessory")
    press("Siren of the roof", Key.Key_Return)
    added = opened.document.vehicle.accessories[-1]
    assert added.name == "Siren of the roof"
    assert opened.document.selection == Selection("accessory", added.id)
    assert opened.work.shelf.search.text() == ""
    assert tabs.currentIndex() == 0
    assert opened.work.focused_pane() == "details"
    assert focus().objectName() == "accessory_name"


def test_a_new_one_is_offered_beside_what_fits_too(opened: MainWindow) -> None:
    shelf = opened.work.shelf
    opened.focus_pane("shelf")
    assert not shelf.new_button.isVisible()
    press("cool")
    assert shelf.kinds.shelf.rows
    assert shelf.new_button.isVisible()
    count = len(opened.document.vehicle.accessories)
    press(Key.Key_Return)  # goes to what fits
    assert len(opened.document.vehicle.accessories) == count
    shelf.new_button.click()
    assert opened.document.vehicle.accessories[-1].name == "cool"


def test_the_same_name_twice_gets_a_number(opened: MainWindow, van: Vehicle) -> None:
    opened.document.set_vehicle(van)
    opened.work.shelf.search_for("Dash cam")
    opened.work.shelf.new_button.click()
    assert opened.document.vehicle.accessories[-1].name == "Dash cam 2"


def test_enter_pushes_the_button_that_has_the_keyboard(opened: MainWindow, qtbot: Any) -> None:
    """The next step leads a newcomer to counting rows and columns: by Enter, as by the mouse."""
    opened.document.set_vehicle(Vehicle(name="Van"))
    opened.tasks.show("panel")
    button = opened.work.panels.findChild(QPushButton, "noPanelAdd")
    button.setFocus()
    press(Key.Key_Return)
    dialog = opened.findChild(AddPanelDialog)
    assert dialog is not None
    dialog.close()


def test_the_next_step_of_an_empty_vehicle_asks_for_rows_and_columns_at_once(
    opened: MainWindow, qtbot: Any
) -> None:
    opened.document.set_vehicle(Vehicle(name="Van"))
    qtbot.waitUntil(lambda: opened.frame_.state.title is not None)
    opened.follow_step()
    dialog = opened.findChild(AddPanelDialog)
    assert dialog is not None
    dialog.close()


def test_a_click_beside_the_cards_leaves_the_keyboard_with_the_panel(
    opened: MainWindow, qtbot: Any
) -> None:
    """While a line is open the click stores it; the next key walks on the panel as ever."""
    panels = opened.work.panels
    view = panels.current_view()
    view.go_to("dash-f1")
    view.setFocus()
    press("2", "5")
    line = focus()
    assert line.objectName() == "slotEntry"
    bar, tools = panels.tabs.tabBar(), panels.current_page().tools
    left = bar.mapTo(panels, bar.tabRect(bar.count() - 1).topRight())
    right = tools.mapTo(panels, QPoint(0, 0))
    point = QPoint((left.x() + right.x()) // 2, right.y() + tools.height() // 2)
    assert left.x() < point.x() < right.x()
    # as the window system does: the focus goes to the first that takes it by a click
    qtbot.mouseClick(opened.windowHandle(), Qt.MouseButton.LeftButton,
                     pos=panels.mapTo(opened, point))  # fmt: skip
    assert focus() is view
    assert look_up.slot(opened.document.vehicle, "dash-f1").fuse.rating == 25
    press(Key.Key_Right)
    assert view.current_slot_id() == "dash-f2"


@pytest.mark.parametrize("then", ["fix", "battery"])
def test_what_is_pushed_leaves_the_keyboard_with_the_chosen_thing(
    opened: MainWindow, qtbot: Any, then: str
) -> None:
    """Not on the button that comes next in the window: the banner's would mark circuits."""
    pane = opened.work.lid.pane.pane
    opened.document.apply("x", edits.change_slot, "dash-f2", circuit="ABS")
    qtbot.waitUntil(lambda: opened.work.banner.isVisible())
    overloaded = next(f for f in opened.document.findings if f.code == "host_overloaded")
    opened.document.select(overloaded.place, overloaded.place_id)
    qtbot.waitUntil(pane.ways.main.isVisible)
    pane.ways.main.setFocus()
    if then == "fix":
        pane.ways.main.click()
    else:
        opened.document.select("battery", "battery")
    qtbot.wait(400)
    focused = QApplication.focusWidget()
    assert focused is not None
    assert pane.isAncestorOf(focused), focused.objectName()


def test_a_fix_that_is_done_leaves_the_keyboard_with_the_findings(
    opened: MainWindow, qtbot: Any
) -> None:
    overloaded = next(f for f in opened.document.findings if f.code == "host_overloaded")
    opened.work.show_finding(overloaded)
    fixes = opened.work.findings.details.fixes
    qtbot.waitUntil(lambda: bool(fixes.buttons))
    fixes.buttons[0].setFocus()
    fixes.buttons[0].click()
    qtbot.wait(400)
    assert focus() is opened.work.findings.list
